//! One water by numbers: passes the arguments to the core and keeps the result.

use std::hash::{DefaultHasher, Hash, Hasher};

use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};
use underlet::speciation::{DETERMINING, IONS, Speciation, Water};

use crate::refused;

/// The argument before those of [`DETERMINING`].
const TEMPERATURE: &str = "temperature";

/// A water at equilibrium, as `equilibrium` returns it; immutable.
///
/// Two are equal when their arguments are. It is pickled as its arguments, and computed again when loaded.
///
/// Attributes
/// ----------
/// ph : float
///     pH on the activity scale, at the water's temperature.
/// ionic_strength : float
///     mol/kg of water.
/// alkalinity : float
///     mg/L as CaCO3, as given or computed from pH and carbon.
/// total_carbon : float
///     Total inorganic carbon, mg/L as C.
/// log10_pco2 : float or None
///     Decimal logarithm of the partial pressure of carbon dioxide in atm at equilibrium with it; None without
///     carbon.
/// conductivity_us_per_cm : float
///     Conductivity at the water's temperature, µS/cm.
/// conductivity_25c_us_per_cm : float
///     Conductivity referred to 25 °C, µS/cm, as a meter that corrects for natural water shows it.
/// saturation_indices : dict of str to float
///     By mineral: decimal logarithm of ion activity product over solubility constant; only where its ions are
///     present.
/// species : dict of str to float
///     Molality by formula, mol/kg of water.
/// sensitivities : dict of str to dict of str to float
///     Exact derivatives of each result, and of each saturation index by its mineral's name, with respect to
///     each argument that is used, in the units of both. ``sensitivities["calcite"]["calcium"]`` is per
///     mg/L of calcium.
#[pyclass(frozen, eq, module = "underlet")]
pub struct Equilibrium {
    /// The arguments.
    water: Water,
    answer: Speciation,
}

impl PartialEq for Equilibrium {
    fn eq(&self, other: &Self) -> bool {
        self.water == other.water
    }
}

#[pymethods]
impl Equilibrium {
    #[getter]
    fn ph(&self) -> f64 {
        self.answer.state.ph
    }

    #[getter]
    fn ionic_strength(&self) -> f64 {
        self.answer.state.ionic_strength_mol_per_kg
    }

    #[getter]
    fn alkalinity(&self) -> f64 {
        self.answer.alkalinity_mg_per_l_caco3()
    }

    #[getter]
    fn total_carbon(&self) -> f64 {
        self.answer.total_carbon_mg_per_l()
    }

    #[getter]
    fn log10_pco2(&self) -> Option<f64> {
        self.answer.log10_pco2()
    }

    #[getter]
    fn conductivity_us_per_cm(&self) -> f64 {
        self.answer.state.conductivity_us_per_cm()
    }

    #[getter]
    fn conductivity_25c_us_per_cm(&self) -> f64 {
        self.answer.state.conductivity_25c_us_per_cm()
    }

    #[getter]
    fn saturation_indices<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        by_name(py, self.answer.saturation_indices())
    }

    #[getter]
    fn species<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        by_name(py, self.answer.state.species())
    }

    #[getter]
    fn sensitivities<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let results = PyDict::new(py);
        for (result, sensitivities) in self.answer.sensitivities() {
            results.set_item(result, by_name(py, sensitivities.into_iter())?)?;
        }
        Ok(results)
    }

    fn __repr__(&self) -> String {
        format!("<underlet.Equilibrium {}>", self.answer.summary())
    }

    fn _repr_html_(&self) -> String {
        self.answer.to_html_fragment()
    }

    fn __hash__(&self) -> u64 {
        let mut hasher = DefaultHasher::new();
        let water = &self.water;
        for value in water.ions_mg_per_l {
            // Zero and minus zero are equal.
            (value + 0.0).to_bits().hash(&mut hasher);
        }
        for value in settings(water) {
            value.map(|value| (value + 0.0).to_bits()).hash(&mut hasher);
        }
        hasher.finish()
    }

    fn __reduce__<'py>(
        &self,
        py: Python<'py>,
    ) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        let water = &self.water;
        let question = PyDict::new(py);
        for (ion, amount) in IONS.into_iter().zip(water.ions_mg_per_l) {
            question.set_item(ion.key(), amount)?;
        }
        let names = [TEMPERATURE].into_iter().chain(DETERMINING);
        for (name, value) in names.zip(settings(water)) {
            question.set_item(name, value)?;
        }
        let ask = py.import("underlet")?.getattr("equilibrium")?;
        let asked = py
            .import("functools")?
            .getattr("partial")?
            .call((ask,), Some(&question))?;
        Ok((asked, PyTuple::empty(py)))
    }
}

/// Temperature and what determines a water, in the order of the arguments.
fn settings(water: &Water) -> [Option<f64>; 5] {
    [
        water.temperature_c,
        water.alkalinity_mg_per_l_caco3,
        water.ph,
        water.total_carbon_mg_per_l,
        water.log10_pco2,
    ]
}

fn by_name(
    py: Python<'_>,
    values: impl Iterator<Item = (&'static str, f64)>,
) -> PyResult<Bound<'_, PyDict>> {
    let named = PyDict::new(py);
    for (name, value) in values {
        named.set_item(name, value)?;
    }
    Ok(named)
}

/// Speciate one water: pH, carbon, saturation and conductivity at equilibrium.
///
/// Two of `alkalinity`, `ph`, `total_carbon` and `log10_pco2` determine a water: alkalinity and pH as a report
/// states them; alkalinity and total carbon of a closed tank; alkalinity and a pressure of carbon dioxide of an
/// open one; pH and total carbon. Amounts are per litre of a sample at 20 °C, as reports
/// state them.
///
/// Parameters
/// ----------
/// temperature : float, optional
///     °C, 0 to 100; 20 when left out.
/// calcium, magnesium, sodium, potassium, ammonium, iron, manganese : float, optional
///     mg/L; ammonium as NH4.
/// chloride, sulfate, nitrate, nitrite, fluoride : float, optional
///     mg/L, each as the ion.
/// silica : float, optional
///     mg/L as SiO2.
/// alkalinity : float, optional
///     Total alkalinity, mg/L as CaCO3.
/// ph : float, optional
///     pH at `temperature`.
/// total_carbon : float, optional
///     Total inorganic carbon, mg/L as C.
/// log10_pco2 : float, optional
///     Decimal logarithm of the partial pressure of carbon dioxide in atm.
///
/// Returns
/// -------
/// Equilibrium
///     The water at equilibrium. A notebook shows it as a table.
///
/// Raises
/// ------
/// InputError
///     When values are impossible, contradict each other or do not determine a water; all problems are
///     reported together.
///
/// Notes
/// -----
/// Constants of Plummer & Busenberg (1982), Nordstrom et al. (1990) and Bates & Acree (1943), activity
/// coefficients of Truesdell & Jones (1974), conductivity after Onsager (Robinson & Stokes, Electrolyte
/// Solutions, ch. 7).
///
/// Examples
/// --------
/// >>> import underlet as ul
/// >>> well = ul.equilibrium(temperature=12, calcium=70, sulfate=40, alkalinity=150, ph=7.4)
/// >>> carbon = well.total_carbon
/// >>> tank = ul.equilibrium(temperature=78, calcium=70, sulfate=40, alkalinity=150, total_carbon=carbon)
/// >>> tank.saturation_indices["calcite"] > well.saturation_indices["calcite"]
/// True
#[pyfunction]
#[pyo3(signature = (*, temperature=None, calcium=0.0, magnesium=0.0, sodium=0.0, potassium=0.0, ammonium=0.0, iron=0.0, manganese=0.0, chloride=0.0, sulfate=0.0, nitrate=0.0, nitrite=0.0, fluoride=0.0, silica=0.0, alkalinity=None, ph=None, total_carbon=None, log10_pco2=None))]
#[expect(clippy::too_many_arguments, reason = "keywords of a Python call")]
pub fn equilibrium(
    py: Python<'_>,
    temperature: Option<f64>,
    calcium: f64,
    magnesium: f64,
    sodium: f64,
    potassium: f64,
    ammonium: f64,
    iron: f64,
    manganese: f64,
    chloride: f64,
    sulfate: f64,
    nitrate: f64,
    nitrite: f64,
    fluoride: f64,
    silica: f64,
    alkalinity: Option<f64>,
    ph: Option<f64>,
    total_carbon: Option<f64>,
    log10_pco2: Option<f64>,
) -> PyResult<Equilibrium> {
    let water = Water {
        temperature_c: temperature,
        // In the order of IONS.
        ions_mg_per_l: [
            calcium, magnesium, sodium, potassium, ammonium, iron, manganese, chloride, sulfate,
            nitrate, nitrite, fluoride, silica,
        ],
        alkalinity_mg_per_l_caco3: alkalinity,
        ph,
        total_carbon_mg_per_l: total_carbon,
        log10_pco2,
    };
    let answer = water.speciate().map_err(|error| refused(py, error))?;
    Ok(Equilibrium { water, answer })
}
