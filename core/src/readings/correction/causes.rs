//! The causes that readings of a brew share: what the forecast of the mash is made of, what is not
//! known of water, acids and carbon dioxide, and what the probes are off by.
//!
//! Everything observed is as so many numbers, one for each cause, in one order: those of the mash;
//! then those of the day's liquors, as [`Scenario::causes`] has them, where any liquor was read;
//! then those of meters and wort. All causes are independent standard normal ones.

use crate::mash::{Mash, MissingAcid};
use crate::math;
use crate::readings::diagnosis::Probe;
use crate::readings::prediction::MashPrediction;
use crate::readings::scenario::Scenario;
use crate::recipe::Meter;
use crate::uncertainty::Cause;

/// The causes that readings of a brew share.
pub(super) struct Causes {
    /// How many a mash has of its own.
    own: usize,
    /// Of those the buffering of each malt: its place, and the standard deviation of its logarithm.
    log_sds: Vec<(usize, f64)>,
    /// Alkalinity of the mash, and strength of its acids, as sums of causes of the liquors: two
    /// directions of length one; nothing where no liquor was read, and each is a cause of its own.
    of_liquors: Option<[Vec<f64>; 2]>,
    day: Vec<Cause>,
}

/// How many causes come last: the computed conductivity, an offset of two probes of two kinds, the
/// temperature correction of two conductivity probes in cold samples and hot ones, and what is not
/// known of the wort beside its mash.
const LAST: usize = 10;
/// Alkalinity and strength of the acids, where they are causes of their own.
const SUMS: usize = 2;
const CONDUCTIVITY_MODEL: usize = 0;
const OFFSETS: usize = 1;
const CORRECTIONS: usize = 5;
const WORT: usize = 9;

impl Causes {
    /// Those of a mash alone.
    pub fn of_mash(mash: &Mash<'_>, missing: &MissingAcid) -> Causes {
        Causes {
            own: missing.by_cause_eq.len(),
            log_sds: mash.buffering_log_sds(),
            of_liquors: None,
            day: Vec::new(),
        }
    }

    /// The same with those of the liquors that it is made of, dosed so.
    pub fn with_liquors(self, scenario: &Scenario<'_>, doses: &[f64]) -> Causes {
        let mash = MashPrediction::of(scenario, doses.to_vec());
        let day = scenario.causes();
        let direction = |is_such: fn(&Cause) -> bool| {
            let moved = day.iter().map(|cause| {
                let moved = mash.moved_by(cause);
                if is_such(cause) { moved } else { 0.0 }
            });
            let moved: Vec<f64> = moved.collect();
            let length = math::at_least(math::root_of_squares(&moved), f64::MIN_POSITIVE);
            moved.into_iter().map(|one| one / length).collect()
        };
        Causes {
            of_liquors: Some([
                direction(|cause| !matches!(cause, Cause::Dose(_))),
                direction(|cause| matches!(cause, Cause::Dose(_))),
            ]),
            day,
            ..self
        }
    }

    /// What each cause adds to the acid that a mash misses, eq.
    pub fn of_missing(&self, missing: &MissingAcid) -> Vec<f64> {
        let mut all = missing.by_cause_eq.clone();
        let sums = [missing.alkalinity_eq, missing.acid_strength_eq];
        match &self.of_liquors {
            None => all.extend(sums),
            Some([alkalinity, strength]) => {
                let shares = alkalinity.iter().zip(strength);
                all.extend(shares.map(|(of, other)| sums[0] * of + sums[1] * other));
            }
        }
        all.extend([0.0; LAST]);
        all
    }

    /// What each cause of the liquors adds to something of theirs, `kept` of it by what carbon
    /// dioxide has left.
    pub fn of_liquor(
        &self,
        moved: impl Iterator<Item = f64>,
        kept: Option<(Cause, f64)>,
    ) -> Vec<f64> {
        let mut all = self.none();
        for (cause, moved) in all
            .iter_mut()
            .skip(self.own)
            .zip(moved.take(self.day.len()))
        {
            *cause = moved;
        }
        if let Some((cause, moved)) = kept
            && let Some(place) = self.day.iter().position(|one| *one == cause)
            && let Some(cause) = all.get_mut(self.own + place)
        {
            *cause += moved;
        }
        all
    }

    /// The causes that are the logarithm of a factor, each with its place and standard deviation.
    pub fn log_sds(&self) -> impl Iterator<Item = (usize, f64)> {
        self.log_sds.iter().copied()
    }

    /// How many causes the liquors have.
    pub fn of_day(&self) -> usize {
        self.day.len()
    }

    /// No cause adds anything.
    pub fn none(&self) -> Vec<f64> {
        let of_liquors = self.of_liquors.as_ref().map_or(SUMS, |_| self.day.len());
        vec![0.0; self.own + of_liquors + LAST]
    }
}

/// Adds what a probe is off by.
pub(super) fn add_offset(causes: &mut [f64], meter: Meter, probe: Probe, sd: f64) {
    let of_meter = match meter {
        Meter::Ph => 0,
        Meter::Conductivity | Meter::Temperature => 2,
    };
    add(causes, OFFSETS + of_meter + place_of(probe), sd);
}

/// Adds what the temperature correction of a conductivity probe is off by in cold or hot samples.
pub(super) fn add_correction(causes: &mut [f64], probe: Probe, is_cold: bool, sd: f64) {
    add(
        causes,
        CORRECTIONS + 2 * place_of(probe) + usize::from(is_cold),
        sd,
    );
}

/// Adds what the computed conductivity is off by.
pub(super) fn add_conductivity_model(causes: &mut [f64], sd: f64) {
    add(causes, CONDUCTIVITY_MODEL, sd);
}

/// Adds what is not known of the wort in the kettle beside its mash.
pub(super) fn add_wort(causes: &mut [f64], sd: f64) {
    add(causes, WORT, sd);
}

fn add(causes: &mut [f64], place: usize, sd: f64) {
    let first = causes.len().saturating_sub(LAST);
    if let Some(cause) = causes.get_mut(first + place) {
        *cause += sd;
    }
}

const fn place_of(probe: Probe) -> usize {
    match probe {
        Probe::Usual => 0,
        Probe::Second => 1,
    }
}
