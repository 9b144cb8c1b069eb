//! Random programmes of every class.

use underlet::optimise::{Limit, Programme, Span};

use crate::common::dice::Dice;

/// A programme as lists, so that it can be reordered and handed to another solver.
#[derive(Clone, Debug)]
pub struct Lists {
    pub hessian: Vec<f64>,
    pub gradient: Vec<f64>,
    pub rows: Vec<(Vec<f64>, Span)>,
    pub bounds: Vec<Span>,
    pub known: Known,
}

/// What is known of a programme before it is solved.
#[derive(Clone, Debug)]
pub enum Known {
    /// Nothing.
    Nothing,
    /// A point that keeps all limits.
    Inside(Vec<f64>),
    /// The optimum.
    Best(Vec<f64>),
    /// That no point keeps all limits.
    Impossible,
}

impl Lists {
    pub fn programme(&self) -> Programme {
        let mut programme =
            Programme::new(self.hessian.clone(), self.gradient.clone()).expect("valid");
        for (coefficients, span) in &self.rows {
            programme.add_row(coefficients, *span).expect("valid");
        }
        for (j, span) in self.bounds.iter().enumerate() {
            programme.set_bound(j, *span).expect("valid");
        }
        programme
    }

    pub fn variables(&self) -> usize {
        self.gradient.len()
    }

    pub fn limits(&self) -> Vec<(Limit, Vec<f64>, Span)> {
        let unit = |j: usize| {
            (0..self.variables())
                .map(|k| f64::from(u8::from(j == k)))
                .collect()
        };
        let bounds = self
            .bounds
            .iter()
            .enumerate()
            .map(|(j, s)| (Limit::Bound(j), unit(j), *s));
        let rows = self.rows.iter().enumerate();
        bounds
            .chain(rows.map(|(i, (a, s))| (Limit::Row(i), a.clone(), *s)))
            .collect()
    }

    /// A point that keeps all limits, where one is known.
    pub fn inside(&self) -> Option<&[f64]> {
        match &self.known {
            Known::Inside(point) | Known::Best(point) => Some(point),
            _ => None,
        }
    }

    pub fn keeps(&self, x: &[f64]) -> bool {
        self.limits().iter().all(|(_, a, span)| {
            let activity = plain_dot(a, x);
            span.low <= activity && activity <= span.high
        })
    }
}

pub fn plain_dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(x, y)| x * y).sum()
}

fn reals(dice: &mut Dice, count: usize) -> Vec<f64> {
    (0..count).map(|_| dice.real(-1.0, 1.0)).collect()
}

/// What each variable is: a column of numbers of its own, the same as another's, or nothing but
/// zeros.
type Columns = [Option<usize>];

/// Random numbers by column.
fn spread(dice: &mut Dice, columns: &Columns) -> Vec<f64> {
    let own = reals(dice, columns.len());
    let number = |column: &Option<usize>| column.map_or(0.0, |column| own[column]);
    columns.iter().map(number).collect()
}

/// GᵀG + ridge·I, G having `rank` random rows.
fn gram(dice: &mut Dice, columns: &Columns, rank: usize, ridge: f64) -> Vec<f64> {
    let n = columns.len();
    let mut h = vec![0.0; n * n];
    for _ in 0..rank {
        let g = spread(dice, columns);
        for i in 0..n {
            for j in 0..n {
                h[i * n + j] += g[i] * g[j];
            }
        }
    }
    for i in 0..n {
        h[i * n + i] += ridge;
    }
    h
}

/// H·x.
fn times(h: &[f64], x: &[f64]) -> Vec<f64> {
    h.chunks_exact(x.len())
        .map(|row| plain_dot(row, x))
        .collect()
}

/// A span around a value: two-sided, one-sided or exact.
fn span_around(dice: &mut Dice, value: f64) -> Span {
    match dice.pick(5) {
        0 => Span::at_least(value - dice.real(0.0, 0.5)),
        1 => Span::at_most(value + dice.real(0.0, 0.5)),
        2 => Span::between(value - dice.real(0.0, 0.3), value + dice.real(0.0, 0.3)),
        3 => Span::exactly(value),
        _ => Span::at_least(value),
    }
}

/// Dense rows around a known point; curvature from round to nearly flat. Where the bounds are open
/// as well, a flat direction may lead 10⁸ units away.
fn around(dice: &mut Dice, columns: &Columns, rows: usize, open: bool) -> Lists {
    let n = columns.len();
    let ridge = *dice.one_of(&[1.0, 1e-2, 1e-4, 1e-6, 1e-8]);
    let rank = dice.pick(n + 1);
    let hessian = gram(dice, columns, rank, ridge);
    let inside: Vec<f64> = (0..n).map(|_| dice.real(0.0, 1.0)).collect();
    let gradient = spread(dice, columns).iter().map(|g| 3.0 * g).collect();
    let rows = (0..rows)
        .map(|_| {
            let a = spread(dice, columns);
            let value = plain_dot(&a, &inside);
            let span = span_around(dice, value);
            (a, span)
        })
        .collect();
    let far = if open { f64::INFINITY } else { 10.0 };
    let bounds = inside
        .iter()
        .map(|&v| match dice.pick(4) {
            0 => Span::between(-far, far),
            1 => Span::between(v, v + 1.0),
            2 => Span::between(0.0, v),
            _ => Span::between(0.0, far),
        })
        .collect();
    Lists {
        hessian,
        gradient,
        rows,
        bounds,
        known: Known::Inside(inside),
    }
}

/// Columns all different.
fn own(count: usize) -> Vec<Option<usize>> {
    (0..count).map(Some).collect()
}

pub fn around_a_point(dice: &mut Dice, open: bool) -> Lists {
    let (n, m) = (1 + dice.pick(20), dice.pick(26));
    around(dice, &own(n), m, open)
}

fn feasible(dice: &mut Dice) -> Lists {
    around_a_point(dice, false)
}

fn far_away(dice: &mut Dice) -> Lists {
    around_a_point(dice, true)
}

fn forty_variables(dice: &mut Dice) -> Lists {
    let m = dice.pick(40);
    around(dice, &own(40), m, false)
}

/// Several variables do the very same, but for the ridge and their bounds.
fn duplicate_columns(dice: &mut Dice) -> Lists {
    let (n, m) = (2 + dice.pick(12), dice.pick(16));
    let apart = 1 + dice.pick(n - 1);
    let columns: Vec<_> = (0..n).map(|_| Some(dice.pick(apart))).collect();
    around(dice, &columns, m, false)
}

/// Some variables, or all, are in no row and have no slope.
fn zero_columns(dice: &mut Dice) -> Lists {
    let (n, m) = (1 + dice.pick(12), dice.pick(16));
    let columns: Vec<_> = own(n)
        .into_iter()
        .map(|own| own.filter(|_| dice.chance(0.5)))
        .collect();
    around(dice, &columns, m, false)
}

/// Rows that say nothing new: the same in other units, looser ones, sums of two.
fn redundant(dice: &mut Dice) -> Lists {
    let (n, m) = (1 + dice.pick(12), 1 + dice.pick(10));
    let mut lists = around(dice, &own(n), m, false);
    for _ in 0..=dice.pick(10) {
        let [one, other] = [(); 2].map(|()| dice.one_of(&lists.rows).clone());
        let (mut a, mut span) = one;
        match dice.pick(3) {
            0 => {
                let factor = dice.magnitude(1e-3, 1e3);
                for a in &mut a {
                    *a *= factor;
                }
                span = Span::between(span.low * factor, span.high * factor);
            }
            1 => {
                let [below, above] = [(); 2].map(|()| dice.real(0.0, 1.0));
                span = Span::between(span.low - below, span.high + above);
            }
            _ => {
                a.iter_mut().zip(&other.0).for_each(|(a, b)| *a += b);
                span = Span::between(span.low + other.1.low, span.high + other.1.high);
            }
        }
        lists.rows.push((a, span));
    }
    lists
}

/// Limits of a feasible programme are summed with random weights, and the sum is demanded to be
/// more than it can be.
fn infeasible(dice: &mut Dice) -> Lists {
    let mut lists = feasible(dice);
    let n = lists.variables();
    let (mut sum, mut least) = (vec![0.0; n], 0.0);
    for (_, a, span) in lists.limits() {
        let ends = [(1.0, span.low), (-1.0, span.high)];
        let (sign, end) = *dice.one_of(&ends);
        if end.is_finite() && dice.chance(0.4) {
            let weight = sign * dice.real(0.1, 2.0);
            sum.iter_mut()
                .zip(&a)
                .for_each(|(sum, a)| *sum += weight * a);
            least += weight * end;
        }
    }
    let most = least - dice.magnitude(1e-4, 1.0);
    let place = dice.pick(lists.rows.len() + 1);
    lists.rows.insert(place, (sum, Span::at_most(most)));
    lists.known = Known::Impossible;
    lists
}

/// A point of whole numbers where more limits meet than there are variables, most of which do not
/// push: the optimum by construction, its gradient being the sum of the pushes.
fn degenerate(dice: &mut Dice) -> Lists {
    let n = 1 + dice.pick(8);
    let ridge = *dice.one_of(&[1.0, 1e-2]);
    let hessian = gram(dice, &own(n), n, ridge);
    let best: Vec<f64> = (0..n).map(|_| dice.pick(4) as f64).collect();
    let mut gradient: Vec<f64> = times(&hessian, &best).iter().map(|v| -v).collect();
    let rows = (0..n + 1 + dice.pick(2 * n))
        .map(|_| {
            let a: Vec<f64> = (0..n).map(|_| dice.pick(3) as f64 - 1.0).collect();
            if dice.chance(0.3) {
                let push = dice.real(0.0, 2.0);
                gradient
                    .iter_mut()
                    .zip(&a)
                    .for_each(|(g, a)| *g += push * a);
            }
            let end = plain_dot(&a, &best);
            (a, Span::at_least(end))
        })
        .collect();
    let bounds = best
        .iter()
        .map(|v| *dice.one_of(&[Span::FREE, Span::at_least(*v), Span::at_most(*v)]));
    Lists {
        bounds: bounds.collect(),
        hessian,
        gradient,
        rows,
        known: Known::Best(best),
    }
}

/// Every variable is pushed against one of its bounds, or fixed, and no row is in the way.
fn all_bounds_active(dice: &mut Dice) -> Lists {
    let (n, m) = (1 + dice.pick(20), dice.pick(10));
    let ridge = *dice.one_of(&[1.0, 1e-4, 1e-8]);
    let rank = dice.pick(n + 1);
    let hessian = gram(dice, &own(n), rank, ridge);
    let best = reals(dice, n);
    let mut gradient: Vec<f64> = times(&hessian, &best).iter().map(|v| -v).collect();
    let bounds = best.iter().zip(&mut gradient).map(|(&v, g)| {
        let push = dice.real(0.1, 3.0);
        let (sign, span) = match dice.pick(5) {
            0 => (1.0, Span::exactly(v)),
            1 | 2 => (1.0, Span::between(v, v + dice.real(0.0, 2.0))),
            _ => (-1.0, Span::between(v - dice.real(0.0, 2.0), v)),
        };
        *g += sign * push;
        span
    });
    let bounds = bounds.collect();
    let rows = (0..m)
        .map(|_| {
            let a = reals(dice, n);
            let value = plain_dot(&a, &best);
            let by = dice.real(0.1, 1.0);
            (a, Span::between(value - by, value + by))
        })
        .collect();
    Lists {
        hessian,
        gradient,
        rows,
        bounds,
        known: Known::Best(best),
    }
}

/// An interval from every row, which may be empty.
fn one_variable(dice: &mut Dice) -> Lists {
    let mut end = |width: f64| {
        let at = dice.real(-2.0, 2.0);
        let span = match dice.pick(3) {
            0 => Span::at_least(at - width),
            1 => Span::at_most(at + width),
            _ => Span::between(at - width, at + width),
        };
        (vec![dice.real(-1.0, 1.0)], span)
    };
    let bound = end(2.0).1;
    let rows = (0..4).map(|_| end(1.5)).collect();
    Lists {
        hessian: vec![dice.magnitude(1e-6, 10.0)],
        gradient: reals(dice, 1),
        rows,
        bounds: vec![bound],
        known: Known::Nothing,
    }
}

/// Doses x ≥ 0 with a faint curvature; each target row may be missed at a price by its two slacks.
fn soft_targets(dice: &mut Dice) -> Lists {
    let (doses, targets) = (2 + dice.pick(10), 1 + dice.pick(8));
    let n = doses + 2 * targets;
    let faint = [1e-3, 1e-6, 1e-8][dice.pick(3)];
    let mut hessian = vec![0.0; n * n];
    for j in 0..n {
        hessian[j * n + j] = if j < doses {
            faint
        } else {
            dice.real(0.1, 100.0)
        };
    }
    let gradient = (0..n)
        .map(|j| if j < doses { faint } else { 0.0 })
        .collect();
    let rows = (0..targets)
        .map(|t| {
            let mut a = vec![0.0; n];
            for dose in &mut a[..doses] {
                if dice.chance(0.5) {
                    *dose = dice.real(0.0, 3.0);
                }
            }
            a[doses + 2 * t] = 1.0;
            a[doses + 2 * t + 1] = -1.0;
            let low = dice.real(0.0, 5.0);
            (a, Span::between(low, low + dice.real(0.0, 2.0)))
        })
        .collect();
    let mut bounds = vec![Span::at_least(0.0); n];
    for bound in &mut bounds[..doses] {
        if dice.chance(0.5) {
            *bound = Span::between(0.0, dice.real(0.0, 2.0));
        }
    }
    Lists {
        hessian,
        gradient,
        rows,
        bounds,
        known: Known::Nothing,
    }
}

/// Small whole numbers: ties, duplicates, degenerate vertices and exact conflicts abound.
fn whole_numbers(dice: &mut Dice) -> Lists {
    let n = 1 + dice.pick(8);
    let m = dice.pick(16);
    let mut hessian = vec![0.0; n * n];
    for j in 0..n {
        hessian[j * n + j] = (1 + dice.pick(3)) as f64;
    }
    let whole = |dice: &mut Dice, reach: usize| dice.pick(2 * reach + 1) as f64 - reach as f64;
    let gradient = (0..n).map(|_| whole(dice, 4)).collect();
    let span = |dice: &mut Dice| {
        let low = whole(dice, 3);
        match dice.pick(4) {
            0 => Span::at_least(low),
            1 => Span::at_most(low),
            2 => Span::between(low, low + dice.pick(3) as f64),
            _ => Span::FREE,
        }
    };
    let rows = (0..m)
        .map(|_| ((0..n).map(|_| whole(dice, 1)).collect(), span(dice)))
        .collect();
    let bounds = (0..n).map(|_| span(dice)).collect();
    Lists {
        hessian,
        gradient,
        rows,
        bounds,
        known: Known::Nothing,
    }
}

/// A class of programmes.
pub struct Class {
    pub name: &'static str,
    pub draw: fn(&mut Dice) -> Lists,
    /// Whether the optimum is fixed to the digits that two methods can share.
    pub is_well_fixed: bool,
}

const fn class(name: &'static str, draw: fn(&mut Dice) -> Lists) -> Class {
    Class {
        name,
        draw,
        is_well_fixed: true,
    }
}

/// How many classes there are.
pub const COUNT: usize = 12;

pub static CLASSES: [Class; COUNT] = [
    class("feasible", feasible),
    class("soft targets", soft_targets),
    class("whole numbers", whole_numbers),
    Class {
        is_well_fixed: false,
        ..class("far away", far_away)
    },
    class("infeasible", infeasible),
    class("degenerate", degenerate),
    class("redundant rows", redundant),
    class("duplicate columns", duplicate_columns),
    class("columns of zeros", zero_columns),
    class("all bounds active", all_bounds_active),
    class("one variable", one_variable),
    class("forty variables", forty_variables),
];

/// The class of a seed, by its place: all take their turn.
pub fn turn_of(seed: u64) -> usize {
    usize::try_from(seed % CLASSES.len() as u64).expect("small")
}

pub fn class_of(seed: u64) -> &'static Class {
    &CLASSES[turn_of(seed)]
}

pub fn random_lists(seed: u64) -> Lists {
    (class_of(seed).draw)(&mut Dice::new(seed))
}

/// Seeds of programmes whose optimum is fixed to the digits that two methods can share.
pub fn well_fixed(seeds: std::ops::Range<u64>) -> impl Iterator<Item = u64> {
    seeds.filter(|seed| class_of(*seed).is_well_fixed)
}
