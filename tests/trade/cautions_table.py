"""How many cautions concern each item with its usual answers; run as a program, it prints the table.

``python tests/trade/cautions_table.py [ITEM ...]`` prints counts for all items, or the words that concern these.
"""

from __future__ import annotations

import sys
from statistics import median

from advisor import consult, load_rulebase
from advisor.reasoning.advice import Advice, CautionView

COLUMNS = ("stops", "cautions", "notes", "not ruled out", "makers differ", "listed")


def concerning(advice: Advice) -> tuple[int, ...]:
    """The cautions that concern the thing, by the first of COLUMNS."""
    met = [c for c in advice.cautions_told if c.relevant]
    applying = [c.severity for c in met if c.status == "applies"]
    return (*(applying.count(s) for s in ("stop", "caution", "note")), len(met) - len(applying))


def counts(advice: Advice) -> tuple[int, ...]:
    """What concerns the thing, by COLUMNS; ``listed`` is every caution that the JSON holds."""
    return (*concerning(advice), sum(s.relevant is True for s in advice.trace), len(advice.cautions))


def _words(caution: CautionView) -> str:
    status = "" if caution.status == "applies" else ", not ruled out"
    return f"  {caution.severity}{status}: {caution.text} [{caution.id}]"


def main(items: list[str]) -> None:
    """Print the words that concern some items, or counts for all with the least, the median and the most."""
    base = load_rulebase()
    for item in items:
        advice = consult(base, {"item": item})
        print(f"{item}: {advice.outcome}")
        print("\n".join(_words(c) for c in advice.cautions if c.relevant))
        print("\n".join(f"  {s.contested} [{s.rule}]" for s in advice.trace if s.relevant))
    if items:
        return
    found = {item: counts(consult(base, {"item": item})) for item in base.items}
    print(f"{'':20}" + "".join(f"{c:>15}" for c in COLUMNS))
    for item, row in found.items():
        print(f"{item:20}" + "".join(f"{n:15}" for n in row))
    for name, of in (("least", min), ("median", median), ("most", max)):
        print(f"{name:20}" + "".join(f"{of(column):15}" for column in zip(*found.values(), strict=True)))


if __name__ == "__main__":
    main(sys.argv[1:])
