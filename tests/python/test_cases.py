"""The cases, which every language runs. Each case names its own source."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
import underlet as ul

if TYPE_CHECKING:
    from collections.abc import Callable

    Answer = ul.Plan | ul.Water | ul.Diagnosis | ul.TankLedger | ul.FittedIons

CASES = Path(__file__).resolve().parents[1] / "cases"
#: The function for each kind of document, by the folder of its cases.
ASK: dict[str, Callable[[Any], Answer]] = {
    "brew-day": ul.plan,
    "water-report": ul.water,
    "readings": ul.diagnose,
    "tank-day": ul.tank,
    "ion-fit": ul.fit_ions,
}


def files(folder: Path) -> list[Path]:
    """Return the files of the cases in a folder, without their answers."""
    paths = sorted(folder.glob("*.json"))
    return [path for path in paths if not path.name.endswith(".answer.json")]


def cases(folder: Path) -> list[Any]:
    """Return the files of every kind's cases with the function for the kind."""
    return [
        pytest.param(path, ask, id=str(path.relative_to(CASES)))
        for kind, ask in ASK.items()
        for path in files(folder / kind)
    ]


def given(case: dict[str, Any]) -> Any:
    """Return the input of a case."""
    return case["text"] if "text" in case else case["document"]


@pytest.mark.parametrize(
    ("kind", "answered", "refused"),
    [
        ("brew-day", 20, 100),
        ("water-report", 5, 10),
        ("readings", 5, 5),
        ("tank-day", 5, 5),
        ("ion-fit", 2, 2),
    ],
)
def test_there_are_cases_of_every_kind(kind: str, answered: int, refused: int) -> None:
    assert len(files(CASES / kind)) >= answered
    assert len(files(CASES / "refused" / kind)) >= refused


@pytest.mark.parametrize(("path", "ask"), cases(CASES))
def test_it_is_answered(path: Path, ask: Callable[[Any], Answer]) -> None:
    case = json.loads(path.read_text(encoding="utf-8"))
    assert ask(given(case)).to_json().encode() == path.with_suffix(".answer.json").read_bytes()


@pytest.mark.parametrize(("path", "ask"), cases(CASES / "refused"))
def test_it_is_refused(path: Path, ask: Callable[[Any], Answer]) -> None:
    case = json.loads(path.read_text(encoding="utf-8"))
    with pytest.raises(ul.InputError) as caught:
        ask(given(case))
    problems = [{"code": problem.code, "path": problem.path} for problem in caught.value.problems]
    assert problems == case["problems"]
    assert str(caught.value) == "\n".join(case["messages"])
