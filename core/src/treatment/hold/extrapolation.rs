//! One step of the rate laws: Euler's linearly implicit rule in 1, 2, 3 … parts, extrapolated to
//! parts of no length (Deuflhard 1985, SIAM Rev. 27, 505; Hairer & Wanner 1996, Solving Ordinary
//! Differential Equations II, section IV.9). It stays stable where scale keeps liquor close to
//! saturation, and its Jacobian may be approximate.

use super::laws::{Jacobian, Moved};

/// Most numbers of parts that one step is tried with.
pub(super) const MOST_COLUMNS: usize = 6;
/// Fewest of which two extrapolations are compared.
const FEWEST_COLUMNS: usize = 3;

/// The end of a step, and how many numbers of parts it took.
pub(super) struct Step {
    pub end: Moved,
    pub columns: usize,
}

/// A step from 0 to a length; `None` where two extrapolations do not agree within a tolerance.
///
/// # Errors
/// Those of the rates.
pub(super) fn step<E>(
    rates: impl Fn(f64, Moved) -> Result<Moved, E>,
    jacobian: &Jacobian,
    start: Moved,
    length: f64,
    tolerance: Moved,
) -> Result<Option<Step>, E> {
    let mut extrapolated = [start; MOST_COLUMNS];
    for parts in 1..=MOST_COLUMNS {
        let mut next = euler(&rates, jacobian, start, length, parts)?;
        let mut change = [f64::INFINITY; 3];
        for (order, before) in (1..=parts).zip(&mut extrapolated) {
            let coarse = std::mem::replace(before, next);
            if order < parts {
                let finer = parts as f64 / (parts - order) as f64;
                change = difference(next, coarse).map(|change| change / (finer - 1.0));
                next = sum(next, change);
            }
        }
        let agrees = change.iter().zip(tolerance).all(|(change, near)| change.abs() <= near);
        if parts >= FEWEST_COLUMNS && agrees {
            return Ok(Some(Step {
                end: next,
                columns: parts,
            }));
        }
    }
    Ok(None)
}

/// Euler's rule in so many parts, with the rates at the end of each.
fn euler<E>(
    rates: &impl Fn(f64, Moved) -> Result<Moved, E>,
    [[a, b], [c, d]]: &Jacobian,
    start: Moved,
    length: f64,
    parts: usize,
) -> Result<Moved, E> {
    let part = length / parts as f64;
    let [a, b, c, d] = [1.0 - part * a, -part * b, -part * c, 1.0 - part * d];
    let determinant = a * d - b * c;
    let mut moved = start;
    for place in 1..=parts {
        let [calcite, gas, steam] =
            rates(part * place as f64, moved)?.map(|per_hour| part * per_hour);
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
    #[test]
    fn a_stiff_equation_of_known_end() {
        for stiffness in [1.0, 1e3, 1e6] {
            let rates = |time: f64, [one, other, third]: Moved| {
                let stiff = -stiffness * (one - time.cos()) - time.sin();
                Ok::<_, ()>([stiff, -other, 0.5 * third])
            };
            let jacobian = [[-stiffness, 0.0], [0.0, -1.0]];
            let end = step(rates, &jacobian, [1.0; 3], 0.25, [1e-6; 3]);
            let end = end.expect("no error").expect("converges").end;
            let expected = [0.25_f64.cos(), (-0.25_f64).exp(), 0.125_f64.exp()];
            for (found, expected) in end.into_iter().zip(expected) {
                assert!((found - expected).abs() < 1e-6, "{stiffness}: {found} {expected}");
            }
        }
    }

    #[test]
    fn a_step_that_is_too_long_is_refused() {
        let rates = |time: f64, _: Moved| Ok::<_, ()>([(50.0 * time).sin(), 0.0, 0.0]);
        let found = step(rates, &Jacobian::default(), [0.0; 3], 10.0, [1e-9; 3]);
        assert!(found.expect("no error").is_none());
    }
}
