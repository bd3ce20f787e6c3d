"""How many kept files a heading of the page stands in: whoever words one anew has to read each of them."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from advisor.write import page

ROOT = Path(__file__).parents[2]
MOST = 15
HEADINGS = (
    page.ORDER,
    page.WHY,
    page.ALSO_GOOD,
    page.NOT_THIS,
    page.AT_THE_SHOP,
    page.MIND,
    page.TELL_ME_IF,
    page.I_ASSUMED,
    page.NEXT_STEPS,
    page.YOU_SAID,
    page.ON_ARRIVAL,
)


def kept() -> Iterator[Path]:
    """Every text that is compared word for word: snapshots, transcripts, the page that everybody reads first."""
    yield ROOT / "README.md"
    yield from (ROOT / "transcripts_demo").glob("*.txt")
    for folder in (ROOT / "tests").rglob("__snapshots__"):
        yield from (path for path in folder.rglob("*") if path.is_file())


def standing_in(heading: str) -> list[str]:
    """The kept files with a line that begins with a heading."""
    texts = {path: path.read_text(encoding="utf-8").splitlines() for path in kept()}
    return [str(p.relative_to(ROOT)) for p, lines in texts.items() if any(n.startswith(f"{heading} ") for n in lines)]


@pytest.mark.parametrize("heading", HEADINGS)
def test_a_heading_stands_in_few_kept_files(heading: str) -> None:
    found = standing_in(heading)
    assert 0 < len(found) <= MOST, found
