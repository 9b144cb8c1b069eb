"""Diagnosis of the readings of a brew day."""

from __future__ import annotations

import json
from html import escape
from typing import TYPE_CHECKING

from underlet import _core
from underlet._document import answer
from underlet._result import Result

if TYPE_CHECKING:
    from collections.abc import Mapping

    from underlet.types import (
        CorrectionDocument,
        DiagnosisDocument,
        DiagnosisExplanation,
        DiagnosisReading,
        LiquorCorrectionDocument,
        RunningsDocument,
    )


def diagnose(readings: Mapping[str, object] | str | bytes) -> Diagnosis:
    """Diagnose the meter readings of a brew day.

    Parameters
    ----------
    readings : mapping, str or bytes
        ``{"underlet": 1, "brew_day": {...}, "readings": [...]}`` as a mapping or as JSON text. Each reading has a
        ``"place"``, or the ``"known"`` value of a buffer or standard, a ``"meter"`` (``"ph"``,
        ``"conductivity"`` or ``"temperature"``) and a ``"value"``; ``"probe"`` is ``"second"`` for a second
        probe, and ``"brew"`` is the number of the brew on a day of several. The plan of the day lists what can
        be read: ``plan.readings``. ``"after_mashing_in"`` and ``"sample_temperature"`` say when and how hot a mash
        was read, and ``"given"`` beside the readings what went into it since, in place of the rest of the plan.
        ``"poured"`` lists acid of which the liquor took another amount than the plan's, and
        ``"runnings"`` ``"ph"`` and ``"gravity"`` of the runnings while the sparge ran, with the volume
        ``"collected"`` by then where it is known.

    Returns
    -------
    Diagnosis
        The explanations (nothing wrong, a mistake with one addition, one probe off), each with its probability,
        and each reading beside the expected one.

    Raises
    ------
    InputError
        When the document is invalid, or the plan predicts no such reading; all problems are reported together.

    Examples
    --------
    >>> import underlet as ul
    >>> day = ul.examples()["pale-ale-10hl"]
    >>> buffer = {"known": 7, "meter": "ph", "value": "7.02"}
    >>> mash = {"place": "mash", "meter": "ph", "value": "pH 5.42"}
    >>> ul.diagnose({"underlet": 1, "brew_day": day, "readings": [buffer, mash]}).sentence
    'As expected.'
    """
    return Diagnosis(answer(_core.diagnose, readings))


class Diagnosis(Result):
    """Diagnosis of the readings of a brew day, as `diagnose` returns it; immutable.

    Two are equal when their documents are byte for byte equal. Each property returns new lists and dictionaries.
    """

    __slots__ = ()

    def __repr__(self) -> str:
        """Return the brew and the verdict."""
        document = self.to_dict()
        return f"<underlet.Diagnosis {document['name']!r}: {document['verdict']}>"

    def __str__(self) -> str:
        """Return the verdict as a sentence, each reading on a line, then what is still to be done."""
        document = self.to_dict()
        readings = (reading["text"] for reading in document["compared"])
        return "\n".join([document["sentence"], *readings, *document["to_do"]])

    def _repr_html_(self) -> str:
        """Return the verdict, each reading and what is still to be done, as HTML for a notebook."""
        document = self.to_dict()
        lines = "".join(f"<li>{escape(reading['text'])}</li>" for reading in document["compared"])
        due = "".join(f"<p><strong>{escape(text)}</strong></p>" for text in document["to_do"])
        return f"<p>{escape(document['sentence'])}</p><ul>{lines}</ul>{due}"

    def to_dict(self) -> DiagnosisDocument:
        """Return the document as plain dictionaries, lists, numbers and text."""
        document: DiagnosisDocument = json.loads(self._text)
        return document

    @property
    def name(self) -> str:
        """Name of the brew."""
        return self.to_dict()["name"]

    @property
    def verdict(self) -> str:
        """The verdict.

        ``as_expected``, ``outside_forecast``, ``outside_range``, ``doubtful``, ``fault``, ``indistinguishable`` or
        ``unexplained``.
        """
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
        """Every explanation considered, the most probable first."""
        return self.to_dict()["explanations"]

    @property
    def compared(self) -> list[DiagnosisReading]:
        """Each reading beside the expected one, in the order of work; reference samples first."""
        return self.to_dict()["compared"]

    @property
    def to_do(self) -> list[str]:
        """What the readings say and what is still to be done, in the order of work."""
        return self.to_dict()["to_do"]

    @property
    def liquor_corrections(self) -> list[LiquorCorrectionDocument]:
        """How much acid each liquor that was read still takes until the meter shows its end point."""
        return self.to_dict()["liquor_corrections"]

    @property
    def corrections(self) -> list[CorrectionDocument]:
        """What each mash and full kettle that was read still needs: where it most likely is, and the doses due."""
        return self.to_dict()["corrections"]

    @property
    def runnings(self) -> list[RunningsDocument]:
        """Whether the runnings of each brew that were read may run on, and until which extract."""
        return self.to_dict()["runnings"]
