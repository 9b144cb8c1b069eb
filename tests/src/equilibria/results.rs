//! Compares a state with the results that a reference file tells of it.

use underlet::aqueous::{Equilibrium, Mineral, log_k};
use underlet::component::Component;
use underlet_tables::equilibria;

use super::node::Node;
use super::score::{Score, Tolerance};
use super::water::{self, CACO3_MG_PER_MEQ};

const PH: Tolerance = Tolerance::Absolute(0.002);
const IONIC_STRENGTH: Tolerance = Tolerance::Percent(0.1);
const WATER_ACTIVITY: Tolerance = Tolerance::Absolute(1e-4);
/// Free ions and pairs.
const SPECIES_PERCENT: f64 = 0.2;
/// Totals and precipitated amounts, mmol/kg.
const AMOUNT_PERCENT: f64 = 0.2;
const AMOUNT_MMOL: f64 = 0.001;
/// A saturation index and a partial pressure, and a saturation index above this temperature, where
/// constants differ.
const SATURATION: Tolerance = Tolerance::Absolute(0.002);
const SATURATION_HOT: Tolerance = Tolerance::Absolute(0.005);
const HOT_C: f64 = 80.0;
/// The reference program writes this, or less, for the logarithm of nothing.
const LOG_OF_NOTHING: f64 = -99.0;
/// Numbers about the reference run itself.
const ABOUT_THE_RUN: [&str; 2] = ["charge_imbalance_eq", "charge_error_pct"];

/// A state, and what was found beside it.
#[derive(Clone, Debug)]
pub struct Results<'a> {
    /// The state.
    pub state: &'a Equilibrium,
    /// What precipitated, mol/kg.
    pub formed: &'a [(Mineral, f64)],
    /// How much of a dose was taken, mmol/kg, and how far it may be off, per cent.
    pub dose: Option<(f64, f64)>,
}

impl<'a> Results<'a> {
    /// A state alone.
    pub fn of(state: &'a Equilibrium) -> Self {
        Results {
            state,
            formed: &[],
            dose: None,
        }
    }

    /// Compares every number of an object of results. Keys that mean nothing here are noted.
    ///
    /// # Errors
    /// When a value is no number.
    pub fn compare(&self, score: &mut Score, place: &str, expected: &Node) -> Result<(), String> {
        for (key, value) in expected.entries()? {
            if key == "mg_l" {
                for (symbol, value) in value.entries()? {
                    let answer = water::ion(symbol)
                        .ok_or_else(|| value.complaint("an ion that the engine knows"))?;
                    let key = format!("{symbol} mg_l");
                    score.compare(
                        place,
                        &key,
                        self.mg(answer),
                        value.number()?,
                        mg_tolerance(answer),
                    );
                }
            } else {
                self.compare_key(score, place, key, expected)?;
            }
        }
        Ok(())
    }

    /// Compares the number under one key of an object of results.
    ///
    /// # Errors
    /// When it is missing or no number.
    pub fn compare_key(
        &self,
        score: &mut Score,
        place: &str,
        key: &str,
        results: &Node,
    ) -> Result<(), String> {
        if let Some((answer, tolerance)) = self.find(key) {
            let expected = results.need(key)?.number()?;
            if !(expected <= LOG_OF_NOTHING && answer <= LOG_OF_NOTHING) {
                score.compare(place, key, answer, expected, tolerance);
            }
        } else if !ABOUT_THE_RUN.contains(&key) {
            score.not_compared.insert(key.to_owned());
        }
        Ok(())
    }

    /// The answer to a key of results, and how far it may be off.
    fn find(&self, key: &str) -> Option<(f64, Tolerance)> {
        let state = self.state;
        if let Some(species) = key.strip_prefix("m_") {
            return Some((self.molality(species), Tolerance::Percent(SPECIES_PERCENT)));
        }
        if let Some(species) = key.strip_prefix("la_") {
            return self.log10_activity(species).map(|activity| (activity, PH));
        }
        if let Some(name) = key.strip_prefix("si_") {
            let index = state.saturation_index(mineral(name)?);
            let hot = state.liquor.temperature_c > HOT_C;
            return Some((index, if hot { SATURATION_HOT } else { SATURATION }));
        }
        if let Some(name) = key.strip_suffix("_precipitated_mmol") {
            let wanted = match name {
                "caco3" => Mineral::Calcite,
                "mgoh2" => Mineral::Brucite,
                "gypsum" | "caso4" => Mineral::Gypsum,
                _ => return None,
            };
            let formed = self.formed.iter().find(|(mineral, _)| *mineral == wanted);
            let amount = formed.map_or(0.0, |(_, amount)| amount * 1000.0);
            return Some((amount, Tolerance::PercentOr(AMOUNT_PERCENT, AMOUNT_MMOL)));
        }
        let liquor = &state.liquor;
        let alkalinity = water::reference_alkalinity_eq_per_kg(liquor);
        // Totals in mol, of which an amount that may be off is a thousandth.
        let mol = Tolerance::PercentOr(AMOUNT_PERCENT, AMOUNT_MMOL / 1000.0);
        match key {
            "pH" => Some((state.ph, PH)),
            "log_pco2" => Some((state.log10_pco2, SATURATION)),
            "ionic_strength" => Some((state.ionic_strength_mol_per_kg, IONIC_STRENGTH)),
            "a_water" => Some((state.water_activity, WATER_ACTIVITY)),
            "dic_mol" => Some((liquor.carbon_mol_per_kg, mol)),
            "alk_eq" => Some((alkalinity, mol)),
            "alk_mg_l_caco3" => {
                let tolerance =
                    Tolerance::PercentOr(AMOUNT_PERCENT, AMOUNT_MMOL * CACO3_MG_PER_MEQ);
                Some((alkalinity * 1000.0 * CACO3_MG_PER_MEQ, tolerance))
            }
            "ca_mg_l" => Some((
                self.mg(Component::Calcium),
                mg_tolerance(Component::Calcium),
            )),
            "mg_mg_l" => Some((
                self.mg(Component::Magnesium),
                mg_tolerance(Component::Magnesium),
            )),
            "mmol_acid_per_kg" => self
                .dose
                .map(|(amount, percent)| (amount, Tolerance::Percent(percent))),
            "tot_P" => Some((liquor.ions.get(Component::Phosphate), self.dosed())),
            "tot_Lac" => Some((liquor.ions.get(Component::Lactate), self.dosed())),
            _ => None,
        }
    }

    /// How far a total that was dosed may be off.
    fn dosed(&self) -> Tolerance {
        Tolerance::Percent(self.dose.map_or(AMOUNT_PERCENT, |(_, percent)| percent))
    }

    fn mg(&self, ion: Component) -> f64 {
        self.state.liquor.ions.get(ion) * 1000.0 * ion.molar_mass_g_per_mol()
    }

    /// Molality of a species named without its charge. Chloride and nitrate are always free.
    fn molality(&self, name: &str) -> f64 {
        match water::ion(name) {
            Some(ion @ (Component::Chloride | Component::Nitrate)) => {
                self.state.liquor.ions.get(ion)
            }
            _ => ["", "+", "-", "+2", "-2", "-3"]
                .iter()
                .map(|charge| self.state.molality(&format!("{name}{charge}")))
                .fold(0.0, f64::max),
        }
    }

    /// log10 of an activity, from what the state tells in activities and the constants of the
    /// tables.
    fn log10_activity(&self, name: &str) -> Option<f64> {
        let state = self.state;
        let log_k = |row| log_k(row, state.liquor.temperature_c);
        let water = state.water_activity.log10();
        let carbon_dioxide = state.log10_pco2 + log_k(&equilibria::CO2_GAS);
        let bicarbonate = carbon_dioxide + water + log_k(&equilibria::CARBONIC_1) + state.ph;
        let carbonate = bicarbonate + log_k(&equilibria::CARBONIC_2) + state.ph;
        match name {
            "H" => Some(-state.ph),
            "CO2" => Some(carbon_dioxide),
            "HCO3" => Some(bicarbonate),
            "CO3" => Some(carbonate),
            "Ca" => {
                let product =
                    state.saturation_index(Mineral::Calcite) + log_k(&equilibria::CALCITE);
                Some(product - carbonate)
            }
            "Mg" => {
                let product =
                    state.saturation_index(Mineral::Brucite) + log_k(&equilibria::BRUCITE);
                Some(product - 2.0 * state.ph - 2.0 * water)
            }
            _ => None,
        }
    }
}

/// The mineral of a name such as `calcite`.
pub fn mineral(name: &str) -> Option<Mineral> {
    Mineral::ALL
        .into_iter()
        .find(|mineral| format!("{mineral:?}").eq_ignore_ascii_case(name))
}

fn mg_tolerance(ion: Component) -> Tolerance {
    Tolerance::PercentOr(AMOUNT_PERCENT, AMOUNT_MMOL * ion.molar_mass_g_per_mol())
}
