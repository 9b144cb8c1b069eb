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
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from underlet import _core
from underlet._check import Diagnosis, check
from underlet._core import Equilibrium, Problem, equilibrium
from underlet._errors import InputError
from underlet._ions import FittedIons, fit_ions
from underlet._plan import Plan, plan, sheet_of
from underlet._tank import TankLedger, tank
from underlet._water import ReconciledWater, Water, WaterReport, water

if TYPE_CHECKING:
    from collections.abc import Mapping

__all__ = [
    "ERROR_CODES",
    "FINDING_CODES",
    "TANK_FINDING_CODES",
    "Diagnosis",
    "Equilibrium",
    "FittedIons",
    "InputError",
    "Plan",
    "Problem",
    "ReconciledWater",
    "TankLedger",
    "Water",
    "WaterReport",
    "__version__",
    "check",
    "equilibrium",
    "examples",
    "fit_ions",
    "plan",
    "sheet_of",
    "tank",
    "water",
]

__version__: str = _core.VERSION

ERROR_CODES: Mapping[str, str] = MappingProxyType(_core.error_codes())
"""Every code that a `Problem` can carry, with one line on what it means."""

FINDING_CODES: Mapping[str, str] = MappingProxyType(_core.finding_codes())
"""Every code that a finding about a water report can carry, with one line on what it means."""

TANK_FINDING_CODES: Mapping[str, str] = MappingProxyType(_core.tank_finding_codes())
"""Every code that a finding about a liquor tank can carry, with one line on what it means."""


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
