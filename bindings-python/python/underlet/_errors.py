"""The error that an invalid input raises."""

from __future__ import annotations

from collections.abc import Iterable

from underlet._core import Problem


class InputError(ValueError):
    """An invalid input, with all of its problems.

    Parameters
    ----------
    problems : iterable of Problem
        At least one.

    Attributes
    ----------
    problems : tuple of Problem
        All of them, in the order of the fields.

    Examples
    --------
    >>> import underlet as ul
    >>> day = ul.examples()["pale-ale-10hl"]
    >>> day["sources"][0]["calcium"] = float("nan")
    >>> try:
    ...     ul.plan(day)
    ... except ul.InputError as error:
    ...     print(error.code, error.problems[0].path)
    not_finite sources[0].calcium
    """

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems: tuple[Problem, ...] = tuple(problems)
        if not self.problems:
            raise TypeError("an InputError holds at least one problem")
        super().__init__(self.problems)

    @property
    def code(self) -> str:
        """Code of the first problem, one of `underlet.ERROR_CODES`."""
        return self.problems[0].code

    def __str__(self) -> str:
        """Return one line per problem."""
        return "\n".join(map(str, self.problems))
