//! What reading and correcting a mash will come to, before it is read: the doses by what the meter
//! shows, and the chance that the mash then lands.

use super::{Advice, Brew, Correction};
use crate::fit::Solution;
use crate::math;
use crate::readings::Scenario;
use crate::readings::diagnosis::MeterReading;
use crate::reagent::Preparation;
use crate::recipe::{Meter, Place};

/// Readings of a mash that is yet to be read, each with what would then be due.
pub(crate) struct Foreseen {
    /// Where it is read first.
    pub place: Place,
    /// The acid that is due where a reading is high: that of the plan, or what helps most.
    pub acid: Preparation,
    /// By reading, the lowest first.
    pub rows: Vec<ForeseenRow>,
    /// Chance that the mash lands once it is read and corrected, 0 to 1.
    pub probability_in_range: f64,
}

/// What is due at a reading.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct ForeseenRow {
    /// What the meter shows.
    pub reads: f64,
    /// Acid that is then due, mL or g.
    pub due: f64,
    /// Chance that the mash then lands.
    pub probability_in_range: f64,
    /// Whether a probe is checked before anything is given.
    pub is_far_off: bool,
}

/// Distance of the readings that are foreseen, pH, and how many to either side of what is expected.
const STEP_PH: f64 = 0.05;
const STEPS: i32 = 7;

impl Foreseen {
    /// What readings of the mash will come to; `None` where it is not read, has no range, or the
    /// shelf has no acid for it.
    pub fn of(solution: &Solution<'_>, scenario: &Scenario<'_>) -> Option<Foreseen> {
        let day = solution.day;
        day.targets.mash_ph.as_ref()?;
        if !day.brewhouse.meters.contains(&Meter::Ph) {
            return None;
        }
        let place = match scenario.first_doses() {
            Some(_) => Place::MashFirst,
            None => Place::Mash,
        };
        let brew = Brew::new(solution, scenario, Some(&[]));
        let acid = brew.acid_for_mash()?;
        let [expected, sd] = brew.foretold_reading();
        let middle = (expected / STEP_PH).round();
        let mut rows = Vec::new();
        let (mut chance, mut weights) = (0.0, 0.0);
        for step in -STEPS..=STEPS {
            let reads = STEP_PH * (middle + f64::from(step));
            let correction =
                brew.mash_correction(1, &[MeterReading::at(place, Meter::Ph, reads)])?;
            let row = row(reads, &correction, &acid);
            let z = (reads - expected) / sd;
            let weight = math::exp(-z * z / 2.0);
            chance += weight * row.probability_in_range;
            weights += weight;
            rows.push(row);
        }
        Some(Foreseen {
            place,
            acid,
            rows,
            probability_in_range: chance / weights,
        })
    }
}

fn row(reads: f64, correction: &Correction, acid: &Preparation) -> ForeseenRow {
    let mut doses = correction.doses.iter();
    let due = doses.find(|due| due.preparation.reagent.key == acid.reagent.key);
    let best = correction.doses.first();
    let as_it_is = correction.probability_in_range.unwrap_or(0.0);
    ForeseenRow {
        reads,
        due: due.map_or(0.0, |due| due.amount),
        probability_in_range: best.map_or(as_it_is, |due| due.probability_in_range),
        is_far_off: correction.advice == Advice::CheckProbe,
    }
}

impl Brew<'_, '_> {
    /// What a meter is expected to show in the mash as it is first read, and the standard
    /// deviation of that.
    fn foretold_reading(&self) -> [f64; 2] {
        let forecast = &self.solution.forecast;
        [self.mash(&self.first).ph(), forecast.sd]
    }
}
