//! Rows of a CSV file that know where they stand.

/// Reads a file of `data/` by its name.
pub type ReadFile<'a> = &'a dyn Fn(&str) -> Result<String, String>;

/// One line of a table.
pub struct Row {
    place: String,
    columns: Vec<String>,
    fields: Vec<String>,
}

/// Reads all rows of a file; its first line must name exactly these columns.
pub fn read(file: &str, columns: &[&str], read_file: ReadFile) -> Result<Vec<Row>, String> {
    let text = read_file(file)?;
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let names: Vec<String> = reader
        .headers()
        .map_err(|error| format!("data/{file}: {error}"))?
        .iter()
        .map(str::to_owned)
        .collect();
    if names != columns {
        return Err(format!(
            "data/{file} line 1: expected the columns {}",
            columns.join(",")
        ));
    }
    let mut rows = Vec::new();
    for record in reader.records() {
        let record = record.map_err(|error| format!("data/{file}: {error}"))?;
        let line = record.position().map_or(0, csv::Position::line);
        let fields = record.iter().map(|field| field.trim().to_owned()).collect();
        rows.push(Row {
            place: format!("data/{file} line {line}"),
            columns: names.clone(),
            fields,
        });
    }
    Ok(rows)
}

impl Row {
    /// The same complaint everywhere: file, line, reason.
    pub fn problem(&self, reason: impl std::fmt::Display) -> String {
        format!("{}: {reason}", self.place)
    }

    /// A field that may be empty.
    pub fn optional(&self, column: &str) -> Result<Option<&str>, String> {
        let at = self.columns.iter().position(|name| name == column);
        let field = at.and_then(|index| self.fields.get(index));
        let field = field.ok_or_else(|| self.problem(format!("no column `{column}`")))?;
        Ok(Some(field.as_str()).filter(|text| !text.is_empty()))
    }

    /// A field that must be filled.
    pub fn text(&self, column: &str) -> Result<&str, String> {
        self.optional(column)?
            .ok_or_else(|| self.problem(format!("`{column}` is empty")))
    }

    /// A finite number, or `None` where the field is empty.
    pub fn optional_number(&self, column: &str) -> Result<Option<f64>, String> {
        self.optional(column)?
            .map(|text| self.parse_number(column, text))
            .transpose()
    }

    /// A finite number.
    pub fn number(&self, column: &str) -> Result<f64, String> {
        self.parse_number(column, self.text(column)?)
    }

    /// A finite number between two ends.
    pub fn number_within(&self, column: &str, low: f64, high: f64) -> Result<f64, String> {
        let number = self.number(column)?;
        if (low..=high).contains(&number) {
            Ok(number)
        } else {
            Err(self.problem(format!("`{column}` is {number}, expected {low} to {high}")))
        }
    }

    /// A whole number.
    pub fn integer(&self, column: &str) -> Result<i32, String> {
        let text = self.text(column)?;
        text.parse()
            .map_err(|_| self.problem(format!("`{column}` is `{text}`, expected a whole number")))
    }

    /// One of a few words.
    pub fn one_of(&self, column: &str, words: &[&str]) -> Result<&str, String> {
        let text = self.text(column)?;
        if words.contains(&text) {
            Ok(text)
        } else {
            Err(self.problem(format!(
                "`{column}` is `{text}`, expected one of: {}",
                words.join(", ")
            )))
        }
    }

    /// Names separated by `|`.
    pub fn names(&self, column: &str) -> Result<Vec<&str>, String> {
        Ok(self
            .optional(column)?
            .map_or_else(Vec::new, |text| text.split('|').map(str::trim).collect()))
    }

    /// Pairs such as `calcium:1 chloride:2`; none where the field is empty.
    pub fn amounts(&self, column: &str) -> Result<Vec<(&str, f64)>, String> {
        let pair = |text: &'_ str| {
            let (key, number) = text.split_once(':')?;
            Some((key.len(), number.parse::<f64>().ok()?))
        };
        let mut amounts = Vec::new();
        for text in self
            .optional(column)?
            .unwrap_or_default()
            .split_whitespace()
        {
            let (length, amount) = pair(text)
                .filter(|(_, amount)| *amount > 0.0 && amount.is_finite())
                .ok_or_else(|| {
                    self.problem(format!(
                        "`{column}` has `{text}`, expected such as `calcium:1`"
                    ))
                })?;
            amounts.push((&text[..length], amount));
        }
        Ok(amounts)
    }

    fn parse_number(&self, column: &str, text: &str) -> Result<f64, String> {
        let number = text.parse::<f64>().ok().filter(|number| number.is_finite());
        number.ok_or_else(|| self.problem(format!("`{column}` is `{text}`, expected a number")))
    }
}
