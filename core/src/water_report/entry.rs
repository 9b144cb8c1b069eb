//! A report as it was written.

use super::date::Date;
pub use super::subject::Subject;
use crate::document::Attached;
use crate::error::Problem;
pub use crate::quantity::Figure;
use crate::quantity::{Notation, Stated, Written};

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
    /// let hardness = Entry::read(Subject::Hardness, "12-14 °dH")?;
    /// assert_eq!(hardness.write(), "12 to 14 °dH");
    /// assert_eq!(hardness.restated("mg/L as CaCO3")?.write(), "214 to 250 mg/L as CaCO3");
    /// # Ok::<(), underlet::error::Problem>(())
    /// ```
    pub fn read<'t>(subject: Subject, written: impl Into<Written<'t>>) -> Result<Entry, Problem> {
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

    /// The entry as text, in the notation it came in: reading it again gives the same entry within its digits.
    pub fn write(&self) -> String {
        self.subject
            .quantity()
            .write_figure(&self.stated(), &self.subject.substance())
    }

    /// The same entry in another unit, such as "mg/L as N" or "°dH", its last digit no coarser than it was.
    ///
    /// # Errors
    /// [`crate::error::Code::WrongUnit`], with an empty path.
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
    /// Day of sampling, where it is told.
    pub sampled: Option<Date>,
    /// The day the report is read, where it is told: the engine has no clock.
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
    /// The entry of a subject.
    pub fn entry(&self, subject: Subject) -> Option<&Entry> {
        self.entries.iter().find(|entry| entry.subject == subject)
    }

    /// The best single guess of a subject, in its canonical unit.
    pub fn middle(&self, subject: Subject) -> Option<f64> {
        self.entry(subject).map(|entry| entry.figure.middle())
    }
}
