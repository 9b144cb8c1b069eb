//! From the equilibria of a water to a table.

use crate::render;
use crate::speciation::Speciation;

impl Speciation {
    /// A table for a notebook: an HTML fragment without style.
    pub fn to_html_fragment(&self) -> String {
        render::speciation(self)
    }
}
