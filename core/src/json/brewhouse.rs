//! The brewhouse of a brew day: its name, or what it is like.

use super::ObjectReader;
use super::shelf::weighed;
use super::writer::ObjectWriter;
use crate::quantity::{self, BareAmount, Quantity};
use crate::recipe::{Brewhouse, Meter};

pub(super) fn brewhouse(day: &mut ObjectReader<'_>) -> Brewhouse {
    day.describe(
        "brewhouse",
        "The brewhouse: its name alone, or what it is like. None of it grows with the batch.",
    );
    let (name, described) = day.optional_text_or_object("brewhouse", |of| Some(described(of)));
    let named = |name| Brewhouse {
        name,
        ..Brewhouse::default()
    };
    described.or(name.map(named)).unwrap_or_default()
}

fn described(of: &mut ObjectReader<'_>) -> Brewhouse {
    let mut house = Brewhouse::default();
    of.describe("name", "Name of the brewhouse.");
    if let Some(name) = of.optional_text("name") {
        house.name = name;
    }
    let mut read = |key, quantity: &'static Quantity, text, into: &mut f64| {
        of.describe(key, text);
        if let Some(value) = of.optional_quantity(key, quantity) {
            *into = value;
        }
    };
    read(
        "grain_take_up",
        &quantity::GRAIN_TAKE_UP,
        "Liquor that drained grains keep; 1 L/kg where it is left out.",
        &mut house.grain_take_up_l_per_kg,
    );
    read(
        "tank_dead_volume",
        &quantity::DEAD_VOLUME,
        "What lies below the outlet of the hot-liquor tank: treated with the rest, and never \
         drawn.",
        &mut house.tank_dead_l,
    );
    read(
        "tun_dead_volume",
        &quantity::DEAD_VOLUME,
        "What stays in the mash tun beside what the grains keep.",
        &mut house.tun_dead_l,
    );
    read(
        "kettle_dead_volume",
        &quantity::DEAD_VOLUME,
        "What stays in the kettle after the boil, as read boiling hot.",
        &mut house.kettle_dead_l,
    );
    of.describe(
        "boil_off",
        "What boils off in an hour, as read boiling hot, where the day does not say what boils \
         off.",
    );
    house.boil_off_l_per_h = of.optional_quantity("boil_off", &quantity::BOIL_OFF_RATE);
    for (key, bare, whose, into) in [
        (
            "scale_step",
            BareAmount::Grams,
            "a solid",
            &mut house.scale_step_g,
        ),
        (
            "measure_step",
            BareAmount::Millilitres,
            "a liquid",
            &mut house.measure_step_ml,
        ),
    ] {
        of.describe(
            key,
            "Step of the scale or measuring cylinder for every reagent whose shelf does not say; \
             1 g or 1 mL where it is left out.",
        );
        if let Some(step) = weighed(of, key, &quantity::SCALE_STEP, bare, Some(whose)) {
            *into = step;
        }
    }
    of.describe(
        "meters",
        "Meters on hand: only what they show is predicted; every one where it is left out.",
    );
    let meters = of.optional_choices("meters", &Meter::NAMES);
    if let Some(places) = meters {
        let known = places.into_iter().filter_map(|place| Meter::ALL.get(place));
        house.meters = known.copied().collect();
    }
    house
}

pub(super) fn write_brewhouse(house: &Brewhouse) -> ObjectWriter {
    let mut of = ObjectWriter::default();
    of.put("name", house.name.as_str());
    of.quantity(
        "grain_take_up",
        house.grain_take_up_l_per_kg,
        &quantity::GRAIN_TAKE_UP,
    );
    for (key, litres) in [
        ("tank_dead_volume", house.tank_dead_l),
        ("tun_dead_volume", house.tun_dead_l),
        ("kettle_dead_volume", house.kettle_dead_l),
    ] {
        of.quantity(key, litres, &quantity::DEAD_VOLUME);
    }
    of.optional_quantity("boil_off", house.boil_off_l_per_h, &quantity::BOIL_OFF_RATE);
    of.quantity("scale_step", house.scale_step_g, &quantity::SCALE_STEP);
    of.quantity("measure_step", house.measure_step_ml, &quantity::SCALE_STEP);
    let meters: Vec<&str> = house.meters.iter().map(|meter| meter.key()).collect();
    of.put("meters", meters);
    of
}
