//! One step of the rate laws: Euler's linearly implicit rule in 1, 2, 3 … parts, extrapolated to
//! parts of no length (Deuflhard 1985, SIAM Rev. 27, 505; Hairer & Wanner 1996, Solving Ordinary
//! Differential Equations II, section IV.9). It stays stable where scale keeps liquor close to
//! saturation, and its Jacobian may be approximate.

use super::laws::Moved;
use crate::math;

/// Most numbers of parts that one step is tried with.
pub(super) const MOST_COLUMNS: usize = 7;
/// Fewest of which two extrapolations are compared.
const FEWEST_COLUMNS: usize = 3;

/// How calcite and carbon dioxide per hour change with both.
pub(super) type Jacobian = [[f64; 2]; 2];

/// The end of a step, and how many numbers of parts it took.
pub(super) struct Step {
    pub end: Moved,
    pub columns: usize,
}

/// Where a step starts: what has moved, per hour as well, and the Jacobian.
pub(super) struct Start {
    pub moved: Moved,
    pub per_hour: Moved,
    pub jacobian: Jacobian,
}

/// A step from 0 to a length; `None` where two extrapolations do not agree within a tolerance, or
/// will not with so few parts.
///
/// # Errors
/// Those of the rates.
pub(super) fn step<E>(
    rates: impl Fn(f64, Moved) -> Result<Moved, E>,
    start: &Start,
    length: f64,
    tolerance: Moved,
) -> Result<Option<Step>, E> {
    let mut extrapolated = [start.moved; MOST_COLUMNS];
    let mut worst = f64::INFINITY;
    for parts in 1..=MOST_COLUMNS {
        let mut next = euler(&rates, start, length, parts)?;
        let mut change = [0.0; 3];
        for (order, before) in (1..=parts).zip(&mut extrapolated) {
            let coarse = std::mem::replace(before, next);
            if order < parts {
                let finer = parts as f64 / (parts - order) as f64;
                change = difference(next, coarse).map(|change| change / (finer - 1.0));
                next = sum(next, change);
            }
        }
        if parts == 1 {
            continue;
        }
        let before = worst;
        let shares = change.iter().zip(tolerance);
        worst = shares.fold(0.0, |worst, (change, near)| {
            math::at_least(change.abs() / near, worst)
        });
        if parts >= FEWEST_COLUMNS && worst <= 1.0 {
            return Ok(Some(Step {
                end: next,
                columns: parts,
            }));
        }
        let left = (parts..MOST_COLUMNS).fold(worst, |left, _| left * (worst / before));
        if parts >= FEWEST_COLUMNS && left > 1.0 {
            return Ok(None);
        }
    }
    Ok(None)
}

/// Euler's rule in so many parts, with the rates at the start of each.
fn euler<E>(
    rates: &impl Fn(f64, Moved) -> Result<Moved, E>,
    start: &Start,
    length: f64,
    parts: usize,
) -> Result<Moved, E> {
    let part = length / parts as f64;
    let [[a, b], [c, d]] = start.jacobian;
    let [a, b, c, d] = [1.0 - part * a, -part * b, -part * c, 1.0 - part * d];
    let determinant = a * d - b * c;
    let mut moved = start.moved;
    let mut per_hour = start.per_hour;
    for place in 0..parts {
        if place > 0 {
            per_hour = rates(part * place as f64, moved)?;
        }
        let [calcite, gas, steam] = per_hour.map(|per_hour| part * per_hour);
        let change = [
            (d * calcite - b * gas) / determinant,
            (a * gas - c * calcite) / determinant,
            steam,
        ];
        moved = sum(moved, change);
    }
    Ok(moved)
}

fn sum(one: Moved, other: Moved) -> Moved {
    [0, 1, 2].map(|place: usize| one[place] + other[place])
}

fn difference(one: Moved, other: Moved) -> Moved {
    [0, 1, 2].map(|place: usize| one[place] - other[place])
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Growth and decay of known end, one of them stiff: y' = -k (y - cos t) - sin t has y = cos t.
    /// A step that does not converge is halved.
    #[test]
    fn a_stiff_equation_of_known_end() {
        for stiffness in [1.0, 1e3, 1e6] {
            let rates = |time: f64, [one, other, third]: Moved| {
                let stiff = -stiffness * (one - time.cos()) - time.sin();
                Ok::<_, ()>([stiff, -other, 0.5 * third])
            };
            let (mut time, mut length, mut moved, mut steps) = (0.0, 0.25, [1.0; 3], 0);
            while time < 0.25 {
                let start = Start {
                    moved,
                    per_hour: rates(time, moved).expect("no error"),
                    jacobian: [[-stiffness, 0.0], [0.0, -1.0]],
                };
                let from = |after: f64, moved: Moved| rates(time + after, moved);
                match step(from, &start, length, [1e-7; 3]).expect("no error") {
                    Some(done) => {
                        moved = done.end;
                        time += length;
                        length = length.min(0.25 - time);
                        steps += 1;
                    }
                    None => length /= 2.0,
                }
                assert!(length > 1e-4 || time >= 0.25, "{stiffness}: {time}");
            }
            let expected = [0.25_f64.cos(), (-0.25_f64).exp(), 0.125_f64.exp()];
            for (found, expected) in moved.into_iter().zip(expected) {
                assert!(
                    (found - expected).abs() < 1e-6,
                    "{stiffness}: {found} {expected}"
                );
            }
            assert!(steps <= 64, "{stiffness}: {steps} steps");
        }
    }

    #[test]
    fn a_step_that_is_too_long_is_refused() {
        let rates = |time: f64, _: Moved| Ok::<_, ()>([(50.0 * time).sin(), 0.0, 0.0]);
        let start = Start {
            moved: [0.0; 3],
            per_hour: [0.0; 3],
            jacobian: Jacobian::default(),
        };
        let found = step(rates, &start, 10.0, [1e-9; 3]);
        assert!(found.expect("no error").is_none());
    }
}
