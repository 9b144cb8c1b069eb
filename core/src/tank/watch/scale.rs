//! Scale: how much comes down in tank and wort cooler, and whether acid comes before heat.

use underlet_tables::parameters;

use super::finding::{HEATER_C, TankFinding, TankFindingCode, cited, counted, number};
use crate::aqueous::EquilibriumError;
use crate::liquor::water_density_kg_per_l;
use crate::tank::day::TankDay;
use crate::tank::figures::rounded;
use crate::tank::ledger::{
    AcidFirst, Contents, Entry, Heel, LedgerError, Supply, Tank, Work, acid_first,
};
use crate::treatment::{NOTABLE_SCALE_G, Rates, calcite_excess_g_per_kg, calcite_index};
use crate::water_report::FindingSeverity;

const SCALE_CAUTION: &str = "The area that scale grows on is judged, not measured: weigh what you \
                             take out. Descale with the heater off and cold, and never bring acid \
                             together with a chlorine product.";
const ACID_CAUTION: &str = "Acid into water, slowly, lid open, room aired: carbon dioxide is set \
                            free. Goggles and gloves.";
const COOLER_CAUTION: &str = "Calculated for the water alone, at the wort's own heat: watch flow \
                              and outlet temperature, and descale by the maker's instructions, \
                              the cooler cold and rinsed of cleaning agents, never acid on \
                              chlorine.";
/// The order of acid and heat, of a tank whose rates are taken for certain: the error bars of
/// scale are those of the ledger.
///
/// # Errors
/// [`LedgerError`] where a liquor of the day has no equilibrium.
pub(super) fn acid_before_heating(day: &TankDay) -> Result<Option<TankFinding>, LedgerError> {
    let tank = Tank {
        rates_sd: Rates::CERTAIN,
        ..day.tank.clone()
    };
    let sure = |supply: Supply| Supply {
        components: Vec::new(),
        ..supply
    };
    let supplies: Vec<Supply> = day.plain_supplies().into_iter().map(sure).collect();
    let heel = Heel::left(*day.heel.state(), Vec::new());
    let advice = acid_first(&tank, &supplies, &heel, &day.lines)?;
    let is_worth_it =
        |advice: &AcidFirst| advice.scale_g - advice.scale_acid_first_g >= NOTABLE_SCALE_G;
    Ok(advice.filter(is_worth_it).map(|advice| TankFinding {
        code: TankFindingCode::AcidBeforeHeating,
        severity: FindingSeverity::Warning,
        line: counted(advice.acid),
        numbers: vec![
            number("scale", advice.scale_g, None, "g"),
            number("scale_acid_first", advice.scale_acid_first_g, None, "g"),
            number("before_line", advice.before as f64, None, ""),
        ],
        text: advice.text,
        source: cited(parameters::CALCITE_SATURATION_EXPONENT.source),
        caution: ACID_CAUTION.into(),
    }))
}

/// Scale of the whole day, at the line that brings most of it.
pub(super) fn scale(entries: &[Entry]) -> Result<Option<TankFinding>, EquilibriumError> {
    let (Some(first), Some(last)) = (entries.first(), entries.last()) else {
        return Ok(None);
    };
    let [total, sd] = last.after.change_since(&first.before, Contents::scale_g);
    if total < NOTABLE_SCALE_G {
        return Ok(None);
    }
    let places = entries.iter().enumerate();
    let worst = places.max_by(|(_, a), (_, b)| a.scale_g().total_cmp(&b.scale_g()));
    let (worst, most) = worst.unwrap_or((0, first));
    let at_heater = calcite_index(&most.before.state().liquor(), HEATER_C)?;
    Ok(Some(TankFinding {
        code: TankFindingCode::ScaleExpected,
        severity: FindingSeverity::Doubt,
        line: counted(worst),
        numbers: vec![
            number("scale", total, Some(sd), "g"),
            number("scale_on_this_line", most.scale_g(), None, "g"),
            number("calcite_saturation_index_at_heater", at_heater, None, ""),
        ],
        text: format!(
            "{} ± {} g of scale forms on heater and walls, {} g of it with \"{}\".",
            rounded(total),
            rounded(sd),
            rounded(most.scale_g()),
            most.line.label
        ),
        source: format!(
            "{}; area of scale: {}",
            cited(parameters::CALCITE_SATURATION_EXPONENT.source),
            cited(parameters::SCALE_AREA_SOME.source)
        ),
        caution: SCALE_CAUTION.into(),
    }))
}

/// The recovered water that would drop most calcite at the heat of the wort that it cools. It is
/// shut up in the cooler and keeps its carbon dioxide; what would come down by equilibrium is the
/// most that can, seconds bring less.
pub(super) fn scale_in_cooler(day: &TankDay) -> Result<Option<TankFinding>, EquilibriumError> {
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
        let liquor = &of.supply.liquor;
        let at_wall = calcite_index(liquor, wort_c)?;
        if at_wall <= 0.0 || worst.is_some_and(|(_, most, _)| at_wall <= most) {
            continue;
        }
        // Grams in a kg are tenths of a kg in a hL; the hL is cold.
        let cold = water_density_kg_per_l(liquor.temperature_c);
        let g_per_hl = 100.0 * cold * calcite_excess_g_per_kg(liquor, wort_c)?;
        let at_outlet = calcite_index(liquor, temperature_c)?;
        worst = Some((place, at_wall, [at_outlet, g_per_hl, temperature_c]));
    }
    Ok(worst.map(
        |(place, at_wall, [at_outlet, g_per_hl, outlet_c])| TankFinding {
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
                "In the wort cooler this water is above saturation with calcite: index {} where \
                 plates are as hot as wort of {wort_c:.0} °C, {} at the outlet. At most {} g of \
                 scale in a hL, were it to come to rest there; seconds bring less, and flow and \
                 pressure drop tell.",
                rounded(at_wall),
                rounded(at_outlet),
                rounded(g_per_hl)
            ),
            source: format!(
                "{}; temperature of wort: {}",
                cited("plummer-busenberg-1982"),
                cited(parameters::COOLER_WORT_TEMPERATURE.source)
            ),
            caution: COOLER_CAUTION.into(),
        },
    ))
}
