//! The diagnosis document: what the readings of a day say, each beside what it should be.
//! Texts are ready for people to read.

use std::borrow::Cow;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::fault::{Fault, Slip};
use super::meter_reading::{Probe, Sample};
use super::verdict::{Compared, Diagnosis, Explanation, Verdict};
use crate::document::{Attached, DocumentHead, DocumentKind, document};
use crate::error::codes;
use crate::math::TWO_SIDED_95;
use crate::readings::correction::{
    Advice, CorrectionDocument, Corrections, LiquorCorrectionDocument, RunningsDocument,
};
use crate::recipe::{BrewDay, Meter, Place, Vessel};

document! {
    derive(Clone, Debug, PartialEq, Serialize, Deserialize);

    /// What the readings of a day say.
    pub struct DiagnosisDocument {
        /// Versions, kind, and what the user attached.
        #[serde(flatten)]
        pub head: DocumentHead,
        /// Name of the brew.
        pub name: String,
        /// In a word: as expected (no proof), not clear, one fault, several faults that cannot be
        /// distinguished, or nothing that fits.
        pub verdict: VerdictCode,
        /// The verdict as a sentence.
        pub sentence: String,
        /// How many faults the verdict names: the first of the explanations that are faults.
        pub named: usize,
        /// Every explanation that was weighed, the most probable first; their probabilities sum to
        /// one.
        pub explanations: Vec<DiagnosisExplanation>,
        /// Each reading beside what it should be, in the order of work; reference samples first.
        pub compared: Vec<DiagnosisReading>,
        /// For people: what the readings say and what is still to be done, the texts of the next
        /// three in the order of work.
        pub to_do: Vec<String>,
        /// What each liquor that was read still takes of its acid.
        pub liquor_corrections: Vec<LiquorCorrectionDocument>,
        /// What the mash and the full kettle of each brew that was read still need.
        pub corrections: Vec<CorrectionDocument>,
        /// Whether the runnings of each brew that were read may run on.
        pub runnings: Vec<RunningsDocument>,
    }
}

/// One explanation of the readings.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct DiagnosisExplanation {
    /// What went wrong.
    pub code: ExplanationCode,
    /// Its probability among those weighed, 0 to 1.
    pub probability: f64,
    /// Chance of readings at least as far off were it the right one, 0 to 1.
    pub chance: f64,
    /// The addition that it is a slip with.
    pub addition: Option<DiagnosisAddition>,
    /// The probe that is off.
    pub probe: Option<DiagnosisProbe>,
    /// For people.
    pub text: String,
}

/// An addition that something slipped with.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct DiagnosisAddition {
    /// Step of the plan.
    pub step: u32,
    /// Its name, with its strength where it has one.
    pub name: String,
    /// Where it goes.
    pub vessel: Vessel,
    /// Which brew of a day of several; null where it concerns all of them, and on a day of one.
    pub brew: Option<usize>,
    /// Key of the reagent that was weighed in its place, where one was.
    pub swapped_for: Option<Cow<'static, str>>,
}

/// A probe that is off.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct DiagnosisProbe {
    /// What it reads.
    pub meter: Meter,
    /// Which of the two.
    pub probe: Probe,
    /// What it shows too much: pH, a share of conductivity, or K.
    pub off_by: f64,
    /// Standard deviation of that.
    pub off_by_sd: f64,
}

/// One reading beside what it should be.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct DiagnosisReading {
    /// Where it was read; absent in a reference sample.
    pub place: Option<Place>,
    /// Which brew of a day of several; null for what all of them share, and on a day of one.
    pub brew: Option<usize>,
    /// What a reference sample should read.
    pub known: Option<f64>,
    /// By which meter.
    pub meter: Meter,
    /// By which probe.
    pub probe: Probe,
    /// Unit of the numbers; empty for pH.
    pub unit: Cow<'static, str>,
    /// What it should be if nothing is wrong.
    pub expected: f64,
    /// Half width that is still as expected (95 %).
    pub tolerance: f64,
    /// Of a pH of the brew the interval of 95 %, low and high, skewed; null for what is not, and
    /// has the tolerance.
    pub interval_95: Option<[f64; 2]>,
    /// What was read.
    pub read: f64,
    /// What was read less what was expected.
    pub off_by: f64,
    /// Whether it lies within the interval, or the tolerance.
    pub as_expected: bool,
    /// For people.
    pub text: String,
}

impl Diagnosis {
    /// The document of a brew's diagnosis.
    pub fn document(&self, name: &str) -> DiagnosisDocument {
        DiagnosisDocument {
            head: DocumentHead::of(DocumentKind::Diagnosis, &Attached::default()),
            name: name.to_owned(),
            verdict: self.verdict.code(),
            sentence: self.sentence(),
            named: self.verdict.named(),
            explanations: self.explanations.iter().map(explanation).collect(),
            compared: self.compared.iter().map(reading).collect(),
            to_do: Vec::new(),
            liquor_corrections: Vec::new(),
            corrections: Vec::new(),
            runnings: Vec::new(),
        }
    }
}

impl DiagnosisDocument {
    /// The same with what mashes and kettles of the day still need: readings that no fault explains
    /// are as expected only where each is as foretold, and each mash as wanted. A kettle is as
    /// wanted once it has its acid.
    #[must_use]
    pub fn with_corrections(
        mut self,
        day: &BrewDay,
        corrections: &Corrections,
    ) -> DiagnosisDocument {
        let Corrections {
            liquors,
            mashes,
            kettles,
            runnings,
        } = corrections;
        if self.verdict == VerdictCode::AsExpected {
            let (verdict, sentence) = if mashes.iter().any(|one| one.is_outside_forecast) {
                (VerdictCode::OutsideForecast, OUTSIDE_FORECAST)
            } else if kettles.iter().any(|one| one.is_outside_forecast) {
                (VerdictCode::OutsideForecast, KETTLE_OUTSIDE_FORECAST)
            } else if mashes.iter().any(|one| one.is_outside_range) {
                (VerdictCode::OutsideRange, OUTSIDE_RANGE)
            } else if liquors.iter().any(|one| one.advice != Advice::Nothing) {
                (VerdictCode::OutsideRange, LIQUOR_OUTSIDE_RANGE)
            } else {
                (self.verdict, self.sentence.as_str())
            };
            self.sentence = sentence.to_owned();
            self.verdict = verdict;
        }
        let of_worts = mashes.iter().chain(kettles);
        self.corrections = of_worts.map(|one| one.document(day)).collect();
        self.liquor_corrections = liquors.iter().map(|one| one.document(day)).collect();
        self.runnings = runnings.iter().map(|one| one.document(day)).collect();
        self.to_do = self.texts();
        self
    }

    fn texts(&self) -> Vec<String> {
        let liquors = self.liquor_corrections.iter().map(|one| &one.text);
        let is_of = |place: Place| {
            let worts = self.corrections.iter();
            worts
                .filter(move |one| one.place == place)
                .map(|one| &one.text)
        };
        let (mashes, kettles) = (is_of(Place::Mash), is_of(Place::Kettle));
        let runnings = self.runnings.iter().map(|one| &one.text);
        let texts = liquors.chain(mashes).chain(runnings).chain(kettles);
        texts.cloned().collect()
    }
}

const OUTSIDE_FORECAST: &str = "The mash lies outside its forecast, and no single mistake explains \
                                it: malt or water differ from what was taken for them.";
const KETTLE_OUTSIDE_FORECAST: &str = "The wort in the kettle lies outside its forecast, and no \
                                       single mistake explains it: the sparge, or what the wort \
                                       buffers, differs from what was taken for it.";
const OUTSIDE_RANGE: &str = "As foretold, but the mash is not where it is wanted.";
const LIQUOR_OUTSIDE_RANGE: &str = "As foretold, but the liquor is not at its end point.";

codes! {
    /// The verdict on the readings of a day.
    pub enum VerdictCode {
        /// All is as expected, which is no proof.
        AsExpected = "as_expected",
        /// No fault explains a mash or a kettle that lies outside its forecast.
        OutsideForecast = "outside_forecast",
        /// No fault is at work, and all lies within its forecast, but the mash outside its range or
        /// liquor off its end point.
        OutsideRange = "outside_range",
        /// A fault is more probable than that nothing is wrong, but not clearly.
        Doubtful = "doubtful",
        /// One fault explains the readings clearly better than everything else.
        Fault = "fault",
        /// A fault explains them, but several are about as probable.
        Indistinguishable = "indistinguishable",
        /// No single explanation fits.
        Unexplained = "unexplained",
    }
}

codes! {
    /// What may have gone wrong on a day.
    pub enum ExplanationCode {
        /// Nothing is wrong.
        NothingWrong = "nothing_wrong",
        /// An addition was not given.
        Forgotten = "forgotten",
        /// An addition was given twice.
        Doubled = "doubled",
        /// Half of a solid lies undissolved.
        HalfDissolved = "half_dissolved",
        /// A liquid is of half the strength it is taken for.
        HalfStrength = "half_strength",
        /// Another reagent was weighed in place of one.
        Swapped = "swapped",
        /// A probe is off.
        ProbeOff = "probe_off",
    }
}

impl Verdict {
    /// Its code.
    pub const fn code(self) -> VerdictCode {
        match self {
            Verdict::AsExpected => VerdictCode::AsExpected,
            Verdict::Doubtful => VerdictCode::Doubtful,
            Verdict::Fault => VerdictCode::Fault,
            Verdict::Indistinguishable(_) => VerdictCode::Indistinguishable,
            Verdict::Unexplained => VerdictCode::Unexplained,
        }
    }
}

impl Slip {
    /// Its code.
    pub const fn code(self) -> ExplanationCode {
        match self {
            Slip::Forgotten => ExplanationCode::Forgotten,
            Slip::Doubled => ExplanationCode::Doubled,
            Slip::HalfDissolved => ExplanationCode::HalfDissolved,
            Slip::HalfStrength => ExplanationCode::HalfStrength,
            Slip::SwappedFor(_) => ExplanationCode::Swapped,
        }
    }
}

fn explanation(of: &Explanation) -> DiagnosisExplanation {
    let mut document = DiagnosisExplanation {
        code: ExplanationCode::NothingWrong,
        probability: of.probability,
        chance: of.chance,
        addition: None,
        probe: None,
        text: of.text.clone(),
    };
    match &of.fault {
        None => {}
        Some(Fault::Addition {
            step,
            name,
            vessel,
            brew,
            slip,
        }) => {
            document.code = slip.code();
            document.addition = Some(DiagnosisAddition {
                step: *step,
                name: name.clone(),
                vessel: *vessel,
                brew: *brew,
                swapped_for: match *slip {
                    Slip::SwappedFor(other) => Some(other.into()),
                    _ => None,
                },
            });
        }
        Some(Fault::Probe { meter, probe }) => {
            document.code = ExplanationCode::ProbeOff;
            document.probe = of.off_by.map(|off_by| DiagnosisProbe {
                meter: *meter,
                probe: *probe,
                off_by: off_by.value,
                off_by_sd: off_by.sd,
            });
        }
    }
    document
}

fn reading(of: &Compared) -> DiagnosisReading {
    let (place, known) = match of.reading.sample {
        Sample::Brew(place) => (Some(place), None),
        Sample::Known(stated) => (None, Some(stated)),
    };
    let tolerance = TWO_SIDED_95 * of.sd;
    let off_by = of.reading.cooled_and_in_time()[0] - of.expected;
    DiagnosisReading {
        place,
        brew: of.brew,
        known,
        meter: of.reading.meter,
        probe: of.reading.probe,
        unit: of.reading.meter.unit().into(),
        expected: of.expected,
        tolerance,
        interval_95: of.interval_95,
        read: of.reading.value,
        off_by,
        as_expected: of.is_as_expected(),
        text: of.to_string(),
    }
}
