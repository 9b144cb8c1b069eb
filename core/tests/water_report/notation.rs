//! What laboratories write is read, and written back within its digits.

use proptest::prelude::*;
use underlet::component::Component;
use underlet::error::ErrorCode;
use underlet::quantity::{UNITS, WATER_KG_PER_L_20C};
use underlet::water_report::{Entry, Figure, Subject};

/// Every notation that some subject may come in.
fn notations() -> Vec<String> {
    let bases = [
        "CaCO3", "HCO3", "CO3", "CaO", "Ca", "Mg", "NH4", "NO3", "NO2", "SO4", "PO4", "SiO2",
        "Cl2", "N", "S", "P", "Si", "C",
    ];
    let plain = UNITS.iter().map(|unit| unit.name.to_owned());
    let based = bases
        .iter()
        .flat_map(|basis| ["mg/L", "µg/L"].map(|unit| format!("{unit} as {basis}")));
    plain.chain(based).collect()
}

/// Every subject with each notation it may come in.
fn pairs() -> Vec<(Subject, String)> {
    Subject::all()
        .flat_map(|subject| {
            notations()
                .into_iter()
                .filter(move |unit| Entry::parse(subject, format!("5 {unit}").as_str()).is_ok())
                .map(move |unit| (subject, unit))
        })
        .collect()
}

#[test]
fn each_subject_has_its_notations() {
    let of = |subject: Subject| {
        let units: Vec<_> = pairs()
            .into_iter()
            .filter(|(of, _)| *of == subject)
            .map(|(_, unit)| unit)
            .collect();
        units
    };
    for (subject, expected) in [
        (
            Subject::Component(Component::Calcium),
            &["mg/L", "mmol/L", "meq/L", "°dH", "mg/L as CaCO3"] as &[_],
        ),
        (
            Subject::Component(Component::Nitrate),
            &["mg/L", "mg/L as N", "mg/L as NO3", "µg/L as N"],
        ),
        (
            Subject::Component(Component::Sulfate),
            &["mg/L as S", "meq/L"],
        ),
        (
            Subject::Component(Component::Phosphate),
            &["mg/L as P", "mg/L as PO4"],
        ),
        (
            Subject::Component(Component::Silica),
            &["mg/L as Si", "mg/L as SiO2"],
        ),
        (Subject::Bicarbonate, &["mg/L", "mg/L as CaCO3", "meq/L"]),
        (
            Subject::Alkalinity,
            &[
                "mg/L as CaCO3",
                "mg/L as HCO3",
                "meq/L",
                "°dKH",
                "°fH",
                "°Clark",
                "gpg",
            ],
        ),
        (
            Subject::Hardness,
            &[
                "mg/L as CaCO3",
                "mmol/L",
                "°dH",
                "°fH",
                "°Clark",
                "gpg",
                "mg/L as CaO",
            ],
        ),
        (
            Subject::Conductivity,
            &["µS/cm", "mS/m", "mS/cm", "µS/cm at 20 °C", "mS/m at 20 °C"],
        ),
        (Subject::FreeChlorine, &["mg/L", "mg/L as Cl2", "µg/L"]),
        (Subject::Ph, &["", "pH"]),
    ] {
        let units = of(subject);
        for unit in expected {
            assert!(
                units.iter().any(|known| known == unit),
                "{subject:?} in {unit}: {units:?}"
            );
        }
    }
    assert!(pairs().len() > 300, "{}", pairs().len());
}

/// The figure of an entry as numbers.
fn numbers(entry: &Entry) -> Vec<f64> {
    let mut numbers = match entry.figure {
        Figure::Value(value) => vec![value],
        Figure::Below(limit) => vec![limit],
        Figure::Between { low, high, average } => [Some(low), Some(high), average]
            .into_iter()
            .flatten()
            .collect(),
    };
    numbers.extend(entry.sd);
    numbers
}

fn shape(figure: Figure) -> std::mem::Discriminant<Figure> {
    std::mem::discriminant(&figure)
}

/// A figure in any shape, with so many decimals.
fn written() -> impl Strategy<Value = String> {
    ((1_u32..999, 0_u32..200, 0_u32..200), 0_usize..4, 0_u8..8).prop_map(
        |((low, first, second), decimals, shape)| {
            let number = |count: u32| format!("{:.decimals$}", f64::from(count) / 10_f64.powi(2));
            let [low, average, high] = [low, low + first, low + first + second].map(number);
            let sd = number(second);
            match shape {
                0 => low,
                1 => format!("<{low}"),
                2 => format!("n.d. (<{low} UNIT)"),
                3 => format!("{low} to {high} UNIT, average {average}"),
                4 => format!("{low}-{high}"),
                5 => format!("<{low}-{high}"),
                6 => format!("{low} UNIT (sd {sd})"),
                _ => format!("{low} ± {sd} UNIT"),
            }
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(4000))]

    #[test]
    fn what_was_read_is_written_back_the_same(figure in written(), which in any::<prop::sample::Index>()) {
        let pairs = pairs_once();
        let (subject, unit) = &pairs[which.index(pairs.len())];
        let text = if figure.contains("UNIT") { figure.replace("UNIT", unit) } else { format!("{figure} {unit}") };
        let read = Entry::parse(*subject, text.as_str());
        // A pH or a mol/L of so much lies outside of what can be.
        prop_assume!(!matches!(&read, Err(problem) if problem.code == ErrorCode::OutOfRange));
        let entry = read.unwrap();
        let back = Entry::parse(*subject, entry.write().as_str())
            .unwrap_or_else(|problem| panic!("{text} came back as {}: {problem}", entry.write()));
        prop_assert_eq!(back.notation, entry.notation);
        prop_assert_eq!(shape(back.figure), shape(entry.figure));
        let (before, after) = (numbers(&entry), numbers(&back));
        prop_assert_eq!(before.len(), after.len());
        for (was, is) in before.iter().zip(&after) {
            prop_assert!((was - is).abs() <= 1e-12 * was.abs(), "{} came back as {}", text, entry.write());
        }
        // Written once, it stays as it is.
        prop_assert_eq!(back.write(), entry.write());
    }

    #[test]
    fn another_notation_tells_the_same(figure in written(), which in any::<prop::sample::Index>(), other in any::<prop::sample::Index>()) {
        let pairs = pairs_once();
        let (subject, unit) = &pairs[which.index(pairs.len())];
        let units: Vec<_> = pairs.iter().filter(|(of, _)| of == subject).map(|(_, unit)| unit).collect();
        let other = units[other.index(units.len())];
        let text = if figure.contains("UNIT") { figure.replace("UNIT", unit) } else { format!("{figure} {unit}") };
        let Ok(entry) = Entry::parse(*subject, text.as_str()) else { return Ok(()) };
        let restated = entry.restated(other).unwrap();
        let back = match Entry::parse(*subject, restated.write().as_str()) {
            Ok(back) => back,
            // Rounded over the top of what can be, or turned about by rounding.
            Err(problem) => { prop_assert_eq!(problem.code, ErrorCode::OutOfRange); return Ok(()) }
        };
        let step = numbers(&Entry::parse(*subject, format!("1 {unit}").as_str()).unwrap())[0] * 0.01;
        for (was, is) in numbers(&entry).iter().zip(numbers(&back)) {
            // Half a last digit of at most four decimals, that is of a hundredth and finer.
            prop_assert!((was - is).abs() <= step * 51.0 + 1e-12 * was.abs(), "{} as {}", text, restated.write());
        }
    }
}

fn pairs_once() -> &'static [(Subject, String)] {
    static PAIRS: std::sync::OnceLock<Vec<(Subject, String)>> = std::sync::OnceLock::new();
    PAIRS.get_or_init(pairs)
}

#[test]
fn shapes_are_read_and_written_back() {
    let nitrate = Subject::Component(Component::Nitrate);
    for (subject, text, written) in [
        (nitrate, "12.50 mg/L as N", "12.50 mg/L as N"),
        (nitrate, "<0,5 mg/l", "<0.5 mg/L"),
        (nitrate, "less than", "not_a_number"),
        (nitrate, ">50 mg/L", "not_a_number"),
        (nitrate, "n.d.", "n.d."),
        (nitrate, "Not detected", "n.d."),
        (nitrate, "ND mg/L", "n.d."),
        (nitrate, "n.d. (<0.05 mg/L)", "n.d. (<0.05 mg/L)"),
        (
            nitrate,
            "not detected, 0.05 mg/L as N",
            "n.d. (<0.05 mg/L as N)",
        ),
        (nitrate, "n.d. (firkins)", "wrong_unit"),
        (nitrate, "trace", "trace"),
        (nitrate, "Traces", "trace"),
        (nitrate, "trace (<0.05 mg/L)", "<0.05 mg/L"),
        (nitrate, "tracer", "not_a_number"),
        (nitrate, "5 ± 1", "5 ± 1 mg/L"),
        (nitrate, "5 mg/L ± 1 mg/L", "5 ± 1 mg/L"),
        (nitrate, "5 mg/L as N +/- 0.5", "5.0 ± 0.5 mg/L as N"),
        (nitrate, "2 mg/L ± 300 µg/L", "2.00 ± 0.30 mg/L"),
        (nitrate, "40 mg/L ± 10 %", "40.0 ± 4.0 mg/L"),
        (nitrate, "5 (± 1) mg/L", "5 ± 1 mg/L"),
        (nitrate, "5 ± 1 firkins", "wrong_unit"),
        (nitrate, "5 ±", "wrong_type"),
        (nitrate, "± 1 mg/L", "wrong_type"),
        (nitrate, "4-6 ± 1 mg/L", "wrong_type"),
        (nitrate, "<5 ± 1 mg/L", "wrong_type"),
        (Subject::Ph, "pH 7.4 ± 0.1", "7.4 ± 0.1"),
        (Subject::Alkalinity, "8.4 ± 0.5 °dKH", "8.4 ± 0.5 °dKH"),
        (nitrate, "12-18 mg/L", "12 to 18 mg/L"),
        (
            nitrate,
            "12 to 18.5 mg/L (mean 15)",
            "12.0 to 18.5 mg/L, average 15.0",
        ),
        (nitrate, "<1 - 4 mg/L", "<1 to 4 mg/L"),
        (nitrate, "800 µg/L – 2 mg/L", "0.800 to 2.000 mg/L"),
        (nitrate, "18-12 mg/L", "range_reversed"),
        (nitrate, "12-18 mg/L, average 20", "contradiction"),
        (nitrate, "12 mg/L, average 12", "wrong_type"),
        (nitrate, "12 mg/L (sd 1.5)", "12.0 mg/L (sd 1.5)"),
        (nitrate, "1.2e1 mg/L", "12 mg/L"),
        (nitrate, "12", "12 mg/L"),
        (Subject::Alkalinity, "180", "180 mg/L as CaCO3"),
        (Subject::Alkalinity, "180 mg/L", "180 mg/L"),
        (Subject::Alkalinity, "8.4 °dKH", "8.4 °dKH"),
        (Subject::Hardness, "8.4 °dKH", "wrong_unit"),
        (Subject::Ph, "pH 7.40", "7.40"),
        (Subject::Ph, "7.1 - 7.6", "7.1 to 7.6"),
        (
            Subject::Conductivity,
            "560 µS/cm (20 °C)",
            "560 µS/cm at 20 °C",
        ),
        (Subject::Conductivity, "56.0 mS/m at 25 °C", "56.0 mS/m"),
        (Subject::Conductivity, "560 µS/cm at 18 °C", "wrong_unit"),
        (
            Subject::TotalChlorine,
            "0.30 mg/L as Cl2",
            "0.30 mg/L as Cl2",
        ),
    ] {
        match Entry::parse(subject, text) {
            Ok(entry) => assert_eq!(entry.write(), written, "{text}"),
            Err(problem) => assert_eq!(problem.code.as_str(), written, "{text}: {problem}"),
        }
    }
}

#[test]
fn what_is_not_detected_lies_below_the_detection_limit() {
    let nitrite = Subject::Component(Component::Nitrite);
    let entry = Entry::parse(nitrite, "n.d.").unwrap();
    // The table's reporting limit of a routine laboratory, 0.02 mg/L of NO2 (46.005 g/mol).
    let limit = 0.02 / 46.005 * 1e-3 / WATER_KG_PER_L_20C;
    let Figure::Below(read) = entry.figure else {
        panic!("{entry:?}")
    };
    approx::assert_relative_eq!(read, limit, max_relative = 1e-9);
    assert!(entry.notation.unwrap().assumes_limit());
    let stated = Entry::parse(nitrite, "n.d. (<0.05 mg/L)").unwrap();
    assert!(!stated.notation.unwrap().assumes_limit());
    approx::assert_relative_eq!(stated.figure.middle(), 1.25 * limit, max_relative = 1e-9);
}

#[test]
fn a_trace_is_read_as_not_detected() {
    let nitrite = Subject::Component(Component::Nitrite);
    let [trace, undetected] = ["traces", "n.d."].map(|text| Entry::parse(nitrite, text).unwrap());
    assert_eq!(trace.figure, undetected.figure);
    assert!(trace.notation.unwrap().assumes_limit());
}

#[test]
fn plus_minus_is_twice_the_standard_deviation() {
    // ISO/IEC Guide 98-3 (GUM), 6.3 and 7.2: laboratories state y ± U with U = 2 u.
    for text in ["80 ± 8 mg/L", "80 mg/L ± 10 %", "80 mg/L (sd 4)"] {
        let entry = Entry::parse(Subject::Component(Component::Calcium), text).unwrap();
        let share = entry.sd.unwrap() / entry.figure.middle();
        approx::assert_relative_eq!(share, 0.05, max_relative = 1e-12);
    }
}

#[test]
fn alkalinity_and_hardness_in_every_unit() {
    // Worked examples 4 and 5: exact from 10 mg CaO/L, a grain of 64.79891 mg, gallons of 4.54609
    // and 3.785411784 L, and IUPAC weights. 200 mg/L as CaCO3 are 1.9983 mmol/L, 11.206 German,
    // 20.00 French, 14.031 English degrees, 11.684 gpg.
    let hardness = Entry::parse(Subject::Hardness, "200.00 mg/L as CaCO3").unwrap();
    let number = |entry: Entry| -> f64 {
        let text = entry.write();
        text.split_once(' ').unwrap().0.parse().unwrap()
    };
    for (unit, expected) in [
        ("mmol/L", 1.9983),
        ("°dH", 11.206),
        ("°fH", 20.0),
        ("°Clark", 14.031),
        ("gpg", 11.684),
    ] {
        let read = number(hardness.restated(unit).unwrap());
        approx::assert_relative_eq!(read, expected, max_relative = 1e-3);
    }
    let alkalinity = Entry::parse(Subject::Alkalinity, "1.00000 meq/L").unwrap();
    for (unit, expected) in [
        ("mg/L as CaCO3", 50.043),
        ("mg/L as HCO3", 61.016),
        ("°dKH", 2.804),
    ] {
        let read = number(alkalinity.restated(unit).unwrap());
        approx::assert_relative_eq!(read, expected, max_relative = 5e-4);
    }
    assert_eq!(
        hardness.restated("µS/cm").unwrap_err().code,
        ErrorCode::WrongUnit
    );
}

#[test]
fn conductivity_is_kept_at_25_degrees() {
    // ISO 7888 (from memory): the European limit of 2500 µS/cm at 20 °C is 2790 at 25 °C.
    let limit = Entry::parse(Subject::Conductivity, "2500 µS/cm at 20 °C").unwrap();
    approx::assert_relative_eq!(limit.figure.middle(), 2790.0, max_relative = 1e-3);
    let back = limit.restated("µS/cm").unwrap();
    assert_eq!(back.write(), "2790 µS/cm");
}

#[test]
fn what_was_computed_is_written_with_three_digits() {
    let calcium = Component::Calcium.mol_per_kg(81.234);
    let entry = Entry::new(
        Subject::Component(Component::Calcium),
        Figure::Value(calcium),
    );
    assert_eq!(entry.write(), "81.2 mg/L");
    assert_eq!(
        Entry::new(Subject::Ph, Figure::Value(7.456)).write(),
        "7.46"
    );
}
