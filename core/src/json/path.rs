//! Where in a document: built while descending, written only when a problem is reported.

use std::fmt;

/// A field, linked to the object it lies in.
#[derive(Clone, Copy, Debug)]
pub(super) struct Path<'a> {
    parent: Option<&'a Path<'a>>,
    key: &'a str,
    index: Option<usize>,
}

const LONGEST_KEY: usize = 40;

impl<'a> Path<'a> {
    /// The whole document.
    pub const ROOT: Path<'static> = Path {
        parent: None,
        key: "",
        index: None,
    };

    /// A field of an object.
    pub fn field(parent: &'a Path<'a>, key: &'a str) -> Self {
        Path {
            parent: Some(parent),
            key,
            index: None,
        }
    }

    /// An item of a list.
    pub fn item(parent: &'a Path<'a>, key: &'a str, index: usize) -> Self {
        Path {
            parent: Some(parent),
            key,
            index: Some(index),
        }
    }
}

impl fmt::Display for Path<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(parent) = self.parent {
            parent.fmt(f)?;
            if parent.parent.is_some() && !self.key.is_empty() {
                f.write_str(".")?;
            }
        }
        for c in self.key.chars().take(LONGEST_KEY) {
            fmt::Write::write_char(f, if c.is_control() { ' ' } else { c })?;
        }
        self.index.map_or(Ok(()), |index| write!(f, "[{index}]"))
    }
}
