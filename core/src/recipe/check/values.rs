//! Each part of a recipe by itself.

use underlet_tables::Reagent;

use super::{fields, problem};
use crate::checker::{self, Checker, Field};
use crate::component::Component;
use crate::error::{ErrorCode, Problem};
use crate::naming::{self, Name};
use crate::quantity;
use crate::recipe::{
    BrewDay, Brewhouse, Draw, Kettle, LimitedQuantity, MOST_BREWS, Meter, ShelfReagent, Source,
    TargetRange, Targets, Vessel, Vessels,
};

/// Checks each value by itself.
pub(super) fn brew_day(of: &mut Checker, day: &BrewDay, has_mash: bool) {
    day.attached.examine(of);
    of.text("name", &day.name);
    of.inside("brewhouse", |of| brewhouse(of, &day.brewhouse));
    of.field(fields::RECIPE_SCALE, day.recipe_scale);
    of.count(fields::BREWS, day.brews);
    of.listed(fields::SOURCES, &day.sources, source);
    if let Some(tank) = &day.tank {
        of.inside("hot_liquor_tank", |of| draw(of, tank, fields::TANK));
    }
    of.listed(fields::GRIST, &day.grist, |of, malt| malt.examine(of));
    if has_mash {
        of.inside("mash", |of| mash(of, day));
    } else {
        of.at::<()>("mash", Err(no_mash()));
    }
    if let Some(sparge) = &day.sparge {
        of.inside("sparge", |of| {
            draw(of, sparge, fields::LIQUOR);
            of.count(fields::PORTIONS, day.sparge_portions);
        });
    }
    of.inside("kettle", |of| kettle(of, &day.kettle));
    of.inside("targets", |of| targets(of, day));
    let vessels = day.vessels();
    of.listed(fields::SHELF, &day.shelf, |of, item| {
        shelved(of, item);
        at(of, item, vessels);
    });
    if let Some(most) = day.max_salts {
        of.count(fields::MAX_SALTS, most);
    }
}

fn targets(of: &mut Checker, day: &BrewDay) {
    let Targets {
        ions,
        sulfate_to_chloride,
        mash_ph,
        sparge_alkalinity,
        sparge_ph,
        limits,
    } = &day.targets;
    let others = [
        (fields::SULFATE_TO_CHLORIDE, sulfate_to_chloride),
        (fields::MASH_PH, mash_ph),
        (fields::SPARGE_ALKALINITY, sparge_alkalinity),
        (fields::SPARGE_PH, sparge_ph),
        (fields::KETTLE_PH, &day.kettle.ph),
    ];
    ranges(of, ions, &others);
    of.inside("limits", |of| for_all_limits(of, limits));
    let confidences = [day.mash_ph_confidence, day.sparge_ph_confidence];
    of.inside("confidence", |of| {
        for (field, confidence) in fields::CONFIDENCES.into_iter().zip(confidences) {
            of.optional_field(field, confidence);
        }
    });
    let has_range = [mash_ph, sparge_ph].map(|range| range.is_some_and(|range| range.is_wide()));
    for problem in unranged_confidences(confidences, has_range) {
        of.at::<()>("confidence", Err(problem));
    }
}

/// A volume at its temperature.
pub(super) fn draw(of: &mut Checker, draw: &Draw, [volume, temperature]: [Field; 2]) {
    of.field(volume, draw.volume_l);
    of.field(temperature, draw.temperature_c);
}

fn mash(of: &mut Checker, day: &BrewDay) {
    draw(of, &day.mash, fields::LIQUOR);
    of.field(fields::REST, day.rest_temperature_c);
}

fn no_mash() -> Problem {
    problem(
        ErrorCode::MissingKey,
        "nothing",
        "an object",
        "Write \"mash\": {\"liquor\": …, \"liquor_temperature\": …, \"rest_temperature\": …}.",
    )
}

fn brewhouse(of: &mut Checker, house: &Brewhouse) {
    of.text("name", &house.name);
    for (field, value) in [
        (fields::GRAIN_ABSORPTION, house.grain_absorption_l_per_kg),
        (fields::TANK_DEAD, house.tank_dead_l),
        (fields::TUN_DEAD, house.tun_dead_l),
        (fields::KETTLE_DEAD, house.kettle_dead_l),
    ] {
        of.field(field, value);
    }
    for (field, capacity) in [
        (fields::TANK_CAPACITY, house.tank_capacity_l),
        (fields::TUN_CAPACITY, house.tun_capacity_l),
        (fields::KETTLE_CAPACITY, house.kettle_capacity_l),
    ] {
        of.optional_field(field, capacity);
    }
    of.optional_field(fields::BOIL_OFF_RATE, house.boil_off_l_per_h);
    of.field(fields::OVERSHOOT_RISK, house.overshoot_risk);
    of.field(fields::SCALE_STEP, house.scale_step_g);
    of.field(fields::MEASURE_STEP, house.measure_step_ml);
    let meters = house.meters.iter().map(|meter| meter.key());
    some_of(of, "meters", meters, &Meter::NAMES);
}

/// A list of names is left out rather than empty, and has each once.
fn some_of<'n>(
    of: &mut Checker,
    key: &str,
    chosen: impl ExactSizeIterator<Item = &'n str>,
    names: &[Name<'_>],
) {
    let expected = naming::some_of(names);
    let advice = || naming::some_of_advice(key, names);
    of.at(
        key,
        checker::list_length(chosen.len(), [1, usize::MAX], expected, advice),
    );
    for problem in checker::duplicates(chosen, checker::ONCE) {
        of.at::<()>(key, Err(problem));
    }
}

/// A water that can be drawn, of a day or a fit.
pub(super) fn source(of: &mut Checker, source: &Source) {
    of.text("name", &source.name);
    let liquor = &source.liquor;
    if let Some(reconciled) = &source.reconciled {
        of.inside("liquor", |of| {
            liquor.examine(of);
            reconciled.covariance.examine(of, "covariance");
        });
    } else {
        for (ion, amount) in liquor.ions.iter() {
            of.field(fields::ion(ion), amount);
        }
        let alkalinity = liquor.alkalinity_eq_per_kg;
        of.quantity("alkalinity", alkalinity, &quantity::ALKALINITY);
        let carbon = liquor.carbon_mol_per_kg * 1e3;
        of.quantity("inorganic_carbon", carbon, &quantity::DISSOLVED_AMOUNT);
        of.quantity("temperature", liquor.temperature_c, &quantity::TEMPERATURE);
    }
    source.chlorine.examine(of);
    of.optional_field(fields::MAX_AMOUNT, source.max_amount_l);
}

fn kettle(of: &mut Checker, kettle: &Kettle) {
    of.optional_field(fields::BOIL, kettle.boil_h);
    of.optional_field(fields::BOIL_OFF, kettle.boil_off_l);
    of.optional_field(fields::ZINC, kettle.zinc_mol_per_kg);
}

/// A target beside the ions.
pub(super) type Other<'w> = (Field, &'w Option<TargetRange>);

/// Targets, each with its weight.
pub(super) fn ranges(of: &mut Checker, ions: &[(Component, TargetRange)], others: &[Other<'_>]) {
    let others = || {
        others
            .iter()
            .filter_map(|(field, range)| Some((*field, (**range)?)))
    };
    of.inside("weights", |of| {
        for (ion, range) in ions {
            of.field(fields::weight(ion.key()), range.weight);
        }
        for (field, range) in others() {
            of.field(fields::weight(field.key), range.weight);
        }
    });
    for (ion, range) in ions {
        of.at(ion.key(), is_stated(*ion));
        of.range(fields::ion(*ion), &range.range());
    }
    each_once(of, ions.iter().map(|(ion, _)| ion.key()));
    for (field, range) in others() {
        of.range(field, &range.range());
    }
}

fn for_all_limits(of: &mut Checker, limits: &[(LimitedQuantity, f64)]) {
    for (limited, most) in limits {
        match *limited {
            LimitedQuantity::Component(ion) => {
                of.field(fields::ion(ion), ion.mol_per_kg(*most));
            }
            LimitedQuantity::DissolvedSolids => of.field(fields::SOLIDS, *most),
        }
    }
    each_once(of, limits.iter().map(|(limited, _)| limited.key()));
}

fn each_once<'n>(of: &mut Checker, keys: impl Iterator<Item = &'n str>) {
    for problem in checker::duplicates(keys, checker::ONCE) {
        of.at::<()>("", Err(problem));
    }
}

/// Targets are set on what a water report states; weak acids come from reagents alone, and can be
/// limited.
fn is_stated(component: Component) -> Result<(), Problem> {
    if !component.is_weak_acid() {
        return Ok(());
    }
    Err(problem(
        ErrorCode::UnknownKey,
        format!("the key \"{}\"", component.key()),
        "an ion of a water report",
        format!(
            "Leave it out: a reagent brings it with its acid. \"limits\" can hold it down: \
             {{\"{}\": \"200 mg/L\"}}.",
            component.key()
        ),
    ))
}

/// A confidence is that of landing in a range, which needs to be one.
pub(crate) fn unranged_confidences(
    confidences: [Option<f64>; 2],
    has_range: [bool; 2],
) -> Vec<Problem> {
    let asked = [
        ("mash_ph", "mash pH", "5.3 to 5.5"),
        ("sparge_ph", "sparge pH", "5.5 to 6"),
    ];
    let unranged = |((key, name, example), (confidence, has_range)): (_, (Option<f64>, bool))| {
        (confidence.is_some() && !has_range).then(|| {
            problem(
                ErrorCode::Contradiction,
                format!("a confidence without a range of {name} to land in"),
                format!("a \"{key}\" with two ends, or one end"),
                format!("Write \"{key}\": \"{example}\", or leave \"confidence\" out."),
            )
        })
    };
    asked
        .into_iter()
        .zip(confidences.into_iter().zip(has_range))
        .filter_map(unranged)
        .collect()
}

/// A reagent as it is bought and weighed, wherever it goes.
pub(super) fn shelved(of: &mut Checker, item: &ShelfReagent) {
    item.preparation.examine(of);
    of.field(fields::STEP, item.step);
    of.field(fields::MIN_DOSE, item.min_dose);
    of.optional_field(fields::STOCK, item.stock);
    of.optional_field(fields::COST, item.cost);
}

/// The vessels that a reagent may go into.
fn at(of: &mut Checker, item: &ShelfReagent, vessels: Vessels) {
    let chosen = item.vessels.iter().map(|vessel| vessel.key());
    some_of(of, "vessels", chosen, &Vessel::NAMES);
    for problem in misplaced(vessels, &item.vessels, Some(item.preparation.reagent)) {
        of.at::<()>("vessels", Err(problem));
    }
}

/// What is wrong with the vessels that a reagent may go into: those that the day does not have,
/// that brews share, or that are no place for it. It is unknown where it could not be read.
pub(crate) fn misplaced(
    vessels: Vessels,
    at: &[Vessel],
    reagent: Option<&Reagent>,
) -> Vec<Problem> {
    let wrong = |vessel: &Vessel, expected: String, hint: String| {
        problem(ErrorCode::Contradiction, vessel.key(), expected, hint)
    };
    let mut problems = Vec::new();
    for vessel in at {
        let (there, key) = match vessel {
            Vessel::HotLiquorTank => (vessels.has_tank, "hot_liquor_tank"),
            Vessel::SpargeLiquor => (vessels.has_sparge, "sparge"),
            Vessel::MashLiquor | Vessel::MashTun => (true, "mash"),
            Vessel::Kettle => (true, "kettle"),
        };
        if !there {
            problems.push(wrong(
                vessel,
                format!("a vessel of this day, which has no \"{key}\""),
                format!(
                    "Give the day a \"{key}\", or leave \"{}\" out.",
                    vessel.key()
                ),
            ));
        }
    }
    if vessels.has_tank
        && (2..=MOST_BREWS).contains(&vessels.brews)
        && at.contains(&Vessel::SpargeLiquor)
    {
        problems.push(wrong(
            &Vessel::SpargeLiquor,
            format!(
                "a vessel whose liquor is for one brew alone: the tank also holds the mash \
                 liquor of the next of {} brews",
                vessels.brews
            ),
            "Leave it out: dose the tank, or the mash tun.".to_owned(),
        ));
    }
    for (vessel, reagent) in at
        .iter()
        .filter_map(|vessel| reagent.map(|of| (vessel, of)))
    {
        if !ShelfReagent::suits(reagent, *vessel) {
            problems.push(wrong(
                vessel,
                format!(
                    "a vessel that {} may go into: the kettle takes salts, acids and zinc, \
                     and zinc goes nowhere else",
                    reagent.key
                ),
                format!("Leave \"{}\" out.", vessel.key()),
            ));
        }
    }
    problems
}
