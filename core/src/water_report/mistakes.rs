//! Mistaken bases and units: which usual single mistake would explain a report better than taking
//! it as written.
//!
//! A Bayesian comparison. A hypothesis is "as written" or one usual mistake made in one place;
//! undoing it gives another reading of the report, and each reading is weighed by
//!
//! * how often the mistake is made (judged, in the tables),
//! * how well the reading agrees with itself: ion balance, hardness against calcium and magnesium,
//!   alkalinity against bicarbonate, dissolved solids and conductivity against the ions, each with
//!   a laboratory's scatter,
//! * how usual its composition is among natural and potable waters.
//!
//! All mistakes but one multiply figures, so densities of logarithms compare without a Jacobian;
//! total hardness read as calcium would bring one near 1, which is left out. What comes out is a
//! proposal with its odds: nothing is ever changed here.
//!
//! # What cannot be seen
//!
//! A mistake in a figure that weighs little in every check (nitrate of 2 mg/L) leaves no trace. The
//! two bases of alkalinity differ by a fifth: where alkalinity is a small part of the anions that
//! drowns in the scatter of an ion balance. And where two mistakes would restore the balance
//! equally well, only odds and the accompanying figures decide; so there is a list and not a
//! verdict.

use underlet_tables::parameters;

use super::entry::{Entry, Figure, Subject, WaterReport};
use super::evidence::Evidence;
use super::figures::Figures;
use super::hypotheses::{self, Change, Hypothesis, MistakeKind, StatedBasis};
use crate::math;

/// A mistake that would explain a report better than taking it as written.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct Mistake {
    /// What was written and what it was read as.
    pub kind: MistakeKind,
    /// What undoing it would change, in the likeliest variant of the mistake.
    pub changes: Vec<Change>,
    /// The checks after undoing it.
    pub after: Evidence,
    /// Natural logarithm of its posterior odds against "as written".
    pub ln_odds: f64,
    /// Whether it is worth asking about: odds of at least one to three, and not because of an
    /// unusual composition alone. Water from a membrane is unusual and no mistake: the checks
    /// must support it too.
    pub is_proposed: bool,
    /// Posterior probability among "as written" and all mistakes.
    pub probability: f64,
}

/// A report as written, and every usual mistake that could have been made in it.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct Weighing {
    /// The checks as written.
    pub as_written: Evidence,
    /// Posterior probability that none of the mistakes was made.
    pub as_written_probability: f64,
    /// Every mistake considered: those worth asking about before the others, each part likeliest
    /// first.
    pub considered: Vec<Mistake>,
}

impl Weighing {
    /// The mistakes worth asking about, likeliest first.
    pub fn proposals(&self) -> &[Mistake] {
        let count = self
            .considered
            .partition_point(|mistake| mistake.is_proposed);
        self.considered.get(..count).unwrap_or_default()
    }
}

impl Mistake {
    /// The report with this mistake undone, for who accepts the proposal. What changes becomes a
    /// single value.
    #[must_use]
    pub fn undone(&self, report: &WaterReport) -> WaterReport {
        let mut undone = report.clone();
        for entry in &mut undone.entries {
            let ours = |change: &&Change| change.subject == entry.subject;
            if let Some(change) = self.changes.iter().find(ours) {
                entry.figure = Figure::Value(change.to);
                entry.sd = entry.sd.map(|sd| sd * change.to / change.from);
            }
        }
        undone
    }

    /// What undoing it would change.
    pub fn subjects(&self) -> impl Iterator<Item = Subject> + '_ {
        self.changes.iter().map(|change| change.subject)
    }
}

/// Weighs the usual mistakes in a report; see [`WaterReport::mistakes`].
pub(crate) fn mistakes(report: &WaterReport) -> Weighing {
    mistakes_with(report, &|subject| {
        report
            .entry(subject)
            .map_or(StatedBasis::Silent, stated_basis)
    })
}

/// The same with the bases that some of its figures state, whatever their notations say.
pub(crate) fn mistakes_with(
    report: &WaterReport,
    basis: &dyn Fn(Subject) -> StatedBasis,
) -> Weighing {
    let figures = Figures::of(report);
    let as_written = Evidence::of(&figures);
    let suspects = hypotheses::all(report, basis);
    let prior_of_none = 1.0 - suspects.iter().map(|suspect| suspect.prior).sum::<f64>();
    let reference = as_written.ln_total() + math::ln(prior_of_none);
    let mut mistakes: Vec<Mistake> = Vec::new();
    for suspect in suspects {
        let mistake = weighed(&figures, suspect, reference);
        let same = |other: &&mut Mistake| {
            other.kind == mistake.kind && other.subjects().eq(mistake.subjects())
        };
        match mistakes.iter_mut().find(same) {
            Some(variant) => variant.join(mistake),
            None => mistakes.push(mistake),
        }
    }
    let least = math::ln(parameters::MISTAKE_LEAST_ODDS.value);
    let least_checks = as_written.ln_checks() + parameters::MISTAKE_LEAST_GAIN.value;
    // Odds against "as written" are bounded: every check has a floor.
    let all: f64 = 1.0 + mistakes.iter().map(|m| math::exp(m.ln_odds)).sum::<f64>();
    for mistake in &mut mistakes {
        mistake.probability = math::exp(mistake.ln_odds) / all;
        mistake.is_proposed = mistake.ln_odds >= least && mistake.after.ln_checks() >= least_checks;
    }
    mistakes.sort_by(|a, b| {
        let proposed = b.is_proposed.cmp(&a.is_proposed);
        proposed.then(b.ln_odds.total_cmp(&a.ln_odds))
    });
    Weighing {
        as_written,
        as_written_probability: 1.0 / all,
        considered: mistakes,
    }
}

/// The basis that an entry states.
fn stated_basis(entry: &Entry) -> StatedBasis {
    match entry.notation.and_then(|notation| notation.basis()) {
        None => StatedBasis::Silent,
        Some("N" | "S") => StatedBasis::Other,
        Some(_) => StatedBasis::Itself,
    }
}

/// A hypothesis after its reading is weighed against a reference.
fn weighed(figures: &Figures, suspect: Hypothesis, reference: f64) -> Mistake {
    let mut corrected = figures.clone();
    for change in &suspect.changes {
        corrected.set(change.subject, change.to);
    }
    let after = Evidence::of(&corrected);
    Mistake {
        kind: suspect.kind,
        changes: suspect.changes,
        after,
        ln_odds: after.ln_total() + math::ln(suspect.prior) - reference,
        is_proposed: false,
        probability: 0.0,
    }
}

impl Mistake {
    /// Joins another variant of the same mistake: odds add, and the likelier variant is shown.
    fn join(&mut self, other: Mistake) {
        let (greater, lesser) = if self.ln_odds >= other.ln_odds {
            (self.ln_odds, other.ln_odds)
        } else {
            (other.ln_odds, self.ln_odds)
        };
        if other.ln_odds > self.ln_odds {
            *self = other;
        }
        self.ln_odds = greater + math::ln(1.0 + math::exp(lesser - greater));
    }
}
