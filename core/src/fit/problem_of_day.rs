//! A brew day as a problem of the fit.

use underlet_tables::{ReagentKind, parameters};

use super::dechlorination::Removal;
use super::prices;
use super::problem::{DoseOption, Problem, SourceOption};
use super::uptake::most_alone;
use crate::liquor::{Dose, water_density_kg_per_l};
use crate::mash::Malt;
use crate::reagent::Preparation;
use crate::recipe::{BrewDay, Vessel};

/// The day as a problem, its sources without the chlorine that a reagent of the shelf removes.
pub fn problem_of(day: &BrewDay) -> Problem<'_> {
    problem_without(day, Removal::of(day).as_ref(), Dose::default())
}

/// The same with chlorine removed so, or not at all, and with what enters the kettle after the fit.
pub(super) fn problem_without<'a>(
    day: &'a BrewDay,
    removal: Option<&Removal<'a>>,
    in_kettle: Dose,
) -> Problem<'a> {
    let waters = day.waters();
    let cold = water_density_kg_per_l(parameters::SAMPLE_TEMPERATURE.value);
    let sources = day.sources.iter().enumerate();
    let sources = sources.map(|(place, source)| SourceOption {
        liquor: removal
            .and_then(|removal| removal.of_source(place, 1.0))
            .map_or(source.liquor, |treated| treated.liquor),
        max_amount_kg: source.max_amount_l.map(|litres| litres * cold),
    });
    Problem {
        sources: sources.collect(),
        draw_step_kg: draw_step_l(waters.blended_kg() / cold) * cold,
        waters,
        grist: &day.grist,
        doses: dose_options(day),
        stocks: day.shelf.iter().map(|shelved| shelved.stock).collect(),
        targets: day.fitted_targets(),
        max_salts: day.max_salts,
        in_kettle,
    }
}

/// Every reagent that the fit may dose, by vessel in the order of work.
fn dose_options(day: &BrewDay) -> Vec<DoseOption> {
    let waters = day.waters();
    // A brewer who finds the mash too sour takes less of the malt that makes it so.
    let has_acidulated_malt = Malt::acidulated_share(&day.grist) > 0.0;
    let mut options = Vec::new();
    for vessel in Vessel::ALL {
        if waters.dosed_kg(vessel) <= 0.0 {
            continue;
        }
        let shelf = day.shelf.iter().enumerate();
        let allowed = shelf.filter(|(_, shelved)| {
            let is_base = shelved.preparation.reagent.kind == ReagentKind::Base;
            let undoes_malt = has_acidulated_malt && is_base && vessel.comes_to_mash();
            shelved.is_for_fit(vessel) && !undoes_malt
        });
        options.extend(allowed.map(|(stock, shelved)| DoseOption {
            preparation: shelved.preparation,
            vessel,
            step: shelved.step,
            min_dose: shelved.min_dose,
            most: max_taken_up(day, &shelved.preparation, vessel),
            price: prices::of_dose(day, shelved, vessel),
            stock,
        }));
    }
    options
}

/// Most of a reagent that the liquor where it goes takes up, g or mL: what dissolves, and what
/// does not exceed the concentration for which the liquor can be computed.
fn max_taken_up(day: &BrewDay, preparation: &Preparation, vessel: Vessel) -> Option<f64> {
    let water_kg = day.waters().dosed_kg(vessel);
    let alone = most_alone(&preparation.dose_per_unit(), water_kg);
    let dissolving = max_dissolving(day, preparation, vessel);
    alone.into_iter().chain(dissolving).reduce(f64::min)
}

/// Most of a reagent that dissolves where it goes, g or mL. What goes into the tun dissolves in the
/// mash in part: its effective share counts, up to the amount for which that share is known.
pub(crate) fn max_dissolving(
    day: &BrewDay,
    preparation: &Preparation,
    vessel: Vessel,
) -> Option<f64> {
    let per_kg = if vessel == Vessel::MashTun {
        preparation.most_in_mash_per_kg()
    } else {
        preparation.solubility_units_per_kg(day.temperature_c(vessel))
    };
    per_kg.map(|units| units * day.waters().dosed_kg(vessel))
}

/// A water meter or a sight glass is read to about a hundredth of what is drawn: 1, 5, 10, 50 …
/// litres.
pub(crate) fn draw_step_l(total_l: f64) -> f64 {
    let mut step = 1.0;
    for factor in [5.0, 2.0, 5.0, 2.0, 5.0, 2.0, 5.0] {
        if step * factor * 100.0 > total_l {
            break;
        }
        step *= factor;
    }
    step
}
