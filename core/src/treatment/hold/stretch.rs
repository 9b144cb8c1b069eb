//! One stretch of holding.

use super::course::{Course, Spans};
use super::gauss::{GAUSS, LAST_POINT, followed};
use super::holding::{AfterHold, calcite_removed, of_water};
use super::polynomial::{NODES, Polynomial};
use crate::aqueous::air_log10_pco2;
use crate::aqueous::{Aqueous, EquilibriumError, Mineral};
use crate::liquor::Liquor;
use crate::math::{self, NoRoot};

/// Longest stretch that Gauss's rule takes at once, in times of gas or scale, where scale moves the
/// end of the gas.
const COUPLED_STRETCH: f64 = 1.0 / 4.0;
/// Shortest stretch that is cut in two where gas and scale do not converge.
const SHORTEST_STRETCH: f64 = COUPLED_STRETCH / 1024.0;
/// Corners that one stretch may turn, and the share of it nearer than which they lie at its end.
pub(super) const MOST_CORNERS: u8 = 4;
const CORNER: f64 = 1.0e-9;
/// A share of a stretch in which hardly anything comes down.
const SOON: f64 = 1.0e-3;
/// Iterations in which gas and scale converge, and the share of the scale that they converge to.
const MAX_ITERATIONS: u8 = 12;
const CONVERGED: f64 = 1.0e-8;

/// A stretch of holding: all amounts per kg of water at its start, places in it from 0 to 1.
struct Stretch<'s> {
    course: &'s Course<'s>,
    /// Its first and last moment.
    ends: [f64; 2],
    /// Constants of liquor that is held.
    steady: Option<Aqueous>,
    start: Liquor,
    spans: Spans,
    /// Carbon that would leave for the air if a moment stayed for ever, of the gas's own time.
    leaving: Polynomial,
    /// Calcite that this water has precipitated before, mol.
    precipitated: f64,
}

/// Goals of calcite, and what would come down besides in the end at each node.
type Coupled = (Polynomial, [f64; NODES.len()]);

/// The liquor after a stretch more in two.
fn in_two(
    after: AfterHold,
    course: &Course<'_>,
    [from, to]: [f64; 2],
    place: f64,
    corners: u8,
) -> Result<AfterHold, EquilibriumError> {
    let middle = from + (to - from) * place;
    let first = further(after, course, [from, middle], corners)?;
    further(first, course, [middle, to], corners)
}

/// The liquor after one stretch more, which may still turn so many corners.
pub(super) fn further(
    after: AfterHold,
    course: &Course<'_>,
    ends: [f64; 2],
    corners: u8,
) -> Result<AfterHold, EquilibriumError> {
    let spans = course.spans(ends);
    let is_corner = |place: f64| corners > 0 && place > CORNER && place < 1.0 - CORNER;
    let is_held = course.holding.from_c == course.holding.to_c;
    let mut stretch = Stretch {
        course,
        ends,
        steady: is_held.then(|| Aqueous::at(course.holding.to_c)),
        start: after.liquor,
        spans,
        leaving: Polynomial::ZERO,
        precipitated: (course.holding.precipitated_mol_per_kg + after.calcite_mol)
            / after.water_share,
    };
    let mut besides = stretch.look_ahead(&Polynomial::ZERO)?;
    let begin = stretch.goal_at(0.0)?;
    let end = stretch.goal_at(1.0)?;
    let most = math::at_least(begin.max(end), 0.0);
    // Calcite that comes down before its time moves the end of the gas.
    let is_before = |(place, besides): (f64, &f64)| {
        let down = most * -math::exp_less_one(-stretch.spans_to(place).scale);
        down > math::at_least(*besides, 0.0)
    };
    let is_coupled = NODES.into_iter().zip(&besides).any(is_before);
    let mut goals = Polynomial::ZERO;
    if is_coupled {
        if spans.longest() > COUPLED_STRETCH {
            return in_two(after, course, ends, 0.5, corners);
        }
        let onset = if begin < 0.0 { stretch.onset()? } else { 0.0 };
        if is_corner(onset) {
            return in_two(after, course, ends, onset, corners - 1);
        }
        (goals, besides) = match stretch.coupled()? {
            Ok(converged) => converged,
            Err(_) if spans.longest() > SHORTEST_STRETCH => {
                return in_two(after, course, ends, 0.5, corners);
            }
            Err(residual) => return Err(EquilibriumError::NotConverged { residual }),
        };
        let stop = stretch.stop(&goals);
        if is_corner(stop) {
            return in_two(after, course, ends, stop, corners - 1);
        }
    }
    let [at_first, .., at_last] = besides;
    if (at_first > 0.0) != (at_last > 0.0) {
        let turn = stretch.turn(&goals, at_last > 0.0)?;
        if is_corner(turn) {
            return in_two(after, course, ends, turn, corners - 1);
        }
    }
    let calcite = if is_coupled {
        stretch.down(&goals, stretch.stop(&goals))
    } else {
        stretch.calcite(begin, end)?
    };
    let carbon = stretch.carbon_gone(spans.carbon);
    let water_share = math::exp(-spans.steam);
    let mut end = stretch.start.dosed(&calcite_removed(), calcite);
    end.carbon_mol_per_kg = math::at_least(end.carbon_mol_per_kg - carbon, 0.0);
    Ok(AfterHold {
        liquor: of_water(&end, water_share),
        water_share: after.water_share * water_share,
        carbon_dioxide_mol: after.carbon_dioxide_mol + carbon * after.water_share,
        calcite_mol: after.calcite_mol + calcite * after.water_share,
    })
}

impl Stretch<'_> {
    fn moment(&self, place: f64) -> f64 {
        let [from, to] = self.ends;
        from + (to - from) * place
    }

    fn hot(&self, place: f64) -> Aqueous {
        let moving = || Aqueous::at(self.course.celsius(self.moment(place)));
        self.steady.clone().unwrap_or_else(moving)
    }

    fn spans_to(&self, place: f64) -> Spans {
        self.course.spans([self.ends[0], self.moment(place)])
    }

    /// Where liquor would end in touch with air for ever, from a place and with calcite that is
    /// down by then: carbon that would leave, and calcite that would come down besides; what is
    /// missing to it is given as an index.
    fn in_the_end(&self, place: f64, calcite: f64) -> Result<[f64; 2], EquilibriumError> {
        let share = math::exp(-self.spans_to(place).steam);
        let mut now = self.start.dosed(&calcite_removed(), calcite);
        // Calcite may have come down with carbon that the air has yet to give: the end is open, and
        // asks for none.
        let carbon = now.carbon_mol_per_kg;
        now.carbon_mol_per_kg = math::at_least(carbon, 0.0);
        let now = of_water(&now, share);
        let mineral = [(Mineral::Calcite, 0.0)];
        let (end, down) = self
            .hot(place)
            .precipitated(&now, &mineral, Some(air_log10_pco2()))?;
        let down = down.iter().sum::<f64>() * share;
        let leaving = carbon - end.liquor.carbon_mol_per_kg * share - down;
        let index = end.saturation_index(Mineral::Calcite);
        Ok([leaving, if down > 0.0 { down } else { missing(index) }])
    }

    /// Sets the carbon dioxide that the air would take in the end, calcite coming down on its way
    /// to some goals; gives the calcite that would come down in the end besides. Less than that
    /// leaves the end of the gas where it is.
    fn look_ahead(&mut self, goals: &Polynomial) -> Result<[f64; NODES.len()], EquilibriumError> {
        if self.spans.carbon <= 0.0 {
            return Ok([f64::INFINITY; NODES.len()]);
        }
        let (mut leaving, mut besides) = ([0.0; NODES.len()], [0.0; NODES.len()]);
        let stop = self.stop(goals);
        for (node, place) in NODES.into_iter().enumerate() {
            let down = self.down(goals, place.min(stop));
            [leaving[node], besides[node]] = self.in_the_end(place, down)?;
        }
        let times = NODES.map(|place| self.spans_to(place).carbon);
        self.leaving = Polynomial::new(times, leaving);
        Ok(besides)
    }

    /// Where calcite goes, and what would come down besides in the end, each moving the other: by
    /// turns, until neither moves any more. Where that does not converge, the part of the scale
    /// that still changes.
    fn coupled(&mut self) -> Result<Result<Coupled, f64>, EquilibriumError> {
        let times = NODES.map(|place| self.spans_to(place).scale);
        let (mut last, mut change) = (f64::INFINITY, f64::INFINITY);
        for _ in 0..MAX_ITERATIONS {
            let mut values = [0.0; NODES.len()];
            for (value, place) in values.iter_mut().zip(NODES) {
                *value = self.exact_goal(place)?;
            }
            let goals = Polynomial::new(times, values);
            let besides = self.look_ahead(&goals)?;
            let down = self.down(&goals, self.stop(&goals));
            change = (down - last).abs();
            if change <= CONVERGED * down.abs() {
                return Ok(Ok((goals, besides)));
            }
            last = down;
        }
        Ok(Err(change / last.abs()))
    }

    /// Calcite that is down by a place on its way to some goals.
    fn down(&self, goals: &Polynomial, place: f64) -> f64 {
        math::at_least(goals.followed(self.spans_to(place).scale), 0.0)
    }

    /// Where calcite has caught up with goals that come back, as liquor takes up carbon dioxide or
    /// cools; 1 where it never does.
    fn stop(&self, goals: &Polynomial) -> f64 {
        let ahead = |place: f64| {
            let time = self.spans_to(place).scale;
            goals.at(time / self.spans.scale) - goals.followed(time)
        };
        // Goals that rise out of nothing are ahead a moment later; what stops before that has
        // hardly begun.
        if ahead(SOON) > 0.0 {
            // Goals that stay ahead are never caught up with in this stretch.
            math::falling_root(ahead, SOON, 1.0).unwrap_or_else(NoRoot::nearer_end)
        } else {
            0.0
        }
    }

    /// Where calcite begins, or ceases, to take part in the end of the gas; an end of the stretch
    /// where it does neither.
    fn turn(&self, goals: &Polynomial, begins: bool) -> Result<f64, EquilibriumError> {
        let sign = if begins { -1.0 } else { 1.0 };
        let stop = self.stop(goals);
        let besides = |place: f64| {
            let [_, besides] = self.in_the_end(place, self.down(goals, place.min(stop)))?;
            Ok(sign * besides)
        };
        let root = math::try_falling_root(besides, 0.0, 1.0)?;
        Ok(root.unwrap_or_else(NoRoot::nearer_end))
    }

    /// Carbon dioxide gone after some of the gas's own time.
    fn carbon_gone(&self, time: f64) -> f64 {
        self.leaving.followed(time)
    }

    /// The liquor at a place, had nothing come down in this stretch, and the share of its water
    /// that is left.
    fn untouched(&self, spans: Spans) -> (Liquor, f64) {
        let share = math::exp(-spans.steam);
        let mut now = self.start;
        let carbon = now.carbon_mol_per_kg - self.carbon_gone(spans.carbon);
        now.carbon_mol_per_kg = math::at_least(carbon, 0.0);
        (of_water(&now, share), share)
    }

    /// Where the calcite of this stretch would go if the moment stayed, from the calcite that is
    /// too much in its liquor.
    fn goal(&self, too_much: f64) -> f64 {
        let reach = self.course.rates.scale_reach;
        reach * too_much - (1.0 - reach) * self.precipitated
    }

    /// The goal at any place. What is missing to saturation is given in its own measure: only its
    /// sign counts.
    fn goal_at(&self, place: f64) -> Result<f64, EquilibriumError> {
        let (now, share) = self.untouched(self.spans_to(place));
        let calcite = [(Mineral::Calcite, 0.0)];
        let (end, down) = self.hot(place).precipitated(&now, &calcite, None)?;
        let down: f64 = down.iter().sum();
        let index = end.saturation_index(Mineral::Calcite);
        Ok(self.goal(if down > 0.0 {
            down * share
        } else {
            missing(index)
        }))
    }

    /// The place at which the goal comes above nothing; an end of the stretch where it does not.
    fn onset(&self) -> Result<f64, EquilibriumError> {
        let lack = |place: f64| Ok(-self.goal_at(place)?);
        let root = math::try_falling_root(lack, 0.0, 1.0)?;
        Ok(root.unwrap_or_else(NoRoot::nearer_end))
    }

    /// The goal at a place, below nothing by what would have to dissolve.
    fn exact_goal(&self, place: f64) -> Result<f64, EquilibriumError> {
        let (now, share) = self.untouched(self.spans_to(place));
        let too_much = self.hot(place).surplus(&now, Mineral::Calcite)? * share;
        Ok(self.goal(too_much))
    }

    /// Calcite that comes down in the stretch. It follows its goal as long as that lies before it;
    /// what has come down stays.
    fn calcite(&self, first: f64, last: f64) -> Result<f64, EquilibriumError> {
        if first <= 0.0 && last <= 0.0 {
            return Ok(0.0);
        }
        let begin = if first < 0.0 { self.onset()? } else { 0.0 };
        let down = self.calcite_between(begin, 1.0)?;
        if last >= down {
            return Ok(down);
        }
        // The goal comes back, as liquor takes up carbon dioxide or cools: calcite stops where they
        // meet.
        let ahead = |place: f64| Ok(self.goal_at(place)? - self.calcite_between(begin, place)?);
        let end = math::try_falling_root(ahead, begin, 1.0)?.unwrap_or_else(NoRoot::nearer_end);
        Ok(math::at_least(self.calcite_between(begin, end)?, 0.0))
    }

    /// Calcite that follows its goal from one place to another, starting at 0.
    fn calcite_between(&self, from: f64, to: f64) -> Result<f64, EquilibriumError> {
        let last = self.moment(from + (to - from) * LAST_POINT);
        let mut goals = [[0.0; 2]; GAUSS.len()];
        for (goal, [place, weight]) in goals.iter_mut().zip(GAUSS) {
            let place = from + (to - from) * place;
            let moment = self.moment(place);
            let to_come = self.course.spans([moment, last]).scale;
            let [_, rate, _] = self.course.rates(moment);
            let weight = weight * rate * math::exp(-to_come);
            *goal = [self.exact_goal(place)?, weight];
        }
        let ends = [self.moment(from), self.moment(to)];
        Ok(followed(goals, self.course.spans(ends).scale))
    }
}

/// What is missing to saturation, by its index.
fn missing(index: f64) -> f64 {
    math::at_least(index, -1.0).min(0.0)
}
