//! The mash pH so aimed that a meter shows it within its range with the confidence that the day asks for.

use super::plan::Reason;
use super::unsure::Unsure;
use super::{BrewDay, words};
use crate::fit::{Answer, FitError, Holds, Question, Wanted, answer};
use crate::mash::Aim;
use crate::math;

/// Most times that a day is planned again, aimed by the forecast of the plan before: one or two are usual, since its error bar hardly
/// hangs on the plan.
const ROUNDS: usize = 4;
/// Difference between two aims that nobody could read.
const SAME_PH: f64 = 0.002;

/// How a mash pH was aimed.
pub(super) struct Aimed {
    /// The range that was asked for, and the confidence, 0 to 1.
    range: Wanted,
    confidence: f64,
    /// What the fit was given.
    aim: Aim,
    is_settled: bool,
}

impl BrewDay {
    /// The answer to the day's question. Where a confidence was asked for, the range of mash pH that the fit is given is drawn
    /// in, as far as the answer's own forecast wants it for that confidence: it stays a pair of straight lines.
    pub(super) fn answer(
        &self,
        question: &mut Question<'_>,
    ) -> Result<(Answer, Option<Aimed>), FitError> {
        let asked = self.targets.mash_ph.zip(self.mash_ph_confidence);
        let mut before: Option<Aim> = None;
        let mut rounds = 0;
        loop {
            let found = answer(question)?;
            let Some((range, confidence)) = asked else {
                return Ok((found, None));
            };
            let mash = self.mash_of(question, question.liquors(&found.shares, &found.doses).mash);
            let unsure = Unsure::of(self, question, &found.shares, &found.doses, &mash);
            let aim = mash.aim(&unsure.doses(), [range.low, range.high], confidence);
            let is_settled = before.is_some_and(|before| is_same(&aim, before.low, before.high));
            if is_settled || rounds == ROUNDS {
                let aimed = Aimed {
                    range,
                    confidence,
                    aim: before.unwrap_or(aim),
                    is_settled,
                };
                return Ok((found, Some(aimed)));
            }
            let inside = |ph: f64| ph.max(aim.low.unwrap_or(ph)).min(aim.high.unwrap_or(ph));
            question.targets.mash_ph = Some(Wanted {
                low: aim.low,
                high: aim.high,
                prefer: range.prefer.map(inside),
                ..range
            });
            before = Some(aim);
            rounds += 1;
        }
    }
}

fn is_same(aim: &Aim, low: Option<f64>, high: Option<f64>) -> bool {
    is_same_end(aim.low, low) && is_same_end(aim.high, high)
}

fn is_same_end(one: Option<f64>, other: Option<f64>) -> bool {
    one.zip(other)
        .is_none_or(|(one, other)| (one - other).abs() <= SAME_PH)
}

impl Aimed {
    /// The confidence that was asked for, %.
    pub fn percent(&self) -> f64 {
        words::tidy(self.confidence * 100.0)
    }

    /// How far a chance falls short of the confidence, in whole per cents: as they are shown, or a plan would say that 90 % is less
    /// than 90 %.
    pub fn short_by_percent(&self, chance: f64) -> f64 {
        let whole = |share: f64| (share * 100.0).round();
        math::at_least(whole(self.confidence) - whole(chance), 0.0)
    }

    /// Whether the end at which the fit is held is not that of the range asked for.
    pub fn draws_in(&self, holds: Holds) -> bool {
        match holds {
            Holds::Low(_) => !is_same_end(self.aim.low, self.range.low),
            Holds::High(_) => !is_same_end(self.aim.high, self.range.high),
            _ => false,
        }
    }

    /// What the aim did, and where it could not do what it should.
    pub fn reasons(&self) -> Vec<Reason> {
        let Aim { low, high, best } = self.aim;
        let percent = self.percent();
        let aim = words::wanted(low, high, words::ph);
        let mut reasons = Vec::new();
        let mut say = |code, text| {
            reasons.push(Reason {
                code,
                subject: "mash_ph".to_owned(),
                text,
            });
        };
        if best < self.confidence {
            say(
                "range_too_narrow",
                format!(
                    "The range of mash pH is too narrow to land in it with {percent} %: it is aimed where the chance is \
                     best, {:.0} %{aim}.",
                    best * 100.0
                ),
            );
        } else if !is_same(&self.aim, self.range.low, self.range.high) {
            say(
                "aimed_inside_range",
                format!("To land in its range with {percent} %, mash pH is aimed inside it{aim}."),
            );
        }
        if !self.is_settled {
            say(
                "aim_not_settled",
                "The aim of mash pH and what is weighed for it did not settle on each other: go by the chance of this plan."
                    .to_owned(),
            );
        }
        reasons
    }
}
