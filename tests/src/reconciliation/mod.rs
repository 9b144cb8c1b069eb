//! Do the reconciled waters' intervals hold the truth as often as they say, and is a measurement
//! that is off found? Asked of a seeded world in which the truth is known.

pub mod world;

use underlet::component::Component;
use underlet::water_report::{
    Estimate, Figure, Measurement, Method, Origin, ReconciledWater, Subject, Unknown, WaterReport,
};

use crate::dice::Dice;
use world::Water;

/// What is measured, and when.
#[derive(Clone, Debug)]
pub struct Scenario {
    /// For people.
    pub name: &'static str,
    /// Subjects of the report; none for no report.
    pub report: Vec<Subject>,
    /// Age of the report, days.
    pub age_days: f64,
    /// Subjects of the bench.
    pub bench: Vec<Subject>,
}

impl Scenario {
    /// All of them.
    pub fn all() -> Vec<Scenario> {
        let ions: Vec<Subject> = world::ions().map(Subject::Component).collect();
        let sums = [
            Subject::Alkalinity,
            Subject::Hardness,
            Subject::DissolvedSolids,
            Subject::Conductivity,
            Subject::Ph,
        ];
        let full: Vec<Subject> = ions.iter().chain(&sums).copied().collect();
        let bench = vec![
            Subject::Alkalinity,
            Subject::Hardness,
            Subject::Conductivity,
            Subject::Ph,
        ];
        let sodium = Subject::Component(Component::Sodium);
        let without_sodium = full.iter().copied().filter(|s| *s != sodium).collect();
        let of = |name, report: &Vec<Subject>, age_days, bench: &Vec<Subject>| Scenario {
            name,
            report: report.clone(),
            age_days,
            bench: bench.clone(),
        };
        vec![
            of("fresh full report", &full, 0.0, &vec![]),
            of("fresh report without sodium", &without_sodium, 0.0, &vec![]),
            of("report of 200 days, bench", &full, 200.0, &bench),
            of("ions of 30 days, bench", &ions, 30.0, &bench),
            of("bench alone", &vec![], 0.0, &bench),
            of("two analyses of one day", &full, 0.0, &full),
        ]
    }

    /// A water, its report and its bench.
    pub fn draw(&self, dice: &mut Dice) -> (Water, WaterReport, WaterReport) {
        let then = Water::any(dice);
        let today = if self.age_days > 0.0 {
            then.days_later(dice, self.age_days)
        } else {
            then.clone()
        };
        let mut read = |water: &Water, subjects: &[Subject], method| WaterReport {
            age_days: Some(0.0),
            temperature_c: Some(world::TEMPERATURE_C),
            entries: subjects
                .iter()
                .map(|subject| water.read(dice, *subject, method))
                .collect(),
            ..WaterReport::default()
        };
        let report = WaterReport {
            age_days: Some(self.age_days),
            ..read(&then, &self.report, Method::Laboratory)
        };
        // Whoever has every ion analysed sends the sample to a laboratory.
        let analysed = self.bench.contains(&Subject::Component(Component::Sodium));
        let method = if analysed {
            Method::Laboratory
        } else {
            Method::Bench
        };
        let mut bench = read(&today, &self.bench, method);
        for entry in &mut bench.entries {
            entry.sd = method.sd(entry.subject, entry.figure.middle());
        }
        (today, report, bench)
    }
}

/// How often intervals held the truth.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Tally {
    /// Intervals that held it.
    pub held: usize,
    /// Intervals.
    pub all: usize,
}

impl Tally {
    fn count(&mut self, estimate: &Estimate, truth: f64) {
        self.all += 1;
        self.held += usize::from(estimate.low <= truth && truth <= estimate.high);
    }

    /// Share that held it, %.
    pub fn percent(&self) -> f64 {
        100.0 * self.held as f64 / self.all.max(1) as f64
    }
}

/// Coverage of a scenario: by quantity, and the share of chi-squares beyond 5 %.
#[derive(Clone, Debug, Default)]
pub struct Coverage {
    /// Name of the quantity and how often its interval held the truth.
    pub quantities: Vec<(String, Tally)>,
    /// Waters whose chi-square is so great that it should happen in 5 %.
    pub beyond_chi_square: usize,
    /// Waters.
    pub waters: usize,
}

/// Reconciles so many waters of a scenario and counts.
pub fn coverage(scenario: &Scenario, waters: usize, seed: u64) -> Coverage {
    let mut dice = Dice(seed);
    let mut coverage = Coverage::default();
    for _ in 0..waters {
        let (truth, report, bench) = scenario.draw(&mut dice);
        let today = report.reconcile(&bench).expect("a water");
        coverage.waters += 1;
        coverage.beyond_chi_square += usize::from(today.p_value < 0.05);
        for (place, (name, estimate, true_value)) in
            compared(&today, &truth).into_iter().enumerate()
        {
            if coverage.quantities.len() <= place {
                coverage.quantities.push((name, Tally::default()));
            }
            coverage.quantities[place].1.count(&estimate, true_value);
        }
    }
    coverage
}

/// Estimates beside the truth.
fn compared(today: &ReconciledWater, truth: &Water) -> Vec<(String, Estimate, f64)> {
    let liquor = &truth.state.liquor;
    let amounts = today
        .amounts
        .iter()
        .map(|(unknown, estimate)| match unknown {
            Unknown::Component(ion) => (ion.key().to_owned(), *estimate, liquor.ions.get(*ion)),
            Unknown::Alkalinity => (
                "alkalinity".to_owned(),
                *estimate,
                liquor.alkalinity_eq_per_kg,
            ),
            Unknown::Carbon => ("carbon".to_owned(), *estimate, liquor.carbon_mol_per_kg),
        });
    let others = [
        ("hardness", today.hardness_eq_per_kg, Subject::Hardness),
        ("pH", today.ph, Subject::Ph),
        (
            "conductivity",
            today.conductivity_us_per_cm,
            Subject::Conductivity,
        ),
    ];
    let others =
        others.map(|(name, estimate, subject)| (name.to_owned(), estimate, truth.truth(subject)));
    amounts.chain(others).collect()
}

/// How a measurement that is five standard deviations off was found, by how well the others check
/// it.
#[derive(Clone, Copy, Debug, Default)]
pub struct Detection {
    /// Trials.
    pub all: usize,
    /// Trials where it was named.
    pub named: usize,
    /// Trials where it was among the suspects.
    pub suspected: usize,
    /// Suspects in all trials together.
    pub suspects: usize,
    /// Trials where the worst residual was beyond what happens in 5 % without a fault.
    pub alarmed: usize,
}

/// Ends of the classes of redundancy.
pub const CLASSES: [f64; 4] = [0.25, 0.5, 0.75, 1.0];

/// Shifts one measurement by five of its standard deviations in each of so many waters.
pub fn detection(scenario: &Scenario, waters: usize, seed: u64) -> [Detection; CLASSES.len()] {
    let mut dice = Dice(seed);
    let mut classes = [Detection::default(); CLASSES.len()];
    for _ in 0..waters {
        let (_, mut report, mut bench) = scenario.draw(&mut dice);
        let clean = report.reconcile(&bench).expect("a water");
        let candidates: Vec<usize> = (0..clean.measurements.len())
            .filter(|place| {
                let measurement = &clean.measurements[*place].measurement;
                measurement.origin != Origin::Usual && measurement.below.is_none()
            })
            .collect();
        let place = candidates[dice.pick(candidates.len())];
        let faulty = clean.measurements[place];
        let measurement = faulty.measurement;
        let shift = if dice.heads(50) || measurement.value < 5.0 * measurement.sd {
            5.0 * measurement.sd
        } else {
            -5.0 * measurement.sd
        };
        let source = match measurement.origin {
            Origin::Report => &mut report,
            _ => &mut bench,
        };
        for entry in &mut source.entries {
            if entry.subject == measurement.subject {
                entry.figure = Figure::Value(measurement.value + shift);
                // The error is in the figure, not in what it is thought to be worth.
                entry.sd = entry.sd.or_else(|| own_sd(&measurement));
            }
        }
        let today = report.reconcile(&bench).expect("a water");
        let class = CLASSES
            .iter()
            .position(|end| faulty.redundancy <= *end)
            .unwrap_or(CLASSES.len() - 1);
        let tally = &mut classes[class];
        tally.all += 1;
        let Some(worst) = today.disagreement else {
            continue;
        };
        tally.named += usize::from(worst.place == place);
        tally.alarmed += usize::from(worst.p_value < 0.05);
        tally.suspected += usize::from(worst.suspects.iter().any(|(one, _)| *one == place));
        tally.suspects += worst.suspects.len();
    }
    classes
}

/// Standard deviation that the measurement would be stated with, without ageing.
fn own_sd(measurement: &Measurement) -> Option<f64> {
    let method = match measurement.origin {
        Origin::Report => Method::Laboratory,
        _ => Method::Bench,
    };
    method.sd(measurement.subject, measurement.value)
}
