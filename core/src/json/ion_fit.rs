//! Reads an `ion-fit` document, with the readers of a brew day.

use underlet_tables::parameters;

use super::ObjectReader;
use super::shelf::measured;
use super::source::source;
use super::targets::{RATIO, ranges};
use crate::checker::{ONCE, duplicates};
use crate::document::DocumentKind;
use crate::recipe::check::{can_be_made, fields, fits_shelf, is_available};
use crate::recipe::{Brewhouse, Draw, IonFit, IonTargets, Shelved};

/// Reads the whole document; what it returns is a fit only if no problem was met.
pub(super) fn ion_fit(fit: &mut ObjectReader<'_>) -> Option<IonFit> {
    let attached = fit.head(DocumentKind::IonFit);
    fit.describe("source", "The water at hand.");
    let water = fit.object("source", source);
    fit.describe("dilution", "Water that it may be diluted with.");
    let dilution = fit.optional_object("dilution", source);
    let [volume, temperature] = fields::FITTED;
    fit.describe(
        volume.key,
        "Volume of the liquor as read at its temperature.",
    );
    let volume_l = fit.field(volume);
    fit.describe(
        temperature.key,
        "Temperature of the liquor when it is dosed; 20 °C where it is left out.",
    );
    let temperature_c = fit.optional_field(temperature);
    fit.describe("targets", "Targets of the liquor.");
    let targets = fit.object("targets", |of| Some(targets(of)));
    fit.describe("shelf", "Salts and bases at hand.");
    let shelf = fit.listed(fields::SHELF, salt);
    fit.describe(
        "max_salts",
        "Most different salts to weigh; as many as help where it is left out.",
    );
    let max_salts = fit.count(fields::MAX_SALTS);
    let reagents = shelf.iter().map(|item| item.preparation.reagent.key);
    for problem in duplicates(reagents, ONCE) {
        fit.checked::<()>("shelf", Err(problem));
    }
    let made = can_be_made(fit.length("shelf"), fit.has("dilution"));
    fit.checked("shelf", made);
    let liquor = Draw {
        volume_l: volume_l?,
        temperature_c: temperature_c.unwrap_or(parameters::SAMPLE_TEMPERATURE.value),
    };
    let source = water?;
    // A diluting water that could not be read has its own problem.
    if dilution.is_some() == fit.has("dilution") {
        fit.checked("volume", is_available(&source, dilution.as_ref(), &liquor));
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
    let others = [RATIO, (fields::ALKALINITY, "Alkalinity of the liquor.")];
    let mut range = [None; 2];
    let ions = ranges(of, &others, &mut range);
    let [sulfate_to_chloride, alkalinity] = range;
    IonTargets {
        ions,
        sulfate_to_chloride,
        alkalinity,
    }
}

fn salt(item: &mut ObjectReader<'_>) -> Option<Shelved> {
    let salt = measured(item, &Brewhouse::default())?;
    item.checked("reagent", fits_shelf(salt.preparation.reagent))?;
    Some(salt)
}
