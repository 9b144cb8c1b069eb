"""Fits of ions alone."""

from __future__ import annotations

import json
from html import escape
from typing import TYPE_CHECKING

from underlet import _core
from underlet._document import answer
from underlet._result import Result

if TYPE_CHECKING:
    from collections.abc import Mapping

    from underlet.types import BlendPart, Caution, FittedIonsDocument, IonFitReport, SaltToWeigh, TargetLine


def fit_ions(fit: Mapping[str, object] | str | bytes) -> FittedIons:
    """Fit ions alone, without a mash: the salts, and the diluting water, that bring a water into its ranges.

    Parameters
    ----------
    fit : mapping, str or bytes
        ``source`` and, where there is one, ``dilution``, each as a source of a brew day; ``volume`` and
        ``temperature`` of the liquor; ``targets``: ranges of ions, ``sulfate_to_chloride`` and ``alkalinity`` with
        their ``weights``; the ``shelf`` of salts and bases; ``max_salts``. As a mapping or as JSON text.

    Returns
    -------
    FittedIons
        What to weigh and the water that results. A notebook shows it as tables.

    Raises
    ------
    InputError
        When the document is invalid; all problems are reported together.

    Notes
    -----
    The interpreter's lock is released during the fit, so threads fit in parallel.

    Examples
    --------
    >>> import underlet as ul
    >>> fitted = ul.fit_ions({
    ...     "underlet": 1,
    ...     "source": {"name": "osmosis", "alkalinity": 0},
    ...     "volume": "1000 L",
    ...     "targets": {"calcium": "50 to 60 mg/L", "chloride": "at most 20 mg/L"},
    ...     "shelf": [{"reagent": "gypsum", "step": "5 g"}],
    ... })
    >>> [(salt["display"], salt["reagent"]) for salt in fitted.salts]
    [('220 g', 'gypsum')]
    """
    return FittedIons(answer(_core.fit_ions, fit))


class FittedIons(Result):
    """Fitted ions, as `fit_ions` returns them; immutable.

    Two are equal when their documents are byte for byte equal. Each property returns new lists and dictionaries.
    """

    __slots__ = ()

    def __repr__(self) -> str:
        """Return what is weighed and whether it meets the ranges."""
        document = self.to_dict()
        salts = (
            ", ".join(f"{salt['display']} {salt['reagent']}" for salt in document["salts"]) or "nothing to weigh"
        )
        return f"<underlet.FittedIons: {salts}. {document['summary']}>"

    def _repr_html_(self) -> str:
        """Return salts and water as HTML for a notebook."""
        document = self.to_dict()
        salts = "".join(
            f"<tr><th scope='row'>{escape(salt['name'])}</th><td>{escape(salt['display'])}</td>"
            f"<td>{escape(salt['why'])}</td></tr>"
            for salt in document["salts"]
        )
        water = "".join(
            f"<tr><th scope='row'>{escape(line['label'])}</th><td>{escape(line['display'])}</td>"
            f"<td>{line['state'].replace('free', '')}</td></tr>"
            for line in document["water"]
        )
        return f"<table><caption>{escape(document['summary'])}</caption><tbody>{salts}{water}</tbody></table>"

    def to_dict(self) -> FittedIonsDocument:
        """Return the document as plain dictionaries, lists, numbers and text."""
        document: FittedIonsDocument = json.loads(self.to_json())
        return document

    @property
    def summary(self) -> str:
        """Whether every range is met, in one line."""
        return self.to_dict()["summary"]

    @property
    def meets_every_range(self) -> bool:
        """True when every range is met."""
        return self.to_dict()["meets_every_range"]

    @property
    def water_kg(self) -> float:
        """Mass of the liquor, kg."""
        return self.to_dict()["water_kg"]

    @property
    def blend(self) -> list[BlendPart]:
        """Its sources, the diluting water last; shares are not rounded."""
        return self.to_dict()["blend"]

    @property
    def salts(self) -> list[SaltToWeigh]:
        """What to weigh."""
        return self.to_dict()["salts"]

    @property
    def water(self) -> list[TargetLine]:
        """The resulting water: a line for each ion, the alkalinity and the ratio."""
        return self.to_dict()["water"]

    @property
    def cautions(self) -> list[Caution]:
        """Safety, and what is uncertain."""
        return self.to_dict()["cautions"]

    @property
    def fit(self) -> IonFitReport:
        """How good the fit is, with its proof."""
        return self.to_dict()["fit"]
