//! Reads the shelf: reagents as they are bought and weighed.

use underlet_tables::{REAGENTS, Reagent};

use super::{Name, ObjectReader};
use crate::error::Code;
use crate::quantity::{self, Amount, BareAmount, Strength};
use crate::reagent::Preparation;
use crate::recipe::{Brewhouse, Shelved, Vessel};

/// Longest shelf a day can have.
pub(super) const MOST_REAGENTS: usize = 30;

/// A reagent as it is bought and weighed, wherever it goes. Where it does not say its step, the brewhouse does.
pub(super) fn measured(item: &mut ObjectReader<'_>, house: &Brewhouse) -> Option<Shelved> {
    let names: Vec<Name<'static>> = REAGENTS.iter().map(|row| (row.key, row.aliases)).collect();
    item.describe("reagent", "What stands on the shelf.");
    let reagent = item
        .choice("reagent", &names)
        .and_then(|index| REAGENTS.get(index));
    item.describe(
        "strength",
        "Strength of a solution or assay of a solid; the usual one where it is left out.",
    );
    let written = item.optional_strength("strength");
    let bare = if reagent.is_some_and(|row| row.liquid) {
        BareAmount::Millilitres
    } else {
        BareAmount::Grams
    };
    item.describe(
        "step",
        "Step of the scale or measuring cylinder; 1 g or 1 mL where neither it nor a brewhouse tells.",
    );
    let step = amount(item, "step", &quantity::SCALE_STEP, reagent, bare);
    item.describe(
        "min_dose",
        "Smallest dose that makes sense; one step where it is left out.",
    );
    let min_dose = amount(item, "min_dose", &quantity::STOCK, reagent, bare);
    item.describe(
        "stock",
        "Stock on hand, for all brews; plenty where it is left out.",
    );
    let stock = amount(item, "stock", &quantity::STOCK, reagent, bare);
    let reagent = reagent?;
    let strength_percent = strength(item, reagent, written)?;
    let step = step.unwrap_or(if reagent.liquid {
        house.measure_step_ml
    } else {
        house.scale_step_g
    });
    Some(Shelved {
        preparation: Preparation {
            reagent,
            strength_percent,
        },
        step,
        min_dose: min_dose.unwrap_or(step),
        stock,
        at: Vec::new(),
    })
}

pub(super) fn shelved(
    item: &mut ObjectReader<'_>,
    house: &Brewhouse,
    (has_tank, has_sparge): (bool, bool),
    brews: usize,
) -> Option<Shelved> {
    let measured = measured(item, house);
    item.describe(
        "at",
        "Vessels it may go into; the usual ones where it is left out.",
    );
    let vessels: Vec<Name<'static>> = Vessel::ALL
        .iter()
        .map(|vessel| (vessel.key(), [].as_slice()))
        .collect();
    let at = item.optional_choices("at", &vessels);
    let at = at.map(|chosen| {
        chosen
            .into_iter()
            .filter_map(|index| Vessel::ALL.get(index).copied())
            .collect::<Vec<_>>()
    });
    for vessel in at.iter().flatten() {
        let (there, key) = match vessel {
            Vessel::HotLiquorTank => (has_tank, "hot_liquor_tank"),
            Vessel::SpargeLiquor => (has_sparge, "sparge"),
            Vessel::MashTun => (true, "mash"),
            Vessel::Kettle => (true, "kettle"),
        };
        if !there {
            item.problem(
                "at",
                Code::Contradiction,
                vessel.key(),
                format!("a vessel of this day, which has no \"{key}\""),
                format!(
                    "Give the day a \"{key}\", or leave \"{}\" out.",
                    vessel.key()
                ),
            );
        }
    }
    if has_tank && brews > 1 && at.iter().flatten().any(|one| *one == Vessel::SpargeLiquor) {
        item.problem(
            "at",
            Code::Contradiction,
            Vessel::SpargeLiquor.key(),
            format!("a vessel whose liquor is for one brew alone: the tank also holds the mash liquor of the next of {brews} brews"),
            "Leave it out: dose the tank, or the mash tun.",
        );
    }
    let mut shelved = measured?;
    let reagent = shelved.preparation.reagent;
    for vessel in at.iter().flatten() {
        if !Shelved::suits(reagent, *vessel) {
            item.problem(
                "at",
                Code::Contradiction,
                vessel.key(),
                format!(
                    "a vessel for {}: salts, acids and zinc go into the kettle, and zinc nowhere else",
                    reagent.key
                ),
                format!("Leave \"{}\" out.", vessel.key()),
            );
        }
    }
    shelved.at = at.unwrap_or_else(|| Shelved::usual_vessels(reagent, has_tank));
    Some(shelved)
}

/// An amount in the reagent's own unit: grams of a solid, millilitres of a liquid.
pub(super) fn amount(
    item: &mut ObjectReader<'_>,
    key: &'static str,
    of: &'static quantity::Quantity,
    reagent: Option<&Reagent>,
    bare: BareAmount,
) -> Option<f64> {
    weighed(item, key, of, bare, reagent.map(|row| row.key))
}

/// An amount in the unit of a bare one; another unit is told where it is known whose amount it is.
pub(super) fn weighed(
    item: &mut ObjectReader<'_>,
    key: &'static str,
    of: &'static quantity::Quantity,
    bare: BareAmount,
    whose: Option<&str>,
) -> Option<f64> {
    let amount = item.optional_amount(key, of, bare)?;
    let (unit, name) = match (amount, bare) {
        (Amount::Millilitres(value), BareAmount::Millilitres)
        | (Amount::Grams(value), BareAmount::Grams) => return Some(value),
        (_, BareAmount::Millilitres) => ("mL", "millilitres"),
        (_, BareAmount::Grams) => ("g", "grams"),
    };
    item.problem(
        key,
        Code::WrongUnit,
        amount.to_string(),
        format!("{name} of {}", whose?),
        format!("Write \"{key}\": \"10 {unit}\"."),
    );
    None
}

/// Strength in % by mass, from what was written or the usual one.
pub(super) fn strength(
    item: &mut ObjectReader<'_>,
    reagent: &'static Reagent,
    written: Option<Strength>,
) -> Option<f64> {
    let [low, high] = reagent.strength_range_percent;
    let percent = match written {
        None => Some(reagent.usual_strength_percent),
        Some(Strength::MassPercent(percent)) => Some(percent),
        Some(Strength::MolPerLitre(molarity)) => {
            Preparation::of_molarity(reagent, molarity).map(|made| made.strength_percent)
        }
    };
    let inside = percent.filter(|percent| (low..=high).contains(percent));
    if inside.is_none() {
        item.problem(
            "strength",
            Code::OutOfRange,
            written.map_or_else(String::new, |strength| strength.to_string()),
            format!("{} from {low} to {high} % by mass", reagent.key),
            format!(
                "Read the label and write \"strength\": \"{} %\".",
                reagent.usual_strength_percent
            ),
        );
    }
    inside
}

/// A whole number, of at least and at most so many.
pub(super) fn count(
    of: &mut ObjectReader<'_>,
    key: &'static str,
    [least, most]: [usize; 2],
) -> Option<usize> {
    let number = of.optional_quantity(key, &quantity::COUNT)?;
    let whole = (least..=most).find(|count| *count as f64 == number);
    if whole.is_none() {
        let from = if least > 0 { "from 1 " } else { "" };
        of.problem(
            key,
            Code::OutOfRange,
            number.to_string(),
            format!("a whole number {from}up to {most}"),
            format!("Write \"{key}\": 4."),
        );
    }
    whole
}
