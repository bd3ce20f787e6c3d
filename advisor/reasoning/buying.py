"""What could be bought for a pattern: every form compared, in money where there is a price list.

``values`` gives what is known under a name, in the attribute's unit; ``window`` is the advised weight, mm.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from decimal import Decimal

from ..codes import Saying, say
from ..leather.cutting import FormCount
from ..leather.pieces import Piece
from ..leather.price import Quote, quote
from ..rulebase.house import House
from ..rulebase.models import Decision, RuleBase, Value
from ..rulebase.patterns import compared

_COUNTED = ("tannage", "quantity", "extra_waste")
"""What a count of forms hangs on, besides the pieces."""
BOUGHT = (*_COUNTED, "form_excluded")
"""What buying hangs on without a price list, besides the pieces."""


def relative_prices(rulebase: RuleBase, decision: Decision) -> Mapping[str, Decimal]:
    """What each candidate costs per area, as the rule base compares them."""
    found: dict[str, Decimal] = rulebase.once(
        f"prices of {decision.name}", lambda _: {c: Decimal(str(v)) for c, v in decision.table("price").items()}
    )
    return found


@dataclass(slots=True)
class Buying:
    """The market for one consultation; ``failed`` says that forms could not be reckoned, None if they could."""

    rulebase: RuleBase
    house: House | None
    values: Callable[[str], tuple[Value, ...]]
    pieces: tuple[Piece, ...]
    window: tuple[float | None, float | None]
    failed: Saying | None = None
    _counts: dict[int, list[FormCount]] = field(default_factory=dict)

    def forms(self, spare: int = 0) -> list[FormCount]:
        """Every form compared for the pieces, tannage and quantity known so far; empty before that.

        ``spare`` items more are reckoned with.
        """
        if spare not in self._counts:
            held = (*(self.values(n) for n in _COUNTED), self.pieces, spare)
            counts = self.rulebase.remembered("forms", held, lambda: self._reckoned(spare))
            if counts is None:
                self.failed = say("forms_not_reckoned")
            self._counts[spare] = list(counts or ())
        return self._counts[spare]

    def _reckoned(self, spare: int) -> list[FormCount] | None:
        try:
            return compared(self.rulebase, self.values, self.pieces, spare)
        except ValueError:
            return None

    def quotes(self, spare: int = 0) -> dict[str, Quote]:
        """What every fitting form costs by the house's prices; empty without prices or a settled weight."""
        low, high = self.window
        tannage = self.values("tannage")
        if self.house is None or low is None or high is None or not tannage:
            return {}
        return {
            f.form: quote(
                f.form,
                f.count,
                f.gross_dm2 + f.leftover_dm2,
                str(tannage[0]),
                low,
                high,
                self.house.prices,
                self.house.currency,
                f.widths,
            )
            for f in self.forms(spare)
            if f.fits
        }

    def priced(self) -> dict[str, Decimal]:
        """Form -> what it costs, of the forms that the house prices."""
        return {f: q.total for f, q in self.quotes().items() if q.total is not None}

    def costs(self) -> dict[str, Decimal]:
        """What forms cost relative to each other: by the house's prices where it has any.

        What the house does not price is put at its index times what the priced forms cost for theirs.
        """
        index = {f.form: Decimal(str(f.relative_cost)) for f in self.forms() if f.relative_cost is not None}
        priced = self.priced()
        if not priced:
            return index
        rate = sum(priced.values(), Decimal(0)) / sum((index[f] for f in priced), Decimal(0))
        return {f: priced.get(f, cost * rate) for f, cost in index.items()}

    def cheapest_by_price(self) -> tuple[str, ...] | None:
        """The forms of least money that are not excluded; None where the house prices none."""
        if not self.priced():
            return None
        excluded = self.values("form_excluded")
        costs = {f: cost for f, cost in self.costs().items() if f not in excluded}
        least = min(costs.values(), default=Decimal(0))
        return tuple(sorted(f for f, cost in costs.items() if cost == least))

    def least_money(self) -> Decimal | None:
        """What the cheapest form that is not excluded costs; None where the house prices none."""
        excluded = self.values("form_excluded")
        return min((total for f, total in self.priced().items() if f not in excluded), default=None)
