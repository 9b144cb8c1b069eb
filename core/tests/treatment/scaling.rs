//! The Langelier index.

use approx::assert_abs_diff_eq;
use underlet::treatment::{langelier_index, langelier_saturation_ph, solids_ionic_strength};

#[test]
fn saturation_ph_of_a_printed_example() {
    // Standard Methods 2330 B, formula from memory, constants of Plummer & Busenberg 1982: Ca 60
    // mg/L, alkalinity 150 mg/L as CaCO3, dissolved solids 300 mg/L, pH 7.6; worked by hand at
    // three temperatures, tolerance 0.002.
    let (calcium, alkalinity) = (60.0 / 40_078.0, 150.0 / 50_043.0);
    let strength = solids_ionic_strength(300.0);
    for (celsius, ph, index) in [
        (25.0, 7.395, 0.205),
        (10.0, 7.618, -0.018),
        (60.0, 6.945, 0.655),
    ] {
        let saturation =
            langelier_saturation_ph(calcium, alkalinity, strength, celsius).expect("saturates");
        assert_abs_diff_eq!(saturation, ph, epsilon = 0.002);
        assert_abs_diff_eq!(langelier_index(7.6, saturation), index, epsilon = 0.002);
    }
}

#[test]
fn water_without_calcium_or_alkalinity_has_no_saturation_ph() {
    for (calcium, alkalinity, strength, celsius) in [
        (0.0, 0.003, 0.01, 25.0),
        (0.001, -0.001, 0.01, 25.0),
        (0.001, 0.003, f64::NAN, 25.0),
        (0.001, 0.003, 0.01, 101.0),
    ] {
        assert_eq!(
            langelier_saturation_ph(calcium, alkalinity, strength, celsius),
            None
        );
    }
}
