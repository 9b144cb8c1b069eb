//! Mashes that were read, given acid and read again: the change of pH that the correction predicts,
//! beside the measured one.
//!
//! A pair is two mashes of one malt, thickness, water and rests, of which the second was given more
//! of an acid and was sampled no earlier. To the correction they are one mash: it is read, given
//! the acid by which the two differ, and read again by the same meter. Beside it is what the
//! forecast alone makes of the second reading, so that one sees what the first was worth. A mash
//! that was sampled several times is in several pairs.

use std::fmt;

use underlet::readings::correction::{BrewLog, Correction, Corrector, GivenDose};
use underlet::recipe::{Reconciled, ShelfReagent, Source};
use underlet::uncertainty::LiquorCovariance;
use underlet::{BrewDay, Meter, MeterReading, Place, Vessel};
use underlet_tables::parameters;

use super::TWO_SIDED;
use super::model::{self, GivenAcid, Reported};
use super::read::numbers_before;
use crate::equilibria::table::Cells;

/// A second reading as it was expected.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Expected {
    /// pH.
    pub ph: f64,
    /// Between which the reading lies with 95 %, and so the change, less the first reading.
    pub interval_95: [f64; 2],
    /// Change of pH from the first reading on.
    pub change: f64,
}

/// A mash that was read, given acid and read again.
#[derive(Clone, Debug, PartialEq)]
pub struct Pair {
    /// Ids of the two rows.
    pub ids: [String; 2],
    /// What was given between the readings, such as "3.4 mL of phosphoric acid 10 %".
    pub step: String,
    /// The two readings.
    pub measured: [f64; 2],
    /// What the correction expects after the first reading.
    pub after_reading: Expected,
    /// What is forecast of the two mashes without a reading.
    pub forecast: Expected,
}

impl Pair {
    /// Second reading less the first.
    pub fn measured_change(&self) -> f64 {
        self.measured[1] - self.measured[0]
    }

    fn has(&self, id: &str) -> bool {
        self.ids.iter().any(|one| one == id)
    }

    /// Whether the second reading lies in the 95 % interval of what was expected.
    pub fn is_inside(&self, expected: &Expected) -> bool {
        let [low, high] = expected.interval_95;
        (low..=high).contains(&self.measured[1])
    }
}

/// The pairs of a table.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Steps {
    /// Pairs of readings.
    pub pairs: Vec<Pair>,
    /// How many pairs of mashes they are of, as far as malt, water and acid tell mashes apart.
    pub pairs_of_mashes: usize,
    /// Rows in no pair by the reason, in the order of the table.
    pub not_paired: Vec<(String, Vec<String>)>,
}

/// A mash that may be one of a pair.
struct Sample<'t> {
    cells: &'t Cells,
    mash: Reported,
    minutes: f64,
    ph: f64,
    /// Temperatures of its rests, °C.
    rests: Vec<f64>,
}

/// Cells that two mashes of a pair have alike.
const RECIPE: [&str; 6] = [
    "source",
    "grist_or_wort",
    "thickness_L_per_kg",
    "alkalinity_mEq_per_L",
    "Ca_mg_per_L",
    "Mg_mg_per_L",
];

/// Every pair of a table.
pub fn steps<'t>(all: &[&'t Cells]) -> Steps {
    let of_row = |cells: &&'t Cells| (cells.text("id"), Sample::of(cells, all));
    let rows: Vec<(&str, Result<Sample<'_>, String>)> = all.iter().map(of_row).collect();
    let samples = || rows.iter().filter_map(|(_, sample)| sample.as_ref().ok());
    let mut steps = Steps::default();
    let mut mashes: Vec<[&Sample<'_>; 2]> = Vec::new();
    for (first, second) in samples().flat_map(|one| samples().map(move |other| (one, other))) {
        let Some(acid) = first.step_to(second) else {
            continue;
        };
        match compare(first, second, acid, all) {
            Ok(pair) => steps.pairs.push(pair),
            Err(reason) => steps.leave_out(&format!("{} → {}", first.id(), second.id()), reason),
        }
        let is_known =
            |[one, other]: &[&Sample<'_>; 2]| one.is_one_with(first) && other.is_one_with(second);
        if !mashes.iter().any(is_known) {
            mashes.push([first, second]);
        }
    }
    steps.pairs_of_mashes = mashes.len();
    for (id, sample) in &rows {
        if steps.pairs.iter().any(|pair| pair.has(id)) {
            continue;
        }
        let reason = match sample {
            Ok(sample) => sample.why_alone(samples()),
            Err(reason) => reason.clone(),
        };
        steps.leave_out(id, reason);
    }
    steps
}

impl<'t> Sample<'t> {
    fn of(cells: &'t Cells, all: &[&Cells]) -> Result<Sample<'t>, String> {
        let process = cells.text("process");
        match cells.text("kind") {
            "mash" | "mash_kinetics" => Ok(Sample {
                cells,
                mash: model::reported(cells, all)?,
                minutes: model::minutes_in(cells)?,
                ph: cells.number("measured_pH")?,
                rests: numbers_before(process, "C"),
            }),
            kind => Err(no_acid_step(kind).to_owned()),
        }
    }

    fn id(&self) -> &str {
        self.cells.text("id")
    }

    fn has_recipe_of(&self, other: &Sample<'_>) -> bool {
        let is_alike = |column: &&str| self.cells.text(column) == other.cells.text(column);
        RECIPE.iter().all(is_alike)
    }

    /// Whether nothing but the time of the sample tells it from another.
    fn is_one_with(&self, other: &Sample<'_>) -> bool {
        self.has_recipe_of(other) && self.rests == other.rests && self.mash.acid == other.mash.acid
    }

    /// The acid that another mash got more than this one.
    fn more_acid_in(&self, other: &Sample<'_>) -> Option<GivenAcid> {
        let acid = other.mash.acid?;
        let before = match self.mash.acid {
            None => 0.0,
            Some(before) if before.preparation == acid.preparation => before.ml,
            Some(_) => return None,
        };
        (acid.ml > before).then_some(GivenAcid {
            ml: acid.ml - before,
            ..acid
        })
    }

    /// The acid between this reading and another, where the two are a pair.
    fn step_to(&self, later: &Sample<'_>) -> Option<GivenAcid> {
        let is_pair =
            self.has_recipe_of(later) && self.rests == later.rests && self.minutes <= later.minutes;
        self.more_acid_in(later).filter(|_| is_pair)
    }

    /// Why no row makes a pair with it.
    fn why_alone<'s>(&self, mut samples: impl Iterator<Item = &'s Sample<'t>>) -> String
    where
        't: 's,
    {
        let differs_by_acid = |other: &&Sample<'_>| {
            let step = self
                .more_acid_in(other)
                .or_else(|| other.more_acid_in(self));
            self.has_recipe_of(other) && step.is_some()
        };
        samples.find(differs_by_acid).map_or_else(
            || {
                "no mash of the same malt, thickness and water differs from it by an acid alone"
                    .to_owned()
            },
            |other| {
                let id = other.id();
                format!("{id}, which differs by an acid, had other rests or other times")
            },
        )
    }
}

/// Why a row of another kind is no mash with an acid step.
fn no_acid_step(kind: &str) -> &'static str {
    match kind {
        "mash_calcium" => "calcium in mashes of which neither thickness nor water is reported",
        "wort_calcium" => "calcium in wort, which the correction of a mash does not follow",
        "wort_dilution" => {
            "wort and water: no acid between the readings, and the forecast above starts at the \
             first"
        }
        "first_wort_no_sparge" => "wort of a mash without acid, and none with it",
        "wort_boil" | "wort_boil_covered" | "beer_pH" => {
            "what acid the wort got went in before its first pH, and how much is not reported"
        }
        _ => "no mash, and no acid was given",
    }
}

impl Steps {
    fn leave_out(&mut self, id: &str, reason: String) {
        let id = id.to_owned();
        match self.not_paired.iter_mut().find(|(of, _)| *of == reason) {
            Some((_, ids)) => ids.push(id),
            None => self.not_paired.push((reason, vec![id])),
        }
    }
}

/// What is expected of the second sample, beside what it showed.
fn compare(
    first: &Sample<'_>,
    second: &Sample<'_>,
    acid: GivenAcid,
    all: &[&Cells],
) -> Result<Pair, String> {
    let [plain, plain_second] = [
        model::predict(first.cells, all)?,
        model::predict(second.cells, all)?,
    ];
    let half = TWO_SIDED[1] * plain_second.sd;
    Ok(Pair {
        ids: [first, second].map(|sample| sample.id().to_owned()),
        step: format!("{:.1} mL of {}", acid.ml, acid.preparation.label()),
        measured: [first.ph, second.ph],
        after_reading: after_reading(first, second, acid)?,
        forecast: Expected {
            ph: plain_second.ph,
            interval_95: [plain_second.ph - half, plain_second.ph + half],
            change: plain_second.ph - plain.ph,
        },
    })
}

/// The second reading as expected once the first mash was read and given acid.
///
/// The correction tells where the mash is, and a reading is more. The first lies off the mash by
/// the probe and by its own scatter, each by its share of the variance, and the probe is off in the
/// second as well. What the sample and the meter scatter in the second, how well a figure was read,
/// and the strength of the acid widen the interval: the correction counts that of planned acid
/// alone.
fn after_reading(
    first: &Sample<'_>,
    second: &Sample<'_>,
    acid: GivenAcid,
) -> Result<Expected, String> {
    let day = day(&first.mash, acid)?;
    let corrector = Corrector::of(&day).map_err(|error| error.to_string())?;
    let times = |factor: f64| GivenAcid {
        ml: factor * acid.ml,
        ..acid
    };
    let [before, after, stronger] = [0.0, 1.0, 1.0 + parameters::ACID_STRENGTH_RELATIVE_SD.value]
        .map(|factor| believed(&corrector, first, times(factor)));

    let repeat = parameters::BENCH_PH_REPEAT_SD.value;
    let own_sd = parameters::MASH_PH_DEFINITION_SD.value.hypot(repeat);
    let probe_variance = parameters::METER_SD.value.powi(2) - repeat.powi(2);
    let probe_share = probe_variance / (probe_variance + own_sd.powi(2));
    let ph = after.ph + probe_share * (first.ph - before.ph);

    let [figure, second_figure] =
        [first, second].map(|sample| sample.cells.number("reading_uncertainty_pH").unwrap_or(0.0));
    let beside = [own_sd, figure, second_figure, stronger.ph - after.ph];
    let beside = TWO_SIDED[1] * beside.into_iter().fold(0.0, f64::hypot);
    let [low, high] = after.interval_95;
    Ok(Expected {
        ph,
        interval_95: [
            ph - beside.hypot(after.ph - low),
            ph + beside.hypot(high - after.ph),
        ],
        change: ph - first.ph,
    })
}

/// The mash of a pair as a brew day that plans no acid, and has it on the shelf.
fn day(mash: &Reported, acid: GivenAcid) -> Result<BrewDay, String> {
    let alkalinity = LiquorCovariance::ALKALINITY;
    let source = Source {
        reconciled: Some(Box::new(Reconciled {
            covariance: LiquorCovariance::from_fn(|one, other| {
                if [one, other] == [alkalinity; 2] {
                    mash.alkalinity_sd * mash.alkalinity_sd
                } else {
                    0.0
                }
            }),
            remarks: Vec::new(),
        })),
        ..Source::new("the water of the report", mash.liquor)
    };
    let shelf = ShelfReagent {
        preparation: acid.preparation,
        ..ShelfReagent::of(acid.preparation.reagent.key).map_err(|error| error.to_string())?
    };
    let mut day = BrewDay::builder("a mash that was reported")
        .source(source)
        .mash(mash.water_l, mash.liquor.temperature_c, REST_C)
        .reagent(shelf.step(STEP_ML).vessels(&[Vessel::MashTun]));
    for malt in &mash.grist {
        day = day.malt(malt.clone());
    }
    day.build().map_err(|error| error.to_string())
}

/// A rest, on which the pH of a cooled sample does not depend.
const REST_C: f64 = 67.0;
/// Of the measure, which nothing depends on since nothing is planned.
const STEP_ML: f64 = 0.1;

/// What the correction believes of a mash that was read and then given acid.
fn believed(corrector: &Corrector<'_>, first: &Sample<'_>, acid: GivenAcid) -> Correction {
    let dose = |acid: GivenAcid, minutes: f64| GivenDose {
        brew: 1,
        reagent: acid.preparation.reagent.key.to_owned(),
        amount: acid.ml,
        minutes,
    };
    let before = first.mash.acid.map(|before| dose(before, 0.0));
    let given: Vec<GivenDose> = before
        .into_iter()
        .chain([dose(acid, first.minutes + 1.0)])
        .collect();
    let reading = MeterReading::at(Place::Mash, Meter::Ph, first.ph).at_minutes(first.minutes);
    let log = BrewLog::of([reading]).with_given(given);
    let mut corrections = corrector.correct(&log).expect("no liquor was read");
    corrections.mashes.swap_remove(0)
}

impl fmt::Display for Expected {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let [low, high] = self.interval_95;
        write!(
            f,
            "{:.3}, {low:.3} to {high:.3}, change {:+.3}",
            self.ph, self.change
        )
    }
}

impl fmt::Display for Pair {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let ([first, second], [read, read_again]) = (&self.ids, self.measured);
        let inside = |expected: &Expected| {
            if self.is_inside(expected) {
                "yes"
            } else {
                "NO"
            }
        };
        write!(
            f,
            "{first} → {second}, {}: {read:.3} → {read_again:.3}, change {:+.3}; after the first \
             reading {}, {}; forecast {}, {}",
            self.step,
            self.measured_change(),
            self.after_reading,
            inside(&self.after_reading),
            self.forecast,
            inside(&self.forecast),
        )
    }
}

impl Steps {
    /// Root mean square of what is expected of the second reading and of the change less what was
    /// measured, and how many readings lie inside.
    fn summary(&self, of: fn(&Pair) -> &Expected) -> String {
        let rms = |error: &dyn Fn(&Pair) -> f64| {
            let squares = self.pairs.iter().map(|pair| error(pair).powi(2));
            (squares.sum::<f64>() / self.pairs.len() as f64).sqrt()
        };
        let inside = self.pairs.iter().filter(|pair| pair.is_inside(of(pair)));
        format!(
            "second reading RMS {:.3}, change RMS {:.3}, inside 95 %: {}",
            rms(&|pair| of(pair).ph - pair.measured[1]),
            rms(&|pair| of(pair).change - pair.measured_change()),
            inside.count(),
        )
    }
}

impl fmt::Display for Steps {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(
            f,
            "first → second row, acid between them: readings and their change; the second reading \
             as expected after the first, its 95 % interval, change, inside; the same as forecast \
             without a reading"
        )?;
        for pair in &self.pairs {
            writeln!(f, "{pair}")?;
        }
        for (reason, ids) in &self.not_paired {
            writeln!(f, "not paired: {}: {reason}", ids.join(", "))?;
        }
        writeln!(
            f,
            "Pairs of readings: {}, of pairs of mashes: {}.",
            self.pairs.len(),
            self.pairs_of_mashes
        )?;
        if self.pairs.is_empty() {
            return Ok(());
        }
        let [after_reading, forecast] = [
            self.summary(|pair| &pair.after_reading),
            self.summary(|pair| &pair.forecast),
        ];
        writeln!(f, "after the first reading: {after_reading}")?;
        writeln!(f, "forecast without it: {forecast}")
    }
}
