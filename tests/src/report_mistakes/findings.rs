//! What is odd in the reports of a table, counted by kind, with examples.

use std::collections::BTreeMap;
use std::fmt;
use std::panic::{AssertUnwindSafe, catch_unwind};

use underlet::component::Component;
use underlet::water_report::{Change, Evidence, Subject, WaterReport, Weighing};

use super::table::Row;

/// How many examples of each kind are reported.
const EXAMPLES: usize = 3;
/// pH that drinking water may have (Directive (EU) 2020/2184, annex I part C).
const USUAL_PH: (f64, f64) = (6.5, 9.5);
/// A stated sum that differs by more than this from its parts is reported, per cent: the acceptance
/// band of an ion balance is as wide.
const SUM_PERCENT: f64 = 10.0;

/// What was flagged in the rows of a table.
#[derive(Debug, Default)]
pub struct Findings {
    /// Rows that were read.
    pub rows: usize,
    /// Rows whose major ions are all reported, so that a balance means something.
    pub complete: usize,
    /// Of these, how many balance within 5 % and within 10 %.
    pub balanced: [usize; 2],
    /// Of those within 5 %, in how many a mistake is proposed all the same.
    pub proposed_within_5: usize,
    /// Rows per kind of finding, with their words.
    pub kinds: BTreeMap<&'static str, Vec<String>>,
    /// Rows on which the engine panicked or reported what is not a number: there must be none.
    pub failures: Vec<String>,
}

impl Findings {
    /// Looks at every row as it stands.
    pub fn of(rows: &[Row]) -> Findings {
        let mut findings = Findings::default();
        for row in rows {
            findings.rows += 1;
            for (kind, words) in &row.oddities {
                findings.tell(kind, row, words);
            }
            match catch_unwind(AssertUnwindSafe(|| row.report.mistakes())) {
                Ok(weighing) if weighing.as_written.ln_total().is_finite() => {
                    findings.judge(row, &weighing);
                }
                Ok(_) => findings
                    .failures
                    .push(format!("row {}: not a number", row.number)),
                Err(_) => findings
                    .failures
                    .push(format!("row {}: panics", row.number)),
            }
        }
        findings
    }

    fn tell(&mut self, kind: &'static str, row: &Row, words: &str) {
        let reported = self.kinds.entry(kind).or_default();
        reported.push(format!("row {}: {words}", row.number));
    }

    fn judge(&mut self, row: &Row, weighing: &Weighing) {
        self.balance(row, &weighing.as_written);
        self.sums(row);
        if let Some(ph) = row.report.middle(Subject::Ph)
            && !(USUAL_PH.0..=USUAL_PH.1).contains(&ph)
        {
            self.tell("pH unusual for drinking water", row, &format!("pH {ph}"));
        }
        if let Some(first) = weighing.proposals().first() {
            let written = &weighing.as_written;
            let balances = written.is_complete && written.balance.error_percent().abs() <= 5.0;
            self.proposed_within_5 += usize::from(balances);
            let changes: Vec<String> = first.changes.iter().map(change_in_words).collect();
            let only = if weighing.as_written.is_complete {
                ""
            } else {
                ", not every major ion reported"
            };
            let words = format!(
                "{:?} ({:.0} %): {}; balance {:+.1} to {:+.1} %{only}",
                first.kind,
                100.0 * first.probability,
                changes.join(", "),
                weighing.as_written.balance.error_percent(),
                first.after.balance.error_percent(),
            );
            self.tell("a usual mistake may have been made", row, &words);
        }
    }

    fn balance(&mut self, row: &Row, evidence: &Evidence) {
        if !evidence.is_complete {
            self.tell("a major ion is not reported", row, &missing(&row.report));
            return;
        }
        self.complete += 1;
        let percent = evidence.balance.error_percent();
        for (count, within) in self.balanced.iter_mut().zip([5.0, 10.0]) {
            *count += usize::from(percent.abs() <= within);
        }
        if !evidence.balance.is_acceptable() {
            let kind = "ion balance beyond Standard Methods 1030 E";
            self.tell(kind, row, &format!("{percent:+.1} %"));
        }
    }

    /// Stated sums against their parts.
    fn sums(&mut self, row: &Row) {
        let reported = |subject| row.report.middle(subject);
        let ion = |ion| reported(Subject::Component(ion));
        if let (Some(hardness), Some(calcium), Some(magnesium)) = (
            reported(Subject::Hardness),
            ion(Component::Calcium),
            ion(Component::Magnesium),
        ) {
            let parts = 2.0 * (calcium + magnesium);
            self.sum(
                "hardness against calcium and magnesium",
                row,
                hardness,
                parts,
            );
        }
        if let (Some(alkalinity), Some(bicarbonate)) = (
            reported(Subject::Alkalinity),
            reported(Subject::Bicarbonate),
        ) {
            let parts = bicarbonate + 2.0 * reported(Subject::Carbonate).unwrap_or(0.0);
            self.sum("alkalinity against bicarbonate", row, alkalinity, parts);
        }
    }

    fn sum(&mut self, kind: &'static str, row: &Row, stated: f64, parts: f64) {
        let percent = 100.0 * (stated / parts - 1.0);
        if parts > 0.0 && percent.abs() > SUM_PERCENT {
            self.tell(kind, row, &format!("{percent:+.0} %"));
        }
    }
}

fn missing(report: &WaterReport) -> String {
    let reported = |subject| report.middle(subject).is_some();
    let mut missing: Vec<&str> = [Component::Sodium, Component::Chloride, Component::Sulfate]
        .into_iter()
        .filter(|ion| !reported(Subject::Component(*ion)))
        .map(Component::symbol)
        .collect();
    if !reported(Subject::Alkalinity) && !reported(Subject::Bicarbonate) {
        missing.push("alkalinity");
    }
    for ion in [Component::Calcium, Component::Magnesium] {
        if !reported(Subject::Component(ion)) && !reported(Subject::Hardness) {
            missing.push(ion.symbol());
        }
    }
    missing.join(", ")
}

fn change_in_words(change: &Change) -> String {
    let name = subject_in_words(change.subject);
    format!("{name} times {:.3}", change.to / change.from)
}

/// The symbol of an ion, or the name of what else a report states.
pub fn subject_in_words(subject: Subject) -> String {
    match subject {
        Subject::Component(ion) => ion.symbol().to_owned(),
        other => format!("{other:?}"),
    }
}

impl fmt::Display for Findings {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(
            f,
            "{} rows read, {} with every major ion: {} balance within 5 %, {} within 10 %; a \
             mistake is proposed in {} of those within 5 %",
            self.rows, self.complete, self.balanced[0], self.balanced[1], self.proposed_within_5
        )?;
        for (kind, reported) in &self.kinds {
            writeln!(f, "{:>5}  {kind}", reported.len())?;
            for words in reported.iter().take(EXAMPLES) {
                writeln!(f, "         {words}")?;
            }
        }
        for failure in &self.failures {
            writeln!(f, "FAILED: {failure}")?;
        }
        Ok(())
    }
}
