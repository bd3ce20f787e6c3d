"""The fence round durable-rules: the only module that imports it.

Version 2.0.28, driven in its plain form, loses or invents firings and can abort the process. Each
habit below answers one of its faults and is pinned by a test in tests/engine:

- one ruleset per stratum, all facts in one batch: absence is judged on a complete picture only;
- a ``go`` fact comes last and opens every rule with an absence: a blocking fact that arrives after
  the others is otherwise not honoured;
- ``dist`` 0: by default one fact may not satisfy two premises of a rule;
- one rule that always fires: deleting a session in which nothing fired frees uninitialised memory;
- one key per attribute, one test per premise, no ``$and``: the expression reducer reads past an array;
- facts are compared with each other in Python; ``id`` and ``sid`` are never tested;
- numbers are written with three decimals, never as an exponent, which its parser cannot read;
- own small integer ids: identity is a 32-bit hash of the id;
- no action asserts anything: conclusions are collected from the matches;
- tables stay under their limits (255 uses of one test, 511 tests under one node, 64 true tests of
  one fact, 16 premises), by splitting a stratum into several rulesets or by a LimitError;
- the C module is called directly: its host starts threads and swallows exceptions.

Nothing of the library shows outside: no session, state or message, and no exception of its own.
"""

from __future__ import annotations

import itertools
import json
import operator
import threading
import weakref
from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from typing import Any

import durable_rules_engine as durable

from ..rulebase.models import MOST_PREMISES, Value, make_room
from .matching import Fact, Match, Pattern, Test

MAX_RULES = 200
MAX_TESTS = 400
MAX_TESTS_OF_ONE_ATTRIBUTE = 60
MAX_TEXT = 500
MAX_NUMBER = 1e9
MOST_REMEMBERED = 128
"""So many sets of facts of one ruleset are remembered with what they came to."""

_COMPARE: dict[str, Callable[[Any, Any], bool]] = {
    "<": operator.lt,
    "<=": operator.le,
    ">": operator.gt,
    ">=": operator.ge,
}
_OPERATORS = {"!=": "$neq", "<": "$lt", "<=": "$lte", ">": "$gt", ">=": "$gte"}
_GO = '{"go":1,"id":0,"sid":"%s"}'
_ALWAYS = "always"
_serial = itertools.count(1)


class LimitError(ValueError):
    """A rule or fact that the inference library cannot hold; the message says which limit."""


class EngineError(RuntimeError):
    """The inference library failed although everything was inside its limits."""


def _name_hash(text: str) -> int:
    """The 32-bit hash by which the library compares names."""
    value = 0x811C9DC5
    for byte in text.encode():
        value = ((value ^ byte) * 16777619) & 0xFFFFFFFF
    return value


def _checked(value: Value, where: str) -> Value:
    if isinstance(value, str):
        if len(value) > MAX_TEXT or "\0" in value or any("\ud800" <= c <= "\udfff" for c in value):
            raise LimitError(f"{where}: a text must have at most {MAX_TEXT} ordinary characters")
        return value
    if not abs(value) <= MAX_NUMBER:
        raise LimitError(f"{where}: {value} is outside -{MAX_NUMBER:.0f} to {MAX_NUMBER:.0f}")
    return round(float(value), 3) + 0.0


def _written(value: Value) -> str:
    return json.dumps(value, ensure_ascii=False) if isinstance(value, str) else f"{value:.3f}"


def _key(test: Test) -> str:
    return ("k_" if test.operator == "known" else "f_") + test.attribute


def _expression(test: Test) -> object:
    key = _key(test)
    if test.operator == "known":
        return {key: 1}
    if test.operator == "any":
        return {"$ex": {key: 1}}
    values = [_checked(v, test.attribute) for v in test.values]
    if test.operator == "in":
        return {"$or": [{key: v} for v in dict.fromkeys(values)]}
    if test.operator == "==":
        return {key: values[0]}
    return {_OPERATORS[test.operator]: {key: values[0]}}


class _Ruleset:
    """Some patterns of one stratum, loaded into the library."""

    def __init__(self, patterns: Sequence[Pattern]) -> None:
        self.patterns = {f"r{n}": p for n, p in enumerate(patterns)}
        self.reads = {t.attribute for p in patterns for t in (*p.present, *p.absent) if t.operator != "known"}
        self.knows = {t.attribute for p in patterns for t in (*p.present, *p.absent) if t.operator == "known"}
        rules: dict[str, object] = {name: self._definition(p) for name, p in self.patterns.items()}
        rules[_ALWAYS] = {"all": [{"g": {"go": 1}}]}
        name = f"advisor{next(_serial)}"
        try:
            self.handle = durable.create_ruleset(name, json.dumps(rules, ensure_ascii=False))
        except Exception as error:
            raise EngineError(f"a stratum of {len(patterns)} rules could not be loaded: {error}") from error
        weakref.finalize(self, durable.delete_ruleset, self.handle)
        self._matched: dict[tuple[Fact, ...], list[tuple[Pattern, tuple[int, ...], Match]]] = {}

    @staticmethod
    def _definition(pattern: Pattern) -> dict[str, object]:
        premises: list[dict[str, object]] = []
        if pattern.absent or not pattern.present:
            premises.append({"g": {"go": 1}})
        premises += [{f"p{n}": _expression(t)} for n, t in enumerate(pattern.present)]
        premises += [{f"z{n}$not": _expression(t)} for n, t in enumerate(pattern.absent)]
        return {"dist": 0, "all": premises}

    def matches(self, settled: Sequence[Fact]) -> list[tuple[Pattern, tuple[int, ...], Match]]:
        """Patterns that hold, each with the places of its facts among those it reads, and as a match.

        Equal facts have equal matches: what was asked last is remembered, since most of it comes again with the next.
        """
        facts = tuple([f for f in settled if f[0] in self.reads or f[0] in self.knows])
        found = self._matched.get(facts)
        if found is None:
            found = [
                (pattern, bound, Match(pattern.rule, _facts(pattern, bound, facts), pattern.absent))
                for pattern, bound in self.fire(facts, str(next(_serial)))
                if all(_COMPARE[g.operator](facts[bound[g.left]][1], facts[bound[g.right]][1]) for g in pattern.guards)
            ]
            make_room(self._matched, MOST_REMEMBERED)
            self._matched[facts] = found
        return found

    def fire(self, facts: Sequence[Fact], session: str) -> list[tuple[Pattern, tuple[int, ...]]]:
        """Patterns that hold, each with the index of the fact bound by every test (-1 for "known").

        A session that failed is left alone: nothing may have fired in it, and then deleting it aborts.
        """
        messages = [
            f'{{"f_{a}":{_written(v)},"id":{n},"sid":"{session}"}}'
            for n, (a, v) in enumerate(facts, 1)
            if a in self.reads
        ]
        known = sorted({a for a, _ in facts} & self.knows)
        messages += [f'{{"k_{a}":1,"id":{n},"sid":"{session}"}}' for n, a in enumerate(known, len(facts) + 1)]
        messages.append(_GO % session)
        found: list[tuple[Pattern, tuple[int, ...]]] = []
        try:
            _, state = durable.assert_facts(self.handle, f"[{','.join(messages)}]")
            step = (durable.start_action_for_state(self.handle, state) or (0, None))[1]
            while step:
                ((name, bound),) = json.loads(step).items()
                if name != _ALWAYS:
                    pattern = self.patterns[name]
                    found.append(
                        (
                            pattern,
                            tuple(
                                -1 if t.operator == "known" else int(bound[f"p{n}"]["id"]) - 1
                                for n, t in enumerate(pattern.present)
                            ),
                        )
                    )
                step = durable.complete_and_start_action(self.handle, state)
            durable.delete_state(self.handle, session)
        except (KeyError, ValueError, TypeError) as error:
            raise EngineError(f"the inference library answered what cannot be read: {error}") from error
        except Exception as error:
            raise EngineError(f"the inference library failed: {error}") from error
        return found


class DurableEngine:
    """Draws every conclusion of a rule base with durable-rules.

    Raises LimitError when a pattern cannot be held. Safe to use from several threads; a
    consultation leaves nothing behind.
    """

    def __init__(self, strata: Iterable[Sequence[Pattern]]) -> None:
        self._types: dict[str, type] = {}
        self._order: dict[str, int] = {}
        self._lock = threading.Lock()
        loaded: list[list[_Ruleset]] = []
        for patterns in strata:
            for pattern in patterns:
                self._check(pattern)
            loaded.append([_Ruleset(chunk) for chunk in _chunks(patterns)])
        hashes = Counter(_name_hash(prefix + name) for name in self._types for prefix in ("f_", "k_"))
        if any(count > 1 for count in hashes.values()):
            raise LimitError("two attribute names look the same to the inference library; rename one")
        self._strata = loaded
        self._wanted: list[set[str]] = [set().union(*(r.reads | r.knows for r in rulesets)) for rulesets in loaded]

    def _check(self, pattern: Pattern) -> None:
        if pattern.rule in self._order:
            raise LimitError(f"two rules are called {pattern.rule}")
        self._order[pattern.rule] = len(self._order)
        if len(pattern.present) + len(pattern.absent) > MOST_PREMISES:
            raise LimitError(f"{pattern.rule} has more than {MOST_PREMISES} premises; split it in two")
        for test in (*pattern.present, *pattern.absent):
            if not test.attribute.isidentifier() or not test.attribute.isascii():
                raise LimitError(f"{pattern.rule}: {test.attribute!r} is no name of letters, digits and _")
            self._types.setdefault(test.attribute, object)
            for value in test.values:
                self._declare(test.attribute, _checked(value, pattern.rule), pattern.rule)
                if test.operator in _COMPARE and isinstance(value, str):
                    raise LimitError(f"{pattern.rule}: {test.attribute} is compared with a word")
        for test in {pattern.present[place] for guard in pattern.guards for place in (guard.left, guard.right)}:
            if test.operator != "any":
                raise LimitError(f"{pattern.rule}: only tests that bind a value can be compared")
            self._declare(test.attribute, 0.0, pattern.rule)

    def _declare(self, attribute: str, value: Value, where: str) -> None:
        if self._types[attribute] is object:
            self._types[attribute] = type(value)
        self._check_type(attribute, value, where)

    def _check_type(self, attribute: str, value: Value, where: str) -> None:
        if self._types[attribute] not in (object, type(value)):
            raise LimitError(f"{where}: {attribute} is used as a number and as a word")

    def fire(self, stratum: int, facts: Sequence[Fact]) -> list[Match]:
        """See ``Engine.fire``."""
        wanted = self._wanted[stratum]
        settled = sorted(
            {(a, _checked(v, a)) for a, v in facts if a in wanted}, key=lambda f: (f[0], str(type(f[1])), f[1])
        )
        for attribute, value in settled:
            self._check_type(attribute, value, "facts")
        with self._lock:
            found = [entry for ruleset in self._strata[stratum] for entry in ruleset.matches(settled)]
        found.sort(key=lambda entry: (self._order[entry[0].rule], entry[1]))
        return [match for _, _, match in found]


def _facts(pattern: Pattern, bound: tuple[int, ...], settled: Sequence[Fact]) -> tuple[Fact, ...]:
    """The matched facts in premise order; a "known" premise rests on every value of its attribute."""
    matched: list[Fact] = []
    for test, index in zip(pattern.present, bound, strict=True):
        matched += [settled[index]] if index >= 0 else [f for f in settled if f[0] == test.attribute]
    return tuple(dict.fromkeys(matched))


def _chunks(patterns: Sequence[Pattern]) -> list[list[Pattern]]:
    """A stratum cut so that no table of the library comes near its limit.

    Equal tests share a place in its tables, but for those among several values: what counts is how many different ones
    there are, in all and of one key, and how often each is used.
    """
    chunks: list[list[Pattern]] = [[]]
    uses: Counter[Test] = Counter()
    keys: Counter[str] = Counter()
    for pattern in patterns:
        own = Counter((*pattern.present, *pattern.absent))
        keys.update(_key(t) for t in own if t not in uses or t.operator == "in")
        uses.update(own)
        if chunks[-1] and (
            len(chunks[-1]) >= MAX_RULES
            or len(uses) > MAX_TESTS
            or any(keys[_key(t)] > MAX_TESTS_OF_ONE_ATTRIBUTE or uses[t] > MAX_RULES for t in own)
        ):
            chunks.append([])
            uses, keys = own, Counter(map(_key, own))
        chunks[-1].append(pattern)
    return [chunk for chunk in chunks if chunk]
