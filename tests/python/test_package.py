"""The package: its version, how fast it imports, and its docstrings' examples."""

from __future__ import annotations

import doctest
import importlib
import importlib.metadata
import pkgutil
import statistics
import subprocess
import sys
from types import ModuleType

import pytest
import underlet as ul

MODULES = ["underlet", *(f"underlet.{module.name}" for module in pkgutil.iter_modules(ul.__path__))]


def python(*arguments: str) -> str:
    return subprocess.run([sys.executable, *arguments], check=True, stdout=subprocess.PIPE, text=True).stdout


def test_the_version_is_the_engines() -> None:
    assert ul.__version__ == importlib.metadata.version("underlet")
    assert importlib.metadata.requires("underlet") is None


def test_import_takes_less_than_50_ms() -> None:
    # Processor time: independent of other load on the machine.
    program = "from time import process_time as now; start = now(); import underlet; print(now() - start)"
    taken = [float(python("-I", "-c", program)) for _ in range(9)]
    assert statistics.median(taken) < 0.050


def documented(module: ModuleType) -> int:
    tests = doctest.DocTestFinder(exclude_empty=True).find(module)
    runner = doctest.DocTestRunner(verbose=False)
    for test in tests:
        runner.run(test)
    assert runner.failures == 0, f"see the output above: {module.__name__}"
    return runner.tries


def test_the_examples_of_docstrings_run() -> None:
    tries = {name: documented(importlib.import_module(name)) for name in MODULES}
    assert {"underlet", "underlet._plan", "underlet._errors"} <= {name for name, count in tries.items() if count}


@pytest.mark.parametrize("name", ul.__all__)
def test_everything_public_is_documented(name: str) -> None:
    if name not in ("ERROR_CODES", "FINDING_CODES", "TANK_FINDING_CODES", "__version__"):
        doc = getattr(ul, name).__doc__
        assert doc
        assert doc.strip().partition("\n")[0].endswith(".")
