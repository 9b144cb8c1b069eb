//! Plans and equilibria as plain text and as HTML.

mod html;
mod order_of_work;
mod sheet;
mod speciation;
mod text;

pub(crate) use sheet::{notebook, sheet};
pub(crate) use speciation::speciation;
pub(crate) use text::text;
