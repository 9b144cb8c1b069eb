//! Rust source for the rows.

use std::fmt::Write as _;

/// A literal that reads back to the same bits: Rust prints the shortest digits that do.
pub fn number(value: f64) -> String {
    format!("{value:?}")
}

/// `Some(..)` or `None`.
pub fn optional_number(value: Option<f64>) -> String {
    format!("{value:?}")
}

/// An array of numbers, `Some([..])` or `None`.
pub fn optional_numbers<const N: usize>(values: Option<[f64; N]>) -> String {
    format!("{values:?}")
}

/// A string literal.
pub fn text(value: &str) -> String {
    format!("{value:?}")
}

/// A slice of string literals.
pub fn texts(values: &[&str]) -> String {
    format!("&{values:?}")
}

/// A slice of pairs of a string and a number.
pub fn amounts(values: &[(&str, f64)]) -> String {
    format!("&{values:?}")
}

/// One struct literal.
pub fn literal(kind: &str, fields: &[(&str, String)]) -> String {
    let mut code = format!("{kind} {{ ");
    for (name, value) in fields {
        // Writing to a `String` cannot fail.
        let _ = write!(code, "{name}: {value}, ");
    }
    code.push('}');
    code
}

/// One table.
pub fn table(name: &str, kind: &str, doc: &str, rows: &[String]) -> String {
    let mut code =
        format!("/// {doc}\n#[allow(clippy::unreadable_literal, clippy::approx_constant)]\n");
    let _ = writeln!(code, "pub static {name}: &[{kind}] = &[");
    for row in rows {
        let _ = writeln!(code, "    {row},");
    }
    code.push_str("];\n\n");
    code
}
