//! Malts of a grist, and whether they can be.

use underlet_tables::{MALTS, parameters};

use super::TitrationCurve;
use crate::checker::Checker;
use crate::error::{ErrorCode, InputError, Problem};
use crate::naming::{self, Name};
use crate::quantity;

/// A malt or adjunct in the grist.
#[derive(Clone, Debug, PartialEq)]
pub struct Malt {
    /// Name for people.
    pub name: String,
    /// Mass, kg.
    pub mass_kg: f64,
    /// Its titration curve.
    pub curve: TitrationCurve,
    /// True where the curve is the average of its trade class, not of this lot.
    pub is_class_prior: bool,
}

/// Least buffering of a whole grist: a tenth of malt among sugar has several times as much.
const LEAST_BUFFERING_MEQ_PER_KG_PH: f64 = 1.0;

impl Malt {
    /// A malt of which only its trade class is known.
    ///
    /// # Errors
    /// A class that the table of malts does not have, the nearest suggested, and a mass that no
    /// brewer weighs in.
    ///
    /// ```
    /// use underlet::mash::Malt;
    /// let pale = Malt::of_class("pale ale malt", 175.0)?;
    /// assert!(pale.is_class_prior);
    ///
    /// let error = Malt::of_class("pale ale mald", -1.0).unwrap_err();
    /// let paths: Vec<_> = error.problems.iter().map(|problem| problem.path.as_str()).collect();
    /// assert_eq!(paths, ["malt", "mass"]);
    /// # Ok::<(), underlet::error::InputError>(())
    /// ```
    pub fn of_class(class: &str, mass_kg: f64) -> Result<Malt, InputError> {
        let names: Vec<Name<'static>> =
            MALTS.iter().map(|row| (row.class, [].as_slice())).collect();
        let place = naming::find(class, &names, || {
            (
                naming::one_of(&names),
                naming::one_of_advice("malt", &names),
            )
        });
        let row = place.as_ref().ok().and_then(|place| MALTS.get(*place));
        let mut checker = Checker::new();
        checker.at("malt", place);
        checker.quantity("mass", mass_kg, &quantity::MALT_MASS);
        checker.into_value(row.map(|row| Malt {
            name: row.class.to_owned(),
            mass_kg,
            curve: TitrationCurve::of_row(row),
            is_class_prior: true,
        }))
    }

    /// A malt or adjunct of a known titration curve.
    ///
    /// # Errors
    /// As [`Malt::check`].
    pub fn new(name: &str, mass_kg: f64, curve: TitrationCurve) -> Result<Malt, InputError> {
        let malt = Malt {
            name: name.to_owned(),
            mass_kg,
            curve,
            is_class_prior: false,
        };
        malt.check().map(|()| malt)
    }

    /// Whether this can be a malt.
    ///
    /// # Errors
    /// Every problem, at the keys of a malt in a brew day.
    pub fn check(&self) -> Result<(), InputError> {
        let mut checker = Checker::new();
        self.examine(&mut checker);
        checker.into_result()
    }

    /// Share of acidulated malt in a grist, 0 to 1 by mass.
    pub(crate) fn acidulated_share(grist: &[Malt]) -> f64 {
        let mass = |malts: &mut dyn Iterator<Item = &Malt>| -> f64 {
            malts.map(|malt| malt.mass_kg).sum()
        };
        mass(&mut grist.iter().filter(|malt| malt.is_acidulated())) / mass(&mut grist.iter())
    }

    /// Whether its own pH is lower than roasting makes it.
    pub(crate) fn is_acidulated(&self) -> bool {
        self.curve.distilled_water_ph < parameters::ACIDULATED_MALT_PH_HIGH.value
    }

    pub(crate) fn examine(&self, of: &mut Checker) {
        of.text("name", &self.name);
        of.quantity("mass", self.mass_kg, &quantity::MALT_MASS);
        self.curve.examine(of);
    }
}

/// Malts that together can set the pH of a mash.
///
/// # Errors
/// A [`Problem`] with an empty path where they buffer too little.
pub(crate) fn least_buffering(grist: &[Malt]) -> Result<(), Problem> {
    let mass_kg: f64 = grist.iter().map(|malt| malt.mass_kg).sum();
    let buffering: f64 = grist
        .iter()
        .map(|malt| malt.mass_kg / mass_kg * malt.curve.buffering_eq_per_kg_ph * 1000.0)
        .sum();
    if buffering >= LEAST_BUFFERING_MEQ_PER_KG_PH {
        return Ok(());
    }
    Err(Problem {
        code: ErrorCode::Contradiction,
        path: String::new(),
        found: format!("a grist that buffers {buffering:.2} meq/(kg pH), too little to set a pH"),
        expected: format!(
            "at least {LEAST_BUFFERING_MEQ_PER_KG_PH} meq/(kg pH): enough malt to set the mash pH"
        ),
        hint: "Add the malt that is mashed, or check the \"buffering\" of a lot.".to_owned(),
    })
}
