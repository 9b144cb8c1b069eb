//! Mistaken bases in the water document: each proposal with its evidence, in plain words.

use std::borrow::Cow;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::entry::{Subject, WaterReport};
use super::evidence::Evidence;
use super::hypotheses::MistakeKind;
use super::mistakes::{Mistake, mistakes};
use crate::math;
use crate::quantity::{significant, tidy};

/// How much better a balance must be to be reported, per cent.
const BETTER_PERCENT: f64 = 0.5;
/// The one piece of evidence that is no check of the figures among themselves.
const COMPOSITIONS: &str = "usual compositions";

/// A figure that was perhaps read on the wrong basis: a proposal to ask about, never a change.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct WaterMistake {
    /// Stable code.
    pub kind: MistakeKind,
    /// Probability among "as written" and all usual mistakes, 0 to 1.
    pub probability: f64,
    /// How many times likelier than the report as written.
    pub odds: f64,
    /// What undoing it would change.
    pub changes: Vec<MistakeChange>,
    /// Cations less anions over their sum as written, per cent.
    pub balance_percent: f64,
    /// The same with the mistake undone.
    pub balance_undone_percent: f64,
    /// What each check says, those that say nothing left out.
    pub evidence: Vec<MistakeGain>,
    /// The proposal in plain words.
    pub text: String,
}

/// A figure with a mistake undone.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct MistakeChange {
    /// Key of the entry.
    pub key: Cow<'static, str>,
    /// Unit of the numbers.
    pub unit: Cow<'static, str>,
    /// As it was read.
    pub read: f64,
    /// As it would be.
    pub undone: f64,
    /// For people, such as "sulfate 240 mg/L instead of 80".
    pub display: String,
}

/// What one check says of a mistake.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct MistakeGain {
    /// The check, such as "ion balance".
    pub check: Cow<'static, str>,
    /// How many times likelier its result is with the mistake undone.
    pub times_likelier: f64,
}

impl WaterMistake {
    /// Every mistake in a report that is worth asking about, likeliest first.
    pub(crate) fn all(report: &WaterReport) -> Vec<WaterMistake> {
        let weighing = mistakes(report);
        let as_written = &weighing.as_written;
        let of = |mistake: &Mistake| WaterMistake::of(mistake, as_written);
        weighing.proposals().iter().map(of).collect()
    }

    fn of(mistake: &Mistake, as_written: &Evidence) -> WaterMistake {
        let changes: Vec<MistakeChange> = mistake
            .changes
            .iter()
            .map(|change| MistakeChange::of(change.subject, change.from, change.to))
            .collect();
        let odds = math::exp(mistake.ln_odds);
        let [before, after] = [as_written, &mistake.after];
        let percent = |evidence: &Evidence| tidy(evidence.balance.error_percent());
        let shown: Vec<&str> = changes
            .iter()
            .map(|change| change.display.as_str())
            .collect();
        let evidence = gains(before, after);
        let text = format!(
            "{}? Then {}; {}. Odds {} to 1 against the report as written: ask before changing it.",
            mistake.kind.meaning().trim_end_matches('.'),
            shown.join(", "),
            in_words([percent(before), percent(after)], &evidence),
            significant(odds, 2)
        );
        WaterMistake {
            kind: mistake.kind,
            probability: tidy(mistake.probability),
            odds: tidy(odds),
            changes,
            balance_percent: percent(before),
            balance_undone_percent: percent(after),
            evidence,
            text,
        }
    }
}

impl MistakeChange {
    fn of(subject: Subject, read: f64, undone: f64) -> MistakeChange {
        let number = |canonical: f64| tidy(subject.in_default_unit(canonical));
        let (read, undone) = (number(read), number(undone));
        let unit = subject.quantity().unit();
        let display = format!(
            "{} {} {unit} instead of {}",
            subject.label(),
            significant(undone, 3),
            significant(read, 3)
        );
        MistakeChange {
            key: subject.key().into(),
            unit: unit.into(),
            read,
            undone,
            display,
        }
    }
}

/// The evidence for a mistake: the balance where it improves, else the check that gains most.
fn in_words([before, after]: [f64; 2], evidence: &[MistakeGain]) -> String {
    if after.abs() < before.abs() - BETTER_PERCENT {
        return format!(
            "cations and anions would differ by {:.1} % instead of {:.1} %",
            after.abs(),
            before.abs()
        );
    }
    let checks = evidence.iter().filter(|gain| gain.check != COMPOSITIONS);
    let most = checks.max_by(|one, other| one.times_likelier.total_cmp(&other.times_likelier));
    let check = most.map_or("the figures", |gain| &*gain.check);
    format!("{check} would agree better with the rest")
}

fn gains(before: &Evidence, after: &Evidence) -> Vec<MistakeGain> {
    let of = |evidence: &Evidence| {
        [
            ("ion balance", evidence.ln_balance),
            ("hardness", evidence.ln_hardness),
            ("alkalinity and bicarbonate", evidence.ln_alkalinity),
            ("dissolved solids", evidence.ln_solids),
            ("conductivity", evidence.ln_conductivity),
            (COMPOSITIONS, evidence.ln_plausibility),
        ]
    };
    let both = of(before).into_iter().zip(of(after));
    both.filter(|((_, before), (_, after))| before != after)
        .map(|((check, before), (_, after))| MistakeGain {
            check: check.into(),
            times_likelier: tidy(math::exp(after - before)),
        })
        .collect()
}
