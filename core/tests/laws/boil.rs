//! What a boil does to the pH of wort.

use approx::{assert_abs_diff_eq, assert_relative_eq};
use proptest::prelude::*;
use underlet::mash::Wort;

use super::strategies::cases;

/// Wort of 12 °P with a pH and its standard deviation.
fn wort(ph: f64, sd: f64) -> Wort {
    Wort::of_extract(1.0, 1.0, 125.0, [ph, sd])
}

fn boiled(ph: f64, hours: f64) -> f64 {
    wort(ph, 0.0).after_boil(hours)[0]
}

proptest! {
    #![proptest_config(cases(500))]

    #[test]
    fn a_boil_never_raises_the_ph_and_a_longer_one_lowers_it_more(
        ph in 3.0..9.0_f64,
        hours in 0.0..4.0_f64,
        more in 0.01..4.0_f64,
    ) {
        assert_abs_diff_eq!(boiled(ph, 0.0), ph, epsilon = 1e-12);
        prop_assert!(boiled(ph, hours) <= ph);
        prop_assert!(boiled(ph, hours + more) < boiled(ph, hours));
    }

    #[test]
    fn a_higher_ph_falls_more_and_stays_the_higher(
        ph in 3.0..9.0_f64,
        by in 0.01..2.0_f64,
        hours in 0.1..4.0_f64,
    ) {
        let (low, high) = (boiled(ph, hours), boiled(ph + by, hours));
        prop_assert!(high > low);
        prop_assert!(ph + by - high > ph - low);
    }

    #[test]
    fn a_boil_cut_in_two_is_the_same_boil(
        ph in 4.0..7.0_f64,
        hours in 0.0..4.0_f64,
        share in 0.0..1.0_f64,
    ) {
        let first = boiled(ph, share * hours);
        assert_abs_diff_eq!(
            boiled(first, (1.0 - share) * hours),
            boiled(ph, hours),
            epsilon = 1e-9
        );
    }

    #[test]
    fn the_error_bar_carries_the_worts_own_by_the_slope(
        ph in 4.0..7.0_f64,
        hours in 0.0..4.0_f64,
        sd in 0.01..0.3_f64,
    ) {
        let step = 1e-4;
        let slope = (boiled(ph + step, hours) - boiled(ph - step, hours)) / (2.0 * step);
        let [_, of_boil] = wort(ph, 0.0).after_boil(hours);
        let [_, all] = wort(ph, sd).after_boil(hours);
        assert_relative_eq!(all, of_boil.hypot(slope * sd), max_relative = 1e-5);
    }
}
