//! The full kettle once its pH was read, before its acid: where its wort is, and how much acid is
//! still due.
//!
//! The wort follows from the mash as it is believed and from its sparge, with an error of its own.
//! Reading and forecast are weighed in pH by the inverse of their variances, what they share (the
//! probe that read the mash as well) included. A dose moves the wort by the less the more it
//! buffers, and that is known to a factor only: chances are means over that factor.

use underlet_tables::parameters;

use super::belief::{Belief, Believed, Observation};
use super::brew::Brew;
use super::causes;
use super::mash::{FAR_OFF, by_other_probe, last_of};
use super::{Advice, Correction, DoseDue};
use crate::fit::{Kettle, too_low};
use crate::liquor::Dose;
use crate::mash::Wort;
use crate::math::{self, NoRoot, TWO_SIDED_95};
use crate::readings::diagnosis::{MeterReading, Sample};
use crate::recipe::{Meter, Place, ShelfReagent, TargetRange, Vessel};

impl Brew<'_, '_> {
    /// What the readings say of the full kettle of a brew; `None` where it was not read, or nothing
    /// is asked of it.
    pub(super) fn kettle_correction(
        &self,
        brew: usize,
        readings: &[MeterReading],
    ) -> Option<Correction> {
        let range = self.solution.day.kettle.ph?;
        let of_kettle = readings.iter().filter(|one| is_of_kettle(one, brew));
        let of_kettle: Vec<&MeterReading> = of_kettle.collect();
        let last = last_of(of_kettle.iter().copied())?;
        let doses = self.doses_at(last);
        let observed = self.believed(readings);
        let known = Belief::after(&observed);
        let foretold = self.foretold_kettle(&known, &doses);
        // Nothing runs off a mash that its grains soak up.
        if foretold.wort.water_kg <= 0.0 {
            return None;
        }
        let seen: Vec<Observation> = of_kettle.iter().map(|one| foretold.observed(one)).collect();
        let believed = seen.iter().map(|one| believable(&known, one));
        let belief = Belief::after(&[observed.as_slice(), &believed.collect::<Vec<_>>()].concat());
        let Believed {
            mean: above, sd, ..
        } = belief.of(0.0, &foretold.by_cause);
        let mut wort = foretold.wort;
        (wort.ph, wort.sd) = (foretold.ph + above, sd);
        let dosing = Dosing::of(self, range, &wort, &doses);
        let as_it_is = dosing.landing(&Dose::default());
        // What reads in its range, or below it, gets nothing that the forecast alone asks for.
        let reads = last.cooled_and_in_time()[0];
        let is_high = range.high.is_none_or(|high| reads > high);
        let due = if is_high {
            dosing.doses_due()
        } else {
            Vec::new()
        };
        let off_in_buffer = self.off_in_buffer(readings);
        let advice = if off_in_buffer.is_some() {
            Advice::CalibrateProbe
        } else if !self.is_checked(last, readings) && farthest_off(&observed, &seen) > FAR_OFF {
            Advice::CheckProbe
        } else if !is_high && range.high.is_some_and(|high| dosing.wort.ph > high) {
            Advice::Nothing
        } else {
            dosing.advice(&due)
        };
        let off_sd = |one: &Observation| deviates_by(&known, one).abs();
        Some(Correction {
            place: Place::Kettle,
            brew,
            reads,
            also_reads: by_other_probe(last, of_kettle.iter().copied()),
            ph: wort.ph,
            interval_95: [-TWO_SIDED_95, TWO_SIDED_95].map(|z| wort.ph + z * sd),
            probability_in_range: Some(dosing.probability_in_range(&as_it_is)),
            is_outside_forecast: seen.iter().any(|one| off_sd(one) > TWO_SIDED_95),
            is_outside_range: dosing.is_outside(as_it_is.ph()),
            missing_eq: dosing.wort.acid_needed(dosing.middle)[0],
            off_in_buffer,
            advice,
            doses: due,
        })
    }

    /// The full kettle that the mash leads to as it is believed.
    fn foretold_kettle(&self, known: &Belief, doses: &[f64]) -> ForetoldKettle {
        let mash = self.mash(doses);
        let mash_ph = known.quantile(&mash, 0.0);
        let liquors = self.scenario.problem.liquors(&self.scenario.shares, doses);
        let kettle = self.solution.kettle_model();
        let full = |ph: f64| kettle.full(&liquors.mash, &liquors.sparge, ph);
        let slope = full(mash_ph + SLOPE_STEP_PH).ph - full(mash_ph - SLOPE_STEP_PH).ph;
        let carried = slope / (2.0 * SLOPE_STEP_PH);
        let wort = full(mash_ph);
        // The error bar of the mash is that of a reading: only when and how it is sampled is an
        // error of the wort as well.
        let (of_mash, sampled) = (
            carried * self.solution.forecast.sd,
            carried * parameters::MASH_PH_DEFINITION_SD.value,
        );
        let own = wort.sd * wort.sd - of_mash * of_mash + sampled * sampled;
        let missing = mash.missing(mash_ph);
        let per_eq = carried / missing.buffering_eq_per_ph;
        let by_cause = mash.by_cause(&missing).into_iter().map(|eq| per_eq * eq);
        let mut by_cause: Vec<f64> = by_cause.collect();
        causes::add_wort(&mut by_cause, math::at_least(own, 0.0).sqrt());
        ForetoldKettle {
            ph: wort.ph + per_eq * missing.mean_eq,
            wort,
            by_cause,
        }
    }
}

/// Whether a reading is the pH of the full kettle of a brew.
fn is_of_kettle(reading: &MeterReading, brew: usize) -> bool {
    reading.sample == Sample::Brew(Place::Kettle)
        && reading.meter == Meter::Ph
        && reading.brew == brew
}

/// Step of a slope with the mash, pH.
const SLOPE_STEP_PH: f64 = 0.05;

/// The full kettle as it is foretold.
struct ForetoldKettle {
    /// Its wort, from the mash as it is believed.
    wort: Wort,
    /// pH that it had from the mash before any reading.
    ph: f64,
    /// What one standard deviation of each cause moves its pH by.
    by_cause: Vec<f64>,
}

impl ForetoldKettle {
    fn observed(&self, reading: &MeterReading) -> Observation {
        let [ph, sampled_sd] = reading.cooled_and_in_time();
        let repeat = Meter::Ph.repeat_sd(Place::Kettle, ph);
        let mut by_cause = self.by_cause.clone();
        let offset = Meter::Ph.offset_sd(ph);
        causes::add_offset(&mut by_cause, Meter::Ph, reading.probe, offset);
        Observation {
            off: ph - self.ph,
            by_cause,
            own_sd: math::root_of_squares([repeat, sampled_sd]),
        }
    }
}

/// A reading outside its forecast counts as one at its end.
fn believable(known: &Belief, seen: &Observation) -> Observation {
    let deviates_by = deviates_by(known, seen);
    let too_far = deviates_by - deviates_by.clamp(-TWO_SIDED_95, TWO_SIDED_95);
    let sd = known.of(0.0, &seen.by_cause).sd;
    Observation {
        off: seen.off - too_far * math::root_of_squares([sd, seen.own_sd]),
        ..seen.clone()
    }
}

/// How many standard deviations something lies above what is foretold of it.
fn deviates_by(known: &Belief, seen: &Observation) -> f64 {
    let Believed { mean, sd, .. } = known.of(0.0, &seen.by_cause);
    (seen.off - mean) / math::root_of_squares([sd, seen.own_sd])
}

/// The same of the farthest of the readings, from what is known and all the others.
fn farthest_off(known: &[Observation], seen: &[Observation]) -> f64 {
    let belief = Belief::after(&[known, seen].concat());
    let places = known.len()..known.len() + seen.len();
    let off = places.map(|place| belief.deviates_by(place).abs());
    off.fold(0.0, math::at_least)
}

/// Where a wort lands: pH for each factor that its buffering may be off by, and how sure it was
/// before the dose.
struct Landing {
    ph: [f64; NODES.len()],
    sd: f64,
}

impl Landing {
    /// Most likely pH.
    fn ph(&self) -> f64 {
        self.ph[0]
    }

    fn below(&self, ph: f64) -> f64 {
        let nodes = NODES.iter().zip(&self.ph);
        let below = nodes.map(|([_, weight], mean)| {
            weight * math::normal_below((ph - mean) / math::at_least(self.sd, LEAST_SD))
        });
        below.sum()
    }

    fn quantile(&self, share: f64) -> f64 {
        let reach = FAR_OUT_PH + self.sd;
        let [low, high] = [self.ph() - reach, self.ph() + reach];
        let spare = |ph: f64| share - self.below(ph);
        math::falling_root(spare, low, high).unwrap_or_else(NoRoot::nearer_end)
    }
}

/// A wort and the acids that it may get.
struct Dosing<'b> {
    brew: &'b Brew<'b, 'b>,
    kettle: Kettle<'b, 'b>,
    doses: &'b [f64],
    range: TargetRange,
    middle: f64,
    /// With the salts of the kettle.
    wort: Wort,
}

impl<'b> Dosing<'b> {
    fn of(brew: &'b Brew<'_, '_>, range: TargetRange, wort: &Wort, doses: &'b [f64]) -> Dosing<'b> {
        let problem = &brew.scenario.problem;
        let salts = problem.doses.iter().zip(doses);
        let salts = salts.filter(|(option, _)| option.vessel == Vessel::Kettle);
        let salts = salts.fold(Dose::default(), |sum, (option, amount)| {
            sum.plus(&option.dose_per_unit().times(*amount))
        });
        let between = range
            .low
            .zip(range.high)
            .map(|(low, high)| (low + high) / 2.0);
        let middle = range.prefer.or(between);
        let mut salted = wort.dosed(&salts);
        salted.sd = wort.sd;
        Dosing {
            brew,
            kettle: brew.solution.kettle_model(),
            doses,
            middle: middle.unwrap_or(brew.solution.kettle.dosed.ph),
            wort: salted,
            range,
        }
    }

    fn landing(&self, dose: &Dose) -> Landing {
        let wort = &self.wort;
        let log_sd = math::root_of_squares([
            math::log_sd(wort.buffering_eq_per_ph, wort.buffering_sd),
            parameters::ACID_STRENGTH_RELATIVE_SD.value,
        ]);
        let ph = NODES.map(|[z, _]| {
            let mut wort = *wort;
            wort.buffering_eq_per_ph *= math::exp(z * log_sd);
            wort.dosed(dose).ph
        });
        Landing { ph, sd: wort.sd }
    }

    fn probability_in_range(&self, landing: &Landing) -> f64 {
        let [low, high] = [self.range.low, self.range.high];
        let below = |ph: f64| landing.below(ph);
        math::at_least(high.map_or(1.0, below) - low.map_or(0.0, below), 0.0)
    }

    fn probability_below(&self, landing: &Landing) -> f64 {
        too_low(&self.range).map_or(0.0, |low| landing.below(low))
    }

    fn is_outside(&self, ph: f64) -> bool {
        self.range.low.is_some_and(|low| ph < low) || self.range.high.is_some_and(|high| ph > high)
    }

    fn advice(&self, due: &[DoseDue]) -> Advice {
        if !due.is_empty() {
            Advice::Give
        } else if !self.is_outside(self.wort.ph) {
            Advice::Nothing
        } else if self.range.low.is_some_and(|low| self.wort.ph < low) {
            Advice::TooAcid
        } else {
            Advice::NoneAtHand
        }
    }

    /// What is due of each acid that the shelf has for the kettle: those that help most first.
    fn doses_due(&self) -> Vec<DoseDue> {
        let acids = self.kettle.acids();
        let mut due: Vec<DoseDue> = acids.filter_map(|acid| self.dose_due(acid)).collect();
        due.sort_by(|one, other| {
            let [one, other] = [one, other].map(|due| due.probability_in_range);
            other.total_cmp(&one)
        });
        due
    }

    fn dose_due(&self, acid: &ShelfReagent) -> Option<DoseDue> {
        let unit = acid.preparation.dose_per_unit();
        let about = self.wort.units_needed(&unit, self.middle);
        if about <= 0.0 {
            return None;
        }
        let risk = self.brew.solution.day.brewhouse.overshoot_risk;
        let landing = |amount: f64| self.landing(&unit.times(amount));
        let spare = |amount: f64| risk - self.probability_below(&landing(amount));
        let safe = math::falling_root(spare, 0.0, about).unwrap_or_else(NoRoot::nearer_end);
        let [fewer, more] = self.steps_about(acid, about.min(safe) / acid.step);
        let [few, many] = [fewer, more].map(|steps| landing(steps * acid.step));
        let [lands, lands_more] = [&few, &many].map(|landing| self.probability_in_range(landing));
        let is_risky = self.probability_below(&many) > risk;
        let (steps, landing, lands) = if lands_more > lands && !is_risky {
            (more, many, lands_more)
        } else {
            (fewer, few, lands)
        };
        let now = self.landing(&Dose::default());
        let gain = lands - self.probability_in_range(&now);
        // A wort far outside is brought nearer although one dose does not bring it inside.
        if steps <= 0.0 || (gain < LEAST_GAIN && !self.is_outside(now.ph())) {
            return None;
        }
        Some(DoseDue {
            preparation: acid.preparation,
            amount: steps * acid.step,
            unit: acid.preparation.unit(),
            ph: landing.ph(),
            interval_95: TAILS_95.map(|share| landing.quantile(share)),
            probability_in_range: lands,
            probability_below: self.probability_below(&landing),
            per_tenth: Some(
                self.wort
                    .dosed(&unit.times(steps * acid.step))
                    .units_needed(&unit, landing.ph() - TENTH),
            ),
        })
    }

    /// The whole steps below and above so many, as far as the least dose, stock and limits go.
    fn steps_about(&self, acid: &ShelfReagent, exact: f64) -> [f64; 2] {
        let fitted = [self.brew.scenario.shares.as_slice(), self.doses];
        let least = acid.least_steps();
        let most = self.kettle.most_steps(acid, fitted);
        let fewer = (exact + ROUNDING).floor();
        let can_be_given = |steps: f64| if steps < least { 0.0 } else { steps };
        [fewer, math::at_least(fewer + 1.0, least)].map(|steps| can_be_given(steps.min(most)))
    }
}

/// Standard normal deviates with their weights: a mean over them is that over the normal
/// distribution (Gauss–Hermite; Abramowitz & Stegun 1964, table 25.10, n = 5, scaled).
const NODES: [[f64; 2]; 5] = [
    [0.0, 0.533_333_333],
    [-1.355_626_180, 0.222_075_922],
    [1.355_626_180, 0.222_075_922],
    [-2.856_970_014, 0.011_257_411],
    [2.856_970_014, 0.011_257_411],
];
/// Shares of a distribution that lie below the ends of its middle 95 %.
const TAILS_95: [f64; 2] = [0.025, 0.975];
/// Deviation of what is known for sure, pH.
const LEAST_SD: f64 = 1e-9;
/// A tenth of a pH.
const TENTH: f64 = 0.1;
/// pH beyond which no dosed wort lies.
const FAR_OUT_PH: f64 = 3.0;
/// What a difference has rounded is a whole step.
const ROUNDING: f64 = 1e-9;
/// Chance that a dose must win to be worth giving.
const LEAST_GAIN: f64 = 0.05;
