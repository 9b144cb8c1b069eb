//! A goal that moves, as a polynomial through a few moments.

use super::gauss::{GAUSS, LAST_POINT, followed};
use crate::math;

/// Where the end of the gas is computed in a stretch: near Chebyshev's points, where a polynomial
/// errs least.
pub(super) const NODES: [f64; 6] = [0.0, 0.0955, 0.3455, 0.6545, 0.9045, 1.0];

/// The polynomial through values at the nodes (Newton), of a time of its own as shares of its span
/// in the stretch.
#[derive(Clone, Copy)]
pub(super) struct Polynomial {
    span: f64,
    times: [f64; NODES.len()],
    differences: [f64; NODES.len()],
}

impl Polynomial {
    pub const ZERO: Polynomial = Polynomial {
        span: 1.0,
        times: NODES,
        differences: [0.0; NODES.len()],
    };

    /// From times at the nodes, the last of them above 0.
    pub fn new(times: [f64; NODES.len()], values: [f64; NODES.len()]) -> Polynomial {
        let [.., span] = times;
        let times = times.map(|time| time / span);
        let mut differences = values;
        for order in 1..NODES.len() {
            for node in (order..NODES.len()).rev() {
                differences[node] = (differences[node] - differences[node - 1])
                    / (times[node] - times[node - order]);
            }
        }
        Polynomial {
            span,
            times,
            differences,
        }
    }

    pub fn at(&self, share: f64) -> f64 {
        let terms = self.times.iter().zip(self.differences).rev();
        terms.fold(0.0, |sum, (node, difference)| {
            sum * (share - node) + difference
        })
    }

    /// What follows these goals for some of their time, starting at 0.
    pub fn followed(&self, time: f64) -> f64 {
        if time <= 0.0 {
            return 0.0;
        }
        let share = time / self.span;
        let goals = GAUSS.map(|[place, weight]| {
            let weight = weight * math::exp(time * (place - LAST_POINT));
            [self.at(share * place), weight]
        });
        followed(goals, time)
    }
}
