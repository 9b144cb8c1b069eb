//! From the best plan to one that a scale can weigh: the search of [`crate::convex::weigh`] over draws and doses, and the
//! plain rounding of the best plan beside it.

use underlet_tables::{ReagentKind, parameters};

use super::{FitError, Model};
use crate::convex::{Portion, Weighed, Weighing, Workspace, weigh};
use crate::fit::question::DoseOption;
use crate::math;

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
        for portions in [portions, doses] {
            let found = weigh(
                &self.programme,
                &Weighing {
                    portions: &portions,
                    most_items: self.question.most_salts,
                    uncounted: &[],
                    constant: self.constant(),
                    least: f64::NEG_INFINITY,
                    indifference: 0.0,
                    node_limit: NODE_LIMIT,
                },
                &mut Workspace::new(),
            )?;
            nodes += found.nodes;
            if let Some(x) = &found.x {
                let mut x = x.clone();
                x.truncate(self.choices());
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
                smallest: 0.0,
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
                smallest: option.smallest / scale,
                item: counts(option).then_some(option.stock),
                price: parameters::FIT_HANDLING.value,
            })
            .collect()
    }

    /// The best plan with each dose and draw on its nearest step; what is less than half the smallest sensible dose is
    /// left out. It may use more salts than were asked for.
    pub(super) fn rounded(&self, x: &[f64]) -> Vec<f64> {
        let mut x = x[..self.choices().min(x.len())].to_vec();
        let sources = self.question.sources.len();
        for portion in self
            .draws_as_portions()
            .iter()
            .chain(&self.doses_as_portions())
        {
            let most = Self::choice_span(self.question, &self.scales, portion.variable).high;
            if let (Some(value), Some(step)) = (x.get_mut(portion.variable), portion.step) {
                *value = nearest(*value, step, portion.smallest, most);
            }
        }
        let others: f64 = x.iter().take(sources).skip(1).sum();
        if let Some(first) = x.first_mut() {
            *first = math::at_least(1.0 - others, 0.0);
        }
        x
    }
}

/// Whether a reagent is one of the salts of which there may be only so many: acids are not.
fn counts(option: &DoseOption) -> bool {
    option.preparation.reagent.kind != ReagentKind::Acid
}

/// The nearest amount that can be weighed: whole steps, nothing or at least the smallest, and no more than the most.
fn nearest(amount: f64, step: f64, smallest: f64, most: f64) -> f64 {
    if amount < 0.5 * smallest {
        return 0.0;
    }
    let steps = (math::at_least(amount, smallest) / step).round();
    if steps * step > most * (1.0 + 1e-9) {
        math::at_least(steps - 1.0, 0.0) * step
    } else {
        steps * step
    }
}
