//! Reads a `tank-day` document.

use underlet_tables::REAGENTS;

use super::shelf::{amount, preparation};
use super::source::source;
use super::today_liquor::{amounts_by_key, today_liquor};
use super::{Name, ObjectReader};
use crate::checker::{Count, Field, duplicates};
use crate::document::DocumentKind;
use crate::error::ErrorCode;
use crate::quantity::{self, BareAmount};
use crate::tank::ledger::{Destination, Heel, Line, Tank, Work, fields, suits_tank};
use crate::tank::{MOST_LINES, MOST_SUPPLIES, TankDay, TankHeel, TankPerturbation, TankSupply};
use crate::treatment::{Rates, ScaleCover, Surface};
use crate::water_report::ReconciledRemark;

/// Everything that can be off: the rates, and every amount of as many supplies as days have
/// together.
const MOST_PERTURBATIONS: usize = 200;
/// Which of a supply's causes; a liquor holds fewer amounts.
const PLACE: Count = Count::new("place", [0, 30]);

/// Reads the whole document; what it returns is a day only if no problem was met.
pub(super) fn tank_day(day: &mut ObjectReader<'_>) -> Option<TankDay> {
    let attached = day.head(DocumentKind::TankDay);
    day.describe("name", "Name of the day.");
    let name = day.text("name");
    day.describe("tank", "The liquor tank.");
    let tank = day.object("tank", tank);
    day.describe("supplies", "Waters that feed the tank.");
    let supplies = day.list("supplies", 1, MOST_SUPPLIES, supply);
    let names = supplies.iter().map(|supply| supply.supply.name.as_str());
    for problem in duplicates(names, "Join the two, or rename one.") {
        day.checked::<()>("supplies", Err(problem));
    }
    day.describe(
        "heel",
        "What the last day left in the tank: `heel` of its ledger, whole. Left out for a tank \
         that is empty and clean.",
    );
    let has_heel = day.has("heel");
    let heel = day.optional_object("heel", heel);
    // A name can only be looked up where every supply has one.
    let names: Vec<&str> = supplies.iter().map(|s| s.supply.name.as_str()).collect();
    let all_named = names.len() == day.length("supplies");
    day.describe("lines", "What is done, in the order of work.");
    let lines = day.list("lines", 1, MOST_LINES, |of| {
        line(of, all_named.then_some(names.as_slice()))
    });
    if has_heel && heel.is_none() {
        return None;
    }
    let (heel, heel_remarks) = heel.unwrap_or((Heel::ZERO, Vec::new()));
    Some(TankDay {
        attached,
        name: name?,
        tank: tank?,
        supplies,
        heel,
        heel_remarks,
        lines,
    })
}

fn tank(of: &mut ObjectReader<'_>) -> Option<Tank> {
    of.describe("name", "What it is called.");
    let name = of.optional_text("name");
    of.describe("capacity", "What it holds to the brim, as read.");
    let capacity_l = of.field(fields::CAPACITY);
    of.describe(
        "dead_volume",
        "What lies below the outlet and no draw reaches; nothing where it is left out.",
    );
    let dead_l = of.optional_field(fields::DEAD_VOLUME);
    of.describe(
        "scale",
        "Old scale in the tank, which new scale grows on: bare metal, scale on the heater or in \
         patches, or on walls and floor; \"some\" where it is left out.",
    );
    let scale = code(of, "scale", ScaleCover::ALL, ScaleCover::as_str);
    of.describe(
        "surface",
        "What is above the liquor: the tank full or shut tight, a lid with a vent, no lid, or \
         liquor stirred or recirculated with a vented lid or none; \"covered\" where it is left \
         out.",
    );
    let surface = code(of, "surface", Surface::ALL, Surface::as_str);
    of.describe(
        "rates",
        "Figures in place of what these answers stand for; the usual where they are left out.",
    );
    let usual = Tank::new(
        &name.unwrap_or_else(|| "hot-liquor tank".to_owned()),
        capacity_l.unwrap_or(0.0),
        dead_l.unwrap_or(0.0),
    )
    .with(
        scale.unwrap_or(ScaleCover::Some),
        surface.unwrap_or(Surface::Covered),
    );
    let figures = of.optional_object("rates", |of| Some(rates(of, usual.rates, usual.rates_sd)));
    of.replaced(&REPLACED);
    let (rates, rates_sd) = figures.unwrap_or((usual.rates, usual.rates_sd));
    capacity_l.map(|_| Tank {
        rates,
        rates_sd,
        ..usual
    })
}

/// Keys of version 0.1, and what says the same now.
const REPLACED: [(&str, &str); 1] = [(
    "lid",
    "Write \"surface\": \"shut\" for a sealed tank, \"covered\" for a vented one.",
)];
const REPLACED_RATES: [(&str, &str); 6] = {
    const GAS: &str = "Delete it: \"surface\" of the tank says how fast carbon dioxide leaves, or \
                       \"film\" in mm.";
    const SCALE: &str = "Delete it: \"scale\" of the tank says how fast scale grows, or \
                         \"scale_area\" in cm²/L.";
    [
        ("carbon_dioxide_time", GAS),
        ("carbon_dioxide_time_sd", GAS),
        ("scale_time", SCALE),
        ("scale_time_sd", SCALE),
        ("scale_reach", SCALE),
        ("scale_reach_sd", SCALE),
    ]
};

/// A code that may be given.
fn code<C: Copy>(
    of: &mut ObjectReader<'_>,
    key: &'static str,
    all: &[C],
    text: fn(C) -> &'static str,
) -> Option<C> {
    let names: Vec<Name<'_>> = all
        .iter()
        .map(|code| (text(*code), [].as_slice()))
        .collect();
    let place = of.optional_choice(key, &names)?;
    all.get(place).copied()
}

const REPLACED_HEEL: [(&str, &str); 1] = [(
    "scale_of_this_water_g",
    "Delete it: scale grows by the state of the liquor alone.",
)];

/// What the standard deviation of a rate is, behind it.
const ITS_SD: &str = "Standard deviation of that.";

/// Rates with their standard deviations; the usual ones where they are left out.
fn rates(of: &mut ObjectReader<'_>, mut rates: Rates, mut sd: Rates) -> (Rates, Rates) {
    let mut read = |[rate, its_sd]: [Field; 2], text| {
        [(rate, text), (its_sd, ITS_SD)].map(|(field, text)| {
            of.describe(field.key, text);
            of.optional_field(field)
        })
    };
    let [area, film, steam] = fields::RATES;
    let [area, area_sd] = read(
        area,
        "Area of the scale that calcite grows on, cm² per L of liquor.",
    );
    let [film, film_sd] = read(
        film,
        "Film of water under the surface through which carbon dioxide diffuses, mm: 0.25 where \
         it is stirred, some 2 under a lid.",
    );
    let [steam, steam_sd] = read(
        steam,
        "Share of the water that leaves as steam in an hour at 80 °C.",
    );
    let is_shut = rates.film_mm.is_none();
    // A figure without its error is as uncertain as the answer that it replaces.
    let scaled = |figure: Option<f64>, usual: f64, usual_sd: f64| {
        figure
            .filter(|_| usual > 0.0)
            .map(|figure| figure * usual_sd / usual)
    };
    let area_sd = area_sd.or(scaled(
        area,
        rates.scale_area_cm2_per_l,
        sd.scale_area_cm2_per_l,
    ));
    let film_sd = film_sd.or(scaled(
        film,
        rates.film_mm.unwrap_or(0.0),
        sd.film_mm.unwrap_or(0.0),
    ));
    for (rates, [area, film, steam]) in [
        (&mut rates, [area, film, steam]),
        (&mut sd, [area_sd, film_sd, steam_sd]),
    ] {
        rates.scale_area_cm2_per_l = area.unwrap_or(rates.scale_area_cm2_per_l);
        rates.film_mm = film.filter(|_| !is_shut).or(rates.film_mm);
        rates.evaporation_per_hour = steam.unwrap_or(rates.evaporation_per_hour);
    }
    let of_film = [("film", film), ("film_sd", film_sd)];
    for (key, _) in of_film
        .iter()
        .filter(|(_, figure)| is_shut && figure.is_some())
    {
        of.problem(
            key,
            ErrorCode::Contradiction,
            "a film in a tank that is shut",
            "no film: no carbon dioxide leaves a shut tank",
            "Delete it, or write another \"surface\" of the tank.",
        );
    }
    of.replaced(&REPLACED_RATES);
    (rates, sd)
}

fn supply(of: &mut ObjectReader<'_>) -> Option<TankSupply> {
    let source = source(of);
    of.describe(
        "inlet_temperature",
        "Temperature at which it comes in cold.",
    );
    let inlet_temperature_c = of.quantity("inlet_temperature", &quantity::TEMPERATURE);
    Some(TankSupply::of(&source?, inlet_temperature_c?))
}

/// Kinds of work, and the keys that each must have; a dose may have a strength as well.
const WORKS: [(&str, &[&str]); 6] = [
    ("fill", &["supply", "volume"]),
    ("recover", &["supply", "volume", "temperature"]),
    ("dose", &["reagent", "amount"]),
    ("heat", &["temperature", "duration"]),
    ("hold", &["duration"]),
    ("draw", &["volume", "to"]),
];
const KEYS: [&str; 8] = [
    "supply",
    "volume",
    "temperature",
    "reagent",
    "strength",
    "amount",
    "duration",
    "to",
];
const DESTINATIONS: [(&str, Destination); 3] = [
    ("mash", Destination::Mash),
    ("sparge", Destination::Sparge),
    ("elsewhere", Destination::Elsewhere),
];

fn line(of: &mut ObjectReader<'_>, names: Option<&[&str]>) -> Option<Line> {
    of.describe(
        "work",
        "What is done: water in from a \"supply\"; supply water that has cooled wort \
         \"recovered\" hot; a reagent; heating, or cooling, in so many hours; holding; liquor \
         out.",
    );
    let work = of.choice("work", &WORKS.map(|(name, _)| (name, [].as_slice())));
    of.describe("label", "The line's own words, such as \"strike\".");
    let label = of.optional_text("label");
    of.describe("supply", "Name of the supply, to fill or recover.");
    let supply = of.optional_text("supply");
    let supply = supply.and_then(|name| place(of, &name, names));
    of.describe(
        "volume",
        "Volume as read at its temperature, to fill, recover or draw.",
    );
    let volume_l = of.optional_field(fields::VOLUME);
    of.describe(
        "temperature",
        "Temperature of the water that is recovered, or to heat to.",
    );
    let temperature_c = of.optional_field(fields::TEMPERATURE);
    of.describe("reagent", "What is dosed.");
    let reagents: Vec<Name<'static>> = REAGENTS.iter().map(|row| (row.key, row.aliases)).collect();
    let reagent = of.optional_choice("reagent", &reagents);
    let reagent = reagent.and_then(|place| REAGENTS.get(place));
    of.describe(
        "strength",
        "Strength of a solution or assay of a solid; the usual one where it is left out.",
    );
    let written = of.optional_strength("strength");
    of.describe("amount", "How much is dosed.");
    let bare = if reagent.is_some_and(|row| row.liquid) {
        BareAmount::Millilitres
    } else {
        BareAmount::Grams
    };
    let amount = amount(of, fields::AMOUNT, reagent, bare);
    of.describe("duration", "How long heating or holding takes.");
    let hours = of.optional_field(fields::DURATION);
    of.describe("to", "Where a draw goes.");
    let to = of.optional_choice("to", &DESTINATIONS.map(|(name, _)| (name, [].as_slice())));
    let (name, required) = WORKS.get(work?)?;
    check_keys(of, name, required);
    let work = match *name {
        "fill" => Work::Fill {
            supply: supply?,
            volume_l: volume_l?,
        },
        "recover" => Work::Recover {
            supply: supply?,
            volume_l: volume_l?,
            temperature_c: temperature_c?,
        },
        "dose" => {
            let reagent = reagent?;
            of.checked("reagent", suits_tank(reagent))?;
            Work::Dose {
                preparation: preparation(of, reagent, written)?,
                amount: amount?,
            }
        }
        "heat" => Work::Heat {
            to_c: temperature_c?,
            hours: hours?,
        },
        "hold" => Work::Hold { hours: hours? },
        _ => Work::Draw {
            volume_l: volume_l?,
            to: DESTINATIONS.get(to?)?.1,
        },
    };
    Some(Line::new(label.as_deref().unwrap_or(name), work))
}

/// The place of a supply by its name.
fn place(of: &mut ObjectReader<'_>, name: &str, names: Option<&[&str]>) -> Option<usize> {
    let names = names?;
    let place = names.iter().position(|known| *known == name);
    if place.is_none() {
        of.problem(
            "supply",
            ErrorCode::UnknownName,
            quantity::quoted(name),
            format!("one of: {}", names.join(", ")),
            "Write the name of a supply of this day.",
        );
    }
    place
}

/// What a line must have, and what makes no sense on it.
fn check_keys(of: &mut ObjectReader<'_>, work: &str, required: &[&str]) {
    for key in KEYS {
        let is_wanted = required.contains(&key);
        let may_be = is_wanted || (work == "dose" && key == "strength");
        if is_wanted && !of.has(key) {
            of.problem(
                key,
                ErrorCode::MissingKey,
                "nothing",
                format!("\"{key}\" of a line that says \"{work}\""),
                format!("A \"{work}\" needs: {}.", required.join(", ")),
            );
        }
        if !may_be && of.has(key) {
            of.problem(
                key,
                ErrorCode::Contradiction,
                format!("\"{key}\" on a line that says \"{work}\""),
                format!("only: {}", required.join(", ")),
                "Delete it, or make it a line of its own.",
            );
        }
    }
}

/// What the last day left, with the remarks on it.
fn heel(of: &mut ObjectReader<'_>) -> Option<(Heel, Vec<ReconciledRemark>)> {
    of.describe("water_kg", "Water in the tank.");
    let water_kg = of.quantity("water_kg", &quantity::WATER_MASS);
    of.describe("temperature_c", "Its temperature.");
    let temperature_c = of.quantity("temperature_c", &quantity::TEMPERATURE);
    of.describe("liquor", "What it is, as a source of a brew day takes it.");
    let liquor = of.object("liquor", today_liquor);
    of.describe(
        "perturbations",
        "How the tank would differ, had one thing been off; by the covariance of its liquor where \
         it is left out.",
    );
    let perturbations = of.list("perturbations", 0, MOST_PERTURBATIONS, perturbation);
    let whole = perturbations.len() == of.length("perturbations");
    let [
        scale_g,
        carbon_dioxide_g,
        steam_kg,
        free_chlorine_g,
        combined_chlorine_g,
    ] = [
        ("scale_g", "Scale since the tank was first filled, g."),
        ("carbon_dioxide_g", "Carbon dioxide that has left, g."),
        ("steam_kg", "Steam that has left, kg."),
        ("free_chlorine_g", "Free chlorine in the tank, g as Cl2."),
        (
            "combined_chlorine_g",
            "Combined chlorine in the tank, g as Cl2.",
        ),
    ]
    .map(|(key, text)| {
        of.describe(key, text);
        of.optional_quantity(key, &quantity::HEEL_NUMBER)
            .unwrap_or(0.0)
    });
    of.replaced(&REPLACED_HEEL);
    let liquor = liquor?;
    let remarks = liquor.remarks.clone();
    let heel = TankHeel {
        water_kg: water_kg?,
        temperature_c: temperature_c?,
        liquor,
        scale_g,
        carbon_dioxide_g,
        steam_kg,
        free_chlorine_g,
        combined_chlorine_g,
        perturbations,
    };
    // What is wrong with it was reported as it was read.
    let taken = heel.taken().ok().filter(|_| whole);
    taken.map(|heel| (heel, remarks))
}

fn perturbation(of: &mut ObjectReader<'_>) -> Option<TankPerturbation> {
    of.describe("rate", "The rate of the tank that was off.");
    let rate = of.optional_choice("rate", &Rates::KEYS.map(|key| (key, [].as_slice())));
    of.describe("supply", "The supply that was off.");
    let supply = of.optional_text("supply");
    of.describe("place", "Which of the supply's causes, from 0.");
    let given = of.has("place");
    let place = of.count(PLACE);
    if given && place.is_none() {
        return None;
    }
    of.describe(
        "amounts_mmol",
        "Difference in the tank of each amount of its liquor, mmol.",
    );
    let amounts_mmol = of.object("amounts_mmol", |of| {
        amounts_by_key(of, &quantity::HEEL_NUMBER)
    });
    of.replaced(&REPLACED_HEEL);
    let mut number = |key, text| {
        of.describe(key, text);
        of.optional_quantity(key, &quantity::HEEL_NUMBER)
            .unwrap_or(0.0)
    };
    Some(TankPerturbation {
        water_kg: number("water_kg", "Difference in water, kg."),
        temperature_c: number("temperature_c", "Difference in temperature, K."),
        scale_g: number("scale_g", "Difference in scale, g."),
        carbon_dioxide_g: number(
            "carbon_dioxide_g",
            "Difference in carbon dioxide that has left, g.",
        ),
        steam_kg: number("steam_kg", "Difference in steam that has left, kg."),
        free_chlorine_g: number("free_chlorine_g", "Difference in free chlorine, g as Cl2."),
        combined_chlorine_g: number(
            "combined_chlorine_g",
            "Difference in combined chlorine, g as Cl2.",
        ),
        rate: rate.and_then(|place| Rates::KEYS.get(place).map(|key| (*key).into())),
        supply,
        place: place.and_then(|place| u32::try_from(place).ok()),
        amounts_mmol: amounts_mmol?,
    })
}
