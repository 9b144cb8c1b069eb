//! Reads an `ion-fit` document, with the readers of a brew day.

use underlet_tables::{ReagentKind, parameters};

use super::ObjectReader;
use super::shelf::{MOST_REAGENTS, count, measured};
use super::source::source;
use super::targets::{SULFATE_TO_CHLORIDE, ranges};
use super::together::unique;
use crate::document::DocumentKind;
use crate::error::Code;
use crate::liquor::{water_density_kg_per_l, water_kg};
use crate::quantity;
use crate::recipe::{Brewhouse, Draw, IonFit, IonTargets, Shelved, Source};

/// Reads the whole document; what it returns is a fit only if no problem was met.
pub(super) fn ion_fit(fit: &mut ObjectReader<'_>) -> Option<IonFit> {
    let attached = fit.head(DocumentKind::IonFit);
    fit.describe("source", "The water at hand.");
    let water = fit.object("source", source);
    fit.describe("dilution", "Water that it may be diluted with.");
    let dilution = fit.optional_object("dilution", source);
    fit.describe("volume", "Volume of the liquor as read at its temperature.");
    let volume_l = fit.quantity("volume", &quantity::LIQUOR_VOLUME);
    fit.describe(
        "temperature",
        "Temperature of the liquor when it is dosed; 20 °C where it is left out.",
    );
    let temperature_c = fit.optional_quantity("temperature", &quantity::TEMPERATURE);
    fit.describe("targets", "What is wanted of the liquor.");
    let targets = fit.object("targets", |of| Some(targets(of)));
    fit.describe("shelf", "Salts and bases at hand.");
    let shelf = fit.list("shelf", 0, MOST_REAGENTS, salt);
    fit.describe(
        "max_salts",
        "Most different salts to weigh; as many as help where it is left out.",
    );
    let max_salts = count(fit, "max_salts", [0, MOST_REAGENTS]);
    unique(
        fit,
        "shelf",
        shelf.iter().map(|item| item.preparation.reagent.key),
        "Keep one of the two.",
    );
    if fit.length("shelf") == 0 && !fit.has("dilution") {
        fit.problem(
            "shelf",
            Code::EmptyList,
            "no salt, and no water to dilute with",
            "something that the liquor can be made of",
            "Write \"shelf\": [{\"reagent\": \"gypsum\"}], or give a \"dilution\".",
        );
    }
    let liquor = Draw {
        volume_l: volume_l?,
        temperature_c: temperature_c.unwrap_or(parameters::SAMPLE_TEMPERATURE.value),
    };
    let source = water?;
    // A diluting water that could not be read has its own problem.
    if dilution.is_some() == fit.has("dilution") {
        check_volume(fit, &source, dilution.as_ref(), &liquor);
    }
    Some(IonFit {
        attached,
        source,
        dilution,
        liquor,
        targets: targets?,
        shelf,
        max_salts,
    })
}

fn targets(of: &mut ObjectReader<'_>) -> IonTargets {
    let others = [
        SULFATE_TO_CHLORIDE,
        (
            "alkalinity",
            &quantity::ALKALINITY,
            "Alkalinity of the liquor.",
        ),
    ];
    let mut wanted = [None; 2];
    let ions = ranges(of, &others, &mut wanted);
    let [sulfate_to_chloride, alkalinity] = wanted;
    IonTargets {
        ions,
        sulfate_to_chloride,
        alkalinity,
    }
}

/// A reagent that brings ions; what is there for its acid, or against chlorine, is none.
fn salt(item: &mut ObjectReader<'_>) -> Option<Shelved> {
    let salt = measured(item, &Brewhouse::default())?;
    let reagent = salt.preparation.reagent;
    if matches!(reagent.kind, ReagentKind::Salt | ReagentKind::Base) {
        return Some(salt);
    }
    item.problem(
        "reagent",
        Code::Contradiction,
        reagent.key,
        "a salt or a base: how much acid is right shows in a mash alone",
        "Leave it off this shelf, or plan a brew day.",
    );
    None
}

fn check_volume(
    fit: &mut ObjectReader<'_>,
    source: &Source,
    dilution: Option<&Source>,
    liquor: &Draw,
) {
    let cold = water_density_kg_per_l(parameters::SAMPLE_TEMPERATURE.value);
    let needed_l = water_kg(liquor.volume_l, liquor.temperature_c) / cold;
    let mut waters = [source].into_iter().chain(dilution);
    let available: Option<f64> = waters.try_fold(0.0, |sum, water| Some(sum + water.max_amount_l?));
    if let Some(available_l) = available.filter(|litres| *litres < needed_l) {
        fit.problem(
            "volume",
            Code::Overdraw,
            quantity::LIQUOR_VOLUME.write(needed_l) + " of cold water",
            format!(
                "at most {}, which can be drawn",
                quantity::LIQUOR_VOLUME.write(available_l)
            ),
            "Raise an \"max_amount\", or make less liquor.",
        );
    }
}
