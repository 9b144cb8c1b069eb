//! The search: branch and bound over the programme (Land & Doig 1960, *Econometrica* 28:497-520;
//! the dive, the warm starts and the cut by the dual's rising bound as in Leyffer & Fletcher 1998,
//! *SIAM Journal on Optimization* 8:604-616).
//!
//! A node narrows the spans of the portions. Its relaxation, the programme on these spans, bounds
//! all that lies in it. What breaks a demand is split in two: an item is used or not, an amount is
//! below or above. Both halves are bounded at once and the one with the lower bound is searched
//! first, so the search dives to a good plan and then proves that no other is better. No clock is
//! read: a limit on nodes ends it, and what is left open then is the gap.

use super::super::active_set::Relaxed;
use super::super::limit::{Limit, Span};
use super::super::outcome::Outcome;
use super::super::programme::Programme;
use super::super::programme_error::ProgrammeError;
use super::super::solver::Workspace;
use super::weighing::{Regularisation, SMALLEST_VALUE, Weighed, Weighing};

/// Values nearer to each other than this part count as equal: well above the rounding of an
/// objective.
const TIE: f64 = 1e-11;
/// Steps nearer to a whole number than this are treated as whole; the exact amount is then tried.
const WHOLE: f64 = 1e-7;

/// What is still to be searched: a range of each portion in steps, and the items that may be used.
#[derive(Clone, Debug)]
struct Node {
    ranges: Vec<[f64; 2]>,
    used: Vec<bool>,
    bound: f64,
    /// The optimum of its relaxation.
    x: Vec<f64>,
}

/// How a node is split.
#[derive(Clone, Copy, Debug)]
enum Split {
    /// An item is used, or not.
    Item(usize),
    /// A portion is used, or not.
    Use(usize),
    /// A portion is at most so many steps, or more.
    Steps(usize, f64),
}

pub(super) struct Search<'a> {
    weighing: &'a Weighing<'a>,
    programme: Programme,
    workspace: &'a mut Workspace,
    /// By portion: how much one step moves the objective's terms.
    influence: Vec<f64>,
    stack: Vec<Node>,
    best: Option<Vec<f64>>,
    value: f64,
    /// Least bound of what could not be searched.
    left_open: f64,
    nodes: u64,
    iterations: u64,
}

impl<'a> Search<'a> {
    pub(super) fn new(
        programme: &Programme,
        weighing: &'a Weighing<'a>,
        workspace: &'a mut Workspace,
    ) -> Result<Self, ProgrammeError> {
        let mut ranges = Vec::with_capacity(weighing.portions.len());
        let mut influence = Vec::with_capacity(weighing.portions.len());
        for portion in weighing.portions {
            let limit = Limit::Bound(portion.variable);
            let span = programme
                .span(limit)
                .ok_or(ProgrammeError::NoSuchLimit { limit })?;
            ranges.push(portion.range(span));
            influence.push(portion.unit() * curvature(programme, portion.variable));
        }
        let items = weighing.portions.iter().filter_map(|portion| portion.item);
        let count = items.max().map_or(0, |last| last + 1);
        let root = Node {
            ranges,
            used: vec![false; count],
            bound: weighing.least,
            x: Vec::new(),
        };
        let mut search = Self {
            weighing,
            programme: programme.clone(),
            workspace,
            influence,
            stack: Vec::new(),
            best: None,
            value: f64::INFINITY,
            left_open: f64::INFINITY,
            nodes: 0,
            iterations: 0,
        };
        let root = search.bounded(root);
        search.stack.extend(root);
        Ok(search)
    }

    pub(super) fn run(&mut self) {
        while let Some(node) = self.stack.pop() {
            if self.can_prune(node.bound) {
                continue;
            }
            if self.nodes >= self.weighing.node_limit {
                self.left_open = self.left_open.min(node.bound);
                continue;
            }
            match self.split(&node) {
                Some(split) => self.divide(&node, split),
                None => self.take(&node),
            }
        }
    }

    pub(super) fn ended(self) -> Weighed {
        Weighed {
            bound: self.left_open.min(self.value),
            tie: self.tie(),
            x: self.best,
            value: self.value,
            nodes: self.nodes,
            iterations: self.iterations,
        }
    }

    /// What two objectives must differ by to count as different.
    fn tie(&self) -> f64 {
        let size = self.value.abs();
        let indifferent = self.weighing.indifference * size.max(1.0);
        indifferent.max(TIE * size.max(SMALLEST_VALUE))
    }

    /// Whether nothing better than the best point can lie above a bound.
    fn can_prune(&self, bound: f64) -> bool {
        self.best.is_some() && bound >= self.value - self.tie()
    }

    /// A node with its bound and the optimum of its relaxation; nothing where it cannot hold a
    /// better point.
    fn bounded(&mut self, mut node: Node) -> Option<Node> {
        self.nodes += 1;
        if !self.close_full_list(&mut node) {
            return None;
        }
        if !self.narrow(&node) {
            return None;
        }
        let price = self.price(&node);
        if !self.holds_its_optimum(&node) {
            match self.relax(price) {
                Relaxed::Cut | Relaxed::Impossible => return None,
                Relaxed::Failed => {
                    self.left_open = self.left_open.min(node.bound);
                    return None;
                }
                Relaxed::Solved => {}
            }
            node.x.clear();
            node.x.extend_from_slice(self.workspace.relaxed_x());
        }
        let bound = self.bound(&node.x) + price;
        node.bound = node.bound.max(bound);
        (!self.can_prune(node.bound) && !self.is_slack(&node)).then_some(node)
    }

    /// Puts the node's ranges on the programme. False where one has no end left.
    fn narrow(&mut self, node: &Node) -> bool {
        let portions = self.weighing.portions.iter().zip(&node.ranges);
        portions.fold(true, |kept, (portion, range)| {
            let [low, high] = range.map(|steps| steps * portion.unit());
            let span = Span::between(low, high);
            self.programme.set_bound(portion.variable, span).is_ok() && kept
        })
    }

    /// Whether the optimum of the wider ranges that the node was cut from lies in what is left of
    /// them: then it is the node's own.
    fn holds_its_optimum(&self, node: &Node) -> bool {
        let mut portions = self.weighing.portions.iter();
        !node.x.is_empty()
            && portions.all(|portion| {
                let span = self.programme.spans()[portion.variable];
                let x = node.x[portion.variable];
                span.low <= x && x <= span.high
            })
    }

    /// Once as many items are used as may be, none of the others is. False where one of them must
    /// be.
    fn close_full_list(&self, node: &mut Node) -> bool {
        for (portion, range) in self.weighing.portions.iter().zip(&node.ranges) {
            if let Some(item) = portion.item.filter(|_| range[0] > 0.0) {
                node.used[item] = true;
            }
        }
        let count = node.used.iter().filter(|used| **used).count();
        let Some(most) = self.weighing.most_items.filter(|most| count >= *most) else {
            return true;
        };
        for (portion, range) in self.weighing.portions.iter().zip(&mut node.ranges) {
            if portion.item.is_some_and(|item| !node.used[item]) {
                range[1] = 0.0;
            }
        }
        count <= most
    }

    /// What the portions cost that are used for certain.
    fn price(&self, node: &Node) -> f64 {
        let portions = self.weighing.portions.iter().zip(&node.ranges);
        portions
            .filter(|(_, range)| range[0] > 0.0)
            .map(|(portion, _)| portion.price)
            .sum()
    }

    /// Solves the programme, or learns that it cannot beat the best point.
    fn relax(&mut self, price: f64) -> Relaxed {
        let cutoff = if self.best.is_some() {
            self.value - self.weighing.constant - price + self.max_regularisation()
        } else {
            f64::INFINITY
        };
        let (relaxed, steps) = self.workspace.relax(&self.programme, cutoff);
        self.iterations += steps;
        relaxed
    }

    /// The most that the regularisation can be on the spans of the node.
    fn max_regularisation(&self) -> f64 {
        let highs = self.programme.spans().iter().map(|span| span.high);
        let parts = self.weighing.regularisation.iter().zip(highs);
        parts
            .filter(|(part, _)| **part != Regularisation::default())
            .map(|(part, high)| part.at(high))
            .sum()
    }

    /// Objective without the part that does not count.
    fn objective(&self, x: &[f64]) -> f64 {
        let parts = self.weighing.regularisation.iter().zip(x);
        let regularisation: f64 = parts.map(|(part, x)| part.at(*x)).sum();
        self.programme.value(x) - regularisation + self.weighing.constant
    }

    /// What no point of the node can be below: the objective there at the relaxation's optimum,
    /// less what the regularisation, by its slope there, can have kept the optimum from.
    fn bound(&self, x: &[f64]) -> f64 {
        let parts = self.weighing.regularisation.iter().zip(x);
        self.objective(x) - self.max_gain(x, parts.map(|(part, x)| part.slope_at(*x)))
    }

    /// The most that slopes in `x` can gain on the node's spans.
    fn max_gain(&self, x: &[f64], slopes: impl Iterator<Item = f64>) -> f64 {
        let spans = self.programme.spans().iter().zip(x);
        let ways = slopes.zip(spans).map(|(slope, (span, x))| {
            let end = if slope > 0.0 { span.high } else { span.low };
            // An infinite way without slope is none.
            if slope == 0.0 { 0.0 } else { slope * (end - x) }
        });
        ways.map(|way| way.max(0.0)).sum()
    }

    /// Whether a node's bound is loose by no more than the regularisation: taken to where that has
    /// no slope, the node's own optimum (the proximal point: Rockafellar 1976, *SIAM Journal on
    /// Control and Optimization* 14:877-898), it holds nothing better than the best point.
    fn is_slack(&mut self, node: &Node) -> bool {
        let price = self.price(node);
        let regularisation = self.weighing.regularisation;
        if regularisation.is_empty()
            || !self.narrow(node)
            || !self.can_prune(self.objective(&node.x) + price)
        {
            return false;
        }
        let gradient = self.programme.gradient().to_vec();
        let mut moved = gradient.clone();
        for (slope, (part, x)) in moved.iter_mut().zip(regularisation.iter().zip(&node.x)) {
            *slope -= part.slope_at(*x);
        }
        let asked = self.programme.set_gradient(&moved);
        let (relaxed, steps) = self.workspace.relax(&self.programme, f64::INFINITY);
        self.iterations += steps;
        let put_back = self.programme.set_gradient(&gradient);
        if asked.is_err() || put_back.is_err() || relaxed != Relaxed::Solved {
            return false;
        }
        let x = self.workspace.relaxed_x();
        let moves = x.iter().zip(&node.x).map(|(x, before)| x - before);
        let slopes = regularisation.iter().zip(moves);
        let slopes = slopes.map(|(part, moved)| part.curvature * moved);
        let bound = self.objective(x) - self.max_gain(x, slopes) + price;
        self.can_prune(bound)
    }

    /// What the relaxation breaks, if anything: too many items first, then amounts too small or to
    /// be paid for, then broken steps.
    fn split(&self, node: &Node) -> Option<Split> {
        self.one_item_too_many(node)
            .map(Split::Item)
            .or_else(|| self.undecided(node).map(Split::Use))
            .or_else(|| self.broken_step(node))
    }

    /// Steps of a portion in a point.
    fn steps(&self, portion: usize, x: &[f64]) -> f64 {
        let portion = &self.weighing.portions[portion];
        x[portion.variable] / portion.unit()
    }

    /// Of the items that are in the relaxation and not yet decided, the one with most influence, if
    /// all together are too many.
    fn one_item_too_many(&self, node: &Node) -> Option<usize> {
        let most = self.weighing.most_items?;
        let mut weights = vec![0.0; node.used.len()];
        for (index, portion) in self.weighing.portions.iter().enumerate() {
            if let Some(item) = portion.item
                && node.ranges[index][1] > 0.0
            {
                let steps = self.steps(index, &node.x);
                if steps > WHOLE {
                    weights[item] += steps * self.influence[index];
                }
            }
        }
        let in_use = |item: &usize| node.used[*item] || weights[*item] > 0.0;
        if (0..weights.len()).filter(in_use).count() <= most {
            return None;
        }
        largest(
            weights
                .iter()
                .copied()
                .enumerate()
                .filter(|(item, _)| !node.used[*item]),
        )
    }

    /// The portion with most influence that is in the relaxation, has a price or a min_dose amount
    /// that it does not reach, and may still be nothing.
    fn undecided(&self, node: &Node) -> Option<usize> {
        let portions = self.weighing.portions.iter().enumerate();
        largest(portions.map(|(index, portion)| {
            let steps = self.steps(index, &node.x);
            let open = node.ranges[index][0] <= 0.0 && steps > WHOLE;
            let demands = portion.price > 0.0 || steps < portion.least_steps() - WHOLE;
            let weight = if open && demands {
                steps * self.influence[index]
            } else {
                0.0
            };
            (index, weight)
        }))
    }

    /// The portion whose nearest whole step is farthest away, by its influence.
    fn broken_step(&self, node: &Node) -> Option<Split> {
        let portions = self.weighing.portions.iter().enumerate();
        let index = largest(portions.map(|(index, portion)| {
            let steps = self.steps(index, &node.x);
            let away = (steps - steps.round()).abs();
            let broken = portion.step.is_some() && away > WHOLE && is_open(node.ranges[index]);
            (
                index,
                if broken {
                    away * self.influence[index]
                } else {
                    0.0
                },
            )
        }))?;
        Some(Split::Steps(index, self.steps(index, &node.x).floor()))
    }

    /// The relaxation can be weighed: takes it, on exact steps. Where rounding it costs something,
    /// the node is searched on.
    fn take(&mut self, node: &Node) {
        let mut exact = node.clone();
        for (index, portion) in self.weighing.portions.iter().enumerate() {
            let steps = self.steps(index, &node.x);
            if portion.step.is_some() {
                let [low, high] = node.ranges[index];
                let steps = steps.round().max(low).min(high);
                exact.ranges[index] = [steps, steps];
            } else if steps <= WHOLE {
                exact.ranges[index] = [0.0, 0.0];
            }
        }
        let price = self.price(&exact);
        if self.narrow(&exact) && self.relax(price) == Relaxed::Solved {
            // A bound may be a little loose; a point that is handed out is certified.
            if let Outcome::Optimal(solution) = self.workspace.certify(&self.programme) {
                let value = self.objective(&solution.x) + price;
                if value < self.value - self.tie() || self.best.is_none() {
                    self.value = value;
                    self.best = Some(solution.x);
                }
            } else {
                self.left_open = self.left_open.min(node.bound);
            }
        }
        if self.can_prune(node.bound) || self.is_slack(node) {
            return;
        }
        let open = |index: &usize| {
            self.weighing.portions[*index].step.is_some() && is_open(node.ranges[*index])
        };
        // Once every step is excluded, the regularisation has moved the optimum by its square
        // alone: nothing is left.
        if let Some(index) = (0..node.ranges.len()).find(open) {
            let steps = self.steps(index, &node.x).round();
            let [low, high] = node.ranges[index];
            let below = if steps >= high { high - 1.0 } else { steps };
            self.divide(node, Split::Steps(index, below.max(low)));
        }
    }

    /// Bounds the two halves of a node and puts them on the stack, the more promising one on top.
    fn divide(&mut self, node: &Node, split: Split) {
        let (mut one, mut other) = (node.clone(), node.clone());
        match split {
            Split::Item(item) => {
                one.used[item] = true;
                for (portion, range) in self.weighing.portions.iter().zip(&mut other.ranges) {
                    if portion.item == Some(item) {
                        range[1] = 0.0;
                    }
                }
            }
            Split::Use(index) => {
                one.ranges[index][0] = self.weighing.portions[index].least_steps();
                other.ranges[index][1] = 0.0;
            }
            Split::Steps(index, below) => {
                one.ranges[index][1] = below;
                other.ranges[index][0] = below + 1.0;
            }
        }
        let (one, other) = (self.bounded(one), self.bounded(other));
        let other_first = match (&one, &other) {
            (Some(one), Some(other)) => other.bound < one.bound,
            _ => false,
        };
        let (later, first) = if other_first {
            (one, other)
        } else {
            (other, one)
        };
        self.stack.extend(later);
        self.stack.extend(first);
    }
}

fn is_open([low, high]: [f64; 2]) -> bool {
    low < high
}

/// The index with the largest positive weight; ties go to the first.
fn largest(weights: impl Iterator<Item = (usize, f64)>) -> Option<usize> {
    let mut best = None;
    let mut most = 0.0;
    for (index, weight) in weights {
        if weight > most {
            (best, most) = (Some(index), weight);
        }
    }
    best
}

/// How strongly the objective and the rows depend on a variable: root of its squared coefficients.
fn curvature(programme: &Programme, variable: usize) -> f64 {
    let own = programme.own_curvature(variable);
    let rows = (0..programme.row_count()).filter_map(|row| programme.row(row));
    let squares: f64 = rows.map(|row| row[variable] * row[variable]).sum();
    (own + squares).sqrt()
}
