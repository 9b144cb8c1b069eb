//! The forecast: mash pH, how sure it is, and why no surer.

use underlet_tables::parameters;

use super::Mash;
use crate::ion::Ion;
use crate::math;

/// A mash pH with its error bar.
#[derive(Clone, Debug, PartialEq)]
pub struct Forecast {
    /// pH of a cooled sample, 20 to 60 minutes in.
    pub ph: f64,
    /// Standard deviation of what the brewer's meter will show.
    pub sd: f64,
    /// Where it comes from, largest first.
    pub causes: Vec<Cause>,
    /// Acid per pH around the forecast, eq.
    pub buffering_eq_per_ph: f64,
}

/// One cause of uncertainty.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cause {
    /// Stable key, such as `malt_lots`.
    pub key: &'static str,
    /// Name for people.
    pub label: &'static str,
    /// Its own standard deviation, pH.
    pub sd: f64,
}

/// How sure the doses and the water are.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct DoseUncertainty {
    /// Standard deviation of the protons that measured-out acids give, eq.
    pub acid_eq: f64,
    /// Standard deviation of the alkalinity that partly dissolving reagents bring, eq.
    pub dissolving_eq: f64,
    /// Standard deviation of the mash liquor's alkalinity as reported, eq/kg.
    pub alkalinity_eq_per_kg: f64,
}

impl Forecast {
    /// Interval that holds a share of what the meter will show: low and high.
    pub fn interval(&self, standard_deviations: f64) -> [f64; 2] {
        [self.ph - standard_deviations * self.sd, self.ph + standard_deviations * self.sd]
    }

    /// Standard deviation where the mash buffers less by a factor: its causes in equivalents weigh more there, sampling
    /// and the meter do not.
    pub fn sd_with_buffering(&self, factor: f64) -> f64 {
        let variance = |cause: &Cause| {
            let sd = if matches!(cause.key, "sampling" | "meter") { cause.sd } else { cause.sd * factor };
            sd * sd
        };
        self.causes.iter().map(variance).sum::<f64>().sqrt()
    }

    /// Chance that the pH itself lies in a range (the meter's own scatter counts too: it is the meter that decides).
    pub fn probability_between(&self, low: Option<f64>, high: Option<f64>) -> f64 {
        let below = |end: f64| math::normal_below((end - self.ph) / self.sd);
        high.map_or(1.0, below) - low.map_or(0.0, below)
    }
}

impl Mash<'_> {
    /// pH with first-order error bars: each cause's standard deviation in equivalents, divided by the slope of the
    /// balance (implicit-function theorem: dpH = d(acid missing) / buffering).
    pub fn forecast(&self, doses: &DoseUncertainty) -> Forecast {
        let chemistry = self.chemistry();
        let ph = self.ph_with_acid(&chemistry, 0.0);
        let buffering = self.buffering_eq_per_ph(&chemistry, ph);
        let in_ph = |equivalents: f64| equivalents / buffering;

        let (mut lots, mut buffers) = (0.0, 0.0);
        for malt in self.grist {
            let curve = malt.curve;
            let lot = malt.mass_kg * curve.buffering_eq_per_kg_ph * curve.own_ph_sd;
            let buffer = malt.mass_kg * curve.buffering_sd * (curve.own_ph - ph);
            lots += lot * lot;
            buffers += buffer * buffer;
        }
        let calcium = Ion::Calcium.charge() * self.liquor.ions.get(Ion::Calcium);
        let magnesium = Ion::Magnesium.charge() * self.liquor.ions.get(Ion::Magnesium);
        let calcium_sd = calcium * parameters::CALCIUM_PROTONS_PER_EQUIVALENT.sd;
        let magnesium_sd = magnesium * parameters::MAGNESIUM_PROTONS_PER_EQUIVALENT.sd;
        let carbon = self.liquor.carbon_mol_per_kg * chemistry.charge_per_carbon(ph);

        let mut causes = [
            ("malt_lots", "malt lots differ from their class", in_ph(lots.sqrt())),
            ("malt_buffer", "malt buffering", in_ph(buffers.sqrt())),
            ("alkalinity", "alkalinity of the source", in_ph(self.water_kg * doses.alkalinity_eq_per_kg)),
            (
                "calcium_effect",
                "what calcium and magnesium do to malt",
                in_ph(self.water_kg * (calcium_sd * calcium_sd + magnesium_sd * magnesium_sd).sqrt()),
            ),
            ("acid_strength", "strength and measure of the acid", in_ph(doses.acid_eq)),
            ("dissolving", "how much of the chalk dissolves", in_ph(doses.dissolving_eq)),
            ("carbon", "how much carbon dioxide has left", in_ph(self.water_kg * carbon * parameters::CARBON_SHARE_IN_MASH.sd)),
            ("sampling", "time and way of sampling", parameters::MASH_PH_DEFINITION_SD.value),
            ("meter", "the pH meter", parameters::METER_SD.value),
        ]
        .map(|(key, label, sd)| Cause { key, label, sd: sd.abs() })
        .to_vec();
        causes.retain(|cause| cause.sd > 0.0);
        causes.sort_by(|one, other| other.sd.total_cmp(&one.sd));
        let variance: f64 = causes.iter().map(|cause| cause.sd * cause.sd).sum();
        Forecast { ph, sd: variance.sqrt(), causes, buffering_eq_per_ph: buffering }
    }
}
