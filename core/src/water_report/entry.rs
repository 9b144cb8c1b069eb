//! A report as it was written.

use super::date::Date;
pub use super::subject::Subject;
use crate::checker::Checker;
use crate::document::Attached;
use crate::error::{ErrorCode, InputError, Problem};
pub use crate::quantity::Figure;
use crate::quantity::{Notation, Stated, Written, quoted};

/// Significant digits of a figure that nobody wrote.
const DIGITS: usize = 3;

/// One line of a report, or one reading of the bench.
#[derive(Clone, Debug, PartialEq)]
pub struct Entry {
    /// What is stated.
    pub subject: Subject,
    /// How much of it.
    pub figure: Figure,
    /// Standard deviation where the report or the brewer states one, in the unit of the figure.
    pub sd: Option<f64>,
    /// How it was written; nothing for what was derived.
    pub notation: Option<Notation>,
}

impl Entry {
    /// A figure that was derived, not written.
    pub fn new(subject: Subject, figure: Figure) -> Entry {
        Entry {
            subject,
            figure,
            sd: None,
            notation: None,
        }
    }

    /// Reads what is written about a subject, in any notation.
    ///
    /// # Errors
    /// A [`Problem`] with an empty path, as [`crate::quantity::Quantity::read_figure`].
    ///
    /// ```
    /// use underlet::water_report::{Entry, Subject};
    ///
    /// let hardness = Entry::parse(Subject::Hardness, "12-14 °dH")?;
    /// assert_eq!(hardness.write(), "12 to 14 °dH");
    /// assert_eq!(hardness.restated("mg/L as CaCO3")?.write(), "214 to 250 mg/L as CaCO3");
    /// # Ok::<(), underlet::error::Problem>(())
    /// ```
    pub fn parse<'t>(subject: Subject, written: impl Into<Written<'t>>) -> Result<Entry, Problem> {
        let undetected = subject.usual_detection_limit() / subject.scale();
        let stated = subject
            .quantity()
            .read_figure(written, &subject.substance(), undetected)?;
        Ok(Entry::of(subject, stated))
    }

    /// The entry of a figure as it was stated.
    pub(crate) fn of(subject: Subject, stated: Stated) -> Entry {
        let scale = subject.scale();
        Entry {
            subject,
            figure: stated.figure.times(scale),
            sd: stated.sd.map(|sd| sd * scale),
            notation: Some(stated.notation),
        }
    }

    fn stated(&self) -> Stated {
        let (subject, scale) = (self.subject, self.subject.scale());
        let figure = self.figure.times(1.0 / scale);
        let usual = || {
            subject
                .quantity()
                .usual_notation(figure, DIGITS, &subject.substance())
        };
        Stated {
            figure,
            sd: self.sd.map(|sd| sd / scale),
            notation: self.notation.unwrap_or_else(usual),
        }
    }

    /// The entry as text, in the notation it came in: reading it again gives the same entry within
    /// its digits.
    pub fn write(&self) -> String {
        self.subject
            .quantity()
            .write_figure(&self.stated(), &self.subject.substance())
    }

    /// The same entry in another unit, such as "mg/L as N" or "°dH", its last digit no coarser than
    /// it was.
    ///
    /// # Errors
    /// [`crate::error::ErrorCode::WrongUnit`], with an empty path.
    pub fn restated(&self, unit: &str) -> Result<Entry, Problem> {
        let stated =
            self.subject
                .quantity()
                .restated(&self.stated(), unit, &self.subject.substance())?;
        Ok(Entry {
            notation: Some(stated.notation),
            ..self.clone()
        })
    }
}

/// A water report: what was written down about a water, not yet judged.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct WaterReport {
    /// What the user attached; its note says where and how the water was sampled.
    pub attached: Attached,
    /// Name of the water.
    pub name: String,
    /// Day of sampling, where it is known.
    pub sampled: Option<Date>,
    /// The day on which the report is read, where it is given: the engine has no clock.
    pub today: Option<Date>,
    /// How many days old the sample is, where both days are known.
    pub age_days: Option<f64>,
    /// Temperature of the sample, °C, where known.
    pub temperature_c: Option<f64>,
    /// The entries, each subject at most once.
    pub entries: Vec<Entry>,
    /// This morning's bench, where its readings came with the report.
    pub bench: Option<Box<WaterReport>>,
}

impl WaterReport {
    /// A report of these figures, each by its key, in any notation: `("nitrate", "<5 mg/L as N")`.
    ///
    /// # Errors
    /// Every key that is unknown or comes twice, and every figure that cannot be read, each at its
    /// key.
    ///
    /// ```
    /// use underlet::water_report::WaterReport;
    /// let error = WaterReport::parse("well", &[("calcum", "80 mg/L"), ("ph", "neutral")]).unwrap_err();
    /// let codes: Vec<_> = error.problems.iter().map(|problem| problem.code.as_str()).collect();
    /// assert_eq!(codes, ["unknown_name", "not_a_number"]);
    /// assert!(error.problems[0].hint.contains("calcium"));
    /// ```
    pub fn parse(
        name: impl Into<String>,
        figures: &[(&str, &str)],
    ) -> Result<WaterReport, InputError> {
        let mut report = WaterReport {
            name: name.into(),
            ..WaterReport::default()
        };
        let mut checker = Checker::new();
        for (key, written) in figures {
            let entry = key
                .parse::<Subject>()
                .and_then(|subject| report.parsed(subject, written));
            match entry {
                Ok(entry) => report.entries.push(entry),
                Err(problem) => checker.at::<()>(key, Err(problem)),
            }
        }
        report.entries.sort_by_key(|entry| entry.subject);
        checker.into_value(Some(report))
    }

    fn parsed(&self, subject: Subject, written: &str) -> Result<Entry, Problem> {
        if self.entry(subject).is_some() {
            return Err(Problem {
                code: ErrorCode::Duplicate,
                path: String::new(),
                found: format!("{} twice", quoted(subject.key())),
                expected: "each figure once".to_owned(),
                hint: "Keep the surer of the two.".to_owned(),
            });
        }
        Entry::parse(subject, written)
    }

    /// The entry of a subject.
    pub fn entry(&self, subject: Subject) -> Option<&Entry> {
        self.entries.iter().find(|entry| entry.subject == subject)
    }

    /// The best single guess of a subject, in its canonical unit.
    pub fn middle(&self, subject: Subject) -> Option<f64> {
        self.entry(subject).map(|entry| entry.figure.middle())
    }
}
