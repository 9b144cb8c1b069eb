"""What is said about a water report, as Python holds it."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, NoReturn

from underlet import _core
from underlet._document import answer

if TYPE_CHECKING:
    from collections.abc import Mapping

    from underlet.types import Finding, WaterDocument, WaterEntry, WaterReckoned


def water(report: Mapping[str, object] | str | bytes) -> Water:
    """Look at a water report: what it states, what follows from that, and what is odd about it.

    Parameters
    ----------
    report : mapping, str or bytes
        A water report as a mapping or as JSON text. Figures are written as laboratories write them: numbers in the
        documented default units, ``"2.1 mg/L as N"``, ``"<0.5 mg/L"``, ``"n.d."``, ``"12-18 mg/L"``, or
        ``{"low": 12, "high": 18, "average": 15, "unit": "mg/L"}``.

    Returns
    -------
    Water
        Entries in one unit each and as they were written, and the findings.

    Raises
    ------
    InputError
        When something cannot be read; all of it is told together. Values that contradict each other are findings.

    Examples
    --------
    >>> import underlet as ul
    >>> water = ul.water({"underlet": 1, "name": "well", "hardness": "14 °dH", "alkalinity": "9.8 °dKH"})
    >>> water.entries[0]["display"]
    '9.8 °dKH'
    >>> [finding["code"] for finding in water.findings]
    ['ions_missing', 'report_undated']
    """
    return Water(answer(_core.water, report))


class Water:
    """A water report that was looked at. `water` makes it; it never changes.

    Two are equal when their documents are, to the last byte. Each property hands out fresh lists and dictionaries.

    Examples
    --------
    >>> import underlet as ul
    >>> ul.water({"underlet": 1, "name": "rain", "calcium": "0.1 meq/L"}).entries[0]["value"]
    2.0039
    """

    __slots__ = ("_text",)
    _text: str

    def __new__(cls, text: str) -> Water:
        """Hold what the core wrote: JSON text."""
        made = super().__new__(cls)
        object.__setattr__(made, "_text", text)
        return made

    if not TYPE_CHECKING:  # a checker that saw these would let every attribute be set

        def __setattr__(self, name: str, value: object) -> NoReturn:
            """Refuse."""
            raise AttributeError(f"a water does not change: {name!r} cannot be set")

        def __delattr__(self, name: str) -> NoReturn:
            """Refuse."""
            raise AttributeError(f"a water does not change: {name!r} cannot be deleted")

    def __reduce__(self) -> tuple[type[Water], tuple[str]]:
        """Pickle as what was written."""
        return Water, (self._text,)

    def __eq__(self, other: object) -> bool:
        """Tell whether the documents are the same bytes."""
        return self._text == other._text if isinstance(other, Water) else NotImplemented

    def __hash__(self) -> int:
        """Hash the document."""
        return hash(self._text)

    def __repr__(self) -> str:
        """Give the name and how much was found."""
        document = self.to_dict()
        counts = f"{len(document['entries'])} entries, {len(document['findings'])} findings"
        return f"<underlet.Water {document['name']!r}: {counts}>"

    def to_json(self) -> str:
        """Give the document as JSON text, byte for byte what every face of the engine writes."""
        return self._text

    def to_dict(self) -> WaterDocument:
        """Give the document as plain dictionaries, lists, numbers and text."""
        document: WaterDocument = json.loads(self._text)
        return document

    @property
    def name(self) -> str:
        """Name of the water."""
        return self.to_dict()["name"]

    @property
    def note(self) -> str | None:
        """Where and how it was sampled."""
        return self.to_dict()["note"]

    @property
    def sampled(self) -> str | None:
        """Day of sampling, YYYY-MM-DD."""
        return self.to_dict()["sampled"]

    @property
    def age_days(self) -> float | None:
        """How old the sample is, days."""
        return self.to_dict()["age_days"]

    @property
    def temperature_c(self) -> float | None:
        """Temperature of the sample, °C."""
        return self.to_dict()["temperature_c"]

    @property
    def entries(self) -> list[WaterEntry]:
        """What the report states, each in one unit and as it was written."""
        return self.to_dict()["entries"]

    @property
    def reckoned(self) -> WaterReckoned:
        """What follows from the entries taken at their word."""
        return self.to_dict()["reckoned"]

    @property
    def findings(self) -> list[Finding]:
        """What is odd about it, gravest first."""
        return self.to_dict()["findings"]
