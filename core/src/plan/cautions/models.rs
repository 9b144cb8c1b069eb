//! Cautions where a plan reaches the end of what dissolves, or of what its models were checked for.

use underlet_tables::parameters;

use crate::fit::{Excess, Full, Solution};
use crate::plan::codes::CautionCode;
use crate::plan::document::{Caution, Severity};
use crate::plan::doubt::{Doubts, MashDoubt};
use crate::recipe::Vessel;
use crate::words;

fn care(code: CautionCode, text: String) -> Caution {
    Caution {
        code,
        severity: Severity::Care,
        text,
    }
}

/// Of a day.
pub(super) fn of_day(solution: &Solution<'_>, doubts: &Doubts) -> Vec<Caution> {
    let mut cautions: Vec<Caution> = mash_ph(solution, doubts).into_iter().collect();
    let is_stated = |full: &Full| doubts.excesses.contains(full);
    let held_back = solution.full.iter().copied();
    let held_back: Vec<Full> = held_back.filter(|full| !is_stated(full)).collect();
    for of in Excess::ALL {
        cautions.extend(places(&doubts.excesses, of).map(|places| excess(of, &places)));
        cautions.extend(places(&held_back, of).map(|places| held_back_in(of, &places)));
    }
    cautions
}

/// The liquors with such an excess, as one subject; `None` where there are none.
fn places(full: &[Full], of: Excess) -> Option<String> {
    let places = full.iter().filter(|full| full.of == of);
    let labels: Vec<&str> = places
        .map(|full| match full.vessel {
            Vessel::HotLiquorTank => "hot liquor",
            Vessel::MashLiquor | Vessel::MashTun => "mash liquor",
            Vessel::SpargeLiquor => "sparge liquor",
            Vessel::Kettle => "liquor of the kettle",
        })
        .collect();
    (!labels.is_empty()).then(|| labels.join(", the "))
}

/// Of a liquor alone: what it has too much of, and what more doses would bring too much of.
pub(in crate::plan) fn of_liquor(excess_of: Option<Excess>, full: Option<Excess>) -> Vec<Caution> {
    let held_back = full.filter(|_| excess_of.is_none());
    let excess = excess_of.map(|of| excess(of, "liquor"));
    let held_back = held_back.map(|of| held_back_in(of, "liquor"));
    excess.into_iter().chain(held_back).collect()
}

/// A mash whose forecast was never compared with a measured one.
fn mash_ph(solution: &Solution<'_>, doubts: &Doubts) -> Option<Caution> {
    let why = match doubts.mash_ph? {
        MashDoubt::Ph => format!(
            "The mash would come to a pH {}, where no forecast was compared with a measured mash",
            outside(solution.forecast.ph)
        ),
        MashDoubt::Liquor => {
            "The mash liquor holds more than the forecast of the mash was checked for".to_owned()
        }
    };
    let text = format!(
        "{why}: no error bar and no chance are given, and its pH is not met. Check the grist, the \
         water report and the targets; a small trial mash decides."
    );
    Some(care(CautionCode::MashPhNotKnown, text))
}

/// "below 4.5", "above 6.5".
pub(in crate::plan) fn outside(ph: f64) -> String {
    let [low, high] = [
        parameters::CHECKED_MASH_PH_LOW.value,
        parameters::CHECKED_MASH_PH_HIGH.value,
    ];
    if ph < low {
        format!("below {}", words::number(low))
    } else {
        format!("above {}", words::number(high))
    }
}

fn excess(of: Excess, place: &str) -> Caution {
    match of {
        Excess::Gypsum => care(
            CautionCode::GypsumUndissolved,
            format!(
                "More calcium and sulfate come together than dissolve at its temperature (the \
                 {place}): gypsum stays on the bottom or comes down, and the liquor does not \
                 hold what is stated for them. Dilute the water, or ask for less."
            ),
        ),
        Excess::Ions => care(
            CautionCode::LiquorTooConcentrated,
            format!(
                "An ionic strength above {} makes a brine (the {place}): that is more than any \
                 pH or solubility here was checked for, and not brewing water. Check the water \
                 report and its units, or dilute the water.",
                words::ionic_strength(parameters::CHECKED_IONIC_STRENGTH.value)
            ),
        ),
    }
}

fn held_back_in(of: Excess, place: &str) -> Caution {
    let why = match of {
        Excess::Gypsum => "with more, gypsum would not dissolve at its temperature".to_owned(),
        Excess::Ions => format!(
            "with more, its ionic strength would exceed {}, beyond which no pH or solubility here \
             was checked",
            words::ionic_strength(parameters::CHECKED_IONIC_STRENGTH.value)
        ),
    };
    care(
        CautionCode::TakesUpNoMore,
        format!(
            "The targets ask for more than a liquor takes up (the {place}): {why}. The doses are \
             held back to that, which is still no usual brewing liquor: check the targets and \
             their units."
        ),
    )
}
