"""Water reports in Python."""

from __future__ import annotations

import copy
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
    assert parts == set(document) - {"underlet", "engine", "document", "id"}
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


def test_all_problems_are_reported_together() -> None:
    with pytest.raises(ul.InputError) as caught:
        ul.water({**WELL, "calcium": object(), "nitrate": "plenty"})
    assert {problem.path for problem in caught.value.problems} == {"calcium", "nitrate"}


REPORT = {
    "underlet": 1,
    "name": "mains",
    "sampled": "2025-06-02",
    "today": "2026-03-31",
    "calcium": "80 mg/L",
    "magnesium": "10 mg/L",
    "chloride": "40 mg/L",
    "sulfate": "60 mg/L",
    "alkalinity": "190 mg/L as CaCO3",
}
BENCH = {
    "temperature": "12 °C",
    "alkalinity_titration": {"sample": "100 mL", "acid": "0.02 mol/L", "used": "16 mL"},
    "conductivity": "480 µS/cm",
}


def test_a_report_is_reconciled_with_the_bench() -> None:
    report = ul.WaterReport.from_dict(REPORT)
    today = report.reconcile(bench=BENCH)
    whole = ul.water({**REPORT, "bench": BENCH})
    assert today.to_dict() == whole.reconciled
    parts = {name for name, value in vars(ul.ReconciledWater).items() if isinstance(value, property)}
    document: dict[str, object] = dict(today.to_dict())
    assert parts == set(document)
    for part in parts:
        assert getattr(today, part) == document[part]
    # Standard Methods 2320 B: 16 mL of 0.02 eq/L on 100 mL are 160 mg/L as CaCO3; the old report states 190, less surely.
    alkalinity = today["alkalinity"]
    assert abs(alkalinity["value"] - 160) < 5
    low, high = alkalinity["interval_95"]
    assert low < alkalinity["value"] < high
    assert today.temperature_c == 12
    with pytest.raises(KeyError):
        today["gold"]
    # Without measurements it is the report alone; those within the report are used as well.
    assert report.reconcile()["alkalinity"]["value"] > 170
    assert ul.WaterReport.from_json(json.dumps({**REPORT, "bench": BENCH})).reconcile() == today


def test_todays_water_is_a_value() -> None:
    report = ul.WaterReport.from_dict(REPORT)
    today = report.reconcile(bench=BENCH)
    for held in (today, report):
        assert pickle.loads(pickle.dumps(held)) == held  # noqa: S301
        assert copy.deepcopy(held) is held
        assert len({held, pickle.loads(pickle.dumps(held))}) == 1  # noqa: S301
        assert json.loads(held.to_json()) == held.to_dict()
    assert today != report
    with pytest.raises(AttributeError):
        today.text = "other"  # type: ignore[misc]
    assert repr(report) == "<underlet.WaterReport 'mains'>"
    assert repr(today) == f"<underlet.ReconciledWater: {today.text}>"
    shown = today._repr_html_()
    assert shown.startswith("<table>")
    assert shown.count("<tr>") == len(today.estimates) + 1
    assert today["calcium"]["display"] in shown
    assert report.water() == ul.water(REPORT)


def test_a_brew_day_takes_todays_liquor() -> None:
    report = ul.WaterReport.from_dict(REPORT)
    day = ul.examples()["pale-ale-10hl"]

    def sd_of_water(liquor: object) -> float:
        day["sources"] = [{"name": "mains", "liquor": liquor}]
        budget = ul.plan(day).mash["uncertainty_budget"]
        return next(part["sd"] for part in budget if part["cause"] == "alkalinity")

    # The measurements make the water more certain, and the plan with it.
    assert sd_of_water(report.reconcile(bench=BENCH).liquor) < sd_of_water(report.reconcile().liquor) / 2


def test_a_report_that_cannot_be_reconciled() -> None:
    report = ul.WaterReport.from_dict({"underlet": 1, "name": "rain", "ph": 5.6})
    water = report.water()
    assert water.reconciled is None
    assert water.reconciliation_error is not None
    with pytest.raises(ul.InputError) as caught:
        report.reconcile()
    assert water.reconciliation_error in str(caught.value)
    with pytest.raises(ul.InputError) as caught:
        report.reconcile(bench={"alkalinity": "lots", "hardness": object()})
    assert {problem.path for problem in caught.value.problems} == {"bench.alkalinity", "bench.hardness"}


def test_a_mistaken_basis_is_proposed() -> None:
    ions = {"calcium": 120, "magnesium": 20, "sodium": 38, "chloride": 50, "sulfate": 80}
    water = ul.water({"underlet": 1, "name": "well", "alkalinity": "150 mg/L as CaCO3", **ions})
    first = water.mistakes[0]
    assert first["kind"] == "sulfur_read_as_sulfate"
    assert abs(first["balance_undone_percent"]) < abs(first["balance_percent"])
    assert first["changes"][0]["read"] == 80
    assert water.entries[4]["value"] == 80
