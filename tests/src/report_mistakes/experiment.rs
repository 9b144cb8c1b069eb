//! The experiment: rows that balance within 3 % get each usual mistake put in, and are weighed from
//! their ions alone and with a hardness, dissolved solids or a conductivity beside them. Everything
//! random is seeded.

use std::collections::BTreeMap;

use underlet::aqueous::Aqueous;
use underlet::component::{Component, Composition};
use underlet::liquor::{Liquor, assumed_ph};
use underlet::quantity::{HCO3_G_PER_EQ, WATER_KG_PER_L_20C};
use underlet::water_report::{Mistake, Subject, WaterReport, Weighing};

use super::findings::subject_in_words;
use super::injection::{self, Injection, LINES, with, without};
use super::table::Row;
use crate::dice::Dice;
use crate::waters::CO3_G_PER_EQ;

/// Rows that balance within this are taken for sound, per cent.
const SOUND_PERCENT: f64 = 3.0;
/// A mistake that moves the balance by more than this counts as moving it, per cent.
const MOVED_PERCENT: f64 = 8.0;
/// Scatter of made accompanying values, relative: hardness and conductivity, and solids.
const MADE_SCATTER: f64 = 0.03;
const MADE_SCATTER_SOLIDS: f64 = 0.05;
const SEED: u64 = 20_260;

/// What stands beside the ions.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Mode {
    /// Nothing: the nearest balance is named.
    Nearest,
    /// Nothing.
    Alone,
    /// Hardness.
    Hardness,
    /// Dissolved solids.
    Solids,
    /// Conductivity.
    Conductivity,
    /// All three.
    Together,
}

impl Mode {
    /// All of them.
    pub const ALL: [Mode; 6] = [
        Mode::Nearest,
        Mode::Alone,
        Mode::Hardness,
        Mode::Solids,
        Mode::Conductivity,
        Mode::Together,
    ];

    fn beside(self) -> &'static [Subject] {
        match self {
            Mode::Nearest | Mode::Alone => &[],
            Mode::Hardness => &[Subject::Hardness],
            Mode::Solids => &[Subject::DissolvedSolids],
            Mode::Conductivity => &[Subject::Conductivity],
            Mode::Together => &[
                Subject::Hardness,
                Subject::DissolvedSolids,
                Subject::Conductivity,
            ],
        }
    }
}

/// How often a mistake was found.
#[derive(Clone, Copy, Debug, Default)]
pub struct Score {
    /// Trials.
    pub trials: usize,
    /// Named first.
    pub first: usize,
    /// Among the first two.
    pub two: usize,
    /// Not seen: the report as written was held the likeliest.
    pub unseen: usize,
}

impl Score {
    fn add(&mut self, other: Score) {
        self.trials += other.trials;
        self.first += other.first;
        self.two += other.two;
        self.unseen += other.unseen;
    }

    /// Share named first.
    pub fn first_share(&self) -> f64 {
        self.first as f64 / self.trials.max(1) as f64
    }

    /// Share among the first two.
    pub fn two_share(&self) -> f64 {
        self.two as f64 / self.trials.max(1) as f64
    }
}

/// What came of the experiment.
#[derive(Debug, Default)]
pub struct Experiment {
    /// Rows that balance within 3 % from their ions.
    pub sound: usize,
    /// Of these, rows with a stated hardness and dissolved solids; those of the others are made.
    pub stated: [usize; 2],
    /// By line, whether it moves the balance by more than 8 %, and mode.
    pub scores: BTreeMap<(&'static str, bool, Mode), Score>,
    /// By line and mode, what was named first instead where the mistake moves the balance, with
    /// the number of trials.
    pub instead: BTreeMap<(&'static str, Mode, String), usize>,
    /// By line and whether by more than 8 %, by how much the balance moved in each trial, per
    /// cent.
    pub moves: BTreeMap<(&'static str, bool), Vec<f64>>,
    /// Untouched rows in which a mistake was proposed, by mode.
    pub false_alarms: BTreeMap<Mode, Vec<String>>,
}

impl Experiment {
    /// Makes the experiment.
    pub fn with(rows: &[Row]) -> Experiment {
        let mut experiment = Experiment::default();
        let mut dice = Dice(SEED);
        for row in rows {
            let Some(sound) = sound(&row.report) else {
                continue;
            };
            experiment.sound += 1;
            for (count, subject) in experiment
                .stated
                .iter_mut()
                .zip([Subject::Hardness, Subject::DissolvedSolids])
            {
                *count += usize::from(row.report.middle(subject) > Some(0.0));
            }
            let beside = Beside::of(row, &sound, &mut dice);
            experiment.untouched(row, &sound, &beside);
            for injection in injection::all(&sound) {
                experiment.inject(&injection, &sound, &beside);
            }
        }
        experiment
    }

    fn untouched(&mut self, row: &Row, sound: &WaterReport, beside: &Beside) {
        for mode in Mode::ALL.into_iter().filter(|mode| *mode != Mode::Nearest) {
            let alarms = self.false_alarms.entry(mode).or_default();
            if let Some(first) = beside.put(sound, mode).mistakes().proposals().first() {
                let odds = first.ln_odds;
                alarms.push(format!(
                    "row {}: {:?}, ln odds {odds:.1}",
                    row.number, first.kind
                ));
            }
        }
    }

    fn inject(&mut self, injection: &Injection, sound: &WaterReport, beside: &Beside) {
        let percent = |weighing: &Weighing| weighing.as_written.balance.error_percent();
        let alone = injection.report.mistakes();
        let moves = (percent(&alone) - percent(&sound.mistakes())).abs();
        let moved = moves > MOVED_PERCENT;
        let line = (injection.line, moved);
        self.moves.entry(line).or_default().push(moves);
        for mode in Mode::ALL {
            // A report with nothing but its hardness for calcium and magnesium has no second one
            // beside it.
            if injection.subjects == [Subject::Hardness]
                && mode.beside().contains(&Subject::Hardness)
            {
                continue;
            }
            let weighing = beside.put(&injection.report, mode).mistakes();
            let named: Vec<&Mistake> = match mode {
                Mode::Nearest => nearest(&weighing),
                _ => weighing.proposals().iter().collect(),
            };
            let place = named
                .iter()
                .position(|mistake| injection.is_named_by(mistake));
            if moved && place != Some(0) {
                let first = named.first();
                let name = first.map_or("nothing".to_owned(), |first| name(first));
                let line = (injection.line, mode, name);
                *self.instead.entry(line).or_default() += 1;
            }
            let line = (injection.line, moved, mode);
            self.scores.entry(line).or_default().add(Score {
                trials: 1,
                first: usize::from(place == Some(0)),
                two: usize::from(matches!(place, Some(0 | 1))),
                unseen: usize::from(named.is_empty()),
            });
        }
    }

    /// By how much a line moves the balance on average, per cent.
    pub fn mean_move(&self, line: &'static str, moved: bool) -> f64 {
        let moves = self
            .moves
            .get(&(line, moved))
            .map_or(&[][..], Vec::as_slice);
        moves.iter().sum::<f64>() / moves.len().max(1) as f64
    }

    /// All lines together.
    pub fn pooled(&self, moved: bool, mode: Mode) -> Score {
        let mut pooled = Score::default();
        for line in LINES {
            if let Some(score) = self.scores.get(&(line, moved, mode)) {
                pooled.add(*score);
            }
        }
        pooled
    }
}

/// A mistake and where it was made, in short.
fn name(mistake: &Mistake) -> String {
    let subjects: Vec<String> = mistake.subjects().map(subject_in_words).collect();
    format!("{:?} ({})", mistake.kind, subjects.join(" "))
}

/// The guess that looks at nothing but the balance after undoing a mistake.
fn nearest(weighing: &Weighing) -> Vec<&Mistake> {
    let off = |mistake: &Mistake| mistake.after.balance.error_percent().abs();
    let mut nearest: Vec<&Mistake> = weighing.considered.iter().collect();
    nearest.sort_by(|a, b| off(a).total_cmp(&off(b)));
    nearest
}

/// The ions of a report alone, its alkalinity as one figure of bicarbonate, where they balance.
fn sound(report: &WaterReport) -> Option<WaterReport> {
    let bicarbonate = report
        .middle(Subject::Bicarbonate)
        .map(|bicarbonate| bicarbonate + 2.0 * report.middle(Subject::Carbonate).unwrap_or(0.0));
    let alkalinity = bicarbonate.or(report.middle(Subject::Alkalinity))?;
    let accompanying = [
        Subject::Carbonate,
        Subject::Alkalinity,
        Subject::Hardness,
        Subject::DissolvedSolids,
        Subject::Conductivity,
    ];
    let ions = with(
        &without(report, &accompanying),
        Subject::Bicarbonate,
        alkalinity,
    );
    let evidence = ions.mistakes().as_written;
    let balance = evidence.balance;
    let balances = balance.error_percent().abs() <= SOUND_PERCENT;
    (evidence.is_complete && balances && balance.anions_eq_per_kg > 0.0).then_some(ions)
}

/// What stands beside the ions of a row: stated, or else made from the ions with scatter.
struct Beside(BTreeMap<Subject, f64>);

impl Beside {
    fn of(row: &Row, sound: &WaterReport, dice: &mut Dice) -> Beside {
        let made = [
            (
                Subject::Hardness,
                hardness(sound) * scatter(dice, MADE_SCATTER),
            ),
            (
                Subject::DissolvedSolids,
                solids(sound, dice) * scatter(dice, MADE_SCATTER_SOLIDS),
            ),
            (
                Subject::Conductivity,
                conductivity(sound) * scatter(dice, MADE_SCATTER),
            ),
        ];
        Beside(
            made.into_iter()
                .map(|(subject, made)| {
                    let stated = row.report.middle(subject).filter(|value| *value > 0.0);
                    (subject, stated.unwrap_or(made))
                })
                .collect(),
        )
    }

    fn put(&self, report: &WaterReport, mode: Mode) -> WaterReport {
        let mut report = report.clone();
        for subject in mode.beside() {
            if let Some(value) = self.0.get(subject).filter(|value| **value > 0.0) {
                report = with(&report, *subject, *value);
            }
        }
        report
    }
}

/// A factor about 1 with a normal logarithm.
fn scatter(dice: &mut Dice, sd: f64) -> f64 {
    // A sum of twelve numbers from 0 to 1 is normal enough, with variance 1.
    let sum: f64 = (0..12).map(|_| dice.real(0.0, 1.0)).sum();
    (sd * (sum - 6.0)).exp()
}

fn hardness(sound: &WaterReport) -> f64 {
    [Component::Calcium, Component::Magnesium]
        .into_iter()
        .filter_map(|ion| sound.middle(Subject::Component(ion)))
        .map(|amount| 2.0 * amount)
        .sum()
}

/// Dissolved solids, mg/L: by turns a dry residue, in which bicarbonate became carbonate, and a sum
/// of ions.
fn solids(sound: &WaterReport, dice: &mut Dice) -> f64 {
    let alkalinity = sound.middle(Subject::Bicarbonate).unwrap_or(0.0);
    let as_dried = if dice.heads(50) {
        CO3_G_PER_EQ
    } else {
        HCO3_G_PER_EQ
    };
    let ions: f64 = Component::ALL
        .into_iter()
        .filter_map(|ion| Some(ion.mg_per_l(sound.middle(Subject::Component(ion))?)))
        .sum();
    ions + 1000.0 * WATER_KG_PER_L_20C * as_dried * alkalinity
}

/// Conductivity at 25 °C by the engine's speciation, µS/cm; 0 where it has no answer.
fn conductivity(sound: &WaterReport) -> f64 {
    let mut ions = Composition::ZERO;
    for ion in Component::ALL {
        ions.set(ion, sound.middle(Subject::Component(ion)).unwrap_or(0.0));
    }
    let liquor = Liquor {
        ions,
        alkalinity_eq_per_kg: sound.middle(Subject::Bicarbonate).unwrap_or(0.0),
        temperature_c: 25.0,
        ..Liquor::default()
    };
    let ph = sound.middle(Subject::Ph).unwrap_or_else(assumed_ph);
    Aqueous::at(25.0)
        .with_ph(&liquor, ph)
        .map_or(0.0, |state| state.conductivity_25c_us_per_cm())
}
