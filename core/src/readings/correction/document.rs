//! A correction as a part of the diagnosis document, in words that can be read aloud beside the
//! tun.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::dose::acid_eq_per_unit;
use super::{Advice, Correction, DoseDue};
use crate::quantity;
use crate::reagent::{AmountUnit, Preparation};
use crate::recipe::{BrewDay, Place, TargetRange};
use crate::words;

/// What a mash or a full kettle that was read still needs.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct CorrectionDocument {
    /// What was read: the mash, or the full kettle before its acid.
    pub place: Place,
    /// Of which brew of the day, from 1.
    pub brew: usize,
    /// pH that the last reading shows, as of a cooled sample taken late enough.
    pub reads: f64,
    /// What the other probe shows at the same time; null without one.
    pub also_reads: Option<f64>,
    /// Most likely pH of mash or wort, readings and forecast weighed.
    pub ph: f64,
    /// Between which it lies with 95 %, low and high.
    pub interval_95: [f64; 2],
    /// Chance that it lies in its range as it is, 0 to 1; null without a range.
    pub probability_in_range: Option<f64>,
    /// Whether a reading lies outside what was foretold of it.
    pub outside_forecast: bool,
    /// Whether it most likely lies outside its range: of a kettle, as it does where acid is due.
    pub outside_range: bool,
    /// What to do.
    pub advice: Advice,
    /// What is due of each reagent at hand, what helps most first; one of them is enough.
    pub doses: Vec<DoseDueDocument>,
    /// For people: what is read and believed, and what to do.
    pub text: String,
}

/// A dose that would bring mash or wort where it is wanted.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct DoseDueDocument {
    /// Key of the reagent.
    pub reagent: String,
    /// Its name, with its strength where it has one.
    pub name: String,
    /// How much, in whole steps of the scale.
    pub amount: f64,
    /// g or mL.
    pub unit: AmountUnit,
    /// For people, such as "45 mL".
    pub display: String,
    /// Cold water to stir an acid into, litres; null for what is no acid.
    pub dilution_l: Option<f64>,
    /// Most likely pH with it.
    pub ph: f64,
    /// Between which it then lies with 95 %, low and high.
    pub interval_95: [f64; 2],
    /// Chance that it then lands in its range, 0 to 1.
    pub probability_in_range: f64,
    /// Chance that it then has more acid than can be taken back.
    pub probability_below: f64,
    /// For people: how to give it, and where the mash then lands.
    pub text: String,
}

impl Correction {
    /// The document of a correction on a day.
    pub fn document(&self, day: &BrewDay) -> CorrectionDocument {
        let doses = self.doses.iter().map(|due| due.document(self.place, day));
        let doses: Vec<DoseDueDocument> = doses.collect();
        CorrectionDocument {
            place: self.place,
            brew: self.brew,
            reads: self.reads,
            also_reads: self.also_reads,
            ph: self.ph,
            interval_95: self.interval_95,
            probability_in_range: self.probability_in_range,
            outside_forecast: self.is_outside_forecast,
            outside_range: self.is_outside_range,
            advice: self.advice,
            text: self.in_words(day, &doses),
            doses,
        }
    }

    /// ", 240 mL of lactic acid 80 %": what is missing as an acid that most brewhouses have.
    fn as_usual_acid(&self) -> String {
        Preparation::usual("lactic acid").map_or_else(
            |_| String::new(),
            |acid| {
                let amount = self.missing_eq / acid_eq_per_unit(&acid.dose_per_unit());
                let amount = acid.unit().amount(amount.round());
                format!(", {amount} of {}", acid.label())
            },
        )
    }

    fn in_words(&self, day: &BrewDay, doses: &[DoseDueDocument]) -> String {
        let brew = match day.brews {
            1 => String::new(),
            _ => format!("Brew {}: ", self.brew),
        };
        let range = self.range(day);
        let wanted = range.map_or_else(String::new, |range| {
            words::wanted(range.low, range.high, words::ph)
        });
        let reads = words::ph(self.reads);
        let read = match self.also_reads {
            Some(other) => format!("The meters read {reads} and {}", words::ph(other)),
            None => format!("The meter reads {reads}"),
        };
        let believed = words::with_interval(self.ph, self.interval_95, 2);
        let what = self.what();
        let dose = doses.iter().map(|due| due.text.as_str());
        let dose = dose.collect::<Vec<_>>().join(" Or: ");
        let to_do = match self.advice {
            Advice::CheckProbe => {
                let check = self.check_probe();
                let if_right = self.advice_if_right(range, &dose);
                let if_right = if_right.map(|advice| self.to_do(advice, &dose));
                if_right.map_or_else(
                    || check.to_owned(),
                    |to_do| format!("{check} If it is right: {to_do}"),
                )
            }
            advice => self.to_do(advice, &dose),
        };
        format!("{brew}{read}; the {what} is most likely at {believed}{wanted}. {to_do}")
    }

    fn what(&self) -> &'static str {
        match self.place {
            Place::Kettle => "wort",
            _ => "mash",
        }
    }

    fn range<'d>(&self, day: &'d BrewDay) -> Option<&'d TargetRange> {
        match self.place {
            Place::Kettle => day.kettle.ph.as_ref(),
            _ => day.targets.mash_ph.as_ref(),
        }
    }

    fn check_probe(&self) -> &'static str {
        let differ = self.also_reads.map(|other| (other - self.reads).abs());
        if differ.is_some_and(|by| by >= PROBES_DIFFER_PH) {
            CHECK_PROBES
        } else {
            CHECK_PROBE
        }
    }

    /// What to do about a reading that is far off, should the probe be right.
    fn advice_if_right(&self, range: Option<&TargetRange>, dose: &str) -> Option<Advice> {
        let [low, high] = range.map_or([None; 2], |range| [range.low, range.high]);
        if !dose.is_empty() {
            Some(Advice::Give)
        } else if low.is_some_and(|low| self.reads < low) {
            Some(Advice::TooAcid)
        } else if high.is_some_and(|high| self.reads > high) && self.missing_eq > 0.0 {
            Some(Advice::NoneAtHand)
        } else {
            None
        }
    }

    fn to_do(&self, advice: Advice, dose: &str) -> String {
        let is_kettle = self.place == Place::Kettle;
        match advice {
            Advice::Nothing => self.probability_in_range.map_or_else(
                || "Give nothing more.".to_owned(),
                |chance| {
                    let chance = words::chance(chance);
                    format!("Give nothing more: the chance that it lies in its range is {chance}.")
                },
            ),
            Advice::Give => dose.to_owned(),
            Advice::CheckProbe => self.check_probe().to_owned(),
            Advice::CalibrateProbe => {
                let off = words::change(self.off_in_buffer.unwrap_or(0.0), 2);
                format!("The probe is off by {off} in a buffer: calibrate it and read again.")
            }
            Advice::GiveForgotten => format!("An acid of the plan was probably forgotten. {dose}"),
            Advice::ReadAgain => READ_AGAIN.to_owned(),
            Advice::TooAcid if is_kettle => KETTLE_TOO_ACID.to_owned(),
            Advice::TooAcid => TOO_ACID.to_owned(),
            Advice::NoneAtHand => {
                let needed = words::number(1000.0 * self.missing_eq);
                let acid = self.as_usual_acid();
                let none = if is_kettle {
                    "none to spare for the kettle"
                } else {
                    "none for the mash"
                };
                format!("It needs about {needed} meq of acid{acid}, and the shelf has {none}.")
            }
        }
    }
}

/// By which two sound probes differ in one of twenty pairs of samples: each is off by 0.044 and its
/// sample by 0.03 (standard deviations).
const PROBES_DIFFER_PH: f64 = 0.15;

const CHECK_PROBES: &str = "Check both probes in a buffer first: they differ by more than sound \
                            ones do.";

const CHECK_PROBE: &str = "Check the probe in a buffer first: the reading is farther off than \
                           malts and water make it.";

const READ_AGAIN: &str = "Give nothing yet: so early a mash does not show its pH. Read it again 15 \
                          to 20 minutes after mashing in.";

const TOO_ACID: &str = "Give no more acid, and hold back what was still planned. Nothing on the \
                        shelf takes acid back: a little baking soda would, in small parts with a \
                        reading after each.";

const KETTLE_TOO_ACID: &str = "Give no acid: the wort is below its range already, and the boil \
                               takes it lower still.";

impl DoseDue {
    fn document(&self, place: Place, day: &BrewDay) -> DoseDueDocument {
        let preparation = &self.preparation;
        let display = self.unit.amount(self.amount).to_string();
        let name = preparation.label();
        let (liquor_kg, where_to) = match place {
            Place::Kettle => (
                day.waters().kettle_kg,
                "into the stirred kettle before the boil",
            ),
            _ => (
                day.mash.water_kg(),
                "over the whole bed while the mash is stirred",
            ),
        };
        let dilution_l = preparation.dilution_l(self.amount, liquor_kg);
        let how = dilution_l.map_or_else(
            || format!("Strew {display} of {name} {where_to}"),
            |litres| {
                let litres = words::volume(litres);
                format!("Give {display} of {name}, stirred into {litres} of cold water, {where_to}")
            },
        );
        let [inside, below] =
            [self.probability_in_range, self.probability_below].map(words::chance);
        let further = self.per_tenth.map_or_else(String::new, |amount| {
            let amount = quantity::significant(amount, 2);
            format!(": each further 0.1 pH takes about {amount} {}", self.unit)
        });
        let text = format!(
            "{how}, and read again after ten minutes{further}. The chance that it then lies in its \
             range is {inside}, most likely at {}; that it is too acid, {below}.",
            words::ph(self.ph),
        );
        DoseDueDocument {
            reagent: preparation.reagent.key.to_owned(),
            name,
            amount: words::tidy(self.amount),
            unit: self.unit,
            display,
            dilution_l,
            ph: self.ph,
            interval_95: self.interval_95,
            probability_in_range: self.probability_in_range,
            probability_below: self.probability_below,
            text,
        }
    }
}
