//! The forecasts of a plan: mash, sparge liquor and kettle.

use underlet_tables::parameters;

use super::cautions::models::outside;
use super::correction;
use super::doubt::{Doubts, MashDoubt};
use super::evaluation::{Evaluation, SpargePh};
use super::forecast_document::{
    Contribution, CurvePoint, KettleForecast, KettleIon, MashForecast, SpargeForecast,
};
use super::measurement;
use crate::aqueous::{alkalinity_against_mash_eq_per_kg, titrated_alkalinity_eq_per_kg};
use crate::component::Component;
use crate::fit::{Aimed, Solution, zinc_per_kg};
use crate::liquor::{Liquor, mg_per_l_caco3};
use crate::mash::{Wort, is_checked_ph, ph_at_temperature};
use crate::math;
use crate::math::{TWO_SIDED_80, TWO_SIDED_95};
use crate::quantity;
use crate::recipe::{Boil, ShelfReagent, Vessel};
use crate::words::{self, TENTH_PH};

/// Ions of the liquor that are followed into the kettle.
const KETTLE_IONS: [Component; 5] = [
    Component::Calcium,
    Component::Magnesium,
    Component::Sodium,
    Component::Chloride,
    Component::Sulfate,
];
/// The curve of the mash: points on either side of the plan, and how far apart in meq per kg of
/// grist.
const CURVE_POINTS: i32 = 10;
const CURVE_STEP_MEQ_PER_KG: f64 = 2.0;
/// Difference of two alkalinities that a titration on the bench shows, mg/L as CaCO3 (a choice of
/// ours).
const TITRATION_DIFFERS_MG_PER_L: f64 = 5.0;

/// The forecast of the mash.
pub(super) fn mash(solution: &Solution<'_>, evaluation: &Evaluation) -> MashForecast {
    let (day, forecast) = (solution.day, &solution.forecast);
    let probability_in_range = evaluation.chances.mash;
    let requested_confidence_percent = solution.aimed.mash.as_ref().map(Aimed::percent);
    let grist_kg: f64 = day.grist.iter().map(|malt| malt.mass_kg).sum();
    let is_known = evaluation.doubts.mash_ph.is_none();
    let interval = |deviations| is_known.then(|| solution.mash_interval(deviations));
    MashForecast {
        ph: forecast.ph,
        sd: is_known.then_some(forecast.sd),
        interval_80: interval(TWO_SIDED_80),
        interval_95: interval(TWO_SIDED_95),
        sample_temperature_c: parameters::SAMPLE_TEMPERATURE.value,
        ph_at_rest_temperature: ph_at_temperature(forecast.ph, day.rest_temperature_c),
        rest_temperature_c: day.rest_temperature_c,
        probability_in_range,
        requested_confidence_percent,
        raised_by: measurement::best(solution, evaluation),
        correction: correction::of(solution).filter(|_| is_known),
        ph_untreated: evaluation.untreated.mash_ph,
        thickness_l_per_kg: day.mash.volume_l / grist_kg,
        uncertainty_budget: forecast
            .uncertainty_budget
            .iter()
            .filter(|_| is_known)
            .filter_map(|part| {
                Some(Contribution {
                    cause: part.cause.in_budget()?,
                    label: part.cause.label().to_owned(),
                    sd: part.sd,
                    share: part.share(forecast.sd),
                })
            })
            .collect(),
        curve: curve(solution, grist_kg),
        display: match evaluation.doubts.mash_ph {
            None => {
                let [low, high] = solution.mash_interval(TWO_SIDED_95).map(words::ph);
                format!("{} ({low}–{high}, 95 %)", words::ph(forecast.ph))
            }
            Some(MashDoubt::Ph) => format!("not known, {}", outside(forecast.ph)),
            Some(MashDoubt::Liquor) => "not known in this liquor".to_owned(),
        },
    }
}

/// The mash pH against acid around the plan.
fn curve(solution: &Solution<'_>, grist_kg: f64) -> Vec<CurvePoint> {
    let mash = solution.problem.mash(solution.liquors.mash);
    let per_kg = |eq: f64| eq / grist_kg * 1000.0;
    let acid_eq = (-CURVE_POINTS..=CURVE_POINTS)
        .map(|step| f64::from(step) * CURVE_STEP_MEQ_PER_KG / 1000.0 * grist_kg);
    mash.titration_curve(&solution.uncertainty.doses, acid_eq)
        .into_iter()
        .filter(|point| is_checked_ph(point.ph))
        .map(|point| CurvePoint {
            acid_meq_per_kg: per_kg(point.acid_eq),
            ph: point.ph,
            sd: point.sd,
        })
        .collect()
}

/// The forecast of the sparge liquor.
pub(super) fn sparge(solution: &Solution<'_>, evaluation: &Evaluation) -> Option<SpargeForecast> {
    solution.day.sparge.as_ref()?;
    let liquor = &solution.liquors.sparge;
    let alkalinity = mg_per_l_caco3(alkalinity_against_mash_eq_per_kg(liquor));
    let titrated = mg_per_l_caco3(titrated_alkalinity_eq_per_kg(liquor));
    let in_titration = if titrated - alkalinity > TITRATION_DIFFERS_MG_PER_L {
        format!(
            " (a titration to pH 4.5 finds {}: it counts the acid's own salt)",
            words::figure(titrated, "mg/L", false)
        )
    } else {
        String::new()
    };
    let SpargePh {
        closed: ph_closed,
        open: ph_open,
    } = evaluation.sparge_ph;
    let probability_in_range = evaluation.chances.sparge;
    let requested_confidence_percent = solution.aimed.sparge.as_ref().map(Aimed::percent);
    let landing = words::landing("; its", probability_in_range, requested_confidence_percent);
    Some(SpargeForecast {
        alkalinity_mg_l_caco3: alkalinity,
        titrated_alkalinity_mg_l_caco3: titrated,
        ph_closed,
        ph_open,
        probability_in_range,
        requested_confidence_percent,
        display: format!(
            "{} mg/L as CaCO3 of alkalinity against the mash{in_titration}; pH {} when fresh, up \
             to {} once it is in equilibrium with air{landing}",
            words::figure(alkalinity, "mg/L", false),
            words::ph(ph_closed),
            words::ph(ph_open)
        ),
    })
}

/// The forecast of the full kettle.
pub(super) fn kettle(solution: &Solution<'_>, doubts: &Doubts) -> KettleForecast {
    let day = solution.day;
    let (wort, dosed) = (solution.kettle.full, solution.kettle.dosed);
    let less_a_tenth = wort.ph - TENTH_PH;
    let [acid_eq, acid_sd_eq] = wort.acid_needed(less_a_tenth);
    let acid_between_eq = wort.acid_needed_between(less_a_tenth, TWO_SIDED_95);
    let acid_for_a_tenth = acid_for_a_tenth(solution, &wort, acid_eq, acid_between_eq);
    let Boil {
        hours,
        boiled_off_kg,
    } = day.boil(wort.water_kg);
    let [ph_boiled, ph_boiled_sd] = dosed.after_boil(hours);
    let dead_kg = day.kettle_dead_kg();
    let knocked_out_kg = math::at_least(wort.water_kg - boiled_off_kg - dead_kg, 0.0);
    let knocked_out = if dead_kg > 0.0 {
        format!("; wort with {knocked_out_kg:.0} kg of water is knocked out")
    } else {
        String::new()
    };
    let half_width = TWO_SIDED_95 * wort.sd;
    let is_known = !doubts.kettle_ph(solution);
    let with_additions = if dosed == wort {
        String::new()
    } else {
        format!("{} with what goes in there, ", words::ph(dosed.ph))
    };
    KettleForecast {
        ph: wort.ph,
        sd: is_known.then_some(wort.sd),
        interval_95: is_known.then_some([wort.ph - half_width, wort.ph + half_width]),
        water_kg: wort.water_kg,
        acid_for_a_tenth_meq: acid_eq * 1000.0,
        acid_for_a_tenth_sd_meq: acid_sd_eq * 1000.0,
        acid_for_a_tenth_interval_95_meq: acid_between_eq.map(|eq| eq * 1000.0),
        ph_dosed: dosed.ph,
        ph_boiled,
        ph_boiled_sd: is_known.then_some(ph_boiled_sd),
        boil_hours: hours,
        boiled_off_kg,
        knocked_out_kg,
        ions: kettle_ions(solution, wort.water_kg, boiled_off_kg),
        display: if is_known {
            let time = boil_time(hours);
            format!(
                "about {} ± {} (95 %) before the boil, {with_additions}about {} ± {} after {time} \
                 of it; {acid_for_a_tenth}{knocked_out}",
                words::ph(wort.ph),
                words::ph(half_width),
                words::ph(ph_boiled),
                words::ph(TWO_SIDED_95 * ph_boiled_sd),
            )
        } else {
            format!("not known, since it follows from the mash and the liquor{knocked_out}")
        },
        acid_for_a_tenth_display: acid_for_a_tenth,
    }
}

/// "an hour", "75 min".
fn boil_time(hours: f64) -> String {
    if hours == 1.0 {
        "an hour".to_owned()
    } else {
        quantity::BOIL_TIME.write(hours)
    }
}

/// Acid that lowers a wort by 0.1 in words: by the acid for the kettle, by one
/// that the plan gives, or by another of the shelf; or
/// in meq where there is none.
fn acid_for_a_tenth(solution: &Solution<'_>, wort: &Wort, eq: f64, between_eq: [f64; 2]) -> String {
    let is_for_kettle = |one: &&ShelfReagent| one.vessels.contains(&Vessel::Kettle);
    let acids = || {
        let shelf = solution.day.shelf.iter();
        shelf.filter(|one| one.preparation.is_acid())
    };
    let of_kettle = acids().find(is_for_kettle).map(|one| &one.preparation);
    let mut steps = solution.steps.iter().map(|step| &step.preparation);
    let given = steps.find(|preparation| preparation.is_acid());
    let any = || acids().next().map(|one| &one.preparation);
    let acid = of_kettle.or(given).or_else(any);
    let (per_eq, unit, name) = match acid.filter(|_| eq > 0.0) {
        Some(acid) => {
            let units = wort.units_needed(&acid.dose_per_unit(), wort.ph - TENTH_PH);
            (units / eq, acid.unit().to_string(), acid.label())
        }
        None => (1000.0, "meq".to_owned(), "acid".to_owned()),
    };
    let [low, high] = between_eq.map(|eq| quantity::significant(eq * per_eq, 2));
    let amount = quantity::significant(eq * per_eq, 2);
    format!("{amount} {unit} of {name} ({low} to {high} {unit}, 95 %) lowers the pH by 0.1")
}

/// Each ion that the liquor and the additions bring to the kettle, per litre of its water before
/// and after the boil. What malt brings, and what the mash keeps, is not counted.
fn kettle_ions(solution: &Solution<'_>, water_kg: f64, boiled_off_kg: f64) -> Vec<KettleIon> {
    let sparged_kg = math::at_least(water_kg - solution.problem.waters.mash_kg, 0.0);
    let liquor = Liquor::blend(&[
        (water_kg - sparged_kg, &solution.liquors.mash),
        (sparged_kg, &solution.liquors.sparge),
    ]);
    let left_kg = water_kg - boiled_off_kg;
    let Some(liquor) = liquor.filter(|_| left_kg > 0.0) else {
        return Vec::new();
    };
    // Zinc comes at the end of the boil.
    let zinc = zinc_per_kg(solution.day).ions;
    KETTLE_IONS
        .map(|ion| {
            let brought = solution.kettle.brought.ions.get(ion) / water_kg;
            let full = liquor.ions.get(ion) + brought;
            let boiled = (full + zinc.get(ion)) * water_kg / left_kg;
            KettleIon {
                ion: ion.key().to_owned(),
                full_mg_l: ion.mg_per_l(full),
                boiled_mg_l: ion.mg_per_l(boiled),
            }
        })
        .to_vec()
}
