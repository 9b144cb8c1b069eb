//! What the fit counts, worked out by following the liquors through the vessels: none of its
//! straight lines.

use underlet::TargetRange;
use underlet::aqueous::Acidity;
use underlet::component::Component;
use underlet::fit::{IonicStrengths, Liquors, Problem};
use underlet::liquor::{Liquor, alkalinity_eq_per_kg};
use underlet::mash::{Chemistry, Mash, grist_buffering_eq_per_ph};
use underlet_tables::parameters;

/// A problem with the units of its decision variables: shares, then doses in mmol per kg of
/// brewing liquor.
pub struct Forward<'a> {
    pub problem: &'a Problem<'a>,
    /// Units of a dose (g or mL) per unit of its variable.
    pub units: Vec<f64>,
}

impl<'a> Forward<'a> {
    pub fn new(problem: &'a Problem<'a>) -> Forward<'a> {
        let per_unit = problem.waters.brewing_kg() / 1000.0;
        let doses = problem.doses.iter();
        let units = doses.map(|option| per_unit / option.preparation.mol_per_unit());
        Forward {
            problem,
            units: units.collect(),
        }
    }

    pub fn sources(&self) -> usize {
        self.problem.sources.len()
    }

    /// Decision variables of shares and doses, g or mL.
    pub fn variables(&self, shares: &[f64], doses: &[f64]) -> Vec<f64> {
        let doses = doses.iter().zip(&self.units);
        shares
            .iter()
            .copied()
            .chain(doses.map(|(dose, unit)| dose / unit))
            .collect()
    }

    pub fn liquors(&self, x: &[f64]) -> Liquors {
        let (shares, doses) = x.split_at(self.sources());
        let doses: Vec<f64> = doses.iter().zip(&self.units).map(|(x, u)| x * u).collect();
        self.problem.liquors(shares, &doses)
    }

    /// The objective at frozen ionic strengths: weighted squared misses in tolerances, penalties,
    /// material.
    pub fn objective_at(&self, x: &[f64], strengths: IonicStrengths) -> f64 {
        let liquors = self.liquors(x);
        let wanted = &self.problem.targets;
        let pull = parameters::FIT_PULL.value;
        let mut sum = 0.0;
        for (ion, range) in &wanted.ions {
            let tolerance = ion.mol_per_kg(parameters::FIT_ION_TOLERANCE.value);
            let value = liquors.overall.ions.get(*ion);
            sum += penalty(range, pull, |end| (value - end) / tolerance);
        }
        if let Some(range) = &wanted.sulfate_to_chloride {
            let mg_per_l = |ion: Component| ion.mg_per_l(liquors.overall.ions.get(ion));
            let [sulfate, chloride] = [Component::Sulfate, Component::Chloride].map(mg_per_l);
            let tolerance = parameters::FIT_ION_TOLERANCE.value;
            sum += penalty(range, pull, |end| (sulfate - end * chloride) / tolerance);
        }
        if let Some(range) = &wanted.mash_ph {
            sum += self.mash_ph(range, &liquors.mash, strengths.mash);
        }
        if self.problem.waters.sparge_kg > 0.0 {
            sum += self.sparge(&liquors.sparge, strengths);
        }
        let squares: f64 = x.iter().map(|x| x * x).sum();
        sum + self.material(x) + parameters::FIT_STRICTNESS.value / 2.0 * squares
    }

    /// What sources but the first and doses cost.
    fn material(&self, x: &[f64]) -> f64 {
        let (shares, doses) = x.split_at(self.sources());
        let doses = doses.iter().zip(&self.problem.doses);
        let doses = doses.map(|(amount, option)| amount * option.price);
        let shares: f64 = shares.iter().skip(1).sum();
        parameters::FIT_MATERIAL.value * shares + doses.sum::<f64>()
    }

    fn mash_ph(&self, range: &TargetRange, liquor: &Liquor, strength: f64) -> f64 {
        let grist = self.problem.grist;
        let mash = Mash {
            grist,
            water_kg: self.problem.waters.mash_kg,
            liquor: *liquor,
        };
        let chemistry = Chemistry::at(strength);
        let middle = range
            .low
            .zip(range.high)
            .map(|(low, high)| (low + high) / 2.0);
        let pulled = TargetRange {
            prefer: range.prefer.or(middle),
            ..*range
        };
        let somewhere = pulled
            .prefer
            .or(range.low)
            .or(range.high)
            .unwrap_or_default();
        let tolerance =
            grist_buffering_eq_per_ph(grist, somewhere) * parameters::FIT_PH_TOLERANCE.value;
        let pull = parameters::FIT_MIDDLE.value;
        // Acid that is still missing at an end: the pH lies above it.
        penalty(&pulled, pull, |ph| {
            mash.proton_deficit_eq(&chemistry, ph) / tolerance
        })
    }

    fn sparge(&self, liquor: &Liquor, strengths: IonicStrengths) -> f64 {
        let strength = strengths.sparge;
        let pull = parameters::FIT_PULL.value;
        let wanted = &self.problem.targets;
        let tolerance = alkalinity_eq_per_kg(parameters::FIT_ALKALINITY_TOLERANCE.value);
        let alkalinity = wanted.sparge_alkalinity.as_ref().map_or(0.0, |range| {
            let acidity = Acidity::at(parameters::SAMPLE_TEMPERATURE.value, strength);
            let held = acidity.of_acids(&liquor.ions, parameters::SPARGE_ALKALINITY_PH.value);
            let against_mash = liquor.alkalinity_eq_per_kg - held;
            penalty(range, pull, |end| (against_mash - end) / tolerance)
        });
        let ph = wanted.sparge_ph.as_ref().map_or(0.0, |range| {
            let chemistry = Chemistry::at(strength);
            let [low, high, point] = strengths.sparge_pairs;
            penalty(range, pull, |ph| {
                let saved = match Some(ph) {
                    ph if ph == range.low => low,
                    ph if ph == range.high => high,
                    _ => point,
                };
                let held = chemistry.free_charge(ph) + saved;
                (chemistry.acid_required_by_liquor(&liquor.as_dose(), ph) - held) / tolerance
            })
        });
        alkalinity + ph
    }
}

/// What a range costs, with the pull of its preferred point; `beyond` says how far, in tolerances,
/// the value lies above a point.
fn penalty(range: &TargetRange, pull: f64, beyond: impl Fn(f64) -> f64) -> f64 {
    let below = range.low.map_or(0.0, |low| (-beyond(low)).max(0.0));
    let above = range.high.map_or(0.0, |high| beyond(high).max(0.0));
    let off = range.prefer.map_or(0.0, &beyond);
    range.weight * (below * below + above * above + pull * off * off)
}
