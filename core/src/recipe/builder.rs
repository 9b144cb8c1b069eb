//! A brew day step by step, in a brewer's and a report's units.

use super::{
    BrewDay, Brewhouse, Draw, Kettle, LimitedQuantity, ShelfReagent, Source, TargetRange, Targets,
    check,
};
use crate::component::Component;
use crate::document::Attached;
use crate::error::InputError;
use crate::liquor::alkalinity_eq_per_kg;
use crate::mash::Malt;
use crate::quantity::{self, Substance};

/// Builds a [`BrewDay`]. It needs a name, a source, a malt and the mash; what else is left out is
/// not there: one brew without tank, sparge, targets or reagents, in a brewhouse of which nothing
/// is known.
#[derive(Clone, Debug, PartialEq)]
#[must_use]
pub struct BrewDayBuilder {
    day: BrewDay,
    has_mash: bool,
}

/// In place of the mash until it is given.
const NO_MASH: Draw = Draw {
    volume_l: 0.0,
    temperature_c: 0.0,
};

impl BrewDayBuilder {
    pub(crate) fn new(name: String) -> BrewDayBuilder {
        BrewDayBuilder {
            day: BrewDay {
                attached: Attached::default(),
                name,
                brewhouse: Brewhouse::default(),
                recipe_scale: 1.0,
                brews: 1,
                sources: Vec::new(),
                tank: None,
                grist: Vec::new(),
                mash: NO_MASH,
                rest_temperature_c: 0.0,
                sparge: None,
                sparge_portions: 1,
                kettle: Kettle::default(),
                targets: Targets::default(),
                mash_ph_confidence: None,
                sparge_ph_confidence: None,
                shelf: Vec::new(),
                max_salts: None,
                alternatives: false,
            },
            has_mash: false,
        }
    }

    /// The brewhouse.
    pub fn brewhouse(mut self, brewhouse: Brewhouse) -> BrewDayBuilder {
        self.day.brewhouse = brewhouse;
        self
    }

    /// Brews from this liquor, one like the other.
    pub fn brews(mut self, brews: usize) -> BrewDayBuilder {
        self.day.brews = brews;
        self
    }

    /// A water to draw from, behind those that are preferred to it.
    pub fn source(mut self, source: Source) -> BrewDayBuilder {
        self.day.sources.push(source);
        self
    }

    /// The hot-liquor tank's fill: litres as read at its temperature in °C.
    pub fn hot_liquor_tank(mut self, fill_l: f64, temperature_c: f64) -> BrewDayBuilder {
        self.day.tank = Some(Draw {
            volume_l: fill_l,
            temperature_c,
        });
        self
    }

    /// A malt or adjunct.
    pub fn malt(mut self, malt: Malt) -> BrewDayBuilder {
        self.day.grist.push(malt);
        self
    }

    /// The mash: litres of liquor as read at its temperature in °C, and the rest in °C.
    pub fn mash(mut self, liquor_l: f64, liquor_c: f64, rest_c: f64) -> BrewDayBuilder {
        self.day.mash = Draw {
            volume_l: liquor_l,
            temperature_c: liquor_c,
        };
        self.day.rest_temperature_c = rest_c;
        self.has_mash = true;
        self
    }

    /// The sparge: litres of liquor as read at its temperature in °C.
    pub fn sparge(mut self, liquor_l: f64, liquor_c: f64) -> BrewDayBuilder {
        self.day.sparge = Some(Draw {
            volume_l: liquor_l,
            temperature_c: liquor_c,
        });
        self
    }

    /// Equal portions in which the sparge liquor is run on.
    pub fn sparge_portions(mut self, portions: usize) -> BrewDayBuilder {
        self.day.sparge_portions = portions;
        self
    }

    /// Hours of boiling.
    pub fn boil_h(mut self, hours: f64) -> BrewDayBuilder {
        self.day.kettle.boil_h = Some(hours);
        self
    }

    /// What boils off in all, litres as read boiling hot.
    pub fn boil_off_l(mut self, litres: f64) -> BrewDayBuilder {
        self.day.kettle.boil_off_l = Some(litres);
        self
    }

    /// Zinc for the yeast, mg/L at 20 °C in the water after the boil.
    pub fn zinc_mg_l(mut self, mg_per_l: f64) -> BrewDayBuilder {
        let zinc = quantity::ZINC.of_default_unit(mg_per_l, &Substance::ZINC);
        self.day.kettle.zinc_mol_per_kg = zinc;
        self
    }

    /// All targets of liquor and mash, such as those of [`super::targets_for`]; they replace
    /// earlier ones.
    pub fn targets(mut self, targets: Targets) -> BrewDayBuilder {
        self.day.targets = targets;
        self
    }

    /// Target of an ion over all the brewing liquor, mg/L at 20 °C.
    pub fn ion_mg_l(mut self, ion: Component, range: TargetRange) -> BrewDayBuilder {
        let range = range.converted(|mg_per_l| ion.mol_per_kg(mg_per_l));
        self.day.targets.ions.push((ion, range));
        self
    }

    /// Sulfate to chloride, by mass.
    pub fn sulfate_to_chloride(mut self, range: TargetRange) -> BrewDayBuilder {
        self.day.targets.sulfate_to_chloride = Some(range);
        self
    }

    /// pH of the mash, cooled sample.
    pub fn mash_ph(mut self, range: TargetRange) -> BrewDayBuilder {
        self.day.targets.mash_ph = Some(range);
        self
    }

    /// Alkalinity of the sparge liquor, mg/L as CaCO3 at 20 °C.
    pub fn sparge_alkalinity_mg_l_caco3(mut self, range: TargetRange) -> BrewDayBuilder {
        self.day.targets.sparge_alkalinity = Some(range.converted(alkalinity_eq_per_kg));
        self
    }

    /// pH of the sparge liquor, cooled sample.
    pub fn sparge_ph(mut self, range: TargetRange) -> BrewDayBuilder {
        self.day.targets.sparge_ph = Some(range);
        self
    }

    /// pH of the full kettle, cooled sample.
    pub fn kettle_ph(mut self, range: TargetRange) -> BrewDayBuilder {
        self.day.kettle.ph = Some(range);
        self
    }

    /// Most that the liquor as a whole may hold, mg/L.
    pub fn limit_mg_l(mut self, of: LimitedQuantity, most: f64) -> BrewDayBuilder {
        self.day.targets.limits.push((of, most));
        self
    }

    /// Chance that the mash pH should have of landing in its range, 0 to 1.
    pub fn mash_ph_confidence(mut self, chance: f64) -> BrewDayBuilder {
        self.day.mash_ph_confidence = Some(chance);
        self
    }

    /// The same of the sparge pH.
    pub fn sparge_ph_confidence(mut self, chance: f64) -> BrewDayBuilder {
        self.day.sparge_ph_confidence = Some(chance);
        self
    }

    /// A reagent at hand. One that names no vessel goes where it usually does on this day.
    pub fn reagent(mut self, reagent: ShelfReagent) -> BrewDayBuilder {
        self.day.shelf.push(reagent);
        self
    }

    /// Most different salts and bases to weigh; acids are not counted.
    pub fn max_salts(mut self, most: usize) -> BrewDayBuilder {
        self.day.max_salts = Some(most);
        self
    }

    /// Whether the plan reports what else could be done.
    pub fn alternatives(mut self, alternatives: bool) -> BrewDayBuilder {
        self.day.alternatives = alternatives;
        self
    }

    /// The day.
    ///
    /// # Errors
    /// A mash that is missing, and every problem that [`BrewDay::check`] finds.
    pub fn build(mut self) -> Result<BrewDay, InputError> {
        let vessels = self.day.vessels();
        for item in self
            .day
            .shelf
            .iter_mut()
            .filter(|item| item.vessels.is_empty())
        {
            item.vessels = ShelfReagent::usual_vessels(item.preparation.reagent, vessels);
        }
        let problems = check::brew_day(&self.day, self.has_mash);
        if problems.is_empty() {
            return Ok(self.day);
        }
        Err(InputError::of(problems))
    }
}
