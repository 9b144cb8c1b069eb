//! Acid before heating, where that keeps scale off the heater.

use super::error::LedgerError;
use super::heel::Heel;
use super::line::{Line, Supply, Tank, Work};
use super::run::Ledger;
use crate::error::ErrorCode;
use crate::reagent::Preparation;

/// Acid that would do more good before the liquor is heated.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct AcidFirst {
    /// Place of the acid among the lines, from 0.
    pub acid: usize,
    /// Place of the line before which it should go.
    pub before: usize,
    /// Scale of the lines as they are, g.
    pub scale_g: f64,
    /// Scale with the acid first, g.
    pub scale_acid_first_g: f64,
    /// What to say.
    pub text: String,
}

/// Compares the order of lines as they are with acid before the first line that drops scale. `None`
/// where no scale forms, no acid comes after it, or the other order is no better or does not fit
/// the tank.
///
/// # Errors
/// [`LedgerError`] where the lines as they are cannot be.
pub fn acid_first(
    tank: &Tank,
    supplies: &[Supply],
    heel: &Heel,
    lines: &[Line],
) -> Result<Option<AcidFirst>, LedgerError> {
    let ledger = entered(tank, supplies, heel, lines)?;
    let scale_of = |ledger: &Ledger| ledger.state().scale_g() - heel.state().scale_g();
    let scale_g = scale_of(&ledger);
    let scaling = ledger
        .entries()
        .iter()
        .position(|entry| entry.scale_g() > 0.0);
    let Some(before) = scaling else {
        return Ok(None);
    };
    let later = lines.iter().enumerate().skip(before);
    let acid = later
        .filter(|(_, line)| matches!(line.work, Work::Dose { preparation, .. } if preparation.is_acid()))
        .map(|(place, _)| place)
        .next();
    let Some(acid) = acid else {
        return Ok(None);
    };
    let mut other = lines.to_vec();
    let moved = other.remove(acid);
    let name = dosed_name(&moved.work);
    other.insert(before, moved);
    let acid_first = match entered(tank, supplies, heel, &other) {
        // The tank may not hold enough yet to dose into.
        Err(error) if error.problem.code != ErrorCode::NoEquilibrium => return Ok(None),
        acid_first => acid_first?,
    };
    let scale_acid_first_g = scale_of(&acid_first);
    if scale_acid_first_g >= scale_g {
        return Ok(None);
    }
    let text = format!(
        "Add the {name} before heating: {scale_acid_first_g:.0} g of scale instead of \
         {scale_g:.0} g, and carbon dioxide leaves while the liquor is still cold. Acid into \
         water, slowly, with the lid open and the room aired."
    );
    Ok(Some(AcidFirst {
        acid,
        before,
        scale_g,
        scale_acid_first_g,
        text,
    }))
}

fn entered(
    tank: &Tank,
    supplies: &[Supply],
    heel: &Heel,
    lines: &[Line],
) -> Result<Ledger, LedgerError> {
    let mut ledger = Ledger::open(tank.clone(), supplies.to_vec(), heel.clone())?;
    ledger.enter_all(lines.iter().cloned())?;
    Ok(ledger)
}

fn dosed_name(work: &Work) -> String {
    match work {
        Work::Dose { preparation, .. } => Preparation::label(preparation),
        _ => String::new(),
    }
}
