//! The forecast: mash pH, how sure it is, and why no surer.

use underlet_tables::parameters;

use super::cause::UncertaintyCause;
use super::{Chemistry, Mash};
use crate::component::Component;
use crate::math;

/// A mash pH with its error bar.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct Forecast {
    /// pH of a cooled sample, 20 to 60 minutes in.
    pub ph: f64,
    /// Standard deviation of what the brewer's meter will show.
    pub sd: f64,
    /// Where it comes from, largest first.
    pub uncertainty_budget: Vec<Contribution>,
    /// Acid per pH around the forecast, eq.
    pub buffering_eq_per_ph: f64,
    /// What the error bar leaves out.
    pub second_order: SecondOrder,
}

/// One cause of uncertainty.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct Contribution {
    /// Which cause, such as `malt_lots`.
    pub key: UncertaintyCause,
    /// Name for people.
    pub label: &'static str,
    /// Its own standard deviation, pH.
    pub sd: f64,
}

/// How sure the doses and the water are.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct DoseUncertainty<'a> {
    /// Standard deviation of the protons that measured-out acids give, eq.
    pub acid_eq: f64,
    /// Standard deviation of the alkalinity that partly dissolving reagents bring, eq.
    pub dissolving_eq: f64,
    /// Standard deviation of the mash liquor's alkalinity as reported, eq/kg.
    pub alkalinity_eq_per_kg: f64,
    /// Where the water was reconciled: the covariance of the mash liquor, in place of that one number.
    pub liquor: Option<&'a LiquorCovariance>,
}

/// Covariance of a liquor: its ions and weak acids in the order of [`Component::ALL`], then alkalinity, then inorganic carbon, in
/// mol/kg and eq/kg.
#[derive(Clone, Debug, PartialEq)]
pub struct LiquorCovariance(pub [[f64; LiquorCovariance::COUNT]; LiquorCovariance::COUNT]);

impl LiquorCovariance {
    /// How many amounts.
    pub const COUNT: usize = Component::COUNT + 2;
    /// Place of alkalinity.
    pub const ALKALINITY: usize = Component::COUNT;
    /// Place of inorganic carbon.
    pub const CARBON: usize = Component::COUNT + 1;

    /// Nothing is unsure.
    pub const ZERO: LiquorCovariance = LiquorCovariance([[0.0; Self::COUNT]; Self::COUNT]);

    /// Adds what two amounts vary together, mol²/kg²; each with its place and the charge by which it moves the alkalinity.
    pub fn add(&mut self, (one, z_one): (usize, f64), (other, z_other): (usize, f64), value: f64) {
        let rows = [(one, 1.0), (Self::ALKALINITY, z_one)];
        let columns = [(other, 1.0), (Self::ALKALINITY, z_other)];
        for (row, by_row) in rows {
            for (column, by_column) in columns {
                if let Some(cell) = self.0.get_mut(row).and_then(|row| row.get_mut(column)) {
                    *cell += by_row * by_column * value;
                }
            }
        }
    }

    /// Causes independent of each other that make it, one standard deviation of each: what they move the amounts by. They are
    /// the columns of its Cholesky factor; amounts that hang on those before them, as alkalinity does, add none. A matrix typed by
    /// hand may be none: no cause moves an amount by more than its standard deviation.
    pub(crate) fn independent_causes(&self) -> Vec<[f64; Self::COUNT]> {
        let mut rest = self.clone();
        let mut sds = [0.0; Self::COUNT];
        for ((place, row), sd) in self.0.iter().enumerate().zip(&mut sds) {
            *sd = row
                .get(place)
                .map_or(0.0, |own| math::at_least(*own, 0.0).sqrt());
        }
        let mut uncertainty_budget = Vec::new();
        for (place, sd) in sds.into_iter().enumerate() {
            let of_place = rest.0.get(place).copied().unwrap_or([0.0; Self::COUNT]);
            let left = of_place.get(place).copied().unwrap_or(0.0);
            if left <= ROUNDING * sd * sd {
                continue;
            }
            let mut cause = of_place.map(|cell| cell / left.sqrt());
            for (cell, most) in cause.iter_mut().zip(sds) {
                *cell = -math::at_least(-math::at_least(*cell, -most), -most);
            }
            for (row, by_row) in rest.0.iter_mut().zip(cause) {
                for (cell, by_column) in row.iter_mut().zip(cause) {
                    *cell -= by_row * by_column;
                }
            }
            uncertainty_budget.push(cause);
        }
        uncertainty_budget
    }

    /// Variance of a sum of the amounts, each times its factor.
    pub(crate) fn variance(&self, factors: &[f64; Self::COUNT]) -> f64 {
        let rows = self.0.iter().zip(factors);
        rows.map(|(row, factor)| factor * row.iter().zip(factors).map(|(c, f)| c * f).sum::<f64>())
            .sum()
    }
}

/// Share of a variance that rounding may leave of one that hangs on others: sums of some twenty squares, and what differences of
/// charges take away.
const ROUNDING: f64 = 1e-9;

/// How a forecast would read if its curvature were followed one order further.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct SecondOrder {
    /// Standard deviation.
    pub sd: f64,
    /// How far the mean lies from the forecast, pH.
    pub shift: f64,
}

/// Share of the standard deviation that its second order may add or take, and share by which the mean may move, before the
/// forecast says so (a choice of ours: the error bar is promised to 5 %, and the second order is itself not exact).
const SILENT_SD: f64 = 0.03;
const SILENT_SHIFT: f64 = 0.15;

impl Forecast {
    /// Interval that holds a share of what the meter will show: low and high.
    pub fn interval(&self, standard_deviations: f64) -> [f64; 2] {
        [
            self.ph - standard_deviations * self.sd,
            self.ph + standard_deviations * self.sd,
        ]
    }

    /// Whether the balance is_nonlinear too much over the error bar for the bar to be exact.
    pub fn is_nonlinear(&self) -> bool {
        let second = &self.second_order;
        (second.sd - self.sd).abs() > SILENT_SD * self.sd
            || second.shift.abs() > SILENT_SHIFT * self.sd
    }

    /// The same in words, where it does.
    pub fn nonlinearity_in_words(&self) -> Option<String> {
        let SecondOrder { sd, shift } = self.second_order;
        self.is_nonlinear().then(|| {
            format!(
                "The error bar is a rough one: the buffering itself is unsure, or changes over the bar. Its second order would \
                 make the standard deviation {sd:.2} instead of {:.2} and move the middle by {shift:+.2}.",
                self.sd
            )
        })
    }
}

/// What a cause does to the balance, one standard deviation of it: acid in eq, and buffering in eq per pH.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Effect {
    pub acid_eq: f64,
    pub buffering: f64,
}

/// The uncertainty_budget in the balance, by their keys: those of malts have one push each.
pub(super) struct Effects {
    pub lots: Vec<Effect>,
    pub buffers: Vec<Effect>,
    others: [(UncertaintyCause, &'static str, Effect); 6],
}

impl Mash<'_> {
    /// pH with first-order error bars: each cause's standard deviation in equivalents, divided by the slope of the
    /// balance (implicit-function theorem: dpH = d(acid missing) / buffering).
    pub fn forecast(&self) -> Forecast {
        self.forecast_dosed(&DoseUncertainty::default())
    }

    /// The same of liquor whose doses and alkalinity are uncertain too.
    pub fn forecast_dosed(&self, doses: &DoseUncertainty<'_>) -> Forecast {
        self.forecast_with(&self.chemistry(), doses)
    }

    /// The same with constants and assumptions of the caller's.
    pub fn forecast_with(&self, chemistry: &Chemistry, doses: &DoseUncertainty<'_>) -> Forecast {
        let ph = self.ph_with_acid(chemistry, 0.0);
        let buffering = self.buffering_eq_per_ph(chemistry, ph);
        let effects = self.effects(chemistry, doses, ph);
        let malts = |effects: &[Effect]| {
            let square: f64 = effects.iter().map(|push| push.acid_eq * push.acid_eq).sum();
            square.sqrt() / buffering
        };
        let mut uncertainty_budget = vec![
            cause(
                UncertaintyCause::MaltLots,
                "differences between malt lots",
                malts(&effects.lots),
            ),
            cause(
                UncertaintyCause::MaltBuffer,
                "the buffering of the malts",
                malts(&effects.buffers),
            ),
            cause(
                UncertaintyCause::Sampling,
                "the time and way of sampling",
                parameters::MASH_PH_DEFINITION_SD.value,
            ),
            cause(
                UncertaintyCause::Meter,
                "the pH meter",
                parameters::METER_SD.value,
            ),
        ];
        uncertainty_budget.extend(
            join(&effects.others).map(|(key, label, eq)| cause(key, label, eq / buffering)),
        );
        uncertainty_budget.retain(|cause| cause.sd > 0.0);
        uncertainty_budget.sort_by(|one, other| other.sd.total_cmp(&one.sd));
        let variance: f64 = uncertainty_budget
            .iter()
            .map(|cause| cause.sd * cause.sd)
            .sum();
        let sd = variance.sqrt();
        Forecast {
            ph,
            sd,
            uncertainty_budget,
            buffering_eq_per_ph: buffering,
            second_order: self.second_order(chemistry, &effects, ph, sd),
        }
    }

    /// Standard deviation of what a meter would show were the mash at a pH, by as much acid as that takes.
    pub(super) fn sd_at(&self, chemistry: &Chemistry, doses: &DoseUncertainty<'_>, ph: f64) -> f64 {
        let eq = self.acid_sd_eq(chemistry, doses, ph) / self.buffering_eq_per_ph(chemistry, ph);
        let (sampling, meter) = (
            parameters::MASH_PH_DEFINITION_SD.value,
            parameters::METER_SD.value,
        );
        (eq * eq + sampling * sampling + meter * meter).sqrt()
    }

    /// Standard deviation of the acid missing at a pH, eq.
    pub(super) fn acid_sd_eq(
        &self,
        chemistry: &Chemistry,
        doses: &DoseUncertainty<'_>,
        ph: f64,
    ) -> f64 {
        let effects = self.effects(chemistry, doses, ph);
        effects
            .all()
            .map(|push| push.acid_eq * push.acid_eq)
            .sum::<f64>()
            .sqrt()
    }

    pub(super) fn effects(
        &self,
        chemistry: &Chemistry,
        doses: &DoseUncertainty<'_>,
        ph: f64,
    ) -> Effects {
        let (mut lots, mut buffers) = (Vec::new(), Vec::new());
        for malt in self.grist {
            let [lot, buffer] = malt.curve.acid_sd(ph);
            lots.push(Effect {
                acid_eq: malt.mass_kg * lot,
                buffering: 0.0,
            });
            let distance = malt.curve.distilled_water_ph - ph;
            buffers.push(Effect {
                acid_eq: malt.mass_kg * buffer.copysign(distance),
                buffering: malt.mass_kg * malt.curve.buffering_sd,
            });
        }
        let acid = |acid_eq: f64| Effect {
            acid_eq,
            buffering: 0.0,
        };
        let protons =
            |ion: Component, sd: f64| self.water_kg * ion.charge() * self.liquor.ions.get(ion) * sd;
        let carbon_sd = parameters::CARBON_SHARE_IN_MASH.sd;
        let dissolved = self.water_kg * self.liquor.carbon_mol_per_kg * carbon_sd;
        Effects {
            lots,
            buffers,
            others: [
                (
                    UncertaintyCause::Alkalinity,
                    "the alkalinity of the water",
                    acid(self.water_kg * self.liquor_sd(chemistry, doses, ph)),
                ),
                (
                    UncertaintyCause::CalciumEffect,
                    "the effect of calcium and magnesium on malt",
                    acid(protons(
                        Component::Calcium,
                        parameters::CALCIUM_PROTONS_PER_EQUIVALENT.sd,
                    )),
                ),
                (
                    UncertaintyCause::CalciumEffect,
                    "the effect of calcium and magnesium on malt",
                    acid(protons(
                        Component::Magnesium,
                        parameters::MAGNESIUM_PROTONS_PER_EQUIVALENT.sd,
                    )),
                ),
                (
                    UncertaintyCause::AcidStrength,
                    "the strength and measuring of the acid",
                    acid(doses.acid_eq),
                ),
                (
                    UncertaintyCause::Dissolving,
                    "how much of the chalk dissolves",
                    acid(doses.dissolving_eq),
                ),
                (
                    UncertaintyCause::Carbon,
                    "how much carbon dioxide has left",
                    Effect {
                        acid_eq: -dissolved * chemistry.charge_per_carbon(ph),
                        buffering: dissolved * chemistry.charge_per_carbon_slope(ph),
                    },
                ),
            ],
        }
    }

    /// Standard deviation of what a kg of liquor contributes to the balance, eq/kg.
    fn liquor_sd(&self, chemistry: &Chemistry, doses: &DoseUncertainty<'_>, ph: f64) -> f64 {
        let Some(covariance) = doses.liquor else {
            return doses.alkalinity_eq_per_kg;
        };
        let factors = self.liquor_factors(chemistry, ph);
        math::at_least(covariance.variance(&factors), 0.0).sqrt()
    }

    /// What a change of the liquor, places as in [`LiquorCovariance`], contributes to the balance at a pH, eq.
    pub(crate) fn liquor_eq(&self, ph: f64, change: &[f64; LiquorCovariance::COUNT]) -> f64 {
        let factors = self.liquor_factors(&self.chemistry(), ph);
        let terms = factors.iter().zip(change);
        self.water_kg * terms.map(|(factor, by)| factor * by).sum::<f64>()
    }

    /// What each amount of a kg of liquor contributes to the balance.
    fn liquor_factors(&self, chemistry: &Chemistry, ph: f64) -> [f64; LiquorCovariance::COUNT] {
        let derivatives = self.derivatives(chemistry, ph);
        let per_eq_per_kg = -self.water_kg * derivatives.acid_eq;
        let mut factors = [0.0; LiquorCovariance::COUNT];
        let liquor = [
            derivatives.alkalinity_eq_per_kg,
            derivatives.carbon_mol_per_kg,
        ];
        let all = derivatives.ions.amounts().chain(liquor);
        for (factor, derivative) in factors.iter_mut().zip(all) {
            *factor = derivative / per_eq_per_kg;
        }
        factors
    }

    /// The next order of mean and variance of `N/B`, both unsure: N the acid that all uncertainty_budget make, in eq, B the buffering
    /// with its relative error r, and with its change along the pH. Own pH and buffering of one malt go as a product Q. With all
    /// uncertainty_budget normal,
    ///
    /// ```text
    /// B² E[x²] = E[(N + Q)² (1 − 2 r + 3 r²)] = V(N) + V(Q) + 3 V(N) V(r) + 6 C(N, r)² − 4 E[N Q r],  B E[x] = −C(N, r)
    /// ```
    fn second_order(
        &self,
        chemistry: &Chemistry,
        effects: &Effects,
        ph: f64,
        sd: f64,
    ) -> SecondOrder {
        let buffering = self.buffering_eq_per_ph(chemistry, ph);
        let (mut of_acid, mut of_buffering, mut together) = (0.0, 0.0, 0.0);
        for push in effects.all() {
            let [acid, relative] = [push.acid_eq, push.buffering].map(|eq| eq / buffering);
            of_acid += acid * acid;
            of_buffering += relative * relative;
            together += acid * relative;
        }
        let (mut of_product, mut of_three) = (0.0, 0.0);
        for (malt, push) in self.grist.iter().zip(&effects.buffers) {
            let product = push.buffering * malt.curve.distilled_water_ph_sd / buffering;
            let share = malt.mass_kg * malt.curve.buffering_at(ph) / buffering;
            of_product += product * product;
            of_three += share * product * product;
        }
        // The buffering along the pH: its first and second derivative, over the error bar itself.
        let in_acid = of_acid.sqrt();
        let [below, above] = [ph - in_acid, ph + in_acid]
            .map(|ph| self.buffering_eq_per_ph(chemistry, ph) / buffering);
        let slope = (above - below) / 2.0;
        let bend = above - 2.0 + below;
        let along = 3.5 * slope * slope - bend;
        let more = of_product + 3.0 * of_acid * of_buffering + 5.0 * together * together
            - 4.0 * of_three
            + of_acid * along;
        SecondOrder {
            sd: math::at_least(sd * sd + more, 0.0).sqrt(),
            shift: -together - slope * in_acid / 2.0,
        }
    }
}

impl Effects {
    pub(super) fn all(&self) -> impl Iterator<Item = &Effect> {
        let others = self.others.iter().map(|(_, _, push)| push);
        self.lots.iter().chain(&self.buffers).chain(others)
    }

    /// How much carbon dioxide has left: the one cause that is not normal but flat.
    pub(super) fn carbon(&self) -> Effect {
        let [.., (_, _, carbon)] = self.others;
        carbon
    }
}

fn cause(key: UncertaintyCause, label: &'static str, sd: f64) -> Contribution {
    Contribution {
        key,
        label,
        sd: sd.abs(),
    }
}

/// Effects that follow each other under one key as one, in eq.
fn join<'a>(
    effects: &'a [(UncertaintyCause, &'static str, Effect)],
) -> impl Iterator<Item = (UncertaintyCause, &'static str, f64)> + 'a {
    effects
        .chunk_by(|(one, ..), (other, ..)| one == other)
        .filter_map(|same| {
            let (key, label, _) = same.first()?;
            let square: f64 = same
                .iter()
                .map(|(_, _, push)| push.acid_eq * push.acid_eq)
                .sum();
            Some((*key, *label, square.sqrt()))
        })
}
