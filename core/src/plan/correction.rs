//! What the plan says of reading and correcting the mash: doses by reading, and the chance that
//! they come to.

use super::forecast_document::{CorrectionRow, ForeseenCorrection};
use crate::fit::Solution;
use crate::readings::Scenario;
use crate::readings::correction::{Foreseen, ForeseenRow};
use crate::words;

/// The correction that is foreseen; its rows from the last reading that asks for nothing up to
/// those at which the probe is checked first.
pub(super) fn of(solution: &Solution<'_>) -> Option<ForeseenCorrection> {
    let foreseen = Foreseen::of(solution, &Scenario::planned(solution))?;
    let likely: Vec<&ForeseenRow> = foreseen.rows.iter().filter(|row| !row.is_far_off).collect();
    let gives = likely.iter().position(|row| row.due > 0.0);
    let from = gives.unwrap_or(likely.len()).saturating_sub(1);
    let rows: Vec<CorrectionRow> = likely.iter().skip(from).map(|row| shown(row)).collect();
    let unit = foreseen.acid.unit();
    Some(ForeseenCorrection {
        place: foreseen.place,
        reagent: foreseen.acid.reagent.key.to_owned(),
        name: foreseen.acid.label(),
        unit,
        probability_in_range: foreseen.probability_in_range,
        display: display(&foreseen, &rows),
        rows,
    })
}

fn shown(row: &ForeseenRow) -> CorrectionRow {
    CorrectionRow {
        reads: words::tidy(row.reads),
        due: words::tidy(row.due),
        probability_in_range: row.probability_in_range,
    }
}

/// "lactic acid 80 % still due, mL by reading: to 5.45 none, 5.50 20, …; above, check the probe."
fn display(foreseen: &Foreseen, rows: &[CorrectionRow]) -> String {
    let unit = foreseen.acid.unit();
    let mut parts = Vec::new();
    for (index, row) in rows.iter().enumerate() {
        let reads = words::ph(row.reads);
        let due = words::number(row.due);
        parts.push(match (index, row.due > 0.0) {
            (0, false) => format!("to {reads} none"),
            (_, false) => format!("{reads} none"),
            (_, true) => format!("{reads} {due}"),
        });
    }
    format!(
        "{} still due, {} by reading: {}; above, check the probe.",
        foreseen.acid.label(),
        unit.key(),
        parts.join(", ")
    )
}
