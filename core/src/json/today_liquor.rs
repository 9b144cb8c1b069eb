//! Reads today's liquor, as a water document tells it, in a source of a brew day.

use std::borrow::Cow;

use super::{Name, ObjectReader};
use crate::component::Component;
use crate::error::Code;
use crate::quantity;
use crate::water_report::{
    CARBON_KEY, FindingSeverity, REMARK_CODES, ReconciledAmount, ReconciledLiquor, ReconciledRemark,
};

/// Every ion and the carbon, each once.
const MOST_AMOUNTS: usize = Component::COUNT + 1;
/// More than a report can have.
const MOST_REMARKS: usize = 60;

pub(super) fn today_liquor(of: &mut ObjectReader<'_>) -> Option<ReconciledLiquor> {
    of.describe("amounts", "Ions, weak acids and inorganic carbon.");
    let amounts = of.list("amounts", 1, MOST_AMOUNTS, amount);
    of.describe("remarks", "What a plan should say of it.");
    let remarks = of.list("remarks", 0, MOST_REMARKS, remark);
    let all_read = amounts.len() == of.length("amounts") && remarks.len() == of.length("remarks");
    let is_whole = all_read
        && amounts
            .iter()
            .enumerate()
            .all(|(place, amount)| amount.covariance.len() == place + 1);
    let told = |key: &str| amounts.iter().filter(|amount| amount.key == key).count();
    let each_once = amounts.iter().all(|amount| told(amount.key) == 1);
    if all_read && !(is_whole && each_once && told(CARBON_KEY) == 1) {
        of.problem(
            "amounts",
            Code::Contradiction,
            "amounts that do not go with their covariances",
            "each key once, \"inorganic_carbon\" among them, and as many covariances as its place in the list",
            "Copy \"today.liquor\" of the water document whole.",
        );
        return None;
    }
    all_read.then_some(ReconciledLiquor { amounts, remarks })
}

fn amount(of: &mut ObjectReader<'_>) -> Option<ReconciledAmount> {
    let names: Vec<Name<'static>> = Component::ALL
        .into_iter()
        .map(Component::key)
        .chain([CARBON_KEY])
        .map(|key| (key, [].as_slice()))
        .collect();
    of.describe("key", "Key of the ion, or \"inorganic_carbon\".");
    let key = of.choice("key", &names).and_then(|place| names.get(place));
    of.describe("mmol_per_kg", "Amount per kg of water.");
    let mmol_per_kg = of.quantity("mmol_per_kg", &quantity::MMOL_PER_KG);
    of.describe(
        "covariance",
        "Covariance with each amount of the list up to itself, (mmol/kg)².",
    );
    let covariance = of.quantities("covariance", &quantity::COVARIANCE, 1, MOST_AMOUNTS);
    (covariance.len() == of.length("covariance")).then_some(ReconciledAmount {
        key: key?.0,
        mmol_per_kg: mmol_per_kg?,
        covariance,
    })
}

fn remark(of: &mut ObjectReader<'_>) -> Option<ReconciledRemark> {
    const SEVERITIES: [(&str, FindingSeverity); 3] = [
        ("warning", FindingSeverity::Warning),
        ("doubt", FindingSeverity::Doubt),
        ("note", FindingSeverity::Note),
    ];
    let codes = REMARK_CODES.map(|code| (code, [].as_slice()));
    let code = of.choice("code", &codes);
    let severity = of.choice(
        "severity",
        &SEVERITIES.map(|(name, _)| (name, [].as_slice())),
    );
    let text = of.text("text");
    Some(ReconciledRemark {
        code: Cow::Borrowed(REMARK_CODES.get(code?)?),
        severity: SEVERITIES.get(severity?)?.1,
        text: text?,
    })
}
