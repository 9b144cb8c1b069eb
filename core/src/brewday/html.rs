//! The plan as HTML: a fragment for notebooks, and the printable sheet for the brewhouse wall.

use std::fmt::Write as _;

use super::plan::{Plan, Severity, State};

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
        self.additions_table(&mut html, false);
        self.targets_table(&mut html);
        html.element(
            "p",
            &format!(
                "Mash pH {}; untreated {:.2}.",
                self.mash.display, self.mash.ph_untreated
            ),
        );
        self.cautions_list(&mut html);
        html.close("section");
        html.text
    }

    /// The printable sheet: a whole HTML page.
    pub fn to_sheet(&self) -> String {
        let mut html = Html::default();
        html.raw("<!doctype html>\n<html lang=\"en-GB\">\n<head>\n<meta charset=\"utf-8\">\n");
        html.element("title", &format!("{}: {}", self.brewhouse, self.name));
        html.raw("<style>\n");
        html.raw(SHEET_STYLE);
        html.raw("</style>\n</head>\n<body>\n");
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
        for vessel in &self.vessels {
            html.element("li", &format!("{}: {}", vessel.label, vessel.display));
        }
        for part in &self.blend {
            html.element("li", &format!("from {}: {}", part.source, part.display));
        }
        html.close("ul");

        html.element("h2", "Weigh and measure");
        self.additions_table(&mut html, true);
        html.element("h2", "Read");
        html.open("table", "readings");
        html.row("th", &["what", "when", "should be", "was"]);
        for reading in &self.readings {
            html.row(
                "td",
                &[&reading.label, &reading.when, &reading.display, "________"],
            );
        }
        html.close("table");
        for reading in &self.readings {
            html.element("p", &reading.otherwise);
        }
        html.element("h2", "What it reaches");
        self.targets_table(&mut html);
        html.element("h2", "Mind");
        self.cautions_list(&mut html);
        html.raw("</body>\n</html>\n");
        html.text
    }

    fn additions_table(&self, html: &mut Html, tick: bool) {
        if self.additions.is_empty() {
            html.element("p", "Nothing to add.");
            return;
        }
        html.open("table", "additions");
        html.row(
            "th",
            &[
                if tick { "done" } else { "step" },
                "how much",
                "what",
                if tick {
                    "where, when and how"
                } else {
                    "where and when"
                },
                "why",
            ],
        );
        for addition in &self.additions {
            let first = if tick {
                "☐".to_owned()
            } else {
                addition.step.to_string()
            };
            let mut place = format!("{}: {}", addition.vessel_label, addition.when);
            if tick {
                place = format!("{place}. {}", addition.how);
            }
            html.row(
                "td",
                &[
                    &first,
                    &addition.display,
                    &addition.name,
                    &place,
                    &addition.why,
                ],
            );
        }
        html.close("table");
    }

    fn targets_table(&self, html: &mut Html) {
        html.open("table", "targets");
        html.row("th", &["", "water → plan", "state"]);
        for line in &self.targets {
            let state = match line.state {
                State::Met => "met",
                State::Free => "free",
                State::Below => "BELOW its range",
                State::Above => "ABOVE its range",
            };
            html.row("td", &[&line.label, &line.display, state]);
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
