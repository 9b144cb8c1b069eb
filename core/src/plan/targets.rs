//! Each wanted range: where the source stood and where the plan lands.

use std::convert::identity;

use underlet_tables::parameters;

use super::codes::TargetKey;
use super::document::{State, TargetLine};
use crate::aqueous::{Aqueous, titrated_alkalinity_eq_per_kg};
use crate::component::Component;
use crate::fit::{Both, Liquors, Settled};
use crate::liquor::{Dose, Liquor, mg_per_l_caco3};
use crate::math;
use crate::recipe::Wanted;
use crate::words::{self, DISPLAY_PH};

/// How far a figure may lie outside its range and still be met: what a display rounds away.
const DISPLAY_SHARE: f64 = 0.004;
/// As good as nothing of an ion, mg/L: no meter sees less.
pub(crate) const TRACE_MG_PER_L: f64 = 0.005;

impl Settled<'_> {
    /// Whether the forecast lies in a wanted range of mash pH, of more than one value.
    pub(crate) fn is_mash_ph_met(&self, range: &Wanted) -> bool {
        range.low != range.high
            && state(self.forecast.ph, range.low, range.high, DISPLAY_PH) == State::Met
    }

    pub(crate) fn targets(&self) -> Vec<TargetLine> {
        let doses = &self.answer.doses;
        self.lines(
            &self.liquors,
            doses,
            self.forecast.ph,
            self.waters.sparge_closed,
        )
    }

    /// What other shares and doses would reach.
    pub(crate) fn targets_at(&self, shares: &[f64], doses: &[f64]) -> Vec<TargetLine> {
        let liquors = self.question.liquors(shares, doses);
        let mash_ph = self.day.mash_of(&self.question, liquors.mash).ph();
        let mut sparge_ph = self.waters.sparge_closed;
        if self.day.targets.sparge_ph.is_some() {
            let aqueous = Aqueous::at(parameters::SAMPLE_TEMPERATURE.value);
            let closed = aqueous.closed(&liquors.sparge);
            sparge_ph = closed.map_or(sparge_ph, |water| water.ph);
        }
        self.lines(&liquors, doses, mash_ph, sparge_ph)
    }

    /// The chances of landing in the ranges with other shares and doses, as unsure as those of the plan.
    pub(crate) fn chances_at(&self, shares: &[f64], doses: &[f64]) -> Both<Option<f64>> {
        self.day
            .chances(&self.question, [shares, doses], &self.unsure)
    }

    fn lines(
        &self,
        liquors: &Liquors,
        doses: &[f64],
        mash_ph: f64,
        sparge_ph: f64,
    ) -> Vec<TargetLine> {
        let source = self.day.first_source();
        let kettle_ph = self.day.kettle.ph.as_ref();
        let kettle = kettle_ph.map(|range| (range, self.in_kettle_with(liquors, doses, mash_ph)));
        let acid = kettle.as_ref().and_then(|(_, kettle)| kettle.acid.as_ref());
        // What the fit was told of the acid gives way to what is given.
        let given = acid.map_or_else(Dose::default, |acid| {
            acid.dose().times(1.0 / self.question.waters.kettle_kg)
        });
        let more = given.plus(&self.question.in_kettle.times(-1.0));
        let overall = &liquors.overall.dosed(&more, 1.0);
        let wanted = &self.day.targets;
        let mut lines = Vec::new();
        for (ion, range) in &wanted.ions {
            let mg = |mol_per_kg: f64| ion.mg_per_l(mol_per_kg);
            let figures = (mg(source.ions.get(*ion)), mg(overall.ions.get(*ion)));
            lines.push(line(
                (TargetKey::Component(*ion), ion.key(), "mg/L"),
                figures,
                range,
                mg,
            ));
        }
        if let Some(range) = &wanted.sulfate_to_chloride {
            lines.push(ratio_line(&source, overall, range));
        }
        if let Some(range) = &wanted.mash_ph {
            let figures = (self.ph_untreated, mash_ph);
            lines.push(line(
                (TargetKey::MashPh, "mash pH", ""),
                figures,
                range,
                identity,
            ));
        }
        if let (Some(range), Some(_)) = (&wanted.sparge_alkalinity, &self.day.sparge) {
            let titrated = |liquor: &Liquor| mg_per_l_caco3(titrated_alkalinity_eq_per_kg(liquor));
            let figures = (titrated(&source), titrated(&liquors.sparge));
            let names = (
                TargetKey::SpargeAlkalinity,
                "sparge alkalinity",
                "mg/L as CaCO3",
            );
            lines.push(line(names, figures, range, mg_per_l_caco3));
        }
        if let (Some(range), Some(_)) = (&wanted.sparge_ph, &self.day.sparge) {
            let figures = (self.waters.source, sparge_ph);
            lines.push(line(
                (TargetKey::SpargePh, "sparge pH", ""),
                figures,
                range,
                identity,
            ));
        }
        if let Some((range, kettle)) = &kettle {
            let untreated = self.kettle_full(&source, &source, self.ph_untreated);
            let figures = (untreated.ph, kettle.dosed.ph);
            lines.push(line(
                (TargetKey::KettlePh, "kettle pH", ""),
                figures,
                range,
                identity,
            ));
        }
        lines
    }
}

/// Whether a value meets a range.
fn state(value: f64, low: Option<f64>, high: Option<f64>, slack: f64) -> State {
    match (low, high) {
        (None, None) => State::Free,
        (Some(low), _) if value < low - slack => State::Below,
        (_, Some(high)) if value > high + slack => State::Above,
        _ => State::Met,
    }
}

/// Whether every range is met, and that in words; `asked` says whether there is any.
pub(crate) fn verdict(targets: &[TargetLine], asked: bool) -> (bool, String) {
    let missed: Vec<&str> = targets
        .iter()
        .filter(|line| matches!(line.state, State::Below | State::Above))
        .map(|line| line.label.as_str())
        .collect();
    let words = if !asked {
        "No range was asked for".to_owned()
    } else if missed.is_empty() {
        "Every range is met".to_owned()
    } else {
        format!("Not met: {}", missed.join(", "))
    };
    (missed.is_empty(), words)
}

/// The line of sulfate to chloride, by mass. It has no figure where there is no chloride to compare
/// with. Sulfate beyond so many times the chloride, the line of the fit, then says whether it is
/// met.
pub(crate) fn ratio_line(source: &Liquor, made: &Liquor, range: &Wanted) -> TargetLine {
    let mg = |liquor: &Liquor, ion: Component| ion.mg_per_l(liquor.ions.get(ion));
    let ratio = |liquor: &Liquor| {
        let chloride = mg(liquor, Component::Chloride);
        (chloride > TRACE_MG_PER_L).then(|| mg(liquor, Component::Sulfate) / chloride)
    };
    let names = (TargetKey::SulfateToChloride, "sulfate to chloride", "");
    let mut line = line_of(names, (ratio(source), ratio(made)), range, identity);
    let beyond = |times: f64| mg(made, Component::Sulfate) - times * mg(made, Component::Chloride);
    let is_above = |high: f64| beyond(high) > TRACE_MG_PER_L;
    if line.planned.is_none() && line.high.is_some_and(is_above) {
        line.state = State::Above;
    }
    line
}

/// A target's line. `names` are key, label and unit; `figures` the source's and the plan's, in the unit;
/// `in_unit` turns the range's canonical numbers into it.
pub(crate) fn line(
    names: (TargetKey, &str, &str),
    (source, planned): (f64, f64),
    range: &Wanted,
    in_unit: impl Fn(f64) -> f64,
) -> TargetLine {
    line_of(names, (Some(source), Some(planned)), range, in_unit)
}

/// The same where there may be no figure.
fn line_of(
    names: (TargetKey, &str, &str),
    figures: (Option<f64>, Option<f64>),
    range: &Wanted,
    in_unit: impl Fn(f64) -> f64,
) -> TargetLine {
    let (key, label, unit) = names;
    let (source, planned) = figures;
    let is_ph = matches!(
        key,
        TargetKey::MashPh | TargetKey::SpargePh | TargetKey::KettlePh
    );
    let in_unit = |value: f64| words::tidy(in_unit(value));
    let (low, high) = (range.low.map(in_unit), range.high.map(in_unit));
    let slack = if is_ph {
        DISPLAY_PH
    } else {
        DISPLAY_SHARE * math::at_least(planned.map_or(0.0, f64::abs), 1.0)
    };
    let write = |value: f64| words::figure(value, unit, is_ph);
    let shown = |figure: Option<f64>| figure.map_or_else(|| "no chloride".to_owned(), write);
    let display = format!("{} → {} {unit}", shown(source), shown(planned));
    TargetLine {
        key,
        label: label.to_owned(),
        unit: unit.to_owned(),
        source,
        planned,
        low,
        high,
        prefer: range.prefer.map(in_unit),
        state: match (planned, low.or(high)) {
            (Some(planned), _) => state(planned, low, high, slack),
            (None, None) => State::Free,
            // Whether it lies above is for the caller to say.
            (None, Some(_)) => State::Met,
        },
        display: display.trim_end().to_owned() + &words::wanted(low, high, write),
    }
}
