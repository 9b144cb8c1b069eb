//! What holds for every text and every number.

use super::tests::{CALCIUM, NITRATE, PHOSPHATE};
use super::*;
use proptest::prelude::*;

/// Texts near to what people write, and far from it.
fn text() -> impl Strategy<Value = String> {
    prop_oneof![
        any::<String>(),
        "[-−+]?[0-9 ,.eE]{0,9} ?(mg|g|L|hL|°|%|as|CaCO3|/| |-|to|bbl|C|F|µ|pH){0,5}",
        "[<>≤]?[0-9.,]{0,6}[-–]?[0-9.,]{0,6} ?(mg/L|°C|as N)?",
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]

    #[test]
    fn any_answer_lies_within_the_limits(text in text(), which in 0..LIST.len()) {
        let quantity = LIST[which];
        for of in [&Substance::NONE, &NITRATE, &PHOSPHATE] {
            if let Ok(value) = quantity.read_of(text.as_str(), of) {
                prop_assert!(value.is_finite() && quantity.admits(value, of));
            }
            if let Ok(range) = quantity.read_range(&text, of) {
                for end in [range.low, range.high].into_iter().flatten() {
                    prop_assert!(quantity.admits(end, of));
                }
            }
        }
        let _ = read_strength(text.as_str());
        let _ = quantity.read_amount(text.as_str(), BareAmount::Grams);
    }

    #[test]
    fn any_bare_number_is_read_within_the_limits_or_refused(number in any::<f64>(), which in 0..LIST.len()) {
        match LIST[which].read_of(number, &CALCIUM) {
            Ok(value) => prop_assert!(LIST[which].admits(value, &CALCIUM)),
            Err(problem) => prop_assert!(matches!(problem.code, ErrorCode::NotFinite | ErrorCode::OutOfRange)),
        }
    }

    #[test]
    fn what_is_written_reads_back_within_its_digits(share in 0.0..1.0f64, which in 0..LIST.len()) {
        let quantity = LIST[which];
        let number = quantity.low + share * share * share * (quantity.high - quantity.low);
        prop_assume!(number.abs() > 1e-3 && quantity.dimension != Dimension::Amount);
        let value = quantity.read_of(number, &CALCIUM).unwrap();
        let written = quantity.write_of(value, &CALCIUM);
        prop_assert!(!written.starts_with("-0 "));
        // Half of the last digit: 3 significant digits, 2 decimals of pH, 1 decimal of temperature
        // and extract; a value that is rounded up over the limit is refused.
        let half_digit = match quantity.dimension {
            Dimension::Ph => 0.0051,
            Dimension::Temperature | Dimension::TemperatureDifference | Dimension::Extract => 0.051,
            _ => 0.0051 * value.abs(),
        };
        match quantity.read_of(written.as_str(), &CALCIUM) {
            Ok(back) => prop_assert!((back - value).abs() <= half_digit, "{value} {written} {back}"),
            Err(problem) => prop_assert!(problem.code == ErrorCode::OutOfRange && !(0.1..=0.99).contains(&share), "{problem}"),
        }
    }

    #[test]
    fn amounts_read_back(grams in 0.001..1e5f64) {
        let Amount::Grams(back) = STOCK.read_amount(Amount::Grams(grams).to_string().as_str(), BareAmount::Millilitres).unwrap()
        else { return Err(TestCaseError::fail("not grams")) };
        prop_assert!((back - grams).abs() <= 5.1e-4 * grams);
    }
}
