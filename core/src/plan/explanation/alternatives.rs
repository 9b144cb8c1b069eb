//! Alternatives, each described by what it changes for the beer.

use underlet_tables::{REAGENTS, Reagent, ReagentKind, parameters};

use super::limits::cold_kg_per_l;
use super::misses::{Distance, Miss, changes, consequences, is_nearer, misses};
use super::not_computed;
use super::softening::{Softened, Softening, saves_acid};
use crate::fit::{self, FitError, PlanError, Solution, draw_step_l, least_dilution, optimum};
use crate::liquor::Liquor;
use crate::plan::additions::{additions, blend};
use crate::plan::codes::AlternativeCode;
use crate::plan::document::{
    Addition, Alternative, BlendPart, Change, Reason, TargetLine, TargetState,
};
use crate::plan::evaluation::Evaluation;
use crate::plan::targets::verdict;
use crate::reagent::Preparation;
use crate::recipe::{BrewDay, ShelfReagent, Source};
use crate::treatment::Chlorine;
use crate::words::{capitalised, or, spoken};

/// Name of what dilutes: water without ions, distilled or by reverse osmosis.
const PURE_WATER: &str = "pure water";
/// Shares below this are the rounding of a proof.
const NO_SHARE: f64 = 1e-6;
/// A reagent must improve the fit by this part to count as better than another that does the same.
const BETTER: f64 = 1e-9;

/// The plan that the alternatives are compared with.
struct Base<'s, 'a> {
    solution: &'s Solution<'a>,
    misses: Vec<Miss>,
}

/// The alternatives, where the day requests them, and a reason for each that could not be computed.
/// Remedies for a miss are sought only where there is one.
pub(super) fn alternatives(
    solution: &Solution<'_>,
    evaluation: &Evaluation,
    softening: Option<&Softening<'_>>,
) -> (Vec<Alternative>, Vec<Reason>) {
    use AlternativeCode::{AcidSwapped, LeastDilution, OneMoreReagent, OneSaltFewer};

    let (mut found, mut failed) = (Vec::new(), Vec::new());
    if !solution.day.alternatives {
        return (found, failed);
    }
    let base = Base {
        solution,
        misses: misses(solution, &evaluation.targets, evaluation.chances),
    };
    let mut add = |code, other: Result<Option<OtherDay<'_>>, FitError>| {
        let new = other.map_err(PlanError::Fit);
        match new.and_then(|other| alternative(&base, code, other)) {
            // Acid from the table may come in place of an acid and as one reagent more: one plan is
            // listed once.
            Ok(new) => {
                let new = new.filter(|new| found.iter().all(|known| !is_same(known, new)));
                found.extend(new);
            }
            Err(error) => {
                let key = code.as_str();
                let what = format!("The alternative “{}”", spoken(key));
                failed.push(not_computed(key, &what, &error));
            }
        }
    };
    add(OneSaltFewer, Ok(one_salt_fewer(solution)));
    for acid in used(solution, true) {
        add(AcidSwapped, acid_swapped(solution, acid));
    }
    if base.misses.iter().any(|miss| miss.by != Distance::MET) {
        add(LeastDilution, diluted(solution));
        add(OneMoreReagent, one_more_reagent(solution));
    }
    for softened in softening.into_iter().flat_map(Softening::both) {
        add(
            softened.code(),
            Ok(Some(OtherDay::softened(solution, softened))),
        );
    }
    (found, failed)
}

/// A day that differs from the planned one, what about, where one thing does, and the water that
/// is softened for it.
struct OtherDay<'s> {
    day: BrewDay,
    subject: Option<String>,
    softened: Option<Softened<'s>>,
}

impl OtherDay<'_> {
    fn new(day: BrewDay, subject: Option<&str>) -> Self {
        OtherDay {
            day,
            subject: subject.map(str::to_owned),
            softened: None,
        }
    }
}

impl<'s> OtherDay<'s> {
    fn softened(solution: &Solution<'_>, softened: Softened<'s>) -> OtherDay<'s> {
        OtherDay {
            softened: Some(softened),
            ..OtherDay::new(softened.day(solution.day), Some(softened.water()))
        }
    }
}

/// The plan of another day, aimed anew, compared with this one; `None` where there is no such plan,
/// or it should help and does not.
fn alternative(
    base: &Base<'_, '_>,
    code: AlternativeCode,
    other: Option<OtherDay<'_>>,
) -> Result<Option<Alternative>, PlanError> {
    let Some(OtherDay {
        day,
        subject,
        softened,
    }) = other
    else {
        return Ok(None);
    };
    let other = match fit::solve_day(&day) {
        Err(error) if error.is_infeasible() => return Ok(None),
        other => other?,
    };
    let reached = Evaluation::of(&other)?;
    let changes = changes(
        &base.misses,
        &misses(&other, &reached.targets, reached.chances),
    );
    let solution = base.solution;
    // A remedy brings some target nearer; the steps of the scale alone may move all of them the
    // other way.
    // What is not known is no remedy.
    let is_unknown = |line: &TargetLine| line.state == TargetState::Unknown;
    let is_remedy = changes.iter().any(is_nearer) && !reached.targets.iter().any(is_unknown);
    let is_worth_it = match code {
        AlternativeCode::LeastDilution | AlternativeCode::OneMoreReagent => is_remedy,
        AlternativeCode::SlakedLime | AlternativeCode::BoiledFirst => {
            is_remedy || changes.is_empty() && saves_acid(solution, &other)
        }
        // What is not on the shelf is bought for a reason.
        AlternativeCode::AcidSwapped => is_remedy || is_at_hand(solution.day, &other),
        AlternativeCode::OneSaltFewer => true,
    };
    if !is_worth_it {
        return Ok(None);
    }
    let mut text = described(solution, &other, &changes);
    if let Some(softened) = softened {
        text = format!("{text} {}", softened.work(solution, &other));
    }
    let (meets_every_range, _) = verdict(&reached.targets, true);
    let [gone, _] = swapped(solution, &other);
    Ok(Some(Alternative {
        code,
        subject: subject.unwrap_or_else(|| names(&gone)),
        cost: priced(&other) - priced(solution),
        meets_every_range,
        blend: blend(&other),
        additions: additions(&other, &reached.end_points),
        changes,
        text,
    }))
}

/// Whether all the acids of another plan are on the shelf of the day.
fn is_at_hand(day: &BrewDay, other: &Solution<'_>) -> bool {
    let mut acids = used(other, true).into_iter();
    acids.all(|acid| is_on_shelf(day, acid))
}

/// What another plan does otherwise, what that changes, and what it takes.
fn described(solution: &Solution<'_>, other: &Solution<'_>, changes: &[Change]) -> String {
    let [gone, new] = swapped(solution, other);
    let (blend, additions) = (blend(other), additions(other, &[]));
    let is_new = |part: &&BlendPart| {
        let mut sources = solution.day.sources.iter();
        sources.all(|source| source.name != part.source)
    };
    let mut text = format!(
        "With {}: {}. It takes {}.",
        heading(blend.iter().find(is_new), &gone, &new),
        consequences(changes, "every range would stay as it is"),
        or(taken(&additions), "nothing")
    );
    for reagent in &new {
        let mut given = additions.iter();
        if let Some(one) = given.find(|one| one.reagent == reagent.key) {
            text = format!("{text} {}: {}", capitalised(reagent.key), one.how);
        }
    }
    text
}

/// What is weighed and measured, in a few words.
fn taken(additions: &[Addition]) -> String {
    let one = |addition: &Addition| {
        let (much, place) = (&addition.display, &addition.vessel_label);
        // An acid is nothing without its strength.
        let what = match addition.dilution_l {
            Some(_) => &addition.name,
            None => &addition.reagent,
        };
        let text = format!("{much} {what} ({place})");
        if addition.times > 1 {
            format!("{} × {text}", addition.times)
        } else {
            text
        }
    };
    let all: Vec<String> = additions.iter().map(one).collect();
    all.join(", ")
}

/// The objective as weighed, with the price of each thing to weigh.
fn priced(solution: &Solution<'_>) -> f64 {
    let doses = solution.fitted.doses.iter();
    let given = doses.filter(|dose| **dose > 0.0).count();
    solution.fitted.objective + parameters::FIT_HANDLING.value * given as f64
}

/// Whether two plans are weighed and drawn alike.
fn is_same(one: &Alternative, other: &Alternative) -> bool {
    let [weighed, too] = [one, other].map(|plan| plan.additions.iter());
    let given = |of: &Addition| (of.reagent.clone(), of.vessel, of.amount);
    let [drawn, as_well] = [one, other].map(|plan| plan.blend.iter().map(|part| &part.display));
    weighed.map(given).eq(too.map(given)) && drawn.eq(as_well)
}

/// Reagents that only the one plan takes, and those that only the other does.
fn swapped(solution: &Solution<'_>, other: &Solution<'_>) -> [Vec<&'static Reagent>; 2] {
    let [was, is] = [solution, other].map(|one| [used(one, false), used(one, true)].concat());
    let (mut gone, mut new) = (was.clone(), is.clone());
    gone.retain(|reagent| is.iter().all(|other| other.key != reagent.key));
    new.retain(|reagent| was.iter().all(|other| other.key != reagent.key));
    [gone, new]
}

/// The differences, in a few words.
fn heading(water: Option<&BlendPart>, gone: &[&Reagent], new: &[&Reagent]) -> String {
    let water = water.map(|part| format!("{:.0} % of {}", part.share * 100.0, part.source));
    let swap = match (gone.is_empty(), new.is_empty()) {
        (true, true) => None,
        (true, false) => Some(format!("{} besides", names(new))),
        _ => Some(format!(
            "{} in place of {}",
            or(names(new), "nothing"),
            names(gone)
        )),
    };
    let parts: Vec<String> = water.into_iter().chain(swap).collect();
    or(parts.join(", "), "other amounts")
}

fn names(reagents: &[&Reagent]) -> String {
    let keys: Vec<&str> = reagents.iter().map(|reagent| reagent.key).collect();
    keys.join(", ")
}

/// The acids, or the salts and bases, of which the plan gives something, each once.
fn used(solution: &Solution<'_>, acids: bool) -> Vec<&'static Reagent> {
    let mut used: Vec<&'static Reagent> = Vec::new();
    for (option, dose) in solution.problem.doses.iter().zip(&solution.fitted.doses) {
        let reagent = option.preparation.reagent;
        let known = used.iter().any(|other| other.key == reagent.key);
        if *dose > 0.0 && !known && option.preparation.is_acid() == acids {
            used.push(reagent);
        }
    }
    used
}

fn one_salt_fewer<'s>(solution: &Solution<'_>) -> Option<OtherDay<'s>> {
    let fewer = used(solution, false).len().checked_sub(1)?;
    let day = BrewDay {
        max_salts: Some(fewer),
        ..solution.day.clone()
    };
    Some(OtherDay::new(day, None))
}

/// The day with another acid in place of one that the plan gives: the best one of the shelf that it
/// does not give, or of the table where the shelf has none. Other acids on the shelf that are not
/// used stay out.
fn acid_swapped<'s>(
    solution: &Solution<'_>,
    acid: &'static Reagent,
) -> Result<Option<OtherDay<'s>>, FitError> {
    let day = solution.day;
    let in_plan = used(solution, true);
    let mut kept = day.clone();
    kept.shelf.retain(|shelved| {
        let reagent = shelved.preparation.reagent;
        let given = in_plan.iter().any(|other| other.key == reagent.key);
        let stays = given || !shelved.preparation.is_acid() || shelved.is_for_kettle_alone();
        reagent.key != acid.key && stays
    });
    let is_other = |shelved: &&ShelfReagent| {
        let is_acid = shelved.preparation.is_acid() && !shelved.is_for_kettle_alone();
        is_acid
            && in_plan
                .iter()
                .all(|given| given.key != shelved.preparation.reagent.key)
    };
    let mut others: Vec<ShelfReagent> = day.shelf.iter().filter(is_other).cloned().collect();
    if others.is_empty() {
        let mut shelf = day.shelf.iter();
        let given = shelf.find(|shelved| shelved.preparation.reagent.key == acid.key);
        let Some(given) = given else {
            return Ok(None);
        };
        let acids = REAGENTS
            .iter()
            .filter(|row| row.kind == ReagentKind::Acid && !is_on_shelf(day, row));
        others.extend(acids.map(|row| ShelfReagent {
            preparation: Preparation::of(row),
            stock: None,
            ..given.clone()
        }));
    }
    let days = others.into_iter().map(|other| with(&kept, other));
    let best = best_of(solution, days, f64::INFINITY)?;
    Ok(best.map(|day| OtherDay::new(day, Some(acid.key))))
}

/// The day with the one reagent of the table that betters the fit most.
fn one_more_reagent<'s>(solution: &Solution<'_>) -> Result<Option<OtherDay<'s>>, FitError> {
    let day = solution.day;
    let shelf = day.shelf.iter();
    let step = shelf
        .filter(|one| ShelfReagent::brings_ions(one.preparation.reagent))
        .map(|one| one.step);
    let step = step.reduce(f64::min).unwrap_or(day.brewhouse.scale_step_g);
    let others = REAGENTS
        .iter()
        .filter(|row| ShelfReagent::brings_ions(row) && !is_on_shelf(day, row));
    let vessels = day.vessels();
    let more = others.map(|row| with(day, ShelfReagent::usual(row, step, vessels)));
    let best = best_of(solution, more, solution.fitted.objective_before_rounding)?;
    Ok(best.map(|day| {
        let subject = day.shelf.last().map(|new| new.preparation.reagent.key);
        OtherDay::new(day, subject)
    }))
}

fn is_on_shelf(day: &BrewDay, row: &Reagent) -> bool {
    let mut shelf = day.shelf.iter();
    shelf.any(|shelved| shelved.preparation.reagent.key == row.key)
}

/// The day with one thing more on its shelf, or as it is where that is there already.
fn with(day: &BrewDay, other: ShelfReagent) -> BrewDay {
    let mut day = day.clone();
    if !day.shelf.contains(&other) {
        day.shelf.push(other);
    }
    day
}

/// The day with the least objective before rounding, if that is less than `most`; the first of
/// those that are alike. All get the plan's ranges of pH, narrowed for a confidence or not, and its
/// acid in the kettle, so that their objectives can be compared.
fn best_of(
    solution: &Solution<'_>,
    days: impl Iterator<Item = BrewDay>,
    most: f64,
) -> Result<Option<BrewDay>, FitError> {
    let (mut best, mut least) = (None, most);
    for day in days {
        let mut problem = fit::problem_of(&day);
        let (given, is) = (&solution.problem.targets, &mut problem.targets);
        (is.mash_ph, is.sparge_ph) = (given.mash_ph, given.sparge_ph);
        problem.in_kettle = solution.problem.in_kettle;
        let objective = match optimum(&problem) {
            Err(error) if error.is_infeasible() => continue,
            best_of_day => best_of_day?.objective,
        };
        if objective < least - BETTER * (1.0 + objective) {
            (best, least) = (Some(day), objective);
        }
    }
    Ok(best)
}

/// The day with as little pure water as brings every range within reach, in whole steps of a draw.
fn diluted<'s>(solution: &Solution<'_>) -> Result<Option<OtherDay<'s>>, FitError> {
    let share = least_dilution(&solution.problem)?;
    let Some(share) = share.filter(|share| *share > NO_SHARE) else {
        return Ok(None);
    };
    let litres = solution.problem.waters.blended_kg() / cold_kg_per_l();
    let step = draw_step_l(litres);
    let drawn = (share * litres / step).ceil() * step;
    let mut day = solution.day.clone();
    if let [source] = day.sources.as_mut_slice() {
        // The source is limited to the rest, so that no miss draws less pure water.
        source.max_amount_l = Some(litres - drawn + NO_SHARE * litres);
    }
    day.sources.push(Source {
        name: PURE_WATER.to_owned(),
        liquor: Liquor {
            temperature_c: parameters::SAMPLE_TEMPERATURE.value,
            ..Liquor::default()
        },
        ph_assumed: false,
        chlorine: Chlorine::default(),
        max_amount_l: Some(drawn),
        reconciled: None,
    });
    Ok(Some(OtherDay::new(day, Some(PURE_WATER))))
}
