"""How far the advised weights lie inside those that published guides give; published_weights.toml names each guide.

Run: python tests/trade/published_weights.py [least]. It prints each thing with its guides and the shares, the mean and
how many things have nothing in common with the median of their guides; with a number, only things below that share.
"""

from __future__ import annotations

import sys
import tomllib
from collections.abc import Mapping
from pathlib import Path
from statistics import mean, median
from typing import Any, NamedTuple

HERE = Path(__file__).parent
sys.path[:0] = [str(HERE.parents[1]), str(HERE.parent)]

from plain import plain_advice  # noqa: E402

from advisor import load_rulebase  # noqa: E402

TABLE: dict[str, Any] = tomllib.loads((HERE / "published_weights.toml").read_text("utf-8"))
GUIDES: dict[str, dict[str, Any]] = TABLE["guide"]
THINGS: dict[str, dict[str, str]] = TABLE["thing"]
REASONS: dict[str, str] = TABLE["without_contact"]
OUTSIDE: dict[str, str] = TABLE["mostly_outside"]
INCH = 25.4
UNITS = {"mm": 1.0, "oz": INCH / 64, "irons": INCH / 48}
MOST = 16 * UNITS["oz"]
"""The thickest leather sold by the ounce, in mm."""
HALF = 0.5 * UNITS["oz"]
LEAST = 1e-9
MOSTLY = 0.34
"""Of a thing with a smaller share the table says why it stands."""


class Row(NamedTuple):
    """One thing: what is advised of it, each guide's span and the share of the advice inside it."""

    item: str
    advised: tuple[float, float]
    guides: Mapping[str, tuple[float, float]]
    shares: Mapping[str, float]

    @property
    def share(self) -> float:
        """The median over its guides."""
        return median(self.shares.values())


def span(text: str) -> tuple[float, float]:
    """A guide's words as millimetres: "2-4 oz", "1.2-1.6 mm", "6 oz up", or one number, half an ounce each way."""
    numbers, unit, *up = text.split()
    low, _, high = numbers.partition("-")
    ends = [float(n) * UNITS[unit] for n in (low, high) if n]
    if up:
        return ends[0], MOST
    return (ends[0], ends[1]) if high else (ends[0] - HALF, ends[0] + HALF)


def advised(item: str) -> tuple[float, float]:
    """What is ordered of an item of which nothing else is said; its usual weight where no order stands. In mm."""
    weight = plain_advice(item).decisions.weight
    if weight.low_mm is not None and weight.high_mm is not None:
        return weight.low_mm, weight.high_mm
    usual = RAW[item]["weight"]
    return float(usual["usual_low"].split()[0]), float(usual["usual_high"].split()[0])


def inside(advice: tuple[float, float], guide: tuple[float, float]) -> float:
    """The share of the advice that lies in the guide's span; of a single thickness whether it does."""
    low, high = advice
    if high - low < LEAST:
        return float(guide[0] - LEAST <= low <= guide[1] + LEAST)
    return max(0.0, min(high, guide[1]) - max(low, guide[0])) / (high - low)


def row(item: str) -> Row:
    """One thing compared with all its guides."""
    advice = advised(item)
    guides = {name: span(GUIDES[name]["uses"][use]) for name, use in THINGS[item].items()}
    return Row(item, advice, guides, {name: inside(advice, found) for name, found in guides.items()})


RAW: dict[str, Any] = {
    slug: raw
    for path in (HERE.parents[1] / "rulesets" / "leather" / "items").glob("*.toml")
    for slug, raw in tomllib.loads(path.read_text("utf-8")).get("item", {}).items()
}


def main() -> None:
    """Print the table, then the figures."""
    below = float(sys.argv[1]) if len(sys.argv) > 1 else 2.0
    rows = [row(item) for item in THINGS]
    for found in sorted(rows, key=lambda r: (r.share, r.item)):
        if found.share >= below:
            continue
        low, high = found.advised
        print(f"{found.share:4.2f}  {found.item}  {low:.1f}-{high:.1f} mm")
        for name, (thin, thick) in found.guides.items():
            print(f"        {found.shares[name]:4.2f}  {thin:.1f}-{thick:.1f}  {GUIDES[name]['title']}")
    apart = [r for r in rows if r.share < LEAST]
    used = {name for uses in THINGS.values() for name in uses}
    print(f"{len(rows)} of {len(load_rulebase().items)} things have a guide, of {len(used)} guides.")
    print(f"Mean share {mean(r.share for r in rows):.2f}; {len(apart)} at zero: {', '.join(r.item for r in apart)}.")


if __name__ == "__main__":
    main()
