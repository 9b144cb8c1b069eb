//! From a water report to a liquor, findings, mistakes and today's water.

use crate::error::InputError;
use crate::json;
use crate::liquor::Liquor;
use crate::optimise::Trace;
use crate::water_report::{
    self, Derived, Finding, ReconcileError, ReconciledWater, StatedBasis, Subject, WaterReport,
    Weighing,
};

impl WaterReport {
    /// Reads a `water-report` document.
    ///
    /// # Errors
    /// Every problem of the document at once. Values that contradict each other are findings, not
    /// problems.
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
        json::write_water_report(self).to_string()
    }

    /// The report as a liquor, each figure by its
    /// [`Figure::middle`](crate::water_report::Figure::middle):
    ///
    /// * ions as stated; what is not stated is treated as absent;
    /// * calcium and magnesium that are not stated from total hardness: the one from the other,
    ///   both in the usual share;
    /// * alkalinity, else bicarbonate and carbonate; as strong ions leave it room, so that what
    ///   weak acids hold at the end point of the titration comes on top;
    /// * carbon from the pH, 7.5 where none is stated;
    /// * temperature of the sample, else 20 °C.
    ///
    /// # Errors
    /// Figures that no water can have, each at its key; no alkalinity; alkalinity and bicarbonate,
    /// or alkalinity and pH, that contradict each other.
    ///
    /// ```
    /// use underlet::water_report::WaterReport;
    /// let report = WaterReport::parse(
    ///     "well",
    ///     &[("calcium", "112 mg/L"), ("nitrate", "<5 mg/L"), ("alkalinity", "14 °dH"), ("ph", "7.3")],
    /// )?;
    /// assert!((report.liquor()?.alkalinity_mg_l_caco3() - 250.0).abs() < 0.5);
    ///
    /// let bare = WaterReport::parse("well", &[("calcium", "112 mg/L")])?;
    /// assert_eq!(bare.liquor().unwrap_err().problems[0].path, "alkalinity");
    /// # Ok::<(), underlet::error::InputError>(())
    /// ```
    pub fn liquor(&self) -> Result<Liquor, InputError> {
        water_report::liquor(self)
    }

    /// What follows from the figures, each taken as it is written.
    pub fn derived(&self) -> Derived {
        water_report::derived(self)
    }

    /// What contradicts itself, is missing or exceeds a limit, most serious first.
    pub fn findings(&self) -> Vec<Finding> {
        water_report::findings(self)
    }

    /// Weighs the usual mistakes in the report; a basis that a figure states is no mistake.
    ///
    /// ```
    /// use underlet::component::Component;
    /// use underlet::water_report::{Entry, Figure, MistakeKind, Subject, WaterReport};
    ///
    /// let mut report = WaterReport::default();
    /// // mmol/kg; there is 1.5 of sulfate, but its sulfur, 48 mg/L, was read as sulfate.
    /// for (ion, milli) in [
    ///     (Component::Calcium, 2.5), (Component::Magnesium, 0.5), (Component::Sodium, 1.0), (Component::Chloride, 1.0), (Component::Sulfate, 0.5),
    /// ] {
    ///     report.entries.push(Entry::new(Subject::Component(ion), Figure::Value(milli / 1000.0)));
    /// }
    /// report.entries.push(Entry::new(Subject::Bicarbonate, Figure::Value(0.003)));
    /// let weighing = report.mistakes();
    /// let first = &weighing.proposals()[0];
    /// assert_eq!(first.kind, MistakeKind::SulfurReadAsSulfate);
    /// assert!(first.after.balance.error_percent().abs() < 1.0);
    /// ```
    pub fn mistakes(&self) -> Weighing {
        water_report::mistakes(self)
    }

    /// The same with the bases that some of its figures state, whatever their notations say.
    pub fn mistakes_with(&self, basis: &dyn Fn(Subject) -> StatedBasis) -> Weighing {
        water_report::mistakes_with(self, basis)
    }

    /// Today's water, from a report and the bench; either may be empty.
    ///
    /// An entry's standard deviation is the one stated with it, else the usual one of a laboratory
    /// or of the bench ([`Method`](crate::water_report::Method)); a report ages, fully where its
    /// age is not known. The temperature is the bench's, else the report's, else that of a
    /// sample; the report's pH is taken at its own.
    ///
    /// ```
    /// use underlet::component::Component;
    /// use underlet::liquor::alkalinity_eq_per_kg;
    /// use underlet::water_report::{Entry, Figure, Subject, WaterReport};
    ///
    /// let entry = |subject, value| Entry::new(subject, Figure::Value(value));
    /// let ion = |ion: Component, mg_per_l| entry(Subject::Component(ion), ion.mol_per_kg(mg_per_l));
    /// // Last year's report, without sodium; this morning's alkalinity.
    /// let report = WaterReport {
    ///     age_days: Some(300.0),
    ///     entries: vec![
    ///         ion(Component::Calcium, 80.0), ion(Component::Magnesium, 10.0), ion(Component::Chloride, 40.0), ion(Component::Sulfate, 60.0),
    ///         entry(Subject::Alkalinity, alkalinity_eq_per_kg(190.0)),
    ///     ],
    ///     ..WaterReport::default()
    /// };
    /// let bench = WaterReport {
    ///     entries: vec![entry(Subject::Alkalinity, alkalinity_eq_per_kg(160.0))],
    ///     ..WaterReport::default()
    /// };
    /// let today = report.reconcile(&bench)?;
    /// let liquor = today.liquor;
    /// assert_eq!(liquor.alkalinity_eq_per_kg, liquor.ions.strong_charge());
    /// assert!((liquor.alkalinity_eq_per_kg - alkalinity_eq_per_kg(161.0)).abs() < 1e-4);
    /// assert!(today.disagreement.is_some_and(|worst| worst.p_value > 0.05));
    /// # Ok::<(), underlet::water_report::ReconcileError>(())
    /// ```
    ///
    /// # Errors
    /// [`ReconcileError`].
    pub fn reconcile(&self, bench: &WaterReport) -> Result<ReconciledWater, ReconcileError> {
        water_report::reconcile(self, bench, None)
    }

    /// The same, watched: the trace gets one run of Gauss–Newton, whose cost is half the sum of
    /// squares.
    ///
    /// # Errors
    /// As [`Self::reconcile`]; the trace has the reason of a search that did not converge.
    pub fn reconcile_traced(
        &self,
        bench: &WaterReport,
        trace: &Trace,
    ) -> Result<ReconciledWater, ReconcileError> {
        water_report::reconcile(self, bench, Some(trace))
    }
}
