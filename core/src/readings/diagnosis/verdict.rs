//! From likelihoods to a word.

use std::fmt;

use underlet_tables::parameters;

use super::evidence::{self, Evidence, PredictedDay};
use super::fault::{Fault, Slip, Suspect};
use super::meter_reading::{MeterReading, Probe, Sample};
use crate::math::{self, TWO_SIDED_95};
use crate::readings::Prediction;
use crate::recipe::{Meter, Place};
use crate::words;

/// What the readings say.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Verdict {
    /// That nothing is wrong is the most probable. That is no proof.
    AsExpected,
    /// A fault is more probable than that nothing is wrong, but not clearly: no claim.
    Doubtful,
    /// One fault explains them clearly better than that nothing is wrong, and better than the
    /// others: the first explanation.
    Fault,
    /// A fault explains them clearly better than that nothing is wrong, but so many cannot be
    /// distinguished: the first of the explanations that are faults.
    Indistinguishable(usize),
    /// No single explanation fits: more than one thing is wrong, or something else.
    Unexplained,
}

/// What readings say, with every explanation that was weighed.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct Diagnosis {
    /// In a word.
    pub verdict: Verdict,
    /// Every explanation, the most probable first; their probabilities sum to one.
    pub explanations: Vec<Explanation>,
    /// Each reading beside what it should be, in the order of work; reference samples first.
    pub compared: Vec<Compared>,
}

/// One explanation of the readings.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct Explanation {
    /// What went wrong; `None`: nothing.
    pub fault: Option<Fault>,
    /// Its probability among those weighed, 0 to 1: likelihood times how often it happens.
    pub probability: f64,
    /// Natural logarithm of its likelihood, the density of the readings in their own units: only
    /// differences mean something.
    pub ln_likelihood: f64,
    /// Chance of readings at least as far off were it the right one (chi-square).
    pub chance: f64,
    /// How far a probe is off, where it is one.
    pub off_by: Option<OffBy>,
    /// For people.
    pub text: String,
}

/// How far a probe is off: pH, a share of conductivity, or K.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct OffBy {
    /// What it shows too much.
    pub value: f64,
    /// Standard deviation of that.
    pub sd: f64,
}

/// One reading beside what it should be.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct Compared {
    /// The reading.
    pub reading: MeterReading,
    /// Which brew of a day of several; `None` for what all of them share, and on a day of one.
    pub brew: Option<usize>,
    /// What the plan makes it.
    pub expected: f64,
    /// Standard deviation of what the meter shows if nothing is wrong.
    pub sd: f64,
    /// Of a pH of the brew the interval of 95 %, skewed.
    pub interval_95: Option<[f64; 2]>,
}

impl Compared {
    /// Whether the reading lies where 95 % do if nothing is wrong.
    pub fn is_as_expected(&self) -> bool {
        let half_width = TWO_SIDED_95 * self.sd;
        let symmetric = [self.expected - half_width, self.expected + half_width];
        let [low, high] = self.interval_95.unwrap_or(symmetric);
        let [shown, _] = self.reading.cooled_and_in_time();
        (low..=high).contains(&shown)
    }
}

/// What readings say of a day of so many brews, each explanation with its evidence; nothing wrong
/// is among them.
pub(super) fn diagnosis(
    (as_planned, brews): (&Prediction, usize),
    readings: &[MeterReading],
    weighed: &[(Option<&Suspect>, Evidence)],
) -> Diagnosis {
    let ln_weights: Vec<f64> = weighed
        .iter()
        .map(|(suspect, evidence)| {
            let odds = suspect.map_or(1.0, |suspect| suspect.odds);
            math::ln(odds) + evidence.ln_likelihood
        })
        .collect();
    let most = ln_weights.iter().copied().fold(f64::MIN, f64::max);
    let weights: Vec<f64> = ln_weights.iter().map(|ln| math::exp(ln - most)).collect();
    let sum: f64 = weights.iter().sum();
    let mut explanations: Vec<Explanation> = weighed
        .iter()
        .zip(&weights)
        .map(|((suspect, evidence), weight)| {
            let fault = suspect.map(|suspect| &suspect.fault);
            explanation(fault, evidence, weight / sum, readings.len())
        })
        .collect();
    // Equals stay in the order of work.
    explanations.sort_by(|one, other| other.probability.total_cmp(&one.probability));
    Diagnosis {
        verdict: verdict(&explanations),
        explanations,
        compared: compared((as_planned, brews), readings),
    }
}

fn explanation(
    fault: Option<&Fault>,
    evidence: &Evidence,
    probability: f64,
    count: usize,
) -> Explanation {
    let off_by = evidence.off_by.map(|[value, sd]| OffBy { value, sd });
    Explanation {
        fault: fault.cloned(),
        probability,
        ln_likelihood: evidence.ln_likelihood,
        chance: math::chi_square_above(evidence.squared_distance, count),
        off_by,
        text: fault.map_or_else(
            || "nothing wrong".to_owned(),
            |fault| in_words(fault, off_by),
        ),
    }
}

fn verdict(explanations: &[Explanation]) -> Verdict {
    let is_fault = |one: &&Explanation| one.fault.is_some();
    let nothing = explanations.iter().find(|one| one.fault.is_none());
    let best = explanations.iter().find(is_fault);
    let of = |one: Option<&Explanation>| one.map_or(0.0, |one| one.probability);
    let fits = explanations
        .first()
        .is_some_and(|first| first.chance >= parameters::CHECK_FIT_CHANCE.value);
    if !fits {
        return Verdict::Unexplained;
    }
    if of(best) <= of(nothing) {
        return Verdict::AsExpected;
    }
    if of(best) < parameters::CHECK_CLAIM_ODDS.value * of(nothing) {
        return Verdict::Doubtful;
    }
    let close = of(best) / parameters::CHECK_ALIKE_ODDS.value;
    let alike = explanations.iter().filter(is_fault);
    match alike.filter(|one| one.probability >= close).count() {
        0 | 1 => Verdict::Fault,
        several => Verdict::Indistinguishable(several),
    }
}

/// Each reading beside what it should be; a conductivity beside what it should be after the
/// brewer's own reading of the liquor as drawn, which tells more than the report of the water.
fn compared((as_planned, brews): (&Prediction, usize), readings: &[MeterReading]) -> Vec<Compared> {
    let evidence::Comparison {
        means, covariance, ..
    } = evidence::compare(readings, PredictedDay::alike(as_planned));
    let count = means.len();
    let covariance_of = |one: usize, other: usize| {
        let value = covariance.get(one * count + other);
        value.copied().unwrap_or(0.0)
    };
    let first = readings.iter().position(|reading| {
        let is_drawn = reading.sample == Sample::Brew(Place::ColdLiquor);
        is_drawn && (reading.meter, reading.probe) == (Meter::Conductivity, Probe::Usual)
    });
    let beside = readings.iter().zip(&means).enumerate();
    beside
        .map(|(index, (reading, mean))| {
            let (mut expected, mut variance) = (*mean, covariance_of(index, index));
            let is_in_brew = matches!(reading.sample, Sample::Brew(_));
            let follows = is_in_brew && reading.meter == Meter::Conductivity;
            if let Some(first) = first.filter(|first| follows && *first != index)
                && let (Some(read), Some(mean)) = (readings.get(first), means.get(first))
            {
                let shared = covariance_of(index, first);
                let share = shared / covariance_of(first, first);
                expected += share * (read.value - mean);
                variance -= share * shared;
            }
            Compared {
                reading: *reading,
                brew: reading.own_brew().filter(|_| brews > 1),
                expected,
                sd: math::at_least(variance, 0.0).sqrt(),
                interval_95: match reading.sample {
                    Sample::Brew(place) => {
                        let line = as_planned.line(place, reading.meter);
                        line.and_then(|line| line.interval_95)
                    }
                    Sample::Known(_) => None,
                },
            }
        })
        .collect()
}

fn in_words(fault: &Fault, off_by: Option<OffBy>) -> String {
    match fault {
        Fault::Addition {
            step,
            name,
            vessel,
            brew,
            slip,
        } => {
            let what = match slip {
                Slip::Forgotten => "forgotten".to_owned(),
                Slip::Doubled => "added twice".to_owned(),
                Slip::HalfDissolved => "half of it not dissolved".to_owned(),
                Slip::HalfStrength => "at half strength".to_owned(),
                Slip::SwappedFor(other) => format!("{other} weighed in its place"),
            };
            let brew = brew.map_or_else(String::new, |brew| format!("in brew {brew}: "));
            format!("{brew}step {step}, {name}, {}: {what}", vessel.label())
        }
        Fault::Probe { meter, probe } => {
            let second = match probe {
                Probe::Usual => "",
                Probe::Second => "second ",
            };
            let by = off_by.map_or_else(String::new, |by| format!(" by {}", by.in_words(*meter)));
            let probe = match meter {
                Meter::Ph => "pH probe",
                Meter::Conductivity => "conductivity meter",
                Meter::Temperature => "thermometer",
            };
            format!("{second}{probe} off{by}")
        }
    }
}

impl OffBy {
    fn in_words(self, meter: Meter) -> String {
        let OffBy { value, sd } = self;
        match meter {
            Meter::Ph => format!("{} ± {sd:.2}", words::change(value, 2)),
            Meter::Conductivity => {
                format!("{} ± {:.0} %", words::change(value * 100.0, 0), sd * 100.0)
            }
            Meter::Temperature => format!("{} ± {sd:.1} K", words::change(value, 1)),
        }
    }
}

impl Verdict {
    /// How many faults it names.
    pub const fn named(self) -> usize {
        match self {
            Verdict::Fault => 1,
            Verdict::Indistinguishable(count) => count,
            Verdict::AsExpected | Verdict::Doubtful | Verdict::Unexplained => 0,
        }
    }
}

impl Diagnosis {
    /// The one fault that it names.
    pub fn fault(&self) -> Option<&Fault> {
        let mut explanations = self.explanations.iter();
        let fault = explanations.find_map(|one| one.fault.as_ref());
        fault.filter(|_| self.verdict == Verdict::Fault)
    }

    /// The verdict as a sentence, with the faults that it names.
    pub fn sentence(&self) -> String {
        let verdict = match self.verdict {
            Verdict::AsExpected => "As expected.",
            Verdict::Doubtful => {
                "Unclear: something is probably wrong. Check the probe in a buffer or a standard, \
                 then read again."
            }
            Verdict::Fault => "Probably one fault:",
            Verdict::Indistinguishable(_) => {
                "Something is wrong; these explanations cannot be distinguished:"
            }
            Verdict::Unexplained => {
                "No single explanation fits: read again, with a second probe, and check the first \
                 in a buffer or a standard."
            }
        };
        let faults = self.explanations.iter().filter(|one| one.fault.is_some());
        let named: Vec<String> = faults
            .take(self.verdict.named())
            .map(|one| format!("{} ({:.0} %)", one.text, one.probability * 100.0))
            .collect();
        format!("{verdict} {}", named.join("; "))
            .trim_end()
            .to_owned()
    }
}

impl fmt::Display for Compared {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let MeterReading {
            sample,
            meter,
            probe,
            value,
            ..
        } = self.reading;
        let place = match sample {
            Sample::Brew(place) => place.label(),
            Sample::Known(_) => match meter {
                Meter::Ph => "buffer",
                Meter::Conductivity => "standard",
                Meter::Temperature => "known temperature",
            },
        };
        let second = match probe {
            Probe::Usual => "",
            Probe::Second => ", second probe",
        };
        let unit = match meter.unit() {
            "" => String::new(),
            unit => format!(" {unit}"),
        };
        let expected = match self.interval_95 {
            Some(ends) => words::with_interval(self.expected, ends, 2),
            None => format!(
                "{} ± {}{unit}",
                meter.write(self.expected),
                meter.write(TWO_SIDED_95 * self.sd)
            ),
        };
        let brew = self.brew;
        let brew = brew.map_or_else(String::new, |brew| format!("brew {brew}, "));
        write!(
            f,
            "{brew}{place} {}{second}: read {}, expected {expected}",
            meter.label(),
            meter.write(value),
        )
    }
}

/// Explanations that are shown beyond those that the verdict names.
const SHOWN: usize = 3;

impl fmt::Display for Diagnosis {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for compared in &self.compared {
            writeln!(f, "{compared}")?;
        }
        writeln!(f, "{}", self.sentence())?;
        writeln!(f, "Possible explanations:")?;
        let shown = self.verdict.named() + SHOWN;
        for one in self.explanations.iter().take(shown) {
            writeln!(f, "  {:5.1} %  {}", one.probability * 100.0, one.text)?;
        }
        Ok(())
    }
}
