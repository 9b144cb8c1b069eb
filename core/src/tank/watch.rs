//! What to watch in a tank: scale, what does not dissolve, chloride beside steel, acid that comes too late. Each with its numbers, its
//! source and a caution; limits are reasons to ask, never verdicts.

use std::borrow::Cow;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use underlet_tables::{LIMITS, Limit, parameters, source};

use super::answer::{TankChlorine, said};
use super::day::TankDay;
use super::figures::CALCITE_G_PER_MOL;
use crate::aqueous::{Aqueous, EquilibriumError, Mineral};
use crate::component::Component;
use crate::error::codes;
use crate::liquor::water_density_kg_per_l;
use crate::quantity::tidy;
use crate::reagent::Preparation;
use crate::tank::ledger::{Destination, Drawn, Entry, Heel, State, Supply, Tank, Work, acid_first};
use crate::treatment::Habits;
use crate::water_report::FindingSeverity;

codes! {
    /// Stable short code of what to watch in a tank: programs match on it, so a code is never renamed.
    pub enum TankFindingCode {
        /// Acid would keep scale off the heater if it came before heating.
        AcidBeforeHeating = "acid_before_heating",
        /// Calcite comes down on heater and walls.
        ScaleExpected = "scale_expected",
        /// More of a reagent is given than dissolves at the tank's temperature.
        DoseNotDissolving = "dose_not_dissolving",
        /// The liquor holds more calcium sulfate than it can keep dissolved.
        GypsumSupersaturated = "gypsum_supersaturated",
        /// Calcium sulfate may grow on the heater, whose skin is hotter than the liquor.
        AnhydriteOnHeater = "anhydrite_on_heater",
        /// Liquor is drawn that holds more of an ion than a figure for drinking water.
        LimitExceeded = "limit_exceeded",
        /// Chlorine is drawn into the brew.
        ChlorineDrawn = "chlorine_drawn",
        /// Scale may grow in the wort cooler.
        ScaleInCooler = "scale_in_cooler",
        /// More chloride than stainless steel is usually asked to bear.
        ChlorideOnSteel = "chloride_on_steel",
    }
}

/// One thing to watch.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct TankFinding {
    /// Stable code.
    pub code: TankFindingCode,
    /// How much it matters.
    pub severity: FindingSeverity,
    /// The line it is about, counted from 0.
    pub line: u32,
    /// Its numbers.
    pub numbers: Vec<TankNumber>,
    /// In plain words.
    pub text: String,
    /// Where the limit or the law comes from, and how far that was checked.
    pub source: String,
    /// What to mind when acting on it.
    pub caution: Cow<'static, str>,
}

/// A number of a finding.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct TankNumber {
    /// What it is.
    pub key: Cow<'static, str>,
    /// The number.
    pub value: f64,
    /// Standard deviation, where one is known.
    pub sd: Option<f64>,
    /// Its unit.
    pub unit: Cow<'static, str>,
}

const SCALE_CAUTION: &str = "How fast a tank grows scale is judged, not measured: weigh what you take out. Descale with the heater off \
     and cold, and never bring acid together with a chlorine product.";
const ACID_CAUTION: &str = "Acid into water, slowly, lid open, room aired: carbon dioxide is set free. Goggles and gloves.";
const DISSOLVING_CAUTION: &str =
    "Stir it into cold liquor, and look at the bottom before you trust the numbers.";
const LIME_CAUTION: &str = "Lime burns eyes and skin, hot lime water worse: goggles, gloves, no dust. Stir it into cold liquor.";
const CHLORINE_CAUTION: &str = "Never bring a chlorine product together with acid or sulfite. Sulfite can set off asthma: no dust, goggles and \
     gloves. Test the liquor before it is drawn.";
const HEATER_CAUTION: &str = "Acid does not take anhydrite off: heat gently, stir, and give gypsum to the mash rather than to liquor that is \
     heated.";
const LIMIT_CAUTION: &str =
    "Limits of drinking water are no limits of beer: ask the supplier or the health authority.";
const COOLER_CAUTION: &str = "Calculated for the water alone, at the wort's own heat: watch flow and outlet temperature, and descale by the \
     maker's instructions, the cooler cold and rinsed of cleaning agents, never acid on chlorine.";
const STEEL_CAUTION: &str = "Grade, welds, heat and deposits decide: ask the maker of the tank. Steam concentrates chloride at the waterline.";

/// The skin of a heater under liquor is no hotter than water boils: the hottest surface there can be, °C.
const HEATER_C: f64 = 100.0;

/// Scale below this is not spoken of, g.
const WORTH_A_WORD_G: f64 = 1.0;

/// Everything to watch, gravest first, then in the order of work.
pub(super) fn findings(
    day: &TankDay,
    entries: &[Entry],
) -> Result<Vec<TankFinding>, EquilibriumError> {
    let mut findings = Vec::new();
    findings.extend(acid_before_heating(day));
    findings.extend(scale(entries)?);
    findings.extend((0..entries.len()).filter_map(|place| undissolved(entries, place)));
    findings.extend(gypsum(entries)?);
    findings.extend(anhydrite(entries)?);
    findings.extend(limit(entries));
    findings.extend(chlorine_drawn(entries));
    findings.extend(scale_in_cooler(day)?);
    findings.extend(chloride(entries));
    findings.sort_by_key(|finding| (finding.severity, finding.line));
    Ok(findings)
}

fn number(key: &'static str, value: f64, sd: Option<f64>, unit: &'static str) -> TankNumber {
    TankNumber {
        key: key.into(),
        value: tidy(value),
        sd: sd.map(tidy),
        unit: unit.into(),
    }
}

fn counted(place: usize) -> u32 {
    u32::try_from(place).unwrap_or(u32::MAX)
}

/// A source as it is printed, with how far it was checked.
fn cited(key: &str) -> String {
    source(key).map_or_else(String::new, |row| {
        format!("{} ({})", row.reference, row.checked)
    })
}

/// The order of acid and heat, of a tank whose habits are taken for certain: the error bars of scale are those of the ledger.
fn acid_before_heating(day: &TankDay) -> Option<TankFinding> {
    let tank = Tank {
        habits_sd: Habits::CERTAIN,
        ..day.tank.clone()
    };
    let sure = |supply: Supply| Supply {
        components: Vec::new(),
        ..supply
    };
    let supplies: Vec<Supply> = day.plain_supplies().into_iter().map(sure).collect();
    let heel = Heel::left(*day.heel.state(), Vec::new());
    let advice = acid_first(&tank, &supplies, &heel, &day.lines).ok()??;
    let saved = advice.scale_g - advice.scale_acid_first_g;
    (saved >= WORTH_A_WORD_G).then(|| TankFinding {
        code: TankFindingCode::AcidBeforeHeating,
        severity: FindingSeverity::Warning,
        line: counted(advice.acid),
        numbers: vec![
            number("scale", advice.scale_g, None, "g"),
            number("scale_acid_first", advice.scale_acid_first_g, None, "g"),
            number("before_line", advice.before as f64, None, ""),
        ],
        text: advice.text,
        source: cited(parameters::SCALE_REACH.source),
        caution: ACID_CAUTION.into(),
    })
}

/// Scale of the whole day, at the line that brings most of it.
fn scale(entries: &[Entry]) -> Result<Option<TankFinding>, EquilibriumError> {
    let (Some(first), Some(last)) = (entries.first(), entries.last()) else {
        return Ok(None);
    };
    let [total, sd] = last.after.change_since(&first.before, State::scale_g);
    if total < WORTH_A_WORD_G {
        return Ok(None);
    }
    let places = entries.iter().enumerate();
    let worst = places.max_by(|(_, a), (_, b)| a.scale_g().total_cmp(&b.scale_g()));
    let (worst, most) = worst.unwrap_or((0, first));
    let skin = Aqueous::at(HEATER_C).closed(&most.before.state().liquor())?;
    Ok(Some(TankFinding {
        code: TankFindingCode::ScaleExpected,
        severity: FindingSeverity::Doubt,
        line: counted(worst),
        numbers: vec![
            number("scale", total, Some(sd), "g"),
            number("scale_on_this_line", most.scale_g(), None, "g"),
            number(
                "calcite_saturation_index_at_heater",
                skin.saturation_index(Mineral::Calcite),
                None,
                "",
            ),
        ],
        text: format!(
            "{} g of calcite (give or take {}) come down on heater and walls, {} g of it with \"{}\".",
            said(total),
            said(sd),
            said(most.scale_g()),
            most.line.label
        ),
        source: cited(parameters::SCALE_TIME.source),
        caution: SCALE_CAUTION.into(),
    }))
}

/// The heating after which calcium sulfate is the most above saturation at the heater's skin: hot, anhydrite is what forms.
fn anhydrite(entries: &[Entry]) -> Result<Option<TankFinding>, EquilibriumError> {
    let skin = Aqueous::at(HEATER_C);
    let mut worst: Option<(usize, f64, [f64; 2])> = None;
    for (place, entry) in entries.iter().enumerate() {
        if !matches!(entry.line.work, Work::Heat { .. }) {
            continue;
        }
        let state = entry.after.state();
        let of = |hot: &Aqueous| -> Result<f64, EquilibriumError> {
            Ok(hot
                .closed(&state.liquor())?
                .saturation_index(Mineral::Anhydrite))
        };
        let index = of(&skin)?;
        if index > 0.0 && worst.is_none_or(|(_, most, _)| index > most) {
            let here = of(&Aqueous::at(state.temperature_c))?;
            worst = Some((place, index, [here, state.temperature_c]));
        }
    }
    Ok(worst.map(|(place, index, [here, temperature_c])| TankFinding {
        code: TankFindingCode::AnhydriteOnHeater,
        severity: FindingSeverity::Doubt,
        line: counted(place),
        numbers: vec![
            number("anhydrite_saturation_index_at_heater", index, None, ""),
            number("heater", HEATER_C, None, "°C"),
            number("anhydrite_saturation_index", here, None, ""),
            number("temperature", temperature_c, None, "°C"),
        ],
        text: format!(
            "Calcium sulfate dissolves the less the hotter it is: at a heater's skin of up to {HEATER_C:.0} °C anhydrite is above saturation \
             (index {}; {} in the liquor at {temperature_c:.0} °C) and may grow there.",
            said(index),
            said(here)
        ),
        source: cited("nordstrom-1990"),
        caution: HEATER_CAUTION.into(),
    }))
}

/// The draw and ion that lie the furthest beyond a figure for drinking water.
fn limit(entries: &[Entry]) -> Option<TankFinding> {
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
            crate::quantity::significant(found, 3),
            limit.quantity,
            limit.authority,
            crate::quantity::significant(limit.high, 3),
            limit.status
        ),
        source: format!("{}: {}", limit.edition, cited(limit.source)),
        caution: LIMIT_CAUTION.into(),
    })
}

/// What was given of a reagent up to a line since liquor last came in or went out, in its unit.
fn given_so_far(entries: &[Entry], place: usize, of: &Preparation) -> f64 {
    let lines = entries
        .iter()
        .take(place + 1)
        .rev()
        .map(|entry| &entry.line.work);
    let stays = |work: &&Work| {
        !matches!(
            work,
            Work::Fill { .. } | Work::Recover { .. } | Work::Draw { .. }
        )
    };
    let doses = lines.take_while(stays).map(|work| match work {
        Work::Dose {
            preparation,
            amount,
        } if preparation == of => *amount,
        _ => 0.0,
    });
    doses.sum()
}

/// A solid of which more is given than pure water of that temperature takes up.
fn undissolved(entries: &[Entry], place: usize) -> Option<TankFinding> {
    let entry = entries.get(place)?;
    let Work::Dose { preparation, .. } = entry.line.work else {
        return None;
    };
    let state = entry.after.state();
    let given = given_so_far(entries, place, &preparation) / state.water_kg;
    let most = preparation.solubility_units_per_kg(state.temperature_c)?;
    if given <= most {
        return None;
    }
    Some(TankFinding {
        code: TankFindingCode::DoseNotDissolving,
        severity: FindingSeverity::Warning,
        line: counted(place),
        numbers: vec![
            number("given", given, None, "g/kg"),
            number("dissolves", most, None, "g/kg"),
            number("temperature", state.temperature_c, None, "°C"),
        ],
        text: format!(
            "{} g of {} in a kg of liquor at {:.0} °C, of which pure water dissolves {} g: the rest lies on the bottom, and the lines \
             after it count it as dissolved.",
            said(given),
            preparation.reagent.name,
            state.temperature_c,
            said(most)
        ),
        source: cited(preparation.reagent.source),
        caution: if preparation.reagent.caustic {
            LIME_CAUTION.into()
        } else {
            DISSOLVING_CAUTION.into()
        },
    })
}

/// The line on which calcium sulfate is the most above saturation, if it is on any.
fn gypsum(entries: &[Entry]) -> Result<Option<TankFinding>, EquilibriumError> {
    let mut worst: Option<(usize, f64, f64)> = None;
    for (place, entry) in entries.iter().enumerate() {
        let state = entry.after.state();
        if state.water_kg <= 0.0 {
            continue;
        }
        let index = state.equilibrium()?.saturation_index(Mineral::Gypsum);
        if index > 0.0 && worst.is_none_or(|(_, most, _)| index > most) {
            worst = Some((place, index, state.temperature_c));
        }
    }
    Ok(worst.map(|(place, index, temperature_c)| TankFinding {
        code: TankFindingCode::GypsumSupersaturated,
        severity: FindingSeverity::Warning,
        line: counted(place),
        numbers: vec![
            number("gypsum_saturation_index", index, None, ""),
            number("temperature", temperature_c, None, "°C"),
        ],
        text: format!(
            "At {temperature_c:.0} °C the liquor holds more calcium sulfate than it can keep dissolved (saturation index {}): gypsum does \
             not dissolve in it, or comes down as scale.",
            said(index)
        ),
        source: cited("gypsum-solubility"),
        caution: DISSOLVING_CAUTION.into(),
    }))
}

/// The draw that takes most chlorine into a brew.
fn chlorine_drawn(entries: &[Entry]) -> Option<TankFinding> {
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
            "\"{}\" draws {} mg/L of chlorine, {} mg/L of it free; drinkers taste {} mg/L, and in beer less makes off-flavours. Heat drives \
             some of it off, but no figure for that was at hand: none is counted as lost. Metabisulfite as the tank is filled takes it out; \
             ascorbic acid takes the free alone in time.",
            entry.line.label,
            said(chlorine.total_mg_per_l),
            said(chlorine.free_mg_per_l),
            said(parameters::CHLORINE_TASTE.value)
        ),
        source: cited(parameters::CHLORINE_TASTE.source),
        caution: CHLORINE_CAUTION.into(),
    })
}

/// The recovered water that would drop most calcite at the heat of the wort that it cools. It is shut up in the cooler and keeps its carbon
/// dioxide; what would come down by equilibrium is the most that can, seconds bring less.
fn scale_in_cooler(day: &TankDay) -> Result<Option<TankFinding>, EquilibriumError> {
    let wort_c = parameters::COOLER_WORT_TEMPERATURE.value;
    let mut worst: Option<(usize, f64, [f64; 3])> = None;
    for (place, line) in day.lines.iter().enumerate() {
        let Work::Recover {
            supply,
            temperature_c,
            ..
        } = line.work
        else {
            continue;
        };
        let Some(of) = day.supplies.get(supply) else {
            continue;
        };
        let index = |celsius: f64| -> Result<f64, EquilibriumError> {
            let state = Aqueous::at(celsius).closed(&of.supply.liquor)?;
            Ok(state.saturation_index(Mineral::Calcite))
        };
        let at_wall = index(wort_c)?;
        if at_wall <= 0.0 || worst.is_some_and(|(_, most, _)| at_wall <= most) {
            continue;
        }
        let calcite = [(Mineral::Calcite, 0.0)];
        let (_, down) = Aqueous::at(wort_c).precipitated(&of.supply.liquor, &calcite, None)?;
        // Grams in a kg are tenths of a kg in a hL; the hL is cold.
        let cold = water_density_kg_per_l(of.supply.liquor.temperature_c);
        let g_per_hl = 100.0 * cold * CALCITE_G_PER_MOL * down.iter().sum::<f64>();
        worst = Some((
            place,
            at_wall,
            [index(temperature_c)?, g_per_hl, temperature_c],
        ));
    }
    Ok(worst.map(|(place, at_wall, [at_outlet, g_per_hl, outlet_c])| TankFinding {
        code: TankFindingCode::ScaleInCooler,
        severity: FindingSeverity::Doubt,
        line: counted(place),
        numbers: vec![
            number("calcite_saturation_index_at_wort", at_wall, None, ""),
            number("wort_temperature", wort_c, None, "°C"),
            number("calcite_saturation_index_at_outlet", at_outlet, None, ""),
            number("outlet_temperature", outlet_c, None, "°C"),
            number("scale_at_most", g_per_hl, None, "g/hL"),
        ],
        text: format!(
            "In the wort cooler this water is above saturation with calcite: index {} where plates are as hot as wort of {wort_c:.0} °C, {} at \
             the outlet. At most {} g of scale in a hL, were it to come to rest there; seconds bring less, and flow and pressure drop tell.",
            said(at_wall),
            said(at_outlet),
            said(g_per_hl)
        ),
        source: format!(
            "{}; temperature of wort: {}",
            cited("plummer-busenberg-1982"),
            cited(parameters::COOLER_WORT_TEMPERATURE.source)
        ),
        caution: COOLER_CAUTION.into(),
    }))
}

/// The line on which chloride is the furthest above what steel is usually asked to bear at its temperature.
fn chloride(entries: &[Entry]) -> Option<TankFinding> {
    let over = |entry: &Entry| {
        let state = entry.after.state();
        let is_hot = state.temperature_c >= parameters::STAINLESS_HOT_TEMPERATURE.value;
        let limit = if is_hot {
            parameters::STAINLESS_CHLORIDE_HOT
        } else {
            parameters::STAINLESS_CHLORIDE_COLD
        };
        let chloride = |state: &crate::tank::ledger::State| {
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
            crate::quantity::significant(found, 3),
            if is_hot {
                "in hot liquor"
            } else {
                "near room temperature"
            },
            said(limit.value),
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
