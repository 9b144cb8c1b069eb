"""Targets to begin with, by family of beer."""

from __future__ import annotations

import json
from typing import TypedDict

from underlet import _core


class RuleSource(TypedDict):
    """Where a rule of a target comes from."""

    reference: str
    """The reference as printed, or that it is judged or common practice."""
    checked: str
    """How far it was checked: "read", "read at second hand", "from memory" or "derived"."""


class TargetRule(TypedDict):
    """The range of one target and why it is that."""

    target: str
    """Key of the target, one of `TARGET_KEYS`."""
    range: str
    """The range as a brew day takes it, such as "50-200 mg/L" or "at most 100 mg/L"."""
    applies_to: str
    """Beers that the rule applies to: "every beer", or those of a trait, such as "malt high"."""
    why: str
    """The reason, in one or two sentences."""
    sources: list[RuleSource]
    """Where reason and range come from."""


class FamilyTargets(TypedDict):
    """Targets to begin with for a family of beers."""

    family: str
    """Its name, one of `BEER_FAMILIES`."""
    description: str
    """What belongs to it."""
    hops: str
    """How much hops weigh in it: "low", "medium" or "high"."""
    malt: str
    """How much malt weighs in it: "low", "medium" or "high"."""
    colour: str
    """Its colour: "pale", "amber" or "dark"."""
    targets: dict[str, str]
    """Ranges by target, as a brew day takes them under ``targets``; change them as you like."""
    rules: list[TargetRule]
    """The rule of each target."""


def targets_for(family: str) -> FamilyTargets:
    """Give the targets to begin with for a family of beers, each with its reason and its sources.

    The ranges are wide: a brewer narrows them for a beer.

    Parameters
    ----------
    family : str
        One of `BEER_FAMILIES`, such as ``"pale lager"``.

    Returns
    -------
    FamilyTargets
        A new mapping at each call, with ``targets`` for a brew day.

    Raises
    ------
    InputError
        When there is no such family.

    Examples
    --------
    >>> import underlet as ul
    >>> mild = ul.targets_for("mild")
    >>> mild["targets"]["chloride"]
    '80-200 mg/L'
    >>> day = {**ul.examples()["dark-mild-2.5hl"], "targets": {**mild["targets"], "calcium": "60-120 mg/L"}}
    >>> ul.plan(day).mash["ph"] < 5.6
    True
    """
    read: FamilyTargets = json.loads(_core.targets_for(family))
    return read
