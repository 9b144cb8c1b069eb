//! An `ion-fit` document, with the readers and writers of a brew day.

use underlet_tables::parameters;

use super::ObjectReader;
use super::shelf::{measured, write_measured};
use super::source::{source, write_source};
use super::targets::{Other, RATIO, ranges, write_ranges};
use super::writer::ObjectWriter;
use crate::checker::{ONCE, duplicates};
use crate::document::DocumentKind;
use crate::error::Problem;
use crate::recipe::check::{can_be_made, fields, fits_shelf, is_available};
use crate::recipe::{Brewhouse, Draw, IonFit, IonTargets, ShelfReagent};

/// Targets beside the ions.
const OF_LIQUOR: [Other; 2] = [RATIO, (fields::ALKALINITY, "Alkalinity of the liquor.")];

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
    let mut range = [None; 2];
    let ions = ranges(of, &OF_LIQUOR, &mut range);
    let [sulfate_to_chloride, alkalinity] = range;
    IonTargets {
        ions,
        sulfate_to_chloride,
        alkalinity,
    }
}

fn salt(item: &mut ObjectReader<'_>) -> Option<ShelfReagent> {
    let salt = measured(item, &Brewhouse::default())?;
    item.checked("reagent", fits_shelf(salt.preparation.reagent))?;
    Some(salt)
}

/// The document of a fit.
///
/// # Errors
/// A [`Problem`] where a water has no equilibrium.
pub(super) fn write_ion_fit(fit: &IonFit) -> Result<ObjectWriter, Problem> {
    let mut of = ObjectWriter::document(DocumentKind::IonFit, &fit.attached);
    of.object("source", write_source(&fit.source, "source")?);
    if let Some(dilution) = &fit.dilution {
        of.object("dilution", write_source(dilution, "dilution")?);
    }
    let [volume, temperature] = fields::FITTED;
    of.field(volume, fit.liquor.volume_l);
    of.field(temperature, fit.liquor.temperature_c);
    let mut targets = ObjectWriter::default();
    let others = [&fit.targets.sulfate_to_chloride, &fit.targets.alkalinity];
    write_ranges(
        &mut targets,
        &fit.targets.ions,
        OF_LIQUOR.iter().zip(others),
    );
    of.object("targets", targets);
    of.list("shelf", fit.shelf.iter().map(write_measured));
    of.optional("max_salts", fit.max_salts);
    Ok(of)
}
