"""Brewhouse water chemistry: from a water report to weighed salts and acids.

>>> import underlet as ul
>>> plan = ul.plan(ul.examples()["pale-ale-10hl"])
>>> for addition in plan.additions:
...     assert addition["unit"] in ("g", "mL")

The engine advises; a calibrated pH meter decides. The supplier's safety data sheet, local codes and licensed
practice come first.
"""

from __future__ import annotations

import json
from functools import partial
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from underlet import _core
from underlet._core import Equilibrium, Problem, equilibrium
from underlet._diagnosis import Diagnosis, diagnose
from underlet._document import answer
from underlet._errors import InputError
from underlet._ions import FittedIons, fit_ions
from underlet._plan import Plan, plan, render_sheet
from underlet._tank import TankLedger, tank
from underlet._targets import FamilyTargets, targets_for
from underlet._water import ReconciledWater, Water, WaterReport, water

if TYPE_CHECKING:
    from collections.abc import Mapping

__all__ = [
    "ALTERNATIVE_CODES",
    "BEER_FAMILIES",
    "CAUTION_CODES",
    "DOCUMENT_KINDS",
    "ERROR_CODES",
    "EXPLANATION_CODES",
    "FINDING_CODES",
    "LIMIT_CODES",
    "REASON_CODES",
    "TANK_FINDING_CODES",
    "TARGET_KEYS",
    "UNCERTAINTY_CAUSES",
    "VERDICT_CODES",
    "Diagnosis",
    "Equilibrium",
    "FamilyTargets",
    "FittedIons",
    "InputError",
    "Plan",
    "Problem",
    "ReconciledWater",
    "TankLedger",
    "Water",
    "WaterReport",
    "__version__",
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

__version__: str = _core.VERSION

_CODES: dict[str, dict[str, str]] = json.loads(_core.codes())

ALTERNATIVE_CODES: Mapping[str, str] = MappingProxyType(_CODES["alternative"])
"""Every code of an alternative to a plan, with one line on what it means."""

BEER_FAMILIES: Mapping[str, str] = MappingProxyType(_CODES["beer_family"])
"""Every family of beer that `targets_for` knows, with what belongs to it."""

CAUTION_CODES: Mapping[str, str] = MappingProxyType(_CODES["caution"])
"""Every code that a caution of a plan can carry, with one line on what it means."""

DOCUMENT_KINDS: Mapping[str, str] = MappingProxyType(_CODES["document"])
"""Every kind of document, as documents state it, with one line on what it means."""

ERROR_CODES: Mapping[str, str] = MappingProxyType(_CODES["error"])
"""Every code that a `Problem` can carry, with one line on what it means."""

EXPLANATION_CODES: Mapping[str, str] = MappingProxyType(_CODES["explanation"])
"""Every code of an explanation of readings, with one line on what it means."""

FINDING_CODES: Mapping[str, str] = MappingProxyType(_CODES["finding"])
"""Every code that a finding about a water report can carry, with one line on what it means."""

LIMIT_CODES: Mapping[str, str] = MappingProxyType(_CODES["limit"])
"""Every code of what limits a plan, with one line on what it means."""

REASON_CODES: Mapping[str, str] = MappingProxyType(_CODES["reason"])
"""Every code that a reason of a plan can carry, with one line on what it means."""

TANK_FINDING_CODES: Mapping[str, str] = MappingProxyType(_CODES["tank_finding"])
"""Every code that a finding about a liquor tank can carry, with one line on what it means."""

TARGET_KEYS: Mapping[str, str] = MappingProxyType(_CODES["target"])
"""Every key of a target, with one line on what it means."""

UNCERTAINTY_CAUSES: Mapping[str, str] = MappingProxyType(_CODES["uncertainty_cause"])
"""Every cause in the uncertainty budget of a mash pH, with one line on what it means."""

VERDICT_CODES: Mapping[str, str] = MappingProxyType(_CODES["verdict"])
"""Every code of a verdict on readings, with one line on what it means."""


def examples() -> dict[str, dict[str, Any]]:
    """Return the built-in brew days of Ninefold Quay, an invented harbour-side pilot brewhouse.

    Returns
    -------
    dict of str to dict
        Brew days by key, new objects at each call: change them as you like and pass them to `plan`.

    Examples
    --------
    >>> import underlet as ul
    >>> sorted(ul.examples())
    ['dark-mild-2.5hl', 'pale-ale-10hl', 'pale-lager-ro']
    """
    return {key: json.loads(day) for key, day in _core.examples().items()}


def validate(kind: str, document: Mapping[str, object] | str | bytes) -> None:
    """Check a document without computing anything.

    What only the computation finds is not reported: a day that cannot be planned, readings that
    the day does not predict, lines of a tank day that cannot be done.

    Parameters
    ----------
    kind : str
        What it should be, one of `DOCUMENT_KINDS`: ``"brew-day"``, ``"plan"`` and so on.
    document : mapping, str or bytes
        The document, as a mapping or as JSON text.

    Raises
    ------
    InputError
        Every problem of a document that people write; the first misfit of one that the engine wrote.

    Examples
    --------
    >>> import underlet as ul
    >>> day = ul.examples()["pale-ale-10hl"]
    >>> ul.validate("brew-day", day)
    >>> try:
    ...     ul.validate("brew-day", ul.plan(day).to_dict())
    ... except ul.InputError as error:
    ...     print(error.problems[0].found, "/", error.problems[0].expected)
    a "plan" document / a "brew-day" document
    """
    answer(partial(_core.validate, kind), document)


def schema(kind: str) -> dict[str, Any]:
    """Give the JSON Schema (draft 2020-12) of a kind of document.

    Parameters
    ----------
    kind : str
        One of `DOCUMENT_KINDS`.

    Returns
    -------
    dict
        The schema, fresh at each call.

    Raises
    ------
    InputError
        When there is no such kind.

    Examples
    --------
    >>> import underlet as ul
    >>> ul.schema("brew-day")["$id"]
    'urn:underlet:schema:brew-day:1'
    """
    read: dict[str, Any] = json.loads(_core.schema(kind))
    return read
