//! What each cause of uncertainty does to the proton balance of a mash.

use underlet_tables::parameters;

use super::{Chemistry, Derivatives, Mash};
use crate::component::Component;
use crate::liquor::Dose;
use crate::math;
use crate::uncertainty::{Cause, LiquorCovariance};

/// How uncertain the doses and the water of a mash are.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct DoseUncertainty {
    /// Standard deviation of the protons that measured-out acids give, eq.
    pub acid_eq: f64,
    /// Standard deviation of the alkalinity that partly dissolving reagents bring, eq.
    pub dissolving_eq: f64,
    /// Standard deviation of the mash liquor's alkalinity as reported, eq/kg.
    pub alkalinity_eq_per_kg: f64,
    /// Where the water was reconciled: the covariance of the mash liquor, in place of that one
    /// number.
    pub liquor: Option<LiquorCovariance>,
}

/// Standard deviations of a reading beside that of the mash, pH.
pub(super) const SAMPLING_AND_METER: [(Cause, f64); 2] = [
    (Cause::Sampling, parameters::MASH_PH_DEFINITION_SD.value),
    (Cause::Meter, parameters::METER_SD.value),
];

/// What one standard deviation of a cause does to the balance: acid in eq, and buffering in eq per
/// pH.
#[derive(Clone, Debug)]
pub(super) struct Effect {
    pub cause: Cause,
    pub acid_eq: f64,
    pub buffering: f64,
}

/// The effects of all causes at one pH but sampling and meter, which move the reading and not the
/// mash. Those of a malt's lot and buffering come once for each malt of the grist, in its order.
pub(super) struct Effects(Vec<Effect>);

impl Effects {
    pub(super) fn of(
        mash: &Mash<'_>,
        chemistry: &Chemistry,
        doses: &DoseUncertainty,
        ph: f64,
    ) -> Effects {
        let lots = mash.grist.iter().map(|malt| {
            let [lot, _] = malt.curve.acid_sd(ph);
            acid(Cause::MaltLots, malt.mass_kg * lot)
        });
        let buffers = mash.grist.iter().map(|malt| {
            let [_, buffer] = malt.curve.acid_sd(ph);
            let distance = malt.curve.distilled_water_ph - ph;
            Effect {
                cause: Cause::MaltBuffering,
                acid_eq: malt.mass_kg * buffer.copysign(distance),
                buffering: malt.mass_kg * malt.curve.buffering_sd,
            }
        });
        let protons = |ion: Component, sd: f64| {
            let held = mash.water_kg * ion.charge() * mash.liquor.ions.get(ion);
            acid(Cause::CalciumEffect, held * sd)
        };
        let carbon_sd = parameters::CARBON_SHARE_IN_MASH.sd;
        let dissolved = mash.water_kg * mash.liquor.carbon_mol_per_kg * carbon_sd;
        let others = [
            acid(
                Cause::Alkalinity,
                mash.water_kg * liquor_sd(mash, chemistry, doses, ph),
            ),
            protons(
                Component::Calcium,
                parameters::CALCIUM_PROTONS_PER_EQUIVALENT.sd,
            ),
            protons(
                Component::Magnesium,
                parameters::MAGNESIUM_PROTONS_PER_EQUIVALENT.sd,
            ),
            acid(Cause::AcidStrength, doses.acid_eq),
            acid(Cause::Dissolving, doses.dissolving_eq),
            Effect {
                cause: Cause::CarbonDioxide,
                acid_eq: -dissolved * chemistry.charge_per_carbon(ph),
                buffering: dissolved * chemistry.charge_per_carbon_slope(ph),
            },
        ];
        Effects(lots.chain(buffers).chain(others).collect())
    }

    pub(super) fn all(&self) -> impl Iterator<Item = &Effect> {
        self.0.iter()
    }

    pub(super) fn by(&self, cause: Cause) -> impl Iterator<Item = &Effect> {
        self.all().filter(move |effect| effect.cause == cause)
    }

    /// Standard deviation of the acid missing, eq.
    pub(super) fn acid_sd_eq(&self) -> f64 {
        math::root_of_squares(self.all().map(|effect| effect.acid_eq))
    }
}

fn acid(cause: Cause, acid_eq: f64) -> Effect {
    Effect {
        cause,
        acid_eq,
        buffering: 0.0,
    }
}

/// Standard deviation of what a kg of liquor contributes to the balance, eq/kg.
fn liquor_sd(mash: &Mash<'_>, chemistry: &Chemistry, doses: &DoseUncertainty, ph: f64) -> f64 {
    let Some(covariance) = &doses.liquor else {
        return doses.alkalinity_eq_per_kg;
    };
    let derivatives = balance_derivatives(mash, chemistry, ph);
    covariance.variance(&derivatives).sqrt()
}

/// What a change in each kg of the liquor contributes to the balance of a mash at a pH, eq.
pub(crate) fn liquor_eq(mash: &Mash<'_>, ph: f64, change: &Dose) -> f64 {
    let derivatives = balance_derivatives(mash, &mash.chemistry(), ph);
    let amounts = change.ions.amounts();
    let moved = amounts.chain([change.alkalinity_eq, change.carbon_mol]);
    let terms = derivatives.iter().zip(moved);
    mash.water_kg * terms.map(|(derivative, by)| derivative * by).sum::<f64>()
}

/// What each amount of a kg of liquor contributes to the balance, places as in
/// [`LiquorCovariance`].
fn balance_derivatives(
    mash: &Mash<'_>,
    chemistry: &Chemistry,
    ph: f64,
) -> [f64; LiquorCovariance::COUNT] {
    let of_ph = Derivatives::of(mash, chemistry, ph);
    let per_eq_per_kg = -mash.water_kg * of_ph.acid_eq;
    let liquor = [of_ph.alkalinity_eq_per_kg, of_ph.carbon_mol_per_kg];
    let all = of_ph.ions.amounts().chain(liquor);
    let mut derivatives = [0.0; LiquorCovariance::COUNT];
    for (derivative, of_ph) in derivatives.iter_mut().zip(all) {
        *derivative = of_ph / per_eq_per_kg;
    }
    derivatives
}
