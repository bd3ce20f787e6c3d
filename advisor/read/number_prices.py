"""Prices, and pounds that can be money or a weight."""

from __future__ import annotations

import re
from collections.abc import Sequence

from .number_parts import JOINS, Found, Part, Parts
from .number_words import UNCLEAR, Number

_POUNDS = ("pound", "pounds")
SIGNS = frozenset("£$€")
COINS = frozenset(
    (
        *SIGNS,
        "quid",
        "euro",
        "euros",
        "eur",
        "dollar",
        "dollars",
        "buck",
        "bucks",
        "usd",
        "gbp",
        "sterling",
    )
)
_NOTES = {"tenner": 10.0, "tenners": 10.0, "fiver": 5.0, "fivers": 5.0}
_SPENDING = frozenset(
    (
        "spend",
        "spending",
        "spent",
        "budget",
        "cost",
        "costs",
        "costing",
        "afford",
        "pay",
        "paying",
        "price",
        "priced",
        "worth",
        "charge",
        "sell",
        "selling",
    )
)
_PAYING = frozenset(("spend", "spending", "budget", "costs", "costing", "afford", "paying"))
_FILLERS = frozenset(
    ("more", "than", "of", "about", "around", "roughly", "up", "to", "is", ":", "for", "at", "only", "just", "most")
)
_WEIGHED = frozenset(
    (
        "weigh",
        "weighs",
        "weighing",
        "weight",
        "heavy",
        "load",
        "loads",
        "carry",
        "carries",
        "carrying",
        "hold",
        "holds",
        "holding",
        "bear",
        "bears",
        "lift",
        "lifts",
        "pull",
        "pulls",
        "support",
        "supports",
        "take",
        "takes",
        "am",
        "he",
        "she",
        "he's",
        "she's",
        "i'm",
    )
)
_SPENT_ON = re.compile(r"\s+for\s+(?:(?:the|all|my)\s+)?(?:materials?|everything|the lot|it all|all of it)\b")
_SPENT_BEHIND = re.compile(
    r"\s+(?:(?:pounds?|or so|at (?:the )?most)\s+)?(?:to (?:spend|play with)"
    r"|(?:is|'s) (?:my|our|the) (?:limit|budget|top|absolute)|(?:is|'s) (?:the )?(?:most|all|what) (?:i|we)\b)"
)
_GOING = frozenset(("to", "over", "past", "beyond", "under", "exceed"))
"""Words before pounds by which they are a sum: "I could go to eighty pounds"."""
_POUNDS_OF = "pounds can be money or a weight; write £ or lb"


class Prices(Parts):
    """The prices and the pounds of one text."""

    def _money(self, i: int) -> Found:
        """A price: "£60", "40 to 60 quid", "a tenner", "350 for materials"."""
        said = self.said
        if said.word(i) in (*SIGNS, "gbp", "usd", "eur"):
            parts = self._priced(i)
            return self._size_of("money", parts, parts[-1].last, said.tokens[i].start) if parts else None
        if said.word(i) in ("a", "one") and said.word(i + 1) in _NOTES:
            n = Number(_NOTES[said.word(i + 1)], i + 2)
            return self._size_of("money", [Part(n, n.value, "", said.tokens[i].start, i + 2)], i + 2)
        between = said.word(i) == "between"
        start, first = said.tokens[i].start, self._part(i + between)
        if first is None:
            return None
        parts, last = [first], first.last
        if joined := self._second(first, ("and",) if between else ()):
            parts, last = [first, joined], joined.last
        elif between:
            return None
        if any(p.unit and p.unit not in _POUNDS for p in parts):
            return None
        if said.word(last) in COINS:
            return self._size_of("money", [p._replace(unit="") for p in parts], last + 1, start)
        if not parts[-1].unit and said.word(last) in _NOTES and len(parts) == 1:
            each = first._replace(value=first.value * _NOTES[said.word(last)])
            return self._size_of("money", [each], last + 1)
        if parts[-1].unit in _POUNDS:
            return self._pounds_or_money(i, parts, last)
        if parts[-1].unit or not self._whole(parts[-1]):
            return None
        if m := _SPENT_ON.match(self.text, said.end(last)):
            return self._size_of("money", parts, self._after(m.end()), start)
        if _SPENT_BEHIND.match(self.text, said.end(last)):
            return self._size_of("money", parts, last, start)
        return self._size_of("money", parts, last, start) if self._spending(i, _PAYING) else None

    def _priced(self, i: int) -> list[Part]:
        """The prices from a sign of money on: "£40", "$25 to $30"."""
        first = self._amount(i + 1)
        if first is None:
            return []
        at = first.last
        if self.said.word(at) in (*JOINS, "and"):
            signed = self.said.word(at + 1) in SIGNS
            second = self._amount(at + 1 + signed)
            if second and (signed or self.said.word(at) != "and") and (signed or not self._unit(second.last)):
                return [first, second]
        return [first]

    def _amount(self, i: int) -> Part | None:
        """An amount of money; "1.2k" is a thousand times as much."""
        n = self.said.number(i)
        if n is None or n.ordinal:
            return None
        many = self.said.glued(n.last) and self.said.word(n.last) == "k"
        value, last = n.value * (1000 if many else 1), n.last + many
        wrong = n.wrong or (UNCLEAR if self.said.glued(last) and self.said.kind(last) == "word" else "")
        return Part(n, value, "", self.said.tokens[i].start, last, wrong)

    def _spending(self, i: int, words: frozenset[str]) -> bool:
        """Whether a word for spending stands before ``i``, or only a few small words away."""
        at = i - 1
        while at > i - 4 and self.said.word(at) in _FILLERS:
            at -= 1
        return self.said.word(at) in words

    def _pounds_or_money(self, i: int, parts: Sequence[Part], last: int) -> Found:
        """Pounds as a price, or as unclear; None where they weigh something."""
        said = self.said
        after = said.word(last)
        near = {said.word(j) for j in (*range(max(0, i - 5), i), *range(last, last + 3))}
        weighed = bool(near & _WEIGHED)
        gone = said.word(i - 1) in _GOING and said.word(i - 2) in ("go", "run", "stretch", "going", "get", "for")
        told = bool(_SPENT_BEHIND.match(self.text, said.end(last)))
        if self._spending(i, _SPENDING) or after in ("budget", "sterling", "tops") or (gone and not weighed) or told:
            return self._size_of("money", [p._replace(unit="") for p in parts], last)
        if said.word(last - 1) == "pound" or after == "of" or said.word(i - 1) in ("a", "an") or self._pounds(i):
            return None
        bought = said.word(i - 1) == "for" and (said.kind(last) != "word" or after in ("for", "and", "or", "in"))
        if bought and not weighed:
            return self._size_of("money", [p._replace(unit="") for p in parts], last)
        if weighed and not bought:
            return None
        return self._size_of("size", [parts[-1]._replace(wrong=_POUNDS_OF, start=parts[0].start)], last)

    def _pounds(self, i: int) -> Found:
        """ "7 lb 4 oz" in pounds, "11 stone 4" too, "2 kg 500 g" in kilograms."""
        said, first = self.said, self._part(i)
        if not first or first.wrong or first.unit not in ("lb", "lbs", *_POUNDS, "stone", "kg"):
            return None
        at = first.last
        at += said.word(at) == "."
        at += said.word(at) == "," and first.unit not in ("stone", "kg")
        at += said.word(at) == "and"
        second = self._part(at) if said.kind(at) in ("digits", "word") else None
        if not second or second.wrong:
            return None
        value, unit = first.value, "lb"
        if (
            first.unit == "stone"
            and second.value < 14
            and (
                second.unit in ("lb", "lbs", *_POUNDS)
                or (not second.unit and at == first.last and self._whole(second) and self._closed(second.last))
            )
        ):
            value = first.value * 14 + second.value
        elif first.unit == "kg" and second.unit in ("g", "gram", "grams") and at == first.last:
            value, unit = first.value + second.value / 1000, "kg"
        elif first.unit not in ("stone", "kg") and second.unit in ("oz", "oz.", "ounce", "ounces"):
            value = first.value + second.value / 16
        else:
            return None
        return self._size_of("pounds", [first._replace(value=value, unit=unit)], second.last)
