//! What a brewer settles before a sack is opened: sources, grist, vessels, targets and the shelf of reagents.

use underlet_tables::{Reagent, ReagentKind, parameters};

use super::Brewhouse;
use super::plan::{Caution, Severity};
use crate::fit::{Targets, Vessel, Wanted};
use crate::ion::Ion;
use crate::liquor::{Liquor, alkalinity_eq_per_kg, water_kg};
use crate::mash::{LiquorCovariance, Malt};
use crate::math;
use crate::reagent::Preparation;
use crate::report::{FindingSeverity, TodayAmount, TodayLiquor, TodayRemark};
use crate::treatment::Chlorine;

/// Most brews of one fill, and most portions of a sparge: more are a slip.
pub(crate) const MOST_BREWS: usize = 6;
pub(crate) const MOST_PORTIONS: usize = 20;
/// Temperature at which what boils off is read, °C.
pub(super) const BOILING_C: f64 = 100.0;

/// A water that can be drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct Source {
    /// Name, such as "well".
    pub name: String,
    /// Its composition.
    pub liquor: Liquor,
    /// True when the report gave no pH, so that [`crate::liquor::assumed_ph`] stands in.
    pub ph_assumed: bool,
    /// Its chlorine, free and combined.
    pub chlorine: Chlorine,
    /// Most that can be drawn for all the brews of the day, litres at 20 °C.
    pub at_most_l: Option<f64>,
    /// How surely it is known, where it was reconciled from report and bench.
    pub reconciled: Option<Box<Reconciled>>,
}

/// How surely a reconciled source is known, and what is odd about it.
#[derive(Clone, Debug, PartialEq)]
pub struct Reconciled {
    /// Covariance of its amounts.
    pub covariance: LiquorCovariance,
    /// What a plan should say of it.
    pub remarks: Vec<Caution>,
}

impl Source {
    /// A source as report and bench know it today.
    pub fn reconciled(name: String, known: &TodayLiquor, at_most_l: Option<f64>) -> Source {
        let mut liquor = Liquor {
            temperature_c: parameters::SAMPLE_TEMPERATURE.value,
            ..Liquor::default()
        };
        for amount in &known.amounts {
            let mol_per_kg = amount.mmol_per_kg / 1e3;
            match Ion::by_key(amount.key) {
                Some(ion) => liquor.ions.set(ion, mol_per_kg),
                None => liquor.carbon_mol_per_kg = mol_per_kg,
            }
        }
        liquor.alkalinity_eq_per_kg = liquor.ions.strong_charge();
        let caution = |remark: &TodayRemark| Caution {
            code: remark.code.clone(),
            severity: match remark.severity {
                FindingSeverity::Warning => Severity::Care,
                FindingSeverity::Doubt | FindingSeverity::Note => Severity::Note,
            },
            text: format!("\"{name}\": {}", remark.text),
        };
        let reconciled = Reconciled {
            covariance: covariance(&known.amounts),
            remarks: known.remarks.iter().map(caution).collect(),
        };
        Source {
            name,
            liquor,
            ph_assumed: false,
            chlorine: Chlorine::default(),
            at_most_l,
            reconciled: Some(Box::new(reconciled)),
        }
    }

    /// Whether it holds chlorine.
    pub fn has_chlorine(&self) -> bool {
        self.chlorine.total_mol_per_kg() > 0.0
    }

    /// Covariance of two of its amounts, places as in [`LiquorCovariance`]. Of a source that was not reconciled only the
    /// alkalinity is unsure, as the analysis of a report is.
    pub fn covariance(&self, one: usize, other: usize) -> f64 {
        if let Some(reconciled) = &self.reconciled {
            let row = reconciled.covariance.0.get(one);
            return row.and_then(|row| row.get(other)).copied().unwrap_or(0.0);
        }
        if [one, other] != [LiquorCovariance::ALKALINITY; 2] {
            return 0.0;
        }
        let relative = self.liquor.alkalinity_eq_per_kg.abs()
            * parameters::ALKALINITY_REPORT_RELATIVE_SD.value;
        let least = alkalinity_eq_per_kg(parameters::ALKALINITY_REPORT_ABSOLUTE_SD.value);
        let sd = math::at_least(relative, least);
        sd * sd
    }
}

/// The covariance of all amounts: alkalinity is the charge of the ions, and moves with them.
fn covariance(amounts: &[TodayAmount]) -> LiquorCovariance {
    // Each amount moves its own place, and alkalinity by its charge.
    let places: Vec<(usize, f64)> = amounts
        .iter()
        .map(|amount| match Ion::by_key(amount.key) {
            Some(ion) => (ion as usize, ion.charge()),
            None => (LiquorCovariance::CARBON, 0.0),
        })
        .collect();
    let mut covariance = LiquorCovariance::NOTHING;
    for (row, amount) in amounts.iter().enumerate() {
        for (column, value) in amount.covariance.iter().enumerate() {
            let Some((one, other)) = places.get(row).zip(places.get(column)) else {
                continue;
            };
            covariance.add(*one, *other, value / 1e6);
            if row != column {
                covariance.add(*other, *one, value / 1e6);
            }
        }
    }
    covariance
}

/// Liquor that is let into a vessel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Draw {
    /// Volume as read at its temperature, litres.
    pub volume_l: f64,
    /// Temperature, °C.
    pub temperature_c: f64,
}

/// The boil.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Boil {
    /// Hours of open boiling.
    pub hours: f64,
    /// Water that boils off, kg.
    pub boiled_off_kg: f64,
}

/// What is known of the kettle.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Kettle {
    /// Hours of open boiling; one where it is not said.
    pub boil_h: Option<f64>,
    /// What boils off, litres as read boiling hot; where it is not said, what the brewhouse loses in an hour.
    pub boil_off_l: Option<f64>,
    /// Wanted pH of the full kettle, cooled sample.
    pub ph: Option<Wanted>,
    /// Zinc to be given, mol per kg of its water after the boil.
    pub zinc_mol_per_kg: Option<f64>,
}

/// A reagent on the brewer's shelf.
#[derive(Clone, Debug, PartialEq)]
pub struct Shelved {
    /// The reagent at its strength.
    pub preparation: Preparation,
    /// Step of the scale or measure, g or mL.
    pub step: f64,
    /// Smallest dose that makes sense, g or mL.
    pub smallest: f64,
    /// Stock on hand, g or mL; `None` where there is plenty.
    pub stock: Option<f64>,
    /// Vessels it may go into, in the order of work.
    pub at: Vec<Vessel>,
}

impl Shelved {
    /// A reagent at its usual strength, with plenty of it, where it usually goes.
    pub fn usual(reagent: &'static Reagent, step: f64, has_tank: bool) -> Shelved {
        Shelved {
            preparation: Preparation::of(reagent),
            step,
            smallest: step,
            stock: None,
            at: Shelved::usual_vessels(reagent, has_tank),
        }
    }

    /// Where a reagent usually goes: salts and acids into the tank where there is one, acids into the tun as well, bases
    /// into the tun, where they are wanted; what takes chlorine wherever liquor is drawn into; zinc into the kettle.
    pub fn usual_vessels(reagent: &Reagent, has_tank: bool) -> Vec<Vessel> {
        match (has_tank, reagent.kind) {
            (true, ReagentKind::Salt | ReagentKind::Dechlorinator) => vec![Vessel::HotLiquorTank],
            (false, ReagentKind::Dechlorinator) => vec![Vessel::MashTun, Vessel::SpargeLiquor],
            (true, ReagentKind::Acid) => vec![Vessel::HotLiquorTank, Vessel::MashTun],
            (_, ReagentKind::Zinc) => vec![Vessel::Kettle],
            _ => vec![Vessel::MashTun],
        }
    }

    /// Whether it is there to remove chlorine. Such a reagent is no source of ions and no acid for the fit to dose.
    pub fn is_dechlorinator(&self) -> bool {
        self.preparation.reagent.kind == ReagentKind::Dechlorinator
    }

    /// Whether a reagent can go into a vessel at all: the kettle is no place for bases and against chlorine, and the only one for
    /// zinc.
    pub fn suits(reagent: &Reagent, vessel: Vessel) -> bool {
        match reagent.kind {
            ReagentKind::Salt | ReagentKind::Acid => true,
            ReagentKind::Zinc => vessel == Vessel::Kettle,
            ReagentKind::Base | ReagentKind::Dechlorinator => vessel != Vessel::Kettle,
        }
    }

    /// Whether it may go into the kettle and nowhere else.
    pub(super) fn is_for_kettle_alone(&self) -> bool {
        self.at == [Vessel::Kettle]
    }

    /// Whether a reagent is one for the fit to dose: not what is there against chlorine or for the yeast.
    pub(super) fn brings_ions(reagent: &Reagent) -> bool {
        !matches!(reagent.kind, ReagentKind::Dechlorinator | ReagentKind::Zinc)
    }

    /// Whether the fit may dose it there. Acid for the kettle waits until its pH is read.
    pub(super) fn is_for_fit(&self, vessel: Vessel) -> bool {
        let reagent = self.preparation.reagent;
        let is_salt = reagent.kind == ReagentKind::Salt;
        self.at.contains(&vessel)
            && Shelved::brings_ions(reagent)
            && (is_salt || vessel != Vessel::Kettle)
    }

    /// Whole steps of its least dose.
    pub(super) fn least_steps(&self) -> f64 {
        // What a division has rounded is no step.
        math::at_least((self.smallest / self.step - 1e-9).ceil(), 1.0)
    }

    /// Steps of the scale that its stock allows so many times over, once so much of it is used.
    pub(super) fn whole_steps_in_stock(&self, used: f64, times: usize) -> f64 {
        let left = self.stock.map_or(f64::INFINITY, |stock| stock - used);
        // What a sum has rounded is no missing step.
        math::at_least((left / (self.step * times as f64) + 1e-9).floor(), 0.0)
    }
}

/// A brew day as it was read: every value checked, in canonical units.
#[derive(Clone, Debug, PartialEq)]
pub struct BrewDay {
    /// Name of the brew.
    pub name: String,
    /// The brewhouse.
    pub brewhouse: Brewhouse,
    /// How many times the recipe is brewed: the amounts of this day are taken so many times already.
    pub batch: f64,
    /// Brews from this liquor, one like the other: grist, mash, sparge and kettle are those of each, the tank's fill and the
    /// sources are for all of them.
    pub brews: usize,
    /// Waters to draw from, at least one; the first is the one drawn where nothing speaks against it.
    pub sources: Vec<Source>,
    /// The hot-liquor tank's fill, or `None` where liquor comes ready from elsewhere and only the tun can be dosed.
    pub tank: Option<Draw>,
    /// Malts and adjuncts, at least one.
    pub grist: Vec<Malt>,
    /// Mash liquor.
    pub mash: Draw,
    /// Temperature at which the mash rests, °C.
    pub rest_temperature_c: f64,
    /// Sparge liquor, where there is a sparge.
    pub sparge: Option<Draw>,
    /// Equal portions that it is let on in.
    pub sparge_portions: usize,
    /// The kettle.
    pub kettle: Kettle,
    /// What is wanted.
    pub targets: Targets,
    /// Chance that the mash pH should have of landing in its range, 0 to 1; `None` where its forecast may lie anywhere in it.
    pub mash_ph_confidence: Option<f64>,
    /// The same of the sparge pH.
    pub sparge_ph_confidence: Option<f64>,
    /// Reagents at hand.
    pub shelf: Vec<Shelved>,
    /// Most different salts and bases to weigh; acids are not counted.
    pub most_salts: Option<usize>,
    /// Whether the plan tells what else could be done.
    pub alternatives: bool,
}

impl BrewDay {
    /// Water that stays in the tun, kg: what the grains keep, and the dead volume. What is let in last fills that, as hot as it is.
    pub(crate) fn kept_kg(&self) -> f64 {
        let grist_kg: f64 = self.grist.iter().map(|malt| malt.mass_kg).sum();
        let last_c = self
            .sparge
            .map_or(self.rest_temperature_c, |sparge| sparge.temperature_c);
        let house = &self.brewhouse;
        house.grain_take_up_l_per_kg * grist_kg + water_kg(house.tun_dead_l, last_c)
    }

    /// Water that the brewhouse's kettle keeps when the wort is cast out, kg.
    pub(crate) fn kettle_dead_kg(&self) -> f64 {
        water_kg(self.brewhouse.kettle_dead_l, BOILING_C)
    }

    /// The boil of a kettle with so much water. No more of it boils off than there is.
    pub(crate) fn boil(&self, full_kg: f64) -> Boil {
        let hours = self.kettle.boil_h.unwrap_or(1.0);
        let usual = full_kg * parameters::EVAPORATION_SHARE_PER_HOUR.value * hours;
        let by_rate = self.brewhouse.boil_off_l_per_h.map(|litres| litres * hours);
        let stated = self.kettle.boil_off_l.or(by_rate);
        let boiled_off_kg = stated.map_or(usual, |litres| water_kg(litres, BOILING_C));
        Boil {
            hours,
            boiled_off_kg: boiled_off_kg.min(full_kg),
        }
    }

    /// Covariance of two amounts of the sources' blend, places as in [`LiquorCovariance`]. Sources are unsure independently of
    /// each other.
    pub(super) fn blend_covariance(&self, shares: &[f64], one: usize, other: usize) -> f64 {
        let sources = self.sources.iter().zip(shares);
        sources
            .map(|(source, share)| share * share * source.covariance(one, other))
            .sum()
    }

    /// Covariance of the blend, where any source of the day was reconciled.
    pub(super) fn covariance(&self, shares: &[f64]) -> Option<LiquorCovariance> {
        let mut sources = self.sources.iter();
        if !sources.any(|source| source.reconciled.is_some()) {
            return None;
        }
        let mut blend = LiquorCovariance::NOTHING;
        for (one, row) in blend.0.iter_mut().enumerate() {
            for (other, cell) in row.iter_mut().enumerate() {
                *cell = self.blend_covariance(shares, one, other);
            }
        }
        Some(blend)
    }
}
