//! What can go wrong on a day, one thing at a time.

use underlet_tables::{Parameter, parameters};

use super::evidence::PredictedDay;
use super::meter_reading::{MeterReading, Probe};
use crate::fit::{AcidPart, DoseOption, Purpose, Solution, max_dissolving};
use crate::math;
use crate::readings::{Prediction, Scenario};
use crate::reagent::Preparation;
use crate::recipe::{BrewDay, Meter, ShelfReagent, Vessel};

/// One thing that went wrong.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum Fault {
    /// A slip with an addition.
    Addition {
        /// Step of the plan, from 1.
        step: u32,
        /// Its name, with its strength where it has one.
        name: String,
        /// Where it goes.
        vessel: Vessel,
        /// In which brew; `None` where it concerns all of them.
        brew: Option<usize>,
        /// What slipped.
        slip: Slip,
    },
    /// A probe that is off in all that it reads: pH by an offset, conductivity by a factor,
    /// temperature by an offset.
    Probe {
        /// What it reads.
        meter: Meter,
        /// Which of the two.
        probe: Probe,
    },
}

/// What can slip with an addition.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Slip {
    /// It was not given.
    Forgotten,
    /// It was given twice.
    Doubled,
    /// Half of a solid lies undissolved.
    HalfDissolved,
    /// A liquid is of half the strength it is taken for.
    HalfStrength,
    /// So much was weighed from the tub of another: its key.
    SwappedFor(&'static str),
}

/// A fault with what the day would then look like.
#[derive(Clone, Debug)]
pub(super) struct Suspect {
    pub fault: Fault,
    /// Odds against a day on which nothing goes wrong, before anything is read.
    pub odds: f64,
    /// The brews it concerns as they then went; `None` for a probe, which leaves the day as it is.
    pub prediction: Option<Prediction>,
}

impl Suspect {
    /// The probe that is doubted.
    pub fn probe(&self) -> Option<(Meter, Probe)> {
        match self.fault {
            Fault::Probe { meter, probe } => Some((meter, probe)),
            Fault::Addition { .. } => None,
        }
    }

    /// What the brews of the day should then show.
    pub fn predicted<'p>(&'p self, planned: &'p Prediction) -> PredictedDay<'p> {
        match (&self.fault, &self.prediction) {
            (_, None) => PredictedDay::alike(planned),
            (
                Fault::Addition {
                    brew: Some(brew), ..
                },
                Some(slipped),
            ) => PredictedDay {
                all: planned,
                one: Some((*brew, slipped)),
            },
            (_, Some(slipped)) => PredictedDay::alike(slipped),
        }
    }

    /// Whether any of the readings can speak for it or against it: not where nothing was read by
    /// its probe, or of its brew.
    pub fn is_read(&self, readings: &[MeterReading]) -> bool {
        let mut readings = readings.iter();
        match self.fault {
            Fault::Probe { meter, probe } => {
                readings.any(|one| (one.meter, one.probe) == (meter, probe))
            }
            Fault::Addition {
                brew: Some(brew), ..
            } => readings.any(|one| one.own_brew() == Some(brew)),
            Fault::Addition { brew: None, .. } => true,
        }
    }
}

/// Every fault of a day, in the order of work, a slip in each of the brews that it can happen in;
/// then probes.
pub(super) fn suspects(solution: &Solution<'_>, planned: &Scenario<'_>) -> Vec<Suspect> {
    let mut suspects = Vec::new();
    for step in &solution.steps {
        // No meter of the brewhouse shows chlorine, and nothing is read after what goes into the
        // kettle. The rest of an acid is measured out as the mash is read: its dose slips with the
        // first part.
        let is_read = step.vessel != Vessel::Kettle && step.part != Some(AcidPart::Rest);
        let (Purpose::Fit(index), true) = (step.purpose, is_read) else {
            continue;
        };
        let Some(option) = planned.problem.doses.get(index) else {
            continue;
        };
        for (slip, odds, scenario) in slips(planned, index, option) {
            let Ok(prediction) = Prediction::of(&scenario) else {
                continue;
            };
            let of_brew = |brew| Suspect {
                fault: Fault::Addition {
                    step: step.number,
                    name: step.preparation.label(),
                    vessel: step.vessel,
                    brew,
                    slip,
                },
                odds,
                prediction: Some(prediction.clone()),
            };
            suspects.extend(brews(planned.day, option, slip).into_iter().map(of_brew));
        }
    }
    for meter in Meter::ALL {
        for probe in [Probe::Usual, Probe::Second] {
            suspects.push(Suspect {
                fault: Fault::Probe { meter, probe },
                odds: parameters::CHECK_ODDS_PROBE.value,
                prediction: None,
            });
        }
    }
    suspects
}

/// The brews that a slip can happen in, one at a time; `None` where it concerns all of them: a slip
/// in the tank, and of what is given in each brew the strength of a liquid, since all of them take
/// it out of one bottle.
fn brews(day: &BrewDay, option: &DoseOption, slip: Slip) -> Vec<Option<usize>> {
    if day.brews <= 1 || option.vessel.is_shared() || slip == Slip::HalfStrength {
        return vec![None];
    }
    (1..=day.brews).map(Some).collect()
}

/// Slips with one addition, each with its odds and the day as it then went.
fn slips<'a>(
    planned: &Scenario<'a>,
    index: usize,
    option: &DoseOption,
) -> Vec<(Slip, f64, Scenario<'a>)> {
    let half: (Slip, Parameter) = if option.preparation.reagent.liquid {
        (Slip::HalfStrength, parameters::CHECK_ODDS_HALF_STRENGTH)
    } else {
        (Slip::HalfDissolved, parameters::CHECK_ODDS_HALF_DISSOLVED)
    };
    let amounts = [
        (Slip::Forgotten, parameters::CHECK_ODDS_FORGOTTEN, 0.0),
        (Slip::Doubled, parameters::CHECK_ODDS_DOUBLED, 2.0),
        (half.0, half.1, 0.5),
    ];
    let mut slips: Vec<(Slip, f64, Scenario<'a>)> = amounts
        .into_iter()
        .map(|(slip, odds, times)| {
            let scenario = instead(planned, index, option.preparation, times);
            (slip, odds.value, scenario)
        })
        .collect();
    let tubs = other_tubs(planned, option);
    let odds = parameters::CHECK_ODDS_SWAPPED.value / tubs.len() as f64;
    slips.extend(tubs.into_iter().map(|other| {
        let scenario = instead(planned, index, other, 1.0);
        (Slip::SwappedFor(other.reagent.key), odds, scenario)
    }));
    slips
}

/// The day as it went with a slip in what all its brews share, or in its only one; `None` where an
/// acid for the mash was forgotten, which is given after all, or where a bottle is weaker than it
/// says, so that nothing is known of what is still in it.
pub(crate) fn with_slip<'a>(
    solution: &Solution<'_>,
    planned: &Scenario<'a>,
    fault: &Fault,
) -> Option<Scenario<'a>> {
    let Fault::Addition {
        step,
        brew: None,
        slip,
        ..
    } = fault
    else {
        return None;
    };
    let step = solution.steps.iter().find(|one| one.number == *step)?;
    let Purpose::Fit(index) = step.purpose else {
        return None;
    };
    let option = planned.problem.doses.get(index)?;
    let is_given_later = *slip == Slip::Forgotten && step.is_acid_for_mash();
    if is_given_later || *slip == Slip::HalfStrength {
        return None;
    }
    let mut slips = slips(planned, index, option).into_iter();
    slips
        .find(|(of, ..)| of == slip)
        .map(|(.., scenario)| scenario)
}

/// Solid salts and bases of the shelf that a solid salt or base can be taken for.
fn other_tubs(planned: &Scenario<'_>, option: &DoseOption) -> Vec<Preparation> {
    let is_in_tub = |one: &Preparation| !one.reagent.liquid && !one.is_acid();
    if !is_in_tub(&option.preparation) {
        return Vec::new();
    }
    let shelf = planned.day.shelf.iter();
    shelf
        .filter(|shelved| {
            ShelfReagent::brings_ions(shelved.preparation.reagent)
                && is_in_tub(&shelved.preparation)
        })
        .map(|shelved| shelved.preparation)
        .filter(|other| other.reagent.key != option.preparation.reagent.key)
        .collect()
}

/// The day with an addition of so many times its amount, of this or of another reagent: as much of
/// it as dissolves.
fn instead<'a>(
    planned: &Scenario<'a>,
    index: usize,
    preparation: Preparation,
    times: f64,
) -> Scenario<'a> {
    let mut scenario = planned.clone();
    if let (Some(option), Some(amount)) = (
        scenario.problem.doses.get_mut(index),
        scenario.doses.get_mut(index),
    ) {
        let most = max_dissolving(planned.day, &preparation, option.vessel);
        option.preparation = preparation;
        *amount =
            (*amount * times).min(most.map_or(f64::INFINITY, |most| math::at_least(most, 0.0)));
    }
    scenario
}
