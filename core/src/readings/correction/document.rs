//! A correction as a part of the diagnosis document, in words that can be read aloud beside the tun.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::dose::acid_eq_per_unit;
use super::{Advice, Correction, DoseDue};
use crate::quantity;
use crate::reagent::{AmountUnit, Preparation};
use crate::recipe::{BrewDay, Place};
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
        let (what, range) = match self.place {
            Place::Kettle => ("wort", day.kettle.ph.as_ref()),
            _ => ("mash", day.targets.mash_ph.as_ref()),
        };
        let wanted = range.map_or_else(String::new, |range| {
            words::wanted(range.low, range.high, words::ph)
        });
        let believed = format!(
            "{brew}The meter reads {}; the {what} is most likely at {}{wanted}.",
            words::ph(self.reads),
            words::with_interval(self.ph, self.interval_95, 2),
        );
        let dose = doses.iter().map(|due| due.text.as_str());
        let dose = dose.collect::<Vec<_>>().join(" Or: ");
        let advice = match self.advice {
            Advice::Nothing => self.probability_in_range.map_or_else(
                || "Nothing is due.".to_owned(),
                |chance| {
                    let chance = chance * 100.0;
                    format!("Nothing is due: it lies in its range with {chance:.0} %.")
                },
            ),
            Advice::Give => dose,
            Advice::CheckProbe if dose.is_empty() => CHECK_PROBE.to_owned(),
            Advice::CheckProbe => format!("{CHECK_PROBE} If it is right: {dose}"),
            Advice::CalibrateProbe => {
                let off = words::change(self.off_in_buffer.unwrap_or(0.0), 2);
                format!("The probe is off by {off} in a buffer: calibrate it and read again.")
            }
            Advice::GiveForgotten => {
                format!("An acid of the plan was probably forgotten: give it. {dose}")
            }
            Advice::ReadAgain => "Give nothing yet: so early a mash does not show its pH. Read it \
                                  again 15 to 20 minutes after mashing in."
                .to_owned(),
            Advice::TooAcid if self.place == Place::Kettle => KETTLE_TOO_ACID.to_owned(),
            Advice::TooAcid => "Give no more acid, and hold back what was still planned. Nothing \
                                on the shelf takes acid back: a little baking soda would, in small \
                                parts with a reading after each."
                .to_owned(),
            Advice::NoneAtHand => {
                let needed = 1000.0 * self.missing_eq;
                let none = match self.place {
                    Place::Kettle => "the shelf has none to spare for the kettle",
                    _ => "the shelf has none for the mash",
                };
                format!(
                    "It needs about {} meq of acid{}, and {none}.",
                    words::number(needed),
                    self.as_usual_acid()
                )
            }
        };
        format!("{believed} {advice}")
    }
}

const CHECK_PROBE: &str = "Check the probe in a buffer first: the reading is farther off than malts \
                           and water make it.";

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
        let below = self.probability_below * 100.0;
        let further = self.per_tenth.map_or_else(String::new, |amount| {
            let amount = quantity::significant(amount, 2);
            format!(": each further 0.1 pH takes about {amount} {}", self.unit)
        });
        let text = format!(
            "{how}, and read again after ten minutes{further}. It then lands in its range with \
             {:.0} %, most likely at {}; too low with {below:.0} %.",
            self.probability_in_range * 100.0,
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
