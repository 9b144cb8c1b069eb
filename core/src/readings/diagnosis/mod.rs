//! What the meters said against what they should say: which single explanation fits best.
//!
//! Every explanation (nothing wrong; one addition forgotten, given twice, taken from another's tub,
//! dissolved by half or of half its strength; one probe off) has a prediction of its own: the day
//! is followed through the vessels as it would then have gone. Its likelihood is that of a normal
//! distribution about that prediction, with the full covariance of the readings:
//!
//! ```text
//! C = Σ (what one cause does to every reading)² + (what one probe is off by)² + scatter of each reading
//! ```
//!
//! Causes shared by readings are the strength, alkalinity and pH of each source (of one that was
//! reconciled from report and bench the columns of its covariance's Cholesky factor), what each
//! addition brings, the carbon dioxide that has left, the computed conductivity, the malts
//! (mash and kettle), each slope taken between one standard deviation to either side, and each bend
//! as a cause of its own. Liquor whose acid all but uses up its alkalinity changes its pH more
//! steeply than that: its distribution is taken as two halves of normal ones, as wide as the two
//! sides of its interval. What a meter's temperature correction is off by is shared by its cold
//! samples, and by its hot ones. How far a probe is off is not known beforehand: it is fitted, and
//! paid for, by a normal distribution about nothing. Likelihood times plausibility, made to sum to
//! one, is the probability of each.
//!
//! Brews of one day have in common what they are all made of and read with: the sources, what goes
//! into the tank, the carbon dioxide that leaves, the malts, the models of conductivity, mash and
//! wort, the meters with their temperature corrections. Of its own each brew has what is weighed
//! for it, the temperatures of its vessels, when and how its mash is sampled, and the scatter of
//! each reading. A slip with an addition that is given in each brew is a fault of one of them and
//! leaves the others as planned; a liquid of half its strength, which comes out of one bottle, and
//! a slip in the tank are faults of all.
//!
//! A fault is claimed only where the best one is clearly more probable than that nothing is wrong;
//! where others come close, all of them are named and none is chosen. One fault at a time: two at
//! once show as readings that no explanation fits.
//!
//! A reading in a reference sample (a buffer, a conductivity standard, melting ice) or by a second
//! probe distinguishes a probe that is off from a slip of the hand: it is off there as well.
//!
//! All is compared with the amounts of the plan. A pH that acid was poured to is what it was poured
//! to: where that took another volume than the plan's, leave it out.
//!
//! Judged: how often hands err, how far bad probes are off (`check-judged` in the tables). A
//! reading is taken to be of what it says; the sparge's own part in the kettle's error is taken as
//! apart from that of the water.
//!
//! ```
//! use underlet::readings::diagnosis::{MeterReading, Verdict};
//! use underlet::{BrewDay, EXAMPLES, Meter, Place};
//!
//! let day = BrewDay::from_json(EXAMPLES[0].1)?;
//! let diagnostics = day.diagnostics()?;
//! let expected = diagnostics.readings();
//! let tank = expected.iter().find(|reading| reading.what == "tank_conductivity").expect("there is a tank");
//!
//! // The tank reads 100 µS/cm less than it should, though the liquor it was made of read as it should.
//! let cold = expected.iter().find(|reading| reading.what == "cold_liquor_conductivity").expect("as drawn");
//! let diagnosis = diagnostics.diagnose(&[
//!     MeterReading::at(Place::ColdLiquor, Meter::Conductivity, cold.expected),
//!     MeterReading::at(Place::Tank, Meter::Conductivity, tank.expected - 100.0),
//!     MeterReading::known(Meter::Conductivity, 1413.0, 1410.0),
//! ])?;
//! assert_ne!(diagnosis.verdict, Verdict::AsExpected);
//! println!("{diagnosis}");
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod document;
mod error;
mod evidence;
mod fault;
mod meter_reading;
mod verdict;

pub use document::{
    DiagnosisAddition, DiagnosisDocument, DiagnosisExplanation, DiagnosisProbe, DiagnosisReading,
    ExplanationCode, VerdictCode,
};
pub use error::DiagnosisError;
pub(crate) use fault::with_slip;
pub use fault::{Fault, Slip};
pub use meter_reading::{MeterReading, Probe, Sample};
pub use verdict::{Compared, Diagnosis, Explanation, OffBy, Verdict};

use super::{Prediction, Reading, Scenario};
use crate::fit::{PlanError, Solution, solve_day};
use crate::quantity::Substance;
use crate::recipe::{self, BrewDay, Place};
use evidence::{Evidence, PredictedDay};
use fault::Suspect;

/// All that is known beforehand about the readings of a day: make it once, diagnose as often as
/// something is read.
#[derive(Clone, Debug)]
pub struct Diagnostics {
    as_planned: Prediction,
    readings: Vec<Reading>,
    suspects: Vec<Suspect>,
    brews: usize,
}

impl Diagnostics {
    /// What the meters should show on a day, and what they would show with each fault.
    ///
    /// # Errors
    /// [`PlanError`], where the day does not make sense, has no plan or one of its liquors no
    /// equilibrium. A fault that would leave a liquor without one is no explanation.
    pub fn of(day: &BrewDay) -> Result<Diagnostics, PlanError> {
        recipe::check(day)?;
        let solution = solve_day(day)?;
        let scenario = Scenario::planned(&solution);
        Diagnostics::planned(&solution, &scenario, Place::ALL.into_iter())
    }

    /// The same of a day that is planned, for readings in some places.
    pub(crate) fn planned(
        solution: &Solution<'_>,
        scenario: &Scenario<'_>,
        places: impl Iterator<Item = Place>,
    ) -> Result<Diagnostics, PlanError> {
        let (as_planned, foretold) = super::foretold(solution, scenario)?;
        Ok(Diagnostics {
            readings: foretold.readings,
            suspects: fault::suspects(solution, &scenario.sampled_at(places)),
            as_planned,
            brews: solution.day.brews,
        })
    }

    /// What the meters should show, in the order of work: those of the plan.
    pub fn readings(&self) -> &[Reading] {
        &self.readings
    }

    /// Which explanation fits these readings best. Their order does not matter.
    ///
    /// # Errors
    /// [`DiagnosisError`], of any kind but [`DiagnosisError::Plan`].
    pub fn diagnose(&self, readings: &[MeterReading]) -> Result<Diagnosis, DiagnosisError> {
        for (index, reading) in readings.iter().enumerate() {
            self.accept(index, reading)?;
        }
        let mut sorted = readings.to_vec();
        sorted.sort_by(in_order);
        let as_planned = PredictedDay::alike(&self.as_planned);
        let mut weighed = vec![(None, Evidence::of(&sorted, as_planned, None)?)];
        let suspects = self.suspects.iter();
        for suspect in suspects.filter(|suspect| suspect.is_read(&sorted)) {
            let day = suspect.predicted(&self.as_planned);
            let evidence = Evidence::of(&sorted, day, suspect.probe())?;
            weighed.push((Some(suspect), evidence));
        }
        let day = (&self.as_planned, self.brews);
        Ok(verdict::diagnosis(day, &sorted, &weighed))
    }

    /// What these meters would show without scatter if nothing is wrong, or with a slip: the values
    /// given are ignored. A probe that is off shows as if nothing were wrong, since how
    /// far it is off is not known beforehand. `None` for a fault that this day cannot have, or
    /// a reading that it does not predict.
    pub fn shown(&self, fault: Option<&Fault>, readings: &[MeterReading]) -> Option<Vec<f64>> {
        let mut day = PredictedDay::alike(&self.as_planned);
        if let Some(fault) = fault {
            let suspect = self.suspects.iter().find(|one| one.fault == *fault)?;
            day = suspect.predicted(&self.as_planned);
        }
        readings.iter().map(|reading| day.mean(reading)).collect()
    }

    /// Every fault that is looked for on this day.
    pub fn faults(&self) -> impl Iterator<Item = &Fault> {
        self.suspects.iter().map(|suspect| &suspect.fault)
    }

    fn accept(&self, index: usize, reading: &MeterReading) -> Result<(), DiagnosisError> {
        let stated = match reading.sample {
            Sample::Known(stated) => stated,
            Sample::Brew(place) => {
                let mut predicted = self.readings.iter();
                if !predicted.any(|one| (one.place, one.meter) == (place, reading.meter)) {
                    return Err(DiagnosisError::NotPredicted {
                        reading: index,
                        place,
                        meter: reading.meter,
                    });
                }
                reading.value
            }
        };
        let brews = reading.own_brew().map_or(1, |_| self.brews);
        if !(1..=brews).contains(&reading.brew) {
            return Err(DiagnosisError::NoSuchBrew {
                reading: index,
                brew: reading.brew,
                brews,
            });
        }
        let quantity = reading.meter.quantity();
        let shows = |value: f64| quantity.check(value, &Substance::NONE).is_ok();
        if shows(stated) && shows(reading.value) {
            Ok(())
        } else {
            Err(DiagnosisError::NotAReading { reading: index })
        }
    }
}

/// One order of readings, so that sums of them give the same bits however they were given: what all
/// brews share before what is of each.
fn in_order(one: &MeterReading, other: &MeterReading) -> std::cmp::Ordering {
    let key = |reading: &MeterReading| match reading.sample {
        Sample::Brew(place) => (Some(place), 0.0),
        Sample::Known(stated) => (None, stated),
    };
    let ((place, stated), (other_place, other_stated)) = (key(one), key(other));
    (one.own_brew(), place, one.meter, one.probe)
        .cmp(&(other.own_brew(), other_place, other.meter, other.probe))
        .then(stated.total_cmp(&other_stated))
        .then(one.value.total_cmp(&other.value))
        .then_with(|| {
            let [one, other] = [one, other].map(MeterReading::cooled_and_in_time);
            one[0].total_cmp(&other[0])
        })
}
