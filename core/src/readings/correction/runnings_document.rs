//! Runnings as a part of the diagnosis document, in words that can be read aloud beside the tun.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use underlet_tables::parameters;

use super::runnings::{Runnings, RunningsAdvice};
use crate::quantity;
use crate::recipe::BrewDay;
use crate::words;

/// What to do about the runnings of a sparge.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct RunningsDocument {
    /// Of which brew of the day, from 1.
    pub brew: usize,
    /// pH that the last reading shows.
    pub reads: f64,
    /// Between which their pH lies with 95 %, low and high.
    pub interval_95: [f64; 2],
    /// Their extract by the last reading, °P.
    pub gravity: f64,
    /// What to do.
    pub advice: RunningsAdvice,
    /// Extract at which to stop, °P: where their pH will be too high, or where they are too thin.
    pub stop_gravity: f64,
    /// How much more can run until then, litres; null without two readings that say what was
    /// collected.
    pub remaining_l: Option<f64>,
    /// For people: what was read, and what to do.
    pub text: String,
}

impl Runnings {
    /// The document of the runnings of a brew of a day.
    pub fn document(&self, day: &BrewDay) -> RunningsDocument {
        RunningsDocument {
            brew: self.brew,
            reads: self.reads,
            interval_95: self.interval_95,
            gravity: self.extract_percent,
            advice: self.advice,
            stop_gravity: self.stop_extract_percent,
            remaining_l: self.remaining_l,
            text: self.in_words(day),
        }
    }

    fn in_words(&self, day: &BrewDay) -> String {
        let brew = match day.brews {
            1 => String::new(),
            _ => format!("Brew {}: ", self.brew),
        };
        let [low, high] = self.interval_95.map(words::ph);
        let read = format!(
            "{brew}The runnings read {} at {}; their pH may really be {low} to {high}.",
            words::ph(self.reads),
            quantity::GRAVITY.write(self.extract_percent),
        );
        let limit = words::ph(parameters::LAST_RUNNINGS_PH.value);
        let thinnest = quantity::GRAVITY.write(parameters::LAST_RUNNINGS_EXTRACT.value);
        let stop_at = quantity::GRAVITY.write(self.stop_extract_percent);
        let litres = self.remaining_l.map_or_else(String::new, |litres| {
            format!(" About {} more can run until then.", about(litres))
        });
        let is_thin = self.extract_percent <= parameters::LAST_RUNNINGS_EXTRACT.value;
        let advice = match self.advice {
            RunningsAdvice::Stop if is_thin => {
                format!("Stop the run-off: from {thinnest} down it is not worth collecting.")
            }
            RunningsAdvice::Stop => {
                format!("Stop the run-off: from {limit} up it takes harsh tannins from the husks.")
            }
            RunningsAdvice::GoOn => format!(
                "Go on until they are down to {stop_at}; their pH should stay below {limit} until \
                 then.{litres} Read both again on the way."
            ),
            RunningsAdvice::AcidifySparge => format!(
                "Their pH should come to {limit} at about {stop_at}, before they are down to \
                 {thinnest}: bring the rest of the sparge liquor to pH {} with acid (cooled to 20 \
                 °C), or stop at {stop_at}.{litres} Read both again on the way.",
                words::ph(self.sparge_ph),
            ),
        };
        format!("{read} {advice}")
    }
}

/// A volume to two digits or to the litre, which is surer than any outlet.
fn about(litres: f64) -> String {
    let digit = if litres < 10.0 { 0.1 } else { 1.0 };
    words::volume((litres / digit).round() * digit)
}
