//! What the limits of a programme cost at a point.

use super::limit::Limit;

/// What each limit costs: the rate at which the least value rises as the end that pushes is moved,
/// in units of the objective per unit of the limit. Positive: the low end pushes. Negative: the
/// high end does. Zero: neither.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Multipliers {
    /// One per variable.
    pub bounds: Vec<f64>,
    /// One per row.
    pub rows: Vec<f64>,
}

impl Multipliers {
    /// The multiplier of one limit; zero if there is none.
    pub fn get(&self, limit: Limit) -> f64 {
        let (list, index) = match limit {
            Limit::Bound(j) => (&self.bounds, j),
            Limit::Row(i) => (&self.rows, i),
        };
        list.get(index).copied().unwrap_or(0.0)
    }
}
