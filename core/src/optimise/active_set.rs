//! The steps of the dual active-set method of Goldfarb & Idnani (1983, *Mathematical Programming*
//! 27:1-33).
//!
//! They start from the unconstrained minimum and take the broken limits in one by one. Every
//! iterate is the best point for the limits taken in so far, so the value only rises, and the first
//! point that breaks nothing is the optimum. A step that neither moves nor frees anything is the
//! proof that no point keeps all limits.
//!
//! The method runs in the coordinates y = Lᵀx (H = L·Lᵀ), where the objective is ½|y|² + (L⁻¹g)ᵀy,
//! and with normals of unit length there. Its tolerances and its choice of the next limit are
//! therefore the same in whatever units variables and rows are written. Only sums, products,
//! quotients and square roots occur, in a fixed order.

use super::certificate::Certificate;
use super::factor::WorkingFactor;
use super::limit::{Side, Span};
use super::multipliers::Multipliers;
use super::outcome::Conflict;
use super::padded::{NonzeroRange, add_padded, add_scaled, dot, dot_padded, length};

mod refinement;
use super::programme::Programme;

/// A limit overstepped by less than this part of its size is treated as kept. Far above the
/// rounding of a few hundred operations (10⁻¹⁴), far below what the certificate demands.
const KEPT: f64 = 1e-11;

/// Rounding of a limit's value in y, as a part of |y|.
const ROUNDING: f64 = 64.0 * f64::EPSILON;

/// A unit normal of which less than this is independent of the limits at work depends on them.
const DEPENDENT: f64 = 1e-10;

/// A multiplier that falls more slowly than this, beside the fastest one, does not fall.
const NEGLIGIBLE_RATE: f64 = 1e-13;

/// A correction below this part of y ends the refinement of a bound: the correction has squared its
/// error by then.
const BOUND_PRECISION: f64 = 1e-10;

/// A limit at work.
#[derive(Clone, Copy, Debug)]
struct Working {
    index: usize,
    side: Side,
    /// Its multiplier in y, against the unit normal.
    multiplier: f64,
}

/// A span in y: where its ends lie along the unit normal, and how far beyond each is still treated
/// as kept.
#[derive(Clone, Copy, Debug)]
struct Ends {
    low: f64,
    high: f64,
    low_kept: f64,
    high_kept: f64,
    exact: bool,
}

impl Ends {
    fn new(span: Span, scale: f64, weight: f64) -> Self {
        let kept = |end: f64| KEPT * scale * end.abs().max(weight);
        Self {
            low: span.low * scale,
            high: span.high * scale,
            low_kept: kept(span.low),
            high_kept: kept(span.high),
            exact: span.is_exact(),
        }
    }

    /// The end that limits sign·aᵀx from below, sign included.
    fn at(&self, side: Side) -> f64 {
        match side {
            Side::Low => self.low,
            Side::High => -self.high,
        }
    }
}

/// What one step of the method came to.
enum Step {
    /// The iterate or the limits at work have changed.
    Made,
    /// Every limit is kept as well as y can tell.
    Kept,
    /// The steps have ended before an optimum.
    Ended(End),
}

/// What a relaxation of branch and bound came to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Relaxed {
    /// Its least value lies above the cutoff.
    Cut,
    /// Its optimum is in [`ActiveSet::x`]: refined, or rough as requested.
    Solved,
    /// No point keeps its limits.
    Impossible,
    /// It ended without either.
    Failed,
}

/// Why the steps ended.
#[derive(Clone, Debug)]
pub(super) enum End {
    Optimal(Multipliers, Certificate),
    Infeasible(Conflict),
    Trouble(Option<Certificate>),
}

/// The iterate, the limits at work, and the memory for a step.
#[derive(Clone, Debug, Default)]
pub(super) struct ActiveSet {
    factor: WorkingFactor,
    /// The limits at work, in the order of the factor's columns.
    working: Vec<Working>,
    /// The limit on its way in, until its full step is made.
    entering: Option<Working>,
    /// By limit: its span in y.
    ends: Vec<Ends>,
    /// By limit: at work, or left to the certificate. Neither is chosen to enter.
    excluded: Vec<bool>,
    /// L⁻¹g.
    slope: Vec<f64>,
    /// y, and x once the steps have ended.
    y: Vec<f64>,
    x: Vec<f64>,
    /// Greatest |y| since y was last computed anew: the measure of its rounding.
    reach: f64,
    /// What the tolerances are times.
    patience: f64,
    /// The direction of a step in y, Qᵀ·normal, and how fast the multipliers fall.
    step: Vec<f64>,
    turned: Vec<f64>,
    fall: Vec<f64>,
}

impl ActiveSet {
    /// Lets go of all limits at work.
    pub(super) fn clear(&mut self) {
        self.factor.reset(0);
        self.working.clear();
    }

    /// Puts the iterate where the solve begins: at the limits at work, if they are to be kept, or
    /// at none.
    pub(super) fn begin(&mut self, programme: &Programme, keep: bool) {
        let (n, limits) = (programme.variables(), programme.limit_count());
        let stride = programme.stride();
        let fits = self.factor.variables() == n && self.excluded.len() == limits;
        self.entering = None;
        self.patience = 1.0;
        for buffer in [
            &mut self.y,
            &mut self.x,
            &mut self.step,
            &mut self.turned,
            &mut self.fall,
        ] {
            buffer.clear();
            buffer.resize(stride, 0.0);
        }
        self.slope.resize(stride, 0.0);
        programme.solve_lower(programme.gradient(), &mut self.slope);
        if !(keep && fits) {
            self.factor.reset(n);
            self.working.clear();
        }
        self.excluded.clear();
        self.excluded.resize(limits, false);
        self.ends.clear();
        let spans = programme.spans().iter().zip(programme.sizes());
        self.ends
            .extend(spans.map(|(span, (scale, weight))| Ends::new(*span, scale, weight)));
        self.drop_absent_ends();
        for limit in &self.working {
            self.excluded[limit.index] = true;
        }
        self.recompute();
    }

    /// Lets go of limits at work whose end no longer exists.
    fn drop_absent_ends(&mut self) {
        for position in (0..self.working.len()).rev() {
            let Working { index, side, .. } = self.working[position];
            if !self.ends[index].at(side).is_finite() {
                self.release(position);
            }
        }
    }

    /// Computes y and the multipliers anew from the limits at work, and releases inequalities that
    /// pull instead of push, until none does.
    fn recompute(&mut self) {
        loop {
            self.place();
            let Some(position) = self.strongest_pull(0.0) else {
                return;
            };
            self.release(position);
        }
    }

    /// The minimum of the objective on the limits at work, all taken as equalities: with t =
    /// Qᵀ·slope and w = R⁻ᵀ·ends, y = Q₁w − Q₂t₂ and the multipliers are R⁻¹(w + t₁).
    fn place(&mut self) {
        let rank = self.factor.rank();
        if rank == 0 {
            for (y, slope) in self.y.iter_mut().zip(&self.slope) {
                *y = -slope;
            }
            self.reach = length(&self.slope);
            return;
        }
        let whole = NonzeroRange::of(&self.slope);
        self.factor.project(&self.slope, whole, &mut self.turned);
        for (w, limit) in self.fall.iter_mut().zip(&self.working) {
            *w = self.ends[limit.index].at(limit.side);
        }
        self.factor.solve_lower(&mut self.fall);
        for (w, t) in self.fall.iter_mut().zip(&self.turned).skip(rank) {
            *w = -t;
        }
        self.factor.expand(&self.fall, &mut self.y);
        add_scaled(&mut self.fall[..rank], 1.0, &self.turned[..rank]);
        self.factor.solve_upper(&mut self.fall);
        for (limit, &multiplier) in self.working.iter_mut().zip(&self.fall) {
            limit.multiplier = multiplier;
        }
        self.reach = length(&self.y).max(length(&self.slope));
    }

    /// The inequality at work with the most negative multiplier below −`tolerance`.
    fn strongest_pull(&self, tolerance: f64) -> Option<usize> {
        let mut strongest = None;
        let mut least = -tolerance;
        for (position, limit) in self.working.iter().enumerate() {
            if limit.multiplier < least && !self.ends[limit.index].exact {
                least = limit.multiplier;
                strongest = Some(position);
            }
        }
        strongest
    }

    /// One step of the method, or, where nothing is broken, the certificate.
    pub(super) fn advance(&mut self, programme: &Programme) -> Option<End> {
        match self.step(programme) {
            Step::Made => None,
            Step::Kept => self.conclude(programme),
            Step::Ended(end) => Some(end),
        }
    }

    /// The steps without certificate, given up as soon as the least value is known to lie above
    /// `cutoff`: a dual method only rises. They begin at the limits that were at work last. An
    /// optimum is refined, unless a rough one will do.
    pub(super) fn relax(
        &mut self,
        programme: &Programme,
        cutoff: f64,
        keep: bool,
        rough: bool,
        steps: u64,
    ) -> (Relaxed, u64) {
        self.begin(programme, keep);
        for step in 0..steps {
            // The two terms of the bound are at most as large as the square of the reach.
            if cutoff < f64::INFINITY
                && self.lower_bound() - 2.0 * ROUNDING * self.reach * self.reach > cutoff
            {
                return (Relaxed::Cut, step);
            }
            match self.step(programme) {
                Step::Kept if rough => {
                    self.take_x(programme);
                    self.put_on_bounds(programme);
                    return (Relaxed::Solved, step);
                }
                Step::Kept if self.is_refined_optimum(programme, BOUND_PRECISION) => {
                    return (Relaxed::Solved, step);
                }
                Step::Made | Step::Kept => {}
                Step::Ended(End::Infeasible(_)) => return (Relaxed::Impossible, step),
                Step::Ended(_) => return (Relaxed::Failed, step),
            }
        }
        (Relaxed::Failed, steps)
    }

    /// The optimum, once the steps have ended at one.
    pub(super) fn x(&self) -> &[f64] {
        &self.x[..self.factor.variables()]
    }

    /// The limit on its way in, or else the one most broken, moves in as far as the multipliers of
    /// the others allow.
    fn step(&mut self, programme: &Programme) -> Step {
        let next = self.entering.take().or_else(|| self.most_broken(programme));
        let Some(mut entering) = next else {
            return Step::Kept;
        };
        let normal = programme.normal(entering.index);
        let nonzero = programme.nonzero(entering.index);
        let sign = entering.side.sign();
        let rank = self.factor.rank();
        self.factor.project(normal, nonzero, &mut self.turned);
        for t in &mut self.turned {
            *t *= sign;
        }
        self.fall[..rank].copy_from_slice(&self.turned[..rank]);
        self.factor.solve_upper(&mut self.fall);

        let blocking = self.first_to_vanish();
        let longest = blocking.map_or(f64::INFINITY, |(_, length)| length);
        let independent = dot(&self.turned[rank..], &self.turned[rank..]);
        let full = if independent > DEPENDENT * DEPENDENT {
            let missing =
                self.ends[entering.index].at(entering.side) - sign * nonzero.dot(normal, &self.y);
            missing.max(0.0) / independent
        } else {
            f64::INFINITY
        };
        if full.is_infinite() && blocking.is_none() {
            return match self.contradiction(programme, entering) {
                Some(end) => Step::Ended(end),
                None => Step::Made,
            };
        }

        let length_of_step = full.min(longest);
        if !length_of_step.is_finite() {
            return Step::Ended(End::Trouble(None));
        }
        if full.is_finite() {
            self.factor.expand_free(&self.turned, &mut self.step);
            add_padded(&mut self.y, length_of_step, &self.step);
            self.reach = self.reach.max(length(&self.y));
        }
        for (limit, fall) in self.working.iter_mut().zip(&self.fall) {
            limit.multiplier -= length_of_step * fall;
            if !self.ends[limit.index].exact {
                limit.multiplier = limit.multiplier.max(0.0);
            }
        }
        entering.multiplier += length_of_step;
        match blocking {
            Some((position, length)) if length < full => {
                self.release(position);
                self.entering = Some(entering);
            }
            _ => {
                self.factor
                    .append(&self.turned, independent.sqrt(), &mut self.step);
                self.excluded[entering.index] = true;
                self.working.push(entering);
            }
        }
        Step::Made
    }

    /// The inequality at work whose multiplier reaches zero first, and after what length of step.
    /// Ties go to the lowest index.
    fn first_to_vanish(&self) -> Option<(usize, f64)> {
        let negligible = self.negligible_rate();
        let mut first: Option<(usize, f64)> = None;
        for (position, (limit, &fall)) in self.working.iter().zip(&self.fall).enumerate() {
            if fall <= negligible || self.ends[limit.index].exact {
                continue;
            }
            let length = limit.multiplier / fall;
            let sooner = first.is_none_or(|(other, shortest)| {
                length < shortest || (length == shortest && limit.index < self.working[other].index)
            });
            if sooner {
                first = Some((position, length));
            }
        }
        first
    }

    /// The rate below which a multiplier is treated as constant: rounding beside the fastest.
    fn negligible_rate(&self) -> f64 {
        let rates = self.fall.iter().take(self.working.len());
        NEGLIGIBLE_RATE * rates.fold(1.0, |most: f64, rate| most.max(rate.abs()))
    }

    /// The limit broken most, by the length of the way back in y; equalities first, ties to the
    /// lowest index.
    fn most_broken(&self, programme: &Programme) -> Option<Working> {
        let noise = ROUNDING * self.reach;
        self.worst(
            programme
                .normals()
                .map(|(normal, nonzero)| nonzero.dot(normal, &self.y)),
            noise,
        )
    }

    /// The same in the programme's own numbers, for a refined x.
    fn most_broken_at_x(&self, programme: &Programme) -> Option<Working> {
        let scales = programme.sizes().map(|(scale, _)| scale).enumerate();
        self.worst(
            scales.map(|(index, scale)| programme.activity(index, &self.x) * scale),
            0.0,
        )
    }

    fn worst(&self, values: impl Iterator<Item = f64>, noise: f64) -> Option<Working> {
        let mut worst = None;
        let (mut most, mut most_exact) = (0.0, false);
        for (index, (value, ends)) in values.zip(&self.ends).enumerate() {
            let (below, above) = (ends.low - value, value - ends.high);
            let overstep = if below > above { below } else { above };
            // Most limits are kept, most of the time.
            if overstep <= noise || self.excluded[index] {
                continue;
            }
            let (side, kept) = if below > above {
                (Side::Low, ends.low_kept)
            } else {
                (Side::High, ends.high_kept)
            };
            let first = overstep > most && ends.exact == most_exact || ends.exact && !most_exact;
            if first && overstep > kept * self.patience {
                (most_exact, most) = (ends.exact, overstep);
                worst = Some(Working {
                    index,
                    side,
                    multiplier: 0.0,
                });
            }
        }
        worst
    }

    /// A limit that depends on those at work cannot be met by moving, and none of those can be let
    /// go.
    fn contradiction(&mut self, programme: &Programme, entering: Working) -> Option<End> {
        let mut parts = vec![(entering.index, entering.side, 1.0)];
        let unit = programme.norm(entering.index);
        let least = self.negligible_rate();
        for (limit, &fall) in self.working.iter().zip(&self.fall) {
            let weight = fall.abs() * unit * programme.scale(limit.index);
            if fall < -least {
                parts.push((limit.index, limit.side, weight));
            } else if fall > least {
                parts.push((limit.index, limit.side.opposite(), weight));
            }
        }
        if let Some(conflict) = Conflict::prove(programme, &parts, 0) {
            return Some(End::Infeasible(conflict));
        }
        // Rounding alone: the limit is kept as well as numbers can tell. The certificate has the
        // last word.
        self.excluded[entering.index] = true;
        self.recompute();
        None
    }

    /// The value of the current relaxation: a lower bound of the optimum.
    pub(super) fn lower_bound(&self) -> f64 {
        0.5 * dot_padded(&self.y, &self.y) + dot_padded(&self.slope, &self.y)
    }

    /// Lets go of the limit at a position.
    fn release(&mut self, position: usize) {
        let limit = self.working.remove(position);
        self.factor.remove(position);
        if let Some(excluded) = self.excluded.get_mut(limit.index) {
            *excluded = false;
        }
    }
}
