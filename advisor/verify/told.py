"""What of an advice is taken as told, and how what it says is compared with what it must say."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

SUMMED_ONCE = (
    "lookup",
    "extra_waste",
    "spare_items",
    "thread_size",
    "stitch_pitch",
    "coating_class",
    "forms_too_small",
    "cheapest_forms",
)
"""The formulas that read a table of the program: no second sum stands against them."""
NOT_CHECKED = {
    "reading": ("reading",),
    "how an answer was come by": ("facts.*.origin", "facts.*.state"),
    "questions that no danger or caution waits for": ("open_questions.*", "open_questions.*.affects.*"),
    "cautions that wait for more than answers, and on what": (
        "cautions.*",
        "cautions.*.depends_on.*",
        "cautions.*.rules.*",
    ),
    "ways out of a conflict": ("conflicts.*.resolutions.*",),
    "what a conflict stands on": ("conflicts.*.reasons.*.says",),
    "sentences beside their codes": (),
    "what would be without a preference": (),
    "whether another practice would change the order": ("trace.*.relevant",),
    "prices of a shop": ("decisions.amount.prices", "decisions.amount.forms.*.cost.*", "order.lines.*.cost.*"),
    f"the tables of {', '.join(SUMMED_ONCE)}": (),
}
"""What nothing is worked out against, with the places in an advice where it stands: ``*`` is any name or number."""


class Told:
    """A part that is taken as told, as long as it is one that can stand there."""

    def __init__(self, fits: Callable[[Any], bool], what: str) -> None:
        self.fits, self.what = fits, what


def one_of(*values: Any) -> Told:
    """One of these values, told."""
    return Told(lambda found: any(found == v and type(found) is type(v) for v in values), f"{values}")


def difference(found: Any, expected: Any, at: str) -> str:
    """Where two parts first differ, with both sides; an empty text if they agree. True is no 1."""
    if isinstance(expected, Told):
        return "" if expected.fits(found) else f"{at}: found {found!r:.200}, expected {expected.what:.200}"
    if isinstance(expected, Mapping) and isinstance(found, dict):
        for key in (k for k in (*expected, *found) if k not in expected or k not in found):
            return f"{at} {key}: " + ("it is left out" if key in expected else "no such part is expected")
        return next((text for k, v in expected.items() if (text := difference(found[k], v, f"{at} {k}"))), "")
    if isinstance(expected, list | tuple) and isinstance(found, list) and len(found) == len(expected):
        pairs = enumerate(zip(found, expected, strict=True), 1)
        return next((text for n, (one, other) in pairs if (text := difference(one, other, f"{at} {n}"))), "")
    if found == expected and isinstance(found, bool) == isinstance(expected, bool) and not isinstance(found, dict):
        return ""
    return f"{at}: found {found!r:.200}, expected {expected!r:.200}"
