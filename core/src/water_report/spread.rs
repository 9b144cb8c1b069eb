//! How sure a figure of a report or of the bench is: standard deviations by method, and the ageing
//! of a report.

use underlet_tables::{drinking_water, parameters, spread};

use super::entry::{Entry, Figure, Subject};
use crate::component::Component;
use crate::liquor::alkalinity_eq_per_kg;
use crate::math;

/// How a figure was measured.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub enum Method {
    /// By a laboratory.
    Laboratory,
    /// At the bench by titration, photometer or pocket meter.
    Bench,
    /// At the bench by counting drops; what one drop counts, in the subject's canonical unit.
    Drops {
        /// What one drop counts.
        per_drop: f64,
    },
    /// By a strip.
    Strip,
}

impl Method {
    fn key(self) -> &'static str {
        match self {
            Method::Laboratory => "laboratory",
            Method::Bench => "bench",
            Method::Drops { .. } => "drops",
            Method::Strip => "strip",
        }
    }

    /// Usual standard deviation of a value by this method, in the subject's canonical unit. `None`
    /// where the method does not measure the subject.
    ///
    /// ```
    /// use underlet::component::Component;
    /// use underlet::water_report::{Method, Subject};
    /// let calcium = Component::Calcium.mol_per_kg(80.0);
    /// let sd = Method::Laboratory.sd(Subject::Component(Component::Calcium), calcium).unwrap();
    /// assert!((Component::Calcium.mg_per_l(sd) - (2.4_f64.powi(2) + 0.5_f64.powi(2)).sqrt()).abs() < 1e-12);
    /// ```
    pub fn sd(self, subject: Subject, value: f64) -> Option<f64> {
        let row = spread(quantity(subject)?, self.key())?;
        let parts = [
            row.relative_sd * value,
            canonical(subject, row.absolute_sd),
            self.counting(),
        ];
        Some(math::root_of_squares(parts))
    }

    /// Standard deviation of a count that is sure to half a drop: uniform over one drop.
    fn counting(self) -> f64 {
        match self {
            Method::Drops { per_drop } => uniform_sd(per_drop),
            _ => 0.0,
        }
    }
}

/// Standard deviation of what lies anywhere in a width: its twelfth part, squared (the variance of
/// a uniform distribution).
pub(super) fn uniform_sd(width: f64) -> f64 {
    width / 12.0_f64.sqrt()
}

/// What laboratories differ by in the pH of one water. The table has it, as a test asserts; without
/// the row the pH would be as uncertain as one that was never measured, not certain.
pub(crate) fn laboratory_ph_sd(ph: f64) -> f64 {
    let sd = Method::Laboratory.sd(Subject::Ph, ph);
    sd.unwrap_or(parameters::CHECK_SUPPLY_PH_ASSUMED_SD.value)
}

/// The quantity of the table of spreads. Bicarbonate and carbonate come out of the titration of
/// alkalinity.
fn quantity(subject: Subject) -> Option<&'static str> {
    match subject {
        Subject::Component(ion) => Some(ion.key()),
        Subject::Bicarbonate
        | Subject::Carbonate
        | Subject::Alkalinity
        | Subject::PhenolphthaleinAlkalinity => Some("alkalinity"),
        Subject::Hardness => Some("hardness"),
        Subject::DissolvedSolids => Some("dissolved_solids"),
        Subject::Conductivity => Some("conductivity"),
        Subject::Ph => Some("ph"),
        Subject::FreeChlorine | Subject::TotalChlorine => None,
    }
}

/// A figure in the table's unit (mg/L, mg/L as CaCO3, µS/cm, pH) in the subject's canonical unit.
pub(super) fn canonical(subject: Subject, figure: f64) -> f64 {
    match subject {
        Subject::Component(ion) => ion.mol_per_kg(figure),
        Subject::Bicarbonate
        | Subject::Alkalinity
        | Subject::PhenolphthaleinAlkalinity
        | Subject::Hardness => alkalinity_eq_per_kg(figure),
        Subject::Carbonate => alkalinity_eq_per_kg(figure) / 2.0,
        Subject::DissolvedSolids
        | Subject::Conductivity
        | Subject::Ph
        | Subject::FreeChlorine
        | Subject::TotalChlorine => figure,
    }
}

/// Share of a supply's yearly spread that lies between a sample and another so many days later: √2
/// of it once the supply has forgotten the first, nothing at once. An unknown age is treated as a
/// great one.
fn ageing(age_days: Option<f64>) -> f64 {
    let days = math::at_least(age_days.unwrap_or(f64::INFINITY), 0.0);
    let forgotten = 1.0 - math::exp(-days / parameters::SUPPLY_MEMORY.value);
    (2.0 * forgotten).sqrt()
}

/// A figure with its standard deviation, both in the subject's canonical unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reading {
    /// The figure's middle.
    pub value: f64,
    /// Standard deviation of today's truth about it.
    pub sd: f64,
    /// What it is sure to be below, where only that is known.
    pub below: Option<f64>,
}

/// What an entry says about the water today, `None` where it says nothing of use (chlorine, a
/// figure that is no number, a negative one).
///
/// * A value has the standard deviation that is stated with it, else its method's; a sample of
///   another day also differs from today's water by ageing.
/// * A range holds 95 % of the days of its period, so it spans four standard deviations, and does
///   not age.
/// * Below a limit every value is as likely as the next: middle half the limit, standard deviation
///   limit/√12. With age the limit itself moves up by two standard deviations of the supply.
pub fn reading(entry: &Entry, method: Method, age_days: Option<f64>) -> Option<Reading> {
    let Entry {
        subject,
        figure,
        sd,
        ..
    } = *entry;
    let value = figure.middle();
    let sane = value.is_finite() && value >= 0.0;
    let own = sd
        .filter(|sd| sd.is_finite() && *sd > 0.0)
        .or_else(|| method.sd(subject, value))?;
    let aged = match subject {
        Subject::Ph => parameters::SUPPLY_PH_SD.value,
        _ => parameters::SUPPLY_RELATIVE_SD.value * value,
    } * ageing(age_days);
    let reading = match figure {
        Figure::Value(_) => Reading {
            value,
            sd: math::root_of_squares([own, aged]),
            below: None,
        },
        Figure::Between { low, high, .. } => Reading {
            value,
            sd: math::at_least((high - low).abs() / parameters::RANGE_IN_SDS.value, own),
            below: None,
        },
        Figure::Below(limit) => {
            let limit = limit + 2.0 * (2.0 * aged);
            Reading {
                value: limit / 2.0,
                sd: uniform_sd(limit),
                below: Some(limit),
            }
        }
    };
    (sane && reading.sd.is_finite() && reading.sd > 0.0).then_some(reading)
}

/// What is usual of an ion in drinking water: middle and standard deviation between waters, mol/kg.
pub(super) fn usual_amount(ion: Component) -> Option<(f64, f64)> {
    let [middle, sd] = drinking_water(ion.key())?.usual?;
    Some((ion.mol_per_kg(middle), ion.mol_per_kg(sd)))
}

/// What is usual of alkalinity, eq/kg, or pH in drinking water.
pub(super) fn usual(subject: Subject) -> Option<(f64, f64)> {
    let [middle, sd] = drinking_water(quantity(subject)?)?.usual?;
    Some((canonical(subject, middle), canonical(subject, sd)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn entry(subject: Subject, figure: Figure) -> Entry {
        Entry::new(subject, figure)
    }

    #[test]
    fn alkalinity_between_laboratories_of_standard_methods_2320() {
        // Standard Methods 2320 B (from memory): about 5 mg/L as CaCO3 between laboratories near
        // 100 mg/L.
        let sd = Method::Laboratory
            .sd(Subject::Alkalinity, alkalinity_eq_per_kg(100.0))
            .expect("measured");
        assert_relative_eq!(sd, alkalinity_eq_per_kg(5.0), max_relative = 1e-12);
        // The same titration, counted in moles of carbonate, two equivalents each.
        let carbonate = Method::Laboratory.sd(Subject::Carbonate, alkalinity_eq_per_kg(50.0));
        assert_relative_eq!(
            carbonate.expect("measured"),
            alkalinity_eq_per_kg((2.0_f64.powi(2) + 1.5_f64.powi(2)).sqrt()),
            max_relative = 1e-12
        );
    }

    #[test]
    fn a_report_grows_less_sure_until_its_supply_has_forgotten_it() {
        let calcium = entry(Subject::Component(Component::Calcium), Figure::Value(0.002));
        let sd = |age| {
            reading(&calcium, Method::Laboratory, age)
                .expect("a reading")
                .sd
        };
        let fresh = sd(Some(0.0));
        assert_eq!(Some(fresh), Method::Laboratory.sd(calcium.subject, 0.002));
        let ages = [1.0, 10.0, 60.0, 180.0, 720.0].map(|age| sd(Some(age)));
        assert!(ages.is_sorted() && fresh < ages[0]);
        assert_relative_eq!(ages[4], sd(None), max_relative = 1e-4);
        // Two independent days of a year differ by √2 of its spread.
        let between_days = 2.0_f64.sqrt() * 0.075 * 0.002;
        assert_relative_eq!(
            sd(None),
            (fresh * fresh + between_days * between_days).sqrt(),
            max_relative = 1e-12
        );
    }

    #[test]
    fn ranges_and_limits() {
        let subject = Subject::Component(Component::Chloride);
        let range = Figure::Between {
            low: 0.001,
            high: 0.003,
            average: Some(0.0018),
        };
        let ranged = reading(&entry(subject, range), Method::Laboratory, None).expect("one");
        assert_eq!((ranged.value, ranged.sd), (0.0018, 0.0005));
        let below = Figure::Below(1.0e-5);
        let fresh = reading(&entry(subject, below), Method::Laboratory, Some(0.0)).expect("one");
        assert_eq!((fresh.value, fresh.below), (0.5e-5, Some(1.0e-5)));
        // Variance of a uniform distribution: a twelfth of the width squared.
        assert_relative_eq!(12.0 * fresh.sd * fresh.sd, 1.0e-10, max_relative = 1e-12);
        let old = reading(&entry(subject, below), Method::Laboratory, None).expect("one");
        assert!(old.below > fresh.below);
    }

    #[test]
    fn what_is_stated_goes_before_what_is_usual_and_nonsense_says_nothing() {
        let mut stated = entry(Subject::Ph, Figure::Value(7.2));
        stated.sd = Some(0.02);
        let read = |entry: &Entry| reading(entry, Method::Bench, Some(0.0));
        assert_eq!(read(&stated).map(|reading| reading.sd), Some(0.02));
        for figure in [f64::NAN, f64::INFINITY, -1.0] {
            assert_eq!(read(&entry(Subject::Hardness, Figure::Value(figure))), None);
        }
        let chlorine = entry(Subject::FreeChlorine, Figure::Value(0.3));
        assert_eq!(read(&chlorine), None);
    }

    #[test]
    fn laboratories_differ_in_the_ph_of_one_water() {
        // Row ph, laboratory of spreads.csv: Standard Methods 4500-H⁺.
        assert_eq!(Method::Laboratory.sd(Subject::Ph, 7.2), Some(0.13));
        assert_eq!(laboratory_ph_sd(7.2), 0.13);
    }

    #[test]
    fn a_drop_is_sure_to_half_a_drop() {
        let drop = alkalinity_eq_per_kg(10.0);
        let method = Method::Drops { per_drop: drop };
        let sd = method.sd(Subject::Alkalinity, 0.0).expect("measured");
        assert_relative_eq!(sd, drop / 12.0_f64.sqrt(), max_relative = 1e-12);
    }
}
