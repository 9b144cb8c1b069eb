//! The ledger of a day as a document: numbers carry their unit in the key, or beside them; texts
//! are ready for people to read.

use std::borrow::Cow;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::chlorine::TankChlorine;
use super::day::TankDay;
use super::figures::{CARBON_DIOXIDE_G_PER_MOL, shown};
use super::heel::TankHeel;
use super::liquor::liquor_of;
use super::watch::{TankFinding, findings};
use crate::aqueous::{Aqueous, EquilibriumError, Mineral, titrated_alkalinity_eq_per_kg};
use crate::document::{DocumentHead, DocumentKind, document};
use crate::error::{InputError, Problem};
use crate::liquor::mg_per_l_caco3;
use crate::quantity::tidy;
use crate::tank::ledger::{
    Contents, Destination, Entry, Heel, Ledger, LedgerError, Work, WorkCode,
};
use crate::uncertainty::Sensitivities;
use crate::water_report::{ReconciledLiquor, ReconciledRemark};
use underlet_tables::parameters;

document! {
    derive(Clone, Debug, PartialEq, Serialize, Deserialize);

    /// A day of the tank, worked through.
    pub struct TankLedger {
        /// Versions, kind, and what the user attached.
        #[serde(flatten)]
        pub head: DocumentHead,
        /// Name of the day.
        pub name: String,
        /// Name of the tank.
        pub tank: String,
        /// The lines in the order of work, each with what it led to.
        pub lines: Vec<TankLine>,
        /// What left the tank on this day.
        pub losses: TankLosses,
        /// What to watch, most severe first.
        pub findings: Vec<TankFinding>,
        /// What is left for the next day.
        pub heel: TankHeel,
    }
}

/// A line and what the tank holds after it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct TankLine {
    /// The line's own words.
    pub label: String,
    /// What was done.
    pub work: WorkCode,
    /// Volume as read at its temperature, L.
    pub volume_l: TankFigure,
    /// Water, kg.
    pub water_kg: f64,
    /// Temperature, °C.
    pub temperature_c: f64,
    /// Ions that there are, then alkalinity; empty for an empty tank.
    pub composition: Vec<TankAmount>,
    /// pH at its temperature; absent for an empty tank.
    pub ph: Option<TankFigure>,
    /// pH of a sample cooled to 20 °C without loss of carbon dioxide.
    pub ph_20c: Option<TankFigure>,
    /// Chlorine in it; absent where there is none.
    pub chlorine: Option<TankChlorine>,
    /// Saturation index of calcite at its temperature: scale may form above 0; absent without
    /// calcium or carbonate.
    pub calcite_si: Option<TankFigure>,
    /// What left the tank on this line, draws one.
    pub losses: TankLosses,
    /// What was drawn, on a draw.
    pub drawn: Option<TankDrawn>,
}

/// A number with its standard deviation.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct TankFigure {
    /// The number.
    pub value: f64,
    /// Standard deviation.
    pub sd: f64,
}

/// An ion, a weak acid or the alkalinity.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct TankAmount {
    /// Key, such as "calcium" or "alkalinity".
    pub key: Cow<'static, str>,
    /// Unit of the numbers.
    pub unit: Cow<'static, str>,
    /// The amount.
    pub value: f64,
    /// Standard deviation.
    pub sd: f64,
    /// For people, such as "74.3 ± 2.9 mg/L".
    pub display: String,
}

/// What left the tank otherwise than by a draw.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct TankLosses {
    /// Steam, kg.
    pub steam_kg: TankFigure,
    /// Carbon dioxide, g; negative where liquor took it up from the air.
    pub carbon_dioxide_g: TankFigure,
    /// Scale on walls and heater, g.
    pub scale_g: TankFigure,
}

/// Liquor that was drawn.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct TankDrawn {
    /// Where to.
    pub to: Destination,
    /// Water in it, kg.
    pub water_kg: f64,
    /// What it is, as a source of a brew day takes it.
    pub liquor: ReconciledLiquor,
    /// Chlorine in it, which a source of a brew day takes as its `free_chlorine` and
    /// `total_chlorine`; absent where there is none.
    pub chlorine: Option<TankChlorine>,
}

/// Works a day through; see [`TankDay::ledger`].
///
/// # Errors
/// Those of [`TankDay::check`]; where there are none, every line that cannot be done.
pub(crate) fn ledger(day: &TankDay) -> Result<TankLedger, InputError> {
    day.check()?;
    let mut problems = Vec::new();
    let ledger = day.worked(&mut problems);
    day.check_supplies(&mut problems);
    let Some(ledger) = ledger.filter(|_| problems.is_empty()) else {
        return Err(InputError::of(problems));
    };
    TankLedger::of(day, &ledger).map_err(|error| {
        let problem = Problem {
            path: "lines".to_owned(),
            ..error.into_problem()
        };
        problem.into()
    })
}

impl TankLedger {
    /// The document of a day that was worked through.
    ///
    /// # Errors
    /// [`LedgerError`] where a liquor has no equilibrium.
    fn of(day: &TankDay, ledger: &Ledger) -> Result<TankLedger, LedgerError> {
        let mut remarks = day.heel_remarks.clone();
        let mut lines = Vec::new();
        for entry in ledger.entries() {
            note_remarks(day, &entry.line.work, &mut remarks);
            lines.push(TankLine::of(entry, &remarks)?);
        }
        let findings = findings(day, ledger.entries())?;
        let losses = TankLosses::between(ledger.opened(), ledger.now());
        let heel = TankHeel::of(ledger.now(), &remarks);
        Ok(TankLedger {
            head: DocumentHead::of(DocumentKind::TankLedger, &day.attached),
            name: day.name.clone(),
            tank: day.tank.name.clone(),
            lines,
            losses,
            findings,
            heel,
        })
    }
}

/// Adds the remarks on the supply of a line to those on the tank, each once.
fn note_remarks(day: &TankDay, work: &Work, remarks: &mut Vec<ReconciledRemark>) {
    let (Work::Fill { supply, .. } | Work::Recover { supply, .. }) = *work else {
        return;
    };
    for remark in day.supplies.get(supply).iter().flat_map(|of| &of.remarks) {
        if !remarks.contains(remark) {
            remarks.push(remark.clone());
        }
    }
}

impl TankLine {
    fn of(entry: &Entry, remarks: &[ReconciledRemark]) -> Result<TankLine, EquilibriumError> {
        let state = entry.after.state();
        let figure = |of: fn(&Contents) -> f64| TankFigure::of(of(state), entry.after.sd(of));
        let [ph, ph_20c, calcite_si] = equilibria(&entry.after)?;
        let drawn = entry.drawn.as_ref().map(|drawn| {
            let chlorine = TankChlorine::of(&drawn.chlorine);
            let mut remarks = remarks.to_vec();
            remarks.extend(chlorine.map(TankChlorine::remark));
            TankDrawn {
                to: drawn.to,
                water_kg: tidy(drawn.water_kg),
                liquor: liquor_of(&drawn.liquor, &drawn.moved, &remarks),
                chlorine,
            }
        });
        Ok(TankLine {
            label: entry.line.label.clone(),
            work: entry.line.work.code(),
            volume_l: figure(Contents::volume_l),
            water_kg: tidy(state.water_kg),
            temperature_c: tidy(state.temperature_c),
            composition: composition(&entry.after),
            ph,
            ph_20c,
            chlorine: TankChlorine::of(&state.chlorine_per_kg()),
            calcite_si,
            losses: TankLosses::between(&entry.before, &entry.after),
            drawn,
        })
    }
}

impl TankFigure {
    fn of(value: f64, sd: f64) -> TankFigure {
        TankFigure {
            value: tidy(value),
            sd: tidy(sd),
        }
    }
}

impl TankLosses {
    fn between(before: &Heel, after: &Heel) -> TankLosses {
        let figure = |of: fn(&Contents) -> f64| {
            let [gone, sd] = after.change_since(before, of);
            TankFigure::of(gone, sd)
        };
        TankLosses {
            steam_kg: figure(|state| state.steam_kg),
            carbon_dioxide_g: figure(|state| CARBON_DIOXIDE_G_PER_MOL * state.carbon_dioxide_mol),
            scale_g: figure(Contents::scale_g),
        }
    }
}

fn composition(heel: &Heel) -> Vec<TankAmount> {
    let state = heel.state();
    if state.water_kg <= 0.0 {
        return Vec::new();
    }
    let amount = |key: &'static str, unit: &'static str, value: f64, sd: f64| TankAmount {
        key: key.into(),
        unit: unit.into(),
        value: tidy(value),
        sd: tidy(sd),
        display: shown(value, sd, unit),
    };
    let liquor = state.liquor();
    let ions = liquor.ions.iter().filter(|(_, held)| *held > 0.0);
    let mut amounts: Vec<TankAmount> = ions
        .map(|(ion, held)| {
            let sd = heel.sd(|state| ion.mg_per_l(state.liquor().ions.get(ion)));
            amount(ion.key(), "mg/L", ion.mg_per_l(held), sd)
        })
        .collect();
    let alkalinity =
        |state: &Contents| mg_per_l_caco3(titrated_alkalinity_eq_per_kg(&state.liquor()));
    let sd = heel.sd(alkalinity);
    amounts.push(amount("alkalinity", "mg/L as CaCO3", alkalinity(state), sd));
    amounts
}

/// pH hot and of a cooled sample, and the saturation index of calcite.
fn equilibria(heel: &Heel) -> Result<[Option<TankFigure>; 3], EquilibriumError> {
    let state = heel.state();
    if state.water_kg <= 0.0 {
        return Ok([None; 3]);
    }
    let cold = Aqueous::at(parameters::SAMPLE_TEMPERATURE.value);
    let hot = Aqueous::at(state.temperature_c);
    let figures = |state: &Contents| {
        let liquor = state.liquor();
        let here = hot.closed(&liquor)?;
        let cooled = cold.closed(&liquor)?;
        Ok([here.ph, cooled.ph, here.saturation_index(Mineral::Calcite)])
    };
    let middle = figures(state)?;
    let mut moved: [Sensitivities; 3] = Default::default();
    for one in heel.perturbed() {
        if one.state == *state || one.state.water_kg <= 0.0 {
            continue;
        }
        for ((moved, one), middle) in moved.iter_mut().zip(figures(&one.state)?).zip(middle) {
            moved.extend([one - middle]);
        }
    }
    let figure = |value: f64, moved: &Sensitivities| {
        let sd = moved.sd();
        (value.is_finite() && sd.is_finite()).then(|| TankFigure::of(value, sd))
    };
    let ([ph, cooled, calcite], [of_ph, of_cooled, of_calcite]) = (middle, &moved);
    Ok([
        figure(ph, of_ph),
        figure(cooled, of_cooled),
        figure(calcite, of_calcite),
    ])
}
