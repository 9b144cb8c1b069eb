//! Solids other than scale of calcite: doses that do not dissolve, and calcium sulfate.

use super::finding::{HEATER_C, TankFinding, TankFindingCode, cited, counted, number};
use crate::aqueous::{Aqueous, EquilibriumError, Mineral};
use crate::reagent::Preparation;
use crate::tank::figures::rounded;
use crate::tank::ledger::{Entry, Work};
use crate::water_report::FindingSeverity;

const DISSOLVING_CAUTION: &str =
    "Stir it into cold liquor, and look at the bottom before you trust the numbers.";
const LIME_CAUTION: &str = "Lime burns eyes and skin, hot lime water worse: goggles, gloves, no \
                            dust. Stir it into cold liquor.";
const HEATER_CAUTION: &str = "Acid does not take anhydrite off: heat gently, stir, and give \
                              gypsum to the mash rather than to liquor that is heated.";

/// What was given of a reagent up to a line since liquor last came in or went out, in its unit.
fn given_so_far(entries: &[Entry], place: usize, of: &Preparation) -> f64 {
    let lines = entries
        .iter()
        .take(place + 1)
        .rev()
        .map(|entry| &entry.line.work);
    let stays = |work: &&Work| {
        !matches!(
            work,
            Work::Fill { .. } | Work::Recover { .. } | Work::Draw { .. }
        )
    };
    let doses = lines.take_while(stays).map(|work| match work {
        Work::Dose {
            preparation,
            amount,
        } if preparation == of => *amount,
        _ => 0.0,
    });
    doses.sum()
}

/// A solid of which more is given than pure water of that temperature takes up.
pub(super) fn undissolved(entries: &[Entry], place: usize) -> Option<TankFinding> {
    let entry = entries.get(place)?;
    let Work::Dose { preparation, .. } = entry.line.work else {
        return None;
    };
    let state = entry.after.state();
    let given = given_so_far(entries, place, &preparation) / state.water_kg;
    let most = preparation.solubility_units_per_kg(state.temperature_c)?;
    if given <= most {
        return None;
    }
    Some(TankFinding {
        code: TankFindingCode::DoseNotDissolving,
        severity: FindingSeverity::Warning,
        line: counted(place),
        numbers: vec![
            number("given", given, None, "g/kg"),
            number("dissolves", most, None, "g/kg"),
            number("temperature", state.temperature_c, None, "°C"),
        ],
        text: format!(
            "{} g of {} in a kg of liquor at {:.0} °C, of which pure water dissolves {} g: the \
             rest lies on the bottom, and the lines after it count it as dissolved.",
            rounded(given),
            preparation.reagent.name,
            state.temperature_c,
            rounded(most)
        ),
        source: cited(preparation.reagent.source),
        caution: if preparation.reagent.caustic {
            LIME_CAUTION.into()
        } else {
            DISSOLVING_CAUTION.into()
        },
    })
}

/// The line on which calcium sulfate is the most above saturation, if it is on any.
pub(super) fn gypsum(entries: &[Entry]) -> Result<Option<TankFinding>, EquilibriumError> {
    let mut worst: Option<(usize, f64, f64)> = None;
    for (place, entry) in entries.iter().enumerate() {
        let state = entry.after.state();
        if state.water_kg <= 0.0 {
            continue;
        }
        let index = state.equilibrium()?.saturation_index(Mineral::Gypsum);
        if index > 0.0 && worst.is_none_or(|(_, most, _)| index > most) {
            worst = Some((place, index, state.temperature_c));
        }
    }
    Ok(worst.map(|(place, index, temperature_c)| TankFinding {
        code: TankFindingCode::GypsumSupersaturated,
        severity: FindingSeverity::Warning,
        line: counted(place),
        numbers: vec![
            number("gypsum_saturation_index", index, None, ""),
            number("temperature", temperature_c, None, "°C"),
        ],
        text: format!(
            "At {temperature_c:.0} °C the liquor holds more calcium sulfate than it can keep \
             dissolved (saturation index {}): gypsum does not dissolve in it, or comes down as \
             scale.",
            rounded(index)
        ),
        source: cited("gypsum-solubility"),
        caution: DISSOLVING_CAUTION.into(),
    }))
}

/// The heating after which calcium sulfate is the most above saturation at the heater's skin: hot,
/// anhydrite is what forms.
pub(super) fn anhydrite(entries: &[Entry]) -> Result<Option<TankFinding>, EquilibriumError> {
    let skin = Aqueous::at(HEATER_C);
    let mut worst: Option<(usize, f64, [f64; 2])> = None;
    for (place, entry) in entries.iter().enumerate() {
        if !matches!(entry.line.work, Work::Heat { .. }) {
            continue;
        }
        let state = entry.after.state();
        let of = |hot: &Aqueous| -> Result<f64, EquilibriumError> {
            Ok(hot
                .closed(&state.liquor())?
                .saturation_index(Mineral::Anhydrite))
        };
        let index = of(&skin)?;
        if index > 0.0 && worst.is_none_or(|(_, most, _)| index > most) {
            let here = of(&Aqueous::at(state.temperature_c))?;
            worst = Some((place, index, [here, state.temperature_c]));
        }
    }
    Ok(
        worst.map(|(place, index, [here, temperature_c])| TankFinding {
            code: TankFindingCode::AnhydriteOnHeater,
            severity: FindingSeverity::Doubt,
            line: counted(place),
            numbers: vec![
                number("anhydrite_saturation_index_at_heater", index, None, ""),
                number("heater", HEATER_C, None, "°C"),
                number("anhydrite_saturation_index", here, None, ""),
                number("temperature", temperature_c, None, "°C"),
            ],
            text: format!(
                "Calcium sulfate dissolves the less the hotter it is: at a heater's skin of up to \
                 {HEATER_C:.0} °C anhydrite is above saturation (index {}; {} in the liquor at \
                 {temperature_c:.0} °C) and may grow there.",
                rounded(index),
                rounded(here)
            ),
            source: cited("nordstrom-1990"),
            caution: HEATER_CAUTION.into(),
        }),
    )
}
