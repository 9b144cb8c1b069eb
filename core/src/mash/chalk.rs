//! Chalk in a mash.

use underlet_tables::parameters;

use crate::math;

/// Chalk stirred into a mash that counts, of an amount, both in mg per L of liquor: all of it
/// (times its effective share, in the table of reagents) up to about 300 mg/L, then less and less
/// of what is added; beyond 450 mg/L more does nothing (Troester 2009).
pub fn chalk_that_counts(mg_per_l: f64) -> f64 {
    let sure = parameters::CHALK_COUNTS_UP_TO.value;
    let room = parameters::CHALK_LEVELS_OFF_AT.value - sure;
    let more = math::at_least(mg_per_l - sure, 0.0);
    // The slope falls in a straight line from one to nothing.
    let counted = more.min(room);
    mg_per_l.min(sure) + counted * (1.0 - counted / (2.0 * room))
}
