//! Mistaken bases of water reports, on constructed waters. Factors from the IUPAC 2021 abridged
//! standard atomic weights, by hand: SO4/S 96.056/32.06 = 2.9961, NO3/N 62.004/14.007 = 4.4266,
//! HCO3/(CaCO3/2) 61.016/50.0435 = 1.2193; one German degree is 10 mg/L of CaO, 17.848 mg/L as
//! CaCO3.

use approx::assert_relative_eq;
use proptest::prelude::*;
use underlet::component::Component;
use underlet::water_report::{
    Entry, Figure, MistakeKind as Kind, StatedBasis, Subject, WaterReport,
};

const BICARBONATE: Subject = Subject::Bicarbonate;
const SULFATE: Subject = Subject::Component(Component::Sulfate);
const NITRATE: Subject = Subject::Component(Component::Nitrate);
const CALCIUM: Subject = Subject::Component(Component::Calcium);

fn report(entries: impl IntoIterator<Item = (Subject, f64)>) -> WaterReport {
    WaterReport {
        entries: entries
            .into_iter()
            .map(|(subject, value)| Entry::new(subject, Figure::Value(value)))
            .collect(),
        ..WaterReport::default()
    }
}

/// An invented water that balances exactly: meq/kg of cations 5.0, 1.5, 1.4, 0.1, of anions 4.2,
/// 1.3, 1.9, 0.6.
fn sound() -> Vec<(Subject, f64)> {
    vec![
        (CALCIUM, 0.0025),
        (Subject::Component(Component::Magnesium), 0.000_75),
        (Subject::Component(Component::Sodium), 0.0014),
        (Subject::Component(Component::Potassium), 0.0001),
        (BICARBONATE, 0.0042),
        (Subject::Component(Component::Chloride), 0.0013),
        (SULFATE, 0.000_95),
        (NITRATE, 0.0006),
    ]
}

fn scaled(factors: &[(Subject, f64)]) -> WaterReport {
    let factor = |subject| {
        factors
            .iter()
            .find(|(of, _)| *of == subject)
            .map_or(1.0, |(_, f)| *f)
    };
    report(
        sound()
            .into_iter()
            .map(|(subject, value)| (subject, value * factor(subject))),
    )
}

fn with(mut report: WaterReport, subject: Subject, value: f64) -> WaterReport {
    report
        .entries
        .push(Entry::new(subject, Figure::Value(value)));
    report
}

#[test]
fn a_balanced_report_is_taken_as_written() {
    let water = report(sound());
    for water in [
        water.clone(),
        with(water.clone(), Subject::Hardness, 0.0065),
    ] {
        let weighing = water.mistakes();
        assert!(
            weighing.proposals().is_empty(),
            "{:?}",
            weighing.proposals()
        );
        assert!(weighing.as_written_probability > 0.9);
        assert!(weighing.as_written.balance.error_percent().abs() < 1e-9);
    }
}

#[test]
fn unusual_water_that_balances_is_not_doubted() {
    // A water behind a membrane: a fiftieth of everything. And one figure of alkalinity, with
    // nothing to check it by.
    let thin = report(
        sound()
            .into_iter()
            .map(|(subject, value)| (subject, value / 50.0)),
    );
    for water in [thin, report([(Subject::Alkalinity, 0.000_02)])] {
        let weighing = water.mistakes();
        assert!(
            weighing.proposals().is_empty(),
            "{:?}",
            weighing.proposals()
        );
    }
}

#[test]
fn each_mistake_is_named_with_the_factor_that_undoes_it() {
    // Hardness of 6.5 meq/kg in mg/L as CaCO3 over 40.078/2 per meq of calcium.
    let hardness = 6.5 / 5.0 * 100.087 / 40.078;
    for (kind, subject, factor) in [
        (Kind::SulfurReadAsSulfate, SULFATE, 1.0 / 2.9961),
        (Kind::HardnessReadAsCalcium, CALCIUM, hardness),
        (Kind::HardnessReadAsCalcium, CALCIUM, 100.087 / 40.078),
        (
            Kind::GermanDegreesReadAsMilligrams,
            BICARBONATE,
            1.0 / 17.848,
        ),
        (
            Kind::MilliequivalentsReadAsMilligrams,
            CALCIUM,
            1.0 / 20.039,
        ),
        (Kind::MilligramsReadAsMilliequivalents, SULFATE, 48.028),
    ] {
        let report = scaled(&[(subject, factor)]);
        let weighing = report.mistakes();
        let first = weighing
            .proposals()
            .first()
            .unwrap_or_else(|| panic!("{kind:?}"));
        assert_eq!(
            (first.kind, first.subjects().collect::<Vec<_>>()),
            (kind, vec![subject])
        );
        assert_relative_eq!(
            first.changes[0].to / first.changes[0].from,
            1.0 / factor,
            max_relative = 1e-3
        );
        assert!(first.after.balance.error_percent().abs() < 0.1);
        let undone = first.undone(&report).mistakes();
        assert!(undone.proposals().is_empty(), "{:?}", undone.proposals());
    }
}

#[test]
fn bases_of_alkalinity_and_nitrate_where_they_weigh_enough() {
    // Bicarbonate 7 of 8 meq/kg: the bases differ by 9 % of all ions. Then a water with 2.4 meq/kg
    // of nitrate.
    let limestone = |alkalinity: (Subject, f64)| {
        report([
            (CALCIUM, 0.003),
            (Subject::Component(Component::Magnesium), 0.0007),
            (Subject::Component(Component::Sodium), 0.0006),
            alkalinity,
            (Subject::Component(Component::Chloride), 0.0005),
            (SULFATE, 0.000_25),
        ])
    };
    let first = |report: &WaterReport| report.mistakes().proposals()[0].kind;
    assert_eq!(
        first(&limestone((BICARBONATE, 0.007 / 1.2193))),
        Kind::AlkalinityReadAsBicarbonate
    );
    assert_eq!(
        first(&limestone((Subject::Alkalinity, 0.007 * 1.2193))),
        Kind::BicarbonateReadAsAlkalinity
    );
    let field = report([
        (CALCIUM, 0.003),
        (Subject::Component(Component::Magnesium), 0.000_75),
        (Subject::Component(Component::Sodium), 0.0007),
        (BICARBONATE, 0.0035),
        (Subject::Component(Component::Chloride), 0.001),
        (SULFATE, 0.000_65),
        (NITRATE, 0.0024 / 4.4266),
    ]);
    assert_eq!(first(&field), Kind::NitrogenReadAsNitrate);
}

#[test]
fn a_whole_report_in_equivalents() {
    let per_equivalent = [
        (CALCIUM, 20.039),
        (Subject::Component(Component::Magnesium), 12.1525),
        (Subject::Component(Component::Sodium), 22.990),
        (Subject::Component(Component::Potassium), 39.098),
        (BICARBONATE, 61.016),
        (Subject::Component(Component::Chloride), 35.45),
        (SULFATE, 48.028),
        (NITRATE, 62.004),
    ];
    let small = per_equivalent.map(|(subject, grams)| (subject, 1.0 / grams));
    for (factors, kind) in [
        (small, Kind::MilliequivalentsReadAsMilligrams),
        (per_equivalent, Kind::MilligramsReadAsMilliequivalents),
    ] {
        let first = scaled(&factors).mistakes().proposals()[0].clone();
        assert_eq!((first.kind, first.changes.len()), (kind, 8));
    }
}

#[test]
fn hardness_in_german_degrees_is_seen_beside_calcium_and_magnesium() {
    let report = with(report(sound()), Subject::Hardness, 0.0065 / 17.848);
    let first = report.mistakes().proposals()[0].clone();
    assert_eq!(first.kind, Kind::GermanDegreesReadAsMilligrams);
    assert_eq!(first.subjects().collect::<Vec<_>>(), [Subject::Hardness]);
    assert_relative_eq!(first.changes[0].to, 0.0065, max_relative = 1e-4);
}

#[test]
fn a_stated_basis_makes_its_mistake_rarer_and_the_reverse_possible() {
    let direct = scaled(&[(SULFATE, 1.0 / 2.9961)]);
    let odds = |basis| {
        let weighing = direct.mistakes_with(&|_| basis);
        let kind = Kind::SulfurReadAsSulfate;
        weighing
            .considered
            .iter()
            .find(|m| m.kind == kind)
            .map(|m| m.ln_odds)
    };
    assert!(odds(StatedBasis::Silent) > odds(StatedBasis::Itself));
    assert_eq!(odds(StatedBasis::Other), None);
    // Stated as S and read so, though it was sulfate.
    let reverse = scaled(&[(SULFATE, 2.9961)]);
    let stated = |subject| match subject {
        SULFATE => StatedBasis::Other,
        _ => StatedBasis::Silent,
    };
    let first = reverse.mistakes_with(&stated).proposals()[0].clone();
    assert_eq!(first.kind, Kind::SulfateReadAsSulfur);
    assert_relative_eq!(first.changes[0].to, 0.000_95, max_relative = 1e-4);
}

#[test]
fn what_is_not_stated_may_make_up_for_an_excess() {
    // Without sodium the anions may well be more than the cations, and a residue more than the sum
    // of ions.
    let water: Vec<_> = sound()
        .into_iter()
        .filter(|(s, _)| *s != Subject::Component(Component::Sodium))
        .collect();
    let water = with(report(water), Subject::DissolvedSolids, 900.0);
    let weighing = water.mistakes();
    assert!(!weighing.as_written.is_complete);
    assert!(
        weighing.proposals().is_empty(),
        "{:?}",
        weighing.proposals()
    );
}

fn any_subject() -> impl Strategy<Value = Subject> {
    let others = vec![
        BICARBONATE,
        Subject::Carbonate,
        Subject::Alkalinity,
        Subject::PhenolphthaleinAlkalinity,
        Subject::Hardness,
        Subject::DissolvedSolids,
        Subject::Conductivity,
        Subject::Ph,
    ];
    prop_oneof![
        prop::sample::select(Component::ALL.to_vec()).prop_map(Subject::Component),
        prop::sample::select(others),
    ]
}

fn any_value() -> impl Strategy<Value = f64> {
    prop_oneof![4 => (-6.0..0.0_f64).prop_map(|x| 10_f64.powf(x)), 1 => 0.0..3000.0_f64, 1 => any::<f64>()]
}

fn any_figure() -> impl Strategy<Value = Figure> {
    prop_oneof![
        4 => any_value().prop_map(Figure::Value),
        1 => any_value().prop_map(Figure::Below),
        1 => (any_value(), any_value(), prop::option::of(any_value()))
            .prop_map(|(low, high, average)| Figure::Between { low, high, average }),
    ]
}

proptest! {
    #[test]
    fn any_report_gets_finite_odds(
        entries in prop::collection::vec((any_subject(), any_figure()), 0..16),
        basis in prop::sample::select(vec![StatedBasis::Silent, StatedBasis::Itself, StatedBasis::Other]),
    ) {
        let report = WaterReport {
            entries: entries
                .into_iter()
                .map(|(subject, figure)| Entry::new(subject, figure))
                .collect(),
            ..WaterReport::default()
        };
        let weighing = report.mistakes_with(&|_| basis);
        prop_assert!(weighing.as_written.ln_total().is_finite());
        let mut sum = weighing.as_written_probability;
        for mistake in &weighing.considered {
            prop_assert!(mistake.ln_odds.is_finite() && mistake.after.ln_total().is_finite(), "{mistake:?}");
            sum += mistake.probability;
        }
        prop_assert!((sum - 1.0).abs() < 1e-9, "{sum}");
        prop_assert!(weighing.proposals().is_sorted_by(|a, b| a.ln_odds >= b.ln_odds));
    }

    /// The same water a little thinner or stronger, its entries in any order, gets the same answer.
    #[test]
    fn dilution_and_order_do_not_matter(strength in 0.8..1.25_f64, turn in 0_usize..8) {
        for (kind, factors) in [
            (Some(Kind::SulfurReadAsSulfate), vec![(SULFATE, 1.0 / 2.9961)]),
            (Some(Kind::GermanDegreesReadAsMilligrams), vec![(BICARBONATE, 1.0 / 17.848)]),
            (None, vec![]),
        ] {
            let mut report = scaled(&factors);
            report.entries.rotate_left(turn);
            for entry in &mut report.entries {
                entry.figure = Figure::Value(entry.figure.middle() * strength);
            }
            let weighing = report.mistakes();
            prop_assert_eq!(weighing.proposals().first().map(|mistake| mistake.kind), kind);
        }
    }

    /// A water that balances, with sums that fit, is never doubted.
    #[test]
    fn sound_reports_are_not_doubted(
        alkalinity in 1.0..6.0_f64, sulfate in 0.1..3.0_f64, chloride in 0.2..3.0_f64, nitrate in 0.01..0.8_f64,
        magnesium_share in 0.1..0.5_f64, sodium_share in 0.5..1.0_f64,
    ) {
        let sodium = chloride * sodium_share;
        let hardness = alkalinity + sulfate + chloride + nitrate - sodium;
        let magnesium = hardness * magnesium_share;
        let report = report([
            (CALCIUM, (hardness - magnesium) / 2000.0),
            (Subject::Component(Component::Magnesium), magnesium / 2000.0),
            (Subject::Component(Component::Sodium), sodium / 1000.0),
            (BICARBONATE, alkalinity / 1000.0),
            (Subject::Component(Component::Chloride), chloride / 1000.0),
            (SULFATE, sulfate / 2000.0),
            (NITRATE, nitrate / 1000.0),
            (Subject::Hardness, hardness / 1000.0),
        ]);
        let weighing = report.mistakes();
        prop_assert!(weighing.proposals().is_empty(), "{:?}", weighing.proposals());
    }
}
