"""One consultation: facts in, advice out. Pure; the engine draws the conclusions.

The rule base is worked through level by level: settle what can be settled, let the rules that read
it fire, go on. What is computed is computed here once per consultation by the named formula.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from decimal import Decimal
from functools import cached_property

from ..codes import Saying, say
from ..errors import AnswerError, EngineMissingError, nearest
from ..leather.formulas import worked_out
from ..leather.pieces import Piece
from ..leather.stack import Zone
from ..rulebase.house import House
from ..rulebase.models import (
    ANSWERED,
    BOUNDS,
    CONDITIONS,
    NO_ORDER,
    VERDICTS,
    Attribute,
    Conclusion,
    Item,
    Rule,
    RuleBase,
    Value,
)
from ..rulebase.patterns import PIECE, cut_pieces, inputs_of, lay_zones, pieces_by_hand
from ..rulebase.strata import node_of
from . import advice as view
from .buying import Buying, relative_prices
from .facts import PRICE_LIST, Answer, Known, fact_stated, parse_answers, with_raised
from .matching import Engine, Fact, Pattern, patterns_by_stratum
from .network import cone
from .parts import part_leathers
from .possibility import Possibility, everything_open
from .proof import Proof
from .report import report
from .settle import (
    Claim,
    Clashing,
    Contradiction,
    Firing,
    Ledger,
    Window,
    excluded_by,
    settle_attribute,
    settle_choice,
    settle_window,
    unmet_wishes,
    withdraw,
)


def consult(
    rulebase: RuleBase,
    answers: Mapping[str, object],
    engine: Engine | None = None,
    house: House | None = None,
    raised: Sequence[str] = (),
) -> view.Advice:
    """The advice for these answers.

    ``answers`` maps attribute names to words, numbers, texts with a unit, lists, or "don't know".
    ``house`` is the price list of a shop; without it forms are compared by a relative index.
    ``raised`` names the dangers that words raised: each withholds the order until its question is answered.
    Raises AnswerError when one cannot be used. Equal answers give equal advice, byte for byte.
    """
    return report(Consultation(rulebase, parse_answers(rulebase, answers), engine, house, raised=raised))


def engine_for(rulebase: RuleBase) -> Engine:
    """The rule base loaded into the inference engine, once per rule base."""
    engine: Engine = rulebase.once("engine", _loaded)
    return engine


def check_engine() -> None:
    """See that the inference library can be loaded. Raises EngineMissingError, which says how to mend it."""
    _durable()


def _durable() -> Callable[[Sequence[Sequence[Pattern]]], Engine]:
    try:
        from .engine import DurableEngine  # the inference library is only loaded when it is needed
    except ImportError as error:
        raise EngineMissingError(str(error)) from error
    return DurableEngine


def _loaded(rulebase: RuleBase) -> Engine:
    return _durable()(patterns_by_stratum(rulebase))


def _plan(rulebase: RuleBase) -> list[list[str]]:
    """Nodes by level, in declared order."""
    levels: list[list[str]] = [[] for _ in range(rulebase.strata.depth)]
    excluded = [f"{d.name}_excluded" for d in rulebase.choices()]
    for node in (*rulebase.attributes, *excluded, *rulebase.decisions):
        levels[rulebase.strata.node[node]].append(node)
    return levels


def _holdable(rulebase: RuleBase, held: Mapping[str, Value]) -> Mapping[str, Value]:
    """``held`` as it is; AnswerError for a decision or candidate that does not exist."""
    for name, value in held.items():
        decision = rulebase.decisions.get(name)
        if decision is None:
            raise AnswerError(name, name, say("no_such_decision"), nearest(name, rulebase.decisions))
        if decision.kind == "choice" and value not in decision.candidates:
            raise AnswerError(name, value, say("no_such_candidate"), nearest(str(value), decision.candidates))
        if decision.kind != "choice" and not (isinstance(value, float) and value > 0):
            raise AnswerError(name, value, say("number_above_zero", unit=decision.unit))
    return held


class Consultation:
    """One consultation, worked through. ``report`` turns it into advice.

    ``known`` holds every settled node, ``firings`` every match by rule, ``ledgers`` and ``window`` the
    settled decisions, ``clashes`` what could not be settled, ``unmet`` the wishes that something excludes,
    ``parts`` the leathers besides the main one,
    ``not_computed`` why a formula gave nothing, ``priced`` what came from a price list instead of its formula.
    ``without`` names a winner and a loser whose preference is not to hold, to see what it changes.
    ``raised`` names dangers that words raised; they join the answers as the fact of that name.
    ``silent`` names a rule that does not speak, to see what the order would be without it.
    ``held`` settles decisions to what somebody proposes, whatever the balance says: a candidate for a
    choice, mm for the weight. Their ledgers and window stay as reckoned; all that reads them follows.
    Raises AnswerError for what cannot be held.
    """

    def __init__(
        self,
        rulebase: RuleBase,
        answers: Mapping[str, Answer],
        engine: Engine | None = None,
        house: House | None = None,
        without: tuple[str, str] | None = None,
        held: Mapping[str, Value] | None = None,
        raised: Sequence[str] = (),
        silent: str = "",
    ) -> None:
        self.rulebase, self.answers, self.house = rulebase, with_raised(rulebase, answers, raised), house
        self.silent = silent
        self.held = _holdable(rulebase, held or {})
        self.engine = engine or engine_for(rulebase)
        self.known: dict[str, Known] = {}
        self.firings: dict[str, list[Firing]] = {}
        self.claims: dict[str, list[Claim]] = {}
        self.ledgers: dict[str, Ledger] = {}
        self.window = Window()
        self.clashes: list[Clashing] = []
        self.unmet: list[Clashing] = []
        self.pieces: tuple[Piece, ...] = ()
        self.zones: tuple[Zone, ...] = ()
        self.piece_formulas: list[str] = []
        self.not_computed: dict[str, Saying] = {}
        self.priced: set[str] = set()
        self._beaten_by: dict[str, list[str]] = rulebase.preferred()
        if without is not None:
            winner, loser = without
            kept = [w for w in self._beaten_by.get(loser, ()) if w != winner]
            self._beaten_by = {**self._beaten_by, loser: kept}
        plan: list[list[str]] = rulebase.once("plan", _plan)
        self._facts: list[Fact] = []
        self._step = 0
        for level, nodes in enumerate(plan):
            if any(node.removesuffix("_excluded") in self.claims for node in nodes):
                withdraw(self.firings, self._beaten_by)
            for node in nodes:
                self._settle(node)
            self._fire(level)
        withdraw(self.firings, self._beaten_by)
        self.parts = part_leathers(self)
        self.clashes += [part.clash for part in self.parts if part.clash]

    @cached_property
    def possible(self) -> Possibility:
        """What the answers, without suppositions, leave possible."""
        return everything_open(self.rulebase, self.answers, self.house)

    def possible_for(self, rules: Iterable[Rule]) -> Possibility:
        """The same, or where that was not needed yet, no more of it than tells whether one of these rules may fire."""
        if "possible" in self.__dict__:
            return self.possible
        nodes = frozenset(node_of(name) for rule in rules for p in rule.when for name in (p.attribute, p.other) if name)
        within = self.rulebase.remembered("cones", nodes, lambda: cone(self.rulebase, nodes))
        return everything_open(self.rulebase, self.answers, self.house, within)

    @cached_property
    def proof(self) -> Proof:
        """How every conclusion came about: the one account that all read who tell of it."""
        return Proof(self)

    def without_preference(self, winner: str, loser: str) -> Consultation:
        """The same consultation if one preference did not hold."""
        return Consultation(self.rulebase, self.answers, self.engine, self.house, (winner, loser))

    def silencing(self, rule: str) -> Consultation:
        """The same consultation if one rule did not speak."""
        return Consultation(self.rulebase, self.answers, self.engine, self.house, held=self.held, silent=rule)

    @cached_property
    def market(self) -> Buying:
        """What could be bought, now that everything is known."""
        return self.buying()

    # -- firing

    def _fire(self, stratum: int) -> None:
        for match in self.engine.fire(stratum, self._facts):
            if match.rule == self.silent:
                continue
            rule = self.rulebase.rules[match.rule]
            self._step += 1
            firing = Firing(self._step, stratum, rule, match)
            self.firings.setdefault(rule.id, []).append(firing)
            for conclusion in rule.then:
                if conclusion.act in ("caution", "outcome", "clash"):
                    continue
                self.claims.setdefault(conclusion.target, []).append(
                    Claim(firing, conclusion, self._said(conclusion, firing))
                )

    def in_order(self) -> list[Firing]:
        """Every firing, in the order in which the rules fired."""
        return sorted((f for fired in self.firings.values() for f in fired), key=lambda f: f.step)

    @cached_property
    def outcomes(self) -> list[tuple[Firing, str]]:
        """Each outcome that a rule which stands concludes, in the order of firing."""
        standing = [f for f in self.in_order() if f.withdrawn_by is None]
        return [(f, c.target) for f in standing for c in f.rule.then if c.act == "outcome"]

    @cached_property
    def cautions(self) -> dict[str, list[Firing]]:
        """The cautions that apply, each with what raised it in the order of firing; no preference withdraws one."""
        found: dict[str, list[Firing]] = {}
        for firing in self.in_order():
            for c in firing.rule.then:
                if c.act == "caution":
                    found.setdefault(c.target, []).append(firing)
        return found

    @cached_property
    def verdict(self) -> str | None:
        """The strongest outcome as one of VERDICTS; nothing suits a thing that nobody knows, on whatever conditions."""
        found = sorted((f.rule.verdict(outcome) for f, outcome in self.outcomes), key=VERDICTS.index)
        if self.item() is None:
            return next((v for v in found if v != CONDITIONS), None)
        return next(iter(found), CONDITIONS if self.clashing_decisions() else "ok")

    @property
    def barred(self) -> bool:
        """Whether the verdict lets no order stand."""
        return self.verdict in NO_ORDER

    def clashing_decisions(self) -> list[Clashing]:
        """Decisions that no candidate or no thickness meets."""
        return [c for c in self.clashes if c.about in self.rulebase.decisions]

    @cached_property
    def conflicts(self) -> list[Clashing | Contradiction]:
        """What could not be settled, then contradictions, then wishes left out that none of these speaks of.

        Where no order stands, contradictions alone.
        """
        if self.barred:
            return [*self.contradictions()]
        return [*self.clashes, *self.contradictions(), *self.wishes_left_out()]

    def contradictions(self) -> list[Contradiction]:
        """Wishes that cannot both be had: each declared clash, the rules that saw it, what they are preferred to."""
        found: dict[str, dict[str, Firing]] = {}
        for firing, clash in self._clashing():
            sides = [firing, *(self.firings[r][0] for r in firing.defeated)]
            found.setdefault(clash, {}).update((f.rule.id, f) for f in sides)
        return [Contradiction(self.rulebase.clashes[name], tuple(sides.values())) for name, sides in found.items()]

    def wishes_left_out(self) -> list[Clashing]:
        """Wishes that something excludes and that no declared clash speaks of."""
        told = [{n for n, _ in firing.match.facts} for firing, _ in self._clashing()]
        found = []
        for wish in self.unmet:
            wished = str(wish.claims[0].conclusion.attribute)
            behind = {n for claim in wish.claims[1:] for n, _ in claim.firing.match.facts}
            if not any(wished in names and names & behind for names in told):
                found.append(wish)
        return found

    def _clashing(self) -> list[tuple[Firing, str]]:
        return [
            (firing, c.target)
            for firing in self.in_order()
            for c in firing.rule.then
            if c.act == "clash" and firing.withdrawn_by is None and not self._only_supposed(firing)
        ]

    def _only_supposed(self, firing: Firing) -> bool:
        """Whether a match leans on what nobody said and the item does not imply: no wish to be contradicted."""
        for name, _ in firing.match.facts:
            known = self.known.get(node_of(name))
            if known and known.origin == "supposed" and any(self.rulebase.rules[r].item is None for r in known.rules):
                return True
        return False

    def _said(self, conclusion: Conclusion, firing: Firing) -> tuple[Value, ...]:
        if conclusion.attribute is None or conclusion.act in BOUNDS:
            return conclusion.values
        return tuple(v for a, v in firing.match.facts if a == conclusion.attribute)

    # -- settling

    def _settle(self, node: str) -> None:
        decision = self.rulebase.decisions.get(node)
        if decision is not None:
            if decision.kind == "choice":
                self._settle_choice(node)
            else:
                self._settle_window(node)
            return
        if node.endswith("_excluded"):
            name = node.removesuffix("_excluded")
            gone = excluded_by(self.rulebase.decisions[name], self.claims.get(name, ()))
            self._know(Known(node, tuple(sorted(gone)), "derived"))
            return
        attribute = self.rulebase.attributes[node]
        answer = self.answers.get(node)
        if answer is not None and answer.state == "known":
            own = self._own_values(node, answer.values)
            self._know(Known(node, answer.values, answer.origin, own=own))
            if node in self.rulebase.asked_of_people():
                self._know(Known(node + ANSWERED, answer.values, answer.origin, own=own))
            self._note_contradictions(node, answer)
            return
        if answer is not None and answer.state == "does not apply":
            return
        if attribute.kind == "pieces":
            self._cut_pieces()
            return
        if attribute.kind == "zones":
            self._lay_zones()
            return
        if attribute.formula and self._compute(attribute):
            return
        if attribute.unit == "money" and attribute.ask == "never":
            self._reckon_money(attribute)
            return
        kind, said = attribute.kind, self.claims.get(node, ())
        settled = settle_attribute(node, kind == "set", attribute.numeric, said, self._own_rule)
        if settled.clash:
            self.clashes.append(settled.clash)
        if settled.known:
            self._know(settled.known)

    def _know(self, known: Known) -> None:
        self.known[known.name] = known
        self._facts += [(known.name, v) for v in known.values]

    def item(self) -> Item | None:
        """What is being made, once known."""
        known = self.known.get("item")
        return self.rulebase.items.get(str(known.values[0])) if known and known.values else None

    def _own_values(self, node: str, values: tuple[Value, ...]) -> bool:
        item = self.item()
        return node == "item" or (item is not None and set(item.supposes.get(node, ())) == set(values))

    def _own_rule(self, rule: Rule) -> bool:
        """Whether a rule that fired rests on nothing but the item's own habits."""
        if rule.item is not None or rule.concern == "general habit":
            return rule.item is not None
        matches = [f.match for f in self.firings[rule.id]]
        return not any(m.absent for m in matches) and all(self.own(f) for m in matches for f in m.facts)

    def own(self, fact: Fact) -> bool:
        """Whether a fact is only the item's own habit."""
        known = self.known.get(node_of(fact[0]))
        return known is not None and known.own

    def _note_contradictions(self, node: str, answer: Answer) -> None:
        """An answer stands against a rule; where the rule is a must, that is said."""
        for claim in self.claims.get(node, ()):
            rule = claim.firing.rule
            if (
                rule.force == "must"
                and claim.conclusion.act in ("set", "add")
                and not set(claim.values) <= set(answer.values)
            ):
                answered = fact_stated(node, answer.values, self.rulebase.attributes[node])
                self.clashes.append(Clashing(node, (claim,), say("answer_kept"), say("change_answer", **answered)))

    def _inputs(self, attribute: Attribute) -> dict[str, object] | None:
        return inputs_of(self.rulebase, attribute, self.values, self.pieces, self.zones)

    def values(self, name: str) -> tuple[Value, ...]:
        """What is known under a name; nothing where it is not known."""
        known = self.known.get(name)
        return known.values if known else ()

    def _compute(self, attribute: Attribute) -> bool:
        inputs = self._inputs(attribute)
        if inputs is None:
            return False
        by_price = self.buying().cheapest_by_price() if attribute.formula == "cheapest_forms" else None
        if by_price is not None and self.house is not None:
            self.priced.add(attribute.name)
            self._know(Known(attribute.name, by_price, "computed", (), PRICE_LIST))
            return True
        try:
            values, text = worked_out(attribute.formula, inputs)
        except ValueError:
            self.not_computed[attribute.name] = say("not_reckoned", attribute=attribute.name)
            return False
        own = all(self.own((o, "")) for o in attribute.inputs.values() if "." not in o)
        self._know(Known(attribute.name, tuple(values), "computed", (), text, own))
        return True

    def _cut_pieces(self) -> None:
        item = self.item()
        if item is None:
            return
        cut = cut_pieces(item, self._sizes(), self._pieces_by_hand(item))
        self.pieces, self.piece_formulas = cut.pieces, cut.formulas
        self.not_computed |= cut.failed

    def _pieces_by_hand(self, item: Item) -> dict[str, tuple[float, float, float]]:
        """Pieces whose count, width and length were given; AnswerError for one the pattern does not have."""
        return pieces_by_hand(item, {k: a.values for k, a in self.answers.items() if k.startswith(PIECE)})

    def _lay_zones(self) -> None:
        """Where layers meet, as multiples of the main leather and what else lies there."""
        item = self.item()
        if item is None:
            return
        laid = lay_zones(item, self._sizes(), self.values("skive"), self.values("anchors"))
        self.zones = laid.zones
        self.not_computed |= laid.failed

    def _sizes(self) -> dict[str, float]:
        """Everything known in mm, for the item's pattern."""
        return {
            name: float(known.values[0])
            for name, known in self.known.items()
            if known.values and (a := self.rulebase.attributes.get(name)) and a.numeric and a.unit == "mm"
        }

    def _settle_choice(self, name: str) -> None:
        decision = self.rulebase.decisions[name]
        cost: Mapping[str, Decimal] = {}
        if "price" in decision.properties:
            cost = relative_prices(self.rulebase, decision)
        elif name == "form":
            buying = self.buying()
            cost = buying.costs()
            if buying.priced():
                self.priced.add(name)
        ledger = settle_choice(decision, self.claims.get(name, ()), self.item(), self.own, cost)
        self.ledgers[name] = ledger
        if ledger.clash:
            self.clashes.append(ledger.clash)
        self.unmet += unmet_wishes(decision, self.claims.get(name, ()), ledger.outweighed)
        chosen, also_fits = self.offered(name)
        if chosen:
            rules, own = self._counting(ledger, chosen[0])
            origin: view.Origin = "derived" if chosen is ledger.chosen else "answered"
            self._know(Known(name, (chosen[0],), origin, rules, own=own))
            self._know(Known(f"{name}_offered", (*chosen, *also_fits), origin, rules, own=own))

    def offered(self, name: str) -> tuple[list[str], list[str]]:
        """What a settled choice came to and what also fits: the balance's own, or what is held, then the rest."""
        ledger, held = self.ledgers[name], self.held.get(name)
        if held is None or ledger.chosen[:1] == [held]:
            return ledger.chosen, ledger.also_fits
        return [str(held)], [c for c in (*ledger.chosen, *ledger.also_fits) if c != held]

    def _counting(self, ledger: Ledger, candidate: str) -> tuple[tuple[str, ...], bool]:
        """The rules whose reasons for or against a candidate count, and whether all are the item's own habits."""
        rules = tuple(dict.fromkeys(e.rule for e in ledger.entries if e.candidate == candidate and e.counts))
        return rules, all(self.rulebase.rules[r].item is not None for r in rules)

    def choice_without(self, name: str, rule_id: str) -> Ledger:
        """A choice without what one rule says of it."""
        claims = [c for c in self.claims[name] if c.firing.rule.id != rule_id]
        costs = self.ledgers[name].costs
        return settle_choice(self.rulebase.decisions[name], claims, self.item(), self.own, costs)

    def same_without(self, name: str, rule_id: str) -> bool:
        """Whether a choice would come to the same, for all that reads it, without what one rule says of it."""
        was, now = self.ledgers[name], self.choice_without(name, rule_id)
        if (now.chosen, now.also_fits) != (was.chosen, was.also_fits):
            return False
        chosen, _ = self.offered(name)
        return not chosen or self._counting(now, chosen[0])[1] == self._counting(was, chosen[0])[1]

    def window_without(self, rule_id: str) -> Window:
        """The window of the weight if one rule did not speak."""
        return settle_window([c for c in self.claims["weight"] if c.firing.rule.id != rule_id], self.bound_value)

    def _settle_window(self, name: str) -> None:
        self.window = settle_window(self.claims.get(name, ()), self.bound_value)
        if self.window.clash:
            self.clashes.append(self.window.clash)
        middle = self.window.middle
        mm = self.held.get(name, middle)
        if mm is not None:
            self._know(
                Known(
                    name,
                    (mm,),
                    "derived" if mm == middle else "answered",
                    tuple(b.rule for b in self.window.bounds if b.binding),
                )
            )

    def bound_value(self, claim: Claim) -> tuple[float, str | None, dict[str, str | float]]:
        """A bound in mm, the sum behind it with its numbers, and the inputs of that sum."""
        origin = claim.conclusion.attribute
        if origin is None:
            return float(claim.conclusion.values[0]), None, {}
        known = self.known[origin]
        attribute = self.rulebase.attributes[origin]
        raw = (self._inputs(attribute) or {}) if known.formula else {}
        numbers = {k: v for k, v in raw.items() if isinstance(v, str | float)}
        return float(known.values[0]), known.formula, numbers

    def _reckon_money(self, attribute: Attribute) -> None:
        """What the cheapest form costs by the house's prices; nothing without a list that prices one."""
        least = self.buying().least_money()
        if least is not None and self.house is not None:
            self.priced.add(attribute.name)
            self._know(Known(attribute.name, (float(least),), "computed", (), PRICE_LIST))

    def buying(self) -> Buying:
        """What could be bought for what is known so far."""
        return Buying(self.rulebase, self.house, self.values, self.pieces, (self.window.low, self.window.high))
