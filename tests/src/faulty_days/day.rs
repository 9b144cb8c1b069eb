//! Brew days of an invented brewhouse, and which meters are at hand.

use serde_json::{Value, json};
use underlet::component::Component;
use underlet::quantity::CACO3_G_PER_EQ;
use underlet::readings::diagnosis::{MeterReading, Probe};
use underlet::{BrewDay, Meter, Place};

use crate::dice::Dice;

/// A day with four salts and an acid on its shelf.
pub fn draw(dice: &mut Dice) -> BrewDay {
    read(&document(dice))
}

/// The same with baking soda too.
pub fn draw_with_base(dice: &mut Dice) -> BrewDay {
    let mut day = document(dice);
    let shelf = day["shelf"].as_array_mut().expect("a shelf");
    shelf.push(json!({ "reagent": "sodium bicarbonate", "step": shelf[0]["step"] }));
    read(&day)
}

fn read(day: &Value) -> BrewDay {
    let text = day.to_string();
    BrewDay::from_json(&text).unwrap_or_else(|error| panic!("{error}\n{text}"))
}

fn document(dice: &mut Dice) -> Value {
    let litres = round(dice.between_powers(2.4, 3.2), 10.0);
    let has_tank = dice.heads(70);
    let grist_kg = litres / 6.0;
    let mut day = json!({
        "underlet": 1,
        "name": "A day of many",
        "brewhouse": "Ninefold Quay",
        "sources": [water(dice)],
        "grist": grist(dice, grist_kg),
        "mash": {
            "liquor": round(litres * 0.45, 5.0),
            "liquor_temperature": "74 °C",
            "rest_temperature": "66 °C",
        },
        "sparge": { "liquor": round(litres * 0.55, 5.0), "liquor_temperature": "78 °C" },
        "targets": targets(dice),
        "shelf": shelf(dice, grist_kg),
    });
    if has_tank {
        day["hot_liquor_tank"] =
            json!({ "fill": round(litres * 1.15, 10.0), "temperature": "78 °C" });
    }
    day
}

fn round(value: f64, step: f64) -> f64 {
    (value / step).round() * step
}

/// A water without charge: bicarbonates of calcium, magnesium and some sodium, their sulfates,
/// sodium chloride.
fn water(dice: &mut Dice) -> Value {
    let alkalinity = dice.between_powers(-0.4, 0.78);
    let sulfate = dice.between_powers(-1.0, 0.3);
    let chloride = dice.between_powers(-0.7, 0.3);
    let mg_per_l = |ion: Component, meq_per_l: f64| {
        meq_per_l * ion.molar_mass_g_per_mol() / ion.charge().abs()
    };
    json!({
        "name": "well",
        "calcium": mg_per_l(Component::Calcium, 0.75 * alkalinity + 0.6 * sulfate),
        "magnesium": mg_per_l(Component::Magnesium, 0.2 * alkalinity + 0.4 * sulfate),
        "sodium": mg_per_l(Component::Sodium, 0.05 * alkalinity + chloride),
        "chloride": mg_per_l(Component::Chloride, chloride),
        "sulfate": mg_per_l(Component::Sulfate, sulfate),
        "alkalinity": format!("{} mg/L as CaCO3", alkalinity * CACO3_G_PER_EQ),
        "ph": 7.0 + dice.real(0.0, 1.0),
    })
}

fn grist(dice: &mut Dice, kg: f64) -> Value {
    let caramel = 0.12 * dice.real(0.0, 1.0);
    let base = ["pilsner malt", "pale ale malt", "Vienna malt"][dice.pick(3)];
    json!([
        { "malt": base, "mass": kg * (1.0 - caramel) },
        { "malt": "caramel malt 80 to 120 EBC", "mass": kg * caramel + 0.1 },
    ])
}

fn targets(dice: &mut Dice) -> Value {
    let mut from = |low: f64, span: f64, wide: f64| {
        let low = low + span * dice.real(0.0, 1.0);
        format!("{low:.0}-{:.0}", low + wide)
    };
    json!({
        "calcium": from(60.0, 90.0, 60.0),
        "chloride": from(40.0, 110.0, 40.0),
        "sulfate": from(60.0, 190.0, 60.0),
        "magnesium": "5-40",
        "sodium": "0-100",
        "mash_ph": "5.3-5.5",
        "sparge_alkalinity": "0-50 mg/L as CaCO3",
    })
}

/// Four salts and one acid; scales as fine as a brewhouse of this size has.
fn shelf(dice: &mut Dice, grist_kg: f64) -> Value {
    let step = if grist_kg > 100.0 { 5.0 } else { 1.0 };
    let acid = if dice.heads(50) {
        json!({ "reagent": "lactic acid", "strength": "80 %", "step": step })
    } else {
        json!({ "reagent": "phosphoric acid", "strength": "75 %", "step": step })
    };
    let salt = |reagent: &str| json!({ "reagent": reagent, "step": step });
    json!([
        salt("gypsum"),
        salt("calcium chloride dihydrate"),
        salt("epsom salt"),
        salt("sodium chloride"),
        acid
    ])
}

/// Which meter is held into what on a day, values not yet read: a pH meter always, a conductivity
/// meter on four days of five, a buffer and a standard every other day, a second pH probe and a
/// second thermometer on one of five.
pub fn meters(dice: &mut Dice, predicted: &[(Place, Meter)]) -> Vec<MeterReading> {
    let has_conductivity = dice.heads(80);
    let (second_ph, second_thermometer) = (dice.heads(20), dice.heads(20));
    let mut readings = Vec::new();
    for (place, meter) in predicted {
        let is_at_hand = *meter != Meter::Conductivity || has_conductivity;
        if !is_at_hand || !dice.heads(85) {
            continue;
        }
        let reading = MeterReading::at(*place, *meter, 0.0);
        readings.push(reading);
        let is_doubled = match meter {
            Meter::Ph => second_ph,
            Meter::Conductivity => false,
            Meter::Temperature => second_thermometer,
        };
        if is_doubled {
            readings.push(reading.by_second());
        }
    }
    if dice.heads(50) {
        readings.push(MeterReading::known(Meter::Ph, 7.0, 0.0));
        readings.push(MeterReading::known(Meter::Ph, 4.01, 0.0));
    }
    if has_conductivity && dice.heads(50) {
        readings.push(MeterReading::known(Meter::Conductivity, 1413.0, 0.0));
    }
    readings
}

/// Whether a reading is by a probe.
pub fn is_by(reading: &MeterReading, meter: Meter, probe: Probe) -> bool {
    (reading.meter, reading.probe) == (meter, probe)
}
