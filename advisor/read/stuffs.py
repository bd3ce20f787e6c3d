"""Words for colours and leathers behind "in", where it is no inch: "50 x 50 in cognac", "20 x 9 in soft brown calf"."""

from __future__ import annotations

import re

from ..rulebase.models import RuleBase
from . import lexicon as lex
from .purposes import purposes
from .shades import palette_of


def stuffs(rulebase: RuleBase) -> re.Pattern[str]:
    """A colour or a leather behind "in"; the group "end" is there where no noun in the singular follows."""
    made: re.Pattern[str] = rulebase.once("stuffs", _compiled)
    return made


def _compiled(rulebase: RuleBase) -> re.Pattern[str]:
    known, special = lex.lexicon(rulebase).phrases, purposes(rulebase)
    names = {special.colour, *special.wishes}
    said = {p for p, readings in known.items() if names.issuperset(a for a, _ in readings)}
    palette = palette_of(rulebase, special.colour)
    said |= set(palette.named) if palette else set()
    said |= {(word,) for word in lex.OF_LEATHER}
    words = "|".join(r"\s+".join(map(re.escape, p)) for p in sorted(said, key=len, reverse=True))
    describing = "|".join(sorted(lex.PLAIN | (palette.shading if palette else frozenset())))
    # A noun behind it is the thing, and then a number before it is of inches: "a 3 in brown strap".
    ends = "|".join(sorted(lex.STOP | lex.OF_LEATHER | lex.BREAK, key=len, reverse=True))
    last = rf"(?=\s*(?:$|[^\w\s]|\d|(?:{ends})\b|[a-z]+[^\Ws]s\b))"
    return re.compile(rf"\s+(?:(?:{describing})\s+)*(?:{words})s?\b(?P<end>{last})?")
