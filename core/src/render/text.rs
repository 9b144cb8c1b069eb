//! The plan as plain text for the terminal.

use std::fmt::{self, Write as _};

use super::order_of_work;
use crate::plan::{Plan, Severity, TargetState};
use crate::words;

/// Columns of the page.
const WIDTH: usize = 100;

impl fmt::Display for Plan {
    /// [`Plan::to_text`].
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&text(self))
    }
}

/// The plan as plain text, at most [`WIDTH`] columns wide.
pub(crate) fn text(plan: &Plan) -> String {
    let mut page = Page::default();
    page.line(&format!("{}: {}", plan.brewhouse, plan.name));
    page.wrapped("", &plan.summary);
    liquor(&mut page, plan);
    additions(&mut page, plan);
    targets(&mut page, plan);
    forecasts(&mut page, plan);
    readings(&mut page, plan);
    explanation(&mut page, plan);
    safety(&mut page, plan);
    page.text
}

fn liquor(page: &mut Page, plan: &Plan) {
    page.heading("Liquor");
    for vessel in &plan.vessels {
        page.line(&format!("  {:<22}{}", vessel.label, vessel.display));
    }
    for part in order_of_work::drawn(plan) {
        let from = format!("from {}", part.source);
        page.line(&format!("  {from:<22}{}", part.display));
    }
}

fn additions(page: &mut Page, plan: &Plan) {
    page.heading("Weigh and measure");
    if plan.additions.is_empty() {
        page.line("  nothing");
    }
    for visit in order_of_work::visits(plan) {
        page.wrapped("  ", &visit.place);
        for addition in visit.additions {
            page.line(&format!(
                "  [ ] {:>10}  {}",
                addition.display, addition.name
            ));
            page.wrapped("                  ", &addition.why);
            page.wrapped("                  ", &addition.how);
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
            "  chance of meeting the target: {:.0} %",
            chance * 100.0
        ));
    }
    let parts = mash.uncertainty_budget.iter();
    for part in parts.filter(|part| part.share >= 0.05) {
        page.line(&format!(
            "  {:>3.0} % of the variance: {}",
            part.share * 100.0,
            part.label
        ));
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

fn readings(page: &mut Page, plan: &Plan) {
    page.heading("Readings");
    for round in order_of_work::rounds(plan) {
        page.wrapped("  ", &round.place);
        for reading in round.readings {
            page.line(&format!(
                "    {:<28}{:<21} read: ______",
                reading.meter.label(),
                reading.display
            ));
        }
    }
    for text in order_of_work::otherwise(plan) {
        page.wrapped("  - ", text);
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
