//! Reagents on the brewer's shelf.

use underlet_tables::{Reagent, ReagentKind};

use super::{Vessel, Vessels};
use crate::error::InputError;
use crate::math;
use crate::reagent::Preparation;

/// A reagent on the brewer's shelf.
#[derive(Clone, Debug, PartialEq)]
pub struct ShelfReagent {
    /// The reagent at its strength.
    pub preparation: Preparation,
    /// Step of the scale or measure, g or mL.
    pub step: f64,
    /// Smallest dose that makes sense, g or mL.
    pub min_dose: f64,
    /// Stock on hand, g or mL; `None` where there is plenty.
    pub stock: Option<f64>,
    /// What it costs per kg of a solid or L of a liquid, in any currency; `None` where that does
    /// not matter.
    pub cost: Option<f64>,
    /// Vessels it may go into, in the order of work.
    pub vessels: Vec<Vessel>,
}

impl ShelfReagent {
    /// A reagent at its usual strength, by its name or another that people write for it: weighed in
    /// whole grams or millilitres, with plenty of it, to go where it usually does.
    ///
    /// # Errors
    /// A name that the table of reagents does not have, the nearest suggested.
    ///
    /// ```
    /// use underlet::ShelfReagent;
    /// let acid = ShelfReagent::of("lactic acid")?.strength_percent(80.0).step(0.5).stock(500.0);
    /// assert_eq!(acid.min_dose, 0.5);
    /// assert!(ShelfReagent::of("gipsum").unwrap_err().problems[0].hint.contains("gypsum"));
    /// # Ok::<(), underlet::error::InputError>(())
    /// ```
    pub fn of(reagent: &str) -> Result<ShelfReagent, InputError> {
        let preparation = Preparation::usual(reagent)?;
        Ok(ShelfReagent {
            cost: None,
            vessels: Vec::new(),
            preparation,
            step: 1.0,
            min_dose: 1.0,
            stock: None,
        })
    }

    /// The same at another strength, % by mass.
    #[must_use]
    pub fn strength_percent(mut self, percent: f64) -> ShelfReagent {
        self.preparation.strength_percent = percent;
        self
    }

    /// The same with another step of the scale or measure, g or mL, which then is its smallest
    /// dose.
    #[must_use]
    pub fn step(self, step: f64) -> ShelfReagent {
        ShelfReagent {
            step,
            min_dose: step,
            ..self
        }
    }

    /// The same with a smallest dose, g or mL.
    #[must_use]
    pub fn min_dose(self, min_dose: f64) -> ShelfReagent {
        ShelfReagent { min_dose, ..self }
    }

    /// The same with so much in stock, g or mL.
    #[must_use]
    pub fn stock(self, stock: f64) -> ShelfReagent {
        ShelfReagent {
            stock: Some(stock),
            ..self
        }
    }

    /// The same at a cost per kg of a solid or L of a liquid, in the currency of the whole shelf.
    #[must_use]
    pub fn cost(self, cost: f64) -> ShelfReagent {
        ShelfReagent {
            cost: Some(cost),
            ..self
        }
    }

    /// The same, to go into these vessels alone.
    #[must_use]
    pub fn vessels(self, vessels: &[Vessel]) -> ShelfReagent {
        ShelfReagent {
            vessels: vessels.to_vec(),
            ..self
        }
    }

    /// A reagent at its usual strength, with plenty of it, where it usually goes.
    pub(crate) fn usual(reagent: &'static Reagent, step: f64, vessels: Vessels) -> ShelfReagent {
        ShelfReagent {
            preparation: Preparation::of(reagent),
            step,
            min_dose: step,
            stock: None,
            cost: None,
            vessels: ShelfReagent::usual_vessels(reagent, vessels),
        }
    }

    /// Where a reagent usually goes: salts into the tank where there is one, acids into the tank,
    /// the mash or the sparge liquor, whichever serves, bases into the mash, where they are needed;
    /// what takes chlorine wherever liquor is drawn into; zinc into the kettle.
    pub(crate) fn usual_vessels(reagent: &Reagent, vessels: Vessels) -> Vec<Vessel> {
        let tank = vessels.has_tank.then_some(Vessel::HotLiquorTank);
        let sparge = vessels.sparge_is_apart().then_some(Vessel::SpargeLiquor);
        match reagent.kind {
            ReagentKind::Salt => vec![tank.unwrap_or(Vessel::MashTun)],
            ReagentKind::Dechlorinator if vessels.has_tank => vec![Vessel::HotLiquorTank],
            ReagentKind::Dechlorinator => [Some(Vessel::MashTun), sparge]
                .into_iter()
                .flatten()
                .collect(),
            ReagentKind::Acid => [tank, Some(Vessel::MashTun), sparge]
                .into_iter()
                .flatten()
                .collect(),
            ReagentKind::Base => vec![Vessel::MashTun],
            ReagentKind::Zinc => vec![Vessel::Kettle],
        }
    }

    /// Whether it is there to remove chlorine. Such a reagent is no source of ions and no acid for
    /// the fit to dose.
    pub fn is_dechlorinator(&self) -> bool {
        self.preparation.reagent.kind == ReagentKind::Dechlorinator
    }

    /// Whether a reagent can go into a vessel at all: the kettle is no place for bases and against
    /// chlorine, and the only one for zinc.
    pub fn suits(reagent: &Reagent, vessel: Vessel) -> bool {
        match reagent.kind {
            ReagentKind::Salt | ReagentKind::Acid => true,
            ReagentKind::Zinc => vessel == Vessel::Kettle,
            ReagentKind::Base | ReagentKind::Dechlorinator => vessel != Vessel::Kettle,
        }
    }

    /// Whether it may go into the kettle and nowhere else.
    pub(crate) fn is_for_kettle_alone(&self) -> bool {
        self.vessels == [Vessel::Kettle]
    }

    /// Whether a reagent is one for the fit to dose: not what is there against chlorine or for the
    /// yeast.
    pub(crate) fn brings_ions(reagent: &Reagent) -> bool {
        !matches!(reagent.kind, ReagentKind::Dechlorinator | ReagentKind::Zinc)
    }

    /// Whether the fit may dose it there. Acid for the kettle waits until its pH is read.
    pub(crate) fn is_for_fit(&self, vessel: Vessel) -> bool {
        let reagent = self.preparation.reagent;
        let is_salt = reagent.kind == ReagentKind::Salt;
        self.vessels.contains(&vessel)
            && ShelfReagent::brings_ions(reagent)
            && (is_salt || vessel != Vessel::Kettle)
    }

    /// Whole steps of its least dose.
    pub(crate) fn least_steps(&self) -> f64 {
        // What a division has rounded is no step.
        math::at_least((self.min_dose / self.step - 1e-9).ceil(), 1.0)
    }

    /// Steps of the scale that its stock allows so many times over, once so much of it is used.
    pub(crate) fn whole_steps_in_stock(&self, used: f64, times: usize) -> f64 {
        let left = self.stock.map_or(f64::INFINITY, |stock| stock - used);
        // What a sum has rounded is no missing step.
        math::at_least((left / (self.step * times as f64) + 1e-9).floor(), 0.0)
    }
}
