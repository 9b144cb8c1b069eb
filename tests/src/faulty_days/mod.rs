//! Are single faults of a brew day found, and sound days left alone? Asked of a seeded world in which the truth is known.
//!
//! *Detectable* is settled before anything is read: the readings that a day's meters would show with the fault, free of all
//! scatter, must put it ahead of every other explanation, nothing wrong among them, by [`NEEDED_LEAD`] in the natural logarithm of the
//! probability. That is half of three standard deviations squared: explanations whose readings lie three standard
//! deviations apart (Mahalanobis distance, squared: nine), and plausible alike. Real readings scatter the lead by as many
//! standard deviations, so that against one rival the right one comes first in 93 of 100, less where there are several.

mod day;
pub mod truth;

use std::collections::BTreeMap;

use underlet::brewday::check::{Checks, Diagnosis, Fault, MeterReading, Probe, Slip, Verdict};
use underlet::brewday::{BrewDay, Meter, Place, Plan};

use crate::dice::Dice;
use truth::Wrong;

/// Lead of the right explanation over the next, as a natural logarithm, from which a fault counts as detectable.
pub const NEEDED_LEAD: f64 = 4.5;

/// Kinds of fault, in the order in which they are reported.
pub const KINDS: [&str; 7] = [
    "salt forgotten",
    "salt doubled",
    "salt swapped",
    "salt half dissolved",
    "acid half strength",
    "pH probe off by 0.2",
    "conductivity probe 10 % off",
];

/// What came of the days with a fault of one kind.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Tally {
    /// Days.
    pub days: usize,
    /// Days on which it was detectable.
    pub detectable: usize,
    /// Of these, days on which the right explanation came first.
    pub first: usize,
    /// Of these, days on which it was claimed, alone or with others that cannot be told apart.
    pub claimed: usize,
    /// Of all days, days on which the right explanation came first.
    pub first_of_all: usize,
    /// Days on which it was not detectable, by what stands in its way.
    pub rivals: BTreeMap<String, usize>,
}

/// What came of all days.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Outcome {
    /// Faulty days by kind, in the order of [`KINDS`].
    pub kinds: [Tally; KINDS.len()],
    /// Days without a fault.
    pub sound: usize,
    /// Of these, days on which one was claimed.
    pub alarms: usize,
}

impl Outcome {
    /// All kinds together.
    pub fn all(&self) -> Tally {
        let mut all = Tally::default();
        for tally in &self.kinds {
            all.days += tally.days;
            all.detectable += tally.detectable;
            all.first += tally.first;
            all.claimed += tally.claimed;
            all.first_of_all += tally.first_of_all;
            for (rival, count) in &tally.rivals {
                *all.rivals.entry(rival.clone()).or_default() += count;
            }
        }
        all
    }
}

/// A day with its plan and what is read on it.
struct Brew {
    day: BrewDay,
    plan: Plan,
    checks: Checks,
    meters: Vec<MeterReading>,
}

impl Brew {
    fn draw(dice: &mut Dice) -> Brew {
        let day = day::draw(dice);
        let plan = day.plan().expect("a plan");
        let checks = day.checks().expect("checks");
        let meters = day::meters(dice, &foretold(&day));
        Brew {
            day,
            plan,
            checks,
            meters,
        }
    }

    fn read(&self, dice: &mut Dice, wrong: Option<&Wrong>) -> Diagnosis {
        let readings = truth::read(dice, &self.day, &self.plan, wrong, &self.meters);
        self.checks.check(&readings).expect("readings")
    }
}

/// What a day foretells.
fn foretold(day: &BrewDay) -> Vec<(Place, Meter)> {
    let mut foretold = Vec::new();
    for place in [
        Place::ColdLiquor,
        Place::Tank,
        Place::MashLiquor,
        Place::Mash,
        Place::SpargeLiquor,
        Place::Kettle,
    ] {
        if place == Place::Tank && day.tank.is_none() {
            continue;
        }
        let is_wort = matches!(place, Place::Mash | Place::Kettle);
        foretold.push((place, Meter::Ph));
        if !is_wort {
            foretold.push((place, Meter::Conductivity));
        }
        if !matches!(place, Place::ColdLiquor | Place::Kettle) {
            foretold.push((place, Meter::Temperature));
        }
    }
    foretold
}

/// The kind of a fault, as a place in [`KINDS`]; nothing for one that is not tried.
fn kind(fault: &Fault, plan: &Plan) -> Option<usize> {
    match fault {
        Fault::Addition { step, slip, .. } => {
            let addition = plan.additions.iter().find(|one| one.step == *step)?;
            let is_acid = addition.unit == "mL";
            match slip {
                Slip::Forgotten if !is_acid => Some(0),
                Slip::Doubled if !is_acid => Some(1),
                Slip::SwappedFor(_) => Some(2),
                Slip::HalfDissolved => Some(3),
                Slip::HalfStrength => Some(4),
                Slip::Forgotten | Slip::Doubled => None,
            }
        }
        Fault::Probe {
            meter: Meter::Ph,
            probe: Probe::Usual,
        } => Some(5),
        Fault::Probe {
            meter: Meter::Conductivity,
            probe: Probe::Usual,
        } => Some(6),
        Fault::Probe { .. } => None,
    }
}

/// So many days with one fault each and as many without, from a seed.
pub fn try_out(days: usize, seed: u64) -> Outcome {
    let mut outcome = Outcome::default();
    let dice = &mut Dice(seed);
    while outcome.sound < days {
        let brew = Brew::draw(dice);
        let Some((kind, wrong)) = draw_fault(dice, &brew) else {
            continue;
        };
        outcome.kinds[kind].try_fault(dice, &brew, &wrong);
        let sound = brew.read(dice, None);
        outcome.sound += 1;
        outcome.alarms += usize::from(sound.verdict != Verdict::AsExpected);
    }
    outcome
}

/// A fault that this day can have: a kind first, every kind alike, then one of it.
fn draw_fault(dice: &mut Dice, brew: &Brew) -> Option<(usize, Wrong)> {
    let wanted = dice.below(KINDS.len());
    let faults: Vec<&Fault> = brew
        .checks
        .faults()
        .filter(|fault| kind(fault, &brew.plan) == Some(wanted))
        .collect();
    if faults.is_empty() {
        return None;
    }
    let wrong = Wrong {
        fault: dice.pick(&faults).clone(),
        side: if dice.heads(50) { 1.0 } else { -1.0 },
    };
    truth::is_read(&wrong, &brew.meters).then_some((wanted, wrong))
}

impl Tally {
    fn try_fault(&mut self, dice: &mut Dice, brew: &Brew, wrong: &Wrong) {
        self.days += 1;
        let quiet = truth::noise_free(&brew.checks, wrong, &brew.meters);
        let foreseen = brew.checks.check(&quiet).expect("readings");
        let (lead, rival) = lead(&foreseen, &wrong.fault);
        let found = brew.read(dice, Some(wrong));
        let is_first = found.explanations[0].fault.as_ref() == Some(&wrong.fault);
        self.first_of_all += usize::from(is_first);
        if lead >= NEEDED_LEAD {
            self.detectable += 1;
            self.first += usize::from(is_first);
            self.claimed += usize::from(is_first && found.verdict != Verdict::AsExpected);
        } else {
            *self.rivals.entry(rival).or_default() += 1;
        }
    }
}

/// How far a fault is ahead of the next explanation, as a natural logarithm, and what kind of thing that is.
fn lead(diagnosis: &Diagnosis, fault: &Fault) -> (f64, String) {
    let explanations = &diagnosis.explanations;
    let is_right = |of: Option<&Fault>| of == Some(fault);
    let of_right = explanations
        .iter()
        .find(|one| is_right(one.fault.as_ref()))
        .map_or(0.0, |one| one.probability);
    let rival = explanations
        .iter()
        .find(|one| !is_right(one.fault.as_ref()))
        .expect("nothing wrong is one");
    let what = match &rival.fault {
        None => "nothing wrong: the shift is lost in what water, malt and meters scatter",
        Some(Fault::Probe { .. }) => "a probe that is off, and nothing known it was held into",
        Some(Fault::Addition { .. }) => "another slip that shifts the readings alike",
    };
    ((of_right / rival.probability).ln(), what.to_owned())
}
