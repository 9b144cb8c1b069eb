//! As much of a template engine as the sheet needs: a text with marks, and a document that fills them.
//!
//! | mark | what it becomes |
//! |---|---|
//! | `{{why}}`, `{{mash.display}}` | the text or number there, escaped; a number with a fraction to two decimals, as a pH meter shows it |
//! | `{{word state}}` | what people call the key that stands there, by the list `words.state` of the document |
//! | `{{each blend}}` … `{{else}}` … `{{end}}` | the part before `else` for each item, the part behind it where there is none |
//! | `{{each vessels where vessel is vessel}}` | the same for the items that have there what stands here under the second name |
//! | `{{each additions by vessel when}}` | the same for each run of items alike in these keys: names are those of its first item, and `{{each these}}` goes through the run |
//! | `{{if why}}` … `{{else}}` … `{{end}}` | the first part where there is something, the second where there is an empty text, an empty list or null |
//!
//! A text is that of the innermost item and never of one further out: the name that an addition lacks is not that of the brew.
//! A list may lie further out.

use serde_json::Value;

use crate::error::{Code, Problem};
use crate::quantity::quoted;

/// The mend of every problem: nobody writes a plan by hand.
const MEND: &str = "Give a plan document as the engine wrote it.";
/// Largest amount that is summed up: far beyond every brewhouse, and no sum of them is infinite.
const LARGEST: f64 = 1e12;

/// Fills a template from a document.
///
/// # Errors
/// The first mark for which the document has nothing, or nothing that can be written.
pub fn filled(template: &str, document: &Value) -> Result<String, Problem> {
    let mut page = String::with_capacity(2 * template.len());
    let parts = parts(&mut { template }).0;
    Scope::of(document).fill(&parts, &mut page)?;
    Ok(page)
}

enum Part<'t> {
    Plain(&'t str),
    Mark(&'t str),
    Block {
        words: Vec<&'t str>,
        then: Vec<Part<'t>>,
        otherwise: Vec<Part<'t>>,
    },
}

/// The parts up to the mark that closes them, and that mark; it takes from the template what it has read.
fn parts<'t>(template: &mut &'t str) -> (Vec<Part<'t>>, &'t str) {
    let mut read = Vec::new();
    while let Some((plain, (mark, rest))) = template
        .split_once("{{")
        .and_then(|(plain, rest)| Some((plain, rest.split_once("}}")?)))
    {
        *template = rest;
        read.push(Part::Plain(plain));
        let words: Vec<&str> = mark.split(' ').collect();
        match words.first() {
            Some(&("else" | "end")) => return (read, mark),
            Some(&("each" | "if")) => {
                let (then, closed_by) = parts(template);
                let otherwise = match closed_by {
                    "else" => parts(template).0,
                    _ => Vec::new(),
                };
                read.push(Part::Block {
                    words,
                    then,
                    otherwise,
                });
            }
            _ => read.push(Part::Mark(mark)),
        }
    }
    read.push(Part::Plain(std::mem::take(template)));
    (read, "")
}

/// An object of the document that names are looked for in, with its path for messages.
pub struct Scope<'a> {
    value: &'a Value,
    path: String,
    /// The run it is the first of.
    these: &'a [Scope<'a>],
    outer: Option<&'a Scope<'a>>,
}

impl<'a> Scope<'a> {
    /// The whole document.
    pub fn of(document: &'a Value) -> Self {
        Scope {
            value: document,
            path: String::new(),
            these: &[],
            outer: None,
        }
    }

    fn fill(&self, parts: &[Part<'_>], page: &mut String) -> Result<(), Problem> {
        for part in parts {
            match part {
                Part::Plain(plain) => page.push_str(plain),
                Part::Mark(mark) => match mark.strip_prefix("word ") {
                    Some(key) => escape(self.word(key)?, page),
                    None => escape(&self.text(mark)?, page),
                },
                Part::Block {
                    words,
                    then,
                    otherwise,
                } => match words.as_slice() {
                    ["each", list, how @ ..] => {
                        let mut none = true;
                        self.each(list, how, &mut |item| {
                            none = false;
                            item.fill(then, page)
                        })?;
                        if none {
                            self.fill(otherwise, page)?;
                        }
                    }
                    [_, key] if !is_empty(self.at(key)?) => self.fill(then, page)?,
                    _ => self.fill(otherwise, page)?,
                },
            }
        }
        Ok(())
    }

    /// Does something with each item of a list, with those that `how` picks, or with each run that it tells apart.
    fn each(
        &self,
        list: &str,
        how: &[&str],
        work: &mut dyn FnMut(&Scope<'_>) -> Result<(), Problem>,
    ) -> Result<(), Problem> {
        let items = self.items(list)?;
        match how {
            ["by", keys @ ..] => {
                let alike = |one: &Scope<'_>, next: &Scope<'_>| {
                    let same = |key: &&str| one.value.get(*key) == next.value.get(*key);
                    keys.iter().all(same)
                };
                for run in items.chunk_by(alike) {
                    let Some(first) = run.first() else { continue };
                    work(&Scope {
                        path: first.path.clone(),
                        these: run,
                        ..*first
                    })?;
                }
            }
            ["where", key, "is", here] => {
                let wanted = self.at(here)?;
                for item in &items {
                    if item.at(key)? == wanted {
                        work(item)?;
                    }
                }
            }
            _ => items.iter().try_for_each(work)?,
        }
        Ok(())
    }

    /// The items of a list that lies here or further out.
    ///
    /// # Errors
    /// There is no such list.
    pub fn items(&self, list: &str) -> Result<Vec<Scope<'_>>, Problem> {
        let mut scope = self;
        loop {
            let item = |value, path, these| Scope {
                value,
                path,
                these,
                outer: Some(self),
            };
            if list == "these" && !scope.these.is_empty() {
                let again = |one: &Scope<'a>| item(one.value, one.path.clone(), &[]);
                return Ok(scope.these.iter().map(again).collect());
            }
            match (scope.value.get(list), scope.outer) {
                (Some(Value::Array(items)), _) => {
                    let path = scope.path_of(list);
                    let items = items.iter().enumerate();
                    return Ok(items
                        .map(|(index, value)| item(value, format!("{path}[{index}]"), &[]))
                        .collect());
                }
                (None, Some(outer)) => scope = outer,
                (found, _) => return Err(scope.problem(list, found, "a list")),
            }
        }
    }

    fn at(&self, path: &str) -> Result<&'a Value, Problem> {
        let mut keys = path.split('.');
        keys.try_fold(self.value, |value, key| value.get(key))
            .ok_or_else(|| self.problem(path, None, "a value"))
    }

    /// The text or the number at a path.
    ///
    /// # Errors
    /// There is neither.
    pub fn text(&self, path: &str) -> Result<String, Problem> {
        match self.at(path)? {
            Value::String(text) => Ok(text.clone()),
            Value::Number(whole) if !whole.is_f64() => Ok(whole.to_string()),
            Value::Number(number) => Ok(format!("{:.2}", number.as_f64().unwrap_or_default())),
            other => Err(self.problem(path, Some(other), "text")),
        }
    }

    /// The amount at a path.
    ///
    /// # Errors
    /// There is no number, or none that can be the amount of anything in a brewhouse.
    pub fn amount(&self, path: &str) -> Result<f64, Problem> {
        let value = self.at(path)?;
        let amount = value.as_f64().filter(|all| (0.0..=LARGEST).contains(all));
        amount.ok_or_else(|| self.problem(path, Some(value), "an amount"))
    }

    /// What people call the key that stands at a path.
    ///
    /// # Errors
    /// There is no key, or one that the document's words do not know.
    pub fn word(&self, path: &str) -> Result<&str, Problem> {
        let key = self.text(path)?;
        let mut root = self;
        while let Some(outer) = root.outer {
            root = outer;
        }
        let words = root.at(&format!("words.{path}"))?;
        words.get(&key).and_then(Value::as_str).ok_or_else(|| {
            let known = words
                .as_object()
                .into_iter()
                .flatten()
                .map(|(key, _)| key.as_str());
            Problem {
                code: Code::UnknownName,
                path: self.path_of(path),
                read: quoted(&key),
                expected: format!("one of: {}", known.collect::<Vec<_>>().join(", ")),
                mend: MEND.to_owned(),
            }
        })
    }

    fn path_of(&self, key: &str) -> String {
        let point = if self.path.is_empty() { "" } else { "." };
        format!("{}{point}{key}", self.path)
    }

    fn problem(&self, key: &str, found: Option<&Value>, expected: &str) -> Problem {
        let (code, read) = match found {
            None | Some(Value::Null) => (Code::MissingKey, "nothing".to_owned()),
            Some(Value::Array(_)) => (Code::WrongType, "a list".to_owned()),
            Some(Value::Object(_)) => (Code::WrongType, "an object".to_owned()),
            Some(Value::String(text)) => (Code::WrongType, quoted(text)),
            Some(Value::Number(number)) if expected == "an amount" => {
                (Code::OutOfRange, number.to_string())
            }
            Some(other) => (Code::WrongType, other.to_string()),
        };
        Problem {
            code,
            path: self.path_of(key),
            read,
            expected: expected.to_owned(),
            mend: MEND.to_owned(),
        }
    }
}

fn is_empty(value: &Value) -> bool {
    match value {
        Value::Null | Value::Bool(false) => true,
        Value::String(text) => text.is_empty(),
        Value::Array(items) => items.is_empty(),
        _ => false,
    }
}

fn escape(words: &str, page: &mut String) {
    for letter in words.chars() {
        match letter {
            '&' => page.push_str("&amp;"),
            '<' => page.push_str("&lt;"),
            '>' => page.push_str("&gt;"),
            '"' => page.push_str("&quot;"),
            '\'' => page.push_str("&#39;"),
            other => page.push(other),
        }
    }
}
