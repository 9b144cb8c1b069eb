//! The plan as plain text for the terminal.

use std::fmt::Write as _;

use crate::plan::{Plan, Severity, State};
use crate::words;

/// Columns of the page.
const WIDTH: usize = 100;

impl Plan {
    /// The plan as plain text, at most 100 columns wide.
    pub fn to_text(&self) -> String {
        let mut page = Page::default();
        page.line(&format!("{}: {}", self.brewhouse, self.name));
        page.wrapped("", &self.summary);

        page.heading("Liquor");
        for vessel in &self.vessels {
            page.line(&format!("  {:<22}{}", vessel.label, vessel.display));
        }
        for part in self.drawn() {
            page.line(&format!(
                "  {:<22}{}",
                format!("from {}", part.source),
                part.display
            ));
        }

        page.heading("Weigh and measure");
        if self.additions.is_empty() {
            page.line("  nothing");
        }
        for visit in self.visits() {
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
        page.wrapped("  ", &self.totals());

        page.heading("Water before and after");
        for line in &self.targets {
            let mark = match line.state {
                State::Met | State::Free => "ok   ",
                State::Below => "BELOW",
                State::Above => "ABOVE",
            };
            page.line(&format!("  {mark} {:<20}{}", line.label, line.display));
        }

        page.heading("Mash pH");
        page.line(&format!(
            "  {}; in the mash itself at {} °C about {:.2}; untreated {:.2}",
            self.mash.display,
            self.mash.rest_temperature_c,
            self.mash.ph_at_rest_temperature,
            self.mash.ph_untreated
        ));
        if let Some(chance) = self.mash.probability_in_range {
            page.line(&format!(
                "  chance of meeting the target: {:.0} %",
                chance * 100.0
            ));
        }
        for cause in self
            .mash
            .uncertainty_budget
            .iter()
            .filter(|cause| cause.share >= 0.05)
        {
            page.line(&format!(
                "  {:>3.0} % of the variance: {}",
                cause.share * 100.0,
                cause.label
            ));
        }
        if let Some(sparge) = &self.sparge {
            page.heading("Sparge liquor");
            page.wrapped("  ", &sparge.display);
        }
        page.heading("Kettle-full wort");
        page.wrapped("  ", &self.kettle.display);
        let ions = self.kettle.ions.iter().map(|one| {
            let [full, boiled] = [one.full_mg_l, one.boiled_mg_l].map(words::number);
            format!("{} {full} → {boiled}", one.ion)
        });
        let ions: Vec<String> = ions.collect();
        if !ions.is_empty() {
            page.wrapped(
                "  ",
                &format!(
                    "From the liquor, before and after the boil, mg/L: {}. Malt adds its own.",
                    ions.join(", ")
                ),
            );
        }

        page.heading("Readings");
        for round in self.rounds() {
            page.wrapped("  ", &round.place);
            for reading in round.readings {
                page.line(&format!(
                    "    {:<28}{:<22}read: ______",
                    reading.meter.label(),
                    reading.display
                ));
            }
        }
        for text in self.otherwise() {
            page.wrapped("  - ", text);
        }

        page.heading("Why this plan");
        for reason in &self.reasons {
            page.wrapped("  - ", &reason.text);
        }
        // The limits of a range that is met would save material only.
        for limit in self.limits.iter().filter(|limit| !limit.changes.is_empty()) {
            page.wrapped("  - ", &limit.text);
        }
        if !self.alternatives.is_empty() {
            page.heading("Alternatives");
        }
        for other in &self.alternatives {
            page.wrapped("  - ", &other.text);
        }
        page.heading("Safety");
        for caution in &self.cautions {
            let mark = match caution.severity {
                Severity::Danger => "  ! ",
                Severity::Care => "  ? ",
                Severity::Note => "  - ",
            };
            page.wrapped(mark, &caution.text);
        }
        page.heading("Assumptions");
        for assumption in &self.assumptions {
            page.wrapped("  - ", assumption);
        }
        page.text
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
