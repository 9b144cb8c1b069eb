//! Shortcuts on values to what follows from them: they keep the rooms below free of what comes later.

use underlet_tables::parameters;

use crate::aqueous::{Aqueous, Equilibrium, EquilibriumError, Gas};
use crate::error::InputError;
use crate::fit::{self, IonProblem, PlanError, Problem};
use crate::json;
use crate::liquor::Liquor;
use crate::plan::{self, FittedIons, Plan};
use crate::readings::diagnosis::{Diagnosis, DiagnosisError, Diagnostics, MeterReading};
use crate::reagent::Preparation;
use crate::recipe::{self, BrewDay, BrewDayBuilder, IonFit};
use crate::render;
use crate::tank::{self, TankDay, TankLedger};
use crate::water_report::WaterReport;

impl BrewDay {
    /// Builds a brew day of this name.
    ///
    /// ```
    /// use underlet::component::Component;
    /// use underlet::liquor::Liquor;
    /// use underlet::mash::Malt;
    /// use underlet::{BrewDay, Shelved, Source, Wanted};
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
    ///     .ion_mg_l(Component::Calcium, Wanted::between(80.0, 160.0))
    ///     .mash_ph(Wanted::between(5.3, 5.5))
    ///     .reagent(Shelved::of("gypsum")?)
    ///     .reagent(Shelved::of("lactic acid")?)
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
    /// report it. Amounts are those of the day, in which the batch is contained already.
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

impl WaterReport {
    /// Reads a `water-report` document.
    ///
    /// # Errors
    /// Every problem of the document at once. Values that contradict each other are findings, not problems.
    ///
    /// ```
    /// use underlet::water_report::{Subject, WaterReport};
    /// let text = r#"{"underlet": 1, "name": "well", "hardness": "14 °dH", "alkalinity": "180-220 mg/L as CaCO3"}"#;
    /// let report = WaterReport::from_json(text)?;
    /// assert_eq!(report.entry(Subject::Hardness).unwrap().write(), "14 °dH");
    /// # Ok::<(), underlet::error::InputError>(())
    /// ```
    pub fn from_json(text: &str) -> Result<WaterReport, InputError> {
        json::read_water_report(text)
    }

    /// The report as a `water-report` document again, every figure in the notation it came in.
    pub fn to_json(&self) -> String {
        json::write_water_report(self)
    }
}

impl TankDay {
    /// Reads a `tank-day` document.
    ///
    /// # Errors
    /// Every problem of the document at once.
    pub fn from_json(text: &str) -> Result<TankDay, InputError> {
        json::read_tank_day(text)
    }

    /// Works the day through.
    ///
    /// # Errors
    /// Those of [`TankDay::check`]; where there are none, every line that cannot be done, each with
    /// its path. After one of them the day goes on with as much of it as is possible.
    pub fn ledger(&self) -> Result<TankLedger, InputError> {
        tank::ledger(self)
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

    /// The best liquor that can be weighed; see [`plan::fit_ions`].
    ///
    /// # Errors
    /// [`PlanError`] where the fit does not make sense, or its amounts differ by more than double precision can hold in one
    /// fit.
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
    pub fn to_sheet(&self) -> String {
        render::sheet(self)
    }
}

/// A step of a titration.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct TitrationPoint {
    /// Added so far, g or mL per kg of water.
    pub amount_per_kg: f64,
    /// pH at 20 °C.
    pub ph: f64,
}

impl Liquor {
    /// The liquor at equilibrium at a temperature, °C (0 to 100; outside, the nearer end).
    ///
    /// # Errors
    /// [`EquilibriumError`], where it has no equilibrium.
    ///
    /// ```
    /// use underlet::aqueous::{Gas, Mineral};
    /// use underlet::Liquor;
    /// let well = Liquor::builder().calcium_mg_l(112.0).alkalinity_mg_l_caco3(252.0).ph(7.3).build()?;
    /// let hot = well.equilibrium(78.0, Gas::Closed)?;
    /// assert!(hot.saturation_index(Mineral::Calcite) > 0.5);
    /// // In the end, air would take most of its carbon dioxide.
    /// assert!(well.equilibrium(20.0, Gas::air())?.ph > 8.0);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn equilibrium(
        &self,
        temperature_c: f64,
        gas: Gas,
    ) -> Result<Equilibrium, EquilibriumError> {
        let aqueous = Aqueous::at(temperature_c);
        match gas {
            Gas::Closed => aqueous.closed(self),
            Gas::Open { log10_pco2 } => aqueous.open(self, log10_pco2),
        }
    }

    /// How much of an acid or a base brings the liquor to a pH, g or mL per kg of water: closed, and at 20 °C as a cooled sample is
    /// read. Zero where it is at that pH already.
    ///
    /// # Errors
    /// [`EquilibriumError::OutOfReach`], where none of it leads there: acid raises no pH, and a salt moves none.
    ///
    /// ```
    /// use underlet::{Liquor, Preparation};
    /// let well = Liquor::builder().calcium_mg_l(112.0).alkalinity_mg_l_caco3(252.0).ph(7.3).build()?;
    /// let acid = Preparation::usual("lactic acid")?;
    /// let ml_per_kg = well.dose_to_ph(&acid, 5.5)?;
    /// assert!((well.titrate(&acid, &[ml_per_kg])?[0].ph - 5.5).abs() < 1e-9);
    /// assert!(well.dose_to_ph(&acid, 9.0).is_err());
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn dose_to_ph(&self, preparation: &Preparation, ph: f64) -> Result<f64, EquilibriumError> {
        let dose = preparation.dose_per_unit();
        let aqueous = Aqueous::at(parameters::SAMPLE_TEMPERATURE.value);
        let (_, amount) = aqueous.dosed_to_ph(self, &dose, ph, None)?;
        // Less than a nanogram is rounding.
        if amount < -1e-9 || !amount.is_finite() {
            return Err(EquilibriumError::OutOfReach { ph });
        }
        Ok(amount.max(0.0))
    }

    /// The pH after each amount of an acid or a base, g or mL per kg of water: closed, at 20 °C.
    ///
    /// # Errors
    /// [`EquilibriumError`], where one of the amounts is negative or leads to no equilibrium.
    pub fn titrate(
        &self,
        preparation: &Preparation,
        amounts_per_kg: &[f64],
    ) -> Result<Vec<TitrationPoint>, EquilibriumError> {
        let dose = preparation.dose_per_unit();
        let aqueous = Aqueous::at(parameters::SAMPLE_TEMPERATURE.value);
        let point = |amount_per_kg: &f64| {
            if *amount_per_kg < 0.0 {
                return Err(EquilibriumError::NotAnAmount);
            }
            let state = aqueous.closed(&self.dosed(&dose, *amount_per_kg))?;
            Ok(TitrationPoint {
                amount_per_kg: *amount_per_kg,
                ph: state.ph,
            })
        };
        amounts_per_kg.iter().map(point).collect()
    }
}
