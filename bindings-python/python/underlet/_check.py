"""What the readings of a brew day say, as Python holds it."""

from __future__ import annotations

import json
from html import escape
from typing import TYPE_CHECKING

from underlet import _core
from underlet._document import answer
from underlet._held import Held

if TYPE_CHECKING:
    from collections.abc import Mapping

    from underlet.types import DiagnosisDocument, DiagnosisExplanation, DiagnosisReading


def check(readings: Mapping[str, object] | str | bytes) -> Diagnosis:
    """Compare what the meters said on a brew day with what they should say.

    Parameters
    ----------
    readings : mapping, str or bytes
        ``{"underlet": 1, "brew_day": {...}, "readings": [...]}`` as a mapping or as JSON text. Each reading says
        where (``"place"``) or in which known water (``"known"``: what a buffer or a standard should read), by
        which ``"meter"`` (``"ph"``, ``"conductivity"`` or ``"temperature"``) and what it said (``"value"``);
        ``"probe"`` is ``"second"`` for a second one. The day's plan lists what can be read: ``plan.readings``.

    Returns
    -------
    Diagnosis
        Which single explanation fits best (nothing wrong, a slip with one addition, one probe off), each with its
        probability, and each reading beside what it should be.

    Raises
    ------
    InputError
        When something cannot be read, or is not predicted on this day; all of it is told together.

    Examples
    --------
    >>> import underlet as ul
    >>> day = ul.examples()["pale-ale-10hl"]
    >>> buffer = {"known": 7, "meter": "ph", "value": "7.02"}
    >>> mash = {"place": "mash", "meter": "ph", "value": "pH 5.42"}
    >>> ul.check({"underlet": 1, "brew_day": day, "readings": [buffer, mash]}).sentence
    'As expected.'
    """
    return Diagnosis(answer(_core.check, readings))


class Diagnosis(Held):
    """What the readings of a brew day say. `check` makes it; it never changes.

    Two are equal when their documents are, to the last byte. Each property hands out fresh lists and dictionaries.
    """

    __slots__ = ()

    def __repr__(self) -> str:
        """Give the brew and the verdict."""
        document = self.to_dict()
        return f"<underlet.Diagnosis {document['name']!r}: {document['verdict']}>"

    def __str__(self) -> str:
        """Give the verdict as a sentence, and each reading in a line."""
        document = self.to_dict()
        return "\n".join([document["sentence"], *(reading["text"] for reading in document["compared"])])

    def _repr_html_(self) -> str:
        """Show the verdict and each reading beside what it should be."""
        document = self.to_dict()
        lines = "".join(f"<li>{escape(reading['text'])}</li>" for reading in document["compared"])
        return f"<p>{escape(document['sentence'])}</p><ul>{lines}</ul>"

    def to_dict(self) -> DiagnosisDocument:
        """Give the document as plain dictionaries, lists, numbers and text."""
        document: DiagnosisDocument = json.loads(self._text)
        return document

    @property
    def name(self) -> str:
        """Name of the brew."""
        return self.to_dict()["name"]

    @property
    def verdict(self) -> str:
        """In a word: ``as_expected``, ``doubtful``, ``fault``, ``indistinguishable`` or ``unexplained``."""
        return self.to_dict()["verdict"]

    @property
    def sentence(self) -> str:
        """The verdict as a sentence."""
        return self.to_dict()["sentence"]

    @property
    def named(self) -> list[DiagnosisExplanation]:
        """The faults that the verdict names."""
        document = self.to_dict()
        faults = [one for one in document["explanations"] if one["code"] != "nothing_wrong"]
        return faults[: document["named"]]

    @property
    def explanations(self) -> list[DiagnosisExplanation]:
        """Every explanation that was weighed, the most probable first."""
        return self.to_dict()["explanations"]

    @property
    def compared(self) -> list[DiagnosisReading]:
        """Each reading beside what it should be, in the order of work; known waters first."""
        return self.to_dict()["compared"]
