"""What is said about a water report, as Python holds it."""

from __future__ import annotations

import json
from html import escape
from typing import TYPE_CHECKING

from underlet import _core
from underlet._core import Problem
from underlet._document import answer, as_text
from underlet._errors import InputError
from underlet._held import Held

if TYPE_CHECKING:
    from collections.abc import Mapping

    from underlet.types import (
        DerivedFigures,
        Finding,
        ReconciledDisagreement,
        ReconciledEstimate,
        ReconciledLiquor,
        ReconciledMeasurement,
        ReconciledUnused,
        Reconciliation,
        WaterBench,
        WaterDocument,
        WaterEntry,
        WaterMistake,
    )


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


class Water(Held):
    """A water report that was looked at. `water` makes it; it never changes.

    Two are equal when their documents are, to the last byte. Each property hands out fresh lists and dictionaries.

    Examples
    --------
    >>> import underlet as ul
    >>> ul.water({"underlet": 1, "name": "rain", "calcium": "0.1 meq/L"}).entries[0]["value"]
    2.0039
    """

    __slots__ = ()

    def __repr__(self) -> str:
        """Give the name and how much was found."""
        document = self.to_dict()
        counts = f"{len(document['entries'])} entries, {len(document['findings'])} findings"
        return f"<underlet.Water {document['name']!r}: {counts}>"

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
    def derived(self) -> DerivedFigures:
        """What follows from the entries taken at their word."""
        return self.to_dict()["derived"]

    @property
    def findings(self) -> list[Finding]:
        """What is odd about it, gravest first."""
        return self.to_dict()["findings"]

    @property
    def mistakes(self) -> list[WaterMistake]:
        """Figures that were perhaps read on the wrong basis, likeliest first. Nothing is changed by them."""
        return self.to_dict()["mistakes"]

    @property
    def bench(self) -> WaterBench | None:
        """The bench of this morning, where there was one."""
        return self.to_dict()["bench"]

    @property
    def reconciled(self) -> Reconciliation | None:
        """What the water is today, from report and bench together."""
        return self.to_dict()["reconciled"]

    @property
    def reconciliation_error(self) -> str | None:
        """Why nothing can be said of today, where that is so."""
        return self.to_dict()["reconciliation_error"]


class WaterReport(Held):
    """A water report as it was written. `from_dict` and `from_json` make it; it never changes.

    Examples
    --------
    >>> import underlet as ul
    >>> report = ul.WaterReport.from_dict({"underlet": 1, "name": "well", "calcium": 80, "alkalinity": "190 mg/L"})
    >>> today = report.reconcile(bench={"alkalinity": "160 mg/L as CaCO3", "conductivity": "430 µS/cm"})
    >>> today["alkalinity"]["unit"]
    'mg/L as CaCO3'
    """

    __slots__ = ()

    @classmethod
    def from_dict(cls, report: Mapping[str, object]) -> WaterReport:
        """Read a report from a mapping, as `water` does.

        Raises
        ------
        InputError
            When something cannot be read; all of it is told together.
        """
        return cls.from_json(report)

    @classmethod
    def from_json(cls, report: Mapping[str, object] | str | bytes) -> WaterReport:
        """Read a report from JSON text.

        Raises
        ------
        InputError
            When something cannot be read; all of it is told together.
        """
        answer(_core.water, report)
        return cls(as_text(report)[0])

    def __repr__(self) -> str:
        """Give the name of the water."""
        return f"<underlet.WaterReport {self.to_dict()['name']!r}>"

    def to_dict(self) -> dict[str, object]:
        """Give the report as it was written, as plain dictionaries, lists, numbers and text."""
        report: dict[str, object] = json.loads(self.to_json())
        return report

    def water(self) -> Water:
        """Look at it: the same as `underlet.water`."""
        return water(self.to_json())

    def reconcile(self, bench: Mapping[str, object] | None = None) -> ReconciledWater:
        """Tell what the water is today, from the report and this morning's bench.

        Parameters
        ----------
        bench : mapping, optional
            Readings (``temperature``, ``alkalinity``, ``hardness``, ``conductivity``, ``ph``, ``free_chlorine``,
            ``total_chlorine``) and titrations from their volumes, such as
            ``{"alkalinity_titration": {"sample": "100 mL", "acid": "0.02 mol/L", "used": "18.4 mL"}}``.
            It takes the place of a bench within the report.

        Returns
        -------
        ReconciledWater
            What fits all of it best, electroneutral, with 95 % intervals and what disagrees.

        Raises
        ------
        InputError
            When a reading cannot be read, or nothing was measured that a water could be made of.
        """
        report = self.to_dict() if bench is None else {**self.to_dict(), "bench": bench}
        looked_at = water(report).to_dict()
        today = looked_at["reconciled"]
        if today is None:
            told = looked_at["reconciliation_error"] or ""
            expected = "a report and bench that one water can have"
            hint = "Give the ions, the alkalinity or the conductivity; look for a figure with a wrong unit."
            raise InputError([Problem("contradiction", "bench", told, expected, hint)])
        return ReconciledWater(json.dumps(today, ensure_ascii=False, separators=(",", ":")))


class ReconciledWater(Held):
    """What a water is today. `WaterReport.reconcile` makes it; it never changes.

    A notebook shows it as a table. ``today["calcium"]`` is the estimate of that key.
    """

    __slots__ = ()

    def __repr__(self) -> str:
        """Give how well report and bench agree."""
        return f"<underlet.ReconciledWater: {self.text}>"

    def __getitem__(self, key: str) -> ReconciledEstimate:
        """Give the estimate of a key, such as ``"calcium"`` or ``"alkalinity"``."""
        for estimate in self.estimates:
            if estimate["key"] == key:
                return estimate
        raise KeyError(key)

    def _repr_html_(self) -> str:
        """Give the estimates as a notebook shows them."""
        rows = "".join(
            f"<tr><th scope='row'>{escape(estimate['label'])}</th><td>{escape(estimate['display'])}</td>"
            f"<td>{'measured' if estimate['is_measured'] else 'not measured'}</td></tr>"
            for estimate in self.estimates
        )
        head = "<tr><th>today</th><th>estimate (95 % interval)</th><th></th></tr>"
        return f"<table><caption>{escape(self.text)}</caption><thead>{head}</thead><tbody>{rows}</tbody></table>"

    def to_dict(self) -> Reconciliation:
        """Give it as plain dictionaries, lists, numbers and text."""
        today: Reconciliation = json.loads(self.to_json())
        return today

    @property
    def temperature_c(self) -> float:
        """Temperature, °C."""
        return self.to_dict()["temperature_c"]

    @property
    def estimates(self) -> list[ReconciledEstimate]:
        """Ions, then alkalinity, hardness, pH, conductivity at 25 °C and inorganic carbon."""
        return self.to_dict()["estimates"]

    @property
    def measurements(self) -> list[ReconciledMeasurement]:
        """Every measurement beside what this water would read."""
        return self.to_dict()["measurements"]

    @property
    def unused(self) -> list[ReconciledUnused]:
        """Entries that are no measurement of their own, or say nothing about the amounts."""
        return self.to_dict()["unused"]

    @property
    def chi_square(self) -> float:
        """Sum of the squares of all residuals in their standard deviations."""
        return self.to_dict()["chi_square"]

    @property
    def degrees_of_freedom(self) -> int:
        """How many measurements more there are than it takes to know the water."""
        return self.to_dict()["degrees_of_freedom"]

    @property
    def probability(self) -> float:
        """Probability of so great a chi-square, or greater, if every standard deviation is right."""
        return self.to_dict()["probability"]

    @property
    def disagreement(self) -> ReconciledDisagreement | None:
        """The measurement that disagrees most with the others."""
        return self.to_dict()["disagreement"]

    @property
    def text(self) -> str:
        """How well report and bench agree, in plain words."""
        return self.to_dict()["text"]

    @property
    def liquor(self) -> ReconciledLiquor:
        """ReconciledWater's liquor with its covariance, as a source of a brew day takes it.

        Examples
        --------
        >>> import underlet as ul
        >>> report = ul.WaterReport.from_dict({"underlet": 1, "name": "mains", "calcium": 80, "alkalinity": 190})
        >>> source = {"name": "mains", "liquor": report.reconcile().liquor}
        >>> ul.plan({**ul.examples()["pale-ale-10hl"], "sources": [source]}).mash["ph"] < 5.6
        True
        """
        return self.to_dict()["liquor"]
