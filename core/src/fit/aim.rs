//! Mash and sparge pH so aimed that a meter shows them within their ranges with the confidence that the day asks for.

use super::solution::Settled;
use super::uncertainty::Unsure;
use crate::fit::{ActiveConstraint, Answer, FitError, Question, answer};
use crate::mash::Aim;
use crate::math;
use crate::plan::{Reason, ReasonCode, TargetKey};
use crate::recipe::{BrewDay, Wanted};
use crate::words;

/// Most times that a day is planned again, aimed by the forecast of the plan before: one or two are usual, since its error bar hardly
/// hangs on the plan.
const ROUNDS: usize = 4;
/// Difference between two aims that nobody could read.
const SAME_PH: f64 = 0.002;

/// Something of the mash pH, and the same of the sparge pH.
pub(crate) type Both<T> = [T; 2];

/// How a pH was aimed.
pub(crate) struct Aimed {
    /// Key of the target, and of its confidence among what a plan can miss.
    pub keys: [TargetKey; 2],
    /// What it is called.
    pub name: &'static str,
    /// The range that was asked for, and the confidence, 0 to 1.
    range: Wanted,
    confidence: f64,
    /// What the fit was given.
    aim: Aim,
    is_settled: bool,
}

impl BrewDay {
    /// Ranges that a reading can land in. No pH is met to the last digit: a single wanted value has no chance worth telling.
    fn ranges(&self) -> Both<Option<Wanted>> {
        let sparge = self.sparge.and(self.targets.sparge_ph);
        [self.targets.mash_ph, sparge].map(|range| range.filter(|range| range.low != range.high))
    }

    /// Chances that mash and sparge liquor land in the ranges asked for, with shares and doses of the question.
    pub(crate) fn chances(
        &self,
        question: &Question<'_>,
        [shares, doses]: [&[f64]; 2],
        unsure: &Unsure,
    ) -> Both<Option<f64>> {
        let liquors = question.liquors(shares, doses);
        let [mash, sparge] = self.ranges();
        let mash = mash.map(|range| {
            let mash = self.mash_of(question, liquors.mash);
            mash.probability_between(&unsure.doses(), range.low, range.high)
        });
        let sparge = sparge.map(|range| {
            let sparge = unsure.sparge(question, doses, liquors.sparge, &range);
            sparge.probability()
        });
        [mash, sparge]
    }

    /// The answer to the day's question. Where a confidence was asked for, the range of pH that the fit is given is drawn
    /// in, as far as the answer's own forecast wants it for that confidence: it stays a pair of straight lines.
    pub(crate) fn answer(
        &self,
        question: &mut Question<'_>,
    ) -> Result<(Answer, Both<Option<Aimed>>), FitError> {
        let [mash, sparge] = self.ranges();
        let mut aimed = [
            Aimed::asked(
                [TargetKey::MashPh, TargetKey::Confidence],
                "mash pH",
                mash.zip(self.mash_ph_confidence),
            ),
            Aimed::asked(
                [TargetKey::SpargePh, TargetKey::SpargeConfidence],
                "sparge pH",
                sparge.zip(self.sparge_ph_confidence),
            ),
        ];
        let mut rounds = 0;
        loop {
            let found = answer(question)?;
            let aims = self.aims(question, &found, &aimed);
            for (aimed, aim) in aimed.iter_mut().zip(&aims) {
                if let Some((aimed, aim)) = aimed.as_mut().zip(aim.as_ref()) {
                    aimed.is_settled = rounds > 0 && is_same(aim, aimed.aim.low, aimed.aim.high);
                }
            }
            let is_settled = aimed.iter().flatten().all(|aimed| aimed.is_settled);
            if is_settled || rounds == ROUNDS {
                return Ok((found, aimed));
            }
            let targets = &mut question.targets;
            let targets = [&mut targets.mash_ph, &mut targets.sparge_ph];
            for ((aimed, aim), target) in aimed.iter_mut().zip(aims).zip(targets) {
                if let Some((aimed, aim)) = aimed.as_mut().zip(aim) {
                    aimed.aim = aim;
                    *target = Some(aimed.given());
                }
            }
            rounds += 1;
        }
    }

    /// Where each pH that is to be aimed should be forecast, as unsure as it is in an answer;
    /// nothing for the others.
    fn aims(
        &self,
        question: &Question<'_>,
        found: &Answer,
        [mash_aimed, sparge_aimed]: &Both<Option<Aimed>>,
    ) -> Both<Option<Aim>> {
        if mash_aimed.is_none() && sparge_aimed.is_none() {
            return [None; 2];
        }
        let (shares, doses) = (&found.shares, &found.doses);
        let liquors = question.liquors(shares, doses);
        let mash = self.mash_of(question, liquors.mash);
        let unsure = Unsure::of(self, question, shares, doses, &mash);
        let of_mash = mash_aimed.as_ref().map(|aimed| {
            let range = [aimed.range.low, aimed.range.high];
            mash.aim(&unsure.doses(), range, aimed.confidence)
        });
        let of_sparge = sparge_aimed.as_ref().map(|aimed| {
            let sparge = unsure.sparge(question, doses, liquors.sparge, &aimed.range);
            sparge.aim(aimed.confidence)
        });
        [of_mash, of_sparge]
    }
}

impl Settled<'_> {
    /// How the pH of a target was aimed.
    pub(crate) fn aimed(&self, key: TargetKey) -> Option<&Aimed> {
        let mut aimed = self.aimed.iter().flatten();
        aimed.find(|aimed| aimed.keys[0] == key)
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
    /// A pH that is to be aimed, by its range as long as no answer is known.
    fn asked(
        keys: [TargetKey; 2],
        name: &'static str,
        wanted: Option<(Wanted, f64)>,
    ) -> Option<Aimed> {
        let (range, confidence) = wanted?;
        Some(Aimed {
            keys,
            name,
            range,
            confidence,
            aim: Aim {
                low: range.low,
                high: range.high,
                best: 1.0,
            },
            is_settled: false,
        })
    }

    /// What the fit is given.
    fn given(&self) -> Wanted {
        let Aim { low, high, .. } = self.aim;
        let inside = |ph: f64| ph.max(low.unwrap_or(ph)).min(high.unwrap_or(ph));
        Wanted {
            low,
            high,
            prefer: self.range.prefer.map(inside),
            ..self.range
        }
    }

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
    pub fn draws_in(&self, constraint: ActiveConstraint) -> bool {
        match constraint {
            ActiveConstraint::Low(_) => !is_same_end(self.aim.low, self.range.low),
            ActiveConstraint::High(_) => !is_same_end(self.aim.high, self.range.high),
            _ => false,
        }
    }

    /// What the aim did, and where it could not do what it should.
    pub fn reasons(&self) -> Vec<Reason> {
        let Aim { low, high, best } = self.aim;
        let percent = self.percent();
        let aim = words::wanted(low, high, words::ph);
        let ([key, _], name) = (self.keys, self.name);
        let mut reasons = Vec::new();
        let mut say = |code, text| {
            reasons.push(Reason {
                code,
                subject: key.to_string(),
                text,
            });
        };
        if best < self.confidence {
            say(
                ReasonCode::RangeTooNarrow,
                format!(
                    "The range of {name} is too narrow to land in it with {percent} %: it is aimed where the chance is \
                     best, {:.0} %{aim}.",
                    best * 100.0
                ),
            );
        } else if !is_same(&self.aim, self.range.low, self.range.high) {
            say(
                ReasonCode::AimedInsideRange,
                format!("To land in its range with {percent} %, {name} is aimed inside it{aim}."),
            );
        }
        if !self.is_settled {
            say(
                ReasonCode::AimNotConverged,
                format!(
                    "The aim of {name} and what is weighed for it did not settle on each other: go by the chance of this plan."
                ),
            );
        }
        reasons
    }
}
