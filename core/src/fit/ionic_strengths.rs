//! Ionic strengths of the liquors that a fit is frozen at.

use super::problem::Liquors;

/// Ionic strengths that are frozen while a problem is solved, mol/kg: activity coefficients depend
/// on them.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct IonicStrengths {
    /// Of the mash liquor.
    pub mash: f64,
    /// Of the sparge liquor.
    pub sparge: f64,
}

impl IonicStrengths {
    /// The same for both.
    pub const fn uniform(mol_per_kg: f64) -> IonicStrengths {
        IonicStrengths {
            mash: mol_per_kg,
            sparge: mol_per_kg,
        }
    }

    /// Those of a plan's liquors.
    pub fn of(liquors: &Liquors) -> IonicStrengths {
        IonicStrengths {
            mash: liquors.mash.ionic_strength_mol_per_kg(),
            sparge: liquors.sparge.ionic_strength_mol_per_kg(),
        }
    }

    /// The greater of the two differences from others, mol/kg.
    pub fn distance(self, other: IonicStrengths) -> f64 {
        let [mash, sparge] = [self.mash - other.mash, self.sparge - other.sparge];
        mash.abs().max(sparge.abs())
    }
}
