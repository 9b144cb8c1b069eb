from typing import Final, final

__all__ = ["VERSION", "Problem", "error_codes", "examples", "finding_codes", "plan", "water"]

VERSION: Final[str]

@final
class Problem:
    """One thing wrong with an input.

    Attributes
    ----------
    code : str
        Stable short code, one of `underlet.ERROR_CODES`.
    path : str
        Where: the field's path, such as ``grist[1].mass``; empty for the whole document.
    read : str
        What was read there.
    expected : str
        What was expected.
    mend : str
        How to mend it.
    """

    __match_args__: Final = ("code", "path", "read", "expected", "mend")

    def __new__(cls, code: str, path: str, read: str, expected: str, mend: str) -> Problem: ...
    @property
    def code(self) -> str: ...
    @property
    def path(self) -> str: ...
    @property
    def read(self) -> str: ...
    @property
    def expected(self) -> str: ...
    @property
    def mend(self) -> str: ...
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...
    def __hash__(self) -> int: ...
    def __reduce__(self) -> tuple[type[Problem], tuple[str, str, str, str, str]]: ...

def plan(day: str) -> tuple[str, str, str, str]:
    """Plan a brew day and render the plan: as JSON, as plain text, as HTML for a notebook, as a sheet to print."""

def water(report: str) -> str:
    """Look at a water report: its entries, what follows from them and what is odd, as JSON."""

def examples() -> dict[str, str]:
    """Give the built-in brew days: key to JSON text."""

def error_codes() -> dict[str, str]:
    """Give every error code, with one line on what it means."""

def finding_codes() -> dict[str, str]:
    """Give every code of a finding, with one line on what it means."""
