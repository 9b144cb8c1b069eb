//! The shelf: reagents as they are bought and weighed.

use underlet_tables::{REAGENTS, Reagent};

use super::kind::Need;
use super::writer::ObjectWriter;
use super::{Name, ObjectReader};
use crate::checker::Field;
use crate::error::ErrorCode;
use crate::quantity::{Amount, BareAmount, Strength};
use crate::reagent::Preparation;
use crate::recipe::check::{fields, misplaced};
use crate::recipe::{Brewhouse, ShelfReagent, Vessel, Vessels};

/// A reagent as it is bought and weighed, wherever it goes. Where it does not say its step, the
/// brewhouse does.
pub(super) fn measured(item: &mut ObjectReader<'_>, house: &Brewhouse) -> Option<ShelfReagent> {
    let names: Vec<Name<'static>> = REAGENTS.iter().map(|row| (row.key, row.aliases)).collect();
    item.describe("reagent", "The reagent.");
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
        "Step of the scale or measuring cylinder; 1 g or 1 mL where neither it nor the brewhouse \
         states one.",
    );
    let step = amount(item, fields::STEP, reagent, bare);
    item.describe(
        "min_dose",
        "Smallest dose that makes sense; one step where it is left out.",
    );
    let min_dose = amount(item, fields::MIN_DOSE, reagent, bare);
    item.describe(
        "stock",
        "Stock on hand, for all brews; plenty where it is left out.",
    );
    let stock = amount(item, fields::STOCK, reagent, bare);
    item.describe(
        "cost",
        "What a kg of a solid or a L of a liquid costs, in any currency: of plans that are as \
         good, the cheapest is weighed; the lightest where it is left out.",
    );
    let cost = item.optional_field(fields::COST);
    let reagent = reagent?;
    let preparation = preparation(item, reagent, written)?;
    let step = step.unwrap_or(if reagent.liquid {
        house.measure_step_ml
    } else {
        house.scale_step_g
    });
    Some(ShelfReagent {
        preparation,
        step,
        min_dose: min_dose.unwrap_or(step),
        stock,
        cost,
        vessels: Vec::new(),
    })
}

pub(super) fn shelved(
    item: &mut ObjectReader<'_>,
    house: &Brewhouse,
    vessels: Vessels,
) -> Option<ShelfReagent> {
    let measured = measured(item, house);
    item.describe(
        "vessels",
        "Vessels it may go into; the usual ones where it is left out.",
    );
    let at = item.optional_choices("vessels", &Vessel::NAMES);
    let at = at.map(|chosen| {
        chosen
            .into_iter()
            .filter_map(|index| Vessel::ALL.get(index).copied())
            .collect::<Vec<_>>()
    });
    let chosen = at.as_deref().unwrap_or_default();
    let reagent = measured.as_ref().map(|one| one.preparation.reagent);
    for problem in misplaced(vessels, chosen, reagent) {
        item.checked::<()>("vessels", Err(problem));
    }
    let mut shelved = measured?;
    let reagent = shelved.preparation.reagent;
    shelved.vessels = at.unwrap_or_else(|| ShelfReagent::usual_vessels(reagent, vessels));
    Some(shelved)
}

/// An amount in the reagent's own unit: grams of a solid, millilitres of a liquid.
pub(super) fn amount(
    item: &mut ObjectReader<'_>,
    field: Field,
    reagent: Option<&Reagent>,
    bare: BareAmount,
) -> Option<f64> {
    weighed(
        item,
        (field, Need::Optional),
        bare,
        reagent.map(|row| row.key),
    )
}

/// The same that must be given.
pub(super) fn required_amount(
    item: &mut ObjectReader<'_>,
    field: Field,
    reagent: Option<&Reagent>,
    bare: BareAmount,
) -> Option<f64> {
    weighed(
        item,
        (field, Need::Required),
        bare,
        reagent.map(|row| row.key),
    )
}

/// An amount in the unit of a bare one; another unit is reported where the reagent is known.
pub(super) fn weighed(
    item: &mut ObjectReader<'_>,
    (field, need): (Field, Need),
    bare: BareAmount,
    whose: Option<&str>,
) -> Option<f64> {
    let key = field.key;
    let amount = item.read_amount(key, need, field.quantity, bare)?;
    let (unit, name) = match (amount, bare) {
        (Amount::Millilitres(value), BareAmount::Millilitres)
        | (Amount::Grams(value), BareAmount::Grams) => return Some(value),
        (_, BareAmount::Millilitres) => ("mL", "millilitres"),
        (_, BareAmount::Grams) => ("g", "grams"),
    };
    item.problem(
        key,
        ErrorCode::WrongUnit,
        amount.to_string(),
        format!("{name} of {}", whose?),
        format!("Write \"{key}\": \"10 {unit}\"."),
    );
    None
}

/// The reagent at the strength that was written, or the usual one.
pub(super) fn preparation(
    item: &mut ObjectReader<'_>,
    reagent: &'static Reagent,
    written: Option<Strength>,
) -> Option<Preparation> {
    match written {
        None => Some(Preparation::of(reagent)),
        Some(strength) => item.checked("strength", Preparation::of_strength(reagent, strength)),
    }
}

/// A reagent as it is bought and weighed, wherever it goes.
pub(super) fn write_measured(shelved: &ShelfReagent) -> ObjectWriter {
    let mut of = ObjectWriter::default();
    let Preparation {
        reagent,
        strength_percent,
    } = shelved.preparation;
    of.put("reagent", reagent.key);
    of.put("strength", strength_percent);
    of.field(fields::STEP, shelved.step);
    of.field(fields::MIN_DOSE, shelved.min_dose);
    of.optional_field(fields::STOCK, shelved.stock);
    of.optional_field(fields::COST, shelved.cost);
    of
}

pub(super) fn write_shelved(shelved: &ShelfReagent) -> ObjectWriter {
    let mut of = write_measured(shelved);
    let vessels: Vec<&str> = shelved.vessels.iter().map(|vessel| vessel.key()).collect();
    of.put("vessels", vessels);
    of
}
