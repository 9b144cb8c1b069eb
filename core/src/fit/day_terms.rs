//! The targets of a brew day as linear terms in the decision variables: shares of the sources, then
//! doses.

use underlet_tables::parameters;

use super::ionic_strengths::IonicStrengths;
use super::linear::{Constraint, LinearTerm, Subject, ion_targets, preference_weight};
use super::problem::Problem;
use crate::aqueous::{Acidity, against_mash};
use crate::liquor::{Dose, alkalinity_eq_per_kg};
use crate::mash::{self, Chemistry};
use crate::recipe::{LimitedQuantity, TargetRange, Vessel};

/// What a decision variable brings per unit, per kg of water.
struct Column {
    mash: Dose,
    sparge: Dose,
    overall: Dose,
}

/// Units of a dose (g or mL) per unit of its decision variable: one mmol per kg of the brewing
/// liquor of all brews, so that all decision variables are of order one, and material costs the
/// same wherever it goes.
pub fn dose_scale(problem: &Problem<'_>, index: usize) -> f64 {
    let waters = &problem.waters;
    let option = problem.doses.get(index);
    let (mol, shared) = option.map_or((1.0, 1.0), |option| {
        let shared = waters.brews / waters.times(option.vessel);
        (option.preparation.mol_per_unit(), shared)
    });
    waters.brewing_kg() * shared / 1000.0 / mol
}

fn columns(problem: &Problem<'_>) -> Vec<Column> {
    let waters = &problem.waters;
    let mash_share = waters.mash_kg / waters.brewing_kg();
    let mut columns: Vec<Column> = problem
        .sources
        .iter()
        .map(|source| {
            let all = source.liquor.as_dose();
            Column {
                mash: all,
                sparge: all,
                // The shares of the sources are one together.
                overall: all.plus(&problem.in_kettle),
            }
        })
        .collect();
    for (index, option) in problem.doses.iter().enumerate() {
        let per_kg = option
            .dose_per_unit()
            .times(dose_scale(problem, index) / waters.dosed_kg(option.vessel));
        let vessel = option.vessel;
        let comes = |comes: bool| if comes { per_kg } else { Dose::default() };
        let (mash, sparge) = (
            comes(vessel.comes_to_mash()),
            comes(vessel.comes_to_sparge()),
        );
        let drawn = mash.times(mash_share).plus(&sparge.times(1.0 - mash_share));
        columns.push(Column {
            mash,
            sparge,
            overall: drawn.plus(&comes(vessel == Vessel::Kettle)),
        });
    }
    columns
}

/// What each decision variable brings of what a hard limit is set on, mg/L of the liquor as a
/// whole.
pub fn limited(problem: &Problem<'_>, limited: LimitedQuantity) -> Vec<f64> {
    let columns = columns(problem);
    let brought = columns
        .iter()
        .map(|column| limited.mg_per_l(&column.overall));
    brought.collect()
}

/// A share of a hard limit that is the rounding of a sum.
pub(super) const LIMIT_ROUNDING: f64 = 1e-9;

/// How much of what a hard limit is set on the liquor as a whole holds, mg/L, counted as the limit
/// counts it.
pub(super) fn reached_mg_per_l(
    problem: &Problem<'_>,
    of: LimitedQuantity,
    shares: &[f64],
    doses: &[f64],
) -> f64 {
    let scaled = doses.iter().enumerate();
    let scaled = scaled.map(|(index, dose)| dose / dose_scale(problem, index));
    let variables = shares.iter().copied().chain(scaled);
    let brought = limited(problem, of).into_iter().zip(variables);
    brought.map(|(per_unit, amount)| per_unit * amount).sum()
}

/// The targets of a brew day as linear terms.
#[derive(Clone, Debug, Default)]
pub(super) struct DayTerms {
    /// Ends and ranges of the targets: each has a miss.
    pub constraints: Vec<Constraint>,
    /// Preferred points.
    pub preferences: Vec<LinearTerm>,
}

impl DayTerms {
    /// The terms of a problem at frozen ionic strengths.
    pub fn new(problem: &Problem<'_>, strengths: IonicStrengths) -> DayTerms {
        let columns = columns(problem);
        let targets = &problem.targets;
        let mut terms = DayTerms::default();
        for (subject, target) in
            ion_targets(&targets.ions, None, targets.sulfate_to_chloride.as_ref())
        {
            let per_tolerance = 1.0 / target.tolerance;
            let brought = columns.iter().map(|column| &column.overall);
            let coefficients = brought.map(|dose| per_tolerance * target.of.of(dose));
            let ends = [target.low, target.high].map(|end| end.map(|end| per_tolerance * end));
            terms.add(subject, coefficients, ends, target.weight);
        }
        if let Some(range) = &targets.mash_ph {
            terms.add_mash_ph(problem, &columns, range, &Chemistry::at(strengths.mash));
        }
        if problem.waters.sparge_kg > 0.0 {
            if let Some(range) = &targets.sparge_alkalinity {
                terms.add_sparge_alkalinity(&columns, range, strengths.sparge);
            }
            if let Some(range) = &targets.sparge_ph {
                terms.add_sparge_ph(&columns, range, strengths);
            }
        }
        terms
    }

    /// Adds a term: a constraint where it has a subject, else a preference.
    fn add(
        &mut self,
        subject: Option<Subject>,
        coefficients: impl Iterator<Item = f64>,
        ends: [Option<f64>; 2],
        weight: f64,
    ) {
        let term = LinearTerm::new(coefficients, ends, weight);
        match subject {
            Some(subject) => self.constraints.push(Constraint { subject, term }),
            None => self.preferences.push(term),
        }
    }

    /// The alkalinity of the sparge liquor that works against the mash, in its range.
    fn add_sparge_alkalinity(&mut self, columns: &[Column], range: &TargetRange, strength: f64) {
        let acidity = Acidity::at(parameters::SAMPLE_TEMPERATURE.value, strength);
        let per_tolerance = 1.0 / alkalinity_eq_per_kg(parameters::FIT_ALKALINITY_TOLERANCE.value);
        let brought = columns.iter().map(|column| &column.sparge);
        let coefficients = brought
            .map(|dose| per_tolerance * against_mash(&acidity, dose.alkalinity_eq, &dose.ions));
        let scaled = |end: Option<f64>| end.map(|end| per_tolerance * end);
        let ends = [scaled(range.low), scaled(range.high)];
        if let Some(point) = scaled(range.prefer) {
            let weight = preference_weight(range);
            self.add(None, coefficients.clone(), [Some(point); 2], weight);
        }
        if ends != [None, None] {
            let subject = Some(Subject::SpargeAlkalinity);
            self.add(subject, coefficients, ends, range.weight);
        }
    }

    /// Mash pH is in its range where acid is still missing at the low end and none is missing at
    /// the high end. The unit is a tolerance of pH, converted by the buffering of the mash.
    /// The preferred point, or else the middle of the range, pulls a little, since a mash aimed at
    /// the edge of its range lands outside it half the time; 0.05 of pH inside the range are not
    /// worth one more thing to weigh.
    fn add_mash_ph(
        &mut self,
        problem: &Problem<'_>,
        columns: &[Column],
        range: &TargetRange,
        chemistry: &Chemistry,
    ) {
        let ends = range.low.zip(range.high);
        let middle = ends.map(|(low, high)| (low + high) / 2.0);
        // Where the buffering is taken. A range without ends and point has no effect.
        let Some(somewhere) = range.prefer.or(range.low).or(range.high) else {
            return;
        };
        let buffering = mash::grist_buffering_eq_per_ph(problem.grist, somewhere);
        let scale = 1.0 / (buffering * parameters::FIT_PH_TOLERANCE.value);
        let missing = |ph: f64| {
            let at = chemistry.coefficients(ph);
            let water = scale * problem.waters.mash_kg;
            let brought = columns.iter().map(|column| &column.mash);
            let coefficients = brought.map(|dose| water * chemistry.acid_required(&at, dose));
            let acid = mash::grist_acid_eq(problem.grist, ph);
            (coefficients.collect(), -scale * acid)
        };
        let pull = range.weight * parameters::FIT_MIDDLE.value;
        let range = TargetRange {
            prefer: range.prefer.or(middle),
            ..*range
        };
        let subjects = [Subject::MashPhLow, Subject::MashPhHigh];
        let points = [range.low, range.high, range.prefer].map(|ph| ph.map(&missing));
        self.add_ph_range(subjects, &range, pull, points);
    }

    /// The same for the pH of closed liquor, from the liquor's own balance, with its ion pairs as
    /// they were frozen. The unit is a tolerance of alkalinity, since the buffering of liquor
    /// depends on its pH.
    fn add_sparge_ph(
        &mut self,
        columns: &[Column],
        range: &TargetRange,
        strengths: IonicStrengths,
    ) {
        let chemistry = Chemistry::at(strengths.sparge);
        let scale = 1.0 / alkalinity_eq_per_kg(parameters::FIT_ALKALINITY_TOLERANCE.value);
        let missing = |ph: f64, pairs: f64| {
            let brought = columns.iter().map(|column| &column.sparge);
            let coefficients =
                brought.map(|dose| scale * chemistry.acid_required_by_liquor(dose, ph));
            let held = chemistry.free_charge(ph) + pairs;
            (coefficients.collect(), scale * held)
        };
        let [low, high, point] = strengths.sparge_pairs;
        let points = [(range.low, low), (range.high, high), (range.prefer, point)];
        let points = points.map(|(ph, pairs)| ph.map(|ph| missing(ph, pairs)));
        let subjects = [Subject::SpargePhLow, Subject::SpargePhHigh];
        self.add_ph_range(subjects, range, preference_weight(range), points);
    }

    /// A pH range as two terms: acid is missing at its low end, and none at its high end; and the
    /// pull of its preferred point. Each of the three comes as the coefficients of the acid missing
    /// there, and the constant on the other side.
    fn add_ph_range(
        &mut self,
        [low, high]: [Subject; 2],
        range: &TargetRange,
        pull: f64,
        [at_low, at_high, at_point]: [Option<(Vec<f64>, f64)>; 3],
    ) {
        let mut add = |subject, missing: Option<(Vec<f64>, f64)>, is_end: [bool; 2], weight| {
            if let Some((coefficients, balance)) = missing {
                let ends = is_end.map(|is_end| is_end.then_some(balance));
                self.add(subject, coefficients.into_iter(), ends, weight);
            }
        };
        add(Some(low), at_low, [true, false], range.weight);
        add(Some(high), at_high, [false, true], range.weight);
        add(None, at_point, [true, true], pull);
    }
}
