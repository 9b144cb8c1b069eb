"""The shared cases, which every face of the engine runs alike. Each case names its own source."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
import underlet as ul

CASES = Path(__file__).resolve().parents[1] / "cases"


def read() -> list[Any]:
    """Read every case; a file holds one, or a list of them."""
    cases = []
    for path in sorted(CASES.glob("*.json")):
        if path.name.endswith((".plan.json", ".water.json", ".tank.json")):
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
    worked = {case["tank_file"] for case in cases if "tank_file" in case}
    assert worked == {path.name for path in CASES.glob("*.tank.json")}


@pytest.mark.parametrize("case", read())
def test_case(case: dict[str, Any]) -> None:
    asks: dict[str, Any] = {"day_text": ul.plan, "day": ul.plan, "report": ul.water, "tank": ul.tank}
    ((ask, document),) = ((asks[key], case[key]) for key in asks if key in case)
    for answer in ("plan_file", "water_file", "tank_file"):
        if answer in case:
            assert ask(document).to_json().encode() == (CASES / case[answer]).read_bytes()
            return
    with pytest.raises(ul.InputError) as caught:
        ask(document)
    told = [(problem.code, problem.path) for problem in caught.value.problems]
    assert told == [(problem["code"], problem["path"]) for problem in case["problems"]]
    if "messages" in case:
        assert str(caught.value) == "\n".join(case["messages"])
