//! The headline of a plan: what to do, what is missed, and how likely the mash lands in its range.

use super::document::{Addition, BlendPart, TargetLine};
use super::forecast_document::MashForecast;
use super::targets::verdict;
use crate::fit::AcidPart;
use crate::recipe::{BrewDay, TargetRange, Vessel};
use crate::words::{self, capitalised};

/// Whether every range is met, and the headline.
pub(super) fn headline(
    day: &BrewDay,
    targets: &[TargetLine],
    forecast: &MashForecast,
    (blend, additions): (&[BlendPart], &[Addition]),
) -> (bool, String) {
    let (meets_every_range, verdict) = verdict(targets, !targets.is_empty());
    let has_chance = forecast.probability_in_range.is_some();
    let mut sentences = vec![work(blend, additions)];
    // Ranges that are met say nothing beside the chance of the one that is uncertain.
    if !(meets_every_range && has_chance) {
        sentences.push(format!("{verdict}."));
    }
    sentences.push(mash(forecast, day.targets.mash_ph.as_ref()));
    sentences.extend(forecast.raised_by.iter().map(|raised| raised.text.clone()));
    (meets_every_range, sentences.join(" "))
}

/// What to do, in one sentence: where doses go, in the order of work.
fn work(blend: &[BlendPart], additions: &[Addition]) -> String {
    let mut vessels: Vec<Vessel> = Vec::new();
    for addition in additions {
        if !vessels.contains(&addition.vessel) {
            vessels.push(addition.vessel);
        }
    }
    let place = |vessel: &Vessel| match vessel {
        Vessel::HotLiquorTank => "the tank",
        Vessel::MashLiquor => "the mash liquor",
        Vessel::MashTun if is_in_parts(additions) => {
            "the mash in two parts with one reading between"
        }
        Vessel::MashTun if is_read_first(additions) => "the mash once it was read",
        Vessel::MashTun => "the mash",
        Vessel::SpargeLiquor => "the sparge liquor",
        Vessel::Kettle => "the kettle",
    };
    let mut parts = Vec::new();
    let drawn = blend.iter().filter(|part| part.share > 0.0);
    let waters: Vec<&str> = drawn.map(|part| part.source.as_str()).collect();
    if let [first, .., last] = waters.as_slice() {
        parts.push(match waters.len() {
            2 => format!("blend {first} with {last}"),
            _ => "blend the waters".to_owned(),
        });
    }
    let places: Vec<&str> = vessels.iter().map(place).collect();
    if let [first, rest @ ..] = places.as_slice() {
        parts.push(format!("dose {first}"));
        parts.extend(rest.iter().map(|place| (*place).to_owned()));
    }
    if parts.is_empty() {
        return "Nothing to weigh.".to_owned();
    }
    format!("{}.", capitalised(&parts.join(", then ")))
}

/// Per cent by which a chance must rise to be worth a word.
const WORTH_SAYING: f64 = 3.0;

fn is_read_first(additions: &[Addition]) -> bool {
    let mut in_mash = additions.iter().filter(|one| one.vessel == Vessel::MashTun);
    in_mash.all(|one| one.part == Some(AcidPart::Rest))
}

fn is_in_parts(additions: &[Addition]) -> bool {
    let in_mash = additions.iter().filter(|one| one.vessel == Vessel::MashTun);
    in_mash.filter(|one| one.part.is_some()).count() > 1
}

/// Where the mash lands and how likely that is, as a sentence.
fn mash(mash: &MashForecast, range: Option<&TargetRange>) -> String {
    if mash.sd.is_none() {
        return format!("The pH of the mash is {}.", mash.display);
    }
    let (Some(chance), Some(range)) = (mash.probability_in_range, range) else {
        return format!("The mash should reach pH {}.", mash.display);
    };
    let requested = mash.requested_confidence_percent;
    let requested =
        requested.map_or_else(String::new, |percent| format!(" ({percent} % requested)"));
    let wanted = match (range.low, range.high) {
        (Some(low), Some(high)) => format!("in pH {} to {}", words::ph(low), words::ph(high)),
        (Some(low), None) => format!("at pH {} or above", words::ph(low)),
        (None, Some(high)) => format!("at pH {} or below", words::ph(high)),
        (None, None) => String::new(),
    };
    let (chance, most_likely) = (chance * 100.0, words::ph(mash.ph));
    let lands_inside =
        range.low.is_none_or(|low| mash.ph >= low) && range.high.is_none_or(|high| mash.ph <= high);
    if lands_inside {
        let corrected = mash.correction.as_ref();
        let corrected = corrected.map(|one| 100.0 * one.probability_in_range);
        let corrected = corrected.filter(|corrected| *corrected > chance + WORTH_SAYING);
        let corrected = corrected.map_or_else(String::new, |corrected| {
            format!(" as dosed, {corrected:.0} % once read and corrected")
        });
        format!(
            "The mash lands {wanted} with a chance of {chance:.0} %{requested}{corrected}, most \
             likely at {most_likely}."
        )
    } else {
        format!(
            "The mash lands at about pH {most_likely}; the chance that it lands {wanted} is \
             {chance:.0} %{requested}."
        )
    }
}
