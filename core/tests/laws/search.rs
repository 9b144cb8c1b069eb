//! A global search that knows nothing of the fit: a function of shares and doses is made small,
//! within what sources and stocks can give. Differential evolution (Storn & Price 1997, *Journal of
//! Global Optimization* 11:341-359) for starts, spectral projected gradients (Birgin, Martínez &
//! Raydan 2000, *SIAM Journal on Optimization* 10:1196-1211) from each of them.

use underlet::fit::Problem;

use super::forward::Forward;
use crate::common::dice::Dice;

/// Variables from 0 to their caps, and groups of them with a sum: of `factor · x`.
pub struct Room {
    caps: Vec<f64>,
    groups: Vec<Group>,
}

struct Group {
    /// Variables with their factors.
    parts: Vec<(usize, f64)>,
    sum: f64,
    /// Whether the sum is to be just that, or at most.
    is_exact: bool,
}

/// A cap where nothing limits a dose, mmol/kg: far more than any brew takes.
const PLENTY: f64 = 50.0;

impl Room {
    /// What sources and stocks of a problem can give.
    pub fn of(forward: &Forward<'_>) -> Room {
        let problem: &Problem<'_> = forward.problem;
        let sources = forward.sources();
        let blended = problem.waters.blended_kg();
        let shares = problem.sources.iter();
        let shares = shares.map(|source| {
            source
                .max_amount_kg
                .map_or(1.0, |kg| (kg / blended).min(1.0))
        });
        let doses = problem.doses.iter().zip(&forward.units);
        let doses = doses
            .map(|(option, unit)| option.most.map_or(PLENTY, |most| (most / unit).min(PLENTY)));
        let caps = shares.chain(doses).collect();
        let mut groups = vec![Group {
            parts: (0..sources).map(|j| (j, 1.0)).collect(),
            sum: 1.0,
            is_exact: true,
        }];
        for (stock, on_hand) in problem.stocks.iter().enumerate() {
            let doses = problem.doses.iter().zip(&forward.units).enumerate();
            let parts: Vec<_> = doses
                .filter(|(_, (option, _))| option.stock == stock)
                .map(|(index, (_, unit))| (sources + index, *unit))
                .collect();
            if let (Some(sum), Some((_, unit))) = (*on_hand, parts.first().copied()) {
                groups.push(Group {
                    parts: parts
                        .into_iter()
                        .map(|(j, factor)| (j, factor / unit))
                        .collect(),
                    sum: sum / unit,
                    is_exact: false,
                });
            }
        }
        Room { caps, groups }
    }

    /// The nearest point of the room.
    fn project(&self, x: &mut [f64]) {
        for (x, cap) in x.iter_mut().zip(&self.caps) {
            *x = x.clamp(0.0, *cap);
        }
        for group in &self.groups {
            group.project(x, &self.caps);
        }
    }

    fn random(&self, dice: &mut Dice) -> Vec<f64> {
        let mut x: Vec<f64> = self
            .caps
            .iter()
            .map(|cap| {
                if dice.chance(0.5) {
                    0.0
                } else {
                    dice.magnitude(1e-3, 1.0) * cap.min(5.0)
                }
            })
            .collect();
        self.project(&mut x);
        x
    }
}

impl Group {
    fn sum(&self, x: &[f64], caps: &[f64], shift: f64) -> f64 {
        let moved =
            |(j, factor): &(usize, f64)| factor * (x[*j] + shift * factor).clamp(0.0, caps[*j]);
        self.parts.iter().map(moved).sum()
    }

    /// Moves the parts by their factors, as far as it takes: by halving.
    fn project(&self, x: &mut [f64], caps: &[f64]) {
        if !self.is_exact && self.sum(x, caps, 0.0) <= self.sum {
            return;
        }
        let (mut low, mut high) = (-1.0, 1.0);
        while self.sum(x, caps, low) > self.sum {
            low *= 2.0;
        }
        while self.is_exact && self.sum(x, caps, high) < self.sum && high < 1e6 {
            high *= 2.0;
        }
        for _ in 0..200 {
            let middle = (low + high) / 2.0;
            if self.sum(x, caps, middle) > self.sum {
                high = middle;
            } else {
                low = middle;
            }
        }
        for (j, factor) in &self.parts {
            x[*j] = (x[*j] + low * factor).clamp(0.0, caps[*j]);
        }
    }
}

/// How hard to search.
#[derive(Clone, Copy)]
pub struct Effort {
    pub generations: usize,
    /// Descents from what evolved and from random points, beside the one from the point that is on
    /// trial.
    pub starts: usize,
    pub steps: usize,
}

/// What was found.
pub struct Found {
    /// Least value in the neighbourhood of the point on trial: a descent from there.
    pub near: f64,
    /// Least value from anywhere else.
    pub elsewhere: f64,
}

/// Searches for less than a point has.
pub fn search(
    function: &dyn Fn(&[f64]) -> f64,
    room: &Room,
    trial: &[f64],
    effort: Effort,
    seed: u64,
) -> Found {
    let dice = &mut Dice::new(seed);
    let near = descend(function, room, trial.to_vec(), effort.steps);
    let mut elsewhere = f64::INFINITY;
    for start in 0..effort.starts {
        let point = if start == 0 {
            evolve(function, room, effort.generations, dice)
        } else {
            room.random(dice)
        };
        elsewhere = elsewhere.min(descend(function, room, point, effort.steps));
    }
    Found { near, elsewhere }
}

/// Differential evolution: the best of the last generation.
fn evolve(
    function: &dyn Fn(&[f64]) -> f64,
    room: &Room,
    generations: usize,
    dice: &mut Dice,
) -> Vec<f64> {
    let count = room.caps.len();
    let mut all: Vec<(Vec<f64>, f64)> = (0..4 * count.clamp(2, 10))
        .map(|_| {
            let x = room.random(dice);
            let value = function(&x);
            (x, value)
        })
        .collect();
    for _ in 0..generations {
        for index in 0..all.len() {
            let [a, b, c] = [(); 3].map(|()| dice.pick(all.len()));
            let scale = dice.real(0.4, 0.9);
            let forced = dice.pick(count);
            let mut x = all[index].0.clone();
            for (j, x) in x.iter_mut().enumerate() {
                if j == forced || dice.chance(0.7) {
                    *x = all[a].0[j] + scale * (all[b].0[j] - all[c].0[j]);
                }
            }
            room.project(&mut x);
            let value = function(&x);
            if value < all[index].1 {
                all[index] = (x, value);
            }
        }
    }
    let best = all.into_iter().min_by(|(_, a), (_, b)| a.total_cmp(b));
    best.expect("somebody").0
}

/// Central differences, or one-sided ones at the floor.
fn gradient(function: &dyn Fn(&[f64]) -> f64, x: &[f64]) -> Vec<f64> {
    let mut at = x.to_vec();
    let mut value = |j: usize, by: f64| {
        at[j] = x[j] + by;
        let value = function(&at);
        at[j] = x[j];
        value
    };
    (0..x.len())
        .map(|j| {
            let by = 1e-5 * x[j].max(0.1);
            if x[j] > by {
                (value(j, by) - value(j, -by)) / (2.0 * by)
            } else {
                (4.0 * value(j, by) - 3.0 * value(j, 0.0) - value(j, 2.0 * by)) / (2.0 * by)
            }
        })
        .collect()
}

/// The least value on the way down from a point.
fn descend(function: &dyn Fn(&[f64]) -> f64, room: &Room, mut x: Vec<f64>, steps: usize) -> f64 {
    const MEMORY: usize = 10;
    room.project(&mut x);
    let mut value = function(&x);
    let mut slope = gradient(function, &x);
    let steepest = slope.iter().fold(0.0_f64, |most, g| most.max(g.abs()));
    let mut step = 1.0 / steepest.max(1e-12);
    let (mut least, mut last) = (value, vec![value]);
    for _ in 0..steps {
        let mut ahead: Vec<f64> = x.iter().zip(&slope).map(|(x, g)| x - step * g).collect();
        room.project(&mut ahead);
        let way: Vec<f64> = ahead.iter().zip(&x).map(|(a, x)| a - x).collect();
        let falls: f64 = way.iter().zip(&slope).map(|(d, g)| d * g).sum();
        let highest = last.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let mut share = 1.0;
        let (next, lower) = loop {
            let next: Vec<f64> = x.iter().zip(&way).map(|(x, d)| x + share * d).collect();
            let lower = function(&next);
            if lower <= highest + 1e-4 * share * falls || share < 1e-10 {
                break (next, lower);
            }
            share /= 2.0;
        };
        let next_slope = gradient(function, &next);
        let (mut square, mut bend) = (0.0, 0.0);
        for j in 0..x.len() {
            let moved = next[j] - x[j];
            square += moved * moved;
            bend += moved * (next_slope[j] - slope[j]);
        }
        step = if bend > 0.0 {
            (square / bend).clamp(1e-10, 1e10)
        } else {
            1e3
        };
        (x, value, slope) = (next, lower, next_slope);
        least = least.min(value);
        last.push(value);
        if last.len() > MEMORY {
            last.remove(0);
        }
        if square.sqrt() < 1e-12 {
            break;
        }
    }
    least
}
