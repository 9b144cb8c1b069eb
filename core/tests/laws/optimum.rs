//! That the plan before rounding is the best one, whatever else is tried.

use underlet::aqueous::{Acidity, Aqueous};
use underlet::component::Component;
use underlet::fit::{
    Constraint, FitResult, FrozenProblem, IonicStrengths, Liquors, Problem, Subject, solve,
};
use underlet::liquor::{alkalinity_eq_per_kg, mg_per_l_caco3};
use underlet::mash::{Chemistry, Mash, grist_buffering_eq_per_ph};
use underlet::optimise::Certificate;
use underlet::{BrewDay, EXAMPLES};
use underlet_tables::parameters;

use super::forward::Forward;
use super::search::{Effort, Room, search};
use crate::common::dice::Dice;
use crate::common::draft::{Draft, Range};
use crate::common::trials::trials;

/// Ionic strength at which the programmes compared are frozen, mol/kg: a usual brewing water's.
const IONIC_STRENGTH: f64 = 0.01;

fn model<'a>(problem: &'a Problem<'a>) -> FrozenProblem<'a> {
    FrozenProblem::new(problem, IonicStrengths::uniform(IONIC_STRENGTH)).expect("a programme")
}

/// The least objective of a day.
pub fn least(day: &BrewDay) -> f64 {
    let problem = day.problem();
    let mut model = model(&problem);
    let best = model.solve().expect("an optimum");
    model.objective(&best.x)
}

/// The most that each decision variable may be.
fn caps(problem: &Problem<'_>, units: &[f64]) -> Vec<f64> {
    let blended = problem.waters.blended_kg();
    let sources = problem.sources.iter().map(|source| {
        source
            .max_amount_kg
            .map_or(1.0, |most| (most / blended).min(1.0))
    });
    let doses = problem.doses.iter().zip(units).map(|(option, unit)| {
        let stock = problem.stocks[option.stock].unwrap_or(f64::INFINITY);
        stock.min(option.most.unwrap_or(f64::INFINITY)) / unit
    });
    sources.chain(doses).collect()
}

/// Whether sources and stocks can give it.
fn is_feasible(problem: &Problem<'_>, units: &[f64], caps: &[f64], x: &[f64]) -> bool {
    let sources = problem.sources.len();
    let taken = |stock: usize| -> f64 {
        let doses = problem.doses.iter().zip(units).zip(&x[sources..]);
        doses
            .filter(|((option, _), _)| option.stock == stock)
            .map(|((_, unit), x)| unit * x)
            .sum()
    };
    x.iter().zip(caps).all(|(x, cap)| (0.0..=*cap).contains(x))
        && problem
            .stocks
            .iter()
            .enumerate()
            .all(|(stock, on_hand)| on_hand.is_none_or(|on_hand| taken(stock) <= on_hand))
}

/// Another point, far from the best one or near to it.
fn another(dice: &mut Dice, best: &[f64], sources: usize, caps: &[f64]) -> Vec<f64> {
    let reach = dice.magnitude(1e-6, 3.0);
    let keep = dice.real(0.0, 1.0);
    let mut x: Vec<f64> = best
        .iter()
        .zip(caps)
        .map(|(best, cap)| {
            if dice.chance(keep) {
                return *best;
            }
            (best + dice.real(-reach, reach)).clamp(0.0, *cap)
        })
        .collect();
    let sum: f64 = x[..sources].iter().sum();
    x[..sources].iter_mut().for_each(|share| *share /= sum);
    x
}

/// Tries points until so many were feasible, and returns how many were.
pub fn assert_unbeaten(day: &BrewDay, seed: u64, tries: usize) -> usize {
    let problem = day.problem();
    let mut model = model(&problem);
    let solution = model.solve().expect("an optimum");
    let sources = problem.sources.len();
    let choices = sources + problem.doses.len();
    let best = &solution.x[..choices];
    let (_, units) = model.amounts(&vec![1.0; choices]);
    let caps = caps(&problem, &units);
    let least = model.objective(best);
    let dice = &mut Dice::new(seed);
    let mut feasible = 0;
    for _ in 0..tries {
        let x = another(dice, best, sources, &caps);
        if !is_feasible(&problem, &units, &caps, &x) {
            continue;
        }
        feasible += 1;
        let other = model.objective(&x);
        assert!(
            other >= least - 1e-9 * (1.0 + least),
            "seed {seed}: {other} beats {least}"
        );
    }
    feasible
}

#[test]
fn no_random_point_beats_the_plan_before_rounding() {
    for (index, (_, text)) in EXAMPLES.iter().enumerate() {
        let day = BrewDay::from_json(text).expect("valid");
        assert!(assert_unbeaten(&day, index as u64, 10_000) > 2000);
    }
    let days = trials(50, 200);
    let tried: usize = (0..days)
        .map(|seed| assert_unbeaten(&Draft::random(seed).read(), seed, 500))
        .sum();
    assert!(tried as u64 > 100 * days, "{tried}");
}

/// `global_search` of the tests crate does the same with more patience.
#[test]
fn no_global_search_over_the_liquors_of_random_days_beats_the_plan_before_rounding() {
    let count = trials(30, 200);
    let effort = Effort {
        generations: 10,
        starts: 1,
        steps: 60,
    };
    let mut reached = 0;
    for seed in 0..count {
        let day = Draft::random(seed).read();
        let problem = day.problem();
        let result = solve(&problem).expect("an result");
        let forward = Forward::new(&problem);
        let x = forward.variables(
            &result.shares_before_rounding,
            &result.doses_before_rounding,
        );
        let function = |x: &[f64]| forward.objective_at(x, result.ionic_strengths);
        let own = function(&x);
        let reported = result.objective_before_rounding;
        assert!(
            (own - reported).abs() <= 1e-9 * (1e-3 + reported),
            "seed {seed}: {own} {reported}"
        );
        assert!(result.certificate.gap <= Certificate::TOLERANCE);
        let found = search(&function, &Room::of(&forward), &x, effort, seed);
        for other in [found.near, found.elsewhere] {
            assert!(
                other >= own - 1e-6 * own.max(1e-3),
                "seed {seed}: {other} beats {own}"
            );
        }
        reached += u64::from(found.elsewhere < own * 1.01);
    }
    assert!(
        10 * reached > 3 * count,
        "the search is worth something: {reached}"
    );
}

/// The ionic strengths that the fit was frozen at are those of its own plan: solved there, the plan
/// is what it was. Its pairs are too, but where pairs and doses chase each other.
#[test]
fn ionic_strengths_of_random_days_converge_to_the_plan() {
    let count = trials(60, 300);
    let mut chased = 0;
    for seed in 0..count {
        let day = Draft::random(seed).read();
        let problem = day.problem();
        let result = solve(&problem).expect("an result");
        let mut own = own_strengths(&problem, &result);
        if own.distance(result.ionic_strengths) > 1e-10 {
            chased += 1;
            own.sparge_pairs = result.ionic_strengths.sparge_pairs;
        }
        assert!(
            own.distance(result.ionic_strengths) <= 1e-10,
            "seed {seed}: {own:?} {:?}",
            result.ionic_strengths
        );
    }
    println!("{chased} of {count} chased their pairs");
    assert!(50 * chased <= count, "{chased}");
}

/// Ionic strengths and pairs of the plan before rounding.
fn own_strengths(problem: &Problem<'_>, result: &FitResult) -> IonicStrengths {
    let (shares, doses) = (
        &result.shares_before_rounding,
        &result.doses_before_rounding,
    );
    let liquors = problem.liquors(shares, doses);
    IonicStrengths::of(&liquors, problem.targets.sparge_ph.as_ref())
}

#[test]
fn one_more_reagent_on_the_shelf_never_worsens_the_optimum() {
    let mut helped = 0;
    for seed in 0..300 {
        let mut day = Draft::random(seed);
        let full = least(&day.read());
        while day.shelf.pop().is_some() {
            let without = least(&day.read());
            assert!(
                full <= without + 1e-9 * (1.0 + without),
                "seed {seed}: {full} {without}"
            );
            helped += usize::from(full < without * 0.99);
        }
    }
    assert!(helped > 100, "{helped}");
}

/// Largest shift of a line by the ionic strengths of the liquors as weighed, in tolerances.
fn moved(problem: &Problem<'_>, result: &FitResult) -> f64 {
    let x = Forward::new(problem).variables(&result.shares, &result.doses);
    let liquors = problem.liquors(&result.shares, &result.doses);
    let own = IonicStrengths::of(&liquors, problem.targets.sparge_ph.as_ref());
    let [reported, is] = [result.ionic_strengths, own].map(|strengths| {
        let model = FrozenProblem::new(problem, strengths).expect("a programme");
        let beyond = |line: &Constraint| {
            line.term.at(&x) - line.term.low.or(line.term.high).expect("an end")
        };
        model.constraints().iter().map(beyond).collect::<Vec<_>>()
    });
    let shifts = reported
        .iter()
        .zip(&is)
        .map(|(reported, is)| (reported - is).abs());
    shifts.fold(0.0, f64::max)
}

/// The day says so where fit and forecast part by more than a fifth of a tolerance, by what the
/// scale does to ionic strengths and to ion pairs.
#[test]
fn a_plan_of_a_random_day_tells_where_fit_and_forecast_part() {
    let count = trials(100, 400);
    let (mut reported, mut others) = (0, 0);
    for seed in 0..count {
        let day = Draft::random(seed).read();
        let problem = day.problem();
        let result = solve(&problem).expect("an result");
        let moved = moved(&problem, &result);
        assert!(
            (moved - result.linearisation_error).abs() <= 1e-9 * (1.0 + moved),
            "seed {seed}: {moved} {}",
            result.linearisation_error
        );
        let plan = day.plan().expect("a plan");
        // Of a mash whose pH is not known, nothing is said of how well it is known.
        if plan.mash.sd.is_none() {
            continue;
        }
        if plan.fit.objective != result.objective {
            // Acid and base are kept apart there: it is the plan of another problem.
            others += 1;
            continue;
        }
        let note = plan
            .cautions
            .iter()
            .find(|caution| caution.code == "fit_and_forecast_apart");
        assert_eq!(note.is_some(), moved > 0.2, "seed {seed}: {moved}");
        reported += u64::from(moved > 0.2);
    }
    println!("{reported} of {count}, and {others} of another problem");
    assert!(
        100 * reported >= count && 4 * others < count,
        "{reported} {others}"
    );
}

/// At the plan before rounding, acid is missing at the ends of a sparge pH as the equilibrium says,
/// ion pairs and all.
#[test]
fn the_sparge_ph_of_a_random_day_is_that_of_the_equilibrium() {
    let (mut compared, mut paired) = (0, 0);
    for seed in 0..trials(60, 300) {
        let day = Draft::random(seed).read();
        let problem = day.problem();
        let result = solve(&problem).expect("an result");
        let (shares, doses) = (
            &result.shares_before_rounding,
            &result.doses_before_rounding,
        );
        let x = Forward::new(&problem).variables(shares, doses);
        let sparge = problem.liquors(shares, doses).sparge;
        let Some(range) = &problem.targets.sparge_ph else {
            continue;
        };
        if own_strengths(&problem, &result).distance(result.ionic_strengths) > 1e-10 {
            // Pairs and doses chase each other; another test counts how often.
            continue;
        }
        let model = FrozenProblem::new(&problem, result.ionic_strengths).expect("a programme");
        for line in model.constraints() {
            let end = match line.subject {
                Subject::SpargePhLow => range.low,
                Subject::SpargePhHigh => range.high,
                _ => continue,
            };
            let there = Aqueous::at(20.0)
                .with_ph_and_carbon(&sparge, end.expect("an end"))
                .expect("in equilibrium");
            let missing = sparge.alkalinity_eq_per_kg - there.liquor.alkalinity_eq_per_kg;
            let held = line.term.low.or(line.term.high).expect("an end");
            // A tolerance is 10 mg/L as CaCO3.
            let counted = 10.0 * (line.term.at(&x) - held);
            assert!(
                (counted - mg_per_l_caco3(missing)).abs() < 1e-4,
                "seed {seed}: {counted} {}",
                mg_per_l_caco3(missing)
            );
            compared += 1;
            let saved = result.ionic_strengths.sparge_pairs;
            paired += u32::from(saved.iter().any(|eq| mg_per_l_caco3(eq.abs()) > 1.0));
        }
    }
    assert!(compared > 20 && paired > 5, "{compared} {paired}");
}

/// A range is opened on both sides by as much, since the middle of a mash's range penalties gently.
pub fn widened(range: &Range, dice: &mut Dice) -> Range {
    let by = dice.real(0.0, 0.3);
    let width = match range.key {
        "mash_ph" | "sparge_ph" | "sulfate_to_chloride" => by,
        _ => 100.0 * by,
    };
    let floor = if range.key.ends_with("ph") { 4.0 } else { 0.0 };
    let low = range.low.map(|low| low - width);
    // Where the low end cannot be moved that far, neither is moved.
    if low.is_some_and(|low| low < floor) {
        return range.clone();
    }
    Range {
        low,
        high: range.high.map(|high| high + width),
        ..range.clone()
    }
}

#[test]
fn a_wider_range_never_worsens_the_optimum() {
    let mut helped = 0;
    for seed in 0..300 {
        let narrow = Draft::random(seed);
        let dice = &mut Dice::new(seed + 7);
        let mut wide = narrow.clone();
        for range in &mut wide.targets {
            *range = widened(range, dice);
        }
        let (narrow, wide) = (narrow.read(), wide.read());
        // Where calcium is aimed at decides what its salts cost.
        let prices = |day: &BrewDay| -> Vec<f64> {
            day.problem()
                .doses
                .iter()
                .map(|option| option.price)
                .collect()
        };
        if prices(&narrow) != prices(&wide) {
            continue;
        }
        let (narrow, wide) = (least(&narrow), least(&wide));
        assert!(
            wide <= narrow + 1e-9 * (1.0 + narrow),
            "seed {seed}: {wide} {narrow}"
        );
        helped += usize::from(wide < narrow * 0.99);
    }
    assert!(helped > 100, "{helped}");
}

/// What a line should say, worked out by following the liquors through the vessels: its value, less
/// the end of its range where the end is part of the line.
fn expected(line: &Constraint, problem: &Problem<'_>, liquors: &Liquors) -> f64 {
    let tolerance = parameters::FIT_ION_TOLERANCE.value;
    let alkalinity_tolerance = alkalinity_eq_per_kg(parameters::FIT_ALKALINITY_TOLERANCE.value);
    let in_tolerances = |ion: Component| liquors.overall.ions.get(ion) / ion.mol_per_kg(tolerance);
    let wanted = &problem.targets;
    let ratio = |end: Option<f64>| {
        in_tolerances(Component::Sulfate)
            - end.expect("an end") * in_tolerances(Component::Chloride)
    };
    let chemistry = Chemistry::at(IONIC_STRENGTH);
    let mash = |end: Option<f64>| {
        let mash = Mash {
            grist: problem.grist,
            water_kg: problem.waters.mash_kg,
            liquor: liquors.mash,
        };
        let tolerance = grist_buffering_eq_per_ph(problem.grist, end.expect("an end"))
            * parameters::FIT_PH_TOLERANCE.value;
        mash.proton_deficit_eq(&chemistry, end.expect("an end")) / tolerance
    };
    let sparge = |end: Option<f64>| {
        let ph = end.expect("an end");
        let missing = chemistry.acid_required_by_liquor(&liquors.sparge.as_dose(), ph)
            - chemistry.free_charge(ph);
        missing / alkalinity_tolerance
    };
    match line.subject {
        Subject::Component(ion) => in_tolerances(ion),
        Subject::RatioLow => ratio(
            wanted
                .sulfate_to_chloride
                .as_ref()
                .and_then(|wanted| wanted.low),
        ),
        Subject::RatioHigh => ratio(
            wanted
                .sulfate_to_chloride
                .as_ref()
                .and_then(|wanted| wanted.high),
        ),
        Subject::MashPhLow => mash(wanted.mash_ph.as_ref().and_then(|wanted| wanted.low)),
        Subject::MashPhHigh => mash(wanted.mash_ph.as_ref().and_then(|wanted| wanted.high)),
        Subject::Alkalinity => unreachable!("no target of a brew day"),
        Subject::SpargeAlkalinity => {
            // What works against the mash at the frozen ionic strength, as the line has it.
            let acidity = Acidity::at(parameters::SAMPLE_TEMPERATURE.value, IONIC_STRENGTH);
            let mash_ph = parameters::SPARGE_ALKALINITY_PH.value;
            let held = acidity.of_acids(&liquors.sparge.ions, mash_ph);
            (liquors.sparge.alkalinity_eq_per_kg - held) / alkalinity_tolerance
        }
        Subject::SpargePhLow => sparge(wanted.sparge_ph.as_ref().and_then(|wanted| wanted.low)),
        Subject::SpargePhHigh => sparge(wanted.sparge_ph.as_ref().and_then(|wanted| wanted.high)),
    }
}

/// Value of a line as [`expected`] counts it.
fn value(line: &Constraint, x: &[f64]) -> f64 {
    let end = line.term.low.or(line.term.high).unwrap_or(0.0);
    match line.subject {
        Subject::MashPhLow | Subject::MashPhHigh | Subject::SpargePhLow | Subject::SpargePhHigh => {
            line.term.at(x) - end
        }
        _ => line.term.at(x),
    }
}

#[test]
fn the_straight_lines_say_what_the_liquors_say() {
    let mut seen = 0;
    for seed in 0..300 {
        let day = Draft::random(seed).read();
        let problem = day.problem();
        let model = model(&problem);
        let dice = &mut Dice::new(seed);
        let sources = problem.sources.len();
        let mut x: Vec<f64> = (0..sources + problem.doses.len())
            .map(|_| dice.real(0.0, 1.0))
            .collect();
        let sum: f64 = x[..sources].iter().sum();
        x[..sources].iter_mut().for_each(|share| *share /= sum);
        let (shares, doses) = model.amounts(&x);
        let liquors = problem.liquors(&shares, &doses);
        for line in model.constraints() {
            let (straight, followed) = (value(line, &x), expected(line, &problem, &liquors));
            let size: f64 = line
                .term
                .coefficients()
                .iter()
                .zip(&x)
                .map(|(a, x)| (a * x).abs())
                .sum();
            assert!(
                (straight - followed).abs() <= 1e-9 * size.max(1.0),
                "seed {seed}, {:?}: {straight} {followed}",
                line.subject
            );
            seen += 1;
        }
    }
    assert!(seen > 1000, "{seen}");
}
