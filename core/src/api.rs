//! Shortcuts on the values of a brew day to the stages that follow: they keep the rooms below free of what comes later.

use crate::fit::{self, PlanError, Problem};
use crate::plan::{self, Plan};
use crate::readings::diagnosis::{Diagnosis, DiagnosisError, Diagnostics, MeterReading};
use crate::recipe::BrewDay;

impl BrewDay {
    /// The plan of the day; see [`plan::plan`].
    ///
    /// # Errors
    /// [`PlanError`] where the amounts differ by more than double precision can hold in one fit.
    ///
    /// ```
    /// use underlet::{BrewDay, EXAMPLES};
    /// let day = BrewDay::from_json(EXAMPLES[0].1).unwrap();
    /// let plan = day.plan().unwrap();
    /// assert!(plan.meets_every_range);
    /// assert_eq!(plan.additions[0].vessel_label, "hot-liquor tank");
    /// ```
    pub fn plan(&self) -> Result<Plan, PlanError> {
        plan::plan(self)
    }

    /// The day as a problem of the fit; see [`fit::problem_of`].
    pub fn problem(&self) -> Problem<'_> {
        fit::problem_of(self)
    }

    /// What the meters should show, and would show with each fault; see [`Diagnostics::of`].
    ///
    /// # Errors
    /// [`PlanError`], where the day has no plan or one of its liquors no equilibrium.
    pub fn diagnostics(&self) -> Result<Diagnostics, PlanError> {
        Diagnostics::of(self)
    }

    /// Which explanation fits these readings best; see [`Diagnostics::diagnose`].
    ///
    /// # Errors
    /// [`DiagnosisError`].
    pub fn diagnose(&self, readings: &[MeterReading]) -> Result<Diagnosis, DiagnosisError> {
        self.diagnostics()?.diagnose(readings)
    }
}
