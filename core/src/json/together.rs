//! What the keys of a brew day must be together: names once, a grist that sets a pH, volumes that hold what is drawn.

use underlet_tables::{ReagentKind, parameters};

use super::ObjectReader;
use crate::error::Code;
use crate::liquor::water_density_kg_per_l;
use crate::mash::Malt;
use crate::quantity::{self, Substance};
use crate::recipe::{BrewDay, Draw, Kettle, Shelved};

/// Liquor per grain that a mash can have, L/kg: a slipped decimal point lies outside (common practice, no source).
const THICKNESS_L_PER_KG: [f64; 2] = [1.0, 20.0];
/// Least buffering of a whole grist: a tenth of malt among sugar has several times as much.
const LEAST_BUFFERING_MEQ_PER_KG_PH: f64 = 1.0;
/// What a sight glass cannot tell apart.
const ROUNDING: f64 = 0.001;

/// Two things of one name are a slip.
pub(super) fn unique<'n>(
    day: &mut ObjectReader<'_>,
    list: &'static str,
    names: impl Iterator<Item = &'n str>,
    hint: &str,
) {
    let mut seen: Vec<&str> = Vec::new();
    for name in names {
        if seen.contains(&name) {
            day.problem(
                list,
                Code::Duplicate,
                format!("\"{name}\" twice"),
                "each name once",
                hint,
            );
        }
        seen.push(name);
    }
}

pub(super) fn check_grist(day: &mut ObjectReader<'_>, grist: &[Malt], mash: Option<&Draw>) {
    // A malt that could not be read has its own problem, and would falsify the sums.
    if grist.is_empty() || grist.len() < day.length("grist") {
        return;
    }
    let mass_kg: f64 = grist.iter().map(|malt| malt.mass_kg).sum();
    let buffering: f64 = grist
        .iter()
        .map(|malt| malt.mass_kg / mass_kg * malt.curve.buffering_eq_per_kg_ph * 1000.0)
        .sum();
    if buffering < LEAST_BUFFERING_MEQ_PER_KG_PH {
        day.problem(
            "grist",
            Code::Contradiction,
            format!("a grist that buffers {buffering:.2} mEq/(kg pH), too little to set a pH"),
            format!("at least {LEAST_BUFFERING_MEQ_PER_KG_PH} mEq/(kg pH): enough malt to set the mash pH"),
            "Add the malt that is mashed, or check the \"buffering\" of a lot.",
        );
    }
    let Some(mash) = mash else { return };
    let [low, high] = THICKNESS_L_PER_KG;
    let thickness = mash.volume_l / mass_kg;
    if !(low..=high).contains(&thickness) {
        day.problem(
            "mash.liquor",
            Code::OutOfRange,
            format!(
                "{} for this grist, {thickness:.2} L/kg",
                quantity::LIQUOR_VOLUME.write(mash.volume_l)
            ),
            format!("{low} to {high} L of liquor per kg of grist"),
            "Check the volume, the masses of the malts and their units.",
        );
    }
}

/// Tank and sources hold what all the brews draw, and the tank what no draw reaches besides.
pub(super) fn check_volumes(day: &mut ObjectReader<'_>, read: &BrewDay) {
    let waters = read.waters();
    let drawn = waters.brews * waters.brewing_kg();
    if let (Some(tank), Some(filled)) = (read.tank, waters.tank_kg) {
        let density = water_density_kg_per_l(tank.temperature_c);
        let dead_l = read.brewhouse.tank_dead_l;
        if filled < drawn * (1.0 - ROUNDING) + dead_l * density {
            let needed = quantity::LIQUOR_VOLUME.write(drawn / density + dead_l);
            let mut expected =
                format!("at least {needed} at its temperature, which mash and sparge draw");
            if read.brews > 1 {
                expected = format!("{expected} in {} brews", read.brews);
            }
            if dead_l > 0.0 {
                let dead = quantity::DEAD_VOLUME.write(dead_l);
                expected = format!("{expected}, its dead volume of {dead} included");
            }
            day.problem(
                "hot_liquor_tank.fill",
                Code::Overdraw,
                quantity::LIQUOR_VOLUME.write(tank.volume_l),
                expected,
                "Fill the tank further, or draw less.",
            );
        }
    }
    let needed = waters.blended_kg() / water_density_kg_per_l(parameters::SAMPLE_TEMPERATURE.value);
    let sources = &read.sources;
    let available: Option<f64> = sources.iter().map(|source| source.max_amount_l).sum();
    let all_read = !sources.is_empty() && sources.len() == day.length("sources");
    if let Some(available) = available.filter(|litres| all_read && *litres < needed) {
        let [mut read, mut wanted] =
            [available, needed].map(|litres| quantity::LIQUOR_VOLUME.write(litres));
        if read == wanted {
            read = format!("{} L", quantity::tidy(available));
            wanted = format!("{} L", (needed * 100.0).ceil() / 100.0);
        }
        day.problem(
            "sources",
            Code::Overdraw,
            format!("{read} in all"),
            format!("at least {wanted} of cold water"),
            "Raise an \"max_amount\", leave it out, or add a source.",
        );
    }
}

/// Zinc that is wanted is weighed from the shelf.
pub(super) fn check_zinc(day: &mut ObjectReader<'_>, kettle: Option<&Kettle>, shelf: &[Shelved]) {
    let wanted = kettle.and_then(|kettle| kettle.zinc_mol_per_kg);
    let is_zinc = |one: &Shelved| one.preparation.reagent.kind == ReagentKind::Zinc;
    // An item that could not be read has its own problem.
    if let Some(wanted) = wanted
        && !shelf.iter().any(is_zinc)
        && shelf.len() == day.length("shelf")
    {
        day.problem(
            "kettle.zinc",
            Code::Contradiction,
            quantity::ZINC.write_of(wanted, &Substance::ZINC),
            "a reagent on the shelf that brings zinc",
            "Add {\"reagent\": \"zinc sulfate heptahydrate\", \"step\": \"0.1 g\"} to the shelf, or leave \"zinc\" out.",
        );
    }
}

/// Tun and grains cannot keep more than is let in, no more boils off than they let go, and the kettle keeps less than the boil leaves.
pub(super) fn check_kettle(day: &mut ObjectReader<'_>, read: &BrewDay) {
    const OF_DAY: &str = "Check it against the volumes of this day.";
    let house = &read.brewhouse;
    let full_kg = read.waters().brewing_kg() - read.kept_kg();
    let boiled_off_kg = read.boil(full_kg).boiled_off_kg;
    let dead = |litres| quantity::DEAD_VOLUME.write(litres);
    let (key, told, expected, hint) = if house.tun_dead_l > 0.0 && full_kg <= 0.0 {
        (
            "brewhouse.tun_dead_volume",
            dead(house.tun_dead_l),
            "less than mash and sparge liquor bring beyond what the grains keep",
            OF_DAY,
        )
    } else if full_kg <= 0.0 {
        let take_up = house.grain_take_up_l_per_kg;
        if take_up == parameters::GRAIN_RETENTION.value {
            let litres = read.mash.volume_l;
            // The table's grains keep a kilogram each: less than that is too thick a mash, which has been told.
            if litres < THICKNESS_L_PER_KG[0] * read.kept_kg() {
                return;
            }
            (
                "mash.liquor",
                quantity::LIQUOR_VOLUME.write(litres),
                "more than the grains keep",
                OF_DAY,
            )
        } else {
            (
                "brewhouse.grain_take_up",
                quantity::GRAIN_TAKE_UP.write(take_up),
                "less than is let in",
                OF_DAY,
            )
        }
    } else if let Some(boil_off_l) = read.kettle.boil_off_l
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
    } else if house.kettle_dead_l > 0.0 && read.kettle_dead_kg() >= full_kg - boiled_off_kg {
        (
            "brewhouse.kettle_dead_volume",
            dead(house.kettle_dead_l),
            "less than the boil leaves",
            OF_DAY,
        )
    } else {
        return;
    };
    day.problem(key, Code::Overdraw, told, expected, hint);
}
