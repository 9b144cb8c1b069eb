//! The least dilution that a plan proposes, against a general-purpose solver.

use clarabel::algebra::CscMatrix;
use clarabel::solver::{
    DefaultSettings, DefaultSolver, IPSolver, NonnegativeConeT, SolverStatus, ZeroConeT,
};
use underlet::LimitedQuantity;
use underlet::component::Component;
use underlet::fit::{
    FrozenProblem, IonicStrengths, Problem, SourceOption, least_dilution, least_of,
};
use underlet::liquor::Liquor;

use super::alternatives::SHELF;
use super::options::IONIC_STRENGTH;
use crate::common::draft::Draft;

/// A linear programme: least cᵀx where the exact rows hold and the others are at most their end.
struct Linear {
    price: Vec<f64>,
    exact: Vec<(Vec<f64>, f64)>,
    at_most: Vec<(Vec<f64>, f64)>,
}

impl Linear {
    /// Its optimum by an interior-point method; `None` where no point keeps the rows, or none could
    /// be reported.
    fn solved(&self) -> Option<Vec<f64>> {
        let n = self.price.len();
        let rows: Vec<&(Vec<f64>, f64)> = self.exact.iter().chain(&self.at_most).collect();
        let (mut starts, mut indices, mut values) = (vec![0], Vec::new(), Vec::new());
        for column in 0..n {
            for (index, (row, _)) in rows.iter().enumerate() {
                if row[column] != 0.0 {
                    indices.push(index);
                    values.push(row[column]);
                }
            }
            starts.push(indices.len());
        }
        let matrix = CscMatrix::new(rows.len(), n, starts, indices, values);
        let ends: Vec<f64> = rows.iter().map(|(_, end)| *end).collect();
        let cones = [
            ZeroConeT(self.exact.len()),
            NonnegativeConeT(self.at_most.len()),
        ];
        let settings = DefaultSettings {
            verbose: false,
            ..DefaultSettings::default()
        };
        let nothing = CscMatrix::zeros((n, n));
        let mut solver =
            DefaultSolver::new(&nothing, &self.price, &matrix, &ends, &cones, settings)
                .expect("a problem");
        solver.solve();
        let solved = matches!(
            solver.solution.status,
            SolverStatus::Solved | SolverStatus::AlmostSolved
        );
        solved.then(|| solver.solution.x.clone())
    }
}

/// The least share of pure water by the interior-point method, with the same lines: those that it
/// can meet alone must hold.
fn least_share(problem: &Problem<'_>, strengths: IonicStrengths) -> Option<f64> {
    let model = FrozenProblem::new(problem, strengths).expect("a programme");
    let sources = problem.sources.len();
    let n = sources + problem.doses.len();
    let (_, units) = model.amounts(&vec![1.0; n]);
    let unit = |j: usize, value: f64| -> Vec<f64> {
        (0..n).map(|k| if k == j { value } else { 0.0 }).collect()
    };
    let mut linear = Linear {
        price: unit(sources - 1, 1.0),
        exact: vec![(
            (0..n).map(|j| f64::from(u8::from(j < sources))).collect(),
            1.0,
        )],
        at_most: (0..n).map(|j| (unit(j, -1.0), 0.0)).collect(),
    };
    for (j, source) in problem.sources.iter().enumerate() {
        if let Some(most) = source.max_amount_kg {
            linear
                .at_most
                .push((unit(j, 1.0), most / problem.waters.blended_kg()));
        }
    }
    for (index, option) in problem.doses.iter().enumerate() {
        if let Some(most) = option.most {
            linear
                .at_most
                .push((unit(sources + index, 1.0), most / units[index]));
        }
    }
    for (stock, on_hand) in problem.stocks.iter().enumerate() {
        let Some(on_hand) = on_hand else { continue };
        let takes = problem.doses.iter().zip(&units);
        let takes = takes.map(|(option, unit)| if option.stock == stock { *unit } else { 0.0 });
        let size = units.iter().copied().fold(0.0, f64::max);
        let row = std::iter::repeat_n(0.0, sources).chain(takes.map(|unit| unit / size));
        linear.at_most.push((row.collect(), on_hand / size));
    }
    for (of, most) in &problem.targets.limits {
        // Of calcium: what the waters hold, and what a unit of each dose brings to the liquor as a
        // whole.
        let content = |x: usize| {
            let (mut shares, mut doses) = (vec![0.0; sources], vec![0.0; n - sources]);
            shares[0] = 1.0;
            let base = of.mg_per_l(&problem.liquors(&shares, &doses).overall.as_dose());
            if x < sources {
                of.mg_per_l(&problem.sources[x].liquor.as_dose())
            } else {
                doses[x - sources] = units[x - sources];
                of.mg_per_l(&problem.liquors(&shares, &doses).overall.as_dose()) - base
            }
        };
        linear.at_most.push(((0..n).map(content).collect(), *most));
    }
    let mut required = Vec::new();
    for line in model.constraints() {
        let mut rows = Vec::new();
        if let Some(high) = line.term.high {
            rows.push((line.term.coefficients().to_vec(), high));
        }
        if let Some(low) = line.term.low {
            rows.push((line.term.coefficients().iter().map(|a| -a).collect(), -low));
        }
        let mut alone = linear.at_most.clone();
        alone.extend(rows.clone());
        let alone = Linear {
            price: linear.price.clone(),
            exact: linear.exact.clone(),
            at_most: alone,
        };
        if alone.solved().is_some() {
            required.extend(rows);
        }
    }
    linear.at_most.extend(required);
    Some(linear.solved()?[sources - 1])
}

/// Both solvers at one ionic strength; then the share that is reported, whose own ionic strength
/// lies between pure water's and a heavily dosed one's.
#[test]
fn the_least_dilution_is_a_general_solvers() {
    let (mut alike, mut neither, mut diluted, mut parted) = (0, 0, 0, 0);
    for seed in 0..250 {
        let mut draft = Draft::random(seed);
        draft.shelf.truncate(SHELF);
        let day = draft.read();
        let problem = day.problem();
        let mut wider = problem.clone();
        let pure = wider.sources.len();
        wider.sources.push(SourceOption {
            liquor: Liquor::default(),
            max_amount_kg: None,
        });
        if seed % 3 == 0 {
            // Half of what the water holds: less than any dose of the day can do without dilution.
            let held = LimitedQuantity::Component(Component::Calcium);
            let sources = problem.sources.iter();
            let least = sources.map(|source| held.mg_per_l(&source.liquor.as_dose()));
            let limit = 0.5 * least.fold(f64::INFINITY, f64::min);
            wider.targets.limits.push((held, limit));
        }
        let mut model = FrozenProblem::new(&wider, IONIC_STRENGTH).expect("a programme");
        let ours = least_of(&mut model, pure).expect("an result");
        match (ours, least_share(&wider, IONIC_STRENGTH)) {
            (Some(ours), Some(theirs)) => {
                assert!(
                    (ours[pure] - theirs).abs() < 1e-5,
                    "seed {seed}: {} {theirs}",
                    ours[pure]
                );
                alike += 1;
                diluted += usize::from(theirs > 0.01);
                if !wider.targets.limits.is_empty() {
                    continue;
                }
                let reported = least_dilution(&problem).expect("an result");
                let ends = [0.0, 0.05]
                    .map(|strength| least_share(&wider, IonicStrengths::uniform(strength)));
                if let (Some(reported), [Some(one), Some(other)]) = (reported, ends) {
                    let between = one.min(other) - 1e-4..one.max(other) + 1e-4;
                    assert!(
                        between.contains(&reported),
                        "seed {seed}: {reported} {one} {other}"
                    );
                }
            }
            (None, None) => neither += 1,
            // The interior-point method comes to no end where a range can only just be met.
            (ours, theirs) => {
                println!("seed {seed}: {ours:?} {theirs:?}");
                parted += 1;
            }
        }
    }
    println!("{alike} alike, {diluted} of them diluted; {neither} with none, {parted} parted");
    assert!(alike > 100 && diluted > 40 && parted < 5, "{parted}");
}
