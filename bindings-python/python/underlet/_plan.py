"""Plans of brew days."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import TYPE_CHECKING, NoReturn

from underlet import _core
from underlet._document import answer

if TYPE_CHECKING:
    from underlet.types import (
        Addition,
        Alternative,
        BindingLimit,
        BlendPart,
        Caution,
        DissolvedLine,
        FitReport,
        HardLimit,
        KettleForecast,
        MashForecast,
        PlanDocument,
        Reading,
        Reason,
        SpargeForecast,
        TargetLine,
        VesselLiquor,
    )


def plan(day: Mapping[str, object] | str | bytes) -> Plan:
    """Plan a brew day: what to weigh, when and where, and what the meters should read.

    Parameters
    ----------
    day : mapping, str or bytes
        A brew day: sources, vessels, grist, targets and the shelf of reagents, as a mapping or as JSON text.
        Quantities are written as people write them (``"180 mg/L as CaCO3"``, ``"6.5 hL"``) or as numbers in
        the documented default units, of any numeric type, NumPy's and `decimal.Decimal` included.

    Returns
    -------
    Plan
        The plan. A notebook shows it as tables; ``print`` writes it as plain text.

    Raises
    ------
    InputError
        When the day is invalid; all problems are reported together.

    Notes
    -----
    The interpreter's lock is released during planning, so threads plan in parallel.

    Examples
    --------
    >>> import underlet as ul
    >>> plan = ul.plan(ul.examples()["pale-ale-10hl"])
    >>> plan.name
    'Harbour pale, 10 hL'
    >>> plan.additions[0]["step"]
    1
    """
    return Plan(answer(_core.plan, day))


def render_sheet(plan: Mapping[str, object] | str | bytes) -> str:
    """Render the sheet of a saved plan: the same page as `Plan.to_html` of a new one.

    Parameters
    ----------
    plan : mapping, str or bytes
        A plan document, as `Plan.to_dict` or `Plan.to_json` wrote it.

    Returns
    -------
    str
        A complete HTML page to print and take to the tank.

    Raises
    ------
    InputError
        When it is not a plan document, or an incomplete one.

    Examples
    --------
    >>> import underlet as ul
    >>> plan = ul.plan(ul.examples()["pale-ale-10hl"])
    >>> ul.render_sheet(plan.to_json()) == plan.to_html()
    True
    """
    return answer(_core.render_sheet, plan)


class Plan:
    """A plan of a brew day, as `plan` returns it; immutable.

    Two plans are equal when their documents are byte for byte equal. The properties below are the parts of the
    plan document; each call returns new lists and dictionaries, so changing them does not change the plan.
    A plan is pickled with its renderings: the loaded plan is the same, whichever version loads it.

    Examples
    --------
    >>> import underlet as ul
    >>> plan = ul.plan(ul.examples()["dark-mild-2.5hl"])
    >>> [line["key"] for line in plan.targets if line["state"] not in ("met", "free")]
    []
    >>> low, high = plan.mash["interval_95"]
    >>> low < plan.mash["ph"] < high
    True
    """

    __slots__ = ("_rendered",)
    _rendered: tuple[str, str, str, str]

    def __new__(cls, rendered: tuple[str, str, str, str]) -> Plan:
        """Create it from what the core rendered: JSON, plain text, HTML for a notebook, a sheet."""
        made = super().__new__(cls)
        object.__setattr__(made, "_rendered", rendered)
        return made

    if not TYPE_CHECKING:  # with these a type checker would let every attribute be set

        def __setattr__(self, name: str, value: object) -> NoReturn:
            """Refuse."""
            raise AttributeError(f"a plan is immutable: {name!r} cannot be set")

        def __delattr__(self, name: str) -> NoReturn:
            """Refuse."""
            raise AttributeError(f"a plan is immutable: {name!r} cannot be deleted")

    def __reduce__(self) -> tuple[type[Plan], tuple[tuple[str, str, str, str]]]:
        """Pickle the renderings."""
        return Plan, (self._rendered,)

    def __copy__(self) -> Plan:
        """Return itself: it is immutable."""
        return self

    def __deepcopy__(self, memo: object) -> Plan:
        """Return itself: it is immutable."""
        return self

    def __eq__(self, other: object) -> bool:
        """Return whether the documents are the same bytes."""
        return self.to_json() == other.to_json() if isinstance(other, Plan) else NotImplemented

    def __hash__(self) -> int:
        """Hash the document."""
        return hash(self.to_json())

    def __repr__(self) -> str:
        """Return the name and the summary."""
        return f"<underlet.Plan {self.name!r}: {self.summary}>"

    def __str__(self) -> str:
        """Return the plan as plain text."""
        return self.to_text()

    def _repr_html_(self) -> str:
        """Return the plan as HTML for a notebook."""
        return self._rendered[2]

    def to_dict(self) -> PlanDocument:
        """Return the plan document as plain dictionaries, lists, numbers and text."""
        document: PlanDocument = json.loads(self.to_json())
        return document

    def to_json(self) -> str:
        """Return the plan document as JSON text, the same bytes as from Rust and JavaScript."""
        return self._rendered[0]

    def to_text(self) -> str:
        """Return the plan as plain text for a terminal."""
        return self._rendered[1]

    def to_html(self) -> str:
        """Return the plan as a complete HTML page to print and take to the tank.

        Examples
        --------
        >>> import underlet as ul
        >>> sheet = ul.plan(ul.examples()["pale-ale-10hl"]).to_html()
        >>> sheet[:15].lower()
        '<!doctype html>'
        """
        return self._rendered[3]

    @property
    def name(self) -> str:
        """Name of the brew."""
        return self.to_dict()["name"]

    @property
    def brewhouse(self) -> str:
        """Name of the brewhouse."""
        return self.to_dict()["brewhouse"]

    @property
    def brews(self) -> int:
        """Number of brews from this liquor; mash, sparge and kettle are per brew."""
        return self.to_dict()["brews"]

    @property
    def summary(self) -> str:
        """What to do, what is missed, and how likely the mash is in its range."""
        return self.to_dict()["summary"]

    @property
    def meets_every_range(self) -> bool:
        """True when every range is met."""
        return self.to_dict()["meets_every_range"]

    @property
    def vessels(self) -> list[VesselLiquor]:
        """Liquor of each vessel, in the order of work."""
        return self.to_dict()["vessels"]

    @property
    def blend(self) -> list[BlendPart]:
        """The sources that the liquor is blended from."""
        return self.to_dict()["blend"]

    @property
    def additions(self) -> list[Addition]:
        """What to weigh and measure, in the order of work."""
        return self.to_dict()["additions"]

    @property
    def targets(self) -> list[TargetLine]:
        """Each target: its value in the source water and in the plan."""
        return self.to_dict()["targets"]

    @property
    def dissolved(self) -> list[DissolvedLine]:
        """Everything that the liquor holds, with and without a target."""
        return self.to_dict()["dissolved"]

    @property
    def hard_limits(self) -> list[HardLimit]:
        """Each hard limit, and what the plan reaches of it."""
        return self.to_dict()["hard_limits"]

    @property
    def mash(self) -> MashForecast:
        """The forecast of the mash pH, with its error bar and uncertainty budget."""
        return self.to_dict()["mash"]

    @property
    def sparge(self) -> SpargeForecast | None:
        """The sparge liquor, where there is a sparge."""
        return self.to_dict()["sparge"]

    @property
    def kettle(self) -> KettleForecast:
        """The wort at kettle full, before the boil: an estimate."""
        return self.to_dict()["kettle"]

    @property
    def readings(self) -> list[Reading]:
        """What the meters should read."""
        return self.to_dict()["readings"]

    @property
    def reasons(self) -> list[Reason]:
        """Reasons for what the plan does and does not reach."""
        return self.to_dict()["reasons"]

    @property
    def limits(self) -> list[BindingLimit]:
        """The constraints that limit the plan, and what relaxing each by one unit would change."""
        return self.to_dict()["limits"]

    @property
    def alternatives(self) -> list[Alternative]:
        """Alternatives and what they cost; empty unless the day asks for them.

        Examples
        --------
        >>> import underlet as ul
        >>> day = ul.examples()["pale-ale-10hl"] | {"alternatives": True}
        >>> [other["code"] for other in ul.plan(day).alternatives]
        ['one_salt_fewer', 'acid_swapped', 'slaked_lime', 'boiled_first']
        """
        return self.to_dict()["alternatives"]

    @property
    def cautions(self) -> list[Caution]:
        """Safety, and what is uncertain."""
        return self.to_dict()["cautions"]

    @property
    def assumptions(self) -> list[str]:
        """What was assumed because the day does not say."""
        return self.to_dict()["assumptions"]

    @property
    def fit(self) -> FitReport:
        """How good the fit is, with its proof."""
        return self.to_dict()["fit"]
