//! Cautions of what can be planned and is out of practice: temperatures, targets, grist.

use underlet_tables::parameters;

use crate::fit::Solution;
use crate::mash::{Malt, strike_temperature_c, temperature_mashed_in_c};
use crate::plan::codes::CautionCode;
use crate::plan::document::{Caution, Severity};
use crate::plan::evaluation::Evaluation;
use crate::recipe::{BrewDay, Filled, Source};
use crate::words;

use super::{SCALDING_C, given};

/// Boiling water, °C.
const BOILING_C: f64 = 100.0;

fn caution(code: CautionCode, severity: Severity, text: String) -> Caution {
    Caution {
        code,
        severity,
        text,
    }
}

/// What is out of practice on a day, planned or not.
pub(super) fn of_day(solution: &Solution<'_>, evaluation: &Evaluation) -> Vec<Caution> {
    let day = solution.day;
    let found = [
        mash_ph_target(day),
        rest(day),
        strike(day),
        sparge_temperature(day),
        tank(day),
        acidulated_malt(solution),
        overdosed_sparge(solution, evaluation),
    ];
    let hot = day.sources.iter().filter_map(hot_source);
    let full = Filled::all(day).filter_map(nearly_full);
    found.into_iter().flatten().chain(hot).chain(full).collect()
}

/// A range of mash pH that reaches beyond what beer is mashed at.
fn mash_ph_target(day: &BrewDay) -> Option<Caution> {
    let range = day.targets.mash_ph.as_ref()?;
    let [low, high] = [
        parameters::MASH_PH_TARGET_LOW.value,
        parameters::MASH_PH_TARGET_HIGH.value,
    ];
    let usual = low..=high;
    let mut stated = [range.low, range.prefer, range.high].into_iter().flatten();
    let odd = stated.find(|ph| !usual.contains(ph))?;
    let text = format!(
        "A mash pH of {} is asked for: mashes are kept between {} and {}, read in a cooled sample. \
         Beyond, starch converts slowly and tannins or sourness pass into the beer.",
        words::ph(odd),
        words::number(low),
        words::number(high)
    );
    let code = CautionCode::MashPhTargetUnusual;
    Some(caution(code, Severity::Care, text))
}

fn rest(day: &BrewDay) -> Option<Caution> {
    let [low, high] = [parameters::REST_LOW.value, parameters::REST_HIGH.value];
    let rest_c = day.rest_temperature_c;
    let why = if rest_c < low {
        "malt starch is hardly converted below"
    } else if rest_c > high {
        "the enzymes are soon lost above"
    } else {
        return None;
    };
    let text = format!(
        "The mash is to rest at {}; the main rest is usually at {low:.0} to {high:.0} °C, and \
         {why}. State the main rest of a stepped mash.",
        words::temperature(rest_c)
    );
    let code = CautionCode::RestTemperatureUnusual;
    Some(caution(code, Severity::Note, text))
}

/// Strike liquor that does not bring the grist to its rest.
fn strike(day: &BrewDay) -> Option<Caution> {
    let grist_c = parameters::GRIST_TEMPERATURE.value;
    let grist_kg: f64 = day.grist.iter().map(|malt| malt.mass_kg).sum();
    let ratio = day.mash.water_kg() / grist_kg;
    let rest_c = day.rest_temperature_c;
    let reached_c = temperature_mashed_in_c(day.mash.temperature_c, grist_c, ratio);
    if (reached_c - rest_c).abs() <= parameters::STRIKE_TOLERANCE.value {
        return None;
    }
    let strike_c = strike_temperature_c(rest_c, grist_c, ratio);
    let then = if strike_c >= BOILING_C {
        "no liquor is hot enough for so thick a mash: heat it in the tun, or infuse it again"
            .to_owned()
    } else if reached_c < rest_c {
        format!("strike at {}, or heat the mash", in_words(strike_c))
    } else {
        format!("strike at {}", in_words(strike_c))
    };
    let text = format!(
        "Liquor of {} on this grist of {} gives about {}, not {}: {then}. (Heat balance, the \
         grist with {} of water's heat capacity, in a warmed tun.)",
        words::temperature(day.mash.temperature_c),
        words::temperature(grist_c),
        in_words(reached_c),
        words::temperature(rest_c),
        words::number(parameters::GRIST_HEAT_CAPACITY.value)
    );
    let code = CautionCode::StrikeMissesRest;
    Some(caution(code, Severity::Care, text))
}

fn in_words(celsius: f64) -> String {
    format!("{celsius:.1} °C")
}

fn sparge_temperature(day: &BrewDay) -> Option<Caution> {
    let sparge_c = day.sparge.as_ref()?.temperature_c;
    let [low, high] = [
        parameters::SPARGE_TEMPERATURE_LOW.value,
        parameters::SPARGE_TEMPERATURE_HIGH.value,
    ];
    let (severity, why) = if sparge_c > high {
        let why = "hotter liquor washes tannins and unconverted starch out of the grains";
        (Severity::Care, why)
    } else if sparge_c < low {
        let why = "cooler liquor leaves extract in the grains, and runs off slowly";
        (Severity::Note, why)
    } else {
        return None;
    };
    let text = format!(
        "The sparge liquor is stated at {}; usual are {low:.0} to {high:.0} °C: {why}.",
        words::temperature(sparge_c)
    );
    let code = CautionCode::SpargeTemperatureUnusual;
    Some(caution(code, severity, text))
}

/// A tank that was not filled cold, and that the first draw leaves hotter than it is.
fn tank(day: &BrewDay) -> Option<Caution> {
    let tank_c = day.tank.as_ref()?.temperature_c;
    let mash_c = day.mash.temperature_c;
    let is_heated_later = tank_c <= parameters::TANK_FILLED_COLD.value;
    let is_hotter = mash_c > tank_c + parameters::STRIKE_TOLERANCE.value;
    is_hotter.then(|| {
        let [tank, mash] = [tank_c, mash_c].map(words::temperature);
        let (severity, then) = if is_heated_later {
            (
                Severity::Note,
                "It is taken to be filled and dosed cold, and heated to the hottest draw: leave \
                 room for it to swell.",
            )
        } else {
            (
                Severity::Care,
                "State the temperature at which its fill is read, cold where it is dosed before \
                 heating, and heat it to the hottest draw.",
            )
        };
        let text = format!(
            "The tank is stated at {tank}, colder than the mash liquor of {mash} that is drawn \
             from it. {then}"
        );
        caution(CautionCode::TankColderThanDraw, severity, text)
    })
}

/// A source that comes hot, while the plan counts cold litres and doses before heating.
fn hot_source(source: &Source) -> Option<Caution> {
    let celsius = source.liquor.temperature_c;
    (celsius > SCALDING_C).then(|| {
        let text = format!(
            "\"{}\" is stated at {}: the plan counts its draw in litres at 20 °C, and doses before \
             heating. If it is drawn hot, measure out more litres, dose it as it is drawn, and \
             titrate it first: standing hot has cost it carbon dioxide and perhaps scale.",
            source.name,
            words::temperature(celsius)
        );
        caution(CautionCode::SourceDrawnHot, Severity::Care, text)
    })
}

/// A vessel with hardly any room left.
fn nearly_full(vessel: Filled) -> Option<Caution> {
    let Filled {
        name,
        volume_l,
        capacity_l,
    } = vessel;
    let share = volume_l / capacity_l;
    (share > parameters::NEARLY_FULL.value).then(|| {
        let text = format!(
            "The {name} is nearly full: {} of {}. Leave room to stir, to swell and to foam, and \
             keep clear of what may spill: it scalds.",
            words::volume(volume_l),
            words::volume(capacity_l)
        );
        caution(CautionCode::NearlyFull, Severity::Care, text)
    })
}

/// Much acidulated malt, or acid on top of some.
fn acidulated_malt(solution: &Solution<'_>) -> Option<Caution> {
    let share = Malt::acidulated_share(&solution.day.grist);
    let percent = words::number(share * 100.0);
    let gives_acid =
        given(solution).any(|option| option.preparation.is_acid() && option.vessel.comes_to_mash());
    let most = words::number(parameters::ACIDULATED_MALT_HIGH.value * 100.0);
    let (code, text) = if share > parameters::ACIDULATED_MALT_HIGH.value {
        let more = if gives_acid {
            " Acid goes into the same mash besides: leave out one of the two."
        } else {
            ""
        };
        (
            CautionCode::MuchAcidulatedMalt,
            format!(
                "{percent} % of the grist is acidulated malt: up to {most} % is usual, and each \
                 per cent lowers the mash pH by about 0.1. More tastes sour.{more}"
            ),
        )
    } else if share > parameters::ACIDULATED_MALT_ALONE.value && gives_acid {
        (
            CautionCode::AcidOnAcidulatedMalt,
            format!(
                "{percent} % of the grist is acidulated malt, and acid goes into the same mash: \
                 one of the two is enough, and acid can be measured out by the meter."
            ),
        )
    } else {
        return None;
    };
    Some(caution(code, Severity::Care, text))
}

/// Acid in sparge liquor beyond what it is given for.
fn overdosed_sparge(solution: &Solution<'_>, evaluation: &Evaluation) -> Option<Caution> {
    let ph = evaluation.sparge_ph.closed;
    let least = parameters::SPARGE_PH_FLOOR.value;
    let gives_acid = given(solution)
        .any(|option| option.preparation.is_acid() && option.vessel.comes_to_sparge());
    let has_sparge = solution.day.sparge.is_some();
    (has_sparge && gives_acid && ph < least).then(|| {
        let text = format!(
            "With its acid the sparge liquor has pH {}: below {} it is overdosed, and its acid \
             goes on into the kettle. Ask for a sparge pH of {} to {}, or for less alkalinity to \
             be taken out.",
            words::ph(ph),
            words::number(least),
            words::number(parameters::SPARGE_PH_LOW.value),
            words::number(parameters::SPARGE_PH_HIGH.value)
        );
        caution(CautionCode::SpargeOverdosed, Severity::Care, text)
    })
}
