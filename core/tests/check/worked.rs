//! What is made of readings: worked by hand, and by brute force.

use underlet::readings::diagnosis::{
    Diagnosis, Explanation, Fault, MeterReading, Probe, Slip, Verdict,
};
use underlet::{BrewDay, Meter, Place};

use super::{as_expected, pale_ale};

fn usual(meter: Meter) -> Fault {
    Fault::Probe {
        meter,
        probe: Probe::Usual,
    }
}

fn of<'d>(diagnosis: &'d Diagnosis, fault: Option<&Fault>) -> &'d Explanation {
    let mut explanations = diagnosis.explanations.iter();
    explanations
        .find(|one| one.fault.as_ref() == fault)
        .expect("weighed")
}

/// A buffer of 7.00 reads 7.20. By hand: a sound probe and its scatter 0.046² = 0.002116 (Harrison
/// 1998), the buffer 0.02² = 0.0004, together 0.002516:
///
/// ```text
/// nothing wrong   ln L = −½ (0.04/0.002516 + ln(2π·0.002516)) = −½ (15.8983 − 4.1472) = −5.8755
/// probe off       variance 0.002516 + 0.25² = 0.065016
///                 ln L = −½ (0.04/0.065016 + ln(2π·0.065016)) = −½ (0.6152 − 0.8952) = +0.1400
/// odds            0.03 · e^6.0155 = 12.29
/// off by          0.2 · 0.0625/0.065016 = 0.1923 ± √(0.0625·0.002516/0.065016) = 0.0492
/// ```
#[test]
fn a_buffer_that_reads_too_high() {
    let read = [MeterReading::known(Meter::Ph, 7.0, 7.2)];
    let diagnosis = pale_ale().diagnose(&read).expect("readings");
    let nothing = of(&diagnosis, None);
    let probe = of(&diagnosis, Some(&usual(Meter::Ph)));
    assert!((nothing.ln_likelihood + 5.8755).abs() < 1e-3, "{nothing:?}");
    assert!((probe.ln_likelihood - 0.1400).abs() < 1e-3, "{probe:?}");
    assert!((probe.probability / nothing.probability - 12.29).abs() < 0.02);
    let off = probe.off_by.expect("fitted");
    assert!((off.value - 0.1923).abs() < 1e-4 && (off.sd - 0.0492).abs() < 1e-4);
    assert_eq!(diagnosis.verdict, Verdict::Fault);
    assert_eq!(
        diagnosis.explanations[0].text,
        "pH probe off by +0.19 ± 0.05"
    );
    // A slip in the brew says nothing about a buffer: its likelihood is that of nothing wrong.
    for one in &diagnosis.explanations {
        if matches!(one.fault, Some(Fault::Addition { .. })) {
            assert!((one.ln_likelihood - nothing.ln_likelihood).abs() < 1e-12);
        }
    }
}

/// The mash reads 70 °C by the usual thermometer and 66 °C, as it should, by a second one. By hand,
/// off = (4, 0), a = 1 + 0.25 + 0.04 = 1.29 on the diagonal of C and b = 1 beside it (what the
/// vessel is off by), |C| = a² − b² = 0.6641:
///
/// ```text
/// nothing wrong    16·a/|C| = 31.0797,  ln|C| = −0.4093,        ln L = −½ (31.0797 − 0.4093 + 3.6758) = −17.1731
/// usual one off    a₁ = 1.29 + 9 = 10.29, |C| = 10.29·1.29 − 1 = 12.2741
///                  16·1.29/12.2741 = 1.6816, ln|C| = 2.5075,    ln L = −½ (1.6816 + 2.5075 + 3.6758) = −3.9324
/// second one off   16·10.29/12.2741 = 13.4136, ln|C| = 2.5075,  ln L = −½ (13.4136 + 2.5075 + 3.6758) = −9.7984
/// ```
#[test]
fn a_second_thermometer_doubts_the_first() {
    let read = [
        MeterReading::at(Place::Mash, Meter::Temperature, 70.0),
        MeterReading::at(Place::Mash, Meter::Temperature, 66.0).by_second(),
    ];
    let diagnosis = pale_ale().diagnose(&read).expect("readings");
    let second = Fault::Probe {
        meter: Meter::Temperature,
        probe: Probe::Second,
    };
    for (fault, by_hand) in [
        (None, -17.1731),
        (Some(usual(Meter::Temperature)), -3.9324),
        (Some(second), -9.7984),
    ] {
        let found = of(&diagnosis, fault.as_ref()).ln_likelihood;
        assert!((found - by_hand).abs() < 1e-3, "{fault:?}: {found}");
    }
    assert_eq!(diagnosis.verdict, Verdict::Fault);
    assert_eq!(
        diagnosis.explanations[0].fault,
        Some(usual(Meter::Temperature))
    );
}

/// By brute force: two conductivities of standards of 1413 and 2765 µS/cm, both 8 % low. The
/// likelihood of a meter that is off is the integral over how far it may be off, here by the
/// trapezoid rule with the density of two readings written out.
#[test]
fn a_fitted_factor_is_the_integral_over_it() {
    let stated = [1413.0_f64, 2765.0];
    let read = stated.map(|value| MeterReading::known(Meter::Conductivity, value, 0.92 * value));
    let diagnosis = pale_ale().diagnose(&read).expect("readings");

    // Variance of each: cell constant 2 %, temperature correction 0.95 %, repeat 0.3 % and 2 µS/cm,
    // standard 1 %; the cell constant and the correction are shared.
    let own = |value: f64| (0.003 * value).powi(2) + 4.0 + (0.01 * value).powi(2);
    let shared = 0.02_f64.powi(2) + 0.0095_f64.powi(2);
    let [a, d] = stated.map(|value| shared * value * value + own(value));
    let b = shared * stated[0] * stated[1];
    let determinant = a * d - b * b;
    let density = |factor: f64| {
        let [x, y] = stated.map(|value| (0.92 - 1.0 - factor) * value);
        let square = (d * x * x - 2.0 * b * x * y + a * y * y) / determinant;
        (-square / 2.0).exp() / (2.0 * std::f64::consts::PI * determinant.sqrt())
    };
    let prior = |factor: f64| {
        let z: f64 = factor / 0.15;
        (-z * z / 2.0).exp() / (0.15 * (2.0 * std::f64::consts::PI).sqrt())
    };
    // Four standard deviations of the prior, in steps a hundredth of what the readings tell.
    let step = 1e-4;
    let sum = |power: i32| -> f64 {
        let factors = (-6000..=6000).map(|n| f64::from(n) * step);
        let parts = factors.map(|factor| factor.powi(power) * density(factor) * prior(factor));
        parts.sum::<f64>() * step
    };
    let (all, mean) = (sum(0), sum(1) / sum(0));
    let sd = (sum(2) / all - mean * mean).sqrt();

    let nothing = of(&diagnosis, None);
    let meter = of(&diagnosis, Some(&usual(Meter::Conductivity)));
    assert!((nothing.ln_likelihood - density(0.0).ln()).abs() < 1e-9);
    assert!((meter.ln_likelihood - all.ln()).abs() < 1e-6);
    let off = meter.off_by.expect("fitted");
    assert!((off.value - mean).abs() < 1e-6 && (off.sd - sd).abs() < 1e-6);
}

/// On the built-in day the acid in the tank is what keeps its alkalinity down. Forgotten, the tank
/// stays at the pH of the well and mash and sparge follow: nothing else does that, a probe that is
/// right in a buffer least of all.
#[test]
fn a_forgotten_acid_is_found() {
    let checks = pale_ale().diagnostics().expect("checks");
    let forgotten = checks
        .faults()
        .find(|fault| {
            matches!(fault, Fault::Addition { name, slip: Slip::Forgotten, .. } if name.starts_with("phosphoric"))
        })
        .expect("an acid")
        .clone();
    let mut read = as_expected(&checks);
    let values = checks.shown(Some(&forgotten), &read).expect("a day");
    for (reading, value) in read.iter_mut().zip(values) {
        reading.value = value;
    }
    read.push(MeterReading::known(Meter::Ph, 7.0, 7.0));
    let diagnosis = checks.diagnose(&read).expect("readings");
    assert_eq!(diagnosis.verdict, Verdict::Fault, "{diagnosis}");
    assert_eq!(diagnosis.explanations[0].fault.as_ref(), Some(&forgotten));
    assert!(diagnosis.to_string().contains("forgotten"), "{diagnosis}");
}

/// Tank and mash move from what is planned to what acid of half its strength would make of them.
/// First all is as expected, then a fault is more probable than none but not ten times as probable,
/// and nothing is claimed, then one is.
#[test]
fn doubt_is_no_claim() {
    let checks = pale_ale().diagnostics().expect("checks");
    let planned = |what: &str| {
        let mut readings = checks.readings().iter();
        readings
            .find(|one| one.what == what)
            .expect("predicted")
            .expected
    };
    let (tank, mash) = (planned("tank_ph"), planned("mash_ph"));
    let mut verdicts = Vec::new();
    for step in 0..=100 {
        let part = f64::from(step) / 100.0;
        let read = [
            MeterReading::at(Place::Tank, Meter::Ph, tank + part * (6.76 - tank)),
            MeterReading::at(Place::Mash, Meter::Ph, mash + part * (5.69 - mash)),
        ];
        let diagnosis = checks.diagnose(&read).expect("readings");
        if diagnosis.verdict == Verdict::Doubtful {
            assert!(diagnosis.to_string().contains("Unclear"));
        }
        let kind = match diagnosis.verdict {
            Verdict::AsExpected => 0,
            Verdict::Doubtful => 1,
            _ => 2,
        };
        verdicts.push(kind);
    }
    assert!(verdicts.is_sorted(), "{verdicts:?}");
    verdicts.dedup();
    assert_eq!(verdicts, [0, 1, 2]);
}

/// Two salts that carry about as much: by hand, gypsum 2·(59.5 + 80.0)/172.17 = 1.62 and calcium
/// chloride dihydrate 2·(59.5 + 76.3)/147.01 = 1.85 mS cm²/g (CRC Handbook, no dilution), so 120 g
/// of one and 100 g of the other raise conductivity alike. The tank lacks what either would bring,
/// and conductivity alone cannot say which.
#[test]
fn two_salts_that_carry_alike_are_indistinguishable() {
    let text = r#"{
        "underlet": 1, "name": "two salts", "brewhouse": "Ninefold Quay",
        "sources": [{ "name": "soft", "calcium": 8, "sodium": 5, "chloride": 7.7, "alkalinity": "20 mg/L as CaCO3", "ph": 7.2 }],
        "hot_liquor_tank": { "fill": "1000 L", "temperature": "20 °C" },
        "grist": [{ "malt": "pale ale malt", "mass": "100 kg" }],
        "mash": { "liquor": "400 L", "liquor_temperature": "20 °C", "rest_temperature": "66 °C" },
        "sparge": { "liquor": "500 L", "liquor_temperature": "20 °C" },
        "targets": { "sulfate": { "low": 66, "high": 66 }, "chloride": { "low": 56, "high": 56 } },
        "shelf": [
            { "reagent": "gypsum", "step": "120 g", "vessels": ["hot_liquor_tank"] },
            { "reagent": "calcium chloride dihydrate", "step": "100 g", "vessels": ["hot_liquor_tank"] }
        ]
    }"#;
    let day = BrewDay::from_json(text).expect("a day");
    let amounts: Vec<f64> = day
        .plan()
        .expect("a plan")
        .additions
        .iter()
        .map(|one| one.amount)
        .collect();
    assert!((amounts[0] - 120.0).abs() < 1e-9 && (amounts[1] - 100.0).abs() < 1e-9);
    let checks = day.diagnostics().expect("checks");
    let tank = MeterReading::at(Place::Tank, Meter::Conductivity, 0.0);
    let forgotten: Vec<Fault> = checks
        .faults()
        .filter(|fault| {
            matches!(
                fault,
                Fault::Addition {
                    slip: Slip::Forgotten,
                    ..
                }
            )
        })
        .cloned()
        .collect();
    assert_eq!(forgotten.len(), 2);
    let shown = |fault: &Fault| {
        checks
            .shown(Some(fault), &[tank])
            .expect("a fault of the day")[0]
    };
    let value = (shown(&forgotten[0]) + shown(&forgotten[1])) / 2.0;
    let read = [
        MeterReading { value, ..tank },
        MeterReading::known(Meter::Conductivity, 1413.0, 1413.0),
    ];
    let diagnosis = checks.diagnose(&read).expect("readings");
    assert!(
        matches!(diagnosis.verdict, Verdict::Indistinguishable(2..)),
        "{diagnosis}"
    );
    for fault in &forgotten {
        let mut named = diagnosis.explanations.iter().take(2);
        assert!(
            named.any(|one| one.fault.as_ref() == Some(fault)),
            "{diagnosis}"
        );
    }
    assert!(diagnosis.to_string().contains("cannot be distinguished"));
}

/// Two things wrong at once, each of them far out: no single explanation fits, and none is named.
#[test]
fn two_faults_fit_no_single_explanation() {
    let read = [
        MeterReading::known(Meter::Ph, 7.0, 7.6),
        MeterReading::known(Meter::Conductivity, 1413.0, 1900.0),
    ];
    let diagnosis = pale_ale().diagnose(&read).expect("readings");
    assert_eq!(diagnosis.verdict, Verdict::Unexplained, "{diagnosis}");
}

/// Nothing was read: what is left is how often things happen, and nothing is claimed.
#[test]
fn nothing_read_nothing_claimed() {
    let diagnosis = pale_ale().diagnose(&[]).expect("no readings");
    assert_eq!(diagnosis.verdict, Verdict::AsExpected);
    assert_eq!(diagnosis.explanations[0].fault, None);
    assert_eq!(diagnosis.explanations[0].chance, 1.0);
}
