"""Water reports, their findings, and today's water."""

from __future__ import annotations

import json
from html import escape
from typing import TYPE_CHECKING

from underlet import _core
from underlet._core import Problem
from underlet._document import answer, as_text
from underlet._errors import InputError
from underlet._result import Result

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
    """Check a water report: its entries, figures derived from them, and findings.

    Parameters
    ----------
    report : mapping, str or bytes
        A water report as a mapping or as JSON text. Figures are written as laboratories write them: numbers in the
        documented default units, ``"2.1 mg/L as N"``, ``"<0.5 mg/L"``, ``"n.d."``, ``"trace"``, ``"12-18 mg/L"``,
        ``"5 ± 1 mg/L"`` (twice the standard deviation), or
        ``{"low": 12, "high": 18, "average": 15, "unit": "mg/L"}``.

    Returns
    -------
    Water
        The entries, in one unit each and as written, and the findings.

    Raises
    ------
    InputError
        When the document is invalid; all problems are reported together. Values that contradict each other are
        findings.

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


class Water(Result):
    """A checked water report, as `water` returns it; immutable.

    Two are equal when their documents are byte for byte equal. Each property returns new lists and dictionaries.

    Examples
    --------
    >>> import underlet as ul
    >>> ul.water({"underlet": 1, "name": "rain", "calcium": "0.1 meq/L"}).entries[0]["value"]
    2.0039
    """

    __slots__ = ()

    def __repr__(self) -> str:
        """Return the name and the numbers of entries and findings."""
        document = self.to_dict()
        counts = f"{len(document['entries'])} entries, {len(document['findings'])} findings"
        return f"<underlet.Water {document['name']!r}: {counts}>"

    def to_dict(self) -> WaterDocument:
        """Return the document as plain dictionaries, lists, numbers and text."""
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
        """Date of sampling, YYYY-MM-DD."""
        return self.to_dict()["sampled"]

    @property
    def age_days(self) -> float | None:
        """Age of the sample, days."""
        return self.to_dict()["age_days"]

    @property
    def temperature_c(self) -> float | None:
        """Temperature of the sample, °C."""
        return self.to_dict()["temperature_c"]

    @property
    def entries(self) -> list[WaterEntry]:
        """The entries of the report, each in one unit and as written."""
        return self.to_dict()["entries"]

    @property
    def derived(self) -> DerivedFigures:
        """Figures derived from the entries as stated."""
        return self.to_dict()["derived"]

    @property
    def findings(self) -> list[Finding]:
        """Findings, most severe first."""
        return self.to_dict()["findings"]

    @property
    def mistakes(self) -> list[WaterMistake]:
        """Figures that may be stated on another basis, likeliest first. The entries are not changed."""
        return self.to_dict()["mistakes"]

    @property
    def bench(self) -> WaterBench | None:
        """Today's measurements, if there are any."""
        return self.to_dict()["bench"]

    @property
    def reconciled(self) -> Reconciliation | None:
        """Today's water, from the report and today's measurements."""
        return self.to_dict()["reconciled"]

    @property
    def reconciliation_error(self) -> str | None:
        """Why there is no reconciled water, if there is none."""
        return self.to_dict()["reconciliation_error"]


class WaterReport(Result):
    """A water report as written, as `from_dict` and `from_json` return it; immutable.

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
            When the report is invalid; all problems are reported together.
        """
        return cls.from_json(report)

    @classmethod
    def from_json(cls, report: Mapping[str, object] | str | bytes) -> WaterReport:
        """Read a report from JSON text.

        Raises
        ------
        InputError
            When the report is invalid; all problems are reported together.
        """
        answer(_core.water, report)
        return cls(as_text(report)[0])

    def __repr__(self) -> str:
        """Return the name of the water."""
        return f"<underlet.WaterReport {self.to_dict()['name']!r}>"

    def to_dict(self) -> dict[str, object]:
        """Return the report as written, as plain dictionaries, lists, numbers and text."""
        report: dict[str, object] = json.loads(self.to_json())
        return report

    def water(self) -> Water:
        """Check it, as `underlet.water` does."""
        return water(self.to_json())

    def reconcile(self, bench: Mapping[str, object] | None = None) -> ReconciledWater:
        """Compute today's water from the report and today's measurements.

        Parameters
        ----------
        bench : mapping, optional
            Readings (``temperature``, ``alkalinity``, ``hardness``, ``conductivity``, ``ph``, ``free_chlorine``,
            ``total_chlorine``) and titrations from their volumes, such as
            ``{"alkalinity_titration": {"sample": "100 mL", "acid": "0.02 mol/L", "used": "18.4 mL"}}``.
            They replace those within the report.

        Returns
        -------
        ReconciledWater
            The electroneutral water that fits all of them best, with 95 % intervals and what disagrees.

        Raises
        ------
        InputError
            When a measurement is invalid, or the measurements do not determine a water.
        """
        report = self.to_dict() if bench is None else {**self.to_dict(), "bench": bench}
        checked = water(report).to_dict()
        reconciled = checked["reconciled"]
        if reconciled is None:
            found = checked["reconciliation_error"] or ""
            expected = "a report and measurements that one water can have"
            hint = "State the ions, the alkalinity or the conductivity; look for a value with a wrong unit."
            raise InputError([Problem("contradiction", "bench", found, expected, hint)])
        return ReconciledWater(json.dumps(reconciled, ensure_ascii=False, separators=(",", ":")))


class ReconciledWater(Result):
    """Today's water, as `WaterReport.reconcile` returns it; immutable.

    A notebook shows it as a table. ``today["calcium"]`` is the estimate of that key.
    """

    __slots__ = ()

    def __repr__(self) -> str:
        """Return how well report and measurements agree."""
        return f"<underlet.ReconciledWater: {self.text}>"

    def __getitem__(self, key: str) -> ReconciledEstimate:
        """Return the estimate of a key, such as ``"calcium"`` or ``"alkalinity"``."""
        for estimate in self.estimates:
            if estimate["key"] == key:
                return estimate
        raise KeyError(key)

    def _repr_html_(self) -> str:
        """Return the estimates as HTML for a notebook."""
        rows = "".join(
            f"<tr><th scope='row'>{escape(estimate['label'])}</th><td>{escape(estimate['display'])}</td>"
            f"<td>{'measured' if estimate['is_measured'] else 'not measured'}</td></tr>"
            for estimate in self.estimates
        )
        head = "<tr><th>today</th><th>estimate (95 % interval)</th><th></th></tr>"
        return f"<table><caption>{escape(self.text)}</caption><thead>{head}</thead><tbody>{rows}</tbody></table>"

    def to_dict(self) -> Reconciliation:
        """Return it as plain dictionaries, lists, numbers and text."""
        reconciled: Reconciliation = json.loads(self.to_json())
        return reconciled

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
        """Every measurement beside the value that this water would give."""
        return self.to_dict()["measurements"]

    @property
    def unused(self) -> list[ReconciledUnused]:
        """Entries that were not used: not independent measurements, or unrelated to the amounts."""
        return self.to_dict()["unused"]

    @property
    def chi_square(self) -> float:
        """Sum of the squares of all residuals, each divided by its standard deviation."""
        return self.to_dict()["chi_square"]

    @property
    def degrees_of_freedom(self) -> int:
        """Number of measurements beyond those needed to determine the water."""
        return self.to_dict()["degrees_of_freedom"]

    @property
    def probability(self) -> float:
        """Probability of a chi-square at least as great, if every standard deviation is right."""
        return self.to_dict()["probability"]

    @property
    def disagreement(self) -> ReconciledDisagreement | None:
        """The measurement that disagrees most with the others."""
        return self.to_dict()["disagreement"]

    @property
    def text(self) -> str:
        """How well report and measurements agree, as a sentence."""
        return self.to_dict()["text"]

    @property
    def liquor(self) -> ReconciledLiquor:
        """Liquor with its covariance, as a source of a brew day takes it.

        Examples
        --------
        >>> import underlet as ul
        >>> report = ul.WaterReport.from_dict({"underlet": 1, "name": "mains", "calcium": 80, "alkalinity": 190})
        >>> source = {"name": "mains", "liquor": report.reconcile().liquor}
        >>> ul.plan({**ul.examples()["pale-ale-10hl"], "sources": [source]}).mash["ph"] < 5.6
        True
        """
        return self.to_dict()["liquor"]
