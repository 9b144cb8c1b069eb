//! What a plan assumes because the day does not say it.

use underlet_tables::{ReagentKind, parameters};

use crate::fit::Solution;
use crate::recipe::{BrewDay, ShelfReagent, Source, Targets};
use crate::treatment::Chlorine;
use crate::words;

/// What the day did not say.
pub(super) fn assumptions(solution: &Solution<'_>) -> Vec<String> {
    let day = solution.day;
    let mut assumptions = of_sources(day);
    assumptions.extend(of_malts(day));
    assumptions.push(
        "Ions that a report does not name are taken as absent. Liquor mixes without losing carbon \
         dioxide; in the mash half of it is taken to have left."
            .to_owned(),
    );
    assumptions.extend(of_amounts(day));
    assumptions.extend(of_sparge(day, &solution.targets));
    assumptions.extend(of_chlorine(day));
    assumptions.extend(day.shelf.iter().filter_map(|one| of_reagent(day, one)));
    assumptions
}

fn of_sources(day: &BrewDay) -> Vec<String> {
    let without_ph = day.sources.iter().filter(|source| source.ph_assumed);
    let reconciled = day
        .sources
        .iter()
        .filter(|source| source.reconciled.is_some());
    let without_ph = without_ph.map(|source| {
        format!(
            "The report of \"{}\" gives no pH: {} is taken, which sets its carbon dioxide.",
            source.name,
            words::ph(parameters::REPORT_PH_ASSUMED.value)
        )
    });
    let reconciled = reconciled.map(|source| {
        format!(
            "\"{}\" is reconciled from its report and today's measurements; what neither states \
             is taken as usual in drinking water.",
            source.name
        )
    });
    without_ph.chain(reconciled).collect()
}

fn of_malts(day: &BrewDay) -> Option<String> {
    let by_class = day.grist.iter().filter(|malt| malt.is_class_prior).count();
    (by_class > 0).then(|| {
        format!(
            "No figures of the lot for {by_class} of {} malts: the average of the trade class is \
             taken. A lot's own distilled-water or Congress pH and buffering, or a titration, \
             narrows the forecast.",
            day.grist.len()
        )
    })
}

fn of_amounts(day: &BrewDay) -> Vec<String> {
    let mut assumptions = Vec::new();
    if day.recipe_scale != 1.0 {
        let times = words::number(day.recipe_scale);
        assumptions.push(format!(
            "Amounts of the recipe are taken {times} times; scales, stocks and the brewhouse are \
             as they are."
        ));
    }
    let waters = day.waters();
    let drawn_kg = waters.brews * waters.brewing_kg();
    let is_filled_further = waters.tank_kg.is_some_and(|tank_kg| tank_kg > drawn_kg);
    if let Some(tank) = day.tank.filter(|_| is_filled_further) {
        assumptions.push(format!(
            "The whole fill of the tank ({}) is treated, more than the brew draws; the rest stays \
             as heel.",
            words::volume(tank.volume_l)
        ));
    }
    assumptions
}

fn of_sparge(day: &BrewDay, targets: &Targets) -> Option<String> {
    let has_target = day.targets.sparge_alkalinity.is_some() || day.targets.sparge_ph.is_some();
    if has_target && day.sparge.is_none() {
        return Some("There is no sparge: targets for sparge liquor are left out.".to_owned());
    }
    let default = targets
        .sparge_ph
        .filter(|_| day.targets.sparge_ph.is_none())?;
    Some(format!(
        "The day gives no pH of the sparge liquor: acid takes it no lower than {}.",
        words::ph(default.low?)
    ))
}

fn of_chlorine(day: &BrewDay) -> Option<String> {
    let is_total = |one: &Chlorine| one.free_mol_per_kg == 0.0 && one.combined_mol_per_kg > 0.0;
    let mut sources = day.sources.iter();
    sources
        .any(|source| is_total(&source.chlorine))
        .then(|| "Total chlorine without the free is taken as chloramine.".to_owned())
}

/// Why a reagent of the shelf is not used, where the day gives it nothing to do.
fn of_reagent(day: &BrewDay, shelved: &ShelfReagent) -> Option<String> {
    let reagent = shelved.preparation.reagent;
    let has_chlorine = day.sources.iter().any(Source::has_chlorine);
    let why = match reagent.kind {
        ReagentKind::Dechlorinator if !has_chlorine => "No chlorine is stated",
        ReagentKind::Zinc if day.kettle.zinc_mol_per_kg.is_none() => "There is no target for zinc",
        ReagentKind::Acid if shelved.is_for_kettle_alone() => match day.kettle.ph {
            None => "There is no target for kettle pH",
            Some(ph) if ph.prefer.or(ph.high).is_none() => "The kettle pH has no upper end",
            Some(_) => return None,
        },
        _ => return None,
    };
    Some(format!(
        "{why}: {} on the shelf is left alone.",
        reagent.name
    ))
}
