//! A `brew-day` document.

use super::ObjectReader;
use super::brewhouse::{brewhouse, write_brewhouse};
use super::malt::{malt, write_malt};
use super::shelf::{shelved, write_shelved};
use super::source::{source, write_source};
use super::targets::{targets, write_targets};
use super::writer::ObjectWriter;
use crate::checker::Field;
use crate::document::DocumentKind;
use crate::error::Problem;
use crate::recipe::check::{fields, together};
use crate::recipe::{BrewDay, Draw, Kettle, Vessels};

/// In place of liquor that could not be read; no rule looks at it.
const UNREAD: Draw = Draw {
    volume_l: 0.0,
    temperature_c: 0.0,
};

/// Reads the whole document; what it returns is a day only if no problem was met.
pub(super) fn brew_day(day: &mut ObjectReader<'_>) -> Option<BrewDay> {
    let attached = day.head(DocumentKind::BrewDay);
    day.describe("name", "Name of the brew.");
    let name = day.text("name");
    let brewhouse = brewhouse(day);
    let (recipe_scale, brews) = times(day);
    day.describe("sources", "Waters to draw from; the first is preferred.");
    let sources = day.listed(fields::SOURCES, source);
    let tank = tank(day, recipe_scale);
    day.describe("grist", "Malts and adjuncts.");
    let grist = day.listed(fields::GRIST, |item| malt(item, recipe_scale));
    let mash = mash(day, recipe_scale);
    let (sparge, sparge_portions) = sparge(day, recipe_scale).unzip();
    let kettle = kettle(day, recipe_scale);
    day.describe(
        "targets",
        "Targets. Ions count over all the brewing liquor, and what goes into the kettle over its \
         water.",
    );
    let targets = day.optional_object("targets", |of| Some(targets(of)));
    let (targets, [mash_ph_confidence, sparge_ph_confidence], kettle_ph) =
        targets.unwrap_or_default();
    day.describe("shelf", "Reagents at hand.");
    let vessels = Vessels {
        has_tank: day.has("hot_liquor_tank"),
        has_sparge: day.has("sparge"),
        brews,
    };
    let shelf = day.listed(fields::SHELF, |item| shelved(item, &brewhouse, vessels));
    day.describe(
        "max_salts",
        "Most different salts and bases to weigh, wherever they go; acids are not counted. As \
         many as help where it is left out.",
    );
    let max_salts = day.count(fields::MAX_SALTS);
    day.describe(
        "alternatives",
        "Whether to propose alternatives: a salt fewer, another acid, dilution, lime or boiling, \
         one reagent more.",
    );
    let alternatives = day.optional_flag("alternatives");

    let unread = [
        (
            "sources",
            sources.is_empty() || sources.len() < day.length("sources"),
        ),
        (
            "grist",
            grist.is_empty() || grist.len() < day.length("grist"),
        ),
        ("mash", mash.is_none()),
        ("sparge", vessels.has_sparge != sparge.is_some()),
        ("shelf", shelf.len() < day.length("shelf")),
    ];
    let has_mash = mash.is_some();
    let (mash, rest_temperature_c) = mash.unwrap_or((UNREAD, 0.0));
    let read = BrewDay {
        attached,
        name: name.unwrap_or_default(),
        brewhouse,
        recipe_scale,
        brews,
        sources,
        tank,
        grist,
        mash,
        rest_temperature_c,
        sparge,
        sparge_portions: sparge_portions.unwrap_or(1),
        kettle: Kettle {
            ph: kettle_ph,
            ..kettle
        },
        targets,
        mash_ph_confidence,
        sparge_ph_confidence,
        shelf,
        max_salts,
        alternatives: alternatives.unwrap_or(false),
    };
    // What could not be read has its own problem, and would falsify the sums.
    for problem in together(&read, |key| unread.contains(&(key, true))) {
        day.checked::<()>("", Err(problem));
    }
    has_mash.then_some(read)
}

/// How much of the recipe is brewed, and how often.
fn times(day: &mut ObjectReader<'_>) -> (f64, usize) {
    day.describe(
        "recipe_scale",
        "Factor on every amount of the recipe: masses of malts, liquor, the tank's fill and what \
         boils off; steps, stocks and the brewhouse stay. 1 where it is left out.",
    );
    let recipe_scale = day.optional_field(fields::RECIPE_SCALE);
    day.describe(
        "brews",
        "Brews from this liquor, one like the other: grist, mash, sparge and kettle are those of \
         each, the tank's fill and the sources are for all of them. One where it is left out.",
    );
    let brews = day.count(fields::BREWS);
    (recipe_scale.unwrap_or(1.0), brews.unwrap_or(1))
}

fn tank(day: &mut ObjectReader<'_>, recipe_scale: f64) -> Option<Draw> {
    day.describe(
        "hot_liquor_tank",
        "The tank that mash and sparge liquor are drawn from; leave it out where liquor comes \
         ready and only the tun can be dosed.",
    );
    day.optional_object("hot_liquor_tank", |tank| {
        draw(tank, fields::TANK, recipe_scale)
    })
}

/// Mash liquor, and the temperature of the rest.
fn mash(day: &mut ObjectReader<'_>, recipe_scale: f64) -> Option<(Draw, f64)> {
    day.describe("mash", "Liquor let into the grist.");
    day.object("mash", |mash| {
        let liquor = draw(mash, fields::LIQUOR, recipe_scale);
        mash.describe(fields::REST.key, "Temperature at which the mash rests.");
        let rest = mash.field(fields::REST);
        Some((liquor?, rest?))
    })
}

/// Sparge liquor, and its portions.
fn sparge(day: &mut ObjectReader<'_>, recipe_scale: f64) -> Option<(Draw, usize)> {
    day.describe(
        "sparge",
        "Liquor for sparging; leave it out without a sparge.",
    );
    day.optional_object("sparge", |sparge| {
        let liquor = draw(sparge, fields::LIQUOR, recipe_scale);
        sparge.describe(
            "portions",
            "Equal portions in which the sparge liquor is run on; one where it is left out.",
        );
        let portions = sparge.count(fields::PORTIONS).unwrap_or(1);
        Some((liquor?, portions))
    })
}

fn kettle(day: &mut ObjectReader<'_>, recipe_scale: f64) -> Kettle {
    day.describe(
        "kettle",
        "The boil, and zinc for the yeast; an hour at the rate of the brewhouse, or the usual \
         one, where it is left out.",
    );
    let kettle = day.optional_object("kettle", |kettle| Some(boil(kettle, recipe_scale)));
    kettle.unwrap_or_default()
}

fn boil(kettle: &mut ObjectReader<'_>, recipe_scale: f64) -> Kettle {
    kettle.describe("boil", "How long it boils.");
    let boil_h = kettle.optional_field(fields::BOIL);
    kettle.describe("boil_off", "What boils off in all, as read boiling hot.");
    let boil_off_l = kettle.optional_field(fields::BOIL_OFF);
    kettle.describe(
        "zinc",
        "Zinc for the yeast, in the water after the boil; none where it is left out.",
    );
    Kettle {
        boil_h,
        boil_off_l: kettle.times(fields::BOIL_OFF, boil_off_l, recipe_scale),
        ph: None,
        zinc_mol_per_kg: kettle.optional_field(fields::ZINC),
    }
}

fn draw(
    of: &mut ObjectReader<'_>,
    [volume, temperature]: [Field; 2],
    recipe_scale: f64,
) -> Option<Draw> {
    of.describe(volume.key, "Volume as read at its temperature.");
    let volume_l = of.field(volume);
    let volume_l = of.times(volume, volume_l, recipe_scale);
    of.describe(temperature.key, "Temperature of that liquor.");
    let temperature_c = of.field(temperature);
    Some(Draw {
        volume_l: volume_l?,
        temperature_c: temperature_c?,
    })
}

/// The document of a day.
///
/// # Errors
/// A [`Problem`] where a source has no equilibrium.
pub(super) fn write_brew_day(day: &BrewDay) -> Result<ObjectWriter, Problem> {
    let draw = |draw: &Draw, [volume, temperature]: [Field; 2]| {
        let mut of = ObjectWriter::default();
        of.field(volume, draw.volume_l / day.recipe_scale);
        of.field(temperature, draw.temperature_c);
        of
    };
    let mut of = ObjectWriter::document(DocumentKind::BrewDay, &day.attached);
    of.put("name", day.name.as_str());
    of.object("brewhouse", write_brewhouse(&day.brewhouse));
    of.field(fields::RECIPE_SCALE, day.recipe_scale);
    of.put("brews", day.brews);
    let mut sources = Vec::new();
    for (place, source) in day.sources.iter().enumerate() {
        sources.push(write_source(source, &format!("sources[{place}]"))?);
    }
    of.list("sources", sources.into_iter());
    if let Some(tank) = &day.tank {
        of.object("hot_liquor_tank", draw(tank, fields::TANK));
    }
    of.list(
        "grist",
        day.grist
            .iter()
            .map(|malt| write_malt(malt, day.recipe_scale)),
    );
    let mut mash = draw(&day.mash, fields::LIQUOR);
    mash.field(fields::REST, day.rest_temperature_c);
    of.object("mash", mash);
    if let Some(sparge) = &day.sparge {
        let mut sparge = draw(sparge, fields::LIQUOR);
        sparge.put("portions", day.sparge_portions);
        of.object("sparge", sparge);
    }
    of.object_if_any("kettle", write_boil(&day.kettle, day.recipe_scale));
    of.object_if_any("targets", write_targets(day));
    of.list("shelf", day.shelf.iter().map(write_shelved));
    of.optional("max_salts", day.max_salts);
    of.put("alternatives", day.alternatives);
    Ok(of)
}

fn write_boil(kettle: &Kettle, recipe_scale: f64) -> ObjectWriter {
    let mut of = ObjectWriter::default();
    of.optional_field(fields::BOIL, kettle.boil_h);
    let boil_off_l = kettle.boil_off_l.map(|litres| litres / recipe_scale);
    of.optional_field(fields::BOIL_OFF, boil_off_l);
    of.optional_field(fields::ZINC, kettle.zinc_mol_per_kg);
    of
}
