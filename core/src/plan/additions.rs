//! What is weighed and measured out: when, how and what for.

use underlet_tables::{ReagentKind, elements};

use super::document::{Addition, BlendPart, VesselLiquor};
use crate::aqueous::alkalinity_against_mash_eq_per_kg;
use crate::fit::{AcidPart, DoseOption, Purpose, Solution, Step, liquor_in};
use crate::liquor::{Liquor, mg_per_l_caco3, water_density_kg_per_l};
use crate::math::TWO_SIDED_95;
use crate::quantity::{self, WATER_KG_PER_L_20C};
use crate::readings::{EndPoint, StepEndPoint};
use crate::recipe::{BrewDay, Meter, Source, Vessel};
use crate::words::{self, DISPLAY_PH, TENTH_PH};
use underlet_tables::parameters;

/// A powder frees vapour all at once (common practice, no source).
const SALT_INTO_KETTLE: &str =
    "Stir it in before the wort boils: thrown into the boil it foams over.";

/// Every addition, in the order of work.
pub(super) fn additions(solution: &Solution<'_>, end_points: &[StepEndPoint]) -> Vec<Addition> {
    let steps = solution.steps.iter();
    let of_step = |step: &Step| {
        let mut end_points = end_points.iter();
        let of_step = end_points.find(|one| one.step == step.number)?;
        Some(of_step.end_point.clone())
    };
    steps
        .map(|step| addition(solution, step, of_step(step)))
        .collect()
}

fn addition(solution: &Solution<'_>, step: &Step, end_point: Option<EndPoint>) -> Addition {
    let preparation = &step.preparation;
    let unit = preparation.unit();
    let most = end_point.as_ref().map_or(step.amount, |end| end.high);
    let liquor_kg = solution.problem.waters.dosed_kg(step.vessel);
    let dilution_l = preparation.dilution_l(most, liquor_kg);
    Addition {
        step: step.number,
        vessel: step.vessel,
        vessel_label: step.vessel.label().to_owned(),
        reagent: preparation.reagent.key.to_owned(),
        name: preparation.label(),
        part: step.part,
        amount: words::tidy(step.amount),
        unit,
        times: solution.day.times(step.vessel),
        display: unit.amount(step.amount).to_string(),
        before_rounding: step.before_rounding,
        when: words::in_each_brew(when(solution.day, step), solution.day.times(step.vessel)),
        dilution_l,
        how: how(solution, step, dilution_l, end_point.as_ref()),
        end_point,
        why: why(solution, step),
    }
}

/// How it is handled; of an acid that goes in more than once, only the first time.
fn how(
    solution: &Solution<'_>,
    step: &Step,
    dilution_l: Option<f64>,
    end_point: Option<&EndPoint>,
) -> String {
    let reagent = step.preparation.reagent;
    let steps = solution.steps.iter();
    let mut before = steps.take_while(|other| other.number < step.number);
    let is_known = before.any(|other| other.preparation.reagent.key == reagent.key);
    let Some(litres) = dilution_l else {
        return match (step.vessel, reagent.kind) {
            (Vessel::Kettle, ReagentKind::Salt) => SALT_INTO_KETTLE.to_owned(),
            _ => step.preparation.handling().to_owned(),
        };
    };
    let amount = step.preparation.unit().amount(step.amount);
    let slowly = match step.vessel {
        Vessel::MashTun => "pour it over the whole bed while the mash is stirred",
        _ => "pour it in slowly while the liquor is stirred",
    };
    let litres = words::volume(litres);
    let stir = match end_point {
        None => format!("Stir {amount} into {litres} of cold water, then {slowly}."),
        Some(end) => format!(
            "Stir {} into {litres} of cold water, then {slowly}, the last third in small parts, \
             until the meter shows {:.1} (cooled to 20 °C). Expect about {amount} of the acid, \
             {} at least, and stop when it is all in.",
            step.preparation.unit().amount(end.high),
            end.ph,
            step.preparation.unit().amount(end.low),
        ),
    };
    if is_known {
        stir
    } else {
        format!("{stir} {}", step.preparation.handling())
    }
}

/// When an addition is made.
fn when(day: &BrewDay, step: &Step) -> &'static str {
    let reads_ph = day.brewhouse.meters.contains(&Meter::Ph);
    match (step.purpose, step.vessel, step.preparation.is_acid()) {
        (Purpose::Dechlorination, ..) => "first of all, with the liquor moving",
        (Purpose::Zinc, ..) => "at the end of the boil",
        (_, Vessel::HotLiquorTank, _) => "after filling, before heating, with the liquor moving",
        (_, Vessel::MashTun, false) => "into the mash, spread over the grist as it goes in",
        (_, Vessel::MashLiquor, _) => "into the mash liquor, stirred in before the grist",
        (_, Vessel::MashTun, true) => match step.part {
            Some(AcidPart::First) => "after mashing in, the first part",
            Some(AcidPart::Rest) => "after the first reading, as much of it as that still asks for",
            None => "after mashing in",
        },
        (_, Vessel::SpargeLiquor, _) if day.tank.is_some() => {
            "once the mash liquor is drawn, before sparging"
        }
        (_, Vessel::SpargeLiquor, _) => "as it is filled, cold if it is heated there",
        (_, Vessel::Kettle, _) if reads_ph => "at kettle full, once its pH has been read",
        (_, Vessel::Kettle, _) => "at kettle full",
    }
}

fn why(solution: &Solution<'_>, step: &Step) -> String {
    match step.purpose {
        Purpose::Dechlorination => why_dechlorination(solution),
        Purpose::Fit(index) => solution
            .problem
            .doses
            .get(index)
            .map_or_else(String::new, |option| effect(solution, step, index, option)),
        Purpose::KettleAcid => why_kettle_acid(solution, step),
        Purpose::Zinc => why_zinc(solution, step),
    }
}

fn why_dechlorination(solution: &Solution<'_>) -> String {
    let removal = solution.removal.as_ref();
    let removed = removal.map_or(0.0, |removal| {
        removal.removed_mg_per_l(&solution.fitted.shares)
    });
    format!("takes out {} mg/L of chlorine", words::number(removed))
}

/// What a dose, or a part of it, does: by leaving it out.
fn effect(solution: &Solution<'_>, step: &Step, index: usize, option: &DoseOption) -> String {
    let problem = &solution.problem;
    let mut without = solution.fitted.doses.clone();
    if let Some(dose) = without.get_mut(index) {
        *dose -= step.amount;
    }
    let (with, other) = (
        &solution.liquors,
        problem.liquors(&solution.fitted.shares, &without),
    );
    let change = with.overall.ions - other.overall.ions;
    let base = with.overall.alkalinity_eq_per_kg - other.overall.alkalinity_eq_per_kg;
    let mut effects = words::effects(change.iter(), base);
    if option.vessel.comes_to_mash() {
        let shift = solution.forecast.ph - problem.mash(other.mash).ph();
        if shift.abs() >= DISPLAY_PH {
            effects.push(format!("mash pH {}", words::change(shift, 2)));
        }
    }
    if option.preparation.is_acid() && option.vessel.comes_to_sparge() {
        let against_mash =
            |liquor: &Liquor| mg_per_l_caco3(alkalinity_against_mash_eq_per_kg(liquor));
        let fall = against_mash(&with.sparge) - against_mash(&other.sparge);
        if problem.waters.sparge_kg > 0.0 && fall.abs() >= 0.5 {
            effects.push(format!(
                "sparge alkalinity {} mg/L as CaCO3",
                words::change(fall, 0)
            ));
        }
    }
    effects.join(", ")
}

/// What the acid does, and what to do as the meter says, where there is one.
fn why_kettle_acid(solution: &Solution<'_>, step: &Step) -> String {
    let kettle = &solution.kettle;
    let dose = step.preparation.dose_per_unit().times(step.amount);
    let fall = kettle.dosed.dosed(&dose.times(-1.0)).ph - kettle.dosed.ph;
    let then = if solution.day.brewhouse.meters.contains(&Meter::Ph) {
        "so measure out for what is read"
    } else {
        "which without a pH meter decides alone"
    };
    let unit = step.preparation.unit();
    // The same factors as of the acid for the whole kettle.
    let per_tenth = step.amount * TENTH_PH / fall;
    let less_a_tenth = kettle.full.ph - TENTH_PH;
    let [acid_eq, _] = kettle.full.acid_needed(less_a_tenth);
    let [low, high] = kettle
        .full
        .acid_needed_between(less_a_tenth, TWO_SIDED_95)
        .map(|eq| quantity::significant(per_tenth * eq / acid_eq, 2));
    format!(
        "kettle pH {}, 0.1 for each {} {unit} ({low} to {high} {unit}, 95 %): the forecast is good \
         to ± {}, {then}",
        words::change(-fall, 2),
        words::number(per_tenth),
        words::ph(TWO_SIDED_95 * kettle.full.sd)
    )
}

fn why_zinc(solution: &Solution<'_>, step: &Step) -> String {
    let mol = step.amount * step.preparation.mol_per_unit();
    let litres = solution.after_boil_kg() / WATER_KG_PER_L_20C;
    let mg_per_l = 1000.0 * mol * elements::ZN.weight_g_per_mol / litres;
    format!(
        "zinc +{} mg/L after the boil, less what the break takes",
        quantity::significant(mg_per_l, 2)
    )
}

/// Liquor to let into each vessel, in the order of work.
pub(super) fn vessels(solution: &Solution<'_>) -> Vec<VesselLiquor> {
    let (day, waters) = (solution.day, &solution.problem.waters);
    let draws = [
        (
            Vessel::HotLiquorTank,
            day.tank.as_ref(),
            waters.tank_kg.unwrap_or(0.0),
        ),
        (Vessel::MashTun, Some(&day.mash), waters.mash_kg),
        (Vessel::SpargeLiquor, day.sparge.as_ref(), waters.sparge_kg),
    ];
    let liquor = |vessel| match vessel {
        Vessel::HotLiquorTank => {
            let (shares, doses) = (&solution.fitted.shares, &solution.fitted.doses);
            let in_tank = liquor_in(&solution.problem, vessel, shares, doses);
            in_tank.unwrap_or(solution.liquors.blend)
        }
        Vessel::SpargeLiquor => solution.liquors.sparge,
        _ => solution.liquors.mash,
    };
    let vessels = draws.into_iter().filter_map(|(vessel, draw, water_kg)| {
        let draw = draw?;
        let times = day.times(vessel);
        let portions = match vessel {
            Vessel::SpargeLiquor => day.sparge_portions,
            _ => 1,
        };
        let mut display = format!(
            "{} at {} ({water_kg:.0} kg of water)",
            words::volume(draw.volume_l),
            words::temperature(draw.temperature_c)
        );
        if times > 1 {
            display = format!("{times} × {display}");
        }
        if portions > 1 {
            let each = words::volume(draw.volume_l / portions as f64);
            display = format!("{display} in {portions} portions of {each}");
        }
        Some(VesselLiquor {
            vessel,
            label: vessel.label().to_owned(),
            volume_l: draw.volume_l,
            temperature_c: draw.temperature_c,
            water_kg,
            times,
            portions,
            residual_alkalinity_mg_l_caco3: residual_alkalinity_mg_l_caco3(&liquor(vessel)),
            display,
        })
    });
    vessels.collect()
}

/// What the liquor is blended from.
pub(super) fn blend(solution: &Solution<'_>) -> Vec<BlendPart> {
    let water_kg = solution.problem.waters.blended_kg();
    let sources = solution.day.sources.iter().zip(&solution.fitted.shares);
    sources
        .map(|(source, &share)| blend_part(source, share, water_kg))
        .collect()
}

/// A source's share of so much water.
pub(super) fn blend_part(source: &Source, share: f64, water_kg: f64) -> BlendPart {
    let cold = water_density_kg_per_l(parameters::SAMPLE_TEMPERATURE.value);
    let share = if share > 1e-9 { share } else { 0.0 };
    let volume_l = share * water_kg / cold;
    BlendPart {
        source: source.name.clone(),
        share,
        volume_l,
        residual_alkalinity_mg_l_caco3: residual_alkalinity_mg_l_caco3(&source.liquor),
        display: format!("{volume_l:.0} L at 20 °C ({:.0} %)", share * 100.0),
    }
}

/// Residual alkalinity with the alkalinity that works against the mash: what weak acids left in the
/// liquor takes no acid there.
fn residual_alkalinity_mg_l_caco3(liquor: &Liquor) -> f64 {
    let weak_acids = liquor.alkalinity_eq_per_kg - alkalinity_against_mash_eq_per_kg(liquor);
    mg_per_l_caco3(liquor.residual_alkalinity_eq_per_kg() - weak_acids)
}
