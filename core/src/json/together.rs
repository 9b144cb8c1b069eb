//! What the keys of a brew day must be together: names once, a grist that sets a pH, volumes that hold what is drawn.

use underlet_tables::{ReagentKind, parameters};

use super::ObjectReader;
use crate::brewday::{BOILING_C, Draw, Kettle, Shelved, Source};
use crate::error::Code;
use crate::liquor::{water_density_kg_per_l, water_kg};
use crate::mash::Malt;
use crate::quantity::{self, Substance};

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
    mend: &str,
) {
    let mut seen: Vec<&str> = Vec::new();
    for name in names {
        if seen.contains(&name) {
            day.problem(
                list,
                Code::Duplicate,
                format!("\"{name}\" twice"),
                "each name once",
                mend,
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

pub(super) fn check_volumes(
    day: &mut ObjectReader<'_>,
    sources: &[Source],
    tank: Option<&Draw>,
    mash: Option<&Draw>,
    (has_sparge, sparge): (bool, Option<&Draw>),
) {
    let mass = |draw: &Draw| water_kg(draw.volume_l, draw.temperature_c);
    let Some(mash) = mash else { return };
    if has_sparge && sparge.is_none() {
        return;
    }
    let drawn = mass(mash) + sparge.map_or(0.0, mass);
    if let Some(tank) = tank
        && mass(tank) < drawn * (1.0 - ROUNDING)
    {
        let litres = drawn / water_density_kg_per_l(tank.temperature_c);
        day.problem(
            "hot_liquor_tank.fill",
            Code::Overdraw,
            quantity::LIQUOR_VOLUME.write(tank.volume_l),
            format!(
                "at least {} at its temperature, which mash and sparge draw",
                quantity::LIQUOR_VOLUME.write(litres)
            ),
            "Fill the tank further, or draw less.",
        );
    }
    let needed =
        tank.map_or(drawn, mass) / water_density_kg_per_l(parameters::SAMPLE_TEMPERATURE.value);
    let available: Option<f64> = sources.iter().map(|source| source.at_most_l).sum();
    let all_read = !sources.is_empty() && sources.len() == day.length("sources");
    if let Some(available) = available.filter(|litres| all_read && *litres < needed) {
        day.problem(
            "sources",
            Code::Overdraw,
            format!("{} in all", quantity::LIQUOR_VOLUME.write(available)),
            format!(
                "at least {} of cold water",
                quantity::LIQUOR_VOLUME.write(needed)
            ),
            "Raise an \"at_most\", leave it out, or add a source.",
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

/// More cannot boil off than the grains let into the kettle.
pub(super) fn check_boil(
    day: &mut ObjectReader<'_>,
    kettle: Option<&Kettle>,
    grist: &[Malt],
    mash: Option<&Draw>,
    sparge: Option<&Draw>,
) {
    let stated = kettle.and_then(|kettle| kettle.boil_off_l);
    let (Some(boil_off_l), Some(mash)) = (stated, mash) else {
        return;
    };
    let mass = |draw: &Draw| water_kg(draw.volume_l, draw.temperature_c);
    let grist_kg: f64 = grist.iter().map(|malt| malt.mass_kg).sum();
    let kept = parameters::GRAIN_RETENTION.value * grist_kg;
    let full_kg = mass(mash) + sparge.map_or(0.0, mass) - kept;
    if water_kg(boil_off_l, BOILING_C) >= full_kg {
        day.problem(
            "kettle.boil_off",
            Code::Overdraw,
            quantity::BOIL_OFF.write(boil_off_l),
            "less than mash and sparge liquor bring into the kettle",
            "Write what boils off in all, not what is left.",
        );
    }
}
