//! Everything that is dissolved in the brewing liquor, with and without a target, and the hard
//! limits on it.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};
use underlet_tables::{Reagent, Taste, elements, parameters, taste};

use super::targets::TRACE_MG_PER_L;
use crate::component::{Component, Composition};
use crate::document::document;
use crate::fit::{DoseOption, Purpose, Solution, Step};
use crate::quantity::{self, WATER_KG_PER_L_20C};
use crate::recipe::Vessel;
use crate::words::{self, spoken};

/// Change that an analysis shows, mg/L.
const SHOWN_MG_PER_L: f64 = 0.5;
/// Key of what is no component.
const ZINC: &str = "zinc";

document! {
    derive(Clone, Debug, PartialEq, Serialize, Deserialize);

    /// Something dissolved in the liquor as a whole: mash and sparge together, by mass, and what
    /// goes into the kettle per kg of its water.
    pub struct DissolvedLine {
        /// Key of the component, such as "lactate"; "zinc" for that of the kettle.
        pub key: String,
        /// Name for people.
        pub label: String,
        /// In the first source, before any addition, mg/L.
        pub source_mg_l: f64,
        /// With all that goes in, mg/L.
        pub planned_mg_l: f64,
        /// Reagents that bring it, by their keys, what brings most first.
        pub brought_by: Vec<String>,
        /// Whether the day has a range for it.
        pub has_target: bool,
        /// Whether it has no range, and changes so much that a brewer wants to know.
        pub changes_much: bool,
        /// Whether it is listed beside the targets: it has no range, and a reagent brings it or it
        /// changes much.
        pub listed: bool,
        /// From how much it is said to be tasted, mg/L; null where no figure is known.
        pub tasted_from_mg_l: Option<f64>,
        /// What to know of it; empty where there is nothing.
        pub note: String,
        /// For people, such as "phosphate, from phosphoric acid +130 mg/L".
        pub display: String,
    }

    /// A hard limit, and what the plan reaches of it.
    pub struct HardLimit {
        /// Key of what it is on.
        pub key: String,
        /// Name for people.
        pub label: String,
        /// The limit, mg/L.
        pub limit_mg_l: f64,
        /// What the plan reaches with all that goes in, mg/L.
        pub reached_mg_l: f64,
        /// For people, such as "396 mg/L of at most 400".
        pub display: String,
    }
}

/// Each component that the first source or the plan holds, in the order of the table, then zinc.
pub(super) fn lines(solution: &Solution<'_>) -> Vec<DissolvedLine> {
    let source = solution.day.first_source();
    let planned = solution.overall_with(&solution.liquors.overall, &solution.kettle);
    let brought = brought(solution);
    let mut lines = Vec::new();
    for ion in Component::ALL {
        let figures = [source.ions, planned.ions].map(|ions| ion.mg_per_l(ions.get(ion)));
        if figures.iter().any(|figure| *figure > TRACE_MG_PER_L) {
            lines.push(line(solution, ion, figures, &bringers(&brought, ion)));
        }
    }
    lines.extend(zinc(solution));
    lines
}

/// What each reagent brings to a kg of the liquor as a whole, mol.
type Brought = Vec<(&'static Reagent, Composition)>;

fn brought(solution: &Solution<'_>) -> Brought {
    let mut brought: BTreeMap<&str, (&'static Reagent, Composition)> = BTreeMap::new();
    let mut add = |reagent: &'static Reagent, ions: Composition| {
        let entry = brought.entry(reagent.key);
        let (_, sum) = entry.or_insert((reagent, Composition::ZERO));
        *sum = *sum + ions;
    };
    for step in &solution.steps {
        add(step.preparation.reagent, brought_by_step(solution, step));
    }
    if let Some(removal) = &solution.removal {
        let day = &solution.day.sources;
        let treated = &solution.problem.sources;
        let shares = &solution.fitted.shares;
        for ((source, treated), share) in day.iter().zip(treated).zip(shares) {
            let left_behind = treated.liquor.ions - source.liquor.ions;
            add(removal.shelved.preparation.reagent, left_behind * *share);
        }
    }
    brought.into_values().collect()
}

/// What chlorine leaves behind is counted with the sources.
fn brought_by_step(solution: &Solution<'_>, step: &Step) -> Composition {
    let waters = &solution.problem.waters;
    let (ions, reaches) = match step.purpose {
        Purpose::Dechlorination => return Composition::ZERO,
        Purpose::Fit(place) => {
            let option = solution.problem.doses.get(place);
            let unit = option.map(DoseOption::dose_per_unit);
            let ions = unit.unwrap_or_default().ions;
            (ions, share_reached(solution, step.vessel))
        }
        Purpose::KettleAcid | Purpose::Zinc => (step.preparation.brings_per_unit(), 1.0),
    };
    ions * (step.amount * reaches / waters.dosed_kg(step.vessel))
}

/// Share of the liquor as a whole that a dose in a vessel reaches.
fn share_reached(solution: &Solution<'_>, vessel: Vessel) -> f64 {
    let waters = &solution.problem.waters;
    let share = |reaches: bool, kg: f64| {
        if reaches {
            kg / waters.brewing_kg()
        } else {
            0.0
        }
    };
    match vessel {
        Vessel::Kettle => 1.0,
        _ => {
            share(vessel.comes_to_mash(), waters.mash_kg)
                + share(vessel.comes_to_sparge(), waters.sparge_kg)
        }
    }
}

/// Reagents that bring what an analysis shows of a component, what brings most first.
fn bringers(brought: &Brought, ion: Component) -> Vec<&'static Reagent> {
    let amounts = brought
        .iter()
        .map(|(reagent, ions)| (*reagent, ions.get(ion)));
    let mut found: Vec<_> = amounts
        .filter(|(_, amount)| ion.mg_per_l(*amount) >= SHOWN_MG_PER_L)
        .collect();
    found.sort_by(|(_, one), (_, other)| other.total_cmp(one));
    found.into_iter().map(|(reagent, _)| reagent).collect()
}

fn line(
    solution: &Solution<'_>,
    ion: Component,
    [source_mg_l, planned_mg_l]: [f64; 2],
    bringers: &[&'static Reagent],
) -> DissolvedLine {
    let has_target = solution.targets.ions.iter().any(|(of, _)| *of == ion);
    let change = planned_mg_l - source_mg_l;
    let changes_much = !has_target
        && change.abs() >= parameters::CHANGE_TOLD.value
        && change.abs() >= parameters::CHANGE_TOLD_SHARE.value * source_mg_l;
    let tasted = taste(ion.key());
    let note = if change < SHOWN_MG_PER_L {
        String::new()
    } else if let Some(tasted) = tasted.filter(|tasted| planned_mg_l > tasted.mg_per_l) {
        format!("{} from {}", tasted.taste, figures_of_taste(tasted))
    } else if ion.is_weak_acid() {
        tasted.map_or_else(
            || "no taste limit known".to_owned(),
            |tasted| format!("tasted from {}", figures_of_taste(tasted)),
        )
    } else if changes_much {
        "no target".to_owned()
    } else {
        String::new()
    };
    let names: Vec<&str> = bringers.iter().map(|reagent| reagent.key).collect();
    DissolvedLine {
        key: ion.key().to_owned(),
        label: ion.key().to_owned(),
        source_mg_l,
        planned_mg_l,
        brought_by: names.iter().map(|name| (*name).to_owned()).collect(),
        has_target,
        changes_much,
        listed: changes_much || !has_target && !names.is_empty(),
        tasted_from_mg_l: tasted.map(|tasted| tasted.mg_per_l),
        display: in_words(ion.key(), [source_mg_l, planned_mg_l], &names, &note),
        note,
    }
}

/// "about 400 mg/L (others missed 1200)".
pub(super) fn figures_of_taste(tasted: &Taste) -> String {
    let missed = tasted.missed_mg_per_l;
    let others = missed.map(|most| format!(" (others missed {most})"));
    format!(
        "about {} mg/L{}",
        tasted.mg_per_l,
        others.unwrap_or_default()
    )
}

/// "phosphate, from phosphoric acid +130 mg/L: no taste limit known".
fn in_words(label: &str, [source, planned]: [f64; 2], bringers: &[&str], note: &str) -> String {
    let from = if bringers.is_empty() {
        String::new()
    } else {
        format!(", from {}", bringers.join(" and "))
    };
    let figure = |mg_per_l: f64| words::figure(mg_per_l, "mg/L", false);
    let change = if source < TRACE_MG_PER_L {
        format!("+{}", figure(planned))
    } else {
        format!("{} → {}", figure(source), figure(planned))
    };
    let note = if note.is_empty() {
        String::new()
    } else {
        format!(": {note}")
    };
    format!("{label}{from} {change} mg/L{note}")
}

/// Zinc for the yeast, in the water of the full kettle.
fn zinc(solution: &Solution<'_>) -> Option<DissolvedLine> {
    let zinc = solution.zinc.as_ref().filter(|zinc| zinc.amount > 0.0)?;
    let mol = zinc.amount * zinc.shelved.preparation.mol_per_unit();
    let litres = solution.problem.waters.kettle_kg / WATER_KG_PER_L_20C;
    let planned_mg_l = 1000.0 * mol * elements::ZN.weight_g_per_mol / litres;
    let reagent = zinc.shelved.preparation.reagent.key;
    let note = "for the yeast".to_owned();
    Some(DissolvedLine {
        key: ZINC.to_owned(),
        label: ZINC.to_owned(),
        source_mg_l: 0.0,
        planned_mg_l,
        brought_by: vec![reagent.to_owned()],
        has_target: true,
        changes_much: false,
        listed: false,
        tasted_from_mg_l: None,
        display: in_words(ZINC, [0.0, planned_mg_l], &[reagent], &note),
        note,
    })
}

/// The hard limits of the day, each with what the plan reaches.
pub(super) fn hard_limits(solution: &Solution<'_>) -> Vec<HardLimit> {
    let limits = solution.day.targets.limits.iter();
    limits
        .map(|(of, most)| {
            let limit_mg_l = words::tidy(*most);
            let reached_mg_l = solution.reached_mg_per_l(*of);
            HardLimit {
                key: of.key().to_owned(),
                label: spoken(of.key()),
                limit_mg_l,
                reached_mg_l,
                display: of_limit(reached_mg_l, limit_mg_l),
            }
        })
        .collect()
}

/// "396 mg/L of at most 400".
fn of_limit(reached_mg_l: f64, limit_mg_l: f64) -> String {
    format!(
        "{} mg/L of at most {}",
        words::figure(reached_mg_l, "mg/L", false),
        quantity::significant(limit_mg_l, 4)
    )
}
