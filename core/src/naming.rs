//! Names from a list: what is written finds its name, or says which one it may have meant.

use crate::error::{ErrorCode, Problem};
use crate::quantity::quoted;

/// A name from a list, with the other names people write for it.
pub type Name<'n> = (&'n str, &'n [&'n str]);

/// What is expected of one name, in plain words.
pub(crate) fn one_of(names: &[Name<'_>]) -> String {
    format!("one of: {}", listed(names.iter().map(|(name, _)| *name)))
}

/// What is expected of several names, in plain words.
pub(crate) fn some_of(names: &[Name<'_>]) -> String {
    format!("a list of: {}", listed(names.iter().map(|(name, _)| *name)))
}

/// How to write one name, in one sentence.
pub(crate) fn one_of_advice(key: &str, names: &[Name<'_>]) -> String {
    format!(
        "Write \"{key}\": \"{}\", or another of them.",
        names.first().map_or("…", |(name, _)| name)
    )
}

/// How to write several names, in one sentence.
pub(crate) fn some_of_advice(key: &str, names: &[Name<'_>]) -> String {
    format!(
        "Write \"{key}\": [\"{}\"].",
        names.first().map_or("…", |(name, _)| name)
    )
}

/// The place of a written name in the list of names. Case, spaces, hyphens and underscores are
/// alike.
///
/// # Errors
/// A [`Problem`] with an empty path; `otherwise` says what is expected, and how to write it, where
/// no name of the list is like the written one.
pub(crate) fn find(
    written: &str,
    names: &[Name<'_>],
    otherwise: impl FnOnce() -> (String, String),
) -> Result<usize, Problem> {
    if let Some(place) = place_of(written, names) {
        return Ok(place);
    }
    let every = names
        .iter()
        .flat_map(|(name, aliases)| std::iter::once(name).chain(aliases.iter()))
        .copied();
    let meant = nearest(written, every).and_then(|near| names.get(place_of(near, names)?));
    // Who only slipped needs no list of all names.
    let (expected, hint) = match meant {
        Some((name, _)) => (
            format!("one of {} known names", names.len()),
            format!("Did you mean \"{name}\"?"),
        ),
        None => otherwise(),
    };
    Err(Problem {
        code: ErrorCode::UnknownName,
        path: String::new(),
        found: quoted(written),
        expected,
        hint,
    })
}

/// The key that was meant.
///
/// # Errors
/// A [`Problem`] with an empty path, the nearest key suggested.
pub(crate) fn by_key<T>(
    written: &str,
    keys: impl Iterator<Item = (&'static str, T)>,
) -> Result<T, Problem> {
    let (names, mut values): (Vec<Name<'static>>, Vec<T>) = keys
        .map(|(key, value)| ((key, [].as_slice()), value))
        .unzip();
    let place = find(written, &names, || {
        (one_of(&names), "Write one of them.".to_owned())
    })?;
    Ok(values.swap_remove(place))
}

/// Shows each value of an enum as its key, and reads it back.
macro_rules! keyed {
    ($($name:ident),+) => {$(
        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str(self.key())
            }
        }

        impl std::str::FromStr for $name {
            type Err = $crate::error::Problem;

            /// The value of a key in documents.
            fn from_str(key: &str) -> Result<$name, Self::Err> {
                $crate::naming::by_key(key, $name::ALL.into_iter().map(|of| (of.key(), of)))
            }
        }
    )+};
}
pub(crate) use keyed;

/// The place of a name in a list of names.
fn place_of(written: &str, names: &[Name<'_>]) -> Option<usize> {
    let exact = |name: &str| name == written;
    let exactly = names
        .iter()
        .position(|(name, aliases)| exact(name) || aliases.iter().any(|alias| exact(alias)));
    exactly.or_else(|| {
        let written = plain(written);
        let alike = |name: &str| plain(name) == written;
        names
            .iter()
            .position(|(name, aliases)| alike(name) || aliases.iter().any(|alias| alike(alias)))
    })
}

/// Names in a row, not too many.
pub(crate) fn listed<'n>(names: impl Iterator<Item = &'n str>) -> String {
    const MOST: usize = 60;
    let mut shown: Vec<&str> = names.take(MOST + 1).collect();
    if shown.len() > MOST {
        shown.truncate(MOST);
        shown.push("…");
    }
    shown.join(", ")
}

/// The candidate most like a written name, if any is like enough to be meant.
pub(crate) fn nearest<'n>(
    written: &str,
    candidates: impl Iterator<Item = &'n str>,
) -> Option<&'n str> {
    const LONGEST: usize = 64;
    const ALIKE: f64 = 0.8;
    if written.len() > LONGEST {
        return None;
    }
    let written = plain(written);
    let mut best = (ALIKE, None);
    for candidate in candidates {
        let likeness = strsim::jaro_winkler(&written, &plain(candidate));
        if likeness > best.0 {
            best = (likeness, Some(candidate));
        }
    }
    best.1
}

/// Lower case, with spaces for every mark between words.
fn plain(name: &str) -> String {
    name.trim().to_lowercase().replace(['_', '-'], " ")
}
