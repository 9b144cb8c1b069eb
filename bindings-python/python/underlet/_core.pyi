from functools import partial
from typing import Final, final

__all__ = [
    "VERSION",
    "Equilibrium",
    "Problem",
    "codes",
    "diagnose",
    "equilibrium",
    "examples",
    "fit_ions",
    "plan",
    "render_sheet",
    "schema",
    "tank",
    "targets_for",
    "validate",
    "water",
]

VERSION: Final[str]

@final
class Problem:
    """One thing wrong with an input.

    Attributes
    ----------
    code : str
        Stable short code, one of `underlet.ERROR_CODES`.
    path : str
        Where: the field's path, such as ``grist[1].mass``; empty for the whole document.
    found : str
        What was found there.
    expected : str
        What was expected.
    hint : str
        How to fix it.
    """

    __match_args__: Final = ("code", "path", "found", "expected", "hint")

    def __new__(cls, code: str, path: str, found: str, expected: str, hint: str) -> Problem: ...
    @property
    def code(self) -> str: ...
    @property
    def path(self) -> str: ...
    @property
    def found(self) -> str: ...
    @property
    def expected(self) -> str: ...
    @property
    def hint(self) -> str: ...
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...
    def __hash__(self) -> int: ...
    def __reduce__(self) -> tuple[type[Problem], tuple[str, str, str, str, str]]: ...

def plan(day: str) -> tuple[str, str, str, str]:
    """Plan a brew day and render the plan: as JSON, as plain text, as HTML for a notebook, as a sheet to print."""

def render_sheet(plan: str) -> str:
    """Render the sheet of a saved plan: a plan document in, HTML out."""

def water(report: str) -> str:
    """Check a water report: its entries, figures derived from them and findings, as JSON."""

def fit_ions(fit: str) -> str:
    """Fit ions alone, without a mash: what to weigh and the resulting water, as JSON."""

def tank(day: str) -> str:
    """Simulate a day of the liquor tank: its ledger, as JSON."""

def examples() -> dict[str, str]:
    """Return the built-in brew days: key to JSON text."""

def targets_for(family: str) -> str:
    """Give the targets to begin with for a family of beers, as JSON."""

def validate(kind: str, document: str) -> None:
    """Check a document of a kind without computing anything."""

def schema(kind: str) -> str:
    """Give the JSON Schema of a kind of document, as JSON."""

def codes() -> str:
    """Give every list of codes and keys by its name, each with one line on what it means, as JSON."""

@final
class Equilibrium:
    """A water at equilibrium, as `equilibrium` returns it; immutable.

    Two are equal when their arguments are. It is pickled as its arguments, and computed again when loaded.

    Attributes
    ----------
    ph : float
        pH on the activity scale, at the water's temperature.
    ionic_strength : float
        mol/kg of water.
    alkalinity : float
        mg/L as CaCO3, as given or computed from pH and carbon.
    total_carbon : float
        Total inorganic carbon, mg/L as C.
    log10_pco2 : float or None
        Decimal logarithm of the partial pressure of carbon dioxide in atm at equilibrium with it; None without
        carbon.
    conductivity_us_per_cm : float
        Conductivity at the water's temperature, µS/cm.
    conductivity_25c_us_per_cm : float
        Conductivity referred to 25 °C, µS/cm, as a meter that corrects for natural water shows it.
    saturation_indices : dict of str to float
        By mineral: decimal logarithm of ion activity product over solubility constant; only where its ions are
        present.
    species : dict of str to float
        Molality by formula, mol/kg of water.
    sensitivities : dict of str to dict of str to float
        Exact derivatives of each result, and of each saturation index by its mineral's name, with respect to
        each argument that is used, in the units of both. ``sensitivities["calcite"]["calcium"]`` is per
        mg/L of calcium.
    """

    @property
    def ph(self) -> float: ...
    @property
    def ionic_strength(self) -> float: ...
    @property
    def alkalinity(self) -> float: ...
    @property
    def total_carbon(self) -> float: ...
    @property
    def log10_pco2(self) -> float | None: ...
    @property
    def conductivity_us_per_cm(self) -> float: ...
    @property
    def conductivity_25c_us_per_cm(self) -> float: ...
    @property
    def saturation_indices(self) -> dict[str, float]: ...
    @property
    def species(self) -> dict[str, float]: ...
    @property
    def sensitivities(self) -> dict[str, dict[str, float]]: ...
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...
    def __hash__(self) -> int: ...
    def __reduce__(self) -> tuple[partial[Equilibrium], tuple[()]]: ...
    def _repr_html_(self) -> str: ...

def diagnose(readings: str) -> str:
    """Diagnose the meter readings of a brew day, as JSON."""

def equilibrium(
    *,
    temperature: float | None = None,
    calcium: float = 0.0,
    magnesium: float = 0.0,
    sodium: float = 0.0,
    potassium: float = 0.0,
    ammonium: float = 0.0,
    iron: float = 0.0,
    manganese: float = 0.0,
    chloride: float = 0.0,
    sulfate: float = 0.0,
    nitrate: float = 0.0,
    nitrite: float = 0.0,
    fluoride: float = 0.0,
    silica: float = 0.0,
    alkalinity: float | None = None,
    ph: float | None = None,
    total_carbon: float | None = None,
    log10_pco2: float | None = None,
) -> Equilibrium:
    """Speciate one water: pH, carbon, saturation and conductivity at equilibrium.

    Two of `alkalinity`, `ph`, `total_carbon` and `log10_pco2` determine a water: alkalinity and pH as a report
    states them; alkalinity and total carbon of a closed tank; alkalinity and a pressure of carbon dioxide of an
    open one; pH and total carbon. Amounts are per litre of a sample at 20 °C, as reports
    state them.

    Parameters
    ----------
    temperature : float, optional
        °C, 0 to 100; 20 when left out.
    calcium, magnesium, sodium, potassium, ammonium, iron, manganese : float, optional
        mg/L; ammonium as NH4.
    chloride, sulfate, nitrate, nitrite, fluoride : float, optional
        mg/L, each as the ion.
    silica : float, optional
        mg/L as SiO2.
    alkalinity : float, optional
        Total alkalinity, mg/L as CaCO3.
    ph : float, optional
        pH at `temperature`.
    total_carbon : float, optional
        Total inorganic carbon, mg/L as C.
    log10_pco2 : float, optional
        Decimal logarithm of the partial pressure of carbon dioxide in atm.

    Returns
    -------
    Equilibrium
        The water at equilibrium. A notebook shows it as a table.

    Raises
    ------
    InputError
        When values are impossible, contradict each other or do not determine a water; all problems are
        reported together.

    Notes
    -----
    Constants of Plummer & Busenberg (1982), Nordstrom et al. (1990) and Bates & Acree (1943), activity
    coefficients of Truesdell & Jones (1974), conductivity after Onsager (Robinson & Stokes, Electrolyte
    Solutions, ch. 7).

    Examples
    --------
    >>> import underlet as ul
    >>> well = ul.equilibrium(temperature=12, calcium=70, sulfate=40, alkalinity=150, ph=7.4)
    >>> carbon = well.total_carbon
    >>> tank = ul.equilibrium(temperature=78, calcium=70, sulfate=40, alkalinity=150, total_carbon=carbon)
    >>> tank.saturation_indices["calcite"] > well.saturation_indices["calcite"]
    True
    """
