//! A plan grouped as it is worked through: additions by vessel, readings by place.

use super::document::{Addition, BlendPart, Plan};
use crate::readings::Reading;
use crate::recipe::Meter;
use crate::words;

impl Plan {
    /// The sources of which something is drawn.
    pub(crate) fn drawn(&self) -> impl Iterator<Item = &BlendPart> {
        self.blend.iter().filter(|part| part.share > 0.0)
    }

    /// Additions by vessel and time, in the order of work.
    pub(crate) fn visits(&self) -> impl Iterator<Item = Visit<'_>> {
        let together =
            |one: &Addition, next: &Addition| (one.vessel, &one.when) == (next.vessel, &next.when);
        let visits = self.additions.chunk_by(together);
        visits.filter_map(|additions| {
            let place = self.place_of(additions.first()?);
            Some(Visit { place, additions })
        })
    }

    /// Where and when an addition is made.
    fn place_of(&self, addition: &Addition) -> String {
        let mut vessels = self.vessels.iter();
        let liquor = vessels.find(|vessel| vessel.vessel == addition.vessel);
        let liquor = liquor.map_or_else(String::new, |liquor| format!(", {}", liquor.display));
        format!("{}{liquor}: {}", addition.vessel_label, addition.when)
    }

    /// Totals of cold liquor and of each reagent for all brews.
    pub(crate) fn totals(&self) -> String {
        let litres = self.blend.iter().fold(0.0, |sum, part| sum + part.volume_l);
        let mut totals = vec![format!("In all: liquor {litres:.0} L cold")];
        let mut rest: Vec<&Addition> = self.additions.iter().collect();
        while let Some(first) = rest.first().copied() {
            let alike =
                rest.extract_if(.., |one| (&one.name, one.unit) == (&first.name, first.unit));
            let amount = alike.map(|one| one.amount * one.times as f64).sum();
            totals.push(format!("{} {}", first.name, first.unit.amount(amount)));
        }
        totals.join("; ")
    }

    /// Readings by place and time, in the order of work.
    pub(crate) fn rounds(&self) -> impl Iterator<Item = Round<'_>> {
        let together =
            |one: &Reading, next: &Reading| (one.place, &one.when) == (next.place, &next.when);
        let rounds = self.readings.chunk_by(together);
        rounds.filter_map(|readings| {
            let first = readings.first()?;
            let place = format!("{}, {}", first.place.label(), first.when);
            Some(Round { place, readings })
        })
    }

    /// The meters in use.
    pub(crate) fn meters(&self) -> impl Iterator<Item = Meter> {
        let is_read = |meter: &Meter| self.readings.iter().any(|reading| reading.meter == *meter);
        Meter::ALL.into_iter().filter(is_read)
    }

    /// How often a reading is taken: once, or once in each brew.
    pub(crate) fn times_read(&self, reading: &Reading) -> usize {
        if reading.place.is_shared() {
            1
        } else {
            self.brews
        }
    }

    /// What deviations of the readings mean, each once.
    pub(crate) fn otherwise(&self) -> Vec<&str> {
        words::each_once(self.readings.iter().map(|one| one.otherwise.as_str()))
    }
}

/// Additions to one vessel at one time.
pub(crate) struct Visit<'a> {
    /// "hot-liquor tank, 15 hL at 78 °C: after filling".
    pub place: String,
    pub additions: &'a [Addition],
}

/// Readings in one place at one time.
pub(crate) struct Round<'a> {
    /// "mash, 20 to 60 minutes after mashing in".
    pub place: String,
    pub readings: &'a [Reading],
}

impl Round<'_> {
    /// The readings of one meter.
    pub(crate) fn by(&self, meter: Meter) -> impl Iterator<Item = &Reading> {
        self.readings.iter().filter(move |one| one.meter == meter)
    }
}
