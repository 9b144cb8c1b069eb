//! Whether a fit of ions makes sense.

use underlet_tables::{Reagent, ReagentKind, parameters};

use super::values::{draw, ranges, shelved, source};
use super::{fields, problem};
use crate::checker::{Checker, ONCE, duplicates};
use crate::error::{ErrorCode, InputError, Problem};
use crate::liquor::{water_density_kg_per_l, water_kg};
use crate::quantity;
use crate::recipe::{Draw, IonFit, Source};

/// Checks each value, and what they say together.
///
/// # Errors
/// Every problem, in the order of the document.
pub(crate) fn ion_fit(fit: &IonFit) -> Result<(), InputError> {
    let mut checker = Checker::new();
    let of = &mut checker;
    fit.attached.examine(of);
    of.inside("source", |of| source(of, &fit.source));
    if let Some(dilution) = &fit.dilution {
        of.inside("dilution", |of| source(of, dilution));
    }
    draw(of, &fit.liquor, fields::FITTED);
    // What has a problem of its own would falsify the sums.
    if of.problems().is_empty() {
        let dilution = fit.dilution.as_ref();
        of.at("volume", is_available(&fit.source, dilution, &fit.liquor));
    }
    of.inside("targets", |of| {
        let targets = &fit.targets;
        let others = [
            (fields::SULFATE_TO_CHLORIDE, &targets.sulfate_to_chloride),
            (fields::ALKALINITY, &targets.alkalinity),
        ];
        ranges(of, &targets.ions, &others);
    });
    of.listed(fields::SHELF, &fit.shelf, |of, item| {
        shelved(of, item);
        of.at("reagent", fits_shelf(item.preparation.reagent));
    });
    if let Some(most) = fit.max_salts {
        of.count(fields::MAX_SALTS, most);
    }
    let reagents = fit.shelf.iter().map(|item| item.preparation.reagent.key);
    for problem in duplicates(reagents, ONCE) {
        of.at::<()>("shelf", Err(problem));
    }
    of.at(
        "shelf",
        can_be_made(fit.shelf.len(), fit.dilution.is_some()),
    );
    checker.into_result()
}

/// A reagent that brings ions; what is there for its acid, or against chlorine, is none.
pub(crate) fn fits_shelf(reagent: &Reagent) -> Result<(), Problem> {
    if matches!(reagent.kind, ReagentKind::Salt | ReagentKind::Base) {
        return Ok(());
    }
    Err(problem(
        ErrorCode::Contradiction,
        reagent.key,
        "a salt or a base: an acid dose depends on the mash",
        "Leave it off this shelf, or plan a brew day.",
    ))
}

/// There is something to change the water with.
pub(crate) fn can_be_made(reagents: usize, has_dilution: bool) -> Result<(), Problem> {
    if reagents > 0 || has_dilution {
        return Ok(());
    }
    Err(problem(
        ErrorCode::EmptyList,
        "no salt, and no water to dilute with",
        "something that the liquor can be made of",
        "Write \"shelf\": [{\"reagent\": \"gypsum\"}], or give a \"dilution\".",
    ))
}

/// The waters give as much as is made of them.
pub(crate) fn is_available(
    source: &Source,
    dilution: Option<&Source>,
    liquor: &Draw,
) -> Result<(), Problem> {
    let cold = water_density_kg_per_l(parameters::SAMPLE_TEMPERATURE.value);
    let needed_l = water_kg(liquor.volume_l, liquor.temperature_c) / cold;
    let mut waters = [source].into_iter().chain(dilution);
    let available: Option<f64> = waters.try_fold(0.0, |sum, water| Some(sum + water.max_amount_l?));
    let Some(available_l) = available.filter(|litres| *litres < needed_l) else {
        return Ok(());
    };
    Err(problem(
        ErrorCode::Overdraw,
        quantity::LIQUOR_VOLUME.write(needed_l) + " of cold water",
        format!(
            "at most {}, which can be drawn",
            quantity::LIQUOR_VOLUME.write(available_l)
        ),
        "Raise the \"max_amount\" of a water, or make less liquor.",
    ))
}
