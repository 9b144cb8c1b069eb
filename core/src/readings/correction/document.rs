//! A correction as a part of the diagnosis document, in words that can be read aloud beside the tun.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::dose::acid_eq_per_unit;
use super::{Advice, DoseDue, LiquorCorrection, MashCorrection, Pour};
use crate::reagent::{AmountUnit, Preparation};
use crate::recipe::{BrewDay, Place};
use crate::words;

/// What a mash that was read still needs.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct CorrectionDocument {
    /// Of which brew of the day, from 1.
    pub brew: usize,
    /// pH that the last reading shows, as of a cooled sample taken late enough.
    pub reads: f64,
    /// Most likely pH of the mash, readings and forecast weighed.
    pub ph: f64,
    /// Between which it lies with 95 %, low and high.
    pub interval_95: [f64; 2],
    /// Chance that it lies in its range as it is, 0 to 1; null without a range.
    pub probability_in_range: Option<f64>,
    /// Whether a reading lies outside what was foretold of it.
    pub outside_forecast: bool,
    /// Whether the mash most likely lies outside its range.
    pub outside_range: bool,
    /// What to do.
    pub advice: Advice,
    /// What is due of each reagent at hand, what helps most first; one of them is enough.
    pub doses: Vec<DoseDueDocument>,
    /// For people: what is read and believed, and what to do.
    pub text: String,
}

/// A dose that would bring the mash where it is wanted.
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
    /// Chance that the mash then lands in its range, 0 to 1.
    pub probability_in_range: f64,
    /// Chance that it then has more acid than can be taken back.
    pub probability_below: f64,
    /// For people: how to give it, and where the mash then lands.
    pub text: String,
}

/// What liquor that was read still takes of its acid.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct LiquorCorrectionDocument {
    /// Where it was read.
    pub place: Place,
    /// Of which brew of the day, from 1.
    pub brew: usize,
    /// pH that the last reading shows.
    pub reads: f64,
    /// pH that it should show there.
    pub end_ph: f64,
    /// Whether it lies outside what was foretold of it.
    pub outside_forecast: bool,
    /// What to do.
    pub advice: Advice,
    /// The acid that is still due; null where none is.
    pub pour: Option<PourDocument>,
    /// pH of the mash that all readings foretell with the acid of the plan; null of sparge liquor.
    pub mash_ph: Option<f64>,
    /// Between which it lies with 95 %, low and high.
    pub mash_interval_95: Option<[f64; 2]>,
    /// For people: what is read, and what to do.
    pub text: String,
}

/// Acid that is poured until a meter shows the end point.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct PourDocument {
    /// Key of the reagent.
    pub reagent: String,
    /// Its name, with its strength where it has one.
    pub name: String,
    /// Most likely amount, in whole steps of the scale.
    pub amount: f64,
    /// What is not to be exceeded: 2.5 % of days take more.
    pub most: f64,
    /// g or mL.
    pub unit: AmountUnit,
    /// For people, such as "45 mL".
    pub display: String,
    /// Cold water to stir it into, litres.
    pub dilution_l: Option<f64>,
}

impl LiquorCorrection {
    /// The document of a correction on a day.
    pub fn document(&self, day: &BrewDay) -> LiquorCorrectionDocument {
        LiquorCorrectionDocument {
            place: self.place,
            brew: self.brew,
            reads: self.reads,
            end_ph: self.end_ph,
            outside_forecast: self.is_outside_forecast,
            advice: self.advice,
            pour: self.pour.as_ref().map(Pour::document),
            mash_ph: self.mash.map(|(ph, _)| ph),
            mash_interval_95: self.mash.map(|(_, interval)| interval),
            text: self.in_words(day),
        }
    }

    fn in_words(&self, day: &BrewDay) -> String {
        let what = words::capitalised(self.place.label());
        let of_brew = match day.brews {
            2.. if !self.place.is_shared() => format!(" of brew {}", self.brew),
            _ => String::new(),
        };
        let end_ph = self.end_ph;
        let read = format!(
            "{what}{of_brew}: the meter reads {:.1}, and should show {end_ph:.1}.",
            self.reads
        );
        let pour = self.pour.as_ref().map(|pour| pour.in_words(end_ph));
        let advice = match (self.advice, pour) {
            (Advice::CheckProbe, Some(pour)) => {
                format!("{CHECK_LIQUOR_PROBE} If it is right: {pour}")
            }
            (Advice::CheckProbe, None) => CHECK_LIQUOR_PROBE.to_owned(),
            (Advice::CalibrateProbe, _) => {
                "The probe is off in a buffer: calibrate it and read again.".to_owned()
            }
            (Advice::TooAcid, _) => {
                "It has more acid than planned. Pour no more, and thin it with liquor that has \
                 none until the meter shows what it should."
                    .to_owned()
            }
            (_, Some(pour)) => pour,
            (_, None) => "Nothing is due.".to_owned(),
        };
        let mash = self.mash.map_or_else(String::new, |(ph, interval)| {
            let mash = words::with_interval(ph, interval, 2);
            format!(" By these readings the mash comes to {mash} with the acid of the plan.")
        });
        format!("{read} {advice}{mash}")
    }
}

impl Pour {
    fn document(&self) -> PourDocument {
        PourDocument {
            reagent: self.preparation.reagent.key.to_owned(),
            name: self.preparation.label(),
            amount: words::tidy(self.amount),
            most: words::tidy(self.most),
            unit: self.unit,
            display: self.unit.amount(self.amount).to_string(),
            dilution_l: self.preparation.dilution_l(self.most, self.liquor_kg),
        }
    }

    fn in_words(&self, end_ph: f64) -> String {
        let [amount, most] =
            [self.amount, self.most].map(|amount| self.unit.amount(amount).to_string());
        let water = self.preparation.dilution_l(self.most, self.liquor_kg);
        let water = water.map_or_else(String::new, |litres| {
            format!(", stirred into {} of cold water,", words::volume(litres))
        });
        let name = self.preparation.label();
        format!(
            "Pour {name}{water} until the meter shows {end_ph:.1} (cooled to 20 °C): about \
             {amount}; stop at {most}."
        )
    }
}

const CHECK_LIQUOR_PROBE: &str = "Check the probe in a buffer first: the reading is farther off \
                                  than water and acid make it.";

impl MashCorrection {
    /// The document of a correction on a day.
    pub fn document(&self, day: &BrewDay) -> CorrectionDocument {
        let liquor_kg = day.mash.water_kg();
        let doses = self.doses.iter().map(|due| due.document(liquor_kg));
        let doses: Vec<DoseDueDocument> = doses.collect();
        CorrectionDocument {
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
        let range = day.targets.mash_ph.as_ref();
        let wanted = range.map_or_else(String::new, |range| {
            words::wanted(range.low, range.high, words::ph)
        });
        let believed = format!(
            "{brew}The meter reads {}; the mash is most likely at {}{wanted}.",
            words::ph(self.reads),
            words::with_interval(self.ph, self.interval_95, 2),
        );
        let dose = doses.iter().map(|due| due.text.as_str());
        let dose = dose.collect::<Vec<_>>().join(" Or: ");
        let advice = match self.advice {
            Advice::Nothing => self.probability_in_range.map_or_else(
                || "Nothing is due.".to_owned(),
                |chance| {
                    let chance = words::chance(chance);
                    format!("Nothing is due: the chance that it lies in its range is {chance}.")
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
                format!("An acid of the plan was probably forgotten. {dose}")
            }
            Advice::ReadAgain => "Give nothing yet: so early a mash does not show its pH. Read it \
                                  again 15 to 20 minutes after mashing in."
                .to_owned(),
            Advice::TooAcid => "Give no more acid, and hold back what was still planned. Nothing \
                                on the shelf takes acid back: a little baking soda would, in small \
                                parts with a reading after each."
                .to_owned(),
            Advice::NoneAtHand => {
                let needed = 1000.0 * self.missing_eq;
                format!(
                    "It needs about {} meq of acid{}, and the shelf has none for the mash.",
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

impl DoseDue {
    fn document(&self, liquor_kg: f64) -> DoseDueDocument {
        let preparation = &self.preparation;
        let display = self.unit.amount(self.amount).to_string();
        let name = preparation.label();
        let dilution_l = preparation.dilution_l(self.amount, liquor_kg);
        let how = dilution_l.map_or_else(
            || format!("Strew {display} of {name} over the whole bed while the mash is stirred"),
            |litres| {
                format!(
                    "Give {display} of {name}, stirred into {} of cold water, over the whole bed \
                     while the mash is stirred",
                    words::volume(litres)
                )
            },
        );
        let [inside, below] =
            [self.probability_in_range, self.probability_below].map(words::chance);
        let text = format!(
            "{how}, and read again after ten minutes. The chance that it then lies in its range is \
             {inside}, most likely at {}; that it is too acid, {below}.",
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
