"""Prints what is ordered for one of each item beside what a counter would say to buy.

Run: python tests/trade/orders_table.py [ITEM ...]. For each item: whether the order can be placed, how many of its
pieces are on a line, the leathers and fittings, and the sentence; the decisions behind differences are in buys.toml.
"""

from __future__ import annotations

import sys
import tomllib
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[2]))

from advisor import consult, load_rulebase
from advisor.reasoning.advice import Advice, OrderLine
from advisor.rulebase.models import RuleBase

BUYS: dict[str, Any] = tomllib.loads((Path(__file__).parent / "buys.toml").read_text("utf-8"))


def told(line: OrderLine) -> str:
    """A line of the order in a few words."""
    size = line.size or (f"{line.length_mm:g} x {line.width_mm:g} mm" if line.length_mm and line.width_mm else "")
    words = (line.count, line.label, size, line.tannage, line.colour, line.order_as)
    return f"{line.id}: " + ", ".join(str(w) for w in words if w is not None and w != "")


def rows(rulebase: RuleBase, item: str) -> list[str]:
    """The rows of one item, its order first."""
    advice: Advice = consult(rulebase, {"item": item})
    spec, lines = rulebase.items[item], advice.order.lines
    on_lines = {name for line in lines for name in line.pieces}
    left = [p.name for p in spec.pieces if p.name not in on_lines]
    stands = "yes" if lines else f"no ({advice.verdict})"
    without = f" (without {', '.join(left)})" if left and lines else ""
    head = f"{item}: can be bought {stands}; {len(on_lines)} of {len(spec.pieces)} pieces{without}"
    sentence = BUYS.get(item, {}).get("one", {}).get("sentence", "none")
    return [head, *(f"  {told(line)}" for line in lines), f"  a counter's sentence: {sentence}"]


def main(items: list[str]) -> int:
    rulebase = load_rulebase()
    for item in items or rulebase.items:
        print("\n".join(rows(rulebase, item)))
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
