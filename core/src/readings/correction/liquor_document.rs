//! What liquor still takes of its acid, as a part of the diagnosis document.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{Advice, LiquorCorrection, Pour};
use crate::reagent::AmountUnit;
use crate::recipe::{BrewDay, Place};
use crate::words;

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
    /// pH of the mash that all readings foretell with this and the acid of the plan; null of sparge
    /// liquor, and once a mash was read.
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
            format!(" By these readings the mash then comes to {mash} with its own acid.")
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
