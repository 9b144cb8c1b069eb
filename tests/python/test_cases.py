"""The shared cases, which every face of the engine runs alike. Each case names its own source."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
import underlet as ul

if TYPE_CHECKING:
    from collections.abc import Callable

CASES = Path(__file__).resolve().parents[1] / "cases"


def read() -> list[Any]:
    """Read every case; a file holds one, or a list of them."""
    cases = []
    for path in sorted(CASES.glob("*.json")):
        if path.name.endswith((".plan.json", ".water.json", ".diagnosis.json", ".tank.json", ".fitted.json")):
            continue
        held = json.loads(path.read_text(encoding="utf-8"))
        for case in held if isinstance(held, list) else [held]:
            cases.append(pytest.param(case, id=f"{path.stem}: {case['name']}"))
    return cases


def test_there_are_cases_of_both_kinds() -> None:
    cases: list[dict[str, Any]] = [param.values[0] for param in read()]
    assert any("problems" in case for case in cases)
    assert any("plan_file" in case for case in cases)
    assert all(case["source"] for case in cases)
    planned = {case["plan_file"] for case in cases if "plan_file" in case}
    assert planned == {path.name for path in CASES.glob("*.plan.json")}
    looked_at = {case["water_file"] for case in cases if "water_file" in case}
    assert looked_at == {path.name for path in CASES.glob("*.water.json")}
    fitted = {case["fitted_file"] for case in cases if "fitted_file" in case}
    assert fitted == {path.name for path in CASES.glob("*.fitted.json")}
    checked = {case["diagnosis_file"] for case in cases if "diagnosis_file" in case}
    assert checked == {path.name for path in CASES.glob("*.diagnosis.json")}
    worked = {case["tank_file"] for case in cases if "tank_file" in case}
    assert worked == {path.name for path in CASES.glob("*.tank.json")}


@pytest.mark.parametrize("case", read())
def test_case(case: dict[str, Any]) -> None:
    asks: dict[str, Callable[[Any], ul.Plan | ul.Water | ul.Diagnosis | ul.TankLedger | ul.FittedIons]]
    asks = {
        "day_text": ul.plan,
        "day": ul.plan,
        "report": ul.water,
        "readings": ul.check,
        "tank": ul.tank,
        "fit": ul.fit_ions,
    }
    ((ask, document),) = ((ask, case[key]) for key, ask in asks.items() if key in case)
    for answer in ("plan_file", "water_file", "diagnosis_file", "tank_file", "fitted_file"):
        if answer in case:
            assert ask(document).to_json().encode() == (CASES / case[answer]).read_bytes()
            return
    with pytest.raises(ul.InputError) as caught:
        ask(document)
    told = [(problem.code, problem.path) for problem in caught.value.problems]
    assert told == [(problem["code"], problem["path"]) for problem in case["problems"]]
    if "messages" in case:
        assert str(caught.value) == "\n".join(case["messages"])
