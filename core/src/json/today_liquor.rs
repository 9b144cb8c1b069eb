//! The reconciled liquor of a water document in a source of a brew day.

use std::borrow::Cow;
use std::collections::BTreeMap;

use super::writer::ObjectWriter;
use super::{Name, ObjectReader};
use crate::quantity::{self, Quantity};
use crate::recipe::reconciled::{MOST_AMOUNTS, keys, together};
use crate::water_report::{
    FindingSeverity, ReconciledAmount, ReconciledLiquor, ReconciledRemark, RemarkCode,
};

/// More remarks than a report can have.
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
    let liquor = all_read.then_some(ReconciledLiquor { amounts, remarks })?;
    let problems = together(&liquor.amounts);
    let is_sound = problems.is_empty();
    for problem in problems {
        of.checked::<()>("", Err(problem));
    }
    is_sound.then_some(liquor)
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
    let text = of.remark("text");
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
