//! Fits of ions against optima proven elsewhere: references of kind a and b (points and ranges, any
//! amount), c1 and c2 (whole steps of a scale, at most so many salts; plain and squared distances).

use std::collections::BTreeMap;
use std::fmt;
use std::hint::black_box;
use std::time::{Duration, Instant};

use serde_json::Value;
use underlet::component::{Component, Composition};
use underlet::fit::{
    Dilution, Distance, FitError, IonFitResult, IonProblem, IonTarget, Salt, TargetQuantity,
    fit_ions,
};
use underlet::liquor::{Dose, Liquor};

use crate::equilibria::Node;

/// How far an objective may exceed the proven one, as a part of it.
pub const EXCESS: f64 = 1e-9;
/// How far a limit may be overstepped, as a part of it.
pub const OVERSTEP: f64 = 1e-9;
/// Objectives smaller than this are compared as if they were this: a billionth of the square of a
/// tolerance is far below the digits in which the references are written.
const SMALLEST_OBJECTIVE: f64 = 1.0;
/// How far the material of an answer without any miss may exceed the least, as a part of it: the
/// digits of the files.
const MATERIAL_EXCESS: f64 = 1e-9;
/// How long a reference is asked at least when it is timed.
const SHORTEST: Duration = Duration::from_millis(2);
/// Nodes that a reference may take.
const NODES: u64 = 5_000_000;

/// Standard atomic weights, g/mol, in the digits that the reference files were made with (Prohaska
/// et al. 2022, *Pure and Applied Chemistry* 94:573-600, table 1; intervals abridged to one value).
const WEIGHTS: [(&str, f64); 9] = [
    ("H", 1.008),
    ("C", 12.011),
    ("O", 15.999),
    ("Na", 22.989_769_28),
    ("Mg", 24.305),
    ("S", 32.06),
    ("Cl", 35.45),
    ("K", 39.0983),
    ("Ca", 40.078),
];

/// A salt or acid of the references: its name there, the atoms of its formula, what it brings, and
/// its alkalinity.
struct Known {
    name: &'static str,
    atoms: &'static [(&'static str, f64)],
    ions: &'static [(Component, f64)],
    alkalinity: f64,
}

const KNOWN: [Known; 15] = [
    Known {
        name: "gypsum",
        atoms: &[("Ca", 1.0), ("S", 1.0), ("O", 6.0), ("H", 4.0)],
        ions: &[(Component::Calcium, 1.0), (Component::Sulfate, 1.0)],
        alkalinity: 0.0,
    },
    Known {
        name: "CaCl2.2H2O",
        atoms: &[("Ca", 1.0), ("Cl", 2.0), ("O", 2.0), ("H", 4.0)],
        ions: &[(Component::Calcium, 1.0), (Component::Chloride, 2.0)],
        alkalinity: 0.0,
    },
    Known {
        name: "CaCl2",
        atoms: &[("Ca", 1.0), ("Cl", 2.0)],
        ions: &[(Component::Calcium, 1.0), (Component::Chloride, 2.0)],
        alkalinity: 0.0,
    },
    Known {
        name: "MgSO4.7H2O",
        atoms: &[("Mg", 1.0), ("S", 1.0), ("O", 11.0), ("H", 14.0)],
        ions: &[(Component::Magnesium, 1.0), (Component::Sulfate, 1.0)],
        alkalinity: 0.0,
    },
    Known {
        name: "MgCl2.6H2O",
        atoms: &[("Mg", 1.0), ("Cl", 2.0), ("O", 6.0), ("H", 12.0)],
        ions: &[(Component::Magnesium, 1.0), (Component::Chloride, 2.0)],
        alkalinity: 0.0,
    },
    Known {
        name: "NaCl",
        atoms: &[("Na", 1.0), ("Cl", 1.0)],
        ions: &[(Component::Sodium, 1.0), (Component::Chloride, 1.0)],
        alkalinity: 0.0,
    },
    Known {
        name: "KCl",
        atoms: &[("K", 1.0), ("Cl", 1.0)],
        ions: &[(Component::Potassium, 1.0), (Component::Chloride, 1.0)],
        alkalinity: 0.0,
    },
    Known {
        name: "Na2SO4",
        atoms: &[("Na", 2.0), ("S", 1.0), ("O", 4.0)],
        ions: &[(Component::Sodium, 2.0), (Component::Sulfate, 1.0)],
        alkalinity: 0.0,
    },
    Known {
        name: "NaHCO3",
        atoms: &[("Na", 1.0), ("H", 1.0), ("C", 1.0), ("O", 3.0)],
        ions: &[(Component::Sodium, 1.0)],
        alkalinity: 1.0,
    },
    Known {
        name: "KHCO3",
        atoms: &[("K", 1.0), ("H", 1.0), ("C", 1.0), ("O", 3.0)],
        ions: &[(Component::Potassium, 1.0)],
        alkalinity: 1.0,
    },
    Known {
        name: "Na2CO3",
        atoms: &[("Na", 2.0), ("C", 1.0), ("O", 3.0)],
        ions: &[(Component::Sodium, 2.0)],
        alkalinity: 2.0,
    },
    Known {
        name: "CaCO3",
        atoms: &[("Ca", 1.0), ("C", 1.0), ("O", 3.0)],
        ions: &[(Component::Calcium, 1.0)],
        alkalinity: 2.0,
    },
    Known {
        name: "Ca(OH)2",
        atoms: &[("Ca", 1.0), ("O", 2.0), ("H", 2.0)],
        ions: &[(Component::Calcium, 1.0)],
        alkalinity: 2.0,
    },
    Known {
        name: "HCl",
        atoms: &[("H", 1.0), ("Cl", 1.0)],
        ions: &[(Component::Chloride, 1.0)],
        alkalinity: -1.0,
    },
    Known {
        name: "H2SO4",
        atoms: &[("H", 2.0), ("S", 1.0), ("O", 4.0)],
        ions: &[(Component::Sulfate, 1.0)],
        alkalinity: -2.0,
    },
];

/// mg per mmol of what a line of a reference is written as: an ion, or alkalinity as bicarbonate.
fn mg_per_mmol(symbol: &str) -> Option<(TargetQuantity, f64)> {
    let (quantity, atoms): (_, &[(&str, f64)]) = match symbol {
        "Ca" => (
            TargetQuantity::Component(Component::Calcium),
            &[("Ca", 1.0)],
        ),
        "Mg" => (
            TargetQuantity::Component(Component::Magnesium),
            &[("Mg", 1.0)],
        ),
        "Na" => (TargetQuantity::Component(Component::Sodium), &[("Na", 1.0)]),
        "K" => (
            TargetQuantity::Component(Component::Potassium),
            &[("K", 1.0)],
        ),
        "Cl" => (
            TargetQuantity::Component(Component::Chloride),
            &[("Cl", 1.0)],
        ),
        "SO4" => (
            TargetQuantity::Component(Component::Sulfate),
            &[("S", 1.0), ("O", 4.0)],
        ),
        "HCO3" => (
            TargetQuantity::Alkalinity,
            &[("H", 1.0), ("C", 1.0), ("O", 3.0)],
        ),
        _ => return None,
    };
    Some((quantity, mass(atoms)))
}

fn mass(atoms: &[(&str, f64)]) -> f64 {
    let weight = |symbol: &str| {
        WEIGHTS
            .iter()
            .find(|(known, _)| *known == symbol)
            .map_or(f64::NAN, |(_, weight)| *weight)
    };
    atoms
        .iter()
        .map(|(symbol, count)| weight(symbol) * count)
        .sum()
}

/// What a mg of a salt brings, in mmol and meq. The fit is asked per kg of water in mmol
/// throughout.
fn per_mg(name: &str) -> Option<Dose> {
    let known = KNOWN.iter().find(|known| known.name == name)?;
    let mmol = 1.0 / mass(known.atoms);
    let mut ions = Composition::ZERO;
    for (ion, count) in known.ions {
        ions.set(*ion, count * mmol);
    }
    Some(Dose {
        ions,
        alkalinity_eq: known.alkalinity * mmol,
        carbon_mol: 0.0,
    })
}

/// A reference: the problem in mmol per kg, and its proven optimum.
#[derive(Clone, Debug)]
pub struct ReferenceFit {
    /// Its name.
    pub id: String,
    /// "a", "b", "c1" or "c2".
    pub kind: String,
    /// The problem.
    pub problem: IonProblem,
    /// The proven optimum; nothing in a reference that is only to be answered.
    pub optimum: Option<f64>,
    /// The least material, mg/L, where the optimum is 0 and the file tells it.
    pub least_material: Option<f64>,
}

impl ReferenceFit {
    /// Reads a reference.
    ///
    /// # Errors
    /// When a value is not what its key promises.
    pub fn read(reference: &Value) -> Result<ReferenceFit, String> {
        let node = Node::root(reference);
        let kind = node.need("kind")?.text()?.to_owned();
        let distance = if kind == "c1" {
            Distance::Absolute
        } else {
            Distance::Squared
        };
        let step = match (node.find("step_g"), node.find("batch_l")) {
            (Some(step), Some(batch)) => Some(1000.0 * step.number()? / batch.number()?),
            _ => None,
        };
        let max_salts = node
            .find("max_salts")
            .map(|most| most.count())
            .transpose()?;
        Ok(ReferenceFit {
            id: node.need("id")?.text()?.to_owned(),
            problem: IonProblem {
                source: liquor(&node.need("source")?)?,
                dilution: dilution(&node)?,
                salts: salts(&node, step)?,
                targets: targets(&node)?,
                distance,
                max_salts,
                handling: 0.0,
                indifference: 0.0,
                node_limit: NODES,
            },
            kind,
            optimum: node
                .find("opt")
                .map(|opt| opt.need("objective")?.number())
                .transpose()?,
            least_material: node
                .find("zero_optimum_least_total_salt_mg_l")
                .map(|least| least.number())
                .transpose()?,
        })
    }
}

fn liquor(node: &Node) -> Result<Liquor, String> {
    let mut liquor = Liquor::default();
    for (symbol, value) in node.entries()? {
        let (quantity, mg) =
            mg_per_mmol(symbol).ok_or_else(|| value.complaint("an ion of the fits"))?;
        let amount = value.number()? / mg;
        match quantity {
            TargetQuantity::Component(ion) => liquor.ions.set(ion, amount),
            TargetQuantity::Alkalinity => liquor.alkalinity_eq_per_kg = amount,
            TargetQuantity::Beyond { .. } => return Err(value.complaint("an ion of the fits")),
        }
    }
    Ok(liquor)
}

/// Diluting water: a share that is given, or one up to a largest.
fn dilution(node: &Node) -> Result<Option<Dilution>, String> {
    let Some(ro) = node.find("ro") else {
        return Ok(None);
    };
    let (least, most) = match (node.find("dilution"), node.find("d_max")) {
        (Some(share), _) => (share.amount()?, share.amount()?),
        (None, Some(most)) => (0.0, most.amount()?),
        (None, None) => return Err(ro.complaint("d_max or dilution beside it")),
    };
    Ok(Some(Dilution {
        liquor: liquor(&ro)?,
        least,
        most,
    }))
}

fn salts(node: &Node, step: Option<f64>) -> Result<Vec<Salt>, String> {
    let names = node.need("salts")?.items()?;
    let limits = node.need("max_mg_l")?;
    names
        .iter()
        .map(|name| {
            let per_unit =
                per_mg(name.text()?).ok_or_else(|| name.complaint("a salt of the fits"))?;
            let most = limits
                .find(name.text()?)
                .map(|most| most.amount())
                .transpose()?;
            Ok(Salt {
                per_unit,
                most,
                step,
                min_dose: 0.0,
                price: 0.0,
            })
        })
        .collect()
}

fn targets(node: &Node) -> Result<Vec<IonTarget>, String> {
    let (low, high) = match node.find("target") {
        Some(target) => (target.clone(), target),
        None => (node.need("lo")?, node.need("hi")?),
    };
    let (weights, tolerances) = (node.need("weight")?, node.need("tol")?);
    low.entries()?
        .into_iter()
        .map(|(symbol, low)| {
            let (of, mg) =
                mg_per_mmol(symbol).ok_or_else(|| low.complaint("an ion of the fits"))?;
            let weight = weights
                .find(symbol)
                .map(|weight| weight.amount())
                .transpose()?;
            Ok(IonTarget {
                of,
                low: Some(low.number()? / mg),
                high: Some(high.need(symbol)?.number()? / mg),
                tolerance: tolerances.need(symbol)?.amount()? / mg,
                weight: weight.unwrap_or(1.0),
            })
        })
        .collect()
}

/// What a kind of references came to.
#[derive(Clone, Debug, Default)]
pub struct KindScore {
    /// References.
    pub references: usize,
    /// Greatest excess over the proven optimum, as a part of it, and its reference.
    pub excess: f64,
    /// The reference of it.
    pub worst: String,
    /// Greatest overstep of a limit, as a part of it.
    pub overstep: f64,
    /// Greatest gap that the search left.
    pub gap: f64,
    /// Nodes of the search in all.
    pub nodes: u64,
    /// Seconds in all, each reference once.
    pub seconds: f64,
    /// The slowest reference, seconds.
    pub slowest: f64,
}

/// What a file of references came to.
#[derive(Clone, Debug, Default)]
pub struct FitScore {
    kinds: BTreeMap<String, KindScore>,
    failures: Vec<String>,
    unreadable: Vec<String>,
}

impl FitScore {
    /// How many references failed.
    pub fn failures(&self) -> usize {
        self.failures.len()
    }

    /// Whether every line was a reference.
    pub fn is_readable(&self) -> bool {
        self.unreadable.is_empty()
    }

    fn judge(&mut self, reference: &ReferenceFit) {
        let (answer, seconds) = timed(&reference.problem);
        let answer = match answer {
            Ok(answer) => answer,
            Err(error) => {
                self.failures.push(format!("{}: {error}", reference.id));
                return;
            }
        };
        let score = self.kinds.entry(reference.kind.clone()).or_default();
        score.references += 1;
        score.seconds += seconds;
        score.slowest = score.slowest.max(seconds);
        score.nodes += answer.nodes;
        score.gap = score.gap.max(answer.gap);
        let judged = Judged::of(reference, &answer);
        score.overstep = score.overstep.max(judged.overstep);
        if judged.excess > score.excess || score.worst.is_empty() {
            (score.excess, score.worst) = (judged.excess, reference.id.clone());
        }
        let mut fail = |what: String| self.failures.push(format!("{}: {what}", reference.id));
        if !within(judged.excess, EXCESS) {
            fail(format!(
                "objective {} beside {:?}",
                judged.objective, reference.optimum
            ));
        }
        if reference.kind.starts_with('c') && !within(-judged.excess, EXCESS) {
            fail(format!("objective {} below the optimum", judged.objective));
        }
        if !within(judged.overstep, OVERSTEP) {
            fail(format!("a limit is overstepped by {:e}", judged.overstep));
        }
        if let Some(least) = reference.least_material {
            let material: f64 = answer.amounts.iter().sum();
            if !within(material, least * (1.0 + MATERIAL_EXCESS)) {
                fail(format!("{material} mg/L of salts where {least} do"));
            }
        }
        if answer.gap > 0.0 {
            fail(format!("a gap of {:e} is left", answer.gap));
        }
    }
}

/// Whether a number is no more than another; NaN is not.
fn within(number: f64, most: f64) -> bool {
    number <= most
}

/// An answer worked out anew from its amounts.
struct Judged {
    objective: f64,
    excess: f64,
    overstep: f64,
}

impl Judged {
    fn of(reference: &ReferenceFit, answer: &IonFitResult) -> Judged {
        let problem = &reference.problem;
        let objective = objective(problem, answer);
        let optimum = reference.optimum.unwrap_or(objective);
        let mut overstep = 0.0_f64;
        let mut used = 0;
        for (salt, &amount) in problem.salts.iter().zip(&answer.amounts) {
            overstep = overstep.max(-amount);
            if let Some(most) = salt.most {
                overstep = overstep.max((amount - most) / most.max(1.0));
            }
            used += usize::from(amount > 0.0);
            if let Some(step) = salt.step {
                let steps = amount / step;
                overstep = overstep.max((steps - steps.round()).abs() / steps.max(1.0));
            }
        }
        if problem.max_salts.is_some_and(|most| used > most) {
            overstep = f64::INFINITY;
        }
        if let Some(dilution) = &problem.dilution {
            let share = answer.dilution;
            overstep = overstep
                .max(dilution.least - share)
                .max(share - dilution.most);
        }
        Judged {
            objective,
            excess: (objective - optimum) / optimum.max(SMALLEST_OBJECTIVE),
            overstep,
        }
    }
}

/// The objective, by mixing the waters and adding the salts.
fn objective(problem: &IonProblem, answer: &IonFitResult) -> f64 {
    let diluting = problem
        .dilution
        .map_or(Liquor::default(), |with| with.liquor);
    let mut water = problem
        .source
        .as_dose()
        .times(1.0 - answer.dilution)
        .plus(&diluting.as_dose().times(answer.dilution));
    for (salt, amount) in problem.salts.iter().zip(&answer.amounts) {
        water = water.plus(&salt.per_unit.times(*amount));
    }
    let costs = problem.targets.iter().map(|target| {
        let value = match target.of {
            TargetQuantity::Component(ion) => water.ions.get(ion),
            TargetQuantity::Alkalinity => water.alkalinity_eq,
            TargetQuantity::Beyond { ion, times, other } => {
                water.ions.get(ion) - times * water.ions.get(other)
            }
        };
        let below = target.low.map_or(0.0, |low| (low - value).max(0.0));
        let above = target.high.map_or(0.0, |high| (value - high).max(0.0));
        let miss = (below + above) / target.tolerance;
        target.weight
            * match problem.distance {
                Distance::Squared => miss * miss,
                Distance::Absolute => miss,
            }
    });
    costs.sum()
}

/// The answer, and the seconds it takes: the least of as many as fit in [`SHORTEST`], so that what
/// else the machine does counts little.
fn timed(problem: &IonProblem) -> (Result<IonFitResult, FitError>, f64) {
    let (begun, mut least) = (Instant::now(), f64::INFINITY);
    loop {
        let start = Instant::now();
        let answer = black_box(fit_ions(black_box(problem)));
        least = least.min(start.elapsed().as_secs_f64());
        if begun.elapsed() >= SHORTEST {
            return (answer, least);
        }
    }
}

/// Answers every reference of a text, one a line, and compares.
pub fn compare_all(text: &str) -> FitScore {
    let mut score = FitScore::default();
    for (index, line) in text
        .lines()
        .enumerate()
        .filter(|(_, line)| !line.trim().is_empty())
    {
        let reference = serde_json::from_str(line)
            .map_err(|error| error.to_string())
            .and_then(|reference: Value| ReferenceFit::read(&reference));
        match reference {
            Ok(reference) => score.judge(&reference),
            Err(reason) => score
                .unreadable
                .push(format!("line {}: {reason}", index + 1)),
        }
    }
    score
}

impl fmt::Display for FitScore {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (kind, score) in &self.kinds {
            writeln!(
                f,
                "kind {kind}: {} references, excess at most {:.1e} ({}), limits within {:.1e}, \
                 gap at most {:.1e}, {} nodes, {:.1} µs a fit, slowest {:.1} µs",
                score.references,
                score.excess,
                score.worst,
                score.overstep,
                score.gap,
                score.nodes,
                score.seconds * 1e6 / score.references as f64,
                score.slowest * 1e6,
            )?;
        }
        for line in self.unreadable.iter().chain(&self.failures) {
            writeln!(f, "  {line}")?;
        }
        writeln!(f, "{} failures", self.failures.len())
    }
}
