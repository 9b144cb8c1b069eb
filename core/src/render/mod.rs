//! Documents as plain text and as HTML.

pub(crate) mod html;
mod sheet;
mod text;
