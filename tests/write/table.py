"""What a person sees of every item: ``python tests/write/table.py`` prints lines, words and the place of the order."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from typing import NamedTuple

from advisor import Advice, consult, load_rulebase
from advisor.rulebase.models import RuleBase
from advisor.write.page import ORDER
from advisor.write.screen import LINES, advice_lines
from advisor.write.slip import slip_lines

_THICK = re.compile(r" (?:oz|iron)\)")
"""How a line ends a thickness: soles are told in irons."""


class Row(NamedTuple):
    """One item: its answer, and the lines that answer and slip take."""

    item: str
    advice: Advice
    screen: list[str]
    slip: list[str]

    @property
    def order_ends(self) -> int:
        """The line on which the first leather of the order has been said, 0 without an order.

        What stops, or cannot be had together, stands before any order and is not counted.
        """
        starts = [n for n, line in enumerate(self.screen, 1) if line.startswith(f"{ORDER} ")]
        after = (n for n, line in enumerate(self.screen, 1) if starts and n > starts[0] and _THICK.search(line))
        before = (n for n, line in enumerate(self.screen, 1) if line.startswith(("STOP: ", "  These cannot")))
        first = next(before, 0)
        told = starts[0] - first if starts and 0 < first < starts[0] else 0
        return next(after, 0) - told if starts else 0


def rows(rulebase: RuleBase, advised: Callable[[str], Advice] | None = None) -> Iterator[Row]:
    """Every item with nothing else said; ``advised`` gives the advice where it is known already."""
    for item in rulebase.items:
        advice = advised(item) if advised else consult(rulebase, {"item": item})
        yield Row(item, advice, advice_lines(rulebase, advice), slip_lines(rulebase, advice))


if __name__ == "__main__":
    found = list(rows(load_rulebase()))
    for row in found:
        words = sum(len(line.split()) for line in row.screen)
        print(
            f"{row.item:24} {len(row.screen):3} lines {words:4} words  order by line {row.order_ends:2}"
            f"  slip {len(row.slip):2}  {row.advice.verdict}"
        )
    longest = sorted(len(row.screen) for row in found)
    fits = sum(n <= LINES for n in longest)
    print(f"{fits} of {len(found)} in {LINES} lines; median {longest[len(longest) // 2]}, longest {longest[-1]}")
