//! Are single faults of a brew day found, and sound days left alone? Asked of a seeded world in
//! which the truth is known.
//!
//! *Detectable* is decided before anything is read: the readings that a day's meters would show
//! with the fault, free of all scatter, must put it ahead of every other explanation, nothing wrong
//! among them, by odds of twenty to one ([`DETECTABLE_LEAD`]). Real readings scatter that lead:
//! against one rival that is as plausible, twenty to one are readings 2.4 standard deviations apart
//! (their Mahalanobis distance d, since the lead is d²/2), and the right one then comes first in 89
//! of 100 (it scatters by d); in fewer against nothing wrong, which is more plausible beforehand,
//! or where there are several.

pub(crate) mod day;
pub mod truth;

use underlet::readings::diagnosis::{
    Diagnosis, Diagnostics, Fault, MeterReading, Probe, Sample, Slip, Verdict,
};
use underlet::reagent::AmountUnit;
use underlet::{BrewDay, Meter, Place, Plan};

use crate::dice::Dice;
use truth::Wrong;

/// Lead of the right explanation over the next from which a fault counts as detectable, as a
/// natural logarithm: ln 20.
pub const DETECTABLE_LEAD: f64 = 2.995_732_273_553_991;

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

/// A day with a fault.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FaultyDay {
    /// Its kind, a place in [`KINDS`].
    pub kind: usize,
    /// How far the right explanation is ahead of the next free of all scatter, as a natural
    /// logarithm.
    pub lead: f64,
    /// What kind of explanation the next one is.
    pub rival: &'static str,
    /// Whether the right explanation came first.
    pub is_first: bool,
    /// Whether it was named: alone, or among those that cannot be distinguished.
    pub is_named: bool,
    /// Whether another one was named alone.
    pub is_misnamed: bool,
}

impl FaultyDay {
    /// Whether the fault was detectable.
    pub fn is_detectable(&self) -> bool {
        self.lead >= DETECTABLE_LEAD
    }
}

/// What came of all days.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Outcome {
    /// Days with a fault.
    pub faulty: Vec<FaultyDay>,
    /// Days without one.
    pub sound: usize,
    /// Of these, days on which one was claimed.
    pub alarms: usize,
    /// Of these, days of doubt: a fault is more probable than none, and none is claimed.
    pub doubts: usize,
    /// Of these, days whose readings are as far off as chance alone has it on one day of twenty,
    /// if nothing is wrong.
    pub beyond: usize,
    /// Their readings, one by one.
    pub readings: usize,
    /// Sum over these of how far each is off, in its standard deviations, squared.
    pub squares: f64,
    /// Their readings of pH by the usual probe, by place: on which side of the interval that the
    /// plan states for 95 % of them each lies.
    pub of_interval: Vec<(Place, Side)>,
    /// The volumes that brought liquor to the end points of these days, beside their ends.
    pub of_end_point: Vec<Side>,
    /// What a meter shows in that liquor later, beside the interval that the plan states.
    pub once_poured: Vec<Side>,
}

/// Where a reading lies beside its interval.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// Below its low end.
    Below,
    /// Between its ends.
    Inside,
    /// Above its high end.
    Above,
}

impl Side {
    fn of(value: f64, [low, high]: [f64; 2]) -> Side {
        if value < low {
            Side::Below
        } else if value > high {
            Side::Above
        } else {
            Side::Inside
        }
    }

    /// Share of some that are this one, %.
    pub fn percent(self, of: impl IntoIterator<Item = Side>) -> f64 {
        let (mut all, mut with) = (0_u32, 0_u32);
        for side in of {
            all += 1;
            with += u32::from(side == self);
        }
        100.0 * f64::from(with) / f64::from(all.max(1))
    }
}

impl Outcome {
    /// Share of the readings of pH at a place that lie on a side of their intervals, %; of all
    /// places where none is named.
    pub fn interval_percent(&self, place: Option<Place>, side: Side) -> f64 {
        let of_place = self.of_interval.iter();
        let of_place = of_place.filter(|(of, _)| place.is_none_or(|place| *of == place));
        side.percent(of_place.map(|(_, side)| *side))
    }

    /// Share of faulty days that have something, of those that are looked at, %.
    pub fn percent(
        &self,
        of: impl Fn(&FaultyDay) -> bool,
        have: impl Fn(&FaultyDay) -> bool,
    ) -> f64 {
        let looked_at = self.faulty.iter().filter(|day| of(day));
        let (mut all, mut with) = (0_u32, 0_u32);
        for day in looked_at {
            all += 1;
            with += u32::from(have(day));
        }
        100.0 * f64::from(with) / f64::from(all.max(1))
    }

    /// Share of sound days on which a fault is claimed, %.
    pub fn alarms_percent(&self) -> f64 {
        100.0 * self.alarms as f64 / self.sound.max(1) as f64
    }
}

/// A day with its plan and what is read on it.
struct Brew {
    day: BrewDay,
    plan: Plan,
    checks: Diagnostics,
    meters: Vec<MeterReading>,
}

impl Brew {
    fn draw(dice: &mut Dice) -> Brew {
        let day = day::draw(dice);
        let plan = day.plan().expect("a plan");
        let checks = day.diagnostics().expect("checks");
        let meters = day::meters(dice, &predicted(&day));
        Brew {
            day,
            plan,
            checks,
            meters,
        }
    }

    fn read(&self, dice: &mut Dice, wrong: Option<&Wrong>) -> Diagnosis {
        let readings = truth::read(dice, &self.day, &self.plan, wrong, &self.meters);
        self.checks.diagnose(&readings).expect("readings")
    }
}

/// What a day predicts.
fn predicted(day: &BrewDay) -> Vec<(Place, Meter)> {
    let mut predicted = Vec::new();
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
        predicted.push((place, Meter::Ph));
        if !is_wort {
            predicted.push((place, Meter::Conductivity));
        }
        if !matches!(place, Place::ColdLiquor | Place::Kettle) {
            predicted.push((place, Meter::Temperature));
        }
    }
    predicted
}

/// The kind of a fault, as a place in [`KINDS`]; nothing for one that is not tried.
fn kind(fault: &Fault, plan: &Plan) -> Option<usize> {
    match fault {
        Fault::Addition { step, slip, .. } => {
            let addition = plan.additions.iter().find(|one| one.step == *step)?;
            let is_acid = addition.unit == AmountUnit::Millilitre;
            match slip {
                Slip::Forgotten if !is_acid => Some(0),
                Slip::Doubled if !is_acid => Some(1),
                Slip::SwappedFor(_) => Some(2),
                Slip::HalfDissolved => Some(3),
                Slip::HalfStrength => Some(4),
                Slip::Forgotten | Slip::Doubled => None,
                other => unreachable!("{other:?} is unknown here"),
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
        other => unreachable!("{other:?} is unknown here"),
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
        outcome.faulty.push(try_fault(dice, &brew, kind, &wrong));
        let sound = brew.read(dice, None);
        outcome.sound += 1;
        outcome.alarms += usize::from(is_claim(sound.verdict));
        outcome.doubts += usize::from(sound.verdict == Verdict::Doubtful);
        let nothing = sound.explanations.iter().find(|one| one.fault.is_none());
        outcome.beyond += usize::from(nothing.expect("weighed").chance < 0.05);
        outcome.readings += sound.compared.len();
        outcome.squares += sound
            .compared
            .iter()
            .map(|one| ((one.reading.value - one.expected) / one.sd).powi(2))
            .sum::<f64>();
        outcome.of_interval.extend(of_interval(&brew, &sound));
        for poured in truth::poured(dice, &brew.day, &brew.plan) {
            let [volume, reading] = [poured.volume, poured.reading];
            outcome.of_end_point.push(Side::of(volume.0, volume.1));
            outcome.once_poured.push(Side::of(reading.0, reading.1));
        }
    }
    outcome
}

/// On which side of its interval each reading of pH by the usual probe lies.
fn of_interval<'b>(
    brew: &'b Brew,
    sound: &'b Diagnosis,
) -> impl Iterator<Item = (Place, Side)> + 'b {
    let read = sound.compared.iter().map(|one| &one.reading);
    let by_usual = read.filter(|one| day::is_by(one, Meter::Ph, Probe::Usual));
    by_usual.filter_map(|one| {
        let Sample::Brew(place) = one.sample else {
            return None;
        };
        let mut expected = brew.plan.readings.iter();
        let expected = expected.find(|of| (of.place, of.meter) == (place, Meter::Ph))?;
        let ends = expected.interval_95.expect("of a pH");
        Some((place, Side::of(one.value, ends)))
    })
}

/// A fault that this day can have: a kind first, every kind alike, then one of it.
fn draw_fault(dice: &mut Dice, brew: &Brew) -> Option<(usize, Wrong)> {
    let wanted = dice.pick(KINDS.len());
    let faults: Vec<&Fault> = brew
        .checks
        .faults()
        .filter(|fault| kind(fault, &brew.plan) == Some(wanted))
        .collect();
    if faults.is_empty() {
        return None;
    }
    let wrong = Wrong {
        fault: (*dice.one_of(&faults)).clone(),
        side: if dice.heads(50) { 1.0 } else { -1.0 },
    };
    truth::is_read(&wrong, &brew.meters).then_some((wanted, wrong))
}

/// Whether something is said to be wrong.
fn is_claim(verdict: Verdict) -> bool {
    match verdict {
        Verdict::AsExpected | Verdict::Doubtful => false,
        Verdict::Fault | Verdict::Indistinguishable(_) | Verdict::Unexplained => true,
        other => unreachable!("{other:?} is unknown here"),
    }
}

fn try_fault(dice: &mut Dice, brew: &Brew, kind: usize, wrong: &Wrong) -> FaultyDay {
    let quiet = truth::noise_free(&brew.checks, wrong, &brew.meters);
    let foreseen = brew.checks.diagnose(&quiet).expect("readings");
    let (lead, rival) = lead(&foreseen, &wrong.fault);
    let found = brew.read(dice, Some(wrong));
    let is_right = |fault: Option<&Fault>| fault == Some(&wrong.fault);
    let named = match found.verdict {
        Verdict::Fault => 1,
        Verdict::Indistinguishable(several) => several,
        Verdict::AsExpected | Verdict::Doubtful | Verdict::Unexplained => 0,
        other => unreachable!("{other:?} is unknown here"),
    };
    let mut faults = found.explanations.iter().map(|one| one.fault.as_ref());
    let is_first = is_right(faults.next().flatten());
    let mut faults = found
        .explanations
        .iter()
        .filter_map(|one| one.fault.as_ref());
    let is_named = faults
        .by_ref()
        .take(named)
        .any(|fault| is_right(Some(fault)));
    FaultyDay {
        kind,
        lead,
        rival,
        is_first,
        is_named,
        is_misnamed: found.verdict == Verdict::Fault && !is_named,
    }
}

/// How far a fault is ahead of the next explanation, as a natural logarithm, and what kind of thing
/// that is.
fn lead(diagnosis: &Diagnosis, fault: &Fault) -> (f64, &'static str) {
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
        None => "nothing wrong: the shift is small beside what water, malt and meters scatter",
        Some(Fault::Probe { .. }) => {
            "a probe that is off: nothing known was read that would clear it"
        }
        Some(Fault::Addition { .. }) => "another slip: it shifts the readings alike",
        Some(other) => unreachable!("{other:?} is unknown here"),
    };
    ((of_right / rival.probability).ln(), what)
}
