//! A row as a forecast.

use underlet::component::{Component, Composition};
use underlet::liquor::Liquor;
use underlet::mash::{
    Assumptions, DoseUncertainty, Malt, Mash, TitrationCurve, Wort, ph_at_temperature,
    ph_at_temperature_sd,
};
use underlet::reagent::Preparation;
use underlet_tables::parameters;

use super::Foretold;
use super::read::{amount, first_number, half_range, number_before, sum_before};
use crate::equilibria::table::Cells;

/// Words that name a class of the malt table, tried in this order. A caramel malt of no stated
/// colour is of the middle band.
const GRISTS: [(&str, &str); 17] = [
    ("acidulated", "acidulated malt"),
    ("dehusked", "dehusked roasted malt"),
    ("roasted barley", "roasted barley"),
    ("chocolate", "chocolate malt"),
    ("black", "black malt"),
    ("caramel", "caramel malt 80 to 120 EBC"),
    ("dark Munich", "dark Munich malt"),
    ("Munich", "light Munich malt"),
    ("Vienna", "Vienna malt"),
    ("two-row", "pale lager malt"),
    ("pilsner", "pilsner malt"),
    ("pale ale malt", "pale ale malt"),
    ("pale barley malt", "pilsner malt"),
    ("wheat malt", "pale wheat malt"),
    ("rye malt", "rye malt"),
    ("oat malt", "oat malt"),
    ("sorghum malt", "sorghum malt"),
];
/// Minutes from which a mash pH is one.
const FIRST_MINUTES: f64 = 20.0;
/// Moles of carbon per equivalent of alkalinity at pH 7.5 and 20 °C, where a report tells no pH.
const CARBON_PER_EQ: f64 = 1.08;
/// Kg of water in a litre of mash liquor.
const KG_PER_L: f64 = 0.9982;

type Answer<T> = Result<T, String>;

/// Forecasts a row; `all` are the rows it may point to.
pub fn predict(cells: &Cells, all: &[&Cells]) -> Answer<Foretold> {
    let plain = match cells.text("kind") {
        "mash" => mash(cells, all),
        "mash_kinetics" => {
            minutes_in(cells)?;
            mash(cells, all)
        }
        "first_wort_no_sparge" => first_wort(cells, all),
        "congress_wort" => congress(cells),
        "wort_dilution" => dilution(cells, all),
        "wort_boil" | "wort_boil_covered" => boil(cells),
        "wort_temperature" => warmed(cells),
        "mash_calcium" => Err("neither thickness nor water is reported; the slope of the \
                                   series is a test of its own"
            .to_owned()),
        "wort_calcium" => Err("no start pH: the series tells a slope, which calcium's \
                                   protons in wort are taken from"
            .to_owned()),
        "unhopped_wort_gravity" => Err("no start pH: the series tells a slope, which the \
                                            rise per halving is taken from"
            .to_owned()),
        "wort" => Err("neither thickness nor water is reported".to_owned()),
        "wort_boil_hops" => Err("the model has no term for hops".to_owned()),
        "beer_pH" => Err("fermentation is no part of the model".to_owned()),
        other => Err(format!("unknown kind \"{other}\"")),
    }?;
    // A reading that is worse than a meter's own scatter adds to it.
    let reading = cells.number("reading_uncertainty_pH").unwrap_or(0.0);
    Ok(Foretold {
        ph: plain.ph,
        sd: plain.sd.hypot(reading),
    })
}

/// The water of a row, with the standard deviation of its alkalinity, eq/kg.
fn water(cells: &Cells, all: &[&Cells]) -> Answer<(Liquor, f64)> {
    let mut text = cells.text("alkalinity_mEq_per_L");
    if let Some((_, id)) = text.split_once("same supply as ") {
        text = all
            .iter()
            .find(|row| row.text("id") == id.trim())
            .map(|row| row.text("alkalinity_mEq_per_L"))
            .ok_or(format!("its water is that of {id}, which is not there"))?;
    }
    let alkalinity = amount(text).ok_or("the alkalinity of the water is not reported")?;
    let ion = |ion: Component, column: &str| -> Answer<f64> {
        let text = cells.text(column);
        let mg_per_l = if text.is_empty() {
            Some(0.0)
        } else {
            amount(text)
        };
        mg_per_l
            .map(|mg_per_l| ion.mol_per_kg(mg_per_l))
            .ok_or(format!("the {} of the water is not reported", ion.key()))
    };
    let calcium = ion(Component::Calcium, "Ca_mg_per_L")?;
    let magnesium = ion(Component::Magnesium, "Mg_mg_per_L")?;
    let alkalinity_eq_per_kg = alkalinity / 1000.0 / KG_PER_L;
    let liquor = Liquor {
        ions: Composition::ZERO
            .with(Component::Calcium, calcium)
            .with(Component::Magnesium, magnesium),
        alkalinity_eq_per_kg,
        carbon_mol_per_kg: CARBON_PER_EQ * alkalinity_eq_per_kg,
        temperature_c: 20.0,
    };
    // A range of the year is taken as two standard deviations to either side; without one, a
    // report's own.
    let sd = half_range(text).map_or(
        parameters::ALKALINITY_REPORT_RELATIVE_SD.value * alkalinity_eq_per_kg,
        |half| half / 2.0 / 1000.0,
    );
    Ok((liquor, sd))
}

/// The grist in words, such as "90 % pilsner malt, 10 % caramel malt, 420 g in 1.4 L", as so many
/// kg in all. A malt without a share is the whole.
fn grist(cells: &Cells, mass_kg: f64) -> Answer<Vec<Malt>> {
    let text = cells.text("grist_or_wort");
    let mut malts = Vec::new();
    let mut whole = 0.0;
    for part in text.split(',') {
        let (share, name) = match part.split_once('%') {
            Some((share, name)) => (first_number(share).unwrap_or(0.0) / 100.0, name),
            None if malts.is_empty() => (1.0, part),
            None => continue,
        };
        let class = GRISTS
            .iter()
            .find(|(word, _)| name.contains(word))
            .map(|(_, class)| *class)
            .ok_or(format!("no class of malt in \"{}\"", name.trim()))?;
        whole += share;
        malts.push(Malt {
            name: class.to_owned(),
            mass_kg: share * mass_kg,
            curve: TitrationCurve::of_class(class).ok_or("no such class")?,
            is_class_prior: true,
        });
    }
    if (whole - 1.0).abs() > 0.02 {
        return Err(format!("the shares of \"{text}\" make no whole"));
    }
    Ok(malts)
}

/// kg in words: "420.14 g" or "3.20 kg".
fn mass_kg(text: &str) -> Option<f64> {
    number_before(text, "kg").or_else(|| number_before(text, "g").map(|grams| grams / 1000.0))
}

/// A mash as a row reports it.
pub struct Reported {
    pub grist: Vec<Malt>,
    pub water_l: f64,
    /// The water before anything was added.
    pub liquor: Liquor,
    /// Standard deviation of the water's alkalinity, eq/kg.
    pub alkalinity_sd: f64,
    /// What was added.
    pub acid: Option<GivenAcid>,
}

/// An acid and how much of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GivenAcid {
    pub preparation: Preparation,
    pub ml: f64,
}

/// What a row reports of its mash.
pub fn reported(cells: &Cells, all: &[&Cells]) -> Answer<Reported> {
    let (liquor, alkalinity_sd) = water(cells, all)?;
    let thickness = cells
        .number("thickness_L_per_kg")
        .map_err(|_| "the thickness of the mash is not reported")?;
    let mass_kg = mass_kg(cells.text("grist_or_wort")).unwrap_or(1.0);
    Ok(Reported {
        grist: grist(cells, mass_kg)?,
        water_l: thickness * mass_kg,
        liquor,
        alkalinity_sd,
        acid: addition(cells.text("addition"), mass_kg)?,
    })
}

fn mash(cells: &Cells, all: &[&Cells]) -> Answer<Foretold> {
    let mash = reported(cells, all)?;
    let water_kg = mash.water_l * KG_PER_L;
    let liquor = mash.acid.map_or(mash.liquor, |acid| {
        let per_unit = acid.preparation.dose_per_unit();
        mash.liquor.dosed(&per_unit, acid.ml / water_kg)
    });
    let acid_eq = mash
        .acid
        .map_or(0.0, |acid| acid.ml * acid.preparation.mol_per_unit());
    let forecast = Mash {
        grist: &mash.grist,
        water_kg,
        liquor,
    }
    .forecast_dosed(&DoseUncertainty {
        acid_eq: acid_eq * parameters::ACID_STRENGTH_RELATIVE_SD.value,
        alkalinity_eq_per_kg: mash.alkalinity_sd,
        ..DoseUncertainty::default()
    });
    Ok(Foretold {
        ph: forecast.ph,
        sd: forecast.sd,
    })
}

/// Minutes from mashing in to the sample, where a mash tells its pH by then.
pub fn minutes_in(cells: &Cells) -> Answer<f64> {
    let minutes =
        sum_before(cells.text("process"), "min").ok_or("the time of the sample is not reported")?;
    if minutes < FIRST_MINUTES {
        return Err(format!(
            "{minutes} min in: a mash pH is a sample of 20 to 60 min"
        ));
    }
    Ok(minutes)
}

/// "none", or such as "about 3.4 mL of 10 % phosphoric acid in the water".
fn addition(text: &str, mass_kg: f64) -> Answer<Option<GivenAcid>> {
    if text.is_empty() || text == "none" {
        return Ok(None);
    }
    let misread = || format!("the addition \"{text}\" is not understood");
    let (before, after) = text.split_once(" mL of ").ok_or_else(misread)?;
    let ml = before
        .split_whitespace()
        .next_back()
        .and_then(|word| word.parse().ok());
    let (strength, rest) = after.split_once(" % ").ok_or_else(misread)?;
    let name = rest
        .split_once(" acid")
        .map(|(name, _)| format!("{name} acid"))
        .ok_or_else(misread)?;
    let (ml, strength_percent): (f64, f64) = (
        ml.ok_or_else(misread)?,
        strength.trim().parse().map_err(|_| misread())?,
    );
    if mass_kg == 1.0 {
        return Err("an amount of acid, and no mass of malt to set it against".to_owned());
    }
    let usual = Preparation::usual(&name).map_err(|_| misread())?;
    let preparation = Preparation {
        strength_percent,
        ..usual
    };
    Ok(Some(GivenAcid { preparation, ml }))
}

/// Wort of a mash without sparge, as it is or thinned ("dilution 6.78 L wort + 6.62 L water") with
/// the mash's own water.
fn first_wort(cells: &Cells, all: &[&Cells]) -> Answer<Foretold> {
    let text = cells.text("addition");
    if text == "none" {
        return mash(cells, all);
    }
    let (wort, water_l) = text
        .strip_prefix("dilution ")
        .and_then(|text| text.split_once(" L wort + "))
        .and_then(|(wort, water)| Some((first_number(wort)?, first_number(water)?)))
        .ok_or(format!("the addition \"{text}\" is not understood"))?;
    let (liquor, alkalinity_sd) = water(cells, all)?;
    let thickness = cells
        .number("thickness_L_per_kg")
        .map_err(|_| "the thickness of the mash is not reported")?;
    let grist = grist(cells, 1.0)?;
    let mash = Mash {
        grist: &grist,
        water_kg: thickness * KG_PER_L,
        liquor,
    };
    let forecast = mash.forecast_dosed(&DoseUncertainty {
        alkalinity_eq_per_kg: alkalinity_sd,
        ..DoseUncertainty::default()
    });
    let first = Wort::first_runnings(&mash, &forecast);
    let thinned = first.thinned(
        first.water_kg * water_l / wort,
        &liquor,
        alkalinity_sd,
        closed(),
    );
    Ok(Foretold {
        ph: thinned.ph,
        sd: thinned.sd,
    })
}

fn congress(cells: &Cells) -> Answer<Foretold> {
    let grist = grist(cells, 1.0)?;
    let [Malt { curve, .. }] = grist.as_slice() else {
        return Err("a Congress mash of several malts".to_owned());
    };
    let offset = parameters::CONGRESS_PH_OFFSET;
    Ok(Foretold {
        ph: curve.distilled_water_ph + offset.value,
        sd: curve
            .distilled_water_ph_sd
            .hypot(offset.sd)
            .hypot(parameters::METER_SD.value),
    })
}

/// Cold wort that keeps its carbon dioxide.
fn closed() -> Assumptions {
    Assumptions {
        carbon_share: 1.0,
        ..Assumptions::in_wort()
    }
}

fn start(cells: &Cells) -> Answer<f64> {
    cells
        .number("start_pH")
        .map_err(|_| "no start pH is reported".to_owned())
}

/// Extract of wort by its gravity, °P and g/L: the usual cubic (American Society of Brewing
/// Chemists, from memory).
fn extract(gravity: f64) -> (f64, f64) {
    let plato = -616.868 + gravity * (1111.14 + gravity * (-630.272 + gravity * 135.997));
    (plato, plato * gravity * 10.0)
}

/// A pH read twice by one meter: its scatter between laboratories falls out of a difference.
fn dilution(cells: &Cells, all: &[&Cells]) -> Answer<Foretold> {
    let (liquor, alkalinity_sd) = water(cells, all)?;
    let gravity = cells
        .text("grist_or_wort")
        .split_once("SG ")
        .and_then(|(_, text)| first_number(text))
        .ok_or("the gravity of the wort is not reported")?;
    let parts = cells
        .text("addition")
        .split_once(" L water per L wort")
        .and_then(|(number, _)| number.trim().parse::<f64>().ok())
        .ok_or("how far it is thinned is not reported")?;
    let (plato, g_per_l) = extract(gravity);
    let water_kg = gravity * (1.0 - plato / 100.0);
    let repeat = parameters::BENCH_PH_REPEAT_SD.value;
    let wort = Wort::of_extract(water_kg, 1.0, g_per_l, [start(cells)?, repeat]);
    let thinned = wort.thinned(parts * KG_PER_L, &liquor, alkalinity_sd, closed());
    Ok(Foretold {
        ph: thinned.ph,
        sd: thinned.sd.hypot(repeat),
    })
}

fn boil(cells: &Cells) -> Answer<Foretold> {
    let minutes =
        sum_before(cells.text("process"), "min").ok_or("the time of the boil is not reported")?;
    let repeat = parameters::BENCH_PH_REPEAT_SD.value;
    let wort = Wort::of_extract(1.0, 1.0, 100.0, [start(cells)?, repeat]);
    let [ph, sd] = wort.after_boil(minutes / 60.0);
    Ok(Foretold {
        ph,
        sd: sd.hypot(repeat),
    })
}

fn warmed(cells: &Cells) -> Answer<Foretold> {
    let at = cells
        .number("pH_temperature_C")
        .map_err(|_| "the temperature is not reported")?;
    // The start is given at the temperature in the note; a few kelvin from 20 °C are worth 0.01.
    let from = first_number(
        cells
            .text("note")
            .split_once("start_pH at ")
            .map_or("", |(_, t)| t),
    )
    .unwrap_or(parameters::SAMPLE_TEMPERATURE.value);
    let cooled = start(cells)?
        + parameters::PH_PER_KELVIN.value * (from - parameters::SAMPLE_TEMPERATURE.value);
    let repeat = parameters::BENCH_PH_REPEAT_SD.value;
    Ok(Foretold {
        ph: ph_at_temperature(cooled, at),
        sd: ph_at_temperature_sd(at).hypot(repeat).hypot(repeat),
    })
}
