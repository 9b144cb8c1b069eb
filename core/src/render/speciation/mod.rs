//! The equilibria of a water as an HTML table for a notebook.

use askama::Template;

use super::html::page;
use crate::speciation::Speciation;

#[derive(Template)]
#[template(path = "render/speciation/table.html")]
struct Table<'a> {
    water: &'a Speciation,
}

/// The table: an HTML fragment without style.
pub(crate) fn speciation(water: &Speciation) -> String {
    page(&Table { water })
}
