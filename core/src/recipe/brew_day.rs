//! A brew day: sources, grist, vessels, targets and the shelf of reagents.

use underlet_tables::parameters;

use super::{Brewhouse, ShelfReagent, Source, TargetRange, Targets, Vessel, Vessels, Waters};
use crate::aqueous::Aqueous;
use crate::component::Component;
use crate::document::Attached;
use crate::liquor::{Liquor, water_kg};
use crate::mash::Malt;
use crate::math;
use crate::treatment::Chlorine;
use crate::uncertainty::LiquorCovariance;
use crate::words::DISPLAY_PH;

/// Most brews of one fill, and most portions of a sparge: more are a slip.
pub(crate) const MOST_BREWS: usize = 6;
pub(crate) const MOST_PORTIONS: usize = 20;
/// Temperature at which what boils off is read, °C.
const BOILING_C: f64 = 100.0;

/// How far above the least pH of sparge liquor a fit aims: what whole steps move pairs and ionic
/// strengths by, so that no plan as weighed falls below.
const ABOVE_FLOOR_PH: f64 = 0.005;

/// Liquor that is let into a vessel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Draw {
    /// Volume as read at its temperature, litres.
    pub volume_l: f64,
    /// Temperature, °C.
    pub temperature_c: f64,
}

impl Draw {
    /// Its water, kg.
    pub(crate) fn water_kg(&self) -> f64 {
        water_kg(self.volume_l, self.temperature_c)
    }
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
    /// What boils off, litres as read boiling hot; where it is not said, what the brewhouse loses
    /// in an hour.
    pub boil_off_l: Option<f64>,
    /// Target range of the full kettle's pH, cooled sample.
    pub ph: Option<TargetRange>,
    /// Zinc to be given, mol per kg of its water after the boil.
    pub zinc_mol_per_kg: Option<f64>,
}

/// A brew day in canonical units: read from a document or built by [`BrewDay::builder`], and open
/// to change. [`BrewDay::check`] says whether it makes sense.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct BrewDay {
    /// What the user attached: the plan carries it.
    pub attached: Attached,
    /// Name of the brew.
    pub name: String,
    /// The brewhouse.
    pub brewhouse: Brewhouse,
    /// Factor on every amount of the recipe; the amounts of this day contain it already.
    pub recipe_scale: f64,
    /// Brews from this liquor, one like the other: grist, mash, sparge and kettle are those of
    /// each, the tank's fill and the sources are for all of them.
    pub brews: usize,
    /// Waters to draw from, at least one; the first is the one drawn where nothing speaks against
    /// it.
    pub sources: Vec<Source>,
    /// The hot-liquor tank's fill, or `None` where liquor comes ready from elsewhere and only the
    /// tun can be dosed.
    pub tank: Option<Draw>,
    /// Malts and adjuncts, at least one.
    pub grist: Vec<Malt>,
    /// Mash liquor.
    pub mash: Draw,
    /// Temperature at which the mash rests, °C.
    pub rest_temperature_c: f64,
    /// Sparge liquor, where there is a sparge.
    pub sparge: Option<Draw>,
    /// Equal portions in which it is run on.
    pub sparge_portions: usize,
    /// The kettle.
    pub kettle: Kettle,
    /// The targets.
    pub targets: Targets,
    /// Chance that the mash pH should have of landing in its range, 0 to 1; `None` where its
    /// forecast may lie anywhere in it.
    pub mash_ph_confidence: Option<f64>,
    /// The same of the sparge pH.
    pub sparge_ph_confidence: Option<f64>,
    /// Reagents at hand.
    pub shelf: Vec<ShelfReagent>,
    /// Most different salts and bases to weigh; acids are not counted.
    pub max_salts: Option<usize>,
    /// Whether the plan lists alternatives.
    pub alternatives: bool,
}

impl BrewDay {
    /// The targets, with a least pH of the sparge liquor where acid may go there and the day gives
    /// no range: below it, liquor was given too much acid, so no other range is worth it. Where
    /// the first source is below it already it is only a range, low enough to ask for no base.
    pub(crate) fn targets_with_defaults(&self) -> Targets {
        let mut targets = self.targets.clone();
        let wants_acid = targets.mash_ph.is_some() || targets.sparge_alkalinity.is_some();
        if wants_acid && self.leaves_sparge_ph_open() && self.may_acidify_sparge() {
            let aqueous = Aqueous::at(parameters::SAMPLE_TEMPERATURE.value);
            let own = aqueous.closed(&self.first_source());
            let own_ph = own.map_or(f64::INFINITY, |water| water.ph);
            let floor = parameters::SPARGE_PH_FLOOR.value;
            targets.sparge_ph = Some(if own_ph < floor + ABOVE_FLOOR_PH {
                TargetRange::at_least(own_ph.min(floor) - DISPLAY_PH)
            } else {
                TargetRange::at_least(floor).weighing(parameters::FIT_FLOOR.value)
            });
        }
        targets
    }

    /// Sulfate that the ratio of sulfate to chloride takes in the water with the least chloride,
    /// mg/L, where that is more than any brewing liquor holds.
    pub(crate) fn sulfate_out_of_reach(&self) -> Option<f64> {
        let times = self.targets.sulfate_to_chloride.as_ref()?.low?;
        let chloride = Component::Chloride;
        let held = self.sources.iter().map(|source| {
            let held = source.liquor.ions.get(chloride);
            times * chloride.mg_per_l(held)
        });
        let least = held.fold(f64::INFINITY, f64::min);
        (least > parameters::SULFATE_REACH.value).then_some(least)
    }

    /// The targets as the fit aims at them. They keep a little above the least pH of the sparge
    /// liquor; a ratio out of reach is left aside, or it would drag every other
    /// target with it.
    pub(crate) fn fitted_targets(&self) -> Targets {
        let mut targets = self.targets_with_defaults();
        if self.sulfate_out_of_reach().is_some() {
            targets.sulfate_to_chloride = None;
        }
        if self.leaves_sparge_ph_open()
            && let Some(floor) = &mut targets.sparge_ph
            && floor.weight == parameters::FIT_FLOOR.value
        {
            floor.low = floor.low.map(|low| low + ABOVE_FLOOR_PH);
        }
        targets
    }

    fn leaves_sparge_ph_open(&self) -> bool {
        self.targets.sparge_ph.is_none() && self.sparge.is_some()
    }

    /// What the day has of vessels.
    pub(crate) fn vessels(&self) -> Vessels {
        Vessels {
            has_tank: self.tank.is_some(),
            has_sparge: self.sparge.is_some(),
            brews: self.brews,
        }
    }

    /// Whether an acid of the shelf may go where it comes to the sparge liquor.
    fn may_acidify_sparge(&self) -> bool {
        let acids = self.shelf.iter().filter(|one| one.preparation.is_acid());
        let mut vessels = acids.flat_map(|acid| acid.vessels.iter());
        vessels.any(|vessel| vessel.comes_to_sparge())
    }

    /// Water of mash and sparge of one brew, kg.
    pub(crate) fn brewing_kg(&self) -> f64 {
        self.mash.water_kg() + self.sparge.as_ref().map_or(0.0, Draw::water_kg)
    }

    /// Masses of water in the vessels.
    pub(crate) fn waters(&self) -> Waters {
        let mass = |draw: &Draw| water_kg(draw.volume_l, draw.temperature_c);
        let mash_kg = mass(&self.mash);
        let sparge_kg = self.sparge.as_ref().map_or(0.0, mass);
        Waters {
            tank_kg: self.tank.as_ref().map(mass),
            mash_kg,
            sparge_kg,
            kettle_kg: math::at_least(mash_kg + sparge_kg - self.kept_kg(), 0.0),
            brews: self.brews as f64,
        }
    }

    /// Temperature of what a vessel holds when it is dosed, °C.
    pub(crate) fn temperature_c(&self, vessel: Vessel) -> f64 {
        match (vessel, &self.tank, &self.sparge) {
            (Vessel::HotLiquorTank, Some(tank), _) => tank.temperature_c,
            (Vessel::SpargeLiquor, _, Some(sparge)) => sparge.temperature_c,
            (Vessel::Kettle, ..) => BOILING_C,
            _ => self.mash.temperature_c,
        }
    }

    /// Temperature of the hottest liquor, °C: a tank that is stated cold is heated to the draws.
    pub(crate) fn hottest_liquor_c(&self) -> f64 {
        let draws = [self.tank.as_ref(), Some(&self.mash), self.sparge.as_ref()];
        let draws = draws.into_iter().flatten();
        draws
            .map(|draw| draw.temperature_c)
            .fold(f64::MIN, f64::max)
    }

    /// How often a vessel is filled and dosed: the tank once, the others in each brew.
    pub(crate) fn times(&self, vessel: Vessel) -> usize {
        if vessel == Vessel::HotLiquorTank {
            1
        } else {
            self.brews
        }
    }

    /// The water that the fit draws first.
    pub(crate) fn first_source(&self) -> Liquor {
        let first = self.sources.first();
        first.map(|source| source.liquor).unwrap_or_default()
    }

    /// Chlorine of a blend of the sources.
    pub(crate) fn chlorine(&self, shares: &[f64]) -> Chlorine {
        let sources = self.sources.iter().zip(shares);
        sources.fold(Chlorine::default(), |blend, (source, share)| {
            blend.plus(&source.chlorine.times(*share))
        })
    }

    /// Water that stays in the tun, kg: what the grains keep, and the dead volume. What is let in
    /// last fills that, as hot as it is.
    pub(crate) fn kept_kg(&self) -> f64 {
        let grist_kg: f64 = self.grist.iter().map(|malt| malt.mass_kg).sum();
        let last_c = self
            .sparge
            .map_or(self.rest_temperature_c, |sparge| sparge.temperature_c);
        let house = &self.brewhouse;
        house.grain_absorption_l_per_kg * grist_kg + water_kg(house.tun_dead_l, last_c)
    }

    /// Water that the brewhouse's kettle keeps when the wort is knocked out, kg.
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

    /// Covariance of two amounts of the sources' blend, places as in [`LiquorCovariance`]. The
    /// errors of sources are independent of each other.
    pub(crate) fn blend_covariance(&self, shares: &[f64], one: usize, other: usize) -> f64 {
        let sources = self.sources.iter().zip(shares);
        sources
            .map(|(source, share)| share * share * source.covariance(one, other))
            .sum()
    }

    /// Covariance of the blend, where any source of the day was reconciled.
    pub(crate) fn covariance(&self, shares: &[f64]) -> Option<LiquorCovariance> {
        let mut sources = self.sources.iter();
        if !sources.any(|source| source.reconciled.is_some()) {
            return None;
        }
        Some(LiquorCovariance::from_fn(|one, other| {
            self.blend_covariance(shares, one, other)
        }))
    }
}
