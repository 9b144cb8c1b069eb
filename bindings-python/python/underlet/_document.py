"""From Python values to the text of a document. The core checks what it says."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from math import isfinite, isnan
from numbers import Complex, Number, Real
from typing import TypeVar

from underlet._core import Problem
from underlet._errors import InputError

# Documents nest about five levels deep. The limit keeps a bottomless one from exhausting Python's stack.
DEEPEST = 100
TOO_DEEP = (f"at most {DEEPEST} within each other", "Look for a list that is put into itself again and again.")
VALUE = "text, a number, true, false, a list or an object"
AS_TEXT = "Write it as text or as a number."


Answer = TypeVar("Answer")


def answer(ask: Callable[[str], Answer], document: object) -> Answer:
    """Pass a document to the core. What it refuses, and what cannot be written as JSON, is raised together."""
    text, unwritable = as_text(document)
    if not unwritable:
        return ask(text)
    try:
        ask(text)
    except InputError as error:
        refused = error.problems
    else:
        refused = ()
    ours = {problem.path: problem for problem in unwritable}
    raise InputError([ours.pop(problem.path, problem) for problem in refused] + list(ours.values()))


def as_text(document: object) -> tuple[str, tuple[Problem, ...]]:
    """Write a document as JSON text.

    Parameters
    ----------
    document : mapping, str or bytes
        Text and bytes are JSON already.

    Returns
    -------
    text : str
        JSON text, with ``null`` in place of what cannot be written.
    problems : tuple of Problem
        What could not be written.
    """
    if isinstance(document, str):
        return _unicode(document.encode("utf-8", "surrogatepass"))
    if isinstance(document, (bytes, bytearray, memoryview)):
        return _unicode(bytes(document))
    writer = _Writer()
    text = json.dumps(writer.plain(document, "", ()), separators=(",", ":"))
    return text, tuple(writer.problems)


def _unicode(data: bytes) -> tuple[str, tuple[Problem, ...]]:
    try:
        return data.decode("utf-8"), ()
    except UnicodeDecodeError as error:
        problem = Problem(
            "json_syntax",
            "",
            f"bytes that are not UTF-8 at offset {error.start}",
            "JSON text in UTF-8",
            "Save the document as UTF-8.",
        )
        return "null", (problem,)


class _Writer:
    """Walks a document, and collects what JSON cannot hold."""

    def __init__(self) -> None:
        self.problems: list[Problem] = []

    def plain(self, value: object, path: str, above: tuple[int, ...]) -> object:
        """Return `value` as types that `json` writes; `above` holds the identities of its containers."""
        if value is None or isinstance(value, (str, bool)):
            return value
        if isinstance(value, Number):
            return self._number(value, path)
        if id(value) in above:
            return self._refuse(path, "an object that contains itself")
        if len(above) == DEEPEST:
            self.problems.append(Problem("too_many", path, "a list or an object", *TOO_DEEP))
            return None
        above = (*above, id(value))
        if isinstance(value, Mapping):
            return self._object(value, path, above)
        if isinstance(value, Sequence) and not isinstance(value, (bytes, bytearray, memoryview)):
            return [self.plain(item, f"{path}[{i}]", above) for i, item in enumerate(value)]
        as_list = getattr(value, "tolist", None)  # arrays of any library, without importing it
        if callable(as_list):
            return self.plain(as_list(), path, above)
        return self._refuse(path, f"a value of type {type(value).__qualname__}")

    def _object(self, value: Mapping[object, object], path: str, above: tuple[int, ...]) -> dict[str, object]:
        written: dict[str, object] = {}
        for key, item in value.items():
            below = f"{path}.{key}" if path else f"{key}"
            if isinstance(key, str):
                written[key] = self.plain(item, below, above)
            else:
                read = f"a key of type {type(key).__qualname__}"
                self._refuse(below, read, "a key that is text", "Put the key in quotes.")
        return written

    def _number(self, value: Number, path: str) -> object:
        """Return a number as int or float, and one that is not finite as the text that the core recognises."""
        if isinstance(value, int) and value.bit_length() <= 1024:
            return int(value)
        if isinstance(value, Complex) and not isinstance(value, Real):
            return self._refuse(path, f"a value of type {type(value).__qualname__}")
        try:
            number = float(value)  # type: ignore[arg-type]
        except OverflowError:
            number = float("inf") if value > 0 else float("-inf")  # type: ignore[operator]
        except (TypeError, ValueError):
            return self._refuse(path, f"a value of type {type(value).__qualname__}")
        if isfinite(number):
            return number
        if isnan(number):
            return "NaN"
        return "Infinity" if number > 0 else "-Infinity"

    def _refuse(self, path: str, found: str, expected: str = VALUE, hint: str = AS_TEXT) -> object:
        """Record a problem, and return what is written in its place."""
        self.problems.append(Problem("wrong_type", path, found, expected, hint))
        return None
