//! What heat does with the liquor of a plan: scale of calcite, and chloride on stainless steel. The
//! rules are those of the tank's day.

use super::{CautionCode, note};
use crate::component::Component;
use crate::fit::Solution;
use crate::liquor::Liquor;
use crate::plan::document::{Caution, Severity};
use crate::quantity::significant;
use crate::recipe::Vessel;
use crate::treatment::{NOTABLE_SCALE_G, SteelLimit, calcite_excess_g_per_kg, calcite_index};
use crate::words;

/// Liquor as it is heated.
struct Hot {
    vessel: Vessel,
    /// With what goes in before it is heated.
    liquor: Liquor,
    /// Its water for all brews, kg.
    water_kg: f64,
    temperature_c: f64,
}

/// The cautions for liquor that is heated.
pub(super) fn of_hot_water(solution: &Solution<'_>) -> Vec<Caution> {
    let hot = heated(solution);
    [scale(&hot), chloride(&hot, &solution.liquors.blend)]
        .into_iter()
        .flatten()
        .collect()
}

/// What is heated: the tank, from which mash and sparge liquor are drawn, or these two.
fn heated(solution: &Solution<'_>) -> Vec<Hot> {
    let (day, waters) = (solution.day, &solution.problem.waters);
    let draws = match &day.tank {
        Some(tank) => vec![(Vessel::HotLiquorTank, Some(tank))],
        None => vec![
            (Vessel::MashLiquor, Some(&day.mash)),
            (Vessel::SpargeLiquor, day.sparge.as_ref()),
        ],
    };
    let hot = draws.into_iter().filter_map(|(vessel, draw)| {
        Some(Hot {
            vessel,
            liquor: dosed_before_heating(solution, vessel),
            water_kg: waters.dosed_kg(vessel) * waters.times(vessel),
            temperature_c: match vessel {
                Vessel::HotLiquorTank => day.hottest_liquor_c(),
                _ => draw?.temperature_c,
            },
        })
    });
    hot.collect()
}

fn dosed_before_heating(solution: &Solution<'_>, vessel: Vessel) -> Liquor {
    let options = solution.problem.doses.iter().enumerate();
    let into = options.filter(|(_, option)| option.vessel == vessel);
    let water_kg = solution.problem.waters.dosed_kg(vessel);
    into.fold(solution.liquors.blend, |liquor, (index, option)| {
        let per_kg = solution.dose(index) / water_kg;
        liquor.dosed(&option.dose_per_unit(), per_kg)
    })
}

/// The liquor that drops most calcite by the time it is saturated.
fn scale(hot: &[Hot]) -> Option<Caution> {
    let grams = |hot: &Hot| {
        let excess = calcite_excess_g_per_kg(&hot.liquor, hot.temperature_c).ok()?;
        Some(excess * hot.water_kg)
    };
    let all = hot.iter().filter_map(|hot| Some((hot, grams(hot)?)));
    let (hot, grams) = all.max_by(|(_, one), (_, other)| one.total_cmp(other))?;
    let index = calcite_index(&hot.liquor, hot.temperature_c).ok()?;
    (grams >= NOTABLE_SCALE_G).then(|| Caution {
        code: CautionCode::ScaleExpected,
        severity: Severity::Care,
        text: format!(
            "At {} the {} is above saturation with calcite (index {index:.1}): about {} g of scale \
             can form in it within hours where there is old scale, less on clean steel, and takes \
             alkalinity and calcium with it, so that acid counted for it is then too much: read \
             the pH. Acid before heating, or softened water, keeps scale away. Descale with the \
             heater off and cold, and never bring acid together with a chlorine product.",
            words::temperature(hot.temperature_c),
            name(hot.vessel),
            significant(grams, 2)
        ),
    })
}

/// The liquor whose chloride is the furthest above what steel bears at its temperature.
fn chloride(hot: &[Hot], untreated: &Liquor) -> Option<Caution> {
    let of = |liquor: &Liquor| Component::Chloride.mg_per_l(liquor.ions.get(Component::Chloride));
    let over = hot
        .iter()
        .map(|hot| (of(&hot.liquor), SteelLimit::at(hot.temperature_c)));
    let (found, limit) = over
        .filter(|(found, limit)| found.round() > limit.chloride.value)
        .max_by(|(one, _), (other, _)| one.total_cmp(other))?;
    // Only what this plan gives can be given elsewhere.
    let is_given = found.round() > of(untreated).round();
    let elsewhere = if is_given {
        "give chloride salts to the mash or the kettle rather than to liquor that is heated, "
    } else {
        ""
    };
    let caution = note(
        CautionCode::ChlorideOnSteel,
        format!(
            "{} Ask the maker of the tank about grade and welds, {elsewhere}and do not let it \
             stand hot.",
            limit.in_words(found)
        ),
    );
    Some(if SteelLimit::is_beyond_cold(found) {
        Caution {
            severity: Severity::Care,
            ..caution
        }
    } else {
        caution
    })
}

/// The liquor of a vessel.
fn name(vessel: Vessel) -> &'static str {
    match vessel {
        Vessel::HotLiquorTank => "liquor in the hot-liquor tank",
        other => other.label(),
    }
}
