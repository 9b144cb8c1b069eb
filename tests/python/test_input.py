"""Valid inputs, and the problems of invalid ones."""

from __future__ import annotations

import copy
import json
import pickle
import re
from collections import ChainMap, UserDict, deque
from datetime import date
from decimal import Decimal
from enum import Enum
from fractions import Fraction
from pathlib import Path
from types import MappingProxyType
from typing import Any

import numpy as np
import pytest
import underlet as ul

ROOT = Path(__file__).resolve().parents[2]


def refusal(day: object) -> ul.InputError:
    with pytest.raises(ul.InputError) as caught:
        ul.plan(day)  # type: ignore[arg-type]
    return caught.value


def problems_of(day: object) -> list[tuple[str, str]]:
    return [(problem.code, problem.path) for problem in refusal(day).problems]


def test_text_bytes_and_mappings_of_every_kind_say_the_same(day: dict[str, Any]) -> None:
    plan = ul.plan(day)
    text = json.dumps(day, ensure_ascii=False)
    for same in (
        text,
        json.dumps(day),
        text.encode(),
        bytearray(text.encode()),
        memoryview(text.encode()),
        MappingProxyType(day),
        UserDict(day),
        ChainMap(day),
        day | {"grist": tuple(day["grist"])},
        day | {"grist": deque(day["grist"])},
        day | {"grist": np.array(day["grist"], dtype=object)},
    ):
        assert ul.plan(same) == plan  # type: ignore[arg-type]


@pytest.mark.parametrize(
    "number",
    [
        112,
        112.0,
        Decimal(112),
        Fraction(112),
        np.float64(112),
        np.float32(112),
        np.longdouble(112),
        np.int16(112),
        np.uint64(112),
        np.array(112.0),
    ],
    ids=lambda number: type(number).__name__,
)
def test_numbers_of_every_kind_are_numbers(day: dict[str, Any], number: object) -> None:
    plain = copy.deepcopy(day)
    plain["sources"][0]["calcium"] = 112.0
    day["sources"][0]["calcium"] = number
    assert ul.plan(day) == ul.plan(plain)


@pytest.mark.parametrize(
    "number",
    [
        float("nan"),
        float("inf"),
        float("-inf"),
        Decimal("NaN"),
        Decimal("-Infinity"),
        np.float32("nan"),
        np.float64("inf"),
        10**400,
        -(10**400),
        10**5000,
        Fraction(10**400),
    ],
    ids=lambda number: type(number).__name__,
)
def test_numbers_that_are_not_finite_are_named(day: dict[str, Any], number: object) -> None:
    day["sources"][0]["calcium"] = number
    assert problems_of(day) == [("not_finite", "sources[0].calcium")]


class Shade(Enum):
    PALE = 1


@pytest.mark.parametrize(
    ("value", "found"),
    [
        (object(), "a value of type object"),
        (date(2026, 3, 1), "a value of type date"),
        ({1, 2}, "a value of type set"),
        (b"1 kg", "a value of type bytes"),
        (1j, "a value of type complex"),
        (np.complex128(1j), "a value of type complex128"),
        (np.clongdouble(1j), "a value of type clongdouble"),
        (np.datetime64("2026-03-01"), "a value of type date"),
        (Decimal("sNaN"), "a value of type Decimal"),
        (Shade.PALE, "a value of type Shade"),
        ((part for part in "ab"), "a value of type generator"),
    ],
    ids=lambda value: type(value).__name__,
)
def test_what_json_cannot_hold_is_named_with_its_path(day: dict[str, Any], value: object, found: str) -> None:
    day["grist"][1]["mass"] = value
    problems = refusal(day).problems
    assert [(problem.code, problem.path, problem.found) for problem in problems] == [
        ("wrong_type", "grist[1].mass", found)
    ]


def test_all_problems_are_reported_together_in_the_order_of_the_fields(day: dict[str, Any]) -> None:
    day["sources"][0]["calcium"] = float("nan")
    day["grist"][1]["mass"] = object()
    day["grist"][2]["mass"] = "heavy"
    day[7] = "a key"  # type: ignore[index]
    assert problems_of(day) == [
        ("not_finite", "sources[0].calcium"),
        ("wrong_type", "grist[1].mass"),
        ("not_a_number", "grist[2].mass"),
        ("wrong_type", "7"),
    ]


def test_what_contains_itself_is_refused(day: dict[str, Any]) -> None:
    day["grist"].append(day)
    assert ("wrong_type", "grist[3]") in problems_of(day)
    ring: list[object] = []
    ring.append(ring)
    assert ("wrong_type", "[0]") in problems_of(ring)


def test_the_same_object_twice_is_no_circle(day: dict[str, Any]) -> None:
    day["mash"]["liquor_temperature"] = day["sparge"]["liquor_temperature"] = {"value": 76, "unit": "°C"}
    assert ul.plan(day) == ul.plan(json.dumps(day))


def test_depth_is_refused_before_any_stack_ends(day: dict[str, Any]) -> None:
    deep: object = 1
    for _ in range(100_000):
        deep = [deep]
    assert {code for code, _ in problems_of(day | {"grist": deep})} == {"too_many"}
    assert problems_of("[" * 100_000) == [("too_many", "")]


@pytest.mark.parametrize(
    "text", ["", "{", "null x", "day.json", b"\xff\xfe", "\ud800", '{"a": "\\ud800"}', b'"\xc3"']
)
def test_text_that_is_no_json_says_so(text: str | bytes) -> None:
    assert problems_of(text) == [("json_syntax", "")]


@pytest.mark.parametrize("value", [None, 5, "[]", "3", True, [], object()])
def test_what_is_no_document_says_so(value: object) -> None:
    assert problems_of(value) == [("wrong_type", "")]


def test_an_error_is_a_value_error_that_says_one_line_per_problem(day: dict[str, Any]) -> None:
    del day["grist"][2]["mass"], day["sources"][0]["alkalinity"]
    error = refusal(day)
    assert isinstance(error, ValueError)
    assert len(error.problems) == 2
    assert error.code == error.problems[0].code
    assert str(error).splitlines() == [str(problem) for problem in error.problems]
    for problem in error.problems:
        assert problem.path in str(problem)
        assert problem.expected in str(problem)
        assert problem.hint in str(problem)
        assert f"[{problem.code}]" in str(problem)


def test_errors_and_problems_compare_pickle_and_copy(day: dict[str, Any]) -> None:
    del day["grist"]
    error = refusal(day)
    (problem,) = error.problems
    for other in (pickle.loads(pickle.dumps(error)), copy.copy(error), copy.deepcopy(error)):  # noqa: S301
        assert type(other) is ul.InputError
        assert other.problems == error.problems
        assert str(other) == str(error)
    again = ul.Problem(problem.code, problem.path, problem.found, problem.expected, problem.hint)
    assert again == problem
    assert hash(again) == hash(problem)
    assert eval(repr(problem), {"Problem": ul.Problem}) == problem  # noqa: S307
    assert problem != ul.Problem(problem.code, "elsewhere", problem.found, problem.expected, problem.hint)
    assert problem != str(problem)
    match problem:
        case ul.Problem(code, path):
            assert (code, path) == ("missing_key", "grist")


def test_a_problem_does_not_change_and_has_a_known_code() -> None:
    problem = ul.Problem("wrong_unit", "a", "b", "c", "d")
    with pytest.raises(AttributeError):
        problem.path = "b"  # type: ignore[misc]
    with pytest.raises(ValueError, match="not an error code"):
        ul.Problem("no_such_code", "a", "b", "c", "d")
    with pytest.raises(TypeError, match="at least one"):
        ul.InputError(())


def test_the_codes_are_those_of_the_core() -> None:
    written = re.compile(r'^ +[A-Z]\w+ = "(\w+)",$', re.MULTILINE)
    assert list(ul.ERROR_CODES) == written.findall((ROOT / "core/src/error.rs").read_text())
    assert list(ul.FINDING_CODES) == written.findall((ROOT / "core/src/water_report/finding.rs").read_text())
    for meaning in (*ul.ERROR_CODES.values(), *ul.FINDING_CODES.values()):
        assert meaning
        assert meaning == meaning.strip()
    with pytest.raises(TypeError):
        ul.ERROR_CODES["new"] = "code"  # type: ignore[index]


def test_the_examples_are_those_of_the_core_and_fresh_each_time() -> None:
    days = ROOT / "core/src/brewday/days"
    assert ul.examples() == {path.stem: json.loads(path.read_text()) for path in days.glob("*.json")}
    ul.examples()["pale-ale-10hl"].clear()
    assert ul.examples()["pale-ale-10hl"] != {}
