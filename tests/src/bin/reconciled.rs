//! Answers a peer over standard input and output, one JSON object a line.
//!
//! A question `{"report": {...}, "bench": {...}}`, each with `age_days`, `temperature_c` and
//! `entries` (a subject, a figure and its standard deviation or null; mg/L, mg/L as CaCO3, µS/cm or
//! pH), gives what was measured, with standard deviations, and what was reconciled, in mol and eq
//! per kg. A question `{"water": {...}}` with `temperature_c`, `ions`, `alkalinity` and `carbon`
//! gives the water's pH and
//! conductivity, so that a peer may use the same chemistry with its own arithmetic.

use std::collections::BTreeMap;
use std::io::{self, BufRead, Write};

use serde::{Deserialize, Serialize};
use underlet::aqueous::Aqueous;
use underlet::component::{Component, Composition};
use underlet::liquor::{Liquor, alkalinity_eq_per_kg};
use underlet::water_report::{
    Entry, Figure, Origin, ReconciledWater, Subject, Unknown, WaterReport,
};

#[derive(Deserialize)]
struct Problem {
    #[serde(default)]
    report: Written,
    #[serde(default)]
    bench: Written,
    water: Option<Water>,
}

#[derive(Deserialize, Default)]
struct Written {
    age_days: Option<f64>,
    temperature_c: Option<f64>,
    entries: Vec<(String, f64, Option<f64>)>,
}

#[derive(Deserialize)]
struct Water {
    temperature_c: f64,
    ions: BTreeMap<String, f64>,
    alkalinity: f64,
    carbon: f64,
}

#[derive(Serialize)]
struct State {
    ph: f64,
    conductivity: f64,
}

#[derive(Serialize)]
struct Answer {
    /// Origin, subject, value, standard deviation.
    measurements: Vec<(&'static str, String, f64, f64)>,
    /// Unknown, amount, standard deviation.
    amounts: Vec<(String, f64, f64)>,
    chi_square: f64,
}

impl Written {
    fn report(&self) -> Result<WaterReport, String> {
        let entries = self.entries.iter().map(|(key, figure, sd)| {
            let (subject, unit) = match key.as_str() {
                "alkalinity" => (Subject::Alkalinity, alkalinity_eq_per_kg(1.0)),
                "hardness" => (Subject::Hardness, alkalinity_eq_per_kg(1.0)),
                "dissolved_solids" => (Subject::DissolvedSolids, 1.0),
                "conductivity" => (Subject::Conductivity, 1.0),
                "ph" => (Subject::Ph, 1.0),
                key => {
                    let ion = key
                        .parse::<Component>()
                        .map_err(|problem| problem.to_string())?;
                    (Subject::Component(ion), ion.mol_per_kg(1.0))
                }
            };
            Ok(Entry {
                sd: sd.map(|sd| sd * unit),
                ..Entry::new(subject, Figure::Value(figure * unit))
            })
        });
        Ok(WaterReport {
            age_days: self.age_days,
            temperature_c: self.temperature_c,
            entries: entries.collect::<Result<_, String>>()?,
            ..WaterReport::default()
        })
    }
}

fn reported(today: &ReconciledWater) -> Answer {
    let measurements = today.measurements.iter().map(|residual| {
        let measurement = residual.measurement;
        let origin = match measurement.origin {
            Origin::Report => "report",
            Origin::Bench => "bench",
            Origin::Usual => "usual",
        };
        (
            origin,
            measurement.subject.key().to_owned(),
            measurement.value,
            measurement.sd,
        )
    });
    let amounts = today.amounts.iter().map(|(unknown, estimate)| {
        let name = match unknown {
            Unknown::Component(ion) => ion.key(),
            Unknown::Alkalinity => "alkalinity",
            Unknown::Carbon => "carbon",
        };
        (name.to_owned(), estimate.value, estimate.sd)
    });
    Answer {
        measurements: measurements.collect(),
        amounts: amounts.collect(),
        chi_square: today.chi_square,
    }
}

fn state(water: &Water) -> Result<State, String> {
    let mut ions = Composition::ZERO;
    for (key, amount) in &water.ions {
        let ion = key
            .parse::<Component>()
            .map_err(|problem| problem.to_string())?;
        ions.set(ion, *amount);
    }
    let liquor = Liquor {
        ions,
        alkalinity_eq_per_kg: water.alkalinity,
        carbon_mol_per_kg: water.carbon,
        temperature_c: water.temperature_c,
    };
    let state = Aqueous::at(water.temperature_c)
        .closed(&liquor)
        .map_err(|error| error.to_string())?;
    Ok(State {
        ph: state.ph,
        conductivity: state.conductivity_25c_us_per_cm(),
    })
}

fn answer(line: &str) -> Result<String, String> {
    let question: Problem = serde_json::from_str(line).map_err(|error| error.to_string())?;
    let text = if let Some(water) = &question.water {
        serde_json::to_string(&state(water)?)
    } else {
        let today = question
            .report
            .report()?
            .reconcile(&question.bench.report()?)
            .map_err(|error| error.to_string())?;
        serde_json::to_string(&reported(&today))
    };
    text.map_err(|error| error.to_string())
}

fn main() -> io::Result<()> {
    let mut out = io::stdout().lock();
    for line in io::stdin().lock().lines() {
        let text = answer(&line?)
            .unwrap_or_else(|problem| serde_json::json!({ "problem": problem }).to_string());
        writeln!(out, "{text}")?;
        out.flush()?;
    }
    Ok(())
}
