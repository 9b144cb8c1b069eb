//! What the water holds: ions beyond figures for drinking water, chlorine in a draw, chloride
//! beside steel.

use underlet_tables::{LIMITS, Limit, parameters};

use super::finding::{TankFinding, TankFindingCode, cited, counted, number};
use crate::component::Component;
use crate::quantity::significant;
use crate::tank::chlorine::TankChlorine;
use crate::tank::figures::rounded;
use crate::tank::ledger::{Contents, Destination, Drawn, Entry};
use crate::treatment::SteelLimit;
use crate::water_report::FindingSeverity;

const CHLORINE_CAUTION: &str = "Never bring a chlorine product together with acid or sulfite. \
                                Sulfite can set off asthma: no dust, goggles and gloves. Test the \
                                liquor before it is drawn.";
const LIMIT_CAUTION: &str =
    "Limits of drinking water are no limits of beer: ask the supplier or the health authority.";
const STEEL_CAUTION: &str = "Grade, welds, heat and deposits decide: ask the maker of the tank. \
                             Steam concentrates chloride at the waterline.";

/// The draw and ion that lie the furthest beyond a figure for drinking water.
pub(super) fn limit(entries: &[Entry]) -> Option<TankFinding> {
    let mut worst: Option<(usize, f64, &Limit)> = None;
    for (place, entry) in entries.iter().enumerate() {
        let brewed = |drawn: &&Drawn| drawn.to != Destination::Elsewhere;
        let Some(drawn) = entry.drawn.as_ref().filter(brewed) else {
            continue;
        };
        // Advisories for special diets are not limits of drinking water.
        for limit in LIMITS.iter().filter(|limit| limit.status != "advisory") {
            let Some(ion) = Component::from_key(limit.quantity) else {
                continue;
            };
            let found = ion.mg_per_l(drawn.liquor.ions.get(ion));
            let is_worse =
                worst.is_none_or(|(_, most, other)| found * other.high > most * limit.high);
            if found > limit.high && is_worse {
                worst = Some((place, found, limit));
            }
        }
    }
    let (place, found, limit) = worst?;
    let drawn = entries.get(place)?;
    Some(TankFinding {
        code: TankFindingCode::LimitExceeded,
        severity: FindingSeverity::Note,
        line: counted(place),
        numbers: vec![
            number(limit.quantity, found, None, limit.unit),
            number("limit", limit.high, None, limit.unit),
        ],
        text: format!(
            "\"{}\" draws {} mg/L of {}; the {} figure for drinking water is {} mg/L ({}).",
            drawn.line.label,
            significant(found, 3),
            limit.quantity,
            limit.authority,
            significant(limit.high, 3),
            limit.status
        ),
        source: format!("{}: {}", limit.edition, cited(limit.source)),
        caution: LIMIT_CAUTION.into(),
    })
}

/// The draw that takes most chlorine into a brew.
pub(super) fn chlorine_drawn(entries: &[Entry]) -> Option<TankFinding> {
    let draws = entries.iter().enumerate().filter_map(|(place, entry)| {
        let drawn = entry.drawn.as_ref()?;
        let brewed = drawn.to != Destination::Elsewhere;
        let chlorine = TankChlorine::of(&drawn.chlorine).filter(|_| brewed)?;
        Some((place, entry, chlorine))
    });
    let (place, entry, chlorine) =
        draws.max_by(|(_, _, a), (_, _, b)| a.total_mg_per_l.total_cmp(&b.total_mg_per_l))?;
    Some(TankFinding {
        code: TankFindingCode::ChlorineDrawn,
        severity: FindingSeverity::Warning,
        line: counted(place),
        numbers: vec![
            number("total_chlorine", chlorine.total_mg_per_l, None, "mg/L"),
            number("free_chlorine", chlorine.free_mg_per_l, None, "mg/L"),
            number("taste", parameters::CHLORINE_TASTE.value, None, "mg/L"),
        ],
        text: format!(
            "\"{}\" draws {} mg/L of chlorine, {} mg/L of it free; people taste {} mg/L in water, \
             and less spoils beer. Heating drives some of it off, but none is counted as lost. \
             Metabisulfite added as the tank fills removes it; ascorbic acid quickly removes only \
             free chlorine.",
            entry.line.label,
            rounded(chlorine.total_mg_per_l),
            rounded(chlorine.free_mg_per_l),
            rounded(parameters::CHLORINE_TASTE.value)
        ),
        source: cited(parameters::CHLORINE_TASTE.source),
        caution: CHLORINE_CAUTION.into(),
    })
}

/// The line on which chloride is the furthest above what steel usually bears at its
/// temperature.
pub(super) fn chloride(entries: &[Entry]) -> Option<TankFinding> {
    let over = |entry: &Entry| {
        let state = entry.after.state();
        let chloride = |state: &Contents| {
            Component::Chloride.mg_per_l(state.liquor().ions.get(Component::Chloride))
        };
        let limit = SteelLimit::at(state.temperature_c);
        (chloride(state), entry.after.sd(chloride), limit)
    };
    let places = entries.iter().map(over).enumerate();
    let (place, (found, sd, limit)) = places
        .filter(|(_, (found, _, limit))| *found > limit.chloride.value)
        .max_by(|(_, a), (_, b)| {
            (a.0 / a.2.chloride.value).total_cmp(&(b.0 / b.2.chloride.value))
        })?;
    Some(TankFinding {
        code: TankFindingCode::ChlorideOnSteel,
        severity: if SteelLimit::is_beyond_cold(found) {
            FindingSeverity::Doubt
        } else {
            FindingSeverity::Note
        },
        line: counted(place),
        numbers: vec![
            number("chloride", found, Some(sd), "mg/L"),
            number("limit", limit.chloride.value, None, "mg/L"),
        ],
        text: limit.in_words(found),
        source: cited(limit.chloride.source),
        caution: STEEL_CAUTION.into(),
    })
}
