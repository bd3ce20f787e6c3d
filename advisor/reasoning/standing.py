"""What a run comes to: outcome, order, conflicts and cautions, each settled or still open.

Two completions with the same standing give the same order. A standing is as wide as its run.
"""

from __future__ import annotations

from dataclasses import dataclass

from ..leather.units import show_weight
from ..rulebase.models import CONDITIONS, NO_ORDER, VERDICTS, Value
from .open_parts import parts_open
from .possibility import Possibility
from .spread import MAYBE, NO, YES, Status, Words, turned

Goal = str


@dataclass(frozen=True, slots=True)
class Standing:
    """Per goal what can come out; every part is a ``Words``, settled when its ``fixed`` is not None.

    The goals are the outcome (one of VERDICTS), each choice, the weight, the amount, the leathers besides the main one
    ("parts") and the conflicts.
    """

    order: dict[Goal, Words]

    def open_goals(self) -> list[Goal]:
        """The parts of the order that an answer may still change."""
        return [goal for goal, part in self.order.items() if part.fixed is None]

    def signature(self) -> tuple[tuple[Goal, frozenset[Value]], ...]:
        """For comparing settled orders: equal exactly when the orders are."""
        return tuple((goal, part.may) for goal, part in self.order.items())

    def moved(self, then: Standing) -> tuple[Goal, ...]:
        """The goals that are open or other ones in ``then``; an order that no leather is in has only its outcome."""
        return tuple(
            goal
            for goal, part in then.order.items()
            if part.fixed is None or goal not in self.order or part.may != self.order[goal].may
        )


def standing(run: Possibility) -> Standing:
    """What a run comes to. Where for certain no order stands, nothing but that is in the order."""
    outcome = _outcome(run)
    order = {"outcome": outcome}
    if not (outcome.may and outcome.may <= set(NO_ORDER)):
        order |= {name: weighed.chosen for name, weighed in run.weighed.items()}
        order["weight"] = _weight(run)
        order["amount"] = _amount(run)
        order["parts"] = parts_open(run)
        order["conflicts"] = conflicts(run)
    return Standing(order)


def _settled(*values: Value) -> Words:
    return Words(frozenset(values), frozenset(values), nothing=not values)


def _open(*values: Value) -> Words:
    return Words(frozenset(values), frozenset(), nothing=True)


def _outcome(run: Possibility) -> Words:
    found: dict[str, Status] = dict.fromkeys(VERDICTS, NO)
    for place, target in run.net.outcomes:
        if run.statuses[place] != NO:
            found[target] = max(found[target], run.stands(place))
    may: list[Value] = []
    item = run.fixed("item")
    for outcome in VERDICTS:
        if outcome == CONDITIONS and not item:
            # Nothing suits a thing that is not known, on whatever conditions.
            if item is None and found[outcome] != NO:
                may.append(outcome)
            continue
        if found[outcome] != NO:
            may.append(outcome)
        if found[outcome] == YES:
            break
    else:
        # No rule speaks for certain: then it is ok, unless a decision cannot be settled.
        if item is None or item:
            may += ["ok", "ok_with_conditions"] if _unmet(run) == MAYBE else []
            may += ["ok"] if _unmet(run) == NO else ["ok_with_conditions"] if _unmet(run) == YES else []
        else:
            may.append("unknown")
    may = list(dict.fromkeys(may))
    return _settled(*may) if len(may) == 1 else _open(*may)


def _unmet(run: Possibility) -> Status:
    """Whether some decision cannot be settled because its reasons clash."""
    return max((run.window.clash, *(w.clash for w in run.weighed.values())), default=NO)


def _weight(run: Possibility) -> Words:
    low, high = run.window.ends
    if run.window.clash == YES:
        return _settled("conflict")
    if run.window.clash == MAYBE or low.low != low.high or high.low != high.high:
        return _open("\0")
    if abs(low.low) == float("inf") or abs(high.low) == float("inf"):
        return _settled()
    return _settled(show_weight(low.low, high.low, "inch"))


def _amount(run: Possibility) -> Words:
    pieces, quantity = run.patterns.get("pieces"), run.fixed("quantity")
    if pieces is None or len(pieces) > 1 or quantity is None:
        return _open("\0")
    cut = "; ".join(f"{p.count} {p.length_mm} {p.width_mm}" for p in (pieces[0] if pieces else ()))  # type: ignore[union-attr]
    return _settled(f"{quantity} x {cut}")


def conflicts(run: Possibility) -> Words:
    """What is in conflict: decisions and attributes that cannot be settled, and clashes that rules name."""
    found: dict[str, Status] = {name: w.clash for name, w in run.weighed.items()}
    found["weight"] = run.window.clash
    found |= run.unsettled
    for place, target in run.net.clashes:
        if run.statuses[place] != NO:
            status = min(run.stands(place), turned(run.only_guessed(place)))
            found[target] = max(found.get(target, NO), status)
    for name, answer in run.answers.items():
        if answer.state == "known":
            found[f"answer {name}"] = _contradicted(run, name)
    return _words(found)


def _contradicted(run: Possibility, name: str) -> Status:
    """Whether a must-rule settles an answered attribute otherwise."""
    values = set(run.answers[name].values)
    return max(
        (
            run.stands(place)
            for place, settles in run.net.musts.get(name, ())
            if run.statuses[place] != NO and not settles <= values
        ),
        default=NO,
    )


def cautions(run: Possibility) -> Words:
    """The cautions that apply; what may but need not apply is in ``may`` only."""
    found: dict[str, Status] = {}
    for place, target in run.net.warnings:
        if run.statuses[place] != NO:
            found[target] = max(found.get(target, NO), run.statuses[place])
    return _words(found)


def _words(found: dict[str, Status]) -> Words:
    must = frozenset[Value](name for name, status in found.items() if status == YES)
    return Words(frozenset(name for name, status in found.items() if status != NO), must, nothing=not must)
