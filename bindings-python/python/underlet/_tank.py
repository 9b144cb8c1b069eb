"""Days of the liquor tank."""

from __future__ import annotations

import json
from html import escape
from typing import TYPE_CHECKING

from underlet import _core
from underlet._document import answer
from underlet._result import Result

if TYPE_CHECKING:
    from collections.abc import Mapping

    from underlet.types import TankDocument, TankFinding, TankHeel, TankLine, TankLosses


def tank(day: Mapping[str, object] | str | bytes) -> TankLedger:
    """Simulate a day of the liquor tank, line by line.

    Parameters
    ----------
    day : mapping, str or bytes
        A day of the tank as a mapping or as JSON text: the tank, the supplies (each with the keys of a brew
        day's source and its temperature), the heel of the last day if there is one, and the lines in the order
        of work. Volumes are read at their temperature; quantities are written as people write them.

    Returns
    -------
    TankLedger
        What the tank holds after each line, what left it, what was drawn, what to watch, and the heel.

    Raises
    ------
    InputError
        When the document is invalid or a line is impossible; all problems are reported together.

    Examples
    --------
    >>> import underlet as ul
    >>> well = {"name": "well", "calcium": 110, "alkalinity": 270, "ph": 7.3, "inlet_temperature": "12 °C"}
    >>> ledger = ul.tank({
    ...     "underlet": 1,
    ...     "name": "Monday",
    ...     "tank": {"capacity": "12 hL", "dead_volume": "60 L"},
    ...     "supplies": [well],
    ...     "lines": [
    ...         {"work": "fill", "supply": "well", "volume": "10 hL"},
    ...         {"work": "heat", "temperature": "78 °C", "duration": "8 h", "label": "timer"},
    ...         {"work": "draw", "volume": "4 hL", "to": "mash", "label": "strike"},
    ...     ],
    ... })
    >>> ledger
    <underlet.TankLedger 'Monday': 3 lines, 1 finding>
    >>> source = {"name": "strike", "liquor": ledger.lines[2]["drawn"]["liquor"]}
    >>> ul.plan({**ul.examples()["pale-ale-10hl"], "sources": [source]}).mash["ph"] < 5.7
    True
    """
    return TankLedger(answer(_core.tank, day))


class TankLedger(Result):
    """The ledger of a day of the liquor tank, as `tank` returns it; immutable.

    Two are equal when their documents are byte for byte equal. Each property returns new lists and dictionaries.
    """

    __slots__ = ()

    def __repr__(self) -> str:
        """Return the name and the numbers of lines and findings."""
        document = self.to_dict()
        counts = [_counted(len(document["lines"]), "line"), _counted(len(document["findings"]), "finding")]
        return f"<underlet.TankLedger {document['name']!r}: {', '.join(counts)}>"

    def _repr_html_(self) -> str:
        """Return the lines as an HTML table for a notebook."""
        document = self.to_dict()
        names = ("line", "L", "°C", "pH at 20 °C", "scale, g")
        head = "<tr>" + "".join(f"<th scope='col'>{name}</th>" for name in names) + "</tr>"
        rows = "".join(
            f"<tr>{''.join(f'<td>{escape(cell)}</td>' for cell in _row(line))}</tr>" for line in document["lines"]
        )
        caption = f"<caption>{escape(document['name'])}, {escape(document['tank'])}</caption>"
        return f"<table>{caption}<thead>{head}</thead><tbody>{rows}</tbody></table>"

    def to_dict(self) -> TankDocument:
        """Return the document as plain dictionaries, lists, numbers and text."""
        document: TankDocument = json.loads(self._text)
        return document

    @property
    def name(self) -> str:
        """Name of the day."""
        return self.to_dict()["name"]

    @property
    def tank(self) -> str:
        """Name of the tank."""
        return self.to_dict()["tank"]

    @property
    def lines(self) -> list[TankLine]:
        """The lines in the order of work, each with what the tank holds after it and what left it."""
        return self.to_dict()["lines"]

    @property
    def losses(self) -> TankLosses:
        """What left the tank on this day other than by draws."""
        return self.to_dict()["losses"]

    @property
    def findings(self) -> list[TankFinding]:
        """What to watch, most severe first."""
        return self.to_dict()["findings"]

    @property
    def heel(self) -> TankHeel:
        """What is left for the next day, whose ``heel`` it is."""
        return self.to_dict()["heel"]


def _counted(count: int, noun: str) -> str:
    return f"{count} {noun}" if count == 1 else f"{count} {noun}s"


def _row(line: TankLine) -> tuple[str, ...]:
    """Return one line as the cells of a table."""
    ph = line["ph_20c"]
    return (
        line["label"],
        f"{line['volume_l']['value']:.0f}",
        f"{line['temperature_c']:.1f}",
        "" if ph is None else f"{ph['value']:.2f} ± {ph['sd']:.2f}",
        f"{line['losses']['scale_g']['value']:.0f}",
    )
