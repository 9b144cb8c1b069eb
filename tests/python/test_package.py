"""The package: what is in the wheel, how fast it imports, and its docstrings' examples."""

from __future__ import annotations

import doctest
import importlib
import importlib.metadata
import os
import pkgutil
import statistics
import subprocess
import sys
import zipfile
from pathlib import Path
from types import ModuleType

import pytest
import underlet as ul

ROOT = Path(__file__).resolve().parents[2]
MODULES = ["underlet", *(f"underlet.{module.name}" for module in pkgutil.iter_modules(ul.__path__))]


def python(*arguments: str, **environment: str) -> str:
    path = os.pathsep.join([str(Path(sys.executable).parent), os.environ["PATH"]])
    return subprocess.run(
        [sys.executable, *arguments],
        check=True,
        env=os.environ | {"PATH": path} | environment,
        stdout=subprocess.PIPE,
        text=True,
    ).stdout


def test_the_version_is_the_engines() -> None:
    assert ul.__version__ == importlib.metadata.version("underlet")
    assert importlib.metadata.requires("underlet") is None


def test_import_takes_less_than_50_ms() -> None:
    # Processor time: what else the machine is doing is not the package's doing.
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


def test_the_docstrings_examples_are_true() -> None:
    tries = {name: documented(importlib.import_module(name)) for name in MODULES}
    assert {"underlet", "underlet._plan", "underlet._errors"} <= {name for name, count in tries.items() if count}


@pytest.mark.parametrize("name", ul.__all__)
def test_everything_public_is_documented(name: str) -> None:
    if not name.isupper() and name != "__version__":
        doc = getattr(ul, name).__doc__
        assert doc
        assert doc.strip().partition("\n")[0].endswith(".")


def test_a_wheel_builds_from_the_sdist_and_plans(tmp_path: Path) -> None:
    """The tags are those of PEP 425: one wheel for CPython 3.10 and everything after it."""
    target = os.environ.get("CARGO_TARGET_DIR", str(ROOT / "target"))
    manifest = str(ROOT / "bindings-python" / "Cargo.toml")
    python("-m", "maturin", "sdist", "--manifest-path", manifest, "--out", str(tmp_path))
    (sdist,) = tmp_path.glob("*.tar.gz")
    options = ["--no-deps", "--no-index", "--no-build-isolation", "--quiet"]
    python("-m", "pip", "wheel", str(sdist), "--wheel-dir", str(tmp_path), *options, CARGO_TARGET_DIR=target)
    (wheel,) = tmp_path.glob("*.whl")
    assert wheel.name.startswith(f"underlet-{ul.__version__}-cp310-abi3-")
    held = set(zipfile.ZipFile(wheel).namelist())
    assert {"underlet/_core.abi3.so", "underlet/_core.pyi", "underlet/py.typed", "underlet/types.py"} <= held
    installed = tmp_path / "installed"
    python("-m", "pip", "install", str(wheel), "--target", str(installed), *options)
    program = (
        "import underlet as ul, sys; assert ul.__file__.startswith(sys.argv[1]);"
        "sys.stdout.buffer.write(ul.plan(ul.examples()['pale-ale-10hl']).to_json().encode())"
    )
    planned = python("-c", program, str(installed), PYTHONPATH=str(installed), PYTHONIOENCODING="utf-8")
    assert planned == ul.plan(ul.examples()["pale-ale-10hl"]).to_json()
