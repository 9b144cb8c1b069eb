"""Targets to begin with, by family of beer."""

from __future__ import annotations

from pathlib import Path

import pytest
import underlet as ul
from underlet import _core

KEPT = Path(__file__).parent.parent / "data" / "targets-pale-lager.json"


def test_targets_are_those_of_rust_to_the_byte() -> None:
    assert _core.targets_for("pale lager") == KEPT.read_text()


@pytest.mark.parametrize("family", ul.BEER_FAMILIES)
def test_a_family_gives_targets_of_a_brew_day(family: str) -> None:
    begin = ul.targets_for(family)
    assert begin["description"] == ul.BEER_FAMILIES[family]
    assert begin["targets"] == {rule["target"]: rule["range"] for rule in begin["rules"]}
    assert set(begin["targets"]) <= set(ul.TARGET_KEYS)
    assert all(rule["why"] and rule["sources"] for rule in begin["rules"])
    ul.validate("brew-day", {**ul.examples()["pale-ale-10hl"], "targets": begin["targets"]})


def test_an_unknown_family_is_refused_with_the_list() -> None:
    with pytest.raises(ul.InputError) as refused:
        ul.targets_for("soft drink")
    (problem,) = refused.value.problems
    assert (problem.code, problem.path) == ("unknown_name", "family")
    assert all(family in problem.expected for family in ul.BEER_FAMILIES)
