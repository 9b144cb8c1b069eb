//! Chemical formulas: what `CaSO4.2H2O` is made of.

use std::collections::BTreeMap;

/// Number of atoms of each element.
pub type Atoms = BTreeMap<String, f64>;

/// Reads a formula such as `CaCl2`, `Ca(OH)2` or `MgSO4.7H2O`.
pub fn parse(formula: &str) -> Result<Atoms, String> {
    let mut atoms = Atoms::new();
    for part in formula.split('.') {
        let digits = part.len() - part.trim_start_matches(|c: char| c.is_ascii_digit()).len();
        let multiple = count(&part[..digits])?;
        let mut reader = Reader {
            rest: &part[digits..],
        };
        let group = reader
            .group()
            .map_err(|reason| format!("formula `{formula}`: {reason}"))?;
        if !reader.rest.is_empty() || group.is_empty() {
            return Err(format!(
                "formula `{formula}` cannot be read at `{}`",
                reader.rest
            ));
        }
        add(&mut atoms, &group, multiple);
    }
    Ok(atoms)
}

/// Formula without its water of crystallisation: `CaSO4` of `CaSO4.2H2O`.
pub fn anhydrous(formula: &str) -> &str {
    formula.split('.').next().unwrap_or(formula)
}

/// Adds `multiple` times `other` to `atoms`.
pub fn add(atoms: &mut Atoms, other: &Atoms, multiple: f64) {
    for (symbol, number) in other {
        *atoms.entry(symbol.clone()).or_default() += multiple * number;
    }
}

/// Molar mass, g/mol. Weights have at most four decimals, so that rounding to the sixth only
/// removes the noise of binary addition.
pub fn molar_mass(atoms: &Atoms, weights: &BTreeMap<String, f64>) -> Result<f64, String> {
    let mut sum = 0.0;
    for (symbol, number) in atoms {
        let weight = weights
            .get(symbol)
            .ok_or_else(|| format!("element `{symbol}` is not in elements.csv"))?;
        sum += weight * number;
    }
    Ok((sum * 1e6).round() / 1e6)
}

fn count(digits: &str) -> Result<f64, String> {
    if digits.is_empty() {
        return Ok(1.0);
    }
    digits
        .parse()
        .map_err(|_| format!("`{digits}` is not a number of atoms"))
}

struct Reader<'a> {
    rest: &'a str,
}

impl Reader<'_> {
    /// Reads up to a closing bracket or the end.
    fn group(&mut self) -> Result<Atoms, String> {
        let mut atoms = Atoms::new();
        while let Some(first) = self.rest.chars().next().filter(|&c| c != ')') {
            let inner = if first == '(' {
                self.rest = &self.rest[1..];
                let inner = self.group()?;
                self.rest = self
                    .rest
                    .strip_prefix(')')
                    .ok_or("a bracket is not closed")?;
                inner
            } else {
                Atoms::from([(self.symbol()?, 1.0)])
            };
            let multiple = self.number()?;
            add(&mut atoms, &inner, multiple);
        }
        Ok(atoms)
    }

    fn symbol(&mut self) -> Result<String, String> {
        if !self.rest.starts_with(|c: char| c.is_ascii_uppercase()) {
            return Err(format!("expected an element at `{}`", self.rest));
        }
        let small = self.rest[1..]
            .chars()
            .take_while(char::is_ascii_lowercase)
            .count();
        let (symbol, rest) = self.rest.split_at(1 + small);
        self.rest = rest;
        Ok(symbol.to_owned())
    }

    fn number(&mut self) -> Result<f64, String> {
        let digits = self.rest.chars().take_while(char::is_ascii_digit).count();
        let (digits, rest) = self.rest.split_at(digits);
        self.rest = rest;
        count(digits)
    }
}
