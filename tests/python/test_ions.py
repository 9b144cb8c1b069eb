"""Fits of ions alone, in Python."""

from __future__ import annotations

import copy
import json
import pickle
from decimal import Decimal
from typing import get_type_hints

import pytest
import underlet as ul
import underlet.types
from test_types import conforms

FIT = {
    "underlet": 1,
    "source": {"name": "well", "calcium": 40, "chloride": "25 mg/L", "sulfate": 30, "alkalinity": 70},
    "dilution": {"name": "osmosis", "alkalinity": 0, "max_amount": "4 hL"},
    "volume": "10 hL",
    "targets": {"calcium": "90-110 mg/L", "sulfate": {"low": 100, "high": 140, "prefer": 120}},
    "shelf": [{"reagent": "gypsum", "step": "1 g"}, {"reagent": "calcium chloride dihydrate", "step": "1 g"}],
}


def test_the_dictionary_is_the_document() -> None:
    fitted = ul.fit_ions(FIT)
    document = fitted.to_dict()
    assert document == json.loads(fitted.to_json())
    conforms(document, underlet.types.FittedIonsDocument)
    hints = get_type_hints(underlet.types.FittedIonsDocument)
    parts = {name: value for name, value in vars(ul.FittedIons).items() if isinstance(value, property)}
    assert set(parts) == set(document) - {"underlet", "engine", "document", "id", "note"}
    for part, value in parts.items():
        assert getattr(fitted, part) == json.loads(fitted.to_json())[part]
        assert get_type_hints(value.fget, vars(underlet.types))["return"] == hints[part]


def test_it_is_fitted_and_shown() -> None:
    fitted = ul.fit_ions({**FIT, "volume": Decimal(1000)})
    assert fitted == ul.fit_ions(json.dumps(FIT))
    assert fitted.meets_every_range
    assert fitted.fit["gap"] == 0.0
    assert repr(fitted).startswith("<underlet.FittedIons: ")
    assert "gypsum" in fitted._repr_html_()


def test_it_pickles_and_does_not_change() -> None:
    fitted = ul.fit_ions(FIT)
    assert pickle.loads(pickle.dumps(fitted)) == copy.deepcopy(fitted) == fitted  # noqa: S301
    with pytest.raises(AttributeError):
        fitted.summary = "other"  # type: ignore[misc]


def test_all_problems_are_reported_together() -> None:
    with pytest.raises(ul.InputError) as caught:
        ul.fit_ions({**FIT, "volume": object(), "shelf": [{"reagent": "sulfuric acid"}]})
    assert {problem.path for problem in caught.value.problems} == {"volume", "shelf[0].reagent"}
