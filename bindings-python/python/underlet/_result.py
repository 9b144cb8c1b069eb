"""Base class of the immutable documents that the core writes."""

from __future__ import annotations

from typing import TYPE_CHECKING, NoReturn

if TYPE_CHECKING:
    from typing_extensions import Self


class Result:
    """A document as text. Two of one kind are equal when their documents are byte for byte equal."""

    __slots__ = ("_text",)
    _text: str

    def __new__(cls, text: str) -> Self:
        """Create it from JSON text."""
        made = super().__new__(cls)
        object.__setattr__(made, "_text", text)
        return made

    if not TYPE_CHECKING:  # with these a type checker would let every attribute be set

        def __setattr__(self, name: str, value: object) -> NoReturn:
            """Refuse."""
            raise AttributeError(f"a {type(self).__name__} is immutable: {name!r} cannot be set")

        def __delattr__(self, name: str) -> NoReturn:
            """Refuse."""
            raise AttributeError(f"a {type(self).__name__} is immutable: {name!r} cannot be deleted")

    def __reduce__(self) -> tuple[type[Self], tuple[str]]:
        """Pickle the text."""
        return type(self), (self._text,)

    def __copy__(self) -> Self:
        """Return itself: it is immutable."""
        return self

    def __deepcopy__(self, memo: object) -> Self:
        """Return itself: it is immutable."""
        return self

    def __eq__(self, other: object) -> bool:
        """Return whether the documents are the same bytes."""
        return self._text == other._text if isinstance(other, type(self)) else NotImplemented

    def __hash__(self) -> int:
        """Hash the document."""
        return hash(self._text)

    def to_json(self) -> str:
        """Return the document as JSON text, as the engine writes it."""
        return self._text
