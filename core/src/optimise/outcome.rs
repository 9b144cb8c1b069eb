//! How a solve ends.

use schemars::JsonSchema;
use serde::Serialize;

use super::certificate::Certificate;
use super::limit::{Limit, Side};
use super::multipliers::Multipliers;
use super::programme::Programme;

/// The four ends of a solve.
#[derive(Clone, Debug, PartialEq)]
pub enum Outcome {
    /// The one optimum, with the certificate that it is.
    Optimal(Solution),
    /// No point keeps all limits, with the proof.
    Infeasible(Conflict),
    /// The solver ran out of steps.
    IterationLimit {
        /// Steps taken.
        iterations: u64,
    },
    /// The numbers of the programme are too ill-conditioned for a certified optimum.
    NumericalTrouble {
        /// Steps taken.
        iterations: u64,
        /// How far the best attempt was from an optimum; none when no attempt was complete or
        /// finite.
        certificate: Option<Certificate>,
    },
}

impl Outcome {
    /// The solution, if there is one.
    pub fn solution(&self) -> Option<&Solution> {
        match self {
            Outcome::Optimal(solution) => Some(solution),
            _ => None,
        }
    }
}

/// A certified optimum.
#[derive(Clone, Debug, PartialEq)]
pub struct Solution {
    /// The variables, in their own units.
    pub x: Vec<f64>,
    /// ½·xᵀH·x + gᵀx.
    pub value: f64,
    /// What each limit costs.
    pub multipliers: Multipliers,
    /// The limits the optimum rests on, variables first, then rows.
    pub active: Vec<ActiveLimit>,
    /// How well the conditions of an optimum are met; holds at [`Certificate::TOLERANCE`].
    pub certificate: Certificate,
    /// Steps taken.
    pub iterations: u64,
}

/// A limit an optimum rests on, or a part of a conflict.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ActiveLimit {
    /// Which limit.
    pub limit: Limit,
    /// The end that pushes. An equality pushes from the side that its multiplier shows.
    pub side: Side,
    /// How strongly, never negative: objective per unit of the limit; in a conflict, the Farkas
    /// weight.
    pub weight: f64,
}

/// A proof that no point keeps all limits (Farkas' lemma). Written as (side's sign)·aᵀx ≥ (side's
/// sign)·end and summed with the weights, the limits below leave nothing on the left and a positive
/// number, `excess`, on the right. No other limit has a part in it.
#[derive(Clone, Debug, PartialEq)]
pub struct Conflict {
    /// The limits that cannot hold together, variables first, then rows, with their weights. The
    /// first limit found impossible has weight 1.
    pub limits: Vec<ActiveLimit>,
    /// What is missing, in the unit of the limit of weight 1.
    pub excess: f64,
    /// What rounding left on the left, summed over the variables: the proof covers every x whose
    /// entries are smaller than `excess / residual`.
    pub residual: f64,
    /// Steps taken.
    pub iterations: u64,
}

impl Conflict {
    /// How far each of the limits would have to give way, alone, for this proof to fall: the excess
    /// by its weight, in its own unit. With anything less no point keeps all limits. What has
    /// given way may show another conflict.
    pub fn reliefs(&self) -> impl Iterator<Item = (ActiveLimit, f64)> + '_ {
        self.limits
            .iter()
            .map(|part| (*part, self.excess / part.weight))
    }

    /// The limit that has to give way least, and how far.
    pub fn least_relief(&self) -> Option<(ActiveLimit, f64)> {
        self.reliefs()
            .min_by(|(_, one), (_, other)| one.total_cmp(other))
    }
}

/// A contradiction below this part of the numbers it is made of is rounding.
const SMALLEST_EXCESS: f64 = 1e-11;

/// The proof must cover variables at least this large, in their units.
const SMALLEST_REACH: f64 = 1e6;

impl Conflict {
    /// Sums up the limits with the programme's own numbers; nothing if they prove nothing.
    pub(super) fn prove(
        programme: &Programme,
        parts: &[(usize, Side, f64)],
        iterations: u64,
    ) -> Option<Self> {
        let mut left = vec![0.0; programme.variables()];
        let (mut excess, mut size) = (0.0, 0.0);
        for &(index, side, weight) in parts {
            let end = programme.spans()[index].end(side);
            let signed = side.sign() * weight;
            programme.add_normal(index, signed, &mut left);
            excess += signed * end;
            size += weight * end.abs().max(programme.weight(index));
        }
        let residual: f64 = left.iter().map(|v| v.abs()).sum();
        let proven = excess.is_finite()
            && excess > SMALLEST_EXCESS * size
            && excess >= SMALLEST_REACH * residual;
        proven.then(|| {
            let mut limits: Vec<ActiveLimit> = parts
                .iter()
                .map(|&(index, side, weight)| ActiveLimit {
                    limit: programme.limit(index),
                    side,
                    weight,
                })
                .collect();
            limits.sort_unstable_by_key(|part| part.limit);
            Self {
                limits,
                excess,
                residual,
                iterations,
            }
        })
    }
}
