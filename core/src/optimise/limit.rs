//! What is limited, and from where to where.

use schemars::JsonSchema;
use serde::Serialize;

/// From where to where a value may lie, ends included; an infinite end is absent.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Span {
    /// Low end, or −∞.
    pub low: f64,
    /// High end, or +∞.
    pub high: f64,
}

impl Span {
    /// No end at all.
    pub const FREE: Span = Span {
        low: f64::NEG_INFINITY,
        high: f64::INFINITY,
    };

    /// From `low` up.
    pub const fn at_least(low: f64) -> Span {
        Span {
            low,
            high: f64::INFINITY,
        }
    }

    /// Up to `high`.
    pub const fn at_most(high: f64) -> Span {
        Span {
            low: f64::NEG_INFINITY,
            high,
        }
    }

    /// From `low` to `high`.
    pub const fn between(low: f64, high: f64) -> Span {
        Span { low, high }
    }

    /// This value and no other: an equality.
    pub const fn exactly(value: f64) -> Span {
        Span {
            low: value,
            high: value,
        }
    }

    /// Whether the two ends meet.
    pub fn is_exact(self) -> bool {
        self.low == self.high
    }

    /// The end on one side.
    pub fn end(self, side: Side) -> f64 {
        match side {
            Side::Low => self.low,
            Side::High => self.high,
        }
    }
}

/// One end of a span.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Side {
    /// The value may not fall below.
    Low,
    /// The value may not rise above.
    High,
}

impl Side {
    /// The other end.
    pub(super) fn opposite(self) -> Self {
        match self {
            Side::Low => Side::High,
            Side::High => Side::Low,
        }
    }

    /// +1 for a low end, which pushes up; −1 for a high end.
    pub(super) fn sign(self) -> f64 {
        match self {
            Side::Low => 1.0,
            Side::High => -1.0,
        }
    }
}

/// What is limited: a variable or a row, by index in the order given.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Limit {
    /// The span of one variable.
    Bound(usize),
    /// The span of one row.
    Row(usize),
}
