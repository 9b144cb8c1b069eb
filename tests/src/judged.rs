//! The judged days: brew days that a brewer judged before the engine planned them.
//!
//! `tests/judged` has a file for each. It holds the `day`; the `judgement`, what an experienced
//! brewer would do and why; its `sources`, by their keys in `sources.csv`; and the expectations
//! that follow from it: what the plan `must` say and what it `must_not`, each one of
//! [`Expectation`].

use std::fmt::Display;
use std::fs;
use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};
use serde_json::Value;
use underlet::error::InputError;
use underlet::json;
use underlet::plan::{Addition, AlternativeCode, CautionCode, ReasonCode, TargetState};
use underlet::reagent::{AmountUnit, Preparation};
use underlet::recipe::Vessel;
use underlet::tables::{REAGENTS, Reagent, ReagentKind};
use underlet::{Plan, TargetLine};

use crate::cases::files;

/// A brew day with its judgement.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct JudgedDay {
    /// What an experienced brewer would do and why, in lines.
    pub judgement: Vec<String>,
    /// Keys in `sources.csv` of what it rests on.
    pub sources: Vec<String>,
    /// The brew day.
    pub day: Value,
    /// What must hold of its plan.
    pub must: Vec<Expectation>,
    /// What must not.
    pub must_not: Vec<Expectation>,
}

/// What may hold of a plan. Texts are compared without regard to case and line ends.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum Expectation {
    /// The plan's text has these words.
    Says(String),
    /// A caution, a reason or a problem has these words.
    Warns(String),
    /// There is a caution of that code.
    Caution(String),
    /// There is a reason of that code.
    Reason(String),
    /// There is an alternative of that code.
    Alternative(String),
    /// The target of that key is met.
    Met(String),
    /// It is missed.
    NotMet(String),
    /// The plan reaches a figure of that target between these.
    Planned(String, f64, f64),
    /// The figure at a JSON pointer into the plan lies between these.
    Between(String, f64, f64),
    /// The value at a JSON pointer into the plan.
    Is(String, Value),
    /// Something is dosed.
    Dose(Dose),
    /// There is no plan but a problem at that path or within it.
    Refused(String),
    /// One of these holds.
    Any(Vec<Expectation>),
}

/// Doses by what they are, and how much they come to.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Dose {
    /// Of this reagent.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub reagent: Option<String>,
    /// Of any of this kind.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub kind: Option<Kind>,
    /// Into this vessel; left out, into any.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub vessel: Option<Vessel>,
    /// So often: once, or once in each brew.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub times: Option<usize>,
    /// What is written on when or how it is given.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub says: Option<String>,
    /// The least that they come to.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub at_least: Option<f64>,
    /// The most.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub at_most: Option<f64>,
    /// The unit of both.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub unit: Option<AmountUnit>,
}

/// Kinds of reagents.
#[derive(Clone, Copy, Debug, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Kind {
    /// Takes alkalinity.
    Acid,
    /// Brings it.
    Base,
    /// Leaves it alone.
    Salt,
}

/// Whether an expectation holds, and what came.
struct Verdict {
    holds: bool,
    came: String,
}

fn verdict(holds: bool, came: impl Display) -> Verdict {
    let came = came.to_string();
    Verdict { holds, came }
}

/// The folder of the judged days.
pub fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("judged")
}

/// Every judged day with its name.
///
/// # Panics
/// When a file cannot be read as one.
pub fn all() -> Vec<(String, JudgedDay)> {
    let read = |path: PathBuf| {
        let name = path.file_stem().unwrap_or_default().to_string_lossy();
        let text = fs::read_to_string(&path).unwrap_or_else(|error| panic!("{name}: {error}"));
        let day = serde_json::from_str(&text).unwrap_or_else(|error| panic!("{name}: {error}"));
        (name.into_owned(), day)
    };
    files(&folder()).into_iter().map(read).collect()
}

/// What the engine answers to a judged day.
pub struct Answer {
    plan: Result<Plan, InputError>,
    document: Value,
    text: String,
}

impl JudgedDay {
    /// Plans the day.
    ///
    /// # Panics
    /// When the plan is no JSON.
    pub fn answer(&self) -> Answer {
        let plan = json::plan(&self.day.to_string());
        let (document, text) = match &plan {
            Ok(plan) => (plan.to_json(), plan.to_text()),
            Err(error) => ("null".to_owned(), error.to_string()),
        };
        Answer {
            plan,
            document: serde_json::from_str(&document).expect("JSON"),
            text,
        }
    }

    /// The expectations that the answer does not fulfil, and what came. One that cannot be checked,
    /// such as one of a code that does not exist, is among them.
    pub fn misses(&self, answer: &Answer) -> Vec<String> {
        let must = self.must.iter().map(|one| (one, true));
        let must_not = self.must_not.iter().map(|one| (one, false));
        let missed = must.chain(must_not).filter_map(|(one, expected)| {
            let came = match one.verdict(answer) {
                Ok(verdict) if verdict.holds == expected => return None,
                Ok(verdict) => verdict.came,
                Err(unchecked) => unchecked,
            };
            let must = if expected { "must" } else { "must not" };
            Some(format!("{must} {}: {came}", written(one)))
        });
        missed.collect()
    }
}

impl Answer {
    /// The plan as text, or the problems.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// The plan, where there is one.
    pub fn plan(&self) -> Option<&Plan> {
        self.plan.as_ref().ok()
    }

    /// What warns: cautions, reasons and problems.
    fn warnings(&self) -> String {
        let Ok(plan) = &self.plan else {
            return self.text.clone();
        };
        let cautions = plan.cautions.iter().map(|caution| caution.text.as_str());
        let reasons = plan.reasons.iter().map(|reason| reason.text.as_str());
        cautions.chain(reasons).collect::<Vec<_>>().join("\n")
    }
}

impl Expectation {
    fn verdict(&self, answer: &Answer) -> Result<Verdict, String> {
        self.check_names()?;
        match (self, &answer.plan) {
            (Expectation::Any(list), _) => one_of(list, answer),
            (Expectation::Warns(words), _) => Ok(verdict(
                has(&answer.warnings(), words),
                "among the warnings",
            )),
            (Expectation::Says(words), _) => Ok(verdict(has(&answer.text, words), "in the text")),
            (Expectation::Refused(path), Err(error)) => {
                let mut problems = error.problems.iter();
                Ok(verdict(
                    problems.any(|one| one.path.starts_with(path)),
                    error,
                ))
            }
            (_, Err(error)) => Ok(verdict(false, error)),
            (Expectation::Refused(_), Ok(_)) => Ok(verdict(false, "a plan")),
            (_, Ok(plan)) => self.of_plan(plan, &answer.document),
        }
    }

    /// A name that is in no list would make an expectation that never holds.
    fn check_names(&self) -> Result<(), String> {
        let is_known = match self {
            Expectation::Caution(code) => CautionCode::from_key(code).is_some(),
            Expectation::Reason(code) => ReasonCode::from_key(code).is_some(),
            Expectation::Alternative(code) => AlternativeCode::from_key(code).is_some(),
            Expectation::Dose(dose) => dose.is_well_formed(),
            _ => true,
        };
        if is_known {
            return Ok(());
        }
        Err("no such name".to_owned())
    }

    fn of_plan(&self, plan: &Plan, document: &Value) -> Result<Verdict, String> {
        Ok(match self {
            Expectation::Caution(code) => among(code, plan.cautions.iter().map(|one| one.code)),
            Expectation::Reason(code) => among(code, plan.reasons.iter().map(|one| one.code)),
            Expectation::Alternative(code) => {
                among(code, plan.alternatives.iter().map(|one| one.code))
            }
            Expectation::Met(key) => {
                let line = target(plan, key)?;
                verdict(line.state == TargetState::Met, &line.display)
            }
            Expectation::NotMet(key) => {
                let line = target(plan, key)?;
                let missed = [TargetState::Below, TargetState::Above].contains(&line.state);
                verdict(missed, &line.display)
            }
            Expectation::Planned(key, low, high) => {
                let line = target(plan, key)?;
                let within = |planned| (*low..=*high).contains(&planned);
                verdict(line.planned.is_some_and(within), &line.display)
            }
            Expectation::Between(path, low, high) => {
                let value = pointed(document, path)?;
                let within = |value| (*low..=*high).contains(&value);
                verdict(value.as_f64().is_some_and(within), value)
            }
            Expectation::Is(path, expected) => {
                let value = pointed(document, path)?;
                verdict(value == expected, value)
            }
            Expectation::Dose(dose) => dose.verdict(plan),
            Expectation::Says(_)
            | Expectation::Warns(_)
            | Expectation::Refused(_)
            | Expectation::Any(_) => return Err("not of a plan alone".to_owned()),
        })
    }
}

impl Dose {
    /// It names a known reagent or a kind, and its bounds have the unit that a plan gives it in.
    fn is_well_formed(&self) -> bool {
        let row = |key| REAGENTS.iter().find(|row| row.key == key);
        let names_what = match &self.reagent {
            Some(key) => self.kind.is_none() && row(key).is_some_and(|row| self.fits(row)),
            None => self.kind.is_some(),
        };
        let has_bounds = self.at_least.is_some() || self.at_most.is_some();
        names_what && has_bounds == self.unit.is_some()
    }

    fn fits(&self, reagent: &'static Reagent) -> bool {
        let usual = Preparation::of(reagent).unit();
        self.unit.is_none_or(|unit| unit == usual)
    }

    fn verdict(&self, plan: &Plan) -> Verdict {
        let meant: Vec<&Addition> = plan
            .additions
            .iter()
            .filter(|one| self.means(one))
            .collect();
        let sum: f64 = meant.iter().map(|one| one.amount).sum();
        let is_enough = self.at_least.is_none_or(|least| sum >= least);
        let is_little = self.at_most.is_none_or(|most| sum <= most);
        let of_unit = |one: &&Addition| self.unit.is_none_or(|unit| one.unit == unit);
        let is_so_much = is_enough && is_little && meant.iter().all(of_unit);
        verdict(!meant.is_empty() && is_so_much, weighed(plan))
    }

    fn means(&self, addition: &Addition) -> bool {
        let row = REAGENTS.iter().find(|row| row.key == addition.reagent);
        let of_kind = |kind| row.is_some_and(|row| row.kind == kind);
        self.reagent
            .as_ref()
            .is_none_or(|key| addition.reagent == *key)
            && self.kind.is_none_or(|kind| of_kind(kind.of_reagents()))
            && self.vessel.is_none_or(|vessel| addition.vessel == vessel)
            && self.times.is_none_or(|times| addition.times == times)
            && self
                .says
                .as_ref()
                .is_none_or(|words| has(&format!("{} {}", addition.when, addition.how), words))
    }
}

impl Kind {
    fn of_reagents(self) -> ReagentKind {
        match self {
            Kind::Acid => ReagentKind::Acid,
            Kind::Base => ReagentKind::Base,
            Kind::Salt => ReagentKind::Salt,
        }
    }
}

fn one_of(list: &[Expectation], answer: &Answer) -> Result<Verdict, String> {
    let verdicts = list.iter().map(|one| one.verdict(answer));
    let verdicts: Vec<Verdict> = verdicts.collect::<Result<_, _>>()?;
    let came: Vec<&str> = verdicts.iter().map(|one| one.came.as_str()).collect();
    Ok(verdict(
        verdicts.iter().any(|one| one.holds),
        came.join("; "),
    ))
}

fn among<C: Display + for<'c> PartialEq<&'c str>>(
    code: &str,
    codes: impl Iterator<Item = C>,
) -> Verdict {
    let codes: Vec<C> = codes.collect();
    let came: Vec<String> = codes.iter().map(ToString::to_string).collect();
    verdict(codes.iter().any(|one| *one == code), came.join(", "))
}

fn target<'p>(plan: &'p Plan, key: &str) -> Result<&'p TargetLine, String> {
    let line = plan.targets.iter().find(|line| line.key.as_str() == key);
    line.ok_or_else(|| format!("the plan has no target {key}"))
}

fn pointed<'d>(document: &'d Value, path: &str) -> Result<&'d Value, String> {
    let value = document.pointer(path);
    value.ok_or_else(|| format!("the plan has no {path}"))
}

/// Everything that is weighed, on one line.
fn weighed(plan: &Plan) -> String {
    let additions = plan.additions.iter().map(|one| {
        let Addition { display, name, .. } = one;
        format!("{display} {name} ({}, {})", one.vessel.key(), one.when)
    });
    format!("[{}]", additions.collect::<Vec<_>>().join("; "))
}

fn has(text: &str, words: &str) -> bool {
    let plain = |text: &str| {
        let words: Vec<&str> = text.split_whitespace().collect();
        words.join(" ").to_lowercase()
    };
    plain(text).contains(&plain(words))
}

fn written(expectation: &Expectation) -> String {
    serde_json::to_string(expectation).unwrap_or_else(|error| error.to_string())
}
