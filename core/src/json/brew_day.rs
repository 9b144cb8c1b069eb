//! Reads a `brew-day` document.

use super::ObjectReader;
use super::malt::malt;
use super::shelf::{MOST_REAGENTS, count, shelved};
use super::source::source;
use super::targets::targets;
use super::together::{check_boil, check_grist, check_volumes, check_zinc, unique};
use crate::brewday::{BrewDay, Draw, Kettle};
use crate::quantity::{self, Substance};

/// Longest lists a brew day can have.
const MOST_SOURCES: usize = 6;
const MOST_MALTS: usize = 30;

/// Reads the whole document; what it returns is a day only if no problem was met.
pub(super) fn brew_day(day: &mut ObjectReader<'_>) -> Option<BrewDay> {
    day.describe("underlet", "Format version of the document.");
    day.version("underlet", u64::from(crate::FORMAT_VERSION));
    day.describe("name", "Name of the brew.");
    let name = day.text("name");
    day.describe("brewhouse", "Name of the brewhouse.");
    let brewhouse = day.optional_text("brewhouse");
    day.describe(
        "sources",
        "Waters to draw from; the first is drawn where nothing speaks against it.",
    );
    let sources = day.list("sources", 1, MOST_SOURCES, source);
    day.describe("hot_liquor_tank", "The tank that mash and sparge liquor are drawn from; leave it out where liquor comes ready and only the tun can be dosed.");
    let has_tank = day.has("hot_liquor_tank");
    let tank = day.optional_object("hot_liquor_tank", |tank| draw(tank, "fill", "temperature"));
    day.describe("grist", "Malts and adjuncts.");
    let grist = day.list("grist", 1, MOST_MALTS, malt);
    day.describe("mash", "Liquor let into the grist.");
    let mash = day.object("mash", |mash| {
        let liquor = draw(mash, "liquor", "liquor_temperature");
        mash.describe("rest_temperature", "Temperature at which the mash rests.");
        let rest = mash.quantity("rest_temperature", &quantity::TEMPERATURE);
        Some((liquor?, rest?))
    });
    day.describe(
        "sparge",
        "Liquor for sparging; leave it out without a sparge.",
    );
    let has_sparge = day.has("sparge");
    let sparge = day.optional_object("sparge", |sparge| {
        draw(sparge, "liquor", "liquor_temperature")
    });
    day.describe(
        "kettle",
        "The boil; an hour of it, at the usual rate, where it is left out.",
    );
    let kettle = day.optional_object("kettle", |kettle| Some(boil(kettle)));
    day.describe(
        "targets",
        "What the beer wants; ions count over all the brewing liquor.",
    );
    let targets = day.optional_object("targets", |of| Some(targets(of)));
    let (targets, mash_ph_confidence, kettle_ph) = targets.unwrap_or_default();
    day.describe("shelf", "Reagents at hand.");
    let shelf = day.list("shelf", 0, MOST_REAGENTS, |item| {
        shelved(item, has_tank, has_sparge)
    });
    day.describe(
        "most_salts",
        "Most different salts and bases to weigh, wherever they go; acids are not counted. As many as help where it is left out.",
    );
    let most_salts = count(day, "most_salts");
    day.describe(
        "alternatives",
        "Whether to tell what else could be done: a salt fewer, another acid, dilution, one reagent more.",
    );
    let alternatives = day.optional_flag("alternatives");

    unique(
        day,
        "sources",
        sources.iter().map(|source| source.name.as_str()),
        "Join the two, or rename one.",
    );
    unique(
        day,
        "shelf",
        shelf.iter().map(|item| item.preparation.reagent.key),
        "Keep one of the two.",
    );
    check_grist(day, &grist, mash.as_ref().map(|(liquor, _)| liquor));
    check_volumes(
        day,
        &sources,
        tank.as_ref(),
        mash.as_ref().map(|(liquor, _)| liquor),
        (has_sparge, sparge.as_ref()),
    );
    check_zinc(day, kettle.as_ref(), &shelf);
    check_boil(
        day,
        kettle.as_ref(),
        &grist,
        mash.as_ref().map(|(liquor, _)| liquor),
        sparge.as_ref(),
    );

    let (mash, rest_temperature_c) = mash?;
    Some(BrewDay {
        name: name?,
        brewhouse: brewhouse.unwrap_or_else(|| "Brewhouse".to_owned()),
        sources,
        tank,
        grist,
        mash,
        rest_temperature_c,
        sparge,
        kettle: Kettle {
            ph: kettle_ph,
            ..kettle.unwrap_or_default()
        },
        targets,
        mash_ph_confidence,
        shelf,
        most_salts,
        alternatives: alternatives.unwrap_or(false),
    })
}

fn boil(kettle: &mut ObjectReader<'_>) -> Kettle {
    kettle.describe("boil", "How long it boils.");
    let boil_h = kettle.optional_quantity("boil", &quantity::BOIL_TIME);
    kettle.describe("boil_off", "What boils off in all, as read boiling hot.");
    let boil_off_l = kettle.optional_quantity("boil_off", &quantity::BOIL_OFF);
    kettle.describe(
        "zinc",
        "Zinc for the yeast, in the water after the boil; none where it is left out.",
    );
    Kettle {
        boil_h,
        boil_off_l,
        ph: None,
        zinc_mol_per_kg: kettle.optional_concentration("zinc", &quantity::ZINC, &Substance::ZINC),
    }
}

fn draw(
    of: &mut ObjectReader<'_>,
    volume: &'static str,
    temperature: &'static str,
) -> Option<Draw> {
    of.describe(volume, "Volume as read at its temperature.");
    let volume_l = of.quantity(volume, &quantity::LIQUOR_VOLUME);
    of.describe(temperature, "Temperature of that liquor.");
    let temperature_c = of.quantity(temperature, &quantity::TEMPERATURE);
    Some(Draw {
        volume_l: volume_l?,
        temperature_c: temperature_c?,
    })
}
