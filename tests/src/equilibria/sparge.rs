//! Acid for sparge liquor: what a day's plan gives, against what PHREEQC needs, and the pH to which
//! PHREEQC brings the planned liquor.

use serde_json::{Value, json};
use underlet::{Plan, Vessel, json};

use super::node::Node;
use super::{Outcome, Score, Tolerance};

/// How far the acid may be from what is needed, per cent.
const ACID_PERCENT: f64 = 3.0;
/// How far a forecast pH may be off: the accuracy that is asked of all equilibria.
const PH: f64 = 0.002;
/// Where closed liquor for sparging may be; at its low end nothing is allowed below.
const SOUND_PH: [f64; 2] = [5.2, 6.5];
/// The plan is the one that PHREEQC was given if it is within a step of the shelf, mmol/kg.
const STEP: f64 = 0.001;

/// What a plan gives to the sparge liquor, mmol/kg, and the forecast of its closed pH.
fn planned(day: &Value, mmol_per_unit: f64) -> Outcome<(f64, f64)> {
    let plan = json::plan(&day.to_string()).map_err(|error| error.to_string())?;
    let forecast = plan.sparge.as_ref().ok_or_else(no_sparge)?;
    let amounts = plan.additions.iter();
    let amounts = amounts.filter(|one| one.vessel == Vessel::SpargeLiquor);
    let units: f64 = amounts.map(|one| one.amount).sum();
    let dose = units * mmol_per_unit / water_kg(&plan)?;
    Ok((dose, forecast.ph_closed))
}

fn water_kg(plan: &Plan) -> Outcome<f64> {
    let mut vessels = plan.vessels.iter();
    let sparge = vessels.find(|one| one.vessel == Vessel::SpargeLiquor);
    Ok(sparge.ok_or_else(no_sparge)?.water_kg)
}

fn no_sparge() -> String {
    "day: it has no sparge".to_owned()
}

/// The same day with acid allowed in the sparge liquor alone.
fn in_sparge_liquor(day: &Value) -> Value {
    let mut day = day.clone();
    day["shelf"][0]["vessels"] = json!(["sparge_liquor"]);
    day
}

pub fn compare(score: &mut Score, id: &str, reference: &Node) -> Outcome<()> {
    let number = |key: &str| reference.need(key).and_then(|node| node.amount());
    let (needed, given) = (
        number("needed_mmol_per_kg")?,
        number("planned_mmol_per_kg")?,
    );
    let (ph, mmol_per_unit) = (number("planned_ph")?, number("mmol_per_unit")?);
    let day = reference.need("day")?;
    for day in [day.value(), &in_sparge_liquor(day.value())] {
        let (dose, forecast) = planned(day, mmol_per_unit)?;
        if needed == 0.0 {
            let none = Tolerance::Absolute(0.0);
            score.compare(id, "acid where none is needed", dose, 0.0, none);
            continue;
        }
        let share = Tolerance::Percent(ACID_PERCENT);
        score.compare(id, "acid for the sparge", dose, needed, share);
        score.compare(
            id,
            "the plan as kept",
            dose,
            given,
            Tolerance::Absolute(STEP),
        );
        score.compare(
            id,
            "forecast of its pH",
            forecast,
            ph,
            Tolerance::Absolute(PH),
        );
    }
    if needed > 0.0 {
        let [low, high] = SOUND_PH;
        let sound = Tolerance::Absolute(0.0);
        score.compare(id, "pH 5.2 to 6.5", ph, ph.clamp(low, high), sound);
    }
    Ok(())
}
