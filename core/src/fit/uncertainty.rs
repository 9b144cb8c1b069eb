//! How uncertain the doses and the water of a day are.

use underlet_tables::parameters;

use super::problem::{DoseOption, Problem};
use crate::aqueous::Acidity;
use crate::component::Component;
use crate::liquor::{Dose, Liquor};
use crate::mash::{Chemistry, DoseUncertainty, Mash, UncertainLiquor};
use crate::math;
use crate::recipe::{BrewDay, Source, TargetRange};
use crate::uncertainty::LiquorCovariance;

/// Uncertainty of the doses and the water of a mash, around its pH, and of those of the sparge
/// liquor.
pub(crate) struct BrewUncertainty {
    pub doses: DoseUncertainty,
}

impl BrewUncertainty {
    /// Of a mash of the day, with shares of the sources and doses of the problem.
    pub fn of(
        day: &BrewDay,
        problem: &Problem<'_>,
        shares: &[f64],
        doses: &[f64],
        mash: &Mash<'_>,
    ) -> BrewUncertainty {
        let chemistry = Chemistry::at(mash.liquor.ionic_strength_mol_per_kg());
        let at = chemistry.coefficients(mash.ph());
        let (mut acid, mut dissolving) = (0.0, 0.0);
        for (option, amount) in problem.doses.iter().zip(doses) {
            if !option.vessel.comes_to_mash() {
                continue;
            }
            let dose = in_mash(problem, option, *amount);
            let acid_eq = chemistry.acid_required(&at, &dose);
            if option.preparation.is_acid() {
                let sd = acid_eq * parameters::ACID_STRENGTH_RELATIVE_SD.value;
                acid += sd * sd;
            }
            // What does not dissolve brings no calcium and no carbon either.
            let [_, effective_sd] = option.preparation.reagent.effective_in_mash;
            let sd = acid_eq * effective_sd;
            dissolving += sd * sd;
        }
        let alkalinity = LiquorCovariance::ALKALINITY;
        BrewUncertainty {
            doses: DoseUncertainty {
                acid_eq: acid.sqrt(),
                dissolving_eq: dissolving.sqrt(),
                alkalinity_eq_per_kg: root(day.blend_covariance(shares, alkalinity, alkalinity)),
                liquor: day.covariance(shares),
            },
        }
    }

    /// The sparge liquor of doses of the problem, with the range that a meter should show.
    pub fn sparge(
        &self,
        problem: &Problem<'_>,
        doses: &[f64],
        liquor: Liquor,
        range: &TargetRange,
    ) -> UncertainLiquor {
        let chemistry = Chemistry::at(liquor.ionic_strength_mol_per_kg());
        let range = [range.low, range.high];
        let sd = |end: Option<f64>| {
            end.map_or(0.0, |ph| {
                self.sparge_acid_sd_eq_per_kg(problem, doses, &chemistry, ph)
            })
        };
        UncertainLiquor {
            liquor,
            range,
            acid_sd_eq_per_kg: range.map(sd),
        }
    }

    /// Standard deviation of the acid that the sparge liquor misses at a pH, eq/kg: of the water's
    /// amounts, and of the strength of the acids that doses of the problem bring there.
    fn sparge_acid_sd_eq_per_kg(
        &self,
        problem: &Problem<'_>,
        doses: &[f64],
        chemistry: &Chemistry,
        ph: f64,
    ) -> f64 {
        let alkalinity = self.doses.alkalinity_eq_per_kg;
        let mut variance = alkalinity * alkalinity;
        if let Some(covariance) = &self.doses.liquor {
            let mut derivatives = [0.0; LiquorCovariance::COUNT];
            for (derivative, ion) in derivatives.iter_mut().zip(Component::ALL) {
                *derivative = -chemistry.charge_per_acid(ion, ph);
            }
            derivatives[LiquorCovariance::ALKALINITY] = 1.0;
            derivatives[LiquorCovariance::CARBON] = -chemistry.charge_per_carbon(ph);
            variance = covariance.variance(&derivatives);
        }
        for (option, amount) in problem.doses.iter().zip(doses) {
            if option.vessel.comes_to_sparge() && option.preparation.is_acid() {
                let per_kg = amount / problem.waters.dosed_kg(option.vessel);
                let dose = option.preparation.dose_per_unit().times(per_kg);
                let sd = chemistry.acid_required_by_liquor(&dose, ph)
                    * parameters::ACID_STRENGTH_RELATIVE_SD.value;
                variance += sd * sd;
            }
        }
        variance.sqrt()
    }
}

/// Acids as they are in a cooled sample of a liquor.
pub(crate) fn sample_acidity(liquor: &Liquor) -> Acidity {
    Acidity::at(
        parameters::SAMPLE_TEMPERATURE.value,
        liquor.ionic_strength_mol_per_kg(),
    )
}

/// What of an addition comes to the mash: the tank's goes in part to the sparge.
pub(crate) fn in_mash(problem: &Problem<'_>, option: &DoseOption, amount: f64) -> Dose {
    let in_mash = amount * problem.waters.mash_kg / problem.waters.dosed_kg(option.vessel);
    option.preparation.dose_per_unit().times(in_mash)
}

/// Standard deviation of the protons that a measured-out acid gives at a pH, eq.
pub(crate) fn acid_sd_eq(acidity: &Acidity, dose: &Dose, ph: f64) -> f64 {
    (acidity.of_acids(&dose.ions, ph) - dose.alkalinity_eq)
        * parameters::ACID_STRENGTH_RELATIVE_SD.value
}

/// Standard deviation of a source's alkalinity, eq/kg.
pub(crate) fn alkalinity_sd_eq_per_kg(source: &Source) -> f64 {
    let alkalinity = LiquorCovariance::ALKALINITY;
    root(source.covariance(alkalinity, alkalinity))
}

/// Root of a variance: a matrix typed by hand may be no covariance.
fn root(variance: f64) -> f64 {
    math::at_least(variance, 0.0).sqrt()
}
