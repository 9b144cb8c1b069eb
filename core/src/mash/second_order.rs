//! What the error bar of a mash leaves out: its second order.

use super::effects::Effects;
use super::{Chemistry, Mash};
use crate::math;
use crate::uncertainty::Cause;

/// How a forecast would read if its curvature were followed one order further.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct SecondOrder {
    /// Standard deviation.
    pub sd: f64,
    /// How far the mean lies from the forecast, pH.
    pub shift: f64,
}

impl SecondOrder {
    /// The next order of mean and variance of `N/B`, both uncertain: N the acid that all causes
    /// make, in eq, B the buffering with its relative error r, and with its change along the pH.
    /// Distilled-water pH and buffering of one malt go as a product Q. With all causes normal,
    ///
    /// ```text
    /// B² E[x²] = E[(N + Q)² (1 − 2 r + 3 r²)] = V(N) + V(Q) + 3 V(N) V(r) + 6 C(N, r)² − 4 E[N Q r],  B E[x] = −C(N, r)
    /// ```
    ///
    /// The buffering of a malt is normal in its logarithm, with a deviation s: where its buffering
    /// makes an acid a, a relative error ρ, and the error of its own pH an acid l, that adds
    ///
    /// ```text
    /// to B² V(x):  Σ (a² + l²) s² − 6 Σ a² ρ s − C(N, r) Σ a s − V(N) Σ ρ s
    /// to B E[x]:   Σ a s / 2
    /// ```
    pub(super) fn of(
        mash: &Mash<'_>,
        chemistry: &Chemistry,
        effects: &Effects,
        ph: f64,
        sd: f64,
    ) -> SecondOrder {
        let buffering = mash.buffering_eq_per_ph(chemistry, ph);
        let (mut of_acid, mut of_buffering, mut together) = (0.0, 0.0, 0.0);
        for effect in effects.all() {
            let [acid, relative] = [effect.acid_eq, effect.buffering].map(|eq| eq / buffering);
            of_acid += acid * acid;
            of_buffering += relative * relative;
            together += acid * relative;
        }
        let (mut of_product, mut of_three) = (0.0, 0.0);
        for (malt, effect) in mash.grist.iter().zip(effects.by(Cause::MaltBuffering)) {
            let product = effect.buffering * malt.curve.distilled_water_ph_sd / buffering;
            let share = malt.mass_kg * malt.curve.buffering_at(ph) / buffering;
            of_product += product * product;
            of_three += share * product * product;
        }
        let factors = Factors::of(mash, effects, buffering);
        // The buffering along the pH: its first and second derivative, over the error bar itself.
        let in_acid = of_acid.sqrt();
        let [below, above] = [ph - in_acid, ph + in_acid]
            .map(|ph| mash.buffering_eq_per_ph(chemistry, ph) / buffering);
        let slope = (above - below) / 2.0;
        let bend = above - 2.0 + below;
        let along = 3.5 * slope * slope - bend;
        let more = of_product + 3.0 * of_acid * of_buffering + 5.0 * together * together
            - 4.0 * of_three
            + factors.alone
            - together * factors.acid
            - of_acid * factors.relative
            + of_acid * along;
        SecondOrder {
            sd: math::at_least(sd * sd + more, 0.0).sqrt(),
            shift: factors.acid / 2.0 - together - slope * in_acid / 2.0,
        }
    }
}

/// Sums over malts for what bends because the error of a buffering is a factor, per buffering of
/// the mash.
#[derive(Default)]
struct Factors {
    /// Σ (a² + l²) s² − 6 Σ a² ρ s.
    alone: f64,
    /// Σ a s.
    acid: f64,
    /// Σ ρ s.
    relative: f64,
}

impl Factors {
    fn of(mash: &Mash<'_>, effects: &Effects, buffering: f64) -> Factors {
        let mut sums = Factors::default();
        let lots = effects.by(Cause::MaltLots);
        let buffers = effects.by(Cause::MaltBuffering);
        for ((malt, lot), buffer) in mash.grist.iter().zip(lots).zip(buffers) {
            let log_sd = malt.curve.buffering_log_sd();
            let [of_lot, acid, relative] =
                [lot.acid_eq, buffer.acid_eq, buffer.buffering].map(|eq| eq / buffering);
            let squares = acid * acid + of_lot * of_lot;
            sums.alone += (squares * log_sd - 6.0 * acid * acid * relative) * log_sd;
            sums.acid += acid * log_sd;
            sums.relative += relative * log_sd;
        }
        sums
    }
}
