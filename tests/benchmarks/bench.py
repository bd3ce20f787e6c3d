"""How fast the advisor is, side by side with other engines. Run by hand: python tests/benchmarks/bench.py [--quick]

Every ratio comes from one run with the contestants taking turns, so that a busy machine slows all of
them. Times are medians in ms, growth of memory in kB.
"""

from __future__ import annotations

import argparse
import operator
import os
import pty
import random
import select
import signal
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests" / "engine")]

from oracles import ClipsEngine, plain  # noqa: E402
from randombase import random_answers, random_base  # noqa: E402

from advisor.reasoning.consult import Consultation, consult  # noqa: E402
from advisor.reasoning.engine import DurableEngine  # noqa: E402
from advisor.reasoning.facts import Answer  # noqa: E402
from advisor.reasoning.matching import Engine, Fact, Match, Pattern, Test, patterns_by_stratum  # noqa: E402
from advisor.rulebase.load import load_rulebase  # noqa: E402
from advisor.rulebase.models import RuleBase, Value  # noqa: E402

Passing = Callable[[Value], bool]
_COMPARE = {"<": operator.lt, "<=": operator.le, ">": operator.gt, ">=": operator.ge}


class IndexedEngine:
    """Pure Python: tests compiled to functions, rules looked up by the attributes they need.

    A rule is looked at only when every attribute it tests is known, which is counted down to.
    """

    def __init__(self, strata: Iterable[Sequence[Pattern]]) -> None:
        self._strata = [self._stratum(patterns) for patterns in strata]

    @staticmethod
    def _stratum(patterns: Sequence[Pattern]) -> tuple[list[_Compiled], dict[str, list[int]], set[str], list[int]]:
        compiled = [_Compiled(pattern) for pattern in patterns]
        waiting: dict[str, list[int]] = {}
        for number, rule in enumerate(compiled):
            for attribute in rule.needs:
                waiting.setdefault(attribute, []).append(number)
        reads = {t.attribute for p in patterns for t in (*p.present, *p.absent)}
        return compiled, waiting, reads, [len(rule.needs) for rule in compiled]

    def fire(self, stratum: int, facts: Sequence[Fact]) -> list[Match]:
        compiled, waiting, reads, counts = self._strata[stratum]
        by_name: dict[str, list[Fact]] = {}
        for name, value in sorted({(a, plain(v)) for a, v in facts if a in reads}):
            by_name.setdefault(name, []).append((name, value))
        open_needs = counts.copy()
        for name in by_name:
            for number in waiting.get(name, ()):
                open_needs[number] -= 1
        found: list[Match] = []
        for number, missing in enumerate(open_needs):
            if not missing:
                found += compiled[number].matches(by_name)
        return found


class _Compiled:
    """One pattern as functions of values."""

    def __init__(self, pattern: Pattern) -> None:
        self.pattern = pattern
        self.needs = {t.attribute for t in pattern.present}
        self.present = [(t.attribute, _compiled(t)) for t in pattern.present]
        self.absent = [(t.attribute, _compiled(t)) for t in pattern.absent]

    def matches(self, by_name: Mapping[str, list[Fact]]) -> Iterator[Match]:
        for attribute, passes in self.absent:
            facts = by_name.get(attribute)
            if facts and (passes is None or any(passes(v) for _, v in facts)):
                return
        yield from self._bind(0, [], by_name)

    def _bind(self, place: int, bound: list[tuple[Fact, ...]], by_name: Mapping[str, list[Fact]]) -> Iterator[Match]:
        if place == len(self.present):
            guards = self.pattern.guards
            if all(_COMPARE[g.operator](bound[g.left][0][1], bound[g.right][0][1]) for g in guards):
                matched = dict.fromkeys(fact for facts in bound for fact in facts)
                yield Match(self.pattern.rule, tuple(matched), self.pattern.absent)
            return
        attribute, passes = self.present[place]
        facts = by_name[attribute]
        for way in [tuple(facts)] if passes is None else [(f,) for f in facts if passes(f[1])]:
            yield from self._bind(place + 1, [*bound, way], by_name)


def _compiled(test: Test) -> Passing | None:
    """A function of one value, or None for "known", which is about all of them."""
    if test.operator == "known":
        return None
    if test.operator == "any":
        return _anything
    values = frozenset(plain(v) for v in test.values)
    if test.operator in ("==", "in"):
        return values.__contains__
    if test.operator == "!=":
        return lambda value: value not in values
    (limit,), holds = values, _COMPARE[test.operator]
    return lambda value: holds(value, limit)


def _anything(_: Value) -> bool:
    return True


# -- measuring

ENGINES: Mapping[str, Callable[[list[list[Pattern]]], Engine]] = {
    "durable-rules": DurableEngine,
    "CLIPS": ClipsEngine,
    "indexed Python": IndexedEngine,
}


def ms(call: Callable[[], object]) -> float:
    start = time.perf_counter()
    call()
    return (time.perf_counter() - start) * 1000


def in_turns(strata: list[list[Pattern]], work: Callable[[Engine], object], turns: int) -> dict[str, float]:
    """Median ms of the work and, as "load NAME", of loading, for each engine.

    Engines take turns in a changing order and are loaded anew for each: through its binding CLIPS gets
    slower the longer one environment is used, which is not what is to be compared.
    """
    times: dict[str, list[float]] = {}
    names = list(ENGINES)
    for turn in range(turns):
        for name in names[turn % len(names) :] + names[: turn % len(names)]:
            start = time.perf_counter()
            engine = ENGINES[name](strata)
            times.setdefault(f"load {name}", []).append((time.perf_counter() - start) * 1000)
            times.setdefault(name, []).append(ms(lambda ready=engine: work(ready)))
    return {name: statistics.median(each) for name, each in times.items()}


class Script:
    """What one consultation asks of an engine: the facts each stratum is fired on."""

    def __init__(self, rulebase: RuleBase, answers: Mapping[str, Answer], engine: Engine) -> None:
        self.asked: list[tuple[int, list[Fact]]] = []
        self.matches: list[list[Match]] = []
        self._engine = engine
        Consultation(rulebase, answers, self)

    def fire(self, stratum: int, facts: Sequence[Fact]) -> list[Match]:
        found = self._engine.fire(stratum, facts)
        self.asked.append((stratum, list(facts)))
        self.matches.append(found)
        return found

    def replay(self, engine: Engine) -> list[list[Match]]:
        return [engine.fire(stratum, facts) for stratum, facts in self.asked]


def scripts_for(rulebase: RuleBase, shares: Sequence[float], count: int, engine: Engine, seed: int) -> list[Script]:
    pick = random.Random(seed)
    return [Script(rulebase, random_answers(pick, rulebase, pick.choice(shares)), engine) for _ in range(count)]


def race(rulebase: RuleBase, shares: Sequence[float], count: int, turns: int, seed: int) -> dict[str, float]:
    """Median ms of one consultation's inference with each engine, after checking that they agree."""
    strata = patterns_by_stratum(rulebase)
    scripts = scripts_for(rulebase, shares, count, DurableEngine(strata), seed)
    for name, make in ENGINES.items():
        engine = make(strata)
        for script in scripts:
            if script.replay(engine) != script.matches:
                raise SystemExit(f"{name} draws other conclusions; there is nothing to compare")
    medians = in_turns(strata, lambda engine: [s.replay(engine) for s in scripts], turns)
    found = {name: m if name.startswith("load") else m / len(scripts) for name, m in medians.items()}
    found["facts"] = statistics.mean(len(s.asked[-1][1]) for s in scripts)
    found["firings"] = statistics.mean(sum(map(len, s.matches)) for s in scripts)
    return found


def row(label: str, r: Mapping[str, float]) -> None:
    d, c, p = (r[name] for name in ENGINES)
    loads = "/".join(f"{r[f'load {name}']:.0f}" for name in ENGINES)
    counts = f"{r['facts']:>6.0f}{r['firings']:>9.0f}"
    print(f"{label:<34}{counts}{d:>10.2f}{c:>9.2f}{p:>9.2f}{d / c:>8.2f}{d / p:>8.2f}  {loads}")


def resident_kb() -> int:
    return int(Path("/proc/self/statm").read_text().split()[1]) * os.sysconf("SC_PAGE_SIZE") // 1024


def memory(rulebase: RuleBase, consultations: int) -> int:
    pick = random.Random(4)
    answers = [random_answers(pick, rulebase, 0.2) for _ in range(min(20, consultations))]
    for sample in answers * (1 if consultations <= len(answers) else 5):
        consult(rulebase, sample)
    before = resident_kb()
    for turn in range(consultations):
        consult(rulebase, answers[turn % len(answers)])
    return resident_kb() - before


def first_prompt() -> float:
    """From the start of the program in a terminal to the first thing it shows."""
    with tempfile.TemporaryDirectory() as home:
        environment = os.environ | {"PYTHONPATH": str(ROOT), "TERM": "xterm", "HOME": home}
        start = last = time.perf_counter()
        child, terminal = pty.fork()
        if not child:
            os.chdir(home)
            os.execve(sys.executable, [sys.executable, "-m", "advisor"], environment)
        shown = b""
        # What follows without a pause belongs to the same screen; then it waits for an answer.
        while select.select([terminal], [], [], 0.3 if shown else 20)[0]:
            try:
                shown += os.read(terminal, 4096)
            except OSError:
                break
            last = time.perf_counter()
        os.close(terminal)
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
    if not shown or b"Traceback" in shown:
        raise SystemExit(f"the program shows no prompt: {shown.decode(errors='replace')}")
    return (last - start) * 1000


def fresh_interpreter() -> float:
    code = (
        "from advisor.rulebase.load import load_rulebase; from advisor.reasoning.consult import consult; "
        "consult(load_rulebase(), {})"
    )
    return ms(lambda: subprocess.run([sys.executable, "-c", code], cwd=ROOT, check=True))


def main(arguments: Sequence[str] | None = None) -> None:
    parser = argparse.ArgumentParser(description="Measure the advisor; see the head of this file.")
    parser.add_argument("--quick", action="store_true", help="few repetitions, only to see that it runs")
    quick = parser.parse_args(arguments).quick
    count, turns = (1, 1) if quick else (20, 15)
    shipped = load_rulebase()
    print(
        f"{'inference of one consultation':<34}{'facts':>6}{'firings':>9}{'durable':>10}{'CLIPS':>9}{'Python':>9}"
        f"{'d/C':>8}{'d/P':>8}  load d/C/P"
    )
    for share in (0.3,) if quick else (0.05, 0.3, 0.8):
        row(f"shipped, {len(shipped.rules)} rules, {share:.0%} answered", race(shipped, [share], count, turns, 1))
    for rules in (200,) if quick else (100, 200, 400, 800, 1200):
        row(f"random, {rules} rules", race(random_base(7, rules, breadth=8), [0.5], count, turns, 2))
    for breadth in (4,) if quick else (2, 4, 8, 16, 32):
        row(f"random, 400 rules, breadth {breadth}", race(random_base(8, 400, breadth), [0.8], count, turns, 3))
    pick = random.Random(9)
    samples = [random_answers(pick, shipped, share) for share in (0.05, 0.3, 0.8) for _ in range(count)]
    strata = patterns_by_stratum(shipped)
    whole = in_turns(strata, lambda engine: [consult(shipped, a, engine) for a in samples], max(2, turns // 3))
    print()
    for name in ENGINES:
        print(f"whole consultation with trace, {name:<16}{whole[name] / len(samples):>9.2f} ms")
    ratio = whole["durable-rules"] / whole["indexed Python"]
    print(f"whole consultation, durable-rules to indexed Python{ratio:>5.2f} times")
    loading = statistics.median(ms(load_rulebase) for _ in range(turns))
    print(f"reading the rule base{'':<26}{loading:>9.1f} ms")
    shell = ROOT / "advisor" / "shell" / "repl.py"
    start, label = (
        (first_prompt, "start to first prompt")
        if shell.exists()
        else (fresh_interpreter, "start, load, first advice (no prompt)")
    )
    print(f"{label:<47}{statistics.median(start() for _ in range(1 if quick else 7)):>9.1f} ms")
    consultations = 5 if quick else 2_000
    print(f"memory grown over {consultations:,} consultations{'':<12}{memory(shipped, consultations):>+9} kB")


if __name__ == "__main__":
    main()
