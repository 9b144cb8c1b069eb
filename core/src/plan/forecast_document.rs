//! The forecasts of a plan document: mash, sparge liquor and kettle.

use serde::{Deserialize, Serialize};

use super::codes::MeasurementCode;
use crate::document::document;
use crate::reagent::AmountUnit;
use crate::recipe::Place;
use crate::uncertainty::UncertaintyCause;

document! {
    derive(Clone, Debug, PartialEq, Serialize, Deserialize);

    /// The mash pH and its uncertainty.
    pub struct MashForecast {
        /// pH of a cooled sample 20 to 60 minutes in.
        pub ph: f64,
        /// Standard deviation of what the meter will show, pH; null where the forecast was not
        /// checked, as a caution says.
        pub sd: Option<f64>,
        /// 80 % interval, low and high; null with the standard deviation.
        pub interval_80: Option<[f64; 2]>,
        /// 95 % interval, low and high; null with the standard deviation.
        pub interval_95: Option<[f64; 2]>,
        /// Temperature of the sample, °C.
        pub sample_temperature_c: f64,
        /// What the same mash reads at its rest temperature.
        pub ph_at_rest_temperature: f64,
        /// Rest temperature, °C.
        pub rest_temperature_c: f64,
        /// Chance that the pH lands in its target range; absent without a range, or where it is a
        /// single value.
        pub probability_in_range: Option<f64>,
        /// The requested chance, by which the mash pH is aimed, %; absent where there is none.
        pub requested_confidence_percent: Option<f64>,
        /// The measurement that would raise that chance most; null where none is worth its work.
        pub raised_by: Option<RaisedBy>,
        /// What reading and correcting it comes to; null where it is not read, has no range, or the
        /// shelf has no acid for it.
        pub correction: Option<ForeseenCorrection>,
        /// pH without any addition.
        pub ph_untreated: f64,
        /// Liquor per grain, L/kg.
        pub thickness_l_per_kg: f64,
        /// Where the uncertainty comes from, largest first.
        pub uncertainty_budget: Vec<Contribution>,
        /// pH against acid: what the mash would do with more or less of it, as far as the forecast
        /// was checked.
        pub curve: Vec<CurvePoint>,
        /// For people, such as "5.42 (5.29–5.56, 95 %)".
        pub display: String,
    }

    /// What reading and correcting a mash comes to, before it is read.
    pub struct ForeseenCorrection {
        /// Where it is read: after its first acid, or with all of it.
        pub place: Place,
        /// Key of the acid that is due where it reads high.
        pub reagent: String,
        /// Its name, with its strength.
        pub name: String,
        /// Unit of the doses.
        pub unit: AmountUnit,
        /// Doses by reading, the lowest reading first; between two of them, in proportion.
        pub rows: Vec<CorrectionRow>,
        /// Chance that the mash lands in its range once it is read and corrected, 0 to 1.
        pub probability_in_range: f64,
        /// For people: the doses by reading.
        pub display: String,
    }

    /// What is due at a reading.
    pub struct CorrectionRow {
        /// What the meter shows, of a cooled sample.
        pub reads: f64,
        /// Acid that is due then, beside what is in.
        pub due: f64,
        /// Chance that the mash then lands in its range, 0 to 1.
        pub probability_in_range: f64,
    }

    /// A measurement that would raise the chance of a forecast.
    pub struct RaisedBy {
        /// Code of the measurement.
        pub measurement: MeasurementCode,
        /// The malt or the waters to measure.
        pub subject: String,
        /// The chance once it is measured, 0 to 1, should the forecast not move.
        pub probability_in_range: f64,
        /// For people.
        pub text: String,
    }

    /// One cause of uncertainty.
    pub struct Contribution {
        /// Key, such as "malt_lots".
        pub cause: UncertaintyCause,
        /// Name for people.
        pub label: String,
        /// Its own standard deviation, pH.
        pub sd: f64,
        /// Its share of the variance, 0 to 1.
        pub share: f64,
    }

    /// A point of the titration curve of the mash.
    pub struct CurvePoint {
        /// Acid beyond the plan, meq per kg of grist; negative for less.
        pub acid_meq_per_kg: f64,
        /// pH there.
        pub ph: f64,
        /// Its standard deviation.
        pub sd: f64,
    }

    /// The sparge liquor.
    pub struct SpargeForecast {
        /// Alkalinity that works against the mash, mg/L as CaCO3: the acid the liquor takes down
        /// to pH 5.4 once its carbon dioxide has left.
        pub alkalinity_mg_l_caco3: f64,
        /// Alkalinity that a titration to pH 4.5 finds, mg/L as CaCO3: it counts lactate and
        /// citrate, which a mash does not.
        pub titrated_alkalinity_mg_l_caco3: f64,
        /// pH of a cooled sample of liquor that lost no carbon dioxide.
        pub ph_closed: f64,
        /// pH of a cooled sample once carbon dioxide has left to the air.
        pub ph_open: f64,
        /// Chance that the fresh liquor's pH lands in its target range; absent without a range, or
        /// where it is a single value.
        pub probability_in_range: Option<f64>,
        /// The requested chance, by which its pH is aimed, %; absent where there is none.
        pub requested_confidence_percent: Option<f64>,
        /// For people.
        pub display: String,
    }

    /// The wort at kettle full: an estimate, since how much of the grains' buffering sparge liquor
    /// meets is not known.
    pub struct KettleForecast {
        /// pH of a cooled sample before the boil.
        pub ph: f64,
        /// Its standard deviation; null where the mash pH or the sparge liquor is not known.
        pub sd: Option<f64>,
        /// 95 % interval, low and high; null with the standard deviation.
        pub interval_95: Option<[f64; 2]>,
        /// Water in it, kg.
        pub water_kg: f64,
        /// Acid that lowers it by 0.1, meq.
        pub acid_for_a_tenth_meq: f64,
        /// Its standard deviation, meq: published figures for the buffering of wort differ by a
        /// factor of two.
        pub acid_for_a_tenth_sd_meq: f64,
        /// Its 95 % interval, low and high, meq: the error is a factor, so the high end is farther
        /// off.
        pub acid_for_a_tenth_interval_95_meq: [f64; 2],
        /// The same for people, by volume or mass of an acid of the shelf where there is one.
        pub acid_for_a_tenth_display: String,
        /// pH of a cooled sample once what goes into the kettle before the boil is in: that before
        /// where nothing does.
        pub ph_dosed: f64,
        /// pH after the boil, cooled sample.
        pub ph_boiled: f64,
        /// Its standard deviation.
        pub ph_boiled_sd: Option<f64>,
        /// Hours of open boiling.
        pub boil_hours: f64,
        /// Water that boils off, kg.
        pub boiled_off_kg: f64,
        /// Water in the wort that is knocked out, kg: what the boil leaves, less what the kettle
        /// keeps.
        pub knocked_out_kg: f64,
        /// What the liquor and what goes into the kettle bring of each ion, as the kettle's water
        /// holds it; malt brings its own, and the mash keeps some calcium.
        pub ions: Vec<KettleIon>,
        /// For people.
        pub display: String,
    }

    /// An ion of the liquor in the kettle.
    pub struct KettleIon {
        /// Key of the ion.
        pub ion: String,
        /// In the water of the full kettle, mg/L at 20 °C.
        pub full_mg_l: f64,
        /// The same once the boil is over.
        pub boiled_mg_l: f64,
    }
}
