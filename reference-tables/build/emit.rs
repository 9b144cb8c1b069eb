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

/// A macro that hands the components to another macro, each as a documented name such as `Calcium`:
/// an enum declared by it has the order of the table.
pub fn component_names(components: &[(String, String, i32)]) -> String {
    let mut code = "/// Calls a macro with the names of the components, in the order of \
                    [`COMPONENTS`].\n#[macro_export]\nmacro_rules! with_components {\n    \
                    ($callback:ident) => {\n        $callback! {\n"
        .to_owned();
    for (key, formula, charge) in components {
        let mut letters = key.chars();
        let first = letters.next().map(|letter| letter.to_ascii_uppercase());
        let name: String = first.into_iter().chain(letters).collect();
        let about = match charge {
            0 => format!("{formula} and its anions, counted as the uncharged acid."),
            charge => format!("{formula}, charge {charge:+}."),
        };
        let _ = writeln!(code, "            #[doc = {about:?}]\n            {name},");
    }
    code.push_str("        }\n    };\n}\n\n");
    code
}

/// A module with one constant per row, so that code names a row and the compiler checks the name.
pub fn named(module: &str, kind: &str, rows: &[(String, String)]) -> String {
    let mut code = format!(
        "/// The rows of the table of the same name, one constant \
         each.\n#[allow(clippy::unreadable_literal, clippy::approx_constant)]\npub mod {module} \
         {{\n    use super::{kind};\n"
    );
    for (name, literal) in rows {
        let constant = constant_name(name);
        let _ = writeln!(
            code,
            "    /// `{name}`\n    pub const {constant}: {kind} = {literal};"
        );
    }
    code.push_str("}\n\n");
    code
}

/// `HCO3-` becomes `HCO3_MINUS`, `Ca+2` becomes `CA_PLUS_2`, `gas_constant` becomes `GAS_CONSTANT`.
fn constant_name(key: &str) -> String {
    let spelt = key.replace('+', "_PLUS_").replace('-', "_MINUS_");
    spelt.trim_matches('_').to_uppercase()
}
