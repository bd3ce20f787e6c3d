"""The rules run on sets of open answers: what can, must and cannot follow, whatever is still said.

Every name holds a spread instead of a value and every rule holds for no, some or all completions.
What one completion comes to always lies in the spread (sound), and opening more answers never
narrows anything (monotone). On answers that leave nothing open it agrees with the inference engine,
rule by rule. It forgets that two things may hang on the same open answer, so it can be too wide.

A completion leaves each opened answer unsaid, or gives it one of its values. A supposition stands
only where nobody may still answer.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from decimal import Decimal
from functools import partial
from typing import TypeVar

from ..errors import AnswerError
from ..leather.pieces import Piece
from ..rulebase.house import House
from ..rulebase.models import (
    ANSWERED,
    PATTERN_KINDS,
    Attribute,
    Conclusion,
    Item,
    Premise,
    Rule,
    RuleBase,
    Value,
    make_room,
)
from ..rulebase.patterns import PIECE, cut_pieces, lay_zones, pieces_by_hand
from .buying import BOUGHT, Buying, relative_prices
from .facts import Answer
from .network import Network, network
from .reckoning import Pattern, least_money, reckoned
from .resolve_attribute import claimed, resolve_attribute
from .resolve_choice import Cost, Named, Ranking, Reason, Weighed, barred, reason, resolve_choice
from .resolve_window import Bound, Margins, end, resolve_window
from .spread import (
    MAYBE,
    NO,
    YES,
    Span,
    Spread,
    Status,
    Words,
    compared,
    joined,
    point,
    test,
    turned,
    unknown,
    whole,
    within,
)

MOST_RUNS = 256
"""So many runs are held to go on from, by item; each takes some 200 kB."""
_NO_MARGINS = resolve_window(())
_T = TypeVar("_T")


class Possibility:
    """One run. ``spreads`` holds every name, ``statuses`` every rule in the network's order,
    ``weighed`` the choices, ``window`` the weight. A run is never changed; ``saying`` makes another.
    """

    def __init__(
        self,
        rulebase: RuleBase,
        answers: Mapping[str, Answer],
        opened: Mapping[str, Spread],
        house: House | None = None,
        within: frozenset[str] | None = None,
    ) -> None:
        """``answers`` are settled, ``opened`` may still be said within their spread, nothing else is said.

        With ``within`` only those nodes are settled; nothing else may then be read off the run.
        """
        self.rulebase, self.house = rulebase, house
        self.net: Network = network(rulebase)
        self.answers, self.opened = dict(answers), dict(opened)
        self.spreads: dict[str, Spread] = {}
        self.tests: list[Status] = [NO] * len(self.net.premises)
        self.statuses: list[Status] = [NO] * len(self.net.rules)
        self._owns: list[Status] = [NO] * len(self.net.rules)
        self.weighed: dict[str, Weighed] = {}
        self.window: Margins = _NO_MARGINS
        self.unsettled: dict[str, Status] = {}
        self.patterns: dict[str, Pattern | None] = {}
        self._run(set(self.net.order), within)

    def saying(
        self, changes: Mapping[str, Answer | Spread | None], within: frozenset[str] | None = None
    ) -> Possibility:
        """The run with some names answered, opened to a spread, or (None) said by nobody.

        With ``within`` only those nodes are settled anew; nothing else may then be read off the run.
        """
        other = object.__new__(Possibility)
        other.rulebase, other.house, other.net = self.rulebase, self.house, self.net
        other.answers, other.opened = dict(self.answers), dict(self.opened)
        other.spreads, other.tests = dict(self.spreads), self.tests.copy()
        other.statuses, other._owns = self.statuses.copy(), self._owns.copy()
        other.weighed, other.window = dict(self.weighed), self.window
        other.unsettled, other.patterns = dict(self.unsettled), dict(self.patterns)
        dirty: set[str] = set()
        for name, said in changes.items():
            other.answers.pop(name, None)
            other.opened.pop(name, None)
            if isinstance(said, Answer):
                other.answers[name] = said
            elif said is not None:
                other.opened[name] = said
            dirty.add("pieces" if name.startswith(PIECE) else name)
        # What counts as the item's own habit hangs on the item everywhere.
        other._run(set(self.net.order) if "item" in changes else dirty, within)
        return other

    # -- looking up

    def status(self, rule: Rule) -> Status:
        """Whether the rule fires for no, some or all completions."""
        return self.statuses[self.net.index[rule.id]]

    def stands(self, place: int) -> Status:
        """Whether the rule at this place fires and no preferred one takes it back."""
        status = self.statuses[place]
        for winner in self.net.winners[place] if status != NO else ():
            status = min(status, turned(self.stands(winner)))
        return status

    def speaking(self, node: str) -> list[tuple[int, Conclusion]]:
        """What rules conclude about a node, with their places, without those of things not made here."""
        return self.net.speaking(node, self.item())

    def open_premises(self, rule: Rule) -> list[str]:
        """The names whose being open keeps a rule possible."""
        tests = self.net.tests[self.net.index[rule.id]]
        return list(dict.fromkeys([self.net.premises[t].attribute for t in tests if self.tests[t] == MAYBE]))

    def premise(self, premise: Premise) -> Status:
        """Whether one premise can, must or cannot hold."""
        return self._test(premise)

    def fixed(self, name: str) -> tuple[Value, ...] | None:
        """The values of a name if every completion agrees on them, else None."""
        spread = self.spreads.get(name)
        return spread.fixed if spread is not None else ()

    # -- running

    def _run(self, dirty: set[str], within: frozenset[str] | None = None) -> None:
        net = self.net
        for node in net.order:
            if node not in dirty or (within is not None and node not in within):
                continue
            before = [self.spreads.get(name) for name in net.names[node]]
            pattern = self.patterns.get(node)
            self._settle(node)
            after = [self.spreads.get(name) for name in net.names[node]]
            if before == after and pattern == self.patterns.get(node) and len(dirty) < len(net.order):
                continue
            read, other = self._tested(net.names[node])
            for place in read:
                held = self.statuses[place]
                if held == NO and place not in other:
                    continue
                status = self._judged(net.tests[place])
                if status == NO == held:
                    continue
                # Of a rule that holds as before, what it says changes with whose habit it is and with what it names.
                own = self._own_match(place)
                if status != held or own != self._owns[place] or node in net.values_from[place]:
                    self.statuses[place], self._owns[place] = status, own
                    dirty |= net.affected[place]
            dirty |= net.dependents[node]

    def _tested(self, names: Iterable[str]) -> tuple[set[int], set[int]]:
        """The rules that read these names, and those with a premise that, judged anew, holds otherwise than before."""
        net, read, other = self.net, set[int](), set[int]()
        for name in names:
            for t in net.tests_of.get(name, ()):
                read |= net.rules_of[t]
                status = self._test(net.premises[t])
                if status != self.tests[t]:
                    self.tests[t] = status
                    other |= net.rules_of[t]
        return read, other

    def _judged(self, tests: Iterable[int]) -> Status:
        """Whether all these premises hold."""
        found = YES
        for t in tests:
            status = self.tests[t]
            if status == NO:
                return NO
            if status == MAYBE:
                found = MAYBE
        return found

    def _test(self, premise: Premise) -> Status:
        spread = self.spreads[premise.attribute] if premise.attribute in self.spreads else self._unknown(premise)
        if premise.other is None:
            return test(spread, premise.operator, premise.values)
        other = self.spreads.get(premise.other)
        if not isinstance(spread, Span) or not isinstance(other, Span) or not (spread.something and other.something):
            return NO
        holds = compared(spread.low, spread.high, premise.operator, other.low, other.high)
        return MAYBE if holds == YES and (spread.nothing or other.nothing) else holds

    def _unknown(self, premise: Premise) -> Spread:
        return unknown(self.rulebase.attributes.get(premise.attribute), premise.attribute == "weight")

    # -- settling

    def _settle(self, node: str) -> None:
        decision = self.rulebase.decisions.get(node)
        if decision is not None and decision.kind == "choice":
            self._settle_choice(node)
        elif decision is not None:
            self._settle_window(node)
        elif node.endswith("_excluded"):
            name = node.removesuffix("_excluded")
            reasons = self.reasons(name, self.net.barring(name, self.item()))
            self.spreads[node] = self.remembered(
                node, reasons, (), lambda: barred(self.rulebase.decisions[name], reasons)
            )
        else:
            self._settle_attribute(self.rulebase.attributes[node])

    def _settle_attribute(self, attribute: Attribute) -> None:
        name = attribute.name
        self.unsettled.pop(name, None)
        answer = self.answers.get(name)
        if len(self.net.names[name]) > 1:
            self.spreads[name + ANSWERED] = self._answered(name)
        if answer is not None and answer.state == "known":
            self.spreads[name] = point(answer.values, attribute.numeric, self._own_answer(name, answer.values))
            return
        if answer is not None and answer.state == "does not apply":
            self.spreads[name] = unknown(attribute)
            return
        if attribute.kind in PATTERN_KINDS:
            self._settle_pattern(name)
            return
        opened = self.opened.get(name)
        if opened is not None:
            said = replace(opened, own=MAYBE, guessed=MAYBE if opened.nothing else NO)
            # Left unsaid, the rules settle it; where anything may be said, that lies within.
            free = not opened.nothing or within(whole(attribute), opened)
            self.spreads[name] = said if free else joined(said, self._by_rules(attribute))
            return
        spread = reckoned(self, attribute) if attribute.formula else least_money(self, attribute)
        if spread is None:
            spread = self._by_rules(attribute)
        elif spread.nothing:
            spread = joined(spread, self._by_rules(attribute))
        self.spreads[name] = spread

    def _answered(self, name: str) -> Spread:
        """Whether and what a person answers to a question; rules and suppositions count for nothing."""
        answer, opened = self.answers.get(name), self.opened.get(name)
        if answer is not None:
            own = self._own_answer(name, answer.values)
            return point(answer.values, self.rulebase.attributes[name].numeric, own if answer.values else NO)
        return unknown(self.rulebase.attributes[name]) if opened is None else replace(opened, own=MAYBE, guessed=NO)

    def _by_rules(self, attribute: Attribute) -> Spread:
        """What rules make of an attribute that nobody answered."""
        claims = [
            claimed(place, self.net.rules[place], conclusion, stands, self._own_rule(place), conclusion.values)
            for place, conclusion in self.speaking(attribute.name)
            if (stands := self.stands(place)) != NO
        ]
        found = resolve_attribute(claims, attribute.kind == "set", attribute.numeric)
        if found.tie != NO:
            self.unsettled[attribute.name] = found.tie
        return found.spread

    def _own_answer(self, name: str, values: tuple[Value, ...]) -> Status:
        if name == "item":
            return YES
        items = self._items()
        own = {set(item.supposes.get(name, ())) == set(values) for item in items} or {False}
        return MAYBE if len(own) > 1 or (self.fixed("item") is None and True in own) else Status.of(own.pop())

    def _items(self) -> list[Item]:
        spread = self.spreads.get("item")
        may = spread.may if isinstance(spread, Words) else ()
        return [self.rulebase.items[str(v)] for v in may if str(v) in self.rulebase.items]

    def item(self) -> str | None:
        """What is made, where that is settled."""
        item = self.fixed("item")
        return str(item[0]) if item and len(item) == 1 else None

    def _own_rule(self, place: int) -> Status:
        """Whether a rule that fires rests on nothing but the item's own habits."""
        rule = self.net.rules[place]
        if rule.item is not None or rule.concern == "general habit":
            return Status.of(rule.item is not None)
        return self._own_match(place)

    def _own_match(self, place: int) -> Status:
        if self.net.absences[place]:
            return NO
        return min((s.own if (s := self.spreads.get(n)) else NO for n in self.net.reads[place]), default=YES)

    def only_guessed(self, place: int) -> Status:
        """Whether a rule leans on a supposition that the item did not make."""
        return max((s.guessed if (s := self.spreads.get(n)) else NO for n in self.net.reads[place]), default=NO)

    def reasons(self, name: str, about: Iterable[tuple[int, Conclusion]]) -> list[Reason]:
        """The reasons among these conclusions about a choice, as far as their rules may hold."""
        items = self._items()
        ranks = any(name in item.ranks for item in items)
        ranking = Ranking(name, items if ranks else (), self.fixed("item") is not None)
        found = []
        # Most rules do not hold, and this is walked thousands of times in a turn.
        statuses = self.statuses
        for place, conclusion in about:
            if statuses[place] == NO:
                continue
            stands = self.stands(place)
            if stands == NO:
                continue
            named: tuple[Named, ...] = ()
            if not conclusion.attribute:
                named = self.net.named[place, conclusion.text]
            elif isinstance(spread := self.spreads.get(conclusion.attribute), Words):
                values = sorted(spread.may, key=str)
                named = tuple([(str(v), YES if v in spread.must else MAYBE, YES) for v in values])
            own = partial(self._own_match, place)
            found.append(reason(self.net.rules[place], conclusion, stands, named, ranking, own))
        return found

    def _settle_choice(self, name: str) -> None:
        decision = self.rulebase.decisions[name]
        cost: dict[str, Cost] = {}
        if "price" in decision.properties:
            cost = {c: (price, price) for c, price in relative_prices(self.rulebase, decision).items()}
        elif name == "form":
            cost = self._form_costs(decision.candidates)
        reasons = self.reasons(name, self.speaking(name))
        weighed = self.remembered(
            name, reasons, tuple(cost.items()), lambda: resolve_choice(decision, reasons, cost).brief
        )
        self.weighed[name] = weighed
        self.spreads[name], self.spreads[f"{name}_offered"] = weighed.lead, weighed.offered

    def remembered(
        self, node: str, reasons: Sequence[Reason], cost: tuple[tuple[str, Cost], ...], make: Callable[[], _T]
    ) -> _T:
        """What was made of the same reasons before: of the questions of a turn, most leave most choices alone."""
        # A conclusion is known by its place in memory, since it lives as long as the rule base, which remembers this.
        held = tuple([(id(r.conclusion), r.stands, r.named) for r in reasons])
        return self.rulebase.remembered(node, (node, cost), make, held)

    def _form_costs(self, forms: Iterable[str]) -> dict[str, Cost]:
        buying = self.buying()
        if buying is None:
            return {f: (Decimal(0), Decimal("Infinity")) for f in forms}
        return {f: (c, c) for f, c in buying.costs().items()}

    def buying(self) -> Buying | None:
        """What could be bought, if everything that it hangs on is settled; None otherwise."""
        pieces = self.patterns.get("pieces")
        values = {n: self.fixed(n) for n in BOUGHT}
        low, high = self.window.ends
        if self.house is not None and (low.low != low.high or high.low != high.high or self.window.clash == MAYBE):
            return None
        if pieces is None or len(pieces) > 1 or any(v is None for v in values.values()):
            return None
        held = {n: v for n, v in values.items() if v is not None}
        whole_pieces: tuple[Piece, ...] = pieces[0] if pieces else ()  # type: ignore[assignment]
        window = (end(low), end(high)) if self.window.clash == NO else (None, None)
        return Buying(self.rulebase, self.house, lambda n: held.get(n, ()), whole_pieces, window)

    def bounds(self, about: Iterable[tuple[int, Conclusion]]) -> list[Bound]:
        """The bounds among these conclusions, as far as their rules may hold."""
        bounds = []
        for place, conclusion in about:
            stands = self.stands(place) if self.statuses[place] != NO else NO
            if stands == NO:
                continue
            if conclusion.attribute:
                spread = self.spreads.get(conclusion.attribute)
                if not isinstance(spread, Span) or not spread.something:
                    continue
                low, high = spread.low, spread.high
            else:
                low = high = float(conclusion.values[0])
            bounds.append(Bound(self.net.rules[place], conclusion.act, stands, low, high))
        return bounds

    def _settle_window(self, name: str) -> None:
        self.window = resolve_window(self.bounds(self.speaking(name)))
        self.spreads[name] = self.window.middle

    def _settle_pattern(self, name: str) -> None:
        """The item's pieces or zones, at the least and greatest sizes; None where they are not definite."""
        self.spreads[name] = unknown(None)
        item_spread = self.fixed("item")
        if item_spread is None:
            self.patterns[name] = None
            return
        item = self.rulebase.items.get(str(item_spread[0])) if item_spread else None
        if item is None:
            self.patterns[name] = ()
            return
        ends = self._sizes(self.net.sizes[item.slug])
        if ends is None:
            self.patterns[name] = None
            return
        ends = [ends[0]] if ends[0] == ends[1] else ends
        if name == "pieces":
            given = {k: a.values for k, a in self.answers.items() if k.startswith(PIECE)}
            ways, anchors = [], []
        else:
            given, ways, anchors = {}, self._skives(), self._anchors()
        sizes = tuple(tuple(each.items()) for each in ends)
        held = name, item.slug, sizes, tuple(given.items()), tuple(ways), tuple(anchors)
        self.patterns[name] = self.rulebase.remembered(
            "patterns", held, lambda: _cut(item, ends, given) if name == "pieces" else _laid(item, ends, ways, anchors)
        )

    def _skives(self) -> list[tuple[Value, ...]]:
        """How an edge may be thinned."""
        skive = self.spreads.get("skive")
        assert isinstance(skive, Words)
        thins: set[Value] = {v for v in skive.may if v != "none"}
        ways: list[tuple[Value, ...]] = [(min(thins, key=str),)] if thins else []
        return [*ways, ()] if skive.nothing or "none" in skive.may else ways

    def _anchors(self) -> list[tuple[Value, ...]]:
        """How anchors may be held; not known is the one way of a rule base that does without."""
        spread = self.spreads.get("anchors")
        if not isinstance(spread, Words):
            return [()]
        return [(v,) for v in sorted(spread.may, key=str)] + ([()] if spread.nothing else [])

    def _sizes(self, used: Iterable[str]) -> list[dict[str, float]] | None:
        """The least and the greatest size under each name, mm; None where a size may or may not be known."""
        low: dict[str, float] = {}
        high: dict[str, float] = {}
        for name in used:
            attribute = self.rulebase.attributes.get(name)
            if attribute is None or not attribute.numeric or attribute.unit != "mm":
                continue
            spread = self.spreads.get(name)
            if not isinstance(spread, Span) or not spread.something:
                continue
            if spread.nothing:
                return None
            low[name], high[name] = spread.low, spread.high
        return [low, high]


def _cut(item: Item, ends: Sequence[Mapping[str, float]], given: Mapping[str, tuple[Value, ...]]) -> Pattern:
    """The pieces at each of these sizes, mm."""
    try:
        by_hand = pieces_by_hand(item, given)
    except AnswerError:
        by_hand = {}
    return tuple(cut_pieces(item, sizes, by_hand).pieces for sizes in ends)


def _laid(
    item: Item,
    ends: Sequence[Mapping[str, float]],
    ways: Iterable[tuple[Value, ...]],
    anchors: Sequence[tuple[Value, ...]],
) -> Pattern:
    """The zones at each of these sizes, mm, in each way they may be made; each kind once."""
    laid = [lay_zones(item, sizes, way, held).zones for way in ways for held in anchors for sizes in ends]
    return tuple(dict.fromkeys(laid))


def everything_open(
    rulebase: RuleBase,
    answers: Mapping[str, Answer],
    house: House | None = None,
    within: frozenset[str] | None = None,
) -> Possibility:
    """The run in which every question that has no answer, or "don't know", may still be answered anyhow.

    With ``within`` only those nodes are settled.
    """
    settled = {name: a for name, a in answers.items() if a.state != "don't know"}
    if within is not None:
        opened = {n: s for n, s in _anything(rulebase).items() if n not in settled}
        return Possibility(rulebase, settled, opened, house, within)
    return with_answers(rulebase, settled, house, opened=True)


def with_answers(rulebase: RuleBase, said: Mapping[str, Answer], house: House | None, opened: bool) -> Possibility:
    """The run in which this is said and, if ``opened``, everything else may be.

    It goes on from the last such run for the same item: most of what was settled there stays.
    """
    held: dict[tuple[Answer | None, bool], Possibility] = rulebase.once("open", lambda _: {})
    may = _anything(rulebase) if opened else {}
    key = said.get("item"), opened
    run = held.get(key)
    if run is None or run.house is not house:
        run = Possibility(rulebase, said, {n: s for n, s in may.items() if n not in said}, house)
    else:
        before = run.answers
        names = [n for n in {**said, **before} if said.get(n) != before.get(n)]
        run = run.saying({n: said.get(n) or may.get(n) for n in names}) if names else run
    if key not in held:
        make_room(held, MOST_RUNS)
    held[key] = run
    return run


def _anything(rulebase: RuleBase) -> dict[str, Spread]:
    """All that can be answered to each question."""
    found: dict[str, Spread] = rulebase.once("anything", _whole)
    return found


def _whole(rulebase: RuleBase) -> dict[str, Spread]:
    texts = network(rulebase).texts
    return {n: whole(a, texts.get(n, ())) for n, a in rulebase.attributes.items() if a.ask != "never"}
