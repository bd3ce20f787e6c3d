"""How a rule base hangs together: which rule reads, feeds, beats and settles what. Worked out once.

Rules have places in the order in which they fire: by stratum, then as declared.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from operator import itemgetter

from ..rulebase.models import ANSWERED, PATTERN_KINDS, WAYS, Conclusion, Premise, Rule, RuleBase, Value
from ..rulebase.patterns import pattern_sizes, settled_inputs
from ..rulebase.strata import SPEAKS_OF, node_of, speaks_of
from .resolve_choice import Named
from .spread import YES


@dataclass(frozen=True, slots=True)
class Network:
    """Look-ups between names, nodes, premises and rules; every integer is a place in a list.

    ``order`` lists the nodes as they are settled, ``names`` what each of them makes known, ``asks`` the node
    that each premise asks of, ``named`` the values that the text of a conclusion names. ``about`` has what
    rules conclude by name, ``general`` and ``own`` what of it holds for all things and for one alone, by node,
    ``found`` both together. ``affected`` are the nodes to settle anew when a rule's standing changes, ``dependents``
    those reckoned from a node, ``sources`` those a node is reckoned from. ``clashes`` and ``warnings`` pair a rule
    with what it raises, ``outcomes`` with its verdict, ``waiting`` with the questions it waits for, ``musts`` those
    that settle an attribute whatever else speaks.
    """

    rules: list[Rule]
    index: dict[str, int]
    order: list[str]
    names: dict[str, tuple[str, ...]]
    premises: list[Premise]
    asks: list[str]
    tests: list[tuple[int, ...]]
    tests_of: dict[str, list[int]]
    rules_of: list[set[int]]
    reads: list[tuple[str, ...]]
    absences: list[bool]
    about: dict[str, list[tuple[int, Conclusion]]]
    general: dict[str, list[tuple[int, Conclusion]]]
    own: dict[tuple[str, str], list[tuple[int, Conclusion]]]
    found: dict[tuple[str, str], list[tuple[int, Conclusion]]]
    named: dict[tuple[int, str], tuple[Named, ...]]
    winners: list[tuple[int, ...]]
    affected: list[set[str]]
    dependents: dict[str, set[str]]
    sources: dict[str, frozenset[str]]
    values_from: list[set[str]]
    outcomes: list[tuple[int, str]]
    clashes: list[tuple[int, str]]
    warnings: list[tuple[int, str]]
    waiting: list[tuple[int, tuple[str, ...]]]
    musts: dict[str, list[tuple[int, frozenset[Value]]]]
    sizes: dict[str, frozenset[str]]
    texts: dict[str, frozenset[Value]]

    def speaking(self, name: str, item: str | None) -> list[tuple[int, Conclusion]]:
        """What rules conclude about a name; with an ``item``, without what only holds for another one."""
        return self._told(name, item) if item is not None and name in self.about else self.about.get(name, [])

    def barring(self, name: str, item: str | None) -> list[tuple[int, Conclusion]]:
        """What of that excludes or requires candidates of a choice."""
        return _barring(self.about.get(name, [])) if item is None else self._told(f"{name}_excluded", item)

    def _told(self, node: str, item: str) -> list[tuple[int, Conclusion]]:
        general, own = self.general.get(node, []), self.own.get((node, item))
        if not own:
            return general
        if (node, item) not in self.found:
            self.found[node, item] = sorted((*general, *own), key=itemgetter(0))
        return self.found[node, item]


def network(rulebase: RuleBase) -> Network:
    """The network of a rule base, worked out the first time it is wanted."""
    net: Network = rulebase.once("network", _network)
    return net


def _network(rulebase: RuleBase) -> Network:
    level = rulebase.strata
    rules = sorted(rulebase.rules.values(), key=lambda r: level.rule[r.id])
    index = {rule.id: place for place, rule in enumerate(rules)}
    choices = [d.name for d in rulebase.choices()]
    nodes = (*rulebase.attributes, *(f"{name}_excluded" for name in choices), *rulebase.decisions)
    order = sorted(nodes, key=lambda node: level.node[node])
    names: dict[str, tuple[str, ...]] = {node: (node,) for node in nodes} | {c: (c, f"{c}_offered") for c in choices}
    names |= {a: (a, a + ANSWERED) for a in rulebase.asked_of_people()}
    tests, premises, number = [], list[Premise](), dict[tuple[object, ...], int]()
    tests_of: dict[str, list[int]] = {}
    rules_of: list[set[int]] = []
    about: dict[str, list[tuple[int, Conclusion]]] = {}
    named: dict[tuple[int, str], tuple[Named, ...]] = {}
    texts: dict[str, set[Value]] = {}
    for place, rule in enumerate(rules):
        own = []
        for premise in rule.when:
            key = (premise.attribute, premise.operator, premise.values, premise.other)
            if key not in number:
                number[key] = len(premises)
                premises.append(premise)
                rules_of.append(set())
                for name in filter(None, (premise.attribute, premise.other)):
                    tests_of.setdefault(name, []).append(number[key])
                texts.setdefault(premise.attribute, set()).update(premise.values)
            own.append(number[key])
            rules_of[number[key]].add(place)
        tests.append(tuple(dict.fromkeys(own)))
        for conclusion in rule.then:
            if conclusion.act in SPEAKS_OF:
                about.setdefault(conclusion.target, []).append((place, conclusion))
            named[place, conclusion.text] = tuple((str(v), YES, YES) for v in conclusion.values)
    winners: list[list[int]] = [[] for _ in rules]
    for place, rule in enumerate(rules):
        for loser in rule.over:
            winners[index[loser]].append(place)
    speaks = [_speaks(rule) for rule in rules]
    affected = [_affected(place, rules, index, speaks) for place in range(len(rules))]
    sizes = pattern_sizes(rulebase)
    sources: dict[str, set[str]] = {}
    for attribute in rulebase.attributes.values():
        if attribute.formula or attribute.inputs:
            sources[attribute.name] = set(settled_inputs(attribute))
            if attribute.formula == "cheapest_forms":
                # By a house's prices it hangs on the weight as well.
                sources[attribute.name] |= {"weight"} & rulebase.decisions.keys()
            elif attribute.unit == "money":
                bought = {"pieces", "tannage", "quantity", "extra_waste", "form_excluded"}
                sources[attribute.name] |= bought & set(nodes)
        elif attribute.kind in PATTERN_KINDS:
            used = {"item", *(n for item in sizes.values() for n in item)}
            sources[attribute.name] = (used | set(WAYS)) & rulebase.attributes.keys()
    if "form" in choices:
        sources["form"] = {"pieces", "tannage", "quantity", "extra_waste", "weight"} & set(nodes)
    for name in choices:
        sources.setdefault(name, set()).add(f"{name}_excluded")
    dependents: dict[str, set[str]] = {node: set() for node in nodes}
    for node, before in sources.items():
        for source in before:
            if level.node[source] < level.node[node]:
                dependents[source].add(node)
    general, of_one = _parted(about, rules)
    return Network(
        rules=rules,
        index=index,
        order=order,
        names=names,
        premises=premises,
        asks=[node_of(p.attribute) for p in premises],
        tests=tests,
        tests_of=tests_of,
        rules_of=rules_of,
        reads=[tuple(dict.fromkeys(n for p in r.when for n in (p.attribute, p.other) if n)) for r in rules],
        absences=[any(p.operator in ("unknown", "lacks") for p in r.when) for r in rules],
        about=about,
        general=general,
        own=of_one,
        found={},
        named=named,
        winners=[tuple(w) for w in winners],
        affected=affected,
        dependents=dependents,
        sources={node: frozenset(before) for node, before in sources.items()},
        values_from=[{node_of(c.attribute) for c in r.then if c.attribute} for r in rules],
        outcomes=[(place, rules[place].verdict(outcome)) for place, outcome in _saying(rules, "outcome")],
        clashes=_saying(rules, "clash"),
        warnings=_saying(rules, "caution"),
        waiting=[(index[r.id], r.waits_for) for r in rulebase.rules.values() if r.waits_for],
        musts=_musts(about, rules),
        sizes=sizes,
        texts={name: frozenset(values) for name, values in texts.items()},
    )


def _parted(
    about: dict[str, list[tuple[int, Conclusion]]], rules: list[Rule]
) -> tuple[dict[str, list[tuple[int, Conclusion]]], dict[tuple[str, str], list[tuple[int, Conclusion]]]]:
    """What holds for all things and what for one alone, by the node that it settles."""
    general: dict[str, list[tuple[int, Conclusion]]] = {}
    own: dict[tuple[str, str], list[tuple[int, Conclusion]]] = {}
    for name, said in about.items():
        for node, part in ((name, said), (f"{name}_excluded", _barring(said))):
            for place, conclusion in part:
                item = rules[place].item
                told = general.setdefault(node, []) if item is None else own.setdefault((node, item), [])
                told.append((place, conclusion))
    return general, own


def _barring(said: Iterable[tuple[int, Conclusion]]) -> list[tuple[int, Conclusion]]:
    return [(place, c) for place, c in said if c.act in ("exclude", "require")]


def _saying(rules: list[Rule], act: str) -> list[tuple[int, str]]:
    return [(place, c.target) for place, rule in enumerate(rules) for c in rule.then if c.act == act]


def _musts(
    about: dict[str, list[tuple[int, Conclusion]]], rules: list[Rule]
) -> dict[str, list[tuple[int, frozenset[Value]]]]:
    return {
        name: [(p, frozenset(c.values)) for p, c in said if c.act in ("set", "add") and rules[p].force == "must"]
        for name, said in about.items()
    }


def _speaks(rule: Rule) -> set[str]:
    """The nodes a rule helps to settle; what a choice excludes is settled before the choice."""
    found = speaks_of(rule)
    return found | {node.removesuffix("_excluded") for node in found}


def _affected(place: int, rules: list[Rule], index: dict[str, int], speaks: list[set[str]]) -> set[str]:
    """The nodes spoken of by a rule and by all rules that its standing can withdraw or restore."""
    found: set[str] = set()
    waiting, seen = [place], {place}
    while waiting:
        at = waiting.pop()
        found |= speaks[at]
        for loser in rules[at].over:
            if index[loser] not in seen:
                seen.add(index[loser])
                waiting.append(index[loser])
    return found


def cone(rulebase: RuleBase, nodes: Iterable[str]) -> frozenset[str]:
    """Every node that can bear on ``nodes``, they included."""
    net = network(rulebase)
    found, waiting = set(nodes), list(nodes)
    while waiting:
        node = waiting.pop()
        before = set(net.sources.get(node, ()))
        for place, _ in net.about.get(node.removesuffix("_excluded"), ()):
            for at in (place, *net.winners[place]):
                before |= {node_of(n) for n in net.reads[at]} | net.values_from[at]
        waiting += before - found
        found |= before
    return frozenset(found)


def wishes(rulebase: RuleBase) -> frozenset[str]:
    """Attributes that name what is wished for: some rule takes the candidates it favours from them."""
    found: frozenset[str] = rulebase.once("wishes", _wishes)
    return found


def _wishes(rulebase: RuleBase) -> frozenset[str]:
    names = {
        c.attribute
        for rule in rulebase.rules.values()
        for c in rule.then
        if c.act == "favour" and c.attribute and rulebase.attributes[c.attribute].ask != "never"
    }
    return frozenset(name for name in names if name)
