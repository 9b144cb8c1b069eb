//! What a fit is frozen at: ionic strengths of the liquors, and what ion pairs of the sparge liquor
//! hold.

use underlet_tables::parameters;

use super::problem::Liquors;
use crate::aqueous::Aqueous;
use crate::liquor::Liquor;
use crate::mash::Chemistry;
use crate::recipe::TargetRange;

/// Ionic strengths that are frozen while a problem is solved, mol/kg: activity coefficients depend
/// on them. With them are frozen the ion pairs of the sparge liquor, which linear terms do not
/// know.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct IonicStrengths {
    /// Of the mash liquor.
    pub mash: f64,
    /// Of the sparge liquor.
    pub sparge: f64,
    /// Acid that the ion pairs of the sparge liquor save at the low end of its pH range, at the
    /// high end and at the preferred point, eq/kg; 0 where there is none.
    pub sparge_pairs: [f64; 3],
}

impl IonicStrengths {
    /// The same for both liquors, without pairs.
    pub const fn uniform(mol_per_kg: f64) -> IonicStrengths {
        IonicStrengths {
            mash: mol_per_kg,
            sparge: mol_per_kg,
            sparge_pairs: [0.0; 3],
        }
    }

    /// Those of a plan's liquors, with the range of the sparge pH.
    pub fn of(liquors: &Liquors, sparge_ph: Option<&TargetRange>) -> IonicStrengths {
        let points = sparge_ph.map_or([None; 3], |range| [range.low, range.high, range.prefer]);
        IonicStrengths {
            mash: liquors.mash.ionic_strength_mol_per_kg(),
            sparge: liquors.sparge.ionic_strength_mol_per_kg(),
            sparge_pairs: points.map(|ph| ph.map_or(0.0, |ph| saved_by_pairs(&liquors.sparge, ph))),
        }
    }

    /// The greatest difference from others, mol/kg or eq/kg.
    pub fn distance(self, other: IonicStrengths) -> f64 {
        let pairs = self.sparge_pairs.into_iter().zip(other.sparge_pairs);
        [(self.mash, other.mash), (self.sparge, other.sparge)]
            .into_iter()
            .chain(pairs)
            .map(|(one, another)| (one - another).abs())
            .fold(0.0, f64::max)
    }
}

/// Acid that ion pairs save on the way of closed liquor to a pH, beside what linear terms count,
/// eq/kg: bicarbonate in pairs takes none, phosphate in pairs gives more. None where no equilibrium
/// is known.
fn saved_by_pairs(liquor: &Liquor, ph: f64) -> f64 {
    let aqueous = Aqueous::at(parameters::SAMPLE_TEMPERATURE.value);
    aqueous.with_ph_and_carbon(liquor, ph).map_or(0.0, |there| {
        let chemistry = Chemistry::at(liquor.ionic_strength_mol_per_kg());
        let missing = chemistry.acid_required_by_liquor(&liquor.as_dose(), ph);
        let linear = liquor.alkalinity_eq_per_kg - missing + chemistry.free_charge(ph);
        there.liquor.alkalinity_eq_per_kg - linear
    })
}
