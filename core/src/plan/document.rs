//! The plan document: what to weigh, when, where and why, what the meter should say, and what to
//! mind. Numbers carry their unit in the key; texts are ready for people to read.

use serde::de::{Error, Unexpected};
use serde::{Deserialize, Deserializer, Serialize};

use super::codes::{AlternativeCode, CautionCode, LimitCode, ReasonCode};
use super::dissolved::{DissolvedLine, HardLimit};
use super::forecast_document::{KettleForecast, MashForecast, SpargeForecast};
use crate::document::{DocumentHead, document};
use crate::fit::{AcidPart, FitResult};
use crate::optimise::Certificate;
use crate::readings::{EndPoint, Reading};
use crate::reagent::AmountUnit;
use crate::recipe::{MOST_BREWS, MOST_PORTIONS, TargetKey, Vessel};

document! {
    derive(Clone, Debug, PartialEq, Serialize, Deserialize);

    /// A plan to weigh from.
    pub struct Plan {
        /// Versions, kind, and what the user attached to the day.
        #[serde(flatten)]
        pub head: DocumentHead,
        /// Name of the brew.
        pub name: String,
        /// Name of the brewhouse.
        pub brewhouse: String,
        /// Brews from this liquor: mash, sparge and kettle are those of each.
        #[serde(deserialize_with = "count::<_, MOST_BREWS>")]
        pub brews: usize,
        /// One line: does it meet every range, and where does the mash land?
        pub summary: String,
        /// True when every range is met.
        pub meets_every_range: bool,
        /// Liquor to let into each vessel, in the order of work.
        pub vessels: Vec<VesselLiquor>,
        /// What the liquor is blended from.
        pub blend: Vec<BlendPart>,
        /// What to weigh and measure, in the order of work.
        pub additions: Vec<Addition>,
        /// Each target range, with the value of the source and of the plan.
        pub targets: Vec<TargetLine>,
        /// Everything that is dissolved in the liquor as a whole, with and without a target.
        pub dissolved: Vec<DissolvedLine>,
        /// Each hard limit of the day, with what the plan reaches of it.
        pub hard_limits: Vec<HardLimit>,
        /// The mash pH forecast.
        pub mash: MashForecast,
        /// The sparge liquor, where there is a sparge.
        pub sparge: Option<SpargeForecast>,
        /// The wort at kettle full, before the boil.
        pub kettle: KettleForecast,
        /// What the meters should show, in the order of work.
        pub readings: Vec<Reading>,
        /// Why the plan is as it is.
        pub reasons: Vec<Reason>,
        /// Limits that hold the plan back, before it is rounded to the scale, and what relief of
        /// each would change.
        pub limits: Vec<BindingLimit>,
        /// Alternatives; empty unless the day requests them.
        pub alternatives: Vec<Alternative>,
        /// Dangers, and what to be careful about.
        pub cautions: Vec<Caution>,
        /// What was assumed because the day did not say.
        pub assumptions: Vec<String>,
        /// How good the fit is, proven.
        pub fit: FitReport,
    }

    /// Liquor in a vessel.
    pub struct VesselLiquor {
        /// Which vessel.
        pub vessel: Vessel,
        /// Name for people.
        pub label: String,
        /// Volume as read at its temperature, litres.
        pub volume_l: f64,
        /// Temperature, °C.
        pub temperature_c: f64,
        /// Mass of water, kg.
        pub water_kg: f64,
        /// How often it is filled: once, or once in each brew.
        #[serde(deserialize_with = "count::<_, MOST_BREWS>")]
        pub times: usize,
        /// In how many equal portions.
        #[serde(deserialize_with = "count::<_, MOST_PORTIONS>")]
        pub portions: usize,
        /// Residual alkalinity of its liquor with all that goes in, mg/L as CaCO3: alkalinity that
        /// works against the mash, less calcium/3.5 and magnesium/7 (Kolbach 1953).
        pub residual_alkalinity_mg_l_caco3: f64,
        /// For people, such as "540 L at 72 °C".
        pub display: String,
    }

    /// One source's part of the liquor.
    pub struct BlendPart {
        /// Name of the source.
        pub source: String,
        /// Share of the liquor by mass, 0 to 1.
        #[serde(deserialize_with = "not_negative")]
        pub share: f64,
        /// Volume to draw, litres at 20 °C.
        #[serde(deserialize_with = "not_negative")]
        pub volume_l: f64,
        /// Residual alkalinity of the source, mg/L as CaCO3 (Kolbach 1953).
        pub residual_alkalinity_mg_l_caco3: f64,
        /// For people, such as "970 L at 20 °C (70 %)".
        pub display: String,
    }

    /// One weighing or measuring out.
    pub struct Addition {
        /// Step in the order of work, from 1.
        pub step: u32,
        /// Where it goes.
        pub vessel: Vessel,
        /// Name of the vessel for people.
        pub vessel_label: String,
        /// Key of the reagent.
        pub reagent: String,
        /// Name for people, with its strength where it has one.
        pub name: String,
        /// Which part of its dose it is, where the mash is read between two; null for all of it.
        pub part: Option<AcidPart>,
        /// How much, in whole steps of the scale.
        #[serde(deserialize_with = "not_negative")]
        pub amount: f64,
        /// "g" or "mL".
        pub unit: AmountUnit,
        /// How often so much is given: once, or once in each brew.
        #[serde(deserialize_with = "count::<_, MOST_BREWS>")]
        pub times: usize,
        /// For people, such as "125 g".
        pub display: String,
        /// Before rounding to the scale, in the same unit.
        pub before_rounding: f64,
        /// When.
        pub when: String,
        /// Cold water that an acid is diluted in before it goes in, litres; null for what is no
        /// acid.
        pub dilution_l: Option<f64>,
        /// The pH to which an acid is poured into liquor, and the volumes that may take; null for
        /// what is given as a volume or a mass, and in an alternative.
        pub end_point: Option<EndPoint>,
        /// How to dissolve and handle it.
        pub how: String,
        /// What it does, such as "calcium +23 mg/L, sulfate +56 mg/L".
        pub why: String,
    }

    /// A target range and how it is met.
    pub struct TargetLine {
        /// Key, such as "calcium", "sulfate_to_chloride", "mash_ph", "sparge_alkalinity",
        /// "kettle_ph".
        pub key: TargetKey,
        /// Name for people.
        pub label: String,
        /// Unit of the numbers of this line; empty for a ratio or a pH.
        pub unit: String,
        /// Before any addition, in the first source alone; null for a ratio without chloride.
        pub source: Option<f64>,
        /// What the plan reaches; null for a ratio without chloride.
        pub planned: Option<f64>,
        /// Low end of the range.
        pub low: Option<f64>,
        /// High end.
        pub high: Option<f64>,
        /// Preferred point.
        pub prefer: Option<f64>,
        /// "met", "below", "above", "unknown" where the figure cannot be relied on, or "free" where
        /// no range was given.
        pub state: TargetState,
        /// For people, such as "118 → 96 mg/L, wanted 50 to 150".
        pub display: String,
    }

    /// One reason, as data and as a sentence.
    pub struct Reason {
        /// Stable code, such as "source_above_range".
        pub code: ReasonCode,
        /// What it is about: a target's or a reagent's key.
        pub subject: String,
        /// The sentence.
        pub text: String,
    }

    /// A limit the best plan misses or rests on, with a unit of relief; a confidence draws the ends
    /// of its pH in.
    pub struct BindingLimit {
        /// What limits: an end of a range, a hard limit on the liquor, a stock on hand, what
        /// dissolves, or what can be drawn of a source.
        pub code: LimitCode,
        /// A target's or a reagent's key, what a hard limit is on, or the name of a source.
        pub subject: String,
        /// One unit of relief: 1 mg/L, 0.1 of a ratio, 0.01 pH, a step of the scale or of a draw.
        pub relief: f64,
        /// Its unit; empty for a ratio or a pH.
        pub unit: String,
        /// What it is worth by the limit's multiplier, in the fit's own measure.
        pub worth: f64,
        /// What it would change in the plan before rounding.
        pub changes: Vec<Change>,
        /// The sentence.
        pub text: String,
    }

    /// A target that would miss its range by more or by less; or a pH whose chance would fall short
    /// of its confidence by more or by less.
    pub struct Change {
        /// Key of the target, "confidence" for that of the mash pH, or "sparge_confidence".
        pub key: TargetKey,
        /// Unit of the numbers; empty for a ratio or a pH, whole "%" for a chance.
        pub unit: String,
        /// How far it lies outside its range now, negative below it; 0 where it is met, null for a
        /// ratio without chloride to compare with.
        pub missed_by: Option<f64>,
        /// How far it would.
        pub would_miss_by: Option<f64>,
        /// For people.
        pub display: String,
    }

    /// Another plan beside this one, with what it costs; confidences are aimed anew for it.
    pub struct Alternative {
        /// What is done otherwise: the best plan with a salt fewer, with another acid in place of
        /// one, with the least pure water that brings every range within reach, or with the one
        /// reagent more that helps most.
        pub code: AlternativeCode,
        /// The salts or the acid given up, the reagent more, or "pure water".
        pub subject: String,
        /// How much worse the fit is as weighed, in its own measure, each thing to weigh counted
        /// with its price; negative where it is better.
        pub cost: f64,
        /// True when every range is met.
        pub meets_every_range: bool,
        /// What the liquor is blended from.
        pub blend: Vec<BlendPart>,
        /// What to weigh and measure.
        pub additions: Vec<Addition>,
        /// What it changes beside this plan.
        pub changes: Vec<Change>,
        /// The sentence.
        pub text: String,
    }

    /// One caution.
    pub struct Caution {
        /// Stable code, such as "acid_into_water".
        pub code: CautionCode,
        /// How much it matters.
        pub severity: Severity,
        /// The sentence.
        pub text: String,
    }

    /// The fit's own account.
    pub struct FitReport {
        /// Objective of the plan as it is weighed.
        pub objective: f64,
        /// Objective of the best plan of an infinitely fine scale, each dose rounded to its nearest
        /// step within its stock, of any number of salts.
        pub objective_rounded: f64,
        /// Objective of the best plan if the scale were infinitely fine: no weighable plan can be
        /// better.
        pub objective_before_rounding: f64,
        /// How much better another weighable plan could still be, each thing to weigh counted with
        /// its price, as a part of the objective; 0 where this plan is proven the best that can be
        /// weighed.
        pub gap: f64,
        /// Nodes of the search for it.
        pub nodes: u64,
        /// Proof that the plan before rounding is the best one.
        pub certificate: Proof,
        /// Iterations of the solver.
        pub iterations: u64,
    }

    /// Residuals of the optimality conditions, each relative to the programme's own scale; all near
    /// zero at the optimum.
    pub struct Proof {
        /// Largest violation of a limit.
        pub primal_infeasibility: f64,
        /// Largest wrong-signed multiplier.
        pub dual_infeasibility: f64,
        /// Largest component of the gradient that no multiplier explains.
        pub stationarity: f64,
        /// Largest product of slack and multiplier.
        pub complementarity: f64,
        /// Duality gap.
        pub gap: f64,
    }
}

impl Proof {
    /// The certificate as the document states it.
    pub(crate) fn of(certificate: &Certificate) -> Proof {
        Proof {
            primal_infeasibility: certificate.primal_infeasibility,
            dual_infeasibility: certificate.dual_infeasibility,
            stationarity: certificate.stationarity,
            complementarity: certificate.complementarity,
            gap: certificate.gap,
        }
    }
}

impl FitReport {
    pub(super) fn of(fitted: &FitResult) -> FitReport {
        FitReport {
            objective: fitted.objective,
            objective_rounded: fitted.objective_rounded,
            objective_before_rounding: fitted.objective_before_rounding,
            gap: fitted.gap,
            nodes: fitted.nodes,
            certificate: Proof::of(&fitted.certificate),
            iterations: fitted.iterations,
        }
    }
}

/// How a range is met.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum TargetState {
    /// Inside the range.
    Met,
    /// Below its low end.
    Below,
    /// Above its high end.
    Above,
    /// Inside the range by a figure that cannot be relied on: it lies outside what the models were
    /// checked for, or counts on a salt that does not dissolve.
    Unknown,
    /// No range was given.
    Free,
}

impl TargetState {
    /// For people.
    pub(crate) const fn label(self) -> &'static str {
        match self {
            TargetState::Met => "met",
            TargetState::Below => "BELOW its range",
            TargetState::Above => "ABOVE its range",
            TargetState::Unknown => "NOT KNOWN",
            TargetState::Free => "free",
        }
    }
}

/// How much a caution matters.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum Severity {
    /// Can hurt a person.
    Danger,
    /// Can spoil the brew or the plant.
    Care,
    /// Worth knowing.
    Note,
}

impl Severity {
    /// The words before a caution; none before a note.
    pub(crate) const fn lead(self) -> &'static str {
        match self {
            Severity::Danger => "Danger: ",
            Severity::Care => "Care: ",
            Severity::Note => "",
        }
    }
}

/// Reads a count from 1 to as many as a day can have.
fn count<'de, D: Deserializer<'de>, const MOST: usize>(from: D) -> Result<usize, D::Error> {
    let count = usize::deserialize(from)?;
    if (1..=MOST).contains(&count) {
        return Ok(count);
    }
    let expected = format!("a whole number from 1 to {MOST}");
    let read = Unexpected::Unsigned(count as u64);
    Err(D::Error::invalid_value(read, &expected.as_str()))
}

/// Reads an amount.
fn not_negative<'de, D: Deserializer<'de>>(from: D) -> Result<f64, D::Error> {
    let amount = f64::deserialize(from)?;
    if amount >= 0.0 {
        return Ok(amount);
    }
    let read = Unexpected::Float(amount);
    Err(D::Error::invalid_value(read, &"a number of 0 or more"))
}
