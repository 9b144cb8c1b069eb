//! Whether vessels hold a batch.

use underlet_tables::parameters;

use super::problem;
use super::rules::at;
use crate::error::{ErrorCode, Problem};
use crate::liquor::water_density_kg_per_l;
use crate::quantity;
use crate::recipe::BrewDay;

/// Temperature of a kettle that is about to boil, °C.
const BOILING_C: f64 = 100.0;
/// What a sight glass cannot tell apart.
const ROUNDING: f64 = 0.001;

/// A vessel of known capacity with what comes into it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Filled {
    /// Its name for people.
    pub name: &'static str,
    /// What comes into it at most, litres.
    pub volume_l: f64,
    /// What it holds, litres.
    pub capacity_l: f64,
}

impl Filled {
    /// The tank with its fill, heated to the hottest draw.
    pub fn tank(day: &BrewDay) -> Option<Filled> {
        let tank = day.tank?;
        let hottest_c = day.hottest_liquor_c();
        Some(Filled {
            name: "hot-liquor tank",
            volume_l: tank.water_kg() / water_density_kg_per_l(hottest_c),
            capacity_l: day.brewhouse.tank_capacity_l?,
        })
    }

    /// The mash tun with liquor and grist.
    pub fn tun(day: &BrewDay) -> Option<Filled> {
        let grist_kg: f64 = day.grist.iter().map(|malt| malt.mass_kg).sum();
        Some(Filled {
            name: "mash tun",
            volume_l: day.mash.volume_l + parameters::GRIST_DISPLACEMENT.value * grist_kg,
            capacity_l: day.brewhouse.tun_capacity_l?,
        })
    }

    /// The kettle full of wort, boiling hot. The grains keep as much of the extract as of the
    /// liquor.
    pub fn kettle(day: &BrewDay) -> Option<Filled> {
        let grist_kg: f64 = day.grist.iter().map(|malt| malt.mass_kg).sum();
        let water_kg = day.waters().kettle_kg;
        let extract_kg =
            parameters::MALT_EXTRACT_YIELD.value * grist_kg * water_kg / day.brewing_kg();
        Some(Filled {
            name: "kettle",
            volume_l: water_kg / water_density_kg_per_l(BOILING_C)
                + parameters::EXTRACT_VOLUME.value * extract_kg,
            capacity_l: day.brewhouse.kettle_capacity_l?,
        })
    }

    /// All that are known.
    pub fn all(day: &BrewDay) -> impl Iterator<Item = Filled> {
        let vessels = [Filled::tank(day), Filled::tun(day), Filled::kettle(day)];
        vessels.into_iter().flatten()
    }

    /// What it holds too little for.
    fn overflows(&self, path: &str, with: &str, hint: &str) -> Option<Problem> {
        (self.volume_l > self.capacity_l * (1.0 + ROUNDING)).then(|| {
            let [filled, capacity] =
                [self.volume_l, self.capacity_l].map(|litres| quantity::TANK_VOLUME.write(litres));
            let wrong = problem(
                ErrorCode::Overflow,
                format!("{filled} in the {}, {with}", self.name),
                format!("at most {capacity}, which it holds"),
                hint,
            );
            at(path, wrong)
        })
    }
}

/// The tank holds its fill, hot.
pub(super) fn fits_tank(day: &BrewDay) -> Option<Problem> {
    Filled::tank(day)?.overflows(
        "hot_liquor_tank.fill",
        "heated to the hottest draw",
        "Fill less, or correct \"tank_capacity\" of the brewhouse.",
    )
}

/// The tun holds the mash.
pub(super) fn fits_tun(day: &BrewDay) -> Option<Problem> {
    Filled::tun(day)?.overflows(
        "mash.liquor",
        "liquor and grist together",
        "Mash thicker, scale the recipe down, or correct \"tun_capacity\" of the brewhouse.",
    )
}

/// The kettle holds all that runs into it.
pub(super) fn fits_kettle(day: &BrewDay) -> Option<Problem> {
    Filled::kettle(day)?.overflows(
        "brewhouse.kettle_capacity",
        "all the wort of mash and sparge, boiling hot",
        "Sparge less, scale the recipe down, or correct the capacity.",
    )
}
