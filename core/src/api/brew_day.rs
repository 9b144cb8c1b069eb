//! From a brew day or a fit of ions to its plan, and from a plan to text and paper.

use crate::error::InputError;
use crate::fit::{self, IonProblem, PlanError, Problem};
use crate::json;
use crate::plan::{self, FittedIons, Plan};
use crate::readings::correction::{BrewLog, Corrections, Corrector};
use crate::readings::diagnosis::{Diagnosis, DiagnosisError, Diagnostics, MeterReading};
use crate::recipe::{self, BrewDay, BrewDayBuilder, IonFit};
use crate::render;

impl BrewDay {
    /// Builds a brew day of this name.
    ///
    /// ```
    /// use underlet::component::Component;
    /// use underlet::liquor::Liquor;
    /// use underlet::mash::Malt;
    /// use underlet::{BrewDay, ShelfReagent, Source, TargetRange};
    ///
    /// let well = Liquor::builder()
    ///     .calcium_mg_l(112.0)
    ///     .sulfate_mg_l(38.0)
    ///     .chloride_mg_l(32.0)
    ///     .alkalinity_mg_l_caco3(252.0)
    ///     .ph(7.3)
    ///     .build()?;
    /// let day = BrewDay::builder("Quayside Pale")
    ///     .source(Source::new("well", well))
    ///     .hot_liquor_tank(1500.0, 78.0)
    ///     .malt(Malt::of_class("pale ale malt", 175.0)?)
    ///     .mash(500.0, 72.0, 66.0)
    ///     .sparge(800.0, 78.0)
    ///     .ion_mg_l(Component::Calcium, TargetRange::between(80.0, 160.0))
    ///     .mash_ph(TargetRange::between(5.3, 5.5))
    ///     .reagent(ShelfReagent::of("gypsum")?)
    ///     .reagent(ShelfReagent::of("lactic acid")?)
    ///     .build()?;
    /// assert!((5.3..=5.5).contains(&day.plan()?.mash.ph));
    ///
    /// let error = BrewDay::builder("Ebb").build().unwrap_err();
    /// let paths: Vec<_> = error.problems.iter().map(|problem| problem.path.as_str()).collect();
    /// assert_eq!(paths, ["sources", "grist", "mash"]);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn builder(name: impl Into<String>) -> BrewDayBuilder {
        BrewDayBuilder::new(name.into())
    }

    /// Whether the day makes sense: every value is one that a brewery can have, and together they
    /// describe one day. [`BrewDay::plan`] checks it first.
    ///
    /// # Errors
    /// Every problem, in the order of the document's keys, as reading the same day from JSON would
    /// report it. Amounts are those of the day, which the recipe scale is part of already.
    ///
    /// ```
    /// use underlet::{BrewDay, EXAMPLES};
    /// let mut day = BrewDay::from_json(EXAMPLES[0].1)?;
    /// assert_eq!(day.check(), Ok(()));
    ///
    /// day.grist[1].mass_kg = -5.0;
    /// day.shelf[0].step = 0.0;
    /// let error = day.check().unwrap_err();
    /// let paths: Vec<_> = error.problems.iter().map(|problem| problem.path.as_str()).collect();
    /// assert_eq!(paths, ["grist[1].mass", "shelf[0].step"]);
    /// # Ok::<(), underlet::error::InputError>(())
    /// ```
    pub fn check(&self) -> Result<(), InputError> {
        recipe::check(self)
    }

    /// Reads a `brew-day` document.
    ///
    /// # Errors
    /// Every problem of the document at once.
    ///
    /// ```
    /// use underlet::recipe::BrewDay;
    /// let error = BrewDay::from_json(r#"{"underlet": 1, "name": "Ebb", "grits": []}"#).unwrap_err();
    /// let grits = error.problems.iter().find(|problem| problem.path == "grits").unwrap();
    /// assert!(grits.hint.starts_with("Did you mean \"grist\"?"));
    /// ```
    pub fn from_json(text: &str) -> Result<BrewDay, InputError> {
        json::read_brew_day(text)
    }

    /// The day as a `brew-day` document, which reads back as the same day but for rounding.
    ///
    /// # Errors
    /// The problems of [`BrewDay::check`], and a source that no figures of a report describe.
    ///
    /// ```
    /// use underlet::{BrewDay, EXAMPLES};
    /// let mut day = BrewDay::from_json(EXAMPLES[0].1)?;
    /// day.mash_ph_confidence = Some(0.8);
    /// let again = BrewDay::from_json(&day.to_json()?)?;
    /// assert_eq!(again.mash_ph_confidence, day.mash_ph_confidence);
    /// # Ok::<(), underlet::error::InputError>(())
    /// ```
    pub fn to_json(&self) -> Result<String, InputError> {
        json::write_brew_day(self).map(|document| document.to_string())
    }

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

    /// What liquor, mash and kettle of a day that was read still need; see [`Corrector::correct`].
    /// Acid that a diagnosis finds forgotten is given as the plan says.
    ///
    /// # Errors
    /// [`DiagnosisError`].
    ///
    /// ```
    /// use underlet::readings::correction::{Advice, BrewLog};
    /// use underlet::{BrewDay, EXAMPLES, Meter, MeterReading, Place};
    /// let day = BrewDay::from_json(EXAMPLES[0].1).unwrap();
    /// let high = MeterReading::at(Place::MashFirst, Meter::Ph, 5.62).at_minutes(18.0);
    /// let mash = &day.correct(&BrewLog::of([high])).unwrap().mashes[0];
    /// // The meter and the forecast are weighed.
    /// assert!(mash.ph < 5.62 && mash.advice == Advice::Give);
    /// assert!(mash.doses[0].amount > 0.0 && mash.doses[0].ph < 5.5);
    /// ```
    pub fn correct(&self, log: &BrewLog) -> Result<Corrections, DiagnosisError> {
        let (_, corrections) = Corrector::of(self)?.diagnosed(log)?;
        Ok(corrections)
    }
}

impl IonFit {
    /// Reads an `ion-fit` document.
    ///
    /// # Errors
    /// Every problem of the document at once.
    pub fn from_json(text: &str) -> Result<IonFit, InputError> {
        json::read_ion_fit(text)
    }

    /// The fit as an `ion-fit` document, which reads back as the same fit but for rounding.
    ///
    /// # Errors
    /// The problems of [`IonFit::check`], and a water that no figures of a report describe.
    pub fn to_json(&self) -> Result<String, InputError> {
        json::write_ion_fit(self).map(|document| document.to_string())
    }

    /// The best liquor that can be weighed; see [`plan::fit_ions`].
    ///
    /// # Errors
    /// [`PlanError`] where the fit does not make sense, or its amounts differ by more than double
    /// precision can hold in one fit.
    pub fn solve(&self) -> Result<FittedIons, PlanError> {
        plan::fit_ions(self)
    }

    /// The fit as a problem; see [`fit::problem_of_ions`].
    pub fn problem(&self) -> IonProblem {
        fit::problem_of_ions(self)
    }
}

impl Plan {
    /// The plan as plain text, at most 100 columns wide; its `Display` writes the same.
    pub fn to_text(&self) -> String {
        render::text(self)
    }

    /// The plan as an HTML fragment without style: what a notebook shows.
    pub fn to_html_fragment(&self) -> String {
        render::notebook(self)
    }

    /// The printable sheet: a whole HTML page.
    pub fn to_html(&self) -> String {
        render::sheet(self)
    }
}
