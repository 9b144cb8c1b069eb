//! The plan as HTML: a fragment for notebooks, and the printable sheet for the brewhouse wall.

use std::fmt::Write as _;

use super::Meter;
use super::plan::{Plan, Reading, Severity, State};

/// Style of the sheet: black on white, big weights, nothing that a wet thumb could not read; a usual day fits one page of
/// A4 or Letter.
const SHEET_STYLE: &str = include_str!("sheet.css");

impl Plan {
    /// The plan as an HTML fragment without style: what a notebook shows.
    pub fn to_html_fragment(&self) -> String {
        let mut html = Html::default();
        html.open("section", "underlet-plan");
        html.element("h3", &format!("{}: {}", self.brewhouse, self.name));
        html.element("p", &self.summary);
        self.additions_table(&mut html);
        self.targets_table(&mut html);
        html.element(
            "p",
            &format!(
                "Mash pH {}; untreated {:.2}.",
                self.mash.display, self.mash.ph_untreated
            ),
        );
        self.readings_table(&mut html);
        self.cautions_list(&mut html);
        html.close("section");
        html.text
    }

    /// The printable sheet: a whole HTML page.
    pub fn to_sheet(&self) -> String {
        let mut html = Html::default();
        html.raw("<!doctype html>\n<html lang=\"en-GB\">\n<head>\n<meta charset=\"utf-8\">\n");
        html.raw("<meta name=\"viewport\" content=\"width=device-width\">\n");
        html.element("title", &format!("{}: {}", self.brewhouse, self.name));
        html.raw("<style>\n");
        html.raw(SHEET_STYLE);
        html.raw("</style>\n</head>\n<body>\n<main>\n");
        html.element("h1", &self.name);
        html.element(
            "p",
            &format!(
                "{} · date ____________ · brewer ____________",
                self.brewhouse
            ),
        );
        html.element("p", &self.summary);

        html.element("h2", "Liquor");
        html.open("ul", "liquor");
        for part in &self.blend {
            html.element("li", &format!("from {}: {}", part.source, part.display));
        }
        for vessel in &self.vessels {
            html.element("li", &format!("{}: {}", vessel.label, vessel.display));
        }
        html.close("ul");

        html.element("h2", "Weigh and measure");
        self.additions_in_order_of_work(&mut html);
        html.element("p", &self.totals());
        html.element("h2", "Read");
        self.readings_table(&mut html);
        html.element("p", &self.otherwise().join(" "));
        html.element("h2", "What it reaches");
        html.open("ul", "targets");
        for line in &self.targets {
            let words = [&line.label, " ", &line.display, ": ", line.state.in_words()];
            html.element("li", &words.concat());
        }
        html.close("ul");
        html.element("h2", "Mind");
        self.cautions_list(&mut html);
        html.raw("</main>\n</body>\n</html>\n");
        html.text
    }

    fn additions_table(&self, html: &mut Html) {
        if self.additions.is_empty() {
            html.element("p", "Nothing to add.");
            return;
        }
        html.open("table", "additions");
        html.row("th", &["step", "how much", "what", "where and when", "why"]);
        for addition in &self.additions {
            let place = format!("{}: {}", addition.vessel_label, addition.when);
            let step = addition.step.to_string();
            let [amount, name] = [&addition.display, &addition.name];
            html.row("td", &[&step, amount, name, &place, &addition.why]);
        }
        html.close("table");
    }

    /// What goes to one vessel at one time under a line that says where; a box to tick stands beside each step.
    fn additions_in_order_of_work(&self, html: &mut Html) {
        if self.additions.is_empty() {
            html.element("p", "Nothing to add.");
            return;
        }
        html.open("table", "additions");
        html.row("th", &["done", "how much", "what", "how, and what it does"]);
        for visit in self.visits() {
            if let [first, ..] = visit {
                html.raw("<tr><td colspan=\"4\">");
                html.raw(&escaped(&self.place_of(first)));
                html.raw("</td></tr>\n");
            }
            for addition in visit {
                let step = addition.step.to_string();
                let mut how = addition.how.clone();
                if !addition.why.is_empty() {
                    let _ = write!(how, " ({})", addition.why);
                }
                html.row("td", &[&step, &addition.display, &addition.name, &how]);
            }
        }
        html.close("table");
    }

    /// A row for each place and time, a column for each meter; the sheet leaves room there to write in what was read.
    fn readings_table(&self, html: &mut Html) {
        html.open("table", "readings");
        let mut heads = vec!["where and when"];
        let mut meters = Meter::ALL.to_vec();
        meters.retain(|meter| self.readings.iter().any(|one| one.meter == *meter));
        for meter in &meters {
            heads.push(meter.label());
        }
        html.row("th", &heads);
        for round in self.rounds() {
            let place = round
                .first()
                .map_or_else(String::new, Reading::place_and_when);
            let mut cells = vec![place.as_str()];
            for meter in &meters {
                let reading = round.iter().find(|reading| reading.meter == *meter);
                cells.push(reading.map_or("", |reading| &reading.display));
            }
            html.row("td", &cells);
        }
        html.close("table");
    }

    fn targets_table(&self, html: &mut Html) {
        html.open("table", "targets");
        html.row("th", &["target", "water → plan", "state"]);
        for line in &self.targets {
            html.row("td", &[&line.label, &line.display, line.state.in_words()]);
        }
        html.close("table");
    }

    fn cautions_list(&self, html: &mut Html) {
        html.open("ul", "cautions");
        for caution in &self.cautions {
            let word = match caution.severity {
                Severity::Danger => "Danger: ",
                Severity::Care => "Care: ",
                Severity::Note => "",
            };
            html.element("li", &format!("{word}{}", caution.text));
        }
        html.close("ul");
    }
}

impl State {
    const fn in_words(self) -> &'static str {
        match self {
            State::Met => "met",
            State::Free => "free",
            State::Below => "BELOW its range",
            State::Above => "ABOVE its range",
        }
    }
}

/// Writes elements with their text escaped.
#[derive(Default)]
struct Html {
    text: String,
}

impl Html {
    fn raw(&mut self, html: &str) {
        self.text.push_str(html);
    }

    // Writing to a string cannot fail.
    fn open(&mut self, element: &str, class: &str) {
        let _ = writeln!(self.text, "<{element} class=\"{class}\">");
    }

    fn close(&mut self, element: &str) {
        let _ = writeln!(self.text, "</{element}>");
    }

    fn element(&mut self, element: &str, words: &str) {
        let _ = writeln!(self.text, "<{element}>{}</{element}>", escaped(words));
    }

    fn row(&mut self, cell: &str, cells: &[&str]) {
        self.raw("<tr>");
        for words in cells {
            let _ = write!(self.text, "<{cell}>{}</{cell}>", escaped(words));
        }
        self.raw("</tr>\n");
    }
}

fn escaped(words: &str) -> String {
    let mut safe = String::with_capacity(words.len());
    for letter in words.chars() {
        match letter {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            '\'' => safe.push_str("&#39;"),
            other => safe.push(other),
        }
    }
    safe
}
