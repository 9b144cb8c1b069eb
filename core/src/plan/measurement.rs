//! The measurement that would raise the chance of the mash most.

use underlet_tables::parameters;

use super::codes::MeasurementCode;
use super::evaluation::Evaluation;
use super::forecast_document::RaisedBy;
use super::targets::state;
use crate::fit::Solution;
use crate::liquor::alkalinity_eq_per_kg;
use crate::mash::{DoseUncertainty, Malt, Mash};
use crate::math;
use crate::plan::TargetState;
use crate::recipe::{Source, TargetRange};
use crate::words::DISPLAY_PH;

/// Chance gained that is worth a measurement, and by which one must exceed an easier one.
const WORTH_IT: f64 = 0.03;

/// What is known once something is measured.
struct Known {
    code: MeasurementCode,
    subject: String,
    grist: Vec<Malt>,
    doses: DoseUncertainty,
}

/// The measurement that raises the chance of the mash most, or an easier one that does nearly as
/// much; `None` where the mash misses its range anyway, or no measurement is worth its work.
pub(super) fn best(solution: &Solution<'_>, evaluation: &Evaluation) -> Option<RaisedBy> {
    let now = evaluation.chances.mash?;
    let range = solution.day.targets.mash_ph?;
    let is_met = state(solution.forecast.ph, range.low, range.high, DISPLAY_PH) == TargetState::Met;
    let mut best: Option<(f64, Known)> = None;
    // From the easiest on.
    for known in candidates(solution).filter(|_| is_met) {
        let chance = chance(solution, &known, &range);
        let beaten = best.as_ref().map_or(now, |(chance, _)| *chance);
        if chance > beaten + WORTH_IT {
            best = Some((chance, known));
        }
    }
    let (probability_in_range, known) = best?;
    Some(RaisedBy {
        text: in_words(&known, now, probability_in_range),
        measurement: known.code,
        subject: known.subject,
        probability_in_range,
    })
}

fn chance(solution: &Solution<'_>, known: &Known, range: &TargetRange) -> f64 {
    let mash = Mash {
        grist: &known.grist,
        ..solution.problem.mash(solution.liquors.mash)
    };
    mash.probability_between(&known.doses, range.low, range.high)
}

/// What can be measured: the alkalinity of a water that was not, the pH of a malt in distilled
/// water, and its titration.
fn candidates<'s>(solution: &'s Solution<'_>) -> impl Iterator<Item = Known> + 's {
    let of_malts = [MeasurementCode::MaltPh, MeasurementCode::MaltTitration]
        .into_iter()
        .flat_map(move |code| malts_measured(solution, code));
    alkalinity_measured(solution).into_iter().chain(of_malts)
}

fn alkalinity_measured(solution: &Solution<'_>) -> Option<Known> {
    let doses = &solution.uncertainty.doses;
    if doses.liquor.is_some() {
        return None;
    }
    let sources = solution.day.sources.iter().zip(&solution.fitted.shares);
    let drawn = sources.filter(|(_, share)| **share > 0.0);
    let parts = drawn
        .clone()
        .map(|(source, share)| share * measured_sd(source));
    let names: Vec<&str> = drawn.map(|(source, _)| source.name.as_str()).collect();
    Some(Known {
        code: MeasurementCode::Alkalinity,
        subject: names.join(", "),
        grist: solution.day.grist.clone(),
        doses: DoseUncertainty {
            alkalinity_eq_per_kg: math::root_of_squares(parts).min(doses.alkalinity_eq_per_kg),
            ..doses.clone()
        },
    })
}

/// Standard deviation of an alkalinity that was titrated on the day, eq/kg.
fn measured_sd(source: &Source) -> f64 {
    math::root_of_squares([
        source.liquor.alkalinity_eq_per_kg * parameters::ALKALINITY_MEASURED_RELATIVE_SD.value,
        alkalinity_eq_per_kg(parameters::ALKALINITY_MEASURED_ABSOLUTE_SD.value),
    ])
}

/// Each malt of which only the class is known, measured.
fn malts_measured<'s>(
    solution: &'s Solution<'_>,
    code: MeasurementCode,
) -> impl Iterator<Item = Known> + 's {
    let grist = &solution.day.grist;
    let of_class = grist
        .iter()
        .enumerate()
        .filter(|(_, malt)| malt.is_class_prior);
    of_class.map(move |(place, malt)| {
        let mut measured = grist.clone();
        if let Some(malt) = measured.get_mut(place) {
            let curve = &mut malt.curve;
            let ph_sd = parameters::MALT_PH_MEASURED_SD.value;
            curve.distilled_water_ph_sd = curve.distilled_water_ph_sd.min(ph_sd);
            if code == MeasurementCode::MaltTitration {
                let relative = parameters::MALT_BUFFERING_MEASURED_RELATIVE_SD.value;
                let sd = relative * curve.buffering_eq_per_kg_ph;
                curve.buffering_sd = curve.buffering_sd.min(sd);
            }
        }
        Known {
            code,
            subject: malt.name.clone(),
            grist: measured,
            doses: solution.uncertainty.doses.clone(),
        }
    })
}

fn in_words(known: &Known, now: f64, then: f64) -> String {
    let subject = &known.subject;
    let what = match known.code {
        MeasurementCode::Alkalinity => format!("Titrating the alkalinity of {subject} today"),
        MeasurementCode::MaltPh => format!("Measuring this {subject}'s pH in distilled water"),
        MeasurementCode::MaltTitration => format!("Titrating this {subject} in distilled water"),
    };
    let [now, then] = [now, then].map(|chance| 100.0 * chance);
    format!("{what} would raise {now:.0} % to {then:.0} %.")
}
