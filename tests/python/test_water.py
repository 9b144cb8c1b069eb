"""What is said about a water report, in Python."""

from __future__ import annotations

import json
import pickle
from decimal import Decimal

import pytest
import underlet as ul

WELL = {"underlet": 1, "name": "well", "calcium": {"low": 70, "high": 90, "unit": "mg/L"}, "nitrate": "n.d."}


def test_the_dictionary_is_the_document() -> None:
    water = ul.water(WELL)
    document: dict[str, object] = dict(water.to_dict())
    assert document == json.loads(water.to_json())
    parts = {name for name, value in vars(ul.Water).items() if isinstance(value, property)}
    assert parts == set(document) - {"underlet", "document"}
    for part in parts:
        assert getattr(water, part) == document[part]
    assert repr(water) == "<underlet.Water 'well': 2 entries, 3 findings>"


def test_it_pickles_and_does_not_change() -> None:
    water = ul.water(WELL)
    assert pickle.loads(pickle.dumps(water)) == water  # noqa: S301
    assert len({water, ul.water(json.dumps(WELL))}) == 1
    with pytest.raises(AttributeError):
        water.name = "other"  # type: ignore[misc]


def test_figures_are_read_and_shown() -> None:
    calcium, nitrate = ul.water(WELL).entries
    assert (calcium["low"], calcium["high"], calcium["value"]) == (70.0, 90.0, 80.0)
    assert calcium["display"] == "70 to 90 mg/L"
    assert nitrate["display"] == "n.d."
    assert ul.water({**WELL, "calcium": Decimal("80.5")}).entries[0]["display"] == "80.5 mg/L"


def test_findings_have_known_codes() -> None:
    found = ul.water(WELL).findings
    assert found
    for finding in found:
        assert finding["code"] in ul.FINDING_CODES
        assert set(finding["subjects"]) <= {*WELL, "magnesium", "sodium", "chloride", "sulfate", "alkalinity"}


def test_what_cannot_be_read_is_told_together() -> None:
    with pytest.raises(ul.InputError) as caught:
        ul.water({**WELL, "calcium": object(), "nitrate": "plenty"})
    assert {problem.path for problem in caught.value.problems} == {"calcium", "nitrate"}
