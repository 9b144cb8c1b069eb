"""One water by numbers: arguments, errors and results, and Python's rules for objects."""

from __future__ import annotations

import copy
import inspect
import json
import math
import pickle
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import underlet as ul

CASES = Path(__file__).resolve().parents[1] / "cases"

WELL: dict[str, Any] = {
    "temperature": 12.0,
    "calcium": 70.0,
    "magnesium": 9.0,
    "sodium": 14.0,
    "chloride": 21.0,
    "sulfate": 40.0,
    "silica": 11.0,
    "alkalinity": 150.0,
    "ph": 7.4,
}


@pytest.fixture
def well() -> ul.Equilibrium:
    """Return a water defined by its pH and alkalinity."""
    return ul.equilibrium(**WELL)


def test_a_closed_water_of_phreeqc() -> None:
    """PHREEQC 3 (PyPI phreeqc 1.1.1, wateq4f.dat less NaCO3- and NaHCO3), as in core/tests/references/sensitivities.rs.

    2.5, 0.8, 1.2, 0.1, 1.5, 1.2 mmol/kg of Ca, Mg, Na, K, Cl, SO4, 4 meq/kg of alkalinity, 4.3 mmol/kg of carbon
    at 12 °C: pH 7.490727, SI of calcite 0.166803, of gypsum -1.428051, ionic strength 0.0113332. Molar masses of
    IUPAC 2021 and the density of water at 20 °C, 0.9982 kg/L, turn them into mg/L.
    """
    kg_per_l = 0.9982
    molal = {
        "calcium": (2.5, 40.078),
        "magnesium": (0.8, 24.305),
        "sodium": (1.2, 22.990),
        "potassium": (0.1, 39.098),
    }
    molal |= {"chloride": (1.5, 35.45), "sulfate": (1.2, 96.056), "total_carbon": (4.3, 12.011)}
    mg = {name: mmol * mass * kg_per_l for name, (mmol, mass) in molal.items()}
    water = ul.equilibrium(temperature=12, alkalinity=4.0 * 50.0435 * kg_per_l, **mg)
    assert water.ph == pytest.approx(7.490727, abs=5e-4)
    assert water.saturation_indices["calcite"] == pytest.approx(0.166803, abs=1e-3)
    assert water.saturation_indices["gypsum"] == pytest.approx(-1.428051, abs=1e-3)
    assert water.ionic_strength == pytest.approx(0.0113332, rel=1e-3)


def test_every_pair_that_determines_a_water_gives_the_same_water(well: ul.Equilibrium) -> None:
    question = {name: value for name, value in WELL.items() if name not in ("ph", "alkalinity")}
    for pair in (
        {"alkalinity": 150.0, "total_carbon": well.total_carbon},
        {"alkalinity": 150.0, "log10_pco2": well.log10_pco2},
        {"ph": 7.4, "total_carbon": well.total_carbon},
    ):
        same = ul.equilibrium(**question, **pair)
        assert same.ph == pytest.approx(7.4, abs=1e-9)
        assert same.alkalinity == pytest.approx(150.0, rel=1e-9)
        assert same.total_carbon == pytest.approx(well.total_carbon, rel=1e-9)
        assert same.log10_pco2 == pytest.approx(well.log10_pco2, abs=1e-9)
        assert same.species == pytest.approx(well.species, rel=1e-8)


def test_what_it_gives(well: ul.Equilibrium) -> None:
    assert set(well.saturation_indices) == {"calcite", "aragonite", "gypsum", "anhydrite", "brucite"}
    assert {"Ca+2", "CaSO4", "HCO3-", "Cl-", "H4SiO4"} <= set(well.species)
    assert "F-" not in well.species
    assert well.conductivity_us_per_cm < well.conductivity_25c_us_per_cm
    values = [*well.saturation_indices.values(), *well.species.values(), well.ph, well.ionic_strength]
    assert all(type(value) is float and math.isfinite(value) for value in values)
    assert ul.equilibrium(alkalinity=0, total_carbon=0).log10_pco2 is None


def test_the_sensitivities_are_those_of_the_results(well: ul.Equilibrium) -> None:
    sensitivities = well.sensitivities
    assert all(set(one) == set(sensitivities["ph"]) for one in sensitivities.values())
    assert set(WELL) <= set(sensitivities["ph"])
    assert sensitivities["ph"]["ph"] == pytest.approx(1, abs=1e-12)
    for name, step in (("calcium", 0.1), ("alkalinity", 0.1), ("temperature", 0.02), ("ph", 0.001)):
        more, less = (ul.equilibrium(**WELL | {name: WELL[name] + by}) for by in (step, -step))
        for result in ("ionic_strength", "total_carbon", "conductivity_us_per_cm", "conductivity_25c_us_per_cm"):
            found = (getattr(more, result) - getattr(less, result)) / (2 * step)
            # The tolerance is the truncation error of a central difference with these steps.
            assert sensitivities[result][name] == pytest.approx(found, rel=1e-5), (result, name)
        for mineral, index in more.saturation_indices.items():
            found = (index - less.saturation_indices[mineral]) / (2 * step)
            assert sensitivities[mineral][name] == pytest.approx(found, rel=1e-4, abs=1e-9), (mineral, name)


def test_all_problems_are_reported_together() -> None:
    with pytest.raises(ul.InputError) as caught:
        ul.equilibrium(temperature=120, calcium=float("nan"), sulfate=-1, ph=15)
    found = [(problem.path, problem.code) for problem in caught.value.problems]
    assert found == [
        ("temperature", "out_of_range"),
        ("calcium", "not_finite"),
        ("sulfate", "out_of_range"),
        ("ph", "out_of_range"),
        ("alkalinity", "missing_key"),
    ]
    assert all(problem.found and problem.expected and problem.hint for problem in caught.value.problems)


def cases(folder: str) -> list[Any]:
    """Return the cases of a folder, which Rust and JavaScript run too."""
    return [
        pytest.param(path, id=path.stem)
        for path in sorted((CASES / folder).glob("*.json"))
        if not path.name.endswith(".answer.json")
    ]


def read(path: Path) -> dict[str, Any]:
    """Read a case or its answer."""
    content: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
    return content


def test_there_are_cases() -> None:
    assert len(cases("equilibrium")) >= 5
    assert len(cases("refused/equilibrium")) >= 8


@pytest.mark.parametrize("path", cases("equilibrium"))
def test_it_answers_as_in_rust_and_javascript(path: Path) -> None:
    found = ul.equilibrium(**read(path)["document"])
    answer = read(path.with_suffix(".answer.json"))
    # Only the document has these.
    for name in ("underlet", "engine", "document", "id", "note", "temperature"):
        del answer[name]
    for name, kept in answer.items():
        if name == "sensitivities":
            assert set(found.sensitivities) == set(kept)
            for result, sensitivities in kept.items():
                assert found.sensitivities[result] == pytest.approx(sensitivities, rel=1e-9), result
        elif kept is None:
            assert getattr(found, name) is None, name
        else:
            assert getattr(found, name) == pytest.approx(kept, rel=1e-9), name


@pytest.mark.parametrize("path", cases("refused/equilibrium"))
def test_it_refuses_as_in_rust_and_javascript(path: Path) -> None:
    case = read(path)
    with pytest.raises(ul.InputError) as caught:
        ul.equilibrium(**case["document"])
    problems = [{"code": one.code, "path": one.path} for one in caught.value.problems]
    assert problems == case["problems"]


def test_numbers_of_every_kind_are_taken() -> None:
    numbers: dict[str, Any] = {"calcium": np.float64(70), "alkalinity": np.int64(150), "ph": np.float32(7)}
    assert ul.equilibrium(calcium=70, alkalinity=150, ph=7) == ul.equilibrium(**numbers)
    with pytest.raises(TypeError):
        ul.equilibrium(calcium="70", alkalinity=150, ph=7)  # type: ignore[arg-type]
    with pytest.raises(TypeError):
        ul.equilibrium(70)  # type: ignore[call-arg]


def test_it_is_a_value(well: ul.Equilibrium) -> None:
    again, other = ul.equilibrium(**WELL), ul.equilibrium(**WELL | {"ph": 7.5})
    assert well == again
    assert well != other
    assert well != WELL
    assert len({well, again, other}) == 2
    for loaded in (pickle.loads(pickle.dumps(well)), copy.copy(well), copy.deepcopy(well)):  # noqa: S301
        assert loaded == well
        assert loaded.species == well.species
    with pytest.raises(AttributeError):
        well.ph = 7.0  # type: ignore[misc]
    well.species.clear()
    assert well.species == again.species


def test_it_shows_itself(well: ul.Equilibrium) -> None:
    assert repr(well).startswith("<underlet.Equilibrium pH 7.40 at 12 °C")
    html = well._repr_html_()
    assert html.startswith("<table")
    assert html.count("<tr>") == html.count("</tr>") == 8 + len(well.saturation_indices)


def test_its_keywords_are_those_of_its_sensitivities() -> None:
    keywords = set(inspect.signature(ul.equilibrium).parameters)
    assert set(ul.equilibrium(**WELL).sensitivities["ph"]) | {"total_carbon", "log10_pco2"} == keywords
