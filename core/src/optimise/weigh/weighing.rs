//! A search for the best point that can be weighed: its demands, and its result.

use crate::optimise::limit::Span;

/// Objectives below this are zero.
pub(super) const SMALLEST_VALUE: f64 = 1e-9;
/// A span's end that misses a whole step by less than this part still holds it.
pub(super) const ROUNDING: f64 = 1e-9;

/// A variable that is weighed or measured out. Its span must not reach below zero.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Portion {
    /// The variable.
    pub variable: usize,
    /// Step of the scale, in the variable's unit; `None` where any amount can be weighed.
    pub step: Option<f64>,
    /// Smallest sensible amount other than nothing, in the variable's unit.
    pub min_dose: f64,
    /// The item it is taken from: portions of one item count once. `None` for what is not counted.
    pub item: Option<usize>,
    /// What using it at all costs, in the objective's unit.
    pub price: f64,
}

/// A part of the programme's objective that helps the solver but does not count: slope·x +
/// ½·curvature·x² of one variable, neither of them negative, the variable never negative. It must
/// be small: it loosens the bounds.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Regularisation {
    /// In the objective's unit per unit of the variable.
    pub slope: f64,
    /// In the objective's unit per unit of the variable squared.
    pub curvature: f64,
}

impl Regularisation {
    pub(super) fn at(self, x: f64) -> f64 {
        (self.slope + 0.5 * self.curvature * x) * x
    }

    pub(super) fn slope_at(self, x: f64) -> f64 {
        self.slope + self.curvature * x
    }
}

/// What is demanded beside the programme.
#[derive(Clone, Copy, Debug)]
pub struct Weighing<'a> {
    /// What is weighed.
    pub portions: &'a [Portion],
    /// Most items that may be used.
    pub most_items: Option<usize>,
    /// What does not count, by variable; variables beyond its end have nothing.
    pub regularisation: &'a [Regularisation],
    /// What the objective has beside the programme's value.
    pub constant: f64,
    /// What no objective is below; −∞ where nothing is known.
    pub least: f64,
    /// Points whose objectives differ by no more than this, or this part of them where they are
    /// above 1, are as good as each other; 0 for none that differ at all.
    pub indifference: f64,
    /// Most nodes to open.
    pub node_limit: u64,
}

/// What the search found.
#[derive(Clone, Debug, PartialEq)]
pub struct Weighed {
    /// The best point found; `None` where there is none, or none was found within the limit.
    pub x: Option<Vec<f64>>,
    /// Its objective with the prices; infinite without a point.
    pub value: f64,
    /// No point that can be weighed has less, but for what is as good.
    pub bound: f64,
    /// The objectives that counted as equal differed by no more than this.
    pub tie: f64,
    /// Nodes opened.
    pub nodes: u64,
    /// Steps of the solver.
    pub iterations: u64,
}

impl Weighed {
    /// How much better another point could still be, as a part of the value: 0 once the search has
    /// ended by itself.
    pub fn gap(&self) -> f64 {
        let missing = self.value - self.bound;
        if missing > self.tie {
            missing / self.value.abs().max(SMALLEST_VALUE)
        } else {
            0.0
        }
    }
}

impl Portion {
    pub(super) fn unit(&self) -> f64 {
        self.step.unwrap_or(1.0)
    }

    /// The span in steps.
    pub(super) fn range(&self, span: Span) -> [f64; 2] {
        let [low, high] = [span.low, span.high].map(|end| end / self.unit());
        if self.step.is_none() {
            return [low, high];
        }
        let rounding = ROUNDING * low.abs().max(1.0);
        let low = (low - rounding).ceil();
        [low, (high * (1.0 + ROUNDING)).floor()]
    }

    /// Fewest steps other than none. Above zero, for a range from there up means that the portion
    /// is used.
    pub(super) fn least_steps(&self) -> f64 {
        let least = self.min_dose / self.unit();
        if self.step.is_some() {
            (least * (1.0 - ROUNDING)).ceil().max(1.0)
        } else {
            least.max(f64::MIN_POSITIVE)
        }
    }
}
