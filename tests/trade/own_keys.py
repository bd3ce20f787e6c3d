"""How much a thing says itself: the keys beside its family and make, and the suppositions that no giver has.

Run: python tests/trade/own_keys.py. It prints how many things have how many, and which keys most things say themselves.
A key that all members of a family or make say alike belongs there; a ranking with its own reasons does not, since these
reasons are what a customer reads.
"""

from __future__ import annotations

import tomllib
from collections import Counter
from pathlib import Path
from statistics import median

ITEMS = Path(__file__).parents[2] / "rulesets" / "leather" / "items"
GIVERS = ("family", "make")


def main() -> None:
    """Print the figures."""
    things = {
        slug: raw
        for path in sorted(ITEMS.glob("*.toml"))
        for slug, raw in tomllib.loads(path.read_text("utf-8")).get("item", {}).items()
    }
    keys = {slug: [key for key in raw if key not in GIVERS] for slug, raw in things.items()}
    print("keys     " + ", ".join(f"{n}: {c}" for n, c in sorted(Counter(map(len, keys.values())).items())))
    print(
        "supposes "
        + ", ".join(f"{n}: {c}" for n, c in sorted(Counter(len(r["suppose"]) for r in things.values()).items()))
    )
    print("said by  " + ", ".join(f"{k} {c}" for k, c in Counter(k for ks in keys.values() for k in ks).most_common()))
    for name, some in (("all", set(things)), ("of a make", {s for s, r in things.items() if "make" in r})):
        counts = [len(keys[slug]) for slug in some]
        few = sum(n <= 10 for n in counts)
        print(f"{name}: {len(counts)} things, median {median(counts):g} keys, {few} with ten or fewer")


if __name__ == "__main__":
    main()
