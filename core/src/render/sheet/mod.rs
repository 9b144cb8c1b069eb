//! The plan as HTML: a fragment for notebooks, and the printable sheet for the brewhouse wall. Both
//! are templates that are compiled in, so that a mistake in one of them is a compile error.
//!
//! The sheet is black on white, with big weights, nothing that a wet thumb could not read; a usual
//! day fits one page of A4 or Letter. It has a row for each place and time of reading, and room
//! there to write in what was read: once for each brew.

#[cfg(test)]
mod tests;

use askama::Template;

use super::html::page;
use super::order_of_work;
use crate::plan::Plan;
use crate::words;

#[derive(Template)]
#[template(path = "render/sheet/sheet.html")]
struct Sheet<'a> {
    plan: &'a Plan,
}

#[derive(Template)]
#[template(path = "render/sheet/notebook.html")]
struct Notebook<'a> {
    plan: &'a Plan,
}

/// The plan as an HTML fragment without style.
pub(crate) fn notebook(plan: &Plan) -> String {
    page(&Notebook { plan })
}

/// The printable sheet: a whole HTML page.
pub(crate) fn sheet(plan: &Plan) -> String {
    page(&Sheet { plan })
}
