//! How sure the doses and the water of a day are.

use underlet_tables::parameters;

use crate::aqueous::Acidity;
use crate::fit::{DoseOption, Question, Vessel};
use crate::liquor::{Dose, Liquor, alkalinity_eq_per_kg};
use crate::mash::DoseUncertainty;
use crate::math;

/// How sure the doses and the water of a mash are, around its pH.
pub(super) fn uncertainty(
    question: &Question<'_>,
    shares: &[f64],
    doses: &[f64],
    liquor: &Liquor,
    ph: f64,
) -> DoseUncertainty<'static> {
    let acidity = sample_acidity(liquor);
    let (mut acid, mut dissolving, mut alkalinity) = (0.0, 0.0, 0.0);
    for (option, amount) in question.doses.iter().zip(doses) {
        if option.vessel == Vessel::SpargeLiquor {
            continue;
        }
        let dose = in_mash(question, option, *amount);
        if option.preparation.is_acid() {
            let sd = acid_sd_eq(&acidity, &dose, ph);
            acid += sd * sd;
        }
        let [_, effective_sd] = option.preparation.reagent.effective_in_mash;
        let sd = dose.alkalinity_eq * effective_sd;
        dissolving += sd * sd;
    }
    for (source, share) in question.sources.iter().zip(shares) {
        let sd = share * alkalinity_sd_eq_per_kg(&source.liquor);
        alkalinity += sd * sd;
    }
    DoseUncertainty {
        acid_eq: acid.sqrt(),
        dissolving_eq: dissolving.sqrt(),
        alkalinity_eq_per_kg: alkalinity.sqrt(),
        liquor: None,
    }
}

/// Acids as they are in a cooled sample of a liquor.
pub(super) fn sample_acidity(liquor: &Liquor) -> Acidity {
    Acidity::at(
        parameters::SAMPLE_TEMPERATURE.value,
        liquor.ionic_strength_mol_per_kg(),
    )
}

/// What of an addition comes to the mash: the tank's goes in part to the sparge.
pub(super) fn in_mash(question: &Question<'_>, option: &DoseOption, amount: f64) -> Dose {
    let in_mash = amount * question.waters.mash_kg / question.waters.dosed_kg(option.vessel);
    option.preparation.dose_per_unit().times(in_mash)
}

/// Standard deviation of the protons that a measured-out acid gives at a pH, eq.
pub(super) fn acid_sd_eq(acidity: &Acidity, dose: &Dose, ph: f64) -> f64 {
    (acidity.of_acids(&dose.ions, ph) - dose.alkalinity_eq)
        * parameters::ACID_STRENGTH_RELATIVE_SD.value
}

/// Standard deviation of a water's alkalinity as reported, eq/kg.
pub(super) fn alkalinity_sd_eq_per_kg(liquor: &Liquor) -> f64 {
    let relative =
        liquor.alkalinity_eq_per_kg.abs() * parameters::ALKALINITY_REPORT_RELATIVE_SD.value;
    let least = alkalinity_eq_per_kg(parameters::ALKALINITY_REPORT_ABSOLUTE_SD.value);
    math::at_least(relative, least)
}
