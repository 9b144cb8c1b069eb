//! What the water holds: ions beyond figures for drinking water, chlorine in a draw, chloride
//! beside steel.

use underlet_tables::{LIMITS, Limit, parameters};

use super::finding::{TankFinding, TankFindingCode, cited, counted, number};
use crate::component::Component;
use crate::quantity::significant;
use crate::tank::chlorine::TankChlorine;
use crate::tank::figures::rounded;
use crate::tank::ledger::{Contents, Destination, Drawn, Entry};
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
        let is_hot = state.temperature_c >= parameters::STAINLESS_HOT_TEMPERATURE.value;
        let limit = if is_hot {
            parameters::STAINLESS_CHLORIDE_HOT
        } else {
            parameters::STAINLESS_CHLORIDE_COLD
        };
        let chloride = |state: &Contents| {
            Component::Chloride.mg_per_l(state.liquor().ions.get(Component::Chloride))
        };
        (chloride(state), entry.after.sd(chloride), limit, is_hot)
    };
    let places = entries.iter().map(over).enumerate();
    let (place, (found, sd, limit, is_hot)) = places
        .filter(|(_, (found, _, limit, _))| *found > limit.value)
        .max_by(|(_, a), (_, b)| (a.0 / a.2.value).total_cmp(&(b.0 / b.2.value)))?;
    Some(TankFinding {
        code: TankFindingCode::ChlorideOnSteel,
        // Between the two limits it is a question of how long it stays hot.
        severity: if found <= parameters::STAINLESS_CHLORIDE_COLD.value {
            FindingSeverity::Note
        } else {
            FindingSeverity::Doubt
        },
        line: counted(place),
        numbers: vec![
            number("chloride", found, Some(sd), "mg/L"),
            number("limit", limit.value, None, "mg/L"),
        ],
        text: format!(
            "{} mg/L of chloride {}: above {} mg/L, up to which stainless steel of grade 304 {}.",
            significant(found, 3),
            if is_hot {
                "in hot liquor"
            } else {
                "near room temperature"
            },
            rounded(limit.value),
            if is_hot {
                "is judged safe hot"
            } else {
                "is usually used"
            }
        ),
        source: cited(limit.source),
        caution: STEEL_CAUTION.into(),
    })
}
