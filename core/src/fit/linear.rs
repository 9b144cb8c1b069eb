//! The brewing question as straight lines: every quantity that matters is linear in the decision variables (shares of
//! the sources, then doses), so each becomes one [`Line`].

use underlet_tables::parameters;

use super::problem::{Liquors, Question};
use crate::aqueous::{Acidity, titrated};
use crate::component::Component;
use crate::liquor::{Dose, alkalinity_eq_per_kg};
use crate::mash::{self, Chemistry};
use crate::math;
use crate::recipe::{LimitedQuantity, Vessel, Wanted};

/// What a line is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Subject {
    /// An ion over all the brewing liquor.
    Component(Component),
    /// Sulfate against the low end of its ratio to chloride.
    RatioLow,
    /// Sulfate against the high end of its ratio to chloride.
    RatioHigh,
    /// Mash pH against its low end.
    MashPhLow,
    /// Mash pH against its high end.
    MashPhHigh,
    /// Alkalinity of the sparge liquor.
    SpargeAlkalinity,
    /// pH of the sparge liquor against its low end.
    SpargePhLow,
    /// pH of the sparge liquor against its high end.
    SpargePhHigh,
}

impl Subject {
    /// Key of the target that it belongs to.
    pub fn key(self) -> &'static str {
        match self {
            Subject::Component(ion) => ion.key(),
            Subject::RatioLow | Subject::RatioHigh => "sulfate_to_chloride",
            Subject::MashPhLow | Subject::MashPhHigh => "mash_ph",
            Subject::SpargeAlkalinity => "sparge_alkalinity",
            Subject::SpargePhLow | Subject::SpargePhHigh => "sparge_ph",
        }
    }
}

/// A quantity that is linear in the decision variables, in units of its tolerance: a distance of 1 from its range is
/// a miss that hurts as much in one line as in another.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// What it is about.
    pub subject: Subject,
    /// Coefficient of each decision variable.
    pub coefficients: Vec<f64>,
    /// Low end.
    pub low: Option<f64>,
    /// High end.
    pub high: Option<f64>,
    /// Weight of a miss.
    pub weight: f64,
}

impl Line {
    /// Value at decision variables.
    pub fn at(&self, x: &[f64]) -> f64 {
        self.coefficients.iter().zip(x).map(|(a, x)| a * x).sum()
    }

    /// Distance from the range, in tolerances.
    pub fn miss(&self, x: &[f64]) -> f64 {
        let value = self.at(x);
        let below = self.low.map_or(0.0, |low| math::at_least(low - value, 0.0));
        let above = self
            .high
            .map_or(0.0, |high| math::at_least(value - high, 0.0));
        below + above
    }
}

/// A gentle pull: weight times the squared distance of a line from a point.
#[derive(Clone, Debug, PartialEq)]
pub struct QuadraticPenalty {
    /// Coefficient of each decision variable.
    pub coefficients: Vec<f64>,
    /// The point.
    pub towards: f64,
    /// Weight.
    pub weight: f64,
}

/// What a decision variable brings per unit, per kg of water.
struct Column {
    mash: Dose,
    sparge: Dose,
    overall: Dose,
}

/// Units of a dose (g or mL) per unit of its decision variable: one mmol per kg of the brewing liquor of all brews, so that all
/// decision variables are of order one, and material costs the same wherever it goes.
pub fn dose_scale(question: &Question<'_>, index: usize) -> f64 {
    let waters = &question.waters;
    let option = question.doses.get(index);
    let (mol, shared) = option.map_or((1.0, 1.0), |option| {
        let shared = waters.brews / waters.times(option.vessel);
        (option.preparation.mol_per_unit(), shared)
    });
    waters.brewing_kg() * shared / 1000.0 / mol
}

fn columns(question: &Question<'_>) -> Vec<Column> {
    let waters = &question.waters;
    let mash_share = waters.mash_kg / waters.brewing_kg();
    let mut columns: Vec<Column> = question
        .sources
        .iter()
        .map(|source| {
            let all = source.liquor.as_dose();
            Column {
                mash: all,
                sparge: all,
                // The shares of the sources are one together.
                overall: all.plus(&question.in_kettle),
            }
        })
        .collect();
    for (index, option) in question.doses.iter().enumerate() {
        let per_kg = option
            .dose_per_unit()
            .times(dose_scale(question, index) / waters.dosed_kg(option.vessel));
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

/// What each decision variable brings of what a hard limit is set on, mg/L of the liquor as a whole.
pub fn held(question: &Question<'_>, held: LimitedQuantity) -> Vec<f64> {
    let columns = columns(question);
    let brought = columns.iter().map(|column| held.mg_per_l(&column.overall));
    brought.collect()
}

/// Ionic strengths that are frozen while a question is solved, mol/kg: activity coefficients hang on them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Strengths {
    /// Of the mash liquor.
    pub mash: f64,
    /// Of the sparge liquor.
    pub sparge: f64,
}

impl Strengths {
    /// One for both.
    pub const fn alike(mol_per_kg: f64) -> Strengths {
        Strengths {
            mash: mol_per_kg,
            sparge: mol_per_kg,
        }
    }

    /// Those of a plan's liquors.
    pub fn of(liquors: &Liquors) -> Strengths {
        Strengths {
            mash: liquors.mash.ionic_strength_mol_per_kg(),
            sparge: liquors.sparge.ionic_strength_mol_per_kg(),
        }
    }

    /// The greater of the two differences from others.
    pub fn off(self, other: Strengths) -> f64 {
        let [mash, sparge] = [self.mash - other.mash, self.sparge - other.sparge];
        mash.abs().max(sparge.abs())
    }
}

/// The lines and penalties of a question.
pub fn lines(question: &Question<'_>, strengths: Strengths) -> (Vec<Line>, Vec<QuadraticPenalty>) {
    let columns = columns(question);
    let mut build = Build {
        lines: Vec::new(),
        penalties: Vec::new(),
        columns: &columns,
    };
    let per_ion = |ion: Component| 1.0 / ion.mol_per_kg(parameters::FIT_ION_TOLERANCE.value);
    for (ion, wanted) in &question.targets.ions {
        build.wanted(Subject::Component(*ion), wanted, per_ion(*ion), |column| {
            column.overall.ions.get(*ion)
        });
    }
    if let Some(wanted) = &question.targets.sulfate_to_chloride {
        build.ratio(wanted);
    }
    if let Some(wanted) = &question.targets.mash_ph {
        build.mash_ph(question, wanted, &Chemistry::at(strengths.mash));
    }
    if let (Some(wanted), true) = (
        &question.targets.sparge_alkalinity,
        question.waters.sparge_kg > 0.0,
    ) {
        let acidity = Acidity::at(parameters::SAMPLE_TEMPERATURE.value, strengths.sparge);
        let per_unit = 1.0 / alkalinity_eq_per_kg(parameters::FIT_ALKALINITY_TOLERANCE.value);
        build.wanted(Subject::SpargeAlkalinity, wanted, per_unit, |column| {
            titrated(&acidity, column.sparge.alkalinity_eq, &column.sparge.ions)
        });
    }
    if let (Some(wanted), true) = (&question.targets.sparge_ph, question.waters.sparge_kg > 0.0) {
        build.sparge_ph(wanted, &Chemistry::at(strengths.sparge));
    }
    (build.lines, build.penalties)
}

struct Build<'a> {
    lines: Vec<Line>,
    penalties: Vec<QuadraticPenalty>,
    columns: &'a [Column],
}

impl Build<'_> {
    /// A line for a range, and a pull to its preferred point.
    fn wanted(
        &mut self,
        subject: Subject,
        wanted: &Wanted,
        scale: f64,
        value: impl Fn(&Column) -> f64,
    ) {
        let coefficients: Vec<f64> = self
            .columns
            .iter()
            .map(|column| scale * value(column))
            .collect();
        if let Some(prefer) = wanted.prefer {
            self.pull(coefficients.clone(), scale * prefer, wanted.weight);
        }
        self.line(
            subject,
            coefficients,
            wanted.low.map(|low| scale * low),
            wanted.high.map(|high| scale * high),
            wanted.weight,
        );
    }

    /// Sulfate between `low` and `high` times chloride, by mass: two lines, measured in mg/L of sulfate.
    fn ratio(&mut self, wanted: &Wanted) {
        let tolerance = parameters::FIT_ION_TOLERANCE.value;
        let scale = |ion: Component| 1.0 / ion.mol_per_kg(tolerance);
        let (sulfate, chloride) = (scale(Component::Sulfate), scale(Component::Chloride));
        let against = |ratio: f64| -> Vec<f64> {
            self.columns
                .iter()
                .map(|column| {
                    let ions = &column.overall.ions;
                    sulfate * ions.get(Component::Sulfate)
                        - ratio * chloride * ions.get(Component::Chloride)
                })
                .collect()
        };
        let (low, high, prefer) = (
            wanted.low.map(&against),
            wanted.high.map(&against),
            wanted.prefer.map(&against),
        );
        if let Some(coefficients) = low {
            self.line(
                Subject::RatioLow,
                coefficients,
                Some(0.0),
                None,
                wanted.weight,
            );
        }
        if let Some(coefficients) = high {
            self.line(
                Subject::RatioHigh,
                coefficients,
                None,
                Some(0.0),
                wanted.weight,
            );
        }
        if let Some(coefficients) = prefer {
            self.pull(coefficients, 0.0, wanted.weight);
        }
    }

    /// Mash pH in its range means: acid still missing at its low end, none missing at its high end. Measured in
    /// tolerances of pH through the mash's buffering. Without a preferred point the middle of the range penalties, since
    /// a mash at the edge of its range is in it only half the time.
    fn mash_ph(&mut self, question: &Question<'_>, wanted: &Wanted, chemistry: &Chemistry) {
        let somewhere = wanted
            .prefer
            .or(wanted.low)
            .or(wanted.high)
            .unwrap_or_default();
        let buffering = mash::grist_buffering_eq_per_ph(question.grist, somewhere);
        let scale = 1.0 / (buffering * parameters::FIT_PH_TOLERANCE.value);
        let columns = self.columns;
        let missing = |ph: f64| -> (Vec<f64>, f64) {
            let at = chemistry.coefficients(ph);
            let water = scale * question.waters.mash_kg;
            let coefficients = columns
                .iter()
                .map(|column| water * chemistry.acid_wanted(&at, &column.mash))
                .collect();
            (
                coefficients,
                -scale * mash::grist_acid_eq(question.grist, ph),
            )
        };
        let middle = wanted
            .low
            .zip(wanted.high)
            .map(|(low, high)| (low + high) / 2.0);
        let pulled = Wanted {
            prefer: wanted.prefer.or(middle),
            ..*wanted
        };
        self.ph_range([Subject::MashPhLow, Subject::MashPhHigh], &pulled, missing);
    }

    /// The pH of closed liquor in its range means the same of the liquor's own balance. Measured in tolerances of
    /// alkalinity, since liquor has no buffering that stays.
    fn sparge_ph(&mut self, wanted: &Wanted, chemistry: &Chemistry) {
        let scale = 1.0 / alkalinity_eq_per_kg(parameters::FIT_ALKALINITY_TOLERANCE.value);
        let columns = self.columns;
        let missing = |ph: f64| -> (Vec<f64>, f64) {
            let value =
                |column: &Column| scale * chemistry.acid_wanted_by_liquor(&column.sparge, ph);
            (
                columns.iter().map(value).collect(),
                scale * chemistry.free_charge(ph),
            )
        };
        self.ph_range(
            [Subject::SpargePhLow, Subject::SpargePhHigh],
            wanted,
            missing,
        );
    }

    /// A pH range as two lines: acid is still missing at its low end, and no longer at its high end. `missing` gives
    /// the coefficients of the acid missing at a pH and what they must balance.
    fn ph_range(
        &mut self,
        subjects: [Subject; 2],
        wanted: &Wanted,
        missing: impl Fn(f64) -> (Vec<f64>, f64),
    ) {
        let [low, high, prefer] =
            [wanted.low, wanted.high, wanted.prefer].map(|end| end.map(&missing));
        if let Some((coefficients, balance)) = low {
            self.line(
                subjects[0],
                coefficients,
                Some(balance),
                None,
                wanted.weight,
            );
        }
        if let Some((coefficients, balance)) = high {
            self.line(
                subjects[1],
                coefficients,
                None,
                Some(balance),
                wanted.weight,
            );
        }
        if let Some((coefficients, balance)) = prefer {
            self.pull(coefficients, balance, wanted.weight);
        }
    }

    fn line(
        &mut self,
        subject: Subject,
        coefficients: Vec<f64>,
        low: Option<f64>,
        high: Option<f64>,
        weight: f64,
    ) {
        if low.is_some() || high.is_some() {
            self.lines.push(Line {
                subject,
                coefficients,
                low,
                high,
                weight,
            });
        }
    }

    fn pull(&mut self, coefficients: Vec<f64>, towards: f64, weight: f64) {
        self.penalties.push(QuadraticPenalty {
            coefficients,
            towards,
            weight: weight * parameters::FIT_PULL.value,
        });
    }
}
