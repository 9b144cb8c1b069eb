//! The reconciled liquor of a water document in a source of a brew day.

use std::borrow::Cow;
use std::collections::BTreeMap;

use super::writer::ObjectWriter;
use super::{Name, ObjectReader};
use crate::component::Component;
use crate::error::Code;
use crate::quantity::{self, Quantity};
use crate::water_report::{
    CARBON_KEY, FindingSeverity, ReconciledAmount, ReconciledLiquor, ReconciledRemark, RemarkCode,
};

/// Every ion and the carbon, each once.
const MOST_AMOUNTS: usize = Component::COUNT + 1;
/// More than a report can have.
const MOST_REMARKS: usize = 60;
const SEVERITIES: [(&str, FindingSeverity); 3] = [
    ("warning", FindingSeverity::Warning),
    ("doubt", FindingSeverity::Doubt),
    ("note", FindingSeverity::Note),
];

pub(super) fn today_liquor(of: &mut ObjectReader<'_>) -> Option<ReconciledLiquor> {
    of.describe("amounts", "Ions, weak acids and inorganic carbon.");
    let amounts = of.list("amounts", 1, MOST_AMOUNTS, amount);
    of.describe("remarks", "What a plan should say of it.");
    let remarks = of.list("remarks", 0, MOST_REMARKS, remark);
    let all_read = amounts.len() == of.length("amounts") && remarks.len() == of.length("remarks");
    let times = |key: &str| amounts.iter().filter(|amount| amount.key == key).count();
    let each_once = amounts.iter().all(|amount| times(&amount.key) == 1);
    if all_read && !(each_once && times(CARBON_KEY) == 1 && is_whole(&amounts)) {
        of.problem(
            "amounts",
            Code::Contradiction,
            "amounts that do not go with their covariances",
            "each key once, \"inorganic_carbon\" among them, a variance for each amount, and a \
             covariance for each two",
            "Copy \"reconciled.liquor\" of the water document whole.",
        );
        return None;
    }
    all_read.then_some(ReconciledLiquor { amounts, remarks })
}

/// Whether each amount has its variance, each two of them one covariance, and no other is given.
fn is_whole(amounts: &[ReconciledAmount]) -> bool {
    let given = |one: &ReconciledAmount, other: &ReconciledAmount| {
        usize::from(one.covariance.contains_key(&other.key))
    };
    let pairs = amounts.iter().enumerate().all(|(place, one)| {
        let mut before = amounts.iter().take(place);
        given(one, one) == 1 && before.all(|other| given(one, other) + given(other, one) == 1)
    });
    let count: usize = amounts.iter().map(|amount| amount.covariance.len()).sum();
    pairs && count == amounts.len() * (amounts.len() + 1) / 2
}

/// Keys of all that a liquor holds: ions, weak acids and inorganic carbon.
fn keys() -> impl Iterator<Item = &'static str> {
    Component::ALL
        .into_iter()
        .map(Component::key)
        .chain([CARBON_KEY])
}

/// Numbers under the keys of a liquor's amounts; nothing where one cannot be read.
pub(super) fn amounts_by_key(
    of: &mut ObjectReader<'_>,
    quantity: &'static Quantity,
) -> Option<BTreeMap<Cow<'static, str>, f64>> {
    let mut is_whole = true;
    let mut read = BTreeMap::new();
    for key in keys() {
        of.describe(key, "Of this amount.");
        match of.optional_quantity(key, quantity) {
            Some(number) => {
                read.insert(Cow::Borrowed(key), number);
            }
            None => is_whole &= !of.has(key),
        }
    }
    is_whole.then_some(read)
}

fn amount(of: &mut ObjectReader<'_>) -> Option<ReconciledAmount> {
    let names: Vec<Name<'static>> = keys().map(|key| (key, [].as_slice())).collect();
    of.describe("key", "Key of the ion, or \"inorganic_carbon\".");
    let key = of.choice("key", &names).and_then(|place| names.get(place));
    of.describe("mmol_per_kg", "Amount per kg of water.");
    let mmol_per_kg = of.quantity("mmol_per_kg", &quantity::MMOL_PER_KG);
    of.describe(
        "covariance",
        "Its variance under its own key, and its covariance with each other amount under that \
         amount's key, (mmol/kg)²; each two amounts state it once.",
    );
    let covariance = of.object("covariance", |of| amounts_by_key(of, &quantity::COVARIANCE));
    Some(ReconciledAmount {
        key: key?.0.into(),
        mmol_per_kg: mmol_per_kg?,
        covariance: covariance?,
    })
}

fn remark(of: &mut ObjectReader<'_>) -> Option<ReconciledRemark> {
    let codes: Vec<Name<'static>> = RemarkCode::ALL
        .iter()
        .map(|code| (code.as_str(), [].as_slice()))
        .collect();
    of.describe("code", "What it is about.");
    let code = of.choice("code", &codes);
    of.describe("severity", "How grave it is.");
    let severity = of.choice(
        "severity",
        &SEVERITIES.map(|(name, _)| (name, [].as_slice())),
    );
    of.describe("text", "In plain words.");
    let text = of.text("text");
    Some(ReconciledRemark {
        code: *RemarkCode::ALL.get(code?)?,
        severity: SEVERITIES.get(severity?)?.1,
        text: text?,
    })
}

pub(super) fn write_liquor(liquor: &ReconciledLiquor) -> ObjectWriter {
    let amount = |amount: &ReconciledAmount| {
        let mut covariance = ObjectWriter::default();
        for (key, value) in &amount.covariance {
            covariance.put(key, *value);
        }
        let mut of = ObjectWriter::default();
        of.put("key", &*amount.key);
        of.put("mmol_per_kg", amount.mmol_per_kg);
        of.object("covariance", covariance);
        of
    };
    let remark = |remark: &ReconciledRemark| {
        let severity = SEVERITIES.iter().find(|(_, one)| *one == remark.severity);
        let mut of = ObjectWriter::default();
        of.put("code", remark.code.as_str());
        of.optional("severity", severity.map(|(name, _)| *name));
        of.put("text", remark.text.as_str());
        of
    };
    let mut of = ObjectWriter::default();
    of.list("amounts", liquor.amounts.iter().map(amount));
    of.list("remarks", liquor.remarks.iter().map(remark));
    of
}
