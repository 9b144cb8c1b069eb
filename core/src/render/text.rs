//! The plan as plain text for the terminal.

use std::collections::HashSet;
use std::fmt::{self, Write as _};

use super::order_of_work::{self, Round, Stop, Visit};
use crate::plan::{ForeseenCorrection, Plan, Severity, TargetState};
use crate::words;

/// Columns of the page.
const WIDTH: usize = 100;
/// Room for what a meter shows.
const READ: &str = "read: ______";
/// Doses by reading that stand side by side.
const COLUMNS: usize = 8;
/// Least share of the variance that is worth a word.
const LEAST_SHARE: f64 = 0.05;
/// What goes beside an amount begins below its name.
const BESIDE: &str = "                  ";

impl fmt::Display for Plan {
    /// [`Plan::to_text`].
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&text(self))
    }
}

/// The plan as plain text, at most [`WIDTH`] columns wide.
pub(crate) fn text(plan: &Plan) -> String {
    let mut page = Page::default();
    page.line(&format!("{} · {}", plan.name, plan.brewhouse));
    page.line("");
    page.wrapped("", &plan.summary);
    liquor(&mut page, plan);
    work(&mut page, plan);
    targets(&mut page, plan);
    forecasts(&mut page, plan);
    explanation(&mut page, plan);
    safety(&mut page, plan);
    page.text
}

fn liquor(page: &mut Page, plan: &Plan) {
    page.heading("Liquor");
    for part in order_of_work::drawn(plan) {
        page.row(&format!("from {}", part.source), &part.display);
    }
    for vessel in &plan.vessels {
        page.row(&vessel.label, &vessel.display);
    }
}

/// Additions and readings in the order of work; how and what if not, each the first time.
fn work(page: &mut Page, plan: &Plan) {
    page.heading("Weigh, dose and read");
    if plan.additions.is_empty() {
        page.line("  nothing to weigh");
    }
    let mut said = HashSet::new();
    for stop in order_of_work::stops(plan) {
        match stop {
            Stop::Dose(Visit { place, additions }) => {
                page.wrapped("  ", &place);
                for one in additions {
                    page.line(&format!("  [ ] {:>10}  {}", one.display, one.name));
                    if said.insert(one.how.as_str()) {
                        page.wrapped(BESIDE, &one.how);
                    }
                }
            }
            Stop::Read(Round { place, readings }) => {
                page.wrapped("  ", &place);
                for one in readings {
                    page.reading(one.meter.label(), &one.display);
                }
                let read = readings.first();
                let correction = read.and_then(|one| order_of_work::correction_at(plan, one.place));
                if let Some(correction) = correction {
                    page.correction(correction);
                }
                let outside = readings.iter();
                let outside = outside.filter_map(|one| order_of_work::if_outside(plan, one));
                for text in outside {
                    if said.insert(text) {
                        page.wrapped(BESIDE, text);
                    }
                }
            }
        }
    }
    page.wrapped("  ", &order_of_work::totals(plan));
}

fn targets(page: &mut Page, plan: &Plan) {
    page.heading("Water before and after");
    for line in &plan.targets {
        let mark = match line.state {
            TargetState::Met | TargetState::Free => "ok   ",
            TargetState::Unknown => "?    ",
            TargetState::Below => "BELOW",
            TargetState::Above => "ABOVE",
        };
        page.line(&format!("  {mark} {:<20}{}", line.label, line.display));
    }
    page.wrapped("        ", &order_of_work::residual_alkalinities(plan));
    for limit in &plan.hard_limits {
        let label = format!("limit on {}", limit.label);
        page.line(&format!("  ok    {label:<20}{}", limit.display));
    }
    for line in order_of_work::untargeted(plan) {
        page.wrapped("        ", &line.display);
    }
}

fn forecasts(page: &mut Page, plan: &Plan) {
    let mash = &plan.mash;
    page.heading("Mash pH");
    let at_rest = match mash.sd {
        Some(_) => format!(
            "; in the mash itself at {} °C about {:.2}",
            mash.rest_temperature_c, mash.ph_at_rest_temperature
        ),
        None => String::new(),
    };
    page.line(&format!(
        "  {}{at_rest}; untreated {:.2}",
        mash.display, mash.ph_untreated
    ));
    if let Some(chance) = mash.probability_in_range {
        page.line(&format!(
            "  chance to land in its range: {:.0} %",
            chance * 100.0
        ));
    }
    let parts = mash.uncertainty_budget.iter();
    let parts = parts.filter(|part| part.share >= LEAST_SHARE);
    let parts = parts.map(|part| format!("{} {:.0} %", part.label, part.share * 100.0));
    let parts: Vec<String> = parts.collect();
    if !parts.is_empty() {
        let text = format!("what makes it uncertain: {}", parts.join(", "));
        page.wrapped("  ", &text);
    }
    if let Some(sparge) = &plan.sparge {
        page.heading("Sparge liquor");
        page.wrapped("  ", &sparge.display);
    }
    page.heading("Kettle-full wort");
    page.wrapped("  ", &plan.kettle.display);
    let ions = plan.kettle.ions.iter().map(|one| {
        let [full, boiled] = [one.full_mg_l, one.boiled_mg_l].map(words::number);
        format!("{} {full} → {boiled}", one.ion)
    });
    let ions: Vec<String> = ions.collect();
    if !ions.is_empty() {
        let text = format!(
            "From the liquor, before and after the boil, mg/L: {}. Malt adds its own.",
            ions.join(", ")
        );
        page.wrapped("  ", &text);
    }
}

fn explanation(page: &mut Page, plan: &Plan) {
    page.heading("Why this plan");
    for reason in &plan.reasons {
        page.wrapped("  - ", &reason.text);
    }
    // The limits of a range that is met would save material only.
    for limit in plan.limits.iter().filter(|limit| !limit.changes.is_empty()) {
        page.wrapped("  - ", &limit.text);
    }
    if !plan.alternatives.is_empty() {
        page.heading("Alternatives");
    }
    for other in &plan.alternatives {
        page.wrapped("  - ", &other.text);
    }
}

fn safety(page: &mut Page, plan: &Plan) {
    page.heading("Safety");
    for caution in &plan.cautions {
        let mark = match caution.severity {
            Severity::Danger => "  ! ",
            Severity::Care => "  ? ",
            Severity::Note => "  - ",
        };
        page.wrapped(mark, &caution.text);
    }
    page.heading("Assumptions");
    for assumption in &plan.assumptions {
        page.wrapped("  - ", assumption);
    }
}

#[derive(Default)]
struct Page {
    text: String,
}

impl Page {
    fn line(&mut self, line: &str) {
        // Writing to a string cannot fail.
        let _ = writeln!(self.text, "{}", line.trim_end());
    }

    fn heading(&mut self, heading: &str) {
        let _ = writeln!(self.text, "\n{heading}");
    }

    /// A meter with what it should show, and room for what it shows: below it where both are too
    /// wide.
    fn reading(&mut self, meter: &str, display: &str) {
        let expected = format!("{BESIDE}{meter:<28}{display:<21}");
        if expected.chars().count() + READ.len() < WIDTH {
            self.line(&format!("{expected} {READ}"));
        } else {
            self.line(&expected);
            self.line(&format!("{BESIDE}{:<28}{READ}", ""));
        }
    }

    /// Doses by reading, side by side.
    fn correction(&mut self, correction: &ForeseenCorrection) {
        let unit = correction.unit.key();
        for rows in correction.rows.chunks(COLUMNS) {
            let reads = rows
                .iter()
                .map(|row| format!("{:>7}", words::ph(row.reads)));
            let due = rows
                .iter()
                .map(|row| format!("{:>7}", words::number(row.due)));
            let [reads, due] = [reads.collect::<String>(), due.collect()];
            self.line(&format!("{BESIDE}{:<26}{reads}", "if it shows"));
            let still_due = format!("{unit} still due");
            self.line(&format!("{BESIDE}{still_due:<26}{due}"));
        }
        let bounds = format!(
            "Doses of {}: below these readings nothing more, above them check the probe first.",
            correction.name
        );
        self.wrapped(BESIDE, &bounds);
    }

    /// A name, and what belongs to it in a column of its own.
    fn row(&mut self, name: &str, text: &str) {
        self.line(&format!("  {name:<21} {text}"));
    }

    /// Wraps words into lines; the mark begins the first, the others are indented by its width.
    fn wrapped(&mut self, mark: &str, words: &str) {
        let indent = " ".repeat(mark.chars().count());
        let mut line = mark.to_owned();
        let mut width = 0;
        for word in words.split_whitespace() {
            let length = word.chars().count();
            if width > 0 && indent.len() + width + 1 + length > WIDTH {
                self.line(&line);
                line.clone_from(&indent);
                width = 0;
            }
            if width > 0 {
                line.push(' ');
                width += 1;
            }
            line.push_str(word);
            width += length;
        }
        if width > 0 {
            self.line(&line);
        }
    }
}
