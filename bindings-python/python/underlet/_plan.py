"""The plan, as Python holds it."""

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
        FitReport,
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
    """Plan a brew day: what to weigh, when and where, and what the meter should say.

    Parameters
    ----------
    day : mapping, str or bytes
        A brew day: sources, vessels, grist, targets and the shelf of reagents, as a mapping or as JSON text.
        Quantities are written as people write them (``"180 mg/L as CaCO3"``, ``"6.5 hL"``) or as numbers in
        the documented default units. Numbers of every kind are taken, NumPy's and `decimal.Decimal` included.

    Returns
    -------
    Plan
        The plan. A notebook shows it as tables; ``print`` writes it as plain text.

    Raises
    ------
    InputError
        When the day cannot be planned as it stands. All of its problems are told together.

    Notes
    -----
    The interpreter's lock is released while the plan is made, so threads plan side by side.

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


def sheet_of(plan: Mapping[str, object] | str | bytes) -> str:
    """Print a plan that was kept: the plan document as the page that `Plan.sheet` gives of a fresh one.

    Parameters
    ----------
    plan : mapping, str or bytes
        A plan document, as `Plan.to_dict` or `Plan.to_json` wrote it.

    Returns
    -------
    str
        A whole HTML page to print and take to the tank.

    Raises
    ------
    InputError
        When it is no plan, or lacks what the sheet shows.

    Examples
    --------
    >>> import underlet as ul
    >>> plan = ul.plan(ul.examples()["pale-ale-10hl"])
    >>> ul.sheet_of(plan.to_json()) == plan.sheet()
    True
    """
    return answer(_core.sheet_of, plan)


class Plan:
    """A plan to weigh from. `plan` makes it; it never changes.

    Two plans are equal when their documents are, to the last byte. The properties below are the parts of the
    plan document; each call hands out fresh lists and dictionaries, so nothing done to them reaches the plan.
    A plan pickles whole: what is loaded is the plan that was made, whichever version loads it.

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
        """Hold what the core rendered: JSON, plain text, HTML for a notebook, a sheet."""
        made = super().__new__(cls)
        object.__setattr__(made, "_rendered", rendered)
        return made

    if not TYPE_CHECKING:  # a checker that saw these would let every attribute be set

        def __setattr__(self, name: str, value: object) -> NoReturn:
            """Refuse."""
            raise AttributeError(f"a plan does not change: {name!r} cannot be set")

        def __delattr__(self, name: str) -> NoReturn:
            """Refuse."""
            raise AttributeError(f"a plan does not change: {name!r} cannot be deleted")

    def __reduce__(self) -> tuple[type[Plan], tuple[tuple[str, str, str, str]]]:
        """Pickle as what was rendered."""
        return Plan, (self._rendered,)

    def __copy__(self) -> Plan:
        """Give itself, as what never changes may."""
        return self

    def __deepcopy__(self, memo: object) -> Plan:
        """Give itself, as what never changes may."""
        return self

    def __eq__(self, other: object) -> bool:
        """Tell whether the documents are the same bytes."""
        return self.to_json() == other.to_json() if isinstance(other, Plan) else NotImplemented

    def __hash__(self) -> int:
        """Hash the document."""
        return hash(self.to_json())

    def __repr__(self) -> str:
        """Give the name and the one line that matters."""
        return f"<underlet.Plan {self.name!r}: {self.summary}>"

    def __str__(self) -> str:
        """Give the plan as plain text."""
        return self.text()

    def _repr_html_(self) -> str:
        """Give the plan as a notebook shows it."""
        return self._rendered[2]

    def to_dict(self) -> PlanDocument:
        """Give the plan document as plain dictionaries, lists, numbers and text."""
        document: PlanDocument = json.loads(self.to_json())
        return document

    def to_json(self) -> str:
        """Give the plan document as JSON text, byte for byte what every face of the engine writes."""
        return self._rendered[0]

    def text(self) -> str:
        """Give the plan as plain text for a terminal."""
        return self._rendered[1]

    def sheet(self) -> str:
        """Give the plan as a whole HTML page to print and take to the tank.

        Examples
        --------
        >>> import underlet as ul
        >>> sheet = ul.plan(ul.examples()["pale-ale-10hl"]).sheet()
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
        """Brews from this liquor: mash, sparge and kettle are those of each."""
        return self.to_dict()["brews"]

    @property
    def summary(self) -> str:
        """One line on whether it meets every range, and where the mash lands."""
        return self.to_dict()["summary"]

    @property
    def meets_every_range(self) -> bool:
        """True when every range is met."""
        return self.to_dict()["meets_every_range"]

    @property
    def vessels(self) -> list[VesselLiquor]:
        """Liquor to let into each vessel, in the order of work."""
        return self.to_dict()["vessels"]

    @property
    def blend(self) -> list[BlendPart]:
        """What the liquor is blended from."""
        return self.to_dict()["blend"]

    @property
    def additions(self) -> list[Addition]:
        """What to weigh and measure, in the order of work."""
        return self.to_dict()["additions"]

    @property
    def targets(self) -> list[TargetLine]:
        """Each wanted range: where the source stood and where the plan lands."""
        return self.to_dict()["targets"]

    @property
    def mash(self) -> MashForecast:
        """The mash pH forecast, with its error bar and where that comes from."""
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
        """What the meters should show."""
        return self.to_dict()["readings"]

    @property
    def reasons(self) -> list[Reason]:
        """Why the plan is as it is."""
        return self.to_dict()["reasons"]

    @property
    def limits(self) -> list[BindingLimit]:
        """What holds the plan back, and what one unit of relief would change."""
        return self.to_dict()["limits"]

    @property
    def alternatives(self) -> list[Alternative]:
        """What else could be done, with what it costs; empty unless the day asks for it.

        Examples
        --------
        >>> import underlet as ul
        >>> day = ul.examples()["pale-ale-10hl"] | {"alternatives": True}
        >>> [other["code"] for other in ul.plan(day).alternatives]
        ['one_salt_fewer', 'acid_swapped']
        """
        return self.to_dict()["alternatives"]

    @property
    def cautions(self) -> list[Caution]:
        """What can hurt, and what to doubt."""
        return self.to_dict()["cautions"]

    @property
    def assumptions(self) -> list[str]:
        """What was assumed because the day did not say."""
        return self.to_dict()["assumptions"]

    @property
    def fit(self) -> FitReport:
        """How good the fit is, proven."""
        return self.to_dict()["fit"]
