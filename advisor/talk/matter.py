"""What a question about the advice is asked of: the rule base, the answers so far, the price list."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cache
from typing import NamedTuple

from ..leather.units import Units
from ..reasoning.advice import Advice
from ..reasoning.changes import present
from ..reasoning.consult import Consultation
from ..reasoning.facts import Answer
from ..reasoning.possibility import Possibility
from ..reasoning.report import report
from ..reasoning.tipping import deciding
from ..rulebase.house import House
from ..rulebase.models import RuleBase
from ..write.assumed import MOST_DECIDING
from ..write.page import Page


class Matter(NamedTuple):
    """A consultation to be asked about; ``width`` is the number of columns for the reply, ``units`` its measures.

    ``advised`` gives the advice on these answers where somebody keeps it already.
    """

    rulebase: RuleBase
    answers: Mapping[str, Answer]
    house: House | None = None
    width: int = 80
    units: Units = "mm"
    advised: Callable[[], Advice] | None = None

    def advice(self, changes: Mapping[str, Answer] | None = None) -> Advice:
        """The advice, with some answers changed."""
        if self.advised is not None and not changes:
            return self.advised()
        return report(Consultation(self.rulebase, {**self.answers, **(changes or {})}, house=self.house))

    def about(self, answers: Mapping[str, Answer]) -> Matter:
        """The same of other answers, whose advice is worked out once however much is asked of it."""
        other = self._replace(answers=answers, advised=None)
        return other._replace(advised=cache(other.advice))

    def run(self) -> Possibility:
        """The run with nothing open, to be varied."""
        return present(self.rulebase, self.answers, self.house)

    def leans(self) -> list[str]:
        """The few suppositions that decide what is bought, those most likely to be otherwise first."""
        return deciding(self.run(), MOST_DECIDING)

    def page(self) -> Page:
        """An empty page of its width."""
        return Page(self.width, self.units)

    @property
    def item(self) -> str | None:
        """What is being made, once answered."""
        answer = self.answers.get("item")
        return str(answer.values[0]) if answer and answer.values else None
