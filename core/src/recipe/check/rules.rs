//! What the keys of a brew day must be together: names once, a grist that sets a pH, volumes that
//! hold what is drawn.

use underlet_tables::{ReagentKind, parameters};

use super::problem;
use crate::checker::duplicates;
use crate::error::{ErrorCode, Problem, join};
use crate::liquor::water_density_kg_per_l;
use crate::mash::least_buffering;
use crate::quantity::{self, Substance};
use crate::recipe::{BrewDay, Draw, ShelfReagent};

/// Liquor per grain that a mash can have, L/kg: a slipped decimal point lies outside (common
/// practice, no source).
const THICKNESS_L_PER_KG: [f64; 2] = [1.0, 20.0];
/// What a sight glass cannot tell apart.
const ROUNDING: f64 = 0.001;

/// A rule of the day, and the keys whose values it adds up or compares.
type Rule = (&'static [&'static str], fn(&BrewDay) -> Option<Problem>);

/// A value that makes no sense by itself has its own problem, and would falsify the sums: a rule is
/// checked only where each of its keys is sound.
const RULES: [Rule; 6] = [
    (&["grist"], sets_a_ph),
    (&["grist", "mash"], is_thin_and_thick_enough),
    (&["kettle", "shelf"], has_zinc),
    (
        &["brewhouse", "brews", "hot_liquor_tank", "mash", "sparge"],
        tank_holds_what_is_drawn,
    ),
    (
        &["brews", "sources", "hot_liquor_tank", "mash", "sparge"],
        sources_give_what_is_drawn,
    ),
    (
        &["brewhouse", "grist", "mash", "sparge", "kettle"],
        reaches_and_leaves_the_kettle,
    ),
];

/// Everything that is wrong with the values of a day together. `is_flawed` says of a key of the day
/// that some of it could not be read or makes no sense.
pub(crate) fn together(day: &BrewDay, is_flawed: impl Fn(&str) -> bool) -> Vec<Problem> {
    let sources = day.sources.iter().map(|source| source.name.as_str());
    let shelf = day.shelf.iter().map(|item| item.preparation.reagent.key);
    let twice = [
        (
            "sources",
            duplicates(sources, "Join the two, or rename one."),
        ),
        ("shelf", duplicates(shelf, "Keep one of the two.")),
    ];
    let twice = twice
        .into_iter()
        .flat_map(|(list, problems)| problems.into_iter().map(move |problem| at(list, problem)));
    let broken = RULES
        .iter()
        .filter(|(keys, _)| !keys.iter().any(|key| is_flawed(key)))
        .filter_map(|(_, rule)| rule(day));
    twice.chain(broken).collect()
}

fn at(path: &str, problem: Problem) -> Problem {
    Problem {
        path: join(path, &problem.path),
        ..problem
    }
}

fn grist_kg(day: &BrewDay) -> f64 {
    day.grist.iter().map(|malt| malt.mass_kg).sum()
}

fn sets_a_ph(day: &BrewDay) -> Option<Problem> {
    least_buffering(&day.grist)
        .err()
        .map(|problem| at("grist", problem))
}

fn is_thin_and_thick_enough(day: &BrewDay) -> Option<Problem> {
    let [low, high] = THICKNESS_L_PER_KG;
    let litres = day.mash.volume_l;
    let thickness = litres / grist_kg(day);
    let is_usual = (low..=high).contains(&thickness);
    (!is_usual).then(|| {
        let wrong = problem(
            ErrorCode::OutOfRange,
            format!(
                "{} for this grist, {thickness:.2} L/kg",
                quantity::LIQUOR_VOLUME.write(litres)
            ),
            format!("{low} to {high} L of liquor per kg of grist"),
            "Check the volume, the masses of the malts and their units.",
        );
        at("mash.liquor", wrong)
    })
}

/// A zinc target is met from the shelf.
fn has_zinc(day: &BrewDay) -> Option<Problem> {
    let range = day.kettle.zinc_mol_per_kg?;
    let is_zinc = |one: &ShelfReagent| one.preparation.reagent.kind == ReagentKind::Zinc;
    (!day.shelf.iter().any(is_zinc)).then(|| {
        let wrong = problem(
            ErrorCode::Contradiction,
            quantity::ZINC.write_of(range, &Substance::ZINC),
            "a reagent on the shelf that brings zinc",
            "Add {\"reagent\": \"zinc sulfate heptahydrate\", \"step\": \"0.1 g\"} to the shelf, \
             or leave \"zinc\" out.",
        );
        at("kettle.zinc", wrong)
    })
}

/// Water that mash and sparge draw in all brews, kg.
fn drawn_kg(day: &BrewDay) -> f64 {
    day.brews as f64 * day.brewing_kg()
}

/// The tank holds what all the brews draw, and what no draw reaches besides.
fn tank_holds_what_is_drawn(day: &BrewDay) -> Option<Problem> {
    let tank = day.tank?;
    let filled_kg = tank.water_kg();
    let drawn_kg = drawn_kg(day);
    let density = water_density_kg_per_l(tank.temperature_c);
    let dead_l = day.brewhouse.tank_dead_l;
    if filled_kg >= drawn_kg * (1.0 - ROUNDING) + dead_l * density {
        return None;
    }
    let needed = quantity::LIQUOR_VOLUME.write(drawn_kg / density + dead_l);
    let mut expected = format!("at least {needed} at its temperature, which mash and sparge draw");
    if day.brews > 1 {
        expected = format!("{expected} in {} brews", day.brews);
    }
    if dead_l > 0.0 {
        let dead = quantity::DEAD_VOLUME.write(dead_l);
        expected = format!("{expected}, its dead volume of {dead} included");
    }
    let wrong = problem(
        ErrorCode::Overdraw,
        quantity::LIQUOR_VOLUME.write(tank.volume_l),
        expected,
        "Fill the tank further, or draw less.",
    );
    Some(at("hot_liquor_tank.fill", wrong))
}

/// The sources give what is blended from them.
fn sources_give_what_is_drawn(day: &BrewDay) -> Option<Problem> {
    let cold = water_density_kg_per_l(parameters::SAMPLE_TEMPERATURE.value);
    let needed_kg = day
        .tank
        .as_ref()
        .map_or_else(|| drawn_kg(day), Draw::water_kg);
    let needed_l = needed_kg / cold;
    let available: Option<f64> = day.sources.iter().map(|source| source.max_amount_l).sum();
    let available_l = available.filter(|litres| *litres < needed_l)?;
    let [mut found, mut expected] =
        [available_l, needed_l].map(|litres| quantity::LIQUOR_VOLUME.write(litres));
    if found == expected {
        found = format!("{} L", quantity::tidy(available_l));
        expected = format!("{} L", (needed_l * 100.0).ceil() / 100.0);
    }
    let wrong = problem(
        ErrorCode::Overdraw,
        format!("{found} in all"),
        format!("at least {expected} of cold water"),
        "Raise the \"max_amount\" of a source, leave it out, or add a source.",
    );
    Some(at("sources", wrong))
}

/// Tun and grains cannot keep more than is let in, no more boils off than they let go, and the
/// kettle keeps less than the boil leaves.
fn reaches_and_leaves_the_kettle(day: &BrewDay) -> Option<Problem> {
    const OF_DAY: &str = "Check it against the volumes of this day.";
    let house = &day.brewhouse;
    let full_kg = day.brewing_kg() - day.kept_kg();
    let boiled_off_kg = day.boil(full_kg).boiled_off_kg;
    let dead = |litres| quantity::DEAD_VOLUME.write(litres);
    let (key, found, expected, hint) = if house.tun_dead_l > 0.0 && full_kg <= 0.0 {
        (
            "brewhouse.tun_dead_volume",
            dead(house.tun_dead_l),
            "less than mash and sparge liquor bring beyond what the grains keep",
            OF_DAY,
        )
    } else if full_kg <= 0.0 {
        let take_up = house.grain_absorption_l_per_kg;
        if take_up == parameters::GRAIN_RETENTION.value {
            let litres = day.mash.volume_l;
            // The table's grains keep a kilogram each: less than that is too thick a mash, which
            // has a problem of its own.
            if litres < THICKNESS_L_PER_KG[0] * day.kept_kg() {
                return None;
            }
            (
                "mash.liquor",
                quantity::LIQUOR_VOLUME.write(litres),
                "more than the grains keep",
                OF_DAY,
            )
        } else {
            (
                "brewhouse.grain_absorption",
                quantity::GRAIN_ABSORPTION.write(take_up),
                "grains that retain less than the mash and sparge liquor",
                OF_DAY,
            )
        }
    } else if let Some(boil_off_l) = day.kettle.boil_off_l
        && boiled_off_kg >= full_kg
    {
        (
            "kettle.boil_off",
            quantity::BOIL_OFF.write(boil_off_l),
            "less than mash and sparge liquor bring into the kettle",
            "Write what boils off in all, not what is left.",
        )
    } else if let Some(rate) = house.boil_off_l_per_h
        && boiled_off_kg >= full_kg
    {
        (
            "brewhouse.boil_off",
            quantity::BOIL_OFF_RATE.write(rate),
            "less in the whole boil than mash and sparge liquor bring into the kettle",
            OF_DAY,
        )
    } else if house.kettle_dead_l > 0.0 && day.kettle_dead_kg() >= full_kg - boiled_off_kg {
        (
            "brewhouse.kettle_dead_volume",
            dead(house.kettle_dead_l),
            "less than the boil leaves",
            OF_DAY,
        )
    } else {
        return None;
    };
    Some(at(key, problem(ErrorCode::Overdraw, found, expected, hint)))
}
