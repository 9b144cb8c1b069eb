//! From the best plan to one that a scale can weigh: the search of [`crate::optimise::weigh`] over draws and doses, and the
//! plain rounding of the best plan beside it.

use underlet_tables::{ReagentKind, parameters};

use super::{FitError, Model};
use crate::fit::problem::DoseOption;
use crate::math;
use crate::optimise::{Portion, Weighed, Weighing, weigh};

/// Most nodes of the search: many times what a usual day takes, and still a fraction of a second.
const NODE_LIMIT: u64 = 10_000;

impl Model<'_> {
    /// The best plan that can be weighed. Draws come in whole steps as well, unless the sources cannot fill the
    /// vessels then.
    ///
    /// # Errors
    /// When the search finds none.
    pub(super) fn weighable(&self) -> Result<(Vec<f64>, Weighed), FitError> {
        let doses = self.doses_as_portions();
        let mut portions = self.draws_as_portions();
        portions.extend_from_slice(&doses);
        let mut nodes = 0;
        for portions in &[portions, doses] {
            let found = weigh(
                &self.programme,
                &Weighing {
                    portions,
                    most_items: self.question.max_salts,
                    regularisation: &[],
                    constant: self.constant(),
                    least: f64::NEG_INFINITY,
                    indifference: 0.0,
                    node_limit: NODE_LIMIT,
                },
            )?;
            nodes += found.nodes;
            if let Some(x) = &found.x {
                let mut x = x.clone();
                x.truncate(self.choices());
                // On a step and not next to it: what is left of nothing by rounding is no dose.
                for portion in portions {
                    if let (Some(value), Some(step)) = (x.get_mut(portion.variable), portion.step) {
                        *value = (*value / step).round() * step;
                    }
                }
                return Ok((x, found));
            }
        }
        Err(FitError::NotWeighed { nodes })
    }

    /// The first source makes up the rest.
    fn draws_as_portions(&self) -> Vec<Portion> {
        let step = self.question.draw_step_kg / self.question.waters.blended_kg();
        (1..self.question.sources.len())
            .map(|variable| Portion {
                variable,
                step: Some(step),
                min_dose: 0.0,
                item: None,
                price: 0.0,
            })
            .collect()
    }

    fn doses_as_portions(&self) -> Vec<Portion> {
        let sources = self.question.sources.len();
        let doses = self.question.doses.iter().zip(&self.scales).enumerate();
        doses
            .map(|(index, (option, scale))| Portion {
                variable: sources + index,
                step: Some(option.step / scale),
                min_dose: option.min_dose / scale,
                item: counts(option).then_some(option.stock),
                price: parameters::FIT_HANDLING.value,
            })
            .collect()
    }

    /// The best plan with each dose and draw on its nearest step that sources and stocks allow, in the order of the vessels; what is less
    /// than half the min_dose sensible dose is left out. It may use more salts than were asked for, and more than a hard limit
    /// leaves room for.
    pub(super) fn rounded(&self, x: &[f64]) -> Vec<f64> {
        let mut x = x[..self.choices().min(x.len())].to_vec();
        let question = self.question;
        let most = |variable| Self::choice_span(question, &self.scales, variable).high;
        let mut first = 1.0;
        let mut drawn = x.clone();
        for portion in self.draws_as_portions() {
            if let Some(share) = drawn.get_mut(portion.variable) {
                *share = nearest(*share, &portion, most(portion.variable));
                first -= *share;
            }
        }
        // Draws stay as they are where the first source cannot make up the rest.
        if let Some(share) = drawn
            .first_mut()
            .filter(|_| first >= 0.0 && first <= most(0))
        {
            *share = first;
            x = drawn;
        }
        let mut stocks = question.stocks.clone();
        let options = question.doses.iter().zip(&self.scales);
        for (portion, (option, scale)) in self.doses_as_portions().iter().zip(options) {
            let unit = scale * question.waters.times(option.vessel);
            let stock = stocks.get_mut(option.stock).and_then(Option::as_mut);
            let on_hand = stock.as_deref().map_or(f64::INFINITY, |left| left / unit);
            if let Some(value) = x.get_mut(portion.variable) {
                *value = nearest(*value, portion, most(portion.variable).min(on_hand));
                if let Some(left) = stock {
                    *left -= *value * unit;
                }
            }
        }
        x
    }
}

/// Whether a reagent is one of the salts of which there may be only so many: acids are not.
fn counts(option: &DoseOption) -> bool {
    option.preparation.reagent.kind != ReagentKind::Acid
}

/// The nearest amount that can be weighed: whole steps, nothing or at least the min_dose, and no more than the most.
fn nearest(amount: f64, portion: &Portion, most: f64) -> f64 {
    let Some(step) = portion.step else {
        return amount;
    };
    let least = (portion.min_dose / step * (1.0 - 1e-9)).ceil();
    let most = (most / step * (1.0 + 1e-9)).floor();
    if amount < 0.5 * portion.min_dose || most < least {
        return 0.0;
    }
    math::at_least((amount / step).round(), least).min(most) * step
}
