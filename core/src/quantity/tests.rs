//! What people write, and what they are told when it cannot be read.

use super::*;

// Molar masses, g/mol, summed from the IUPAC 2021 atomic weights.
pub(super) const CALCIUM: Substance<'static> = Substance {
    formula: "Ca",
    molar_mass_g_per_mol: 40.078,
    charge: 2,
};
const SODIUM: Substance<'static> = Substance {
    formula: "Na",
    molar_mass_g_per_mol: 22.990,
    charge: 1,
};
const SULFATE: Substance<'static> = Substance {
    formula: "SO4",
    molar_mass_g_per_mol: 96.056,
    charge: -2,
};
pub(super) const NITRATE: Substance<'static> = Substance {
    formula: "NO3",
    molar_mass_g_per_mol: 62.004,
    charge: -1,
};
const AMMONIUM: Substance<'static> = Substance {
    formula: "NH4",
    molar_mass_g_per_mol: 18.039,
    charge: 1,
};
pub(super) const PHOSPHATE: Substance<'static> = Substance {
    formula: "PO4",
    molar_mass_g_per_mol: 94.970,
    charge: 0,
};

/// The number in the default unit that a text is read as.
fn bare(quantity: &Quantity, text: &str, of: &Substance<'_>) -> f64 {
    let canonical = quantity
        .read_of(text, of)
        .unwrap_or_else(|problem| panic!("{text}: {problem}"));
    quantity.dimension.bare_of_canonical(canonical, of).unwrap()
}

#[test]
#[rustfmt::skip]
fn spellings_are_read() {
    let none = &Substance::NONE;
    // Expected in the default unit of the quantity. Sources: SI Brochure 9 (2019) and NIST Handbook
    // 44 (2023) app. C for definitions of units; DIN 38409-6 for hardness degrees; IUPAC 2021
    // atomic weights for bases; else by hand.
    let cases: &[(&Quantity, &str, &Substance<'_>, f64)] = &[
        (&LIQUOR_VOLUME, "650", none, 650.0),
        (&LIQUOR_VOLUME, "650 L", none, 650.0),
        (&LIQUOR_VOLUME, "650l", none, 650.0),
        (&LIQUOR_VOLUME, "6.5 hL", none, 650.0),
        (&LIQUOR_VOLUME, "6,5 hl", none, 650.0),
        (&LIQUOR_VOLUME, "  6.5   hectolitres ", none, 650.0),
        (&LIQUOR_VOLUME, "0.65 m³", none, 650.0),
        (&LIQUOR_VOLUME, "0.65 m3", none, 650.0),
        (&LIQUOR_VOLUME, "0,125 m3", none, 125.0),
        (&LIQUOR_VOLUME, "250 mL", none, 0.25),
        (&LIQUOR_VOLUME, "1 250 L", none, 1250.0),
        (&LIQUOR_VOLUME, "1\u{202f}250,5 L", none, 1250.5),
        (&LIQUOR_VOLUME, "12 000 000 mL", none, 12_000.0),
        (&LIQUOR_VOLUME, "100 US gal", none, 378.541_178_4), // NIST: 3.785411784 L
        (&LIQUOR_VOLUME, "100 u.s. gallons", none, 378.541_178_4),
        (&LIQUOR_VOLUME, "100 imp gal", none, 454.609), // 4.54609 L
        (&LIQUOR_VOLUME, "100 UK gal", none, 454.609),
        (&LIQUOR_VOLUME, "7 US bbl", none, 821.434_357_128), // 31 US gal each
        (&LIQUOR_VOLUME, "1 UK bbl", none, 163.659_24), // 36 imp gal
        (&LIQUOR_VOLUME, "16 US fl oz", none, 0.473_176_473), // a US pint
        (&LIQUOR_VOLUME, "20 imp fl oz", none, 0.568_261_25), // an imperial pint
        (&LIQUOR_VOLUME, "1e3", none, 1000.0),
        (&LIQUOR_VOLUME, "1.5E2 L", none, 150.0),
        (&LIQUOR_VOLUME, "+20 L", none, 20.0),
        (&LIQUOR_VOLUME, ".5 hL", none, 50.0),
        (&LIQUOR_VOLUME, "5. hL", none, 500.0),
        (&MALT_MASS, "175 kg", none, 175.0),
        (&MALT_MASS, "500 g", none, 0.5),
        (&MALT_MASS, "1.2 t", none, 1200.0),
        (&MALT_MASS, "10 lb", none, 4.535_923_7), // 0.45359237 kg
        (&MALT_MASS, "16 oz", none, 0.453_592_37),
        (&MALT_MASS, "250000 mg", none, 0.25),
        (&TEMPERATURE, "66,5 °C", none, 66.5),
        (&TEMPERATURE, "66.5C", none, 66.5),
        (&TEMPERATURE, "66.5 º C", none, 66.5),
        (&TEMPERATURE, "212 °F", none, 100.0),
        (&TEMPERATURE, "32 F", none, 0.0),
        (&TEMPERATURE, "293.15 K", none, 20.0),
        (&TEMPERATURE_SD, "1.8 °F", none, 1.0), // a difference: no offset
        (&TEMPERATURE_SD, "0.5 K", none, 0.5),
        (&ION, "80 mg/L", &CALCIUM, 80.0),
        (&ION, "80 ppm", &CALCIUM, 80.0),
        (&ION, "80 mg l⁻¹", &CALCIUM, 80.0),
        (&ION, "80 mg·L^-1", &CALCIUM, 80.0),
        (&ION, "80 mg per litre", &CALCIUM, 80.0),
        (&ION, "80 mg/dm³", &CALCIUM, 80.0),
        (&ION, "80 mg Ca/L", &CALCIUM, 80.0),
        (&ION, "80 mg/L as Ca2+", &CALCIUM, 80.0),
        (&ION, "0.08 g/L", &CALCIUM, 80.0),
        (&ION, "300 µg/L", &CALCIUM, 0.3), // micro sign
        (&ION, "300 μg/L", &CALCIUM, 0.3), // Greek mu
        (&ION, "300 ug/l", &CALCIUM, 0.3),
        (&ION, "300 ppb", &CALCIUM, 0.3),
        (&ION, "2 mmol/L", &CALCIUM, 80.156), // 2 x 40.078
        (&ION, "4 meq/L", &CALCIUM, 80.156),
        (&ION, "4 mval/l", &CALCIUM, 80.156),
        (&ION, "200 mg/L as CaCO3", &CALCIUM, 80.087_125), // 200 x 40.078 / 100.086
        (&ION, "12 mg/L as N", &NITRATE, 53.119_726), // 12 x 62.004 / 14.007
        (&ION, "12 mg/L NO3-N", &NITRATE, 53.119_726),
        (&ION, "12 mg N/L", &NITRATE, 53.119_726),
        (&ION, "50 mg/L as NO3", &NITRATE, 50.0),
        (&ION, "50 mg/L NO3⁻", &NITRATE, 50.0),
        (&ION, "1 mg/L as N", &AMMONIUM, 1.287_856), // 18.039 / 14.007
        (&ION, "20 mg/L as S", &SULFATE, 59.922_645), // 20 x 96.056 / 32.06
        (&ION, "20 mg/L SO₄-S", &SULFATE, 59.922_645),
        (&ION, "20 mg/L (as SO42-)", &SULFATE, 20.0),
        (&ION, "1 mg/L as P", &PHOSPHATE, 3.066_120), // 94.970 / 30.974
        (&ION, "1 mg/L PO4", &PHOSPHATE, 1.0),
        (&ALKALINITY, "180", none, 180.0),
        (&ALKALINITY, "180 mg/L as CaCO3", none, 180.0),
        (&ALKALINITY, "180 mg/l CaCO₃", none, 180.0),
        (&ALKALINITY, "180 mg CaCO3/L", none, 180.0),
        (&ALKALINITY, "180 ppm CaCO3", none, 180.0),
        (&ALKALINITY, "180 PPM (as CaCO3)", none, 180.0),
        (&ALKALINITY, "3.2 meq/L", none, 160.137_6), // 3.2 x 50.043
        (&ALKALINITY, "3.2 mmol/L", none, 160.137_6), // protons taken up, DIN 38409-7
        (&ALKALINITY, "3.2 mmol/L HCO3-", none, 160.137_6),
        (&ALKALINITY, "244.064 mg/L as HCO3", none, 200.172), // 4 meq/L
        (&HARDNESS, "10 °dH", none, 178.479_769), // 100 mg CaO/L x 100.086 / 56.077
        (&HARDNESS, "10 dH", none, 178.479_769),
        (&HARDNESS, "100 mg/L as CaO", none, 178.479_769),
        (&HARDNESS, "18 °fH", none, 180.0),
        (&HARDNESS, "18 °f", none, 180.0),
        (&HARDNESS, "12 °e", none, 171.045_2), // 12 x 64.79891 / 4.54609
        (&HARDNESS, "12 °Clark", none, 171.045_2),
        (&HARDNESS, "10.5 gpg", none, 179.739_6), // 10.5 x 64.79891 / 3.785411784
        (&HARDNESS, "1.6 mmol/L", none, 160.137_6), // 1.6 x 100.086
        (&HARDNESS, "80.156 mg/L as Ca", none, 200.172),
        (&PH, "7,4", none, 7.4),
        (&PH, "pH 7.4", none, 7.4),
        (&PH, "7.4 pH", none, 7.4),
        (&BUFFERING, "35 meq/(kg pH)", none, 35.0),
        (&BUFFERING, "35 meq/kg·pH", none, 35.0),
        (&SHARE, "25 %", none, 0.25),
        (&RATIO, "2.5", none, 2.5),
        (&STRENGTH, "80 % w/w", none, 80.0),
        (&MOLARITY, "1 M", none, 1.0),
        (&MOLARITY, "250 mmol/L", none, 0.25),
        (&COLOUR, "8 EBC", none, 8.0),
        (&THICKNESS, "3 L/kg", none, 3.0),
        (&THICKNESS, "1.5 US qt/lb", none, 3.129_526), // 1.5 x 0.946352946 / 0.45359237
        (&CONDUCTIVITY, "0.56 mS/cm", none, 560.0),
        (&CONDUCTIVITY, "56 mS/m", none, 560.0),
        (&DISSOLVED_SOLIDS, "0.35 g/L", none, 350.0),
    ];
    assert!(cases.len() >= 60);
    for (quantity, text, of, expected) in cases {
        let read = bare(quantity, text, of);
        assert!((read - expected).abs() <= 1e-6 * expected.abs().max(1.0), "{text}: read {read}, expected {expected}");
    }
}

#[test]
fn concentrations_are_kept_per_kilogram_of_water() {
    // 40.078 mg/L of calcium is 1 mmol/L; divided by 0.9982 kg/L (Wagner & Pruss 2002, 20 °C).
    approx::assert_relative_eq!(
        ION.read_of("40.078 mg/L", &CALCIUM).unwrap(),
        1e-3 / 0.9982,
        max_relative = 1e-14
    );
    approx::assert_relative_eq!(
        ALKALINITY.read("50.043 mg/L").unwrap(),
        1e-3 / 0.9982,
        max_relative = 1e-14
    );
}

#[test]
fn hardness_degrees_agree_with_each_other() {
    // Exact from the definitions and the IUPAC 2021 weights, rounded to the digits shown.
    for (text, unit_text, expected, digits) in [
        ("200 mg/L as CaCO3", "1 °dH", 11.206, 5e-4),
        ("200 mg/L as CaCO3", "1 °fH", 20.0, 1e-9),
        ("200 mg/L as CaCO3", "1 °Clark", 14.031, 5e-4),
        ("200 mg/L as CaCO3", "1 gpg", 11.684, 5e-4),
        ("1 meq/L", "1 mg/L as CaCO3", 50.043, 1e-9),
        ("1 meq/L", "1 °dH", 2.804, 5e-4),
    ] {
        let ratio = HARDNESS.read(text).unwrap() / HARDNESS.read(unit_text).unwrap();
        assert!(
            (ratio - expected).abs() <= digits,
            "{text} is {ratio} times {unit_text}, expected {expected}"
        );
    }
    let bicarbonate =
        ALKALINITY.read("1 meq/L").unwrap() / ALKALINITY.read("1 mg/L as HCO3").unwrap();
    approx::assert_relative_eq!(bicarbonate, 61.016, epsilon = 1e-9);
}

#[test]
#[rustfmt::skip]
fn refusals_tell_the_mend() {
    use ErrorCode::{NotANumber, NotFinite, OutOfRange, WrongType, WrongUnit};
    let none = &Substance::NONE;
    // Code, and a part of what is said. By hand: what a brewer should be told.
    let cases: &[(&Quantity, &str, &Substance<'_>, ErrorCode, &str)] = &[
        (&LIQUOR_VOLUME, "", none, NotANumber, "Begin with a number, such as \"6.5 hL\""),
        (&LIQUOR_VOLUME, "   ", none, NotANumber, "Begin with a number"),
        (&LIQUOR_VOLUME, "much", none, NotANumber, "\"much\""),
        (&LIQUOR_VOLUME, "L 650", none, NotANumber, "Begin with a number"),
        (&LIQUOR_VOLUME, "-", none, NotANumber, "Begin"),
        (&LIQUOR_VOLUME, ".", none, NotANumber, "Begin"),
        (&LIQUOR_VOLUME, ", 5 L", none, NotANumber, "Begin"),
        (&LIQUOR_VOLUME, "e5", none, NotANumber, "Begin"),
        (&LIQUOR_VOLUME, "½ hL", none, NotANumber, "Begin"),
        (&LIQUOR_VOLUME, "１２ L", none, NotANumber, "Begin"), // full-width digits
        (&LIQUOR_VOLUME, "1,250", none, NotANumber, "write a decimal point"),
        (&LIQUOR_VOLUME, "1,250 L", none, NotANumber, "thousands or decimals"),
        (&LIQUOR_VOLUME, "1,250.5 L", none, NotANumber, "thousands or decimals"),
        (&LIQUOR_VOLUME, "1.250,5 L", none, NotANumber, "thousands or decimals"),
        (&LIQUOR_VOLUME, "1,250,000 mL", none, NotANumber, "thousands or decimals"),
        (&LIQUOR_VOLUME, "NaN", none, NotFinite, "finite number"),
        (&LIQUOR_VOLUME, "nan L", none, NotFinite, "leave the key out"),
        (&LIQUOR_VOLUME, "Infinity", none, NotFinite, "finite number"),
        (&LIQUOR_VOLUME, "-inf", none, NotFinite, "finite number"),
        (&LIQUOR_VOLUME, "∞ L", none, NotFinite, "finite number"),
        (&LIQUOR_VOLUME, "1e999", none, NotFinite, "finite number"),
        (&LIQUOR_VOLUME, "0 L", none, OutOfRange, "liquor volume from 0.01 to 1000000 L"),
        (&LIQUOR_VOLUME, "-5 L", none, OutOfRange, "a bare number means L"),
        (&LIQUOR_VOLUME, "1e300 hL", none, OutOfRange, "to 1000000 L"),
        (&LIQUOR_VOLUME, "1e308 m3", none, OutOfRange, "to 1000000 L"),
        (&LIQUOR_VOLUME, "1e-400", none, OutOfRange, "from 0.01"),
        (&LIQUOR_VOLUME, "10 bbl", none, WrongUnit, "Write \"US bbl\" (117.348 L) or \"UK bbl\" (163.659 L)"),
        (&LIQUOR_VOLUME, "10 barrels", none, WrongUnit, "UK bbl"),
        (&LIQUOR_VOLUME, "10 gal", none, WrongUnit, "Write \"US gal\" (3.785 L) or \"imp gal\" (4.546 L)"),
        (&LIQUOR_VOLUME, "10 fl. oz.", none, WrongUnit, "imp fl oz"),
        (&LIQUOR_VOLUME, "10 kg", none, WrongUnit, "kg is the unit of a mass; write one of: L, hL"),
        (&LIQUOR_VOLUME, "10 firkins", none, WrongUnit, "Write one of these units: L, hL, mL, m3"),
        (&LIQUOR_VOLUME, "10 L as CaCO3", none, WrongUnit, "Leave \"as …\" out"),
        (&LIQUOR_VOLUME, "10-20 L", none, WrongType, "one number here"),
        (&LIQUOR_VOLUME, "10 ± 1 L", none, WrongType, "standard deviation"),
        (&LIQUOR_VOLUME, "10 to 20 L", none, WrongType, "one number here"),
        (&LIQUOR_VOLUME, "10 L 20", none, WrongUnit, "these units"),
        (&MALT_MASS, "10 L", none, WrongUnit, "L is the unit of a volume"),
        (&MALT_MASS, "1 ton", none, WrongUnit, "tonne of 1000 kg"),
        (&MALT_MASS, "0", none, OutOfRange, "from 0.0001"),
        (&TEMPERATURE, "100.1", none, OutOfRange, "temperature from 0 to 100 °C"),
        (&TEMPERATURE, "-1 °C", none, OutOfRange, "from 0"),
        (&TEMPERATURE, "213 °F", none, OutOfRange, "\"213 °F\""),
        (&TEMPERATURE, "0 K", none, OutOfRange, "from 0 to 100"),
        (&TEMPERATURE, "66 °", none, WrongUnit, "Say which degrees"),
        (&TEMPERATURE, "66 °dH", none, WrongUnit, "a concentration in equivalents"),
        (&ION, "-1 mg/L", &CALCIUM, OutOfRange, "concentration from 0 to 20000 mg/L"),
        (&ION, "20001", &CALCIUM, OutOfRange, "20000"),
        (&ION, "21 g/L", &CALCIUM, OutOfRange, "20000"),
        (&ION, "10 mg/L as N", &CALCIUM, WrongUnit, "Behind \"as\" write one of: Ca, CaCO3"),
        (&ION, "10 mg/L as S", &NITRATE, WrongUnit, "NO3, CaCO3, N"),
        (&ION, "10 mg/L as CaCO3", &PHOSPHATE, WrongUnit, "Behind \"as\" write one of: PO4, P"),
        (&ION, "10 meq/L", &PHOSPHATE, WrongUnit, "does not fit"),
        (&ION, "10 mmol/L as CaCO3", &CALCIUM, WrongUnit, "does not fit"),
        (&ION, "10 mg/L as HCO3", &SODIUM, WrongUnit, "Na, CaCO3"),
        (&ION, "10 mg/L as", &SODIUM, WrongUnit, "these units"),
        (&ION, "10 mg", &SODIUM, WrongUnit, "a mass"),
        (&ION, "10 grains/gal", &SODIUM, WrongUnit, "gpg"),
        (&ION, "10", none, WrongUnit, "molar mass"), // no substance named: no molar mass
        (&ALKALINITY, "2001", none, OutOfRange, "alkalinity from 0 to 2000 mg/L as CaCO3"),
        (&ALKALINITY, "−20 mg/L", none, OutOfRange, "alkalinity from 0 to 2000 mg/L as CaCO3"), // Unicode minus
        (&ALKALINITY, "180 mg/L as N", none, WrongUnit, "CaCO3, HCO3, CO3, CaO"),
        (&ALKALINITY, "3.2 mmol/L as CaCO3", none, WrongUnit, "does not fit"),
        (&ALKALINITY, "180 °C", none, WrongUnit, "a temperature"),
        (&HARDNESS, "10 mg/L as HCO3", none, WrongUnit, "CaCO3, CaO, Ca"),
        (&HARDNESS, "-1 °dH", none, OutOfRange, "hardness from 0"),
        (&PH, "14.1", none, OutOfRange, "pH from 0 to 14"),
        (&PH, "7.4 mg/L", none, WrongUnit, "a mass concentration"),
        (&PH, "pH", none, NotANumber, "7.4"),
        (&MASH_PH, "54", none, OutOfRange, "mash pH from 4 to 8"),
        (&MALT_PH, "1.9", none, OutOfRange, "malt pH from 2 to 8"),
        (&STRENGTH, "80 % v/v", none, WrongUnit, "% by mass"),
        (&MOLARITY, "1 N", none, WrongUnit, "Normality"),
        (&STRENGTH, "101 %", none, OutOfRange, "up to 100 %"),
        (&SHARE, "101 %", none, OutOfRange, "share from 0 to 1"),
        (&THICKNESS, "1.5 qt/lb", none, WrongUnit, "US qt/lb"),
        (&COLOUR, "8 mg/L", none, WrongUnit, "EBC"),
        (&CONDUCTIVITY, "560 mg/L", none, WrongUnit, "µS/cm"),
    ];
    assert!(cases.len() >= 60);
    for (quantity, text, of, code, part) in cases {
        let problem = quantity.read_of(*text, of).expect_err(text);
        let told = problem.to_string();
        assert_eq!(problem.code, *code, "{told}");
        assert!(told.contains(part), "{told}\nlacks: {part}");
    }
}

#[test]
fn numbers_that_are_not_finite_are_refused() {
    for number in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
        assert_eq!(
            LIQUOR_VOLUME.read(number).unwrap_err().code,
            ErrorCode::NotFinite
        );
        assert_eq!(
            LIQUOR_VOLUME
                .read(Written::WithUnit(number, "L"))
                .unwrap_err()
                .code,
            ErrorCode::NotFinite
        );
    }
}

#[test]
fn amounts_tell_grams_from_millilitres() {
    let read = |text: &str, bare| SCALE_STEP.read_amount(text, bare).unwrap();
    assert_eq!(read("0.1", BareAmount::Grams), Amount::Grams(0.1));
    assert_eq!(
        read("0.1", BareAmount::Millilitres),
        Amount::Millilitres(0.1)
    );
    assert_eq!(read("0.1 g", BareAmount::Millilitres), Amount::Grams(0.1));
    assert_eq!(read("0.3 mL", BareAmount::Grams), Amount::Millilitres(0.3));
    assert_eq!(
        read("0.25 L", BareAmount::Grams),
        Amount::Millilitres(250.0)
    );
    assert_eq!(read("1 kg", BareAmount::Grams), Amount::Grams(1000.0));
    assert_eq!(
        SCALE_STEP
            .read_amount("0 g", BareAmount::Grams)
            .unwrap_err()
            .code,
        ErrorCode::OutOfRange
    );
    assert_eq!(
        SCALE_STEP
            .read_amount("1 °C", BareAmount::Grams)
            .unwrap_err()
            .code,
        ErrorCode::WrongUnit
    );
}

#[test]
fn strengths_are_by_mass_or_by_amount() {
    assert_eq!(read_strength("80 %").unwrap(), Strength::MassPercent(80.0));
    assert_eq!(read_strength(80.0).unwrap(), Strength::MassPercent(80.0));
    assert_eq!(
        read_strength("0.5 mol/L").unwrap(),
        Strength::MolPerLitre(0.5)
    );
    assert_eq!(
        read_strength("120 %").unwrap_err().code,
        ErrorCode::OutOfRange
    );
    assert_eq!(read_strength("1 N").unwrap_err().code, ErrorCode::WrongUnit);
}

#[test]
fn ranges_are_read() {
    let range = |low, high| Range {
        low,
        high,
        prefer: None,
    };
    for (text, expected) in [
        ("5.3 to 5.5", range(Some(5.3), Some(5.5))),
        ("5.3-5.5", range(Some(5.3), Some(5.5))),
        ("5,3 – 5,5", range(Some(5.3), Some(5.5))),
        ("pH 5.3–5.5", range(Some(5.3), Some(5.5))),
        ("5.3..5.5", range(Some(5.3), Some(5.5))),
        ("<5.5", range(None, Some(5.5))),
        ("≤ 5.5", range(None, Some(5.5))),
        ("up to 5.5", range(None, Some(5.5))),
        (">= 5.3", range(Some(5.3), None)),
        ("At least 5.3", range(Some(5.3), None)),
        ("5.4", Range::point(5.4)),
    ] {
        assert_eq!(
            MASH_PH.read_range(text, &Substance::NONE).unwrap(),
            expected,
            "{text}"
        );
    }
    for (text, low, high) in [
        ("50-100 mg/L", 50.0, 100.0),
        ("50 mg/L - 0.1 g/L", 50.0, 100.0),
        ("50 mg/L to 100 mg/L", 50.0, 100.0),
        ("50 ppm–100 ppm", 50.0, 100.0),
        ("5e1-1e2", 50.0, 100.0),
    ] {
        let read = ION.read_range(text, &CALCIUM).unwrap();
        let expected = |number: f64| ION.read_of(number, &CALCIUM).unwrap();
        approx::assert_relative_eq!(read.low.unwrap(), expected(low), max_relative = 1e-14);
        approx::assert_relative_eq!(read.high.unwrap(), expected(high), max_relative = 1e-14);
    }
    // A minus before the first number is its sign, not the word between the ends.
    let negative = ALKALINITY
        .read_range("-50 to -20 mg/L", &Substance::NONE)
        .unwrap_err();
    assert_eq!(negative.code, ErrorCode::OutOfRange);
}

#[test]
fn bad_ranges_are_refused() {
    for (text, code) in [
        ("5.5-5.3", ErrorCode::RangeReversed),
        ("5.3-", ErrorCode::NotANumber),
        ("<", ErrorCode::NotANumber),
        ("5.3 to high", ErrorCode::NotANumber),
        ("<9", ErrorCode::OutOfRange),
        ("3-5", ErrorCode::OutOfRange),
        ("5.3-5.5 kg", ErrorCode::WrongUnit),
        ("", ErrorCode::NotANumber),
        (">NaN", ErrorCode::NotFinite),
    ] {
        assert_eq!(
            MASH_PH
                .read_range(text, &Substance::NONE)
                .expect_err(text)
                .code,
            code,
            "{text}"
        );
    }
}

#[test]
fn numbers_are_written_for_people() {
    let mg = |number: f64, of| ION.write_of(ION.read_of(number, of).unwrap(), of);
    for (written, expected) in [
        (LIQUOR_VOLUME.write(650.0), "6.5 hL"),
        (LIQUOR_VOLUME.write(99.996), "1 hL"),
        (LIQUOR_VOLUME.write(20.0), "20 L"),
        (LIQUOR_VOLUME.write(0.062), "62 mL"),
        (LIQUOR_VOLUME.write(0.0), "0 L"),
        (LIQUOR_VOLUME.write(-0.0), "0 L"),
        (MALT_MASS.write(1.25), "1.25 kg"),
        (MALT_MASS.write(0.125), "125 g"),
        (Amount::Grams(125.0).to_string(), "125 g"),
        (Amount::Grams(999.96).to_string(), "1 kg"),
        (Amount::Grams(0.0).to_string(), "0 g"),
        (Amount::Millilitres(62.0).to_string(), "62 mL"),
        (Strength::MassPercent(80.0).to_string(), "80 %"),
        (mg(118.3, &CALCIUM), "118 mg/L"),
        (mg(0.0, &CALCIUM), "0 mg/L"),
        (PH.write(5.416), "5.42"),
        (TEMPERATURE.write(66.52), "66.5 °C"),
        (TEMPERATURE.write(-0.001), "0 °C"),
        (
            ALKALINITY.write(ALKALINITY.read("180").unwrap()),
            "180 mg/L as CaCO3",
        ),
        (SHARE.write(0.25), "0.25"),
        (LIQUOR_VOLUME.write(f64::NAN), "unknown"),
        (PH.write(f64::INFINITY), "unknown"),
        (
            MASH_PH.write_range(
                &Range {
                    low: Some(5.3),
                    high: Some(5.5),
                    prefer: None,
                },
                &Substance::NONE,
            ),
            "5.3 to 5.5",
        ),
        (
            MASH_PH.write_range(
                &Range {
                    low: None,
                    high: Some(5.5),
                    prefer: None,
                },
                &Substance::NONE,
            ),
            "at most 5.5",
        ),
    ] {
        assert_eq!(written, expected);
    }
}

#[test]
fn every_quantity_reads_its_own_example_and_has_a_name_of_its_own() {
    for quantity in LIST {
        match quantity.dimension {
            Dimension::Amount => drop(
                quantity
                    .read_amount(quantity.example, BareAmount::Grams)
                    .unwrap(),
            ),
            _ => drop(
                quantity
                    .read_of(quantity.example, &CALCIUM)
                    .unwrap()
                    .to_string(),
            ),
        }
        assert!(quantity.low < quantity.high, "{}", quantity.name);
        assert_eq!(
            LIST.iter()
                .filter(|other| other.name == quantity.name)
                .count(),
            1,
            "{}",
            quantity.name
        );
    }
}

#[test]
fn every_unit_reads_its_own_printed_name() {
    for unit in UNITS {
        let tidied = units::split(unit.name, |_| false).unit;
        let found = units::find(&tidied, |measure| measure == unit.measure);
        assert_eq!(found.map(|u| u.name), Some(unit.name));
    }
}
