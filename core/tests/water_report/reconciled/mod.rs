//! Reconciled waters: laws, worked examples, and a general-purpose solver's answers.

mod laws;
mod references;

use underlet::component::Component;
use underlet::liquor::alkalinity_eq_per_kg;
use underlet::water_report::{Entry, Figure, Subject, WaterReport};

/// An entry in mg/L, mg/L as CaCO3, µS/cm or pH.
pub fn entry(subject: Subject, figure: f64) -> Entry {
    let value = match subject {
        Subject::Component(ion) => ion.mol_per_kg(figure),
        Subject::Alkalinity | Subject::Hardness | Subject::PhenolphthaleinAlkalinity => {
            alkalinity_eq_per_kg(figure)
        }
        _ => figure,
    };
    Entry::new(subject, Figure::Value(value))
}

/// An ion in mg/L.
pub fn ion(ion: Component, mg_per_l: f64) -> Entry {
    entry(Subject::Component(ion), mg_per_l)
}

/// A report of today.
pub fn report(entries: Vec<Entry>) -> WaterReport {
    WaterReport {
        age_days: Some(0.0),
        entries,
        ..WaterReport::default()
    }
}

/// The water of Standard Methods 1030 E style arithmetic in the worked examples: 5.326 meq/L of
/// cations, 5.463 of anions.
pub fn balanced_enough() -> Vec<Entry> {
    vec![
        ion(Component::Calcium, 55.0),
        ion(Component::Magnesium, 18.0),
        ion(Component::Sodium, 23.0),
        ion(Component::Potassium, 3.9),
        // 190 mg/L of bicarbonate.
        entry(Subject::Alkalinity, 190.0 / 61.016 * 50.0435),
        ion(Component::Sulfate, 60.0),
        ion(Component::Chloride, 35.45),
        ion(Component::Nitrate, 6.2),
    ]
}
