//! The brewhouse of a brew day: its name, or what it is like.

use super::ObjectReader;
use super::kind::Need;
use super::shelf::weighed;
use super::writer::ObjectWriter;
use crate::checker::Field;
use crate::quantity::BareAmount;
use crate::recipe::check::fields;
use crate::recipe::{Brewhouse, Meter};

pub(super) fn brewhouse(day: &mut ObjectReader<'_>) -> Brewhouse {
    day.describe(
        "brewhouse",
        "The brewhouse: its name alone, or what it is like. None of it grows with the recipe.",
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
    let mut read = |field: Field, text, into: &mut f64| {
        of.describe(field.key, text);
        if let Some(value) = of.optional_field(field) {
            *into = value;
        }
    };
    read(
        fields::GRAIN_ABSORPTION,
        "Liquor that drained grains keep; 1 L/kg where it is left out.",
        &mut house.grain_absorption_l_per_kg,
    );
    read(
        fields::TANK_DEAD,
        "What lies below the outlet of the hot-liquor tank: treated with the rest, and never \
         drawn.",
        &mut house.tank_dead_l,
    );
    read(
        fields::TUN_DEAD,
        "What stays in the mash tun beside what the grains keep.",
        &mut house.tun_dead_l,
    );
    read(
        fields::KETTLE_DEAD,
        "What stays in the kettle after the boil, as read boiling hot.",
        &mut house.kettle_dead_l,
    );
    read(
        fields::OVERSHOOT_RISK,
        "Chance that is taken of giving the mash more acid than can be taken back: it decides how \
         much goes in before the first reading; 3 % where it is left out, 100 % for all at once.",
        &mut house.overshoot_risk,
    );
    for (field, text, into) in [
        (
            fields::TANK_CAPACITY,
            "What the hot-liquor tank holds, hot; any fill fits where it is left out.",
            &mut house.tank_capacity_l,
        ),
        (
            fields::TUN_CAPACITY,
            "What the mash tun holds, liquor and grist together.",
            &mut house.tun_capacity_l,
        ),
        (
            fields::KETTLE_CAPACITY,
            "What the kettle holds, full to the brim.",
            &mut house.kettle_capacity_l,
        ),
    ] {
        of.describe(field.key, text);
        *into = of.optional_field(field);
    }
    of.describe(
        fields::BOIL_OFF_RATE.key,
        "What boils off in an hour, as read boiling hot, where the day does not say what boils \
         off.",
    );
    house.boil_off_l_per_h = of.optional_field(fields::BOIL_OFF_RATE);
    for (field, bare, whose, into) in [
        (
            fields::SCALE_STEP,
            BareAmount::Grams,
            "a solid",
            &mut house.scale_step_g,
        ),
        (
            fields::MEASURE_STEP,
            BareAmount::Millilitres,
            "a liquid",
            &mut house.measure_step_ml,
        ),
    ] {
        of.describe(
            field.key,
            "Step of the scale or measuring cylinder for every reagent whose shelf does not say; \
             1 g or 1 mL where it is left out.",
        );
        if let Some(step) = weighed(of, (field, Need::Optional), bare, Some(whose)) {
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
    for (field, value) in [
        (fields::GRAIN_ABSORPTION, house.grain_absorption_l_per_kg),
        (fields::TANK_DEAD, house.tank_dead_l),
        (fields::TUN_DEAD, house.tun_dead_l),
        (fields::KETTLE_DEAD, house.kettle_dead_l),
        (fields::OVERSHOOT_RISK, house.overshoot_risk),
        (fields::SCALE_STEP, house.scale_step_g),
        (fields::MEASURE_STEP, house.measure_step_ml),
    ] {
        of.field(field, value);
    }
    for (field, capacity) in [
        (fields::TANK_CAPACITY, house.tank_capacity_l),
        (fields::TUN_CAPACITY, house.tun_capacity_l),
        (fields::KETTLE_CAPACITY, house.kettle_capacity_l),
        (fields::BOIL_OFF_RATE, house.boil_off_l_per_h),
    ] {
        of.optional_field(field, capacity);
    }
    let meters: Vec<&str> = house.meters.iter().map(|meter| meter.key()).collect();
    of.put("meters", meters);
    of
}
