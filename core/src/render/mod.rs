//! Documents as plain text and as HTML.

pub(crate) mod html;
mod sheet;
mod text;

pub(crate) use sheet::{notebook, sheet};
pub(crate) use text::text;
