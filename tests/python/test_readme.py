"""Runs the Python examples of the READMEs, unchanged and in order, in one namespace each."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]


@pytest.mark.parametrize("readme", ["README.md", "bindings-python/README.md"])
def test_the_examples_run(readme: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    text = (ROOT / readme).read_text(encoding="utf-8")
    blocks = list(re.finditer(r"^```python\n(.*?)^```", text, re.MULTILINE | re.DOTALL))
    assert blocks
    monkeypatch.chdir(tmp_path)
    namespace: dict[str, object] = {"__name__": "__main__"}
    for block in blocks:
        above = "\n" * (text[: block.start(1)].count("\n"))  # so that a failure names the line of the README
        exec(compile(above + block[1], readme, "exec"), namespace)  # noqa: S102
