//! What the water brings too much of, and what takes it out.

use super::softening::Softening;
use crate::component::Component;
use crate::fit::Solution;
use crate::liquor::Liquor;
use crate::plan::document::{TargetLine, TargetState};
use crate::words;

/// Why an ion is above its range, where the water rather than the doses brings it there.
pub(super) fn too_much(
    solution: &Solution<'_>,
    line: &TargetLine,
    softening: Option<&Softening<'_>>,
) -> Option<String> {
    let is_above = line.state == TargetState::Above;
    let ion = line.key.component().filter(|_| is_above)?;
    let in_blend = ion.mg_per_l(solution.liquors.blend.ions.get(ion));
    let (high, planned) = line.high.zip(line.planned)?;
    if in_blend - high <= planned - in_blend {
        return None;
    }
    let figure = words::figure(in_blend, "mg/L", false);
    Some(match softening {
        Some(softening) if ion == Component::Calcium => softening.too_much_calcium(&figure),
        _ => only_purer_water(solution, ion, &figure),
    })
}

fn only_purer_water(solution: &Solution<'_>, ion: Component, figure: &str) -> String {
    let of = |liquor: &Liquor| liquor.ions.get(ion);
    let sources = solution.day.sources.iter();
    let least = sources.min_by(|one, other| of(&one.liquor).total_cmp(&of(&other.liquor)));
    match least {
        Some(purest) if solution.day.sources.len() > 1 => format!(
            "the blend already brings {figure} mg/L; only more of {} could lower it, which the \
             other ranges or its limit do not allow",
            purest.name
        ),
        _ => format!(
            "the water already brings {figure} mg/L, and only dilution with purer water, or a \
             membrane, takes it out"
        ),
    }
}
