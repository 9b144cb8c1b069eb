//! How every plan must speak, whatever the day: the work and the chance first, the order of work,
//! no figures of the solver, intervals that are no "±" of a pH.

use underlet::plan::CautionCode;
use underlet::readings::Reading;
use underlet::recipe::{Meter, Place, Vessel};
use underlet::{Addition, Plan};

/// Words of the solver, which a brewer never reads.
const OF_THE_SOLVER: [&str; 9] = [
    "objective",
    "multiplier",
    "infeasib",
    "solver",
    "certificate",
    "second order",
    "branch",
    " node",
    "optimum",
];
/// What is no wording: a space too many, a zero with a sign, no number at all.
const SLIPS: [&str; 5] = ["−0 ", "-0 ", "NaN", "null", " ."];
/// Verbs that a headline begins with.
const WORK: [&str; 3] = ["Dose ", "Blend ", "Nothing to weigh"];

/// What a brewer would stumble over in a plan; empty for one that speaks well.
pub fn faults(plan: &Plan) -> Vec<String> {
    let text = plan.to_text();
    let mut faults = Vec::new();
    faults.extend(of_headline(plan));
    faults.extend(of_order(plan, &text));
    faults.extend(plan.readings.iter().filter_map(of_reading));
    faults.extend(plan.readings.iter().filter_map(of_interval));
    faults.extend(plan.additions.iter().filter_map(of_addition));
    faults.extend(lacking_cautions(plan));
    let lower = text.to_lowercase();
    let solver = OF_THE_SOLVER.iter().filter(|word| lower.contains(**word));
    faults.extend(solver.map(|word| format!("the text says \"{word}\"")));
    let slips = SLIPS.iter().filter(|slip| text.contains(**slip));
    faults.extend(slips.map(|slip| format!("the text has \"{slip}\"")));
    let instead = plan
        .reasons
        .iter()
        .filter(|reason| says_the_same(&reason.text));
    faults.extend(instead.map(|reason| format!("nothing changes: {}", reason.text)));
    faults
}

/// It says first what to do, then the chance that the plan has.
fn of_headline(plan: &Plan) -> Vec<String> {
    let mut faults = Vec::new();
    let summary = &plan.summary;
    if !WORK.iter().any(|verb| summary.starts_with(verb)) {
        faults.push(format!(
            "the headline does not begin with the work: {summary}"
        ));
    }
    if let (Some(chance), Some(_)) = (plan.mash.probability_in_range, plan.mash.sd) {
        let chance = format!("{:.0} %", 100.0 * chance);
        if !summary.contains(&chance) {
            faults.push(format!(
                "the headline lacks the chance of {chance}: {summary}"
            ));
        }
    }
    faults
}

/// Tank, mash, sparge, kettle, as the work goes; everything that is weighed is there.
fn of_order(plan: &Plan, text: &str) -> Vec<String> {
    let order = |vessel: Vessel| match vessel {
        Vessel::HotLiquorTank => 0,
        Vessel::MashLiquor => 1,
        Vessel::MashTun => 2,
        Vessel::SpargeLiquor => 3,
        Vessel::Kettle => 4,
    };
    let mut faults = Vec::new();
    let in_order = plan
        .additions
        .is_sorted_by_key(|addition| order(addition.vessel));
    if !in_order {
        faults.push("additions are not in the order of work".to_owned());
    }
    let boxes = text
        .lines()
        .filter(|line| line.starts_with("  [ ]"))
        .count();
    if boxes != plan.additions.len() {
        faults.push(format!(
            "{boxes} lines to tick for {} additions",
            plan.additions.len()
        ));
    }
    faults
}

/// A pH has an interval, a conductivity of dosed liquor the rise from the first reading; each says
/// what to do where it lies outside.
fn of_reading(reading: &Reading) -> Option<String> {
    let display = &reading.display;
    let is_fault = reading.otherwise.is_empty()
        || reading.when.is_empty()
        || match reading.meter {
            Meter::Ph => display.contains('±') || !display.contains('('),
            Meter::Conductivity | Meter::Temperature => !display.ends_with(&reading.unit),
        };
    is_fault.then(|| format!("{}: \"{display}\"", reading.what))
}

/// The interval of a pH is one that a brewer can use: a mash is known to 0.6, liquor that is poured
/// to an end point to 1.0 on either side of what it most likely shows, or better.
fn of_interval(reading: &Reading) -> Option<String> {
    let is_wort = matches!(
        reading.place,
        Place::MashFirst | Place::Mash | Place::Kettle
    );
    let widest = if is_wort { 1.2 } else { 2.0 };
    let holds = |[low, high]: [f64; 2]| low < reading.expected && reading.expected < high;
    let by_volume = reading.interval_95.filter(|ends| !holds(*ends));
    let is_usable = |ends: &[f64; 2]| holds(*ends) && ends[1] - ends[0] <= widest;
    let to_people = if is_wort {
        reading.interval_95
    } else {
        reading.interval_95_once_poured
    };
    let to_people = to_people.filter(|ends| !is_usable(ends));
    by_volume
        .or(to_people)
        .map(|_| format!("{}: {}", reading.what, reading.display))
}

/// Cautions that go with what is handled and with what ends in the beer.
fn lacking_cautions(plan: &Plan) -> Vec<String> {
    let has = |code: CautionCode| plan.cautions.iter().any(|caution| caution.code == code);
    let gives_acid = plan.additions.iter().any(|one| one.dilution_l.is_some());
    let is_tasted = plan.dissolved.iter().any(|line| {
        let is_brought = !line.has_target && !line.brought_by.is_empty();
        let from = line.tasted_from_mg_l.filter(|_| is_brought);
        from.is_some_and(|from| line.planned_mg_l > from)
    });
    let mut limits = plan.hard_limits.iter();
    let is_limited = limits.any(|limit| limit.key == "lactate");
    let wanted = [
        (gives_acid, CautionCode::AcidIntoWater),
        (is_tasted && !is_limited, CautionCode::MayBeTasted),
        (true, CautionCode::HotLiquor),
        (!plan.additions.is_empty(), CautionCode::SafetyDataSheet),
        (true, CautionCode::MeterDecides),
    ];
    let lacking = wanted
        .iter()
        .filter(|(applies, code)| *applies && !has(*code));
    lacking.map(|(_, code)| format!("lacks {code}")).collect()
}

/// An addition has an amount, a moment and a way; acid says the water that it goes into.
fn of_addition(addition: &Addition) -> Option<String> {
    let lacks_water = addition.dilution_l.is_some() && !addition.how.contains("of cold water");
    let is_fault = addition.display.is_empty()
        || addition.when.is_empty()
        || addition.how.is_empty()
        || lacks_water;
    is_fault.then(|| format!("{}: \"{}\"", addition.name, addition.how))
}

/// Whether it says "0.12 instead of 0.12".
fn says_the_same(text: &str) -> bool {
    let words: Vec<&str> = text.split_whitespace().collect();
    words.windows(4).any(|four| {
        let [first, "instead", "of", second] = four else {
            return false;
        };
        first == &second.trim_end_matches([',', '.', ';', ':'])
    })
}
