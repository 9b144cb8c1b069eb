"""The types: written from the core's schemas, true of real plans, and complete."""

from __future__ import annotations

import ast
import inspect
import json
import subprocess
import sys
import types
from pathlib import Path
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints, is_typeddict

import underlet as ul
import underlet.types
import write_types
from underlet import _core

CASES = Path(__file__).resolve().parents[1] / "cases"
STUB = write_types.TYPES.parent / "_core.pyi"


def test_the_types_are_those_of_the_core() -> None:
    assert write_types.TYPES.read_text(encoding="utf-8") == write_types.module(write_types.schemas())


def conforms(value: Any, kind: Any) -> None:
    """Fail unless a value has exactly the keys and types of a type."""
    if is_typeddict(kind):
        hints = get_type_hints(kind)
        assert list(value) == list(hints)
        for key, hint in hints.items():
            conforms(value[key], hint)
    elif get_origin(kind) is list:
        assert type(value) is list
        for item in value:
            conforms(item, get_args(kind)[0])
    elif get_origin(kind) is Literal:
        assert value in get_args(kind)
    elif get_origin(kind) in (Union, types.UnionType):
        choices = [choice for choice in get_args(kind) if choice is not types.NoneType]
        assert len(choices) == 1
        if value is not None:
            conforms(value, choices[0])
    else:
        assert type(value) is kind


def test_plans_are_of_these_types(plan: ul.Plan) -> None:
    conforms(plan.to_dict(), underlet.types.PlanDocument)


def test_ledgers_of_the_tank_are_of_these_types() -> None:
    ledgers = sorted((CASES / "tank-day").glob("*.answer.json"))
    assert len(ledgers) >= 4
    for path in ledgers:
        conforms(json.loads(path.read_text(encoding="utf-8")), underlet.types.TankDocument)


def test_each_part_of_a_ledger_has_the_type_of_its_key() -> None:
    hints = get_type_hints(underlet.types.TankDocument)
    names = vars(underlet.types)
    for part, value in vars(ul.TankLedger).items():
        if isinstance(value, property):
            assert get_type_hints(value.fget, names)["return"] == hints[part]


def test_each_part_has_the_type_of_its_key() -> None:
    hints = get_type_hints(underlet.types.PlanDocument)
    names = vars(underlet.types)
    for part, value in vars(ul.Plan).items():
        if isinstance(value, property):
            assert get_type_hints(value.fget, names)["return"] == hints[part]


def test_the_stub_is_true_of_the_compiled_part(tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "mypy.stubtest", "underlet._core"],
        check=False,
        cwd=tmp_path,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    )
    assert done.returncode == 0, done.stdout


def test_the_stub_says_what_help_says() -> None:
    documented = [
        node
        for node in ast.parse(STUB.read_text(encoding="utf-8")).body
        if isinstance(node, (ast.ClassDef, ast.FunctionDef))
    ]
    assert {node.name for node in documented} == set(_core.__all__) - {"VERSION"}
    for node in documented:
        assert inspect.getdoc(getattr(_core, node.name)) == ast.get_docstring(node)


def test_strict_users_see_no_any(tmp_path: Path) -> None:
    user = tmp_path / "user.py"
    user.write_text(
        "import underlet as ul\n"
        "plan = ul.plan({'name': 'x'})\n"
        "reveal_type(plan.mash['ph'])\n"
        "reveal_type(plan.additions[0]['display'])\n"
        "reveal_type(plan.sparge)\n"
        "plan.mash['pH']\n"
        "ul.plan(3)\n"
    )
    command = [
        sys.executable,
        "-m",
        "mypy",
        "--strict",
        "--no-error-summary",
        "--disallow-any-expr",
        str(user),
    ]
    lines = subprocess.run(command, check=False, cwd=tmp_path, stdout=subprocess.PIPE, text=True).stdout
    assert 'Revealed type is "float"' in lines
    assert 'Revealed type is "str"' in lines
    assert "SpargeForecast" in lines
    assert [line.rpartition("[")[2] for line in lines.splitlines() if "error:" in line] == [
        "typeddict-item]",
        "arg-type]",
    ]
