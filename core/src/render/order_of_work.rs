//! A plan grouped as it is worked through: additions by vessel, readings by place.

use underlet_tables::{REAGENTS, ReagentKind};

use crate::fit::AcidPart;
use crate::plan::{Addition, BlendPart, DissolvedLine, ForeseenCorrection, Plan};
use crate::readings::Reading;
use crate::recipe::{Meter, Place, Vessel};
use crate::words;

/// The sources of which something is drawn.
pub(super) fn drawn(plan: &Plan) -> impl Iterator<Item = &BlendPart> {
    plan.blend.iter().filter(|part| part.share > 0.0)
}

/// Additions by vessel and time, in the order of work.
pub(super) fn visits(plan: &Plan) -> impl Iterator<Item = Visit<'_>> {
    let together =
        |one: &Addition, next: &Addition| (one.vessel, &one.when) == (next.vessel, &next.when);
    let visits = plan.additions.chunk_by(together);
    visits.filter_map(|additions| {
        let place = place_of(plan, additions.first()?);
        Some(Visit { place, additions })
    })
}

/// Where and when an addition is made.
fn place_of(plan: &Plan, addition: &Addition) -> String {
    let vessel = match addition.vessel {
        Vessel::MashLiquor => Vessel::MashTun,
        other => other,
    };
    let mut vessels = plan.vessels.iter();
    let liquor = vessels.find(|liquor| liquor.vessel == vessel);
    let liquor = liquor.map_or_else(String::new, |liquor| format!(", {}", liquor.display));
    format!("{}{liquor}: {}", addition.vessel_label, addition.when)
}

/// A stop of the work: something to add, or something to read.
pub(super) enum Stop<'a> {
    Dose(Visit<'a>),
    Read(Round<'a>),
}

/// Additions and readings, each where and when it comes in the order of work.
pub(super) fn stops(plan: &Plan) -> Vec<Stop<'_>> {
    let mut stops: Vec<Stop<'_>> = visits(plan).map(Stop::Dose).collect();
    stops.extend(rounds(plan).map(Stop::Read));
    // Stops of one place stay as they are.
    stops.sort_by_key(Stop::rank);
    stops
}

impl Stop<'_> {
    fn rank(&self) -> usize {
        let dosed = |addition: &Addition| match (addition.vessel, addition.part) {
            (Vessel::HotLiquorTank, _) => 1,
            (Vessel::MashLiquor, _) => 3,
            (Vessel::MashTun, Some(AcidPart::Rest)) => 7,
            (Vessel::MashTun, _) => 5,
            (Vessel::SpargeLiquor, _) => 9,
            (Vessel::Kettle, _) => 12,
        };
        let read = |reading: &Reading| match reading.place {
            Place::ColdLiquor => 0,
            Place::Tank => 2,
            Place::MashLiquor => 4,
            Place::MashFirst => 6,
            Place::Mash => 8,
            Place::SpargeLiquor => 10,
            Place::Kettle => 11,
        };
        match self {
            Stop::Dose(visit) => visit.additions.first().map_or(0, dosed),
            Stop::Read(round) => round.readings.first().map_or(0, read),
        }
    }
}

/// The residual alkalinity of each source that is drawn and of each liquor.
pub(super) fn residual_alkalinities(plan: &Plan) -> String {
    let sources = drawn(plan).map(|part| (&part.source, part.residual_alkalinity_mg_l_caco3));
    let vessels = plan.vessels.iter();
    let vessels = vessels.map(|vessel| (&vessel.label, vessel.residual_alkalinity_mg_l_caco3));
    let each = sources
        .chain(vessels)
        .map(|(name, mg_per_l)| format!("{name} {}", words::whole(mg_per_l)));
    let each: Vec<String> = each.collect();
    format!("residual alkalinity, mg/L as CaCO3: {}", each.join(", "))
}

/// Totals of liquor and of each reagent for all brews.
pub(super) fn totals(plan: &Plan) -> String {
    let litres = plan.blend.iter().fold(0.0, |sum, part| sum + part.volume_l);
    let mut totals = vec![format!("In all: liquor {litres:.0} L at 20 °C")];
    let mut rest: Vec<&Addition> = plan.additions.iter().collect();
    while let Some(first) = rest.first().copied() {
        let alike = rest.extract_if(.., |one| (&one.name, one.unit) == (&first.name, first.unit));
        let amount = alike.map(|one| one.amount * one.times as f64).sum();
        totals.push(format!("{} {}", first.name, first.unit.amount(amount)));
    }
    totals.join("; ")
}

/// Acid by which the full kettle may be corrected; none where an addition says it.
pub(super) fn acid_for_kettle(plan: &Plan) -> Option<&str> {
    let is_acid = |key: &str| {
        let mut rows = REAGENTS.iter();
        rows.any(|row| row.key == key && row.kind == ReagentKind::Acid)
    };
    let mut additions = plan.additions.iter();
    let is_given = additions.any(|one| one.vessel == Vessel::Kettle && is_acid(&one.reagent));
    let is_known = plan.kettle.sd.is_some();
    (is_known && !is_given).then_some(&plan.kettle.acid_for_a_tenth_display)
}

/// What changes in the liquor and has no range among the targets.
pub(super) fn untargeted(plan: &Plan) -> impl Iterator<Item = &DissolvedLine> {
    plan.dissolved.iter().filter(|line| line.listed)
}

/// Readings by place and time, in the order of work.
pub(super) fn rounds(plan: &Plan) -> impl Iterator<Item = Round<'_>> {
    let together =
        |one: &Reading, next: &Reading| (one.place, &one.when) == (next.place, &next.when);
    let rounds = plan.readings.chunk_by(together);
    rounds.filter_map(|readings| {
        let first = readings.first()?;
        let place = format!("{}, {}", first.place.label(), first.when);
        Some(Round { place, readings })
    })
}

/// The meters in use.
pub(super) fn meters(plan: &Plan) -> impl Iterator<Item = Meter> {
    let is_read = |meter: &Meter| plan.readings.iter().any(|reading| reading.meter == *meter);
    Meter::ALL.into_iter().filter(is_read)
}

/// How often a reading is taken: once, or once in each brew.
pub(super) fn times_read(plan: &Plan, reading: &Reading) -> usize {
    if reading.place.is_shared() {
        1
    } else {
        plan.brews
    }
}

/// What deviations of the readings mean, each once.
pub(super) fn otherwise(plan: &Plan) -> Vec<&str> {
    words::each_once(plan.readings.iter().filter_map(|one| if_outside(plan, one)))
}

/// What it means if a reading lies outside; nothing where doses by reading say it.
pub(super) fn if_outside<'p>(plan: &Plan, reading: &'p Reading) -> Option<&'p str> {
    let is_first = (reading.place, reading.meter) == (Place::MashFirst, Meter::Ph);
    let is_said = is_first && correction_at(plan, reading.place).is_some();
    (!is_said).then_some(reading.otherwise.as_str())
}

/// The doses that are due by a reading in a place.
pub(super) fn correction_at(plan: &Plan, place: Place) -> Option<&ForeseenCorrection> {
    let correction = plan.mash.correction.as_ref();
    correction.filter(|one| one.place == place && !one.rows.is_empty())
}

/// Additions to one vessel at one time.
pub(super) struct Visit<'a> {
    /// "hot-liquor tank, 15 hL at 78 °C: after filling".
    pub place: String,
    pub additions: &'a [Addition],
}

/// Readings in one place at one time.
pub(super) struct Round<'a> {
    /// "mash, 20 to 60 minutes after mashing in".
    pub place: String,
    pub readings: &'a [Reading],
}

impl Round<'_> {
    /// The readings of one meter.
    pub(super) fn by(&self, meter: Meter) -> impl Iterator<Item = &Reading> {
        self.readings.iter().filter(move |one| one.meter == meter)
    }
}
