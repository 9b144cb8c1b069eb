//! Liquor of a tank, as a source of a brew day takes it.

use crate::component::Component;
use crate::liquor::{Dose, Liquor};
use crate::quantity::tidy;
use crate::uncertainty::Sensitivities;
use crate::water_report::{CARBON_KEY, ReconciledAmount, ReconciledLiquor, ReconciledRemark};

/// A liquor as a source of a brew day takes it: what each cause moves in a kg of its water makes
/// its covariance.
pub fn liquor_of(
    liquor: &Liquor,
    moved: &[Dose],
    remarks: &[ReconciledRemark],
) -> ReconciledLiquor {
    let held =
        |of: &Dose, ion: Option<Component>| 1e3 * ion.map_or(of.carbon_mol, |ion| of.ions.get(ion));
    let key = |ion: Option<Component>| ion.map_or(CARBON_KEY, Component::key);
    let there = |ion: &Component| {
        liquor.ions.get(*ion) != 0.0 || moved.iter().any(|by_one| by_one.ions.get(*ion) != 0.0)
    };
    let ions = Component::ALL.into_iter().filter(there).map(Some);
    let mut amounts: Vec<ReconciledAmount> = Vec::new();
    let mut known: Vec<(Option<Component>, Sensitivities)> = Vec::new();
    for ion in ions.chain([None]) {
        let of_ion: Sensitivities = moved.iter().map(|by_one| held(by_one, ion)).collect();
        known.push((ion, of_ion.clone()));
        amounts.push(ReconciledAmount {
            key: key(ion).into(),
            mmol_per_kg: tidy(held(&liquor.as_dose(), ion)),
            covariance: known
                .iter()
                .map(|(other, of_other)| (key(*other).into(), tidy(of_ion.covariance(of_other))))
                .collect(),
        });
    }
    ReconciledLiquor {
        amounts,
        remarks: remarks.to_vec(),
    }
}
