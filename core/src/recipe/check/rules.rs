//! What the keys of a brew day must be together: names once, a grist that sets a pH, volumes that
//! hold what is drawn.

use underlet_tables::{ReagentKind, parameters};

use super::{capacity, problem};
use crate::checker::duplicates;
use crate::error::{ErrorCode, Problem, join};
use crate::liquor::water_density_kg_per_l;
use crate::mash::{Malt, least_buffering, strike_temperature_c, temperature_mashed_in_c};
use crate::quantity::{self, Substance};
use crate::recipe::{BrewDay, Draw, ShelfReagent, TargetRange};
use crate::words;

/// Liquor per grain that a mash can have, L/kg: a slipped decimal point lies outside (common
/// practice, no source).
const THICKNESS_L_PER_KG: [f64; 2] = [1.0, 20.0];
/// What a sight glass cannot tell apart.
const ROUNDING: f64 = 0.001;

/// A rule of the day, and the keys whose values it adds up or compares.
type Rule = (&'static [&'static str], fn(&BrewDay) -> Option<Problem>);

/// A value that makes no sense by itself has its own problem, and would falsify the sums: a rule is
/// checked only where each of its keys is sound.
const RULES: [Rule; 15] = [
    (&["sources"], is_no_brine),
    (&["grist"], sets_a_ph),
    (&["grist"], is_no_souring_agent),
    (&["mash"], rests_where_malt_works),
    (&["grist", "mash"], is_not_scalded),
    (&["targets"], mash_ph_is_a_mash),
    (&["targets"], sparge_ph_is_a_liquor),
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
    (
        &["brewhouse", "hot_liquor_tank", "mash", "sparge"],
        capacity::fits_tank,
    ),
    (&["brewhouse", "grist", "mash"], capacity::fits_tun),
    (
        &["brewhouse", "grist", "mash", "sparge"],
        capacity::fits_kettle,
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

pub(super) fn at(path: &str, problem: Problem) -> Problem {
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

/// Some water can be drawn for which pH and solubility can be computed.
fn is_no_brine(day: &BrewDay) -> Option<Problem> {
    let strengths = day.sources.iter().map(|source| {
        let liquor = &source.liquor;
        liquor.ionic_strength_mol_per_kg()
    });
    let most = parameters::CHECKED_IONIC_STRENGTH.value;
    let least = strengths.reduce(f64::min)?;
    (least > most).then(|| {
        let wrong = problem(
            ErrorCode::OutOfRange,
            format!("a brine: ionic strength {}", words::ionic_strength(least)),
            format!(
                "a water of at most {}, up to which pH and solubility were checked",
                words::ionic_strength(most)
            ),
            "Check the units of the report (µg/L, mg/L, mmol/L), or add a purer water to blend \
             with.",
        );
        at("sources", wrong)
    })
}

/// Acidulated malt is given beside malt, and is no grist by itself.
fn is_no_souring_agent(day: &BrewDay) -> Option<Problem> {
    let share = Malt::acidulated_share(&day.grist);
    let most = parameters::ACIDULATED_MALT_MOST.value;
    (share > most).then(|| {
        let wrong = problem(
            ErrorCode::Contradiction,
            format!("{:.0} % of acidulated malt", share * 100.0),
            format!(
                "at most {:.0} %, and {:.0} % in a usual grist",
                most * 100.0,
                parameters::ACIDULATED_MALT_HIGH.value * 100.0
            ),
            "Check the masses of the malts and their units, or the \"ph_in_distilled_water\" of \
             a lot.",
        );
        at("grist", wrong)
    })
}

fn rests_where_malt_works(day: &BrewDay) -> Option<Problem> {
    let [low, high] = [
        parameters::COLDEST_REST.value,
        parameters::HOTTEST_REST.value,
    ];
    let rests = (low..=high).contains(&day.rest_temperature_c);
    (!rests).then(|| {
        let wrong = problem(
            ErrorCode::OutOfRange,
            quantity::TEMPERATURE.write(day.rest_temperature_c),
            format!("{low} to {high} °C, at which the enzymes of malt work"),
            "State the main rest, usually 60 to 72 °C, with its unit: 152 °F is 66.7 °C.",
        );
        at("mash.rest_temperature", wrong)
    })
}

/// Liquor is not so hot that the enzymes are lost when the grist comes to it.
fn is_not_scalded(day: &BrewDay) -> Option<Problem> {
    let grist_c = parameters::GRIST_TEMPERATURE.value;
    let ratio = day.mash.water_kg() / grist_kg(day);
    let reached_c = temperature_mashed_in_c(day.mash.temperature_c, grist_c, ratio);
    let most_c = parameters::HOTTEST_REST.value + parameters::STRIKE_TOLERANCE.value;
    // A rest too hot has its own problem, and no strike to aim at.
    let can_rest = day.rest_temperature_c <= parameters::HOTTEST_REST.value;
    (can_rest && reached_c > most_c).then(|| {
        let strike_c = strike_temperature_c(day.rest_temperature_c, grist_c, ratio);
        let wrong = problem(
            ErrorCode::Contradiction,
            format!(
                "{}, which makes a mash of {reached_c:.1} °C with this grist",
                quantity::TEMPERATURE.write(day.mash.temperature_c)
            ),
            format!(
                "a mash of no more than {} °C, above which the enzymes of malt are lost",
                parameters::HOTTEST_REST.value
            ),
            format!("For this rest strike at {strike_c:.1} °C."),
        );
        at("mash.liquor_temperature", wrong)
    })
}

/// A mash pH is asked for at which beer is mashed.
fn mash_ph_is_a_mash(day: &BrewDay) -> Option<Problem> {
    let ends = [
        parameters::MASH_PH_TARGET_LOW.value,
        parameters::MASH_PH_TARGET_HIGH.value,
    ];
    lies_outside(day.targets.mash_ph.as_ref()?, ends, "mash_ph", "5.3-5.5")
}

/// A sparge pH is asked for that is not overdosed with acid.
fn sparge_ph_is_a_liquor(day: &BrewDay) -> Option<Problem> {
    let ends = [
        parameters::SPARGE_PH_FLOOR.value,
        parameters::SPARGE_PH_TARGET_HIGH.value,
    ];
    lies_outside(day.targets.sparge_ph.as_ref()?, ends, "sparge_ph", "5.5-6")
}

/// A problem where no value of a range lies between two ends.
fn lies_outside(
    range: &TargetRange,
    [low, high]: [f64; 2],
    key: &str,
    example: &str,
) -> Option<Problem> {
    let is_below = range.high.is_some_and(|most| most < low);
    let is_above = range.low.is_some_and(|least| least > high);
    (is_below || is_above).then(|| {
        let found = words::wanted(range.low, range.high, words::number);
        let wrong = problem(
            ErrorCode::OutOfRange,
            found.trim_start_matches(", wanted "),
            format!("a range that reaches into pH {low} to {high}"),
            format!("Write \"{key}\": \"{example}\"."),
        );
        at(&join("targets", key), wrong)
    })
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
