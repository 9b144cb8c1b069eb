"""Days of the liquor tank."""

from __future__ import annotations

import copy
import json
import pickle
from pathlib import Path
from typing import Any

import pytest
import underlet as ul

CASES = Path(__file__).resolve().parents[1] / "cases"


@pytest.fixture
def night() -> dict[str, Any]:
    """Return a night on hard water, acid first."""
    day: dict[str, Any] = json.loads((CASES / "tank-day" / "night-acid-first.json").read_text(encoding="utf-8"))[
        "document"
    ]
    return day


def test_a_ledger_never_changes(night: dict[str, Any]) -> None:
    ledger = ul.tank(night)
    assert ledger == ul.tank(json.dumps(night))
    assert hash(ledger) == hash(pickle.loads(pickle.dumps(ledger)))  # noqa: S301
    assert copy.deepcopy(ledger) is ledger
    ledger.lines.clear()
    assert len(ledger.lines) == len(night["lines"])
    with pytest.raises(AttributeError):
        ledger.name = "another"  # type: ignore[misc]


def test_it_shows_its_lines(night: dict[str, Any]) -> None:
    ledger = ul.tank(night)
    assert repr(ledger) == "<underlet.TankLedger 'Night at Ninefold Quay, acid first': 6 lines, 1 finding>"
    html = ledger._repr_html_()
    assert html.count("<tr>") == 7
    assert "until 9:00" in html
    assert ledger.tank == "hot-liquor tank"
    assert ledger.losses["scale_g"]["value"] == 0.0


def test_a_draw_is_a_source_and_the_heel_starts_the_next_day(night: dict[str, Any]) -> None:
    ledger = ul.tank(night)
    (strike,) = (line["drawn"] for line in ledger.lines if line["label"] == "strike")
    assert strike is not None
    day = {**ul.examples()["pale-ale-10hl"], "sources": [{"name": "strike", "liquor": strike["liquor"]}]}
    assert 5.0 < ul.plan(day).mash["ph"] < 6.0
    lines = [{"work": "fill", "supply": "well", "volume": "5 hL"}]
    next_day = ul.tank({**night, "heel": ledger.heel, "lines": lines})
    assert next_day.lines[0]["water_kg"] == pytest.approx(ledger.heel["water_kg"] + 499.75, rel=1e-4)


def test_every_impossible_line_is_reported(night: dict[str, Any]) -> None:
    night["lines"] = [
        {"work": "hold", "duration": 1},
        {"work": "fill", "supply": "well", "volume": "2 m3"},
        {"work": "draw", "volume": "2 m3", "to": "mash"},
    ]
    with pytest.raises(ul.InputError) as caught:
        ul.tank(night)
    found = [(problem.code, problem.path) for problem in caught.value.problems]
    assert found == [("dry", "lines[0]"), ("overflow", "lines[1].volume"), ("overdraw", "lines[2].volume")]


def test_findings_have_codes_that_are_listed(night: dict[str, Any]) -> None:
    for finding in ul.tank(night).findings:
        assert ul.TANK_FINDING_CODES[finding["code"]]
