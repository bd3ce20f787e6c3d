"""Every fault of the inference library that the fence answers, shown and answered.

"bare" runs the library alone, in its own process, and pins the fault as it was seen in 2.0.28; if one
of these fails after an upgrade, the fault is gone and its answer may be too. The other half asks
the product's engine the same question.
"""

from __future__ import annotations

import itertools
import os
import random
import subprocess
import threading
from collections.abc import Callable, Iterable, Sequence
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import durable_rules_engine as library
import pytest
from bare import bare, run
from randombase import random_answers

from advisor.reasoning import engine as fence
from advisor.reasoning.consult import consult, engine_for
from advisor.reasoning.engine import DurableEngine, EngineError, LimitError
from advisor.reasoning.facts import Answer
from advisor.reasoning.matching import Fact, Guard, Match, Pattern, patterns_by_stratum
from advisor.reasoning.matching import Test as Probe
from advisor.rulebase.models import MOST_PREMISES, RuleBase, Value

COLLIDING_WORDS = ("xcdcgeux", "rghhdprx")
COLLIDING_NAMES = ("qvubhgme", "ioscofjj")


def probe(attribute: str, operator: str = "any", *values: Value) -> Probe:
    return Probe(attribute, operator, values)  # type: ignore[arg-type]


def fired(patterns: Iterable[Pattern], facts: Sequence[Fact]) -> list[str]:
    return [match.rule for match in DurableEngine([list(patterns)]).fire(0, facts)]


def seen(done: subprocess.CompletedProcess[str]) -> str:
    assert done.returncode == 0, done.stderr
    return done.stdout.strip()


# -- what fires


def test_bare_one_fact_cannot_meet_two_premises() -> None:
    assert (
        seen(
            bare("""
        two = [{"$gte": {"w": 10}}, {"$lt": {"w": 40}}]
        default = rule(*two); del default["dist"]
        print(fire({"r": default}, [{"w": 20}]), fire({"r": rule(*two)}, [{"w": 20}]))
    """)
        )
        == "[] ['r']"
    )


def test_one_fact_meets_two_premises() -> None:
    between = Pattern("r", (probe("w", ">=", 10.0), probe("w", "<", 40.0)))
    assert DurableEngine([[between]]).fire(0, [("w", 20.0)]) == [Match("r", (("w", 20.0),), ())]
    assert fired([between], [("w", 40.0)]) == []


def test_bare_a_late_fact_does_not_block() -> None:
    assert (
        seen(
            bare("""
        r = {"all": [{"p0": {"a": 1}}, {"z0$not": {"b": 1}}], "dist": 0}
        print(fire({"r": r}, [{"a": 1}, {"b": 1}]), fire({"r": r}, [{"b": 1}, {"a": 1}]))
    """)
        )
        == "['r'] []"
    )


def test_a_fact_blocks_whenever_it_comes() -> None:
    patterns = [Pattern("r", (probe("m", "==", "x"),), (probe("b", "==", "y"),))]
    for facts in itertools.permutations([("m", "x"), ("b", "y"), ("b", "z")]):
        assert fired(patterns, facts) == []
    assert fired(patterns, [("m", "x"), ("b", "z")]) == ["r"]
    # The names decide in which order facts are sent; neither order may matter.
    patterns = [Pattern("r", (probe("b", "==", "y"),), (probe("m", "==", "x"),))]
    assert fired(patterns, [("m", "x"), ("b", "y")]) == []


def test_bare_an_absence_in_front_never_fires() -> None:
    assert (
        seen(
            bare("""
        first = {"dist": 0, "all": [{"z0$not": {"b": 1}}, {"p0": {"a": 1}}]}
        alone = {"dist": 0, "all": [{"z0$not": {"b": 1}}]}
        print(fire({"first": first, "alone": alone}, [{"a": 1}]))
    """)
        )
        == "[]"
    )


def test_an_absence_may_stand_alone() -> None:
    patterns = [Pattern("unknown", (), (probe("b", "known"),)), Pattern("lacks", (), (probe("b", "==", "x"),))]
    assert fired(patterns, []) == ["unknown", "lacks"]
    assert fired(patterns, [("b", "y")]) == ["lacks"]
    assert fired(patterns, [("b", "x")]) == []


def test_bare_facts_one_by_one_fire_on_half_a_picture() -> None:
    assert (
        seen(
            bare("""
        handle = load({"r": {"dist": 0, "all": [{"p0": {"a": 1}}, {"z0$not": {"b": 1}}]}})
        fired = []
        for n, fact in enumerate([{"a": 1}, {"b": 1}], 1):
            fired += drain(handle, lib.assert_fact(handle, json.dumps(fact | {"id": n, "sid": "1"}))[1])
        print(fired)
    """)
        )
        == "['r']"
    )


def test_bare_overlapping_alternatives_fire_twice() -> None:
    assert (
        seen(
            bare("""
        print(fire({"r": rule({"$or": [{"$lt": {"w": 10}}, {"$lt": {"w": 20}}]})}, [{"w": 5}]))
        print(fire({"r": rule({"$or": [{"w": 5}, {"w": 5}]})}, [{"w": 5}]))
    """)
        )
        == "['r', 'r']\n['r', 'r']"
    )


def test_alternatives_fire_once() -> None:
    assert fired([Pattern("r", (probe("w", "in", "a", "b", "a"),))], [("w", "a")]) == ["r"]
    # 2.0001 and 2.0002 are the same number to three decimals.
    assert fired([Pattern("r", (probe("w", "in", 2.0001, 2.0002),))], [("w", 2.0)]) == ["r"]


def test_facts_are_compared_with_each_other() -> None:
    """Joins inside ``$and`` read past an array in the library: not run bare, it may do anything."""
    for operator, holds in (("<", "yes no no"), ("<=", "yes yes no"), (">", "no no yes"), (">=", "no yes yes")):
        both = Pattern("r", (probe("a"), probe("b")), guards=(Guard(0, operator, 1),))  # type: ignore[arg-type]
        answers = ["yes" if fired([both], [("a", a), ("b", 2.0)]) else "no" for a in (1.0, 2.0, 3.0)]
        assert " ".join(answers) == holds
    assert fired([both], [("a", 1.0)]) == []
    with pytest.raises(LimitError, match="bind a value"):
        DurableEngine([[Pattern("r", (probe("a", "known"), probe("b")), guards=(Guard(0, "<", 1),))]])


def test_bare_duplicates_fire_twice() -> None:
    assert seen(bare('print(fire({"r": rule({"a": 1})}, [{"a": 1}, {"a": 1}]))')) == "['r', 'r']"


def test_duplicates_fire_once() -> None:
    assert fired([Pattern("r", (probe("a", "==", "x"),))], [("a", "x")] * 3) == ["r"]
    assert fired([Pattern("r", (probe("a", ">", 0.0),))], [("a", 1.0), ("a", True), ("a", 1.0001)]) == ["r"]


def test_bare_a_fact_no_rule_tests_is_dropped() -> None:
    assert (
        seen(
            bare("""
        handle = load({"r": rule({"a": 1})})
        print(lib.assert_fact(handle, '{"other": 1, "id": 1, "sid": "1"}')[0])
    """)
        )
        == "1"
    )


def test_a_fact_no_rule_tests_disturbs_nothing() -> None:
    assert fired([Pattern("r", (probe("a", "==", "x"),))], [("b", 1.0), ("a", "x"), ("c", "z")]) == ["r"]


def test_bare_an_empty_batch_names_a_session_that_is_not_there() -> None:
    done = bare("""
        handle = load({"r": rule({"a": 1})})
        print(lib.assert_facts(handle, "[]")[0], flush=True)
        lib.delete_state(handle, "1")
    """)
    assert done.stdout.strip() == "0"
    assert done.returncode != 0


def test_nothing_known_and_nothing_to_do() -> None:
    assert fired([Pattern("r", (probe("a"),))], []) == []
    assert fired([Pattern("r", ())], []) == ["r"]
    assert fired([], [("a", 1.0)]) == []


def test_known_rests_on_every_value() -> None:
    (match,) = DurableEngine([[Pattern("r", (probe("a", "known"), probe("a", "==", "y")))]]).fire(
        0, [("a", "y"), ("a", "x")]
    )
    assert match.facts == (("a", "x"), ("a", "y"))


# -- crashes


def test_bare_deleting_an_unfired_session_crashes() -> None:
    # The memory it frees is uninitialised; filling it with a pattern makes the fault show at once.
    code = 'fire({"r": rule({"a": 1}, {"b": 1})}, [{"a": 1}], always=False)'
    assert bare(code, MALLOC_PERTURB_="165").returncode < 0


def test_a_session_in_which_nothing_fires_is_harmless() -> None:
    done = run(
        """
        from advisor.reasoning.engine import DurableEngine
        from advisor.reasoning.matching import Pattern, Test
        engine = DurableEngine([[Pattern("r", (Test("a", "==", ("x",)), Test("b", "==", ("x",))))]])
        print({len(engine.fire(0, [("a", "x")])) for _ in range(200)})
    """,
        MALLOC_PERTURB_="165",
    )
    assert seen(done) == "{0}"


# -- tables


def test_bare_too_many_tests_hang_or_fail() -> None:
    many = """
        rules = {f"r{n}": rule({f"a{n}": 1}) for n in range(%d)}
        print(len(fire(rules, [{"a0": 1}])))
    """
    assert seen(bare(many % 500)) == "1"
    assert "303" in bare(many % 511).stderr
    with pytest.raises(subprocess.TimeoutExpired):
        bare(many % 520, timeout=3)


def test_many_tests() -> None:
    patterns = [Pattern(f"r{n}", (probe(f"a{n}", "==", "x"),)) for n in range(1200)]
    assert fired(patterns, [(f"a{n}", "x") for n in range(0, 1200, 7)]) == [f"r{n}" for n in range(0, 1200, 7)]


def test_bare_one_fact_meets_at_most_64_tests() -> None:
    many = 'print(len(fire({f"r{n}": rule({"$gte": {"w": n}}) for n in range(%d)}, [{"w": 1000}])))'
    assert seen(bare(many % 64)) == "64"
    assert "303" in bare(many % 65).stderr


def test_one_fact_meets_many_tests() -> None:
    patterns = [Pattern(f"r{n}", (probe("w", ">=", float(n)),)) for n in range(300)]
    assert fired(patterns, [("w", 249.5)]) == [f"r{n}" for n in range(250)]


def test_bare_equal_lists_share_no_place() -> None:
    many = """
        either = {"$or": [{"w": "a"}, {"w": "b"}]}
        print(len(fire({f"r{n}": rule({"v": n}, either) for n in range(%d)}, [{"v": 1}, {"w": "a"}])))
    """
    assert seen(bare(many % 60)) == "1"
    assert "303" in bare(many % 100).stderr


def test_one_fact_meets_many_equal_lists() -> None:
    patterns = [Pattern(f"r{n}", (probe("v", "==", float(n)), probe("w", "in", "a", "b"))) for n in range(150)]
    assert fired(patterns, [("v", 120.0), ("w", "a")]) == ["r120"]


def test_one_fact_meets_many_lists_over_few_words() -> None:
    lists = [s for size in (3, 4, 5) for s in itertools.combinations("abcdefghij", size)]
    patterns = [Pattern("".join(words), (probe("w", "in", *words),)) for words in lists]
    assert fired(patterns, [("w", "a")]) == ["".join(words) for words in lists if "a" in words]


def test_bare_one_test_in_256_rules_crashes() -> None:
    many = 'print(len(fire({f"r{n}": rule({"a": 1}) for n in range(%d)}, [{"a": 1}], always=False)))'
    assert seen(bare(many % 255)) == "255"
    assert bare(many % 256).returncode < 0
    assert "108" in bare(many % 257).stderr


def test_one_test_in_many_rules() -> None:
    patterns = [Pattern(f"r{n}", (probe("a", "==", "x"),), (probe("b", "known"),)) for n in range(700)]
    assert fired(patterns, [("a", "x")]) == [p.rule for p in patterns]
    assert fired(patterns, [("a", "x"), ("b", "y")]) == []
    # One rule may use a test twice, and then uses count, not rules.
    twice = [Pattern(f"r{n}", (probe("a", "==", "x"),), (probe("a", "==", "x"),)) for n in range(200)]
    assert fired(twice, [("a", "x")]) == []


def test_bare_more_than_16_premises_fail() -> None:
    many = 'print(fire({"r": rule(*({f"a{n}": 1} for n in range(%d)))}, [{f"a{n}": 1} for n in range(%d)]))'
    assert seen(bare(many % (16, 16))) == "['r']"
    assert "304" in bare(many % (17, 17)).stderr


def test_premises_up_to_the_limit_and_beyond() -> None:
    def pattern(count: int) -> Pattern:
        present = tuple(probe(f"a{n}", "==", "x") for n in range(count - 2))
        return Pattern("r", present, (probe("b", "known"), probe("c", "==", "x")))

    facts = [(f"a{n}", "x") for n in range(MOST_PREMISES)]
    assert fired([pattern(MOST_PREMISES)], facts) == ["r"]
    with pytest.raises(LimitError, match="split it in two"):
        DurableEngine([[pattern(MOST_PREMISES + 1)]])


# -- values


def test_bare_exponents_end_the_batch() -> None:
    done = bare("""
        for written in ("0.00001", "1e-05", "1e16", "Infinity"):
            handle = load({"r": rule({"$ex": {"w": 1}}), "q": rule({"a": 1})})
            batch = '[{"w": %s, "id": 1, "sid": "1"}, {"a": 1, "id": 2, "sid": "1"}]' % written
            state = lib.assert_facts(handle, batch)[1]
            try:
                print(written, lib.get_state(handle, "1"))
            except Exception:
                print(written, "no session")
    """)
    # The number of a state comes back all the same, and is whatever stood in memory.
    first, *others = seen(done).splitlines()
    assert "no session" not in first
    assert others == ["1e-05 no session", "1e16 no session", "Infinity no session"]


@pytest.mark.parametrize("number", [0.001, -0.001, 1e-5, 1e-9, 0.1 + 0.2, -0.0, 999_999.999, 123_456_789.123, 1e9])
def test_numbers_are_read_back(number: float) -> None:
    operators = {op: probe("w", op, number) for op in ("==", "!=", "<", "<=", ">", ">=")}
    patterns = [Pattern(op, (t,)) for op, t in operators.items()]
    matches = DurableEngine([patterns]).fire(0, [("w", number)])
    assert [m.rule for m in matches] == ["==", "<=", ">="]
    assert {m.facts for m in matches} == {(("w", round(number, 3)),)}


@pytest.mark.parametrize("number", [float("nan"), float("inf"), float("-inf"), 1e9 + 1, -2e9, 2**63])
def test_numbers_that_are_none(number: float) -> None:
    with pytest.raises(LimitError, match="outside"):
        DurableEngine([[Pattern("r", (probe("w", "==", number),))]])
    engine = DurableEngine([[Pattern("r", (probe("w"),))]])
    with pytest.raises(LimitError, match="outside"):
        engine.fire(0, [("w", number)])
    assert engine.fire(0, [("w", 1.0)]) == [Match("r", (("w", 1.0),), ())]


def test_bare_words_and_numbers_are_taken_for_each_other() -> None:
    done = bare("""
        rules = {"number": rule({"w": 5}), "word": rule({"w": "5"}), "yes": rule({"w": True}), "one": rule({"w": 1})}
        for value in (5, "5", True):
            print(repr(value), fire(rules, [{"w": value}]))
    """)
    lines = seen(done).splitlines()
    assert lines[2] == "True ['yes', 'one']"
    assert "5 ['number']" not in lines or "'5' ['word']" not in lines


def test_words_and_numbers_are_not_mixed() -> None:
    assert fired([Pattern("one", (probe("w", "==", 1),))], [("w", 1.0)]) == ["one"]
    assert fired([Pattern("one", (probe("w", "==", 1.0),))], [("w", 1)]) == ["one"]
    assert fired([Pattern("word", (probe("w", "==", "1"),))], [("w", "1")]) == ["word"]
    assert fired([Pattern("word", (probe("w", "==", "1"),))], [("w", "1.0")]) == []
    for value in (1, 1.0, True):
        with pytest.raises(LimitError, match="a number and as a word"):
            fired([Pattern("word", (probe("w", "==", "1"),))], [("w", value)])
    with pytest.raises(LimitError, match="a number and as a word"):
        fired([Pattern("number", (probe("w", ">", 1.0),))], [("w", "1")])
    with pytest.raises(LimitError, match="a number and as a word"):
        DurableEngine([[Pattern("a", (probe("w", "==", "1"),)), Pattern("b", (probe("w", "==", 1.0),))]])
    with pytest.raises(LimitError, match="compared with a word"):
        DurableEngine([[Pattern("a", (probe("w", "<", "b"),))]])


def test_the_engine_learns_no_types_from_facts() -> None:
    engine = DurableEngine([[Pattern("r", (probe("w", "known"),))]])
    assert engine.fire(0, [("w", 1.0)]) == [Match("r", (("w", 1.0),), ())]
    assert engine.fire(0, [("w", "a")]) == [Match("r", (("w", "a"),), ())]


@pytest.mark.parametrize(
    "word",
    [
        "",
        " ",
        "é",
        "colour – “quoted”",
        "日本語",
        "😀",
        'say "hi"',
        "back\\slash",
        "two\nlines",
        "tab\t",
        "\x01",
        "{}[]:,",
        "null",
        "true",
        "1e5",
        "a'b",
        "\u2028",
        "x" * 500,
    ],
)
def test_words_of_any_kind(word: str) -> None:
    patterns = [
        Pattern("same", (probe("w", "==", word),)),
        Pattern("other", (probe("w", "!=", word),)),
        Pattern("listed", (probe("w", "in", "elsewhere", word),)),
        Pattern("lacks", (), (probe("w", "==", word),)),
    ]
    assert DurableEngine([patterns]).fire(0, [("w", word)]) == [
        Match("same", (("w", word),), ()),
        Match("listed", (("w", word),), ()),
    ]
    assert fired(patterns, [("w", word + "!")][: len(word) < 500]) in (["other", "lacks"], ["lacks"])


def test_bare_texts_of_65536_characters_are_all_equal() -> None:
    done = bare("""
        print(fire({"r": rule({"w": "a" * 65535 + "b"})}, [{"w": "a" * 65535 + "c"}]))
    """)
    assert seen(done) == "['r']"


@pytest.mark.parametrize("word", ["a\0b", "\ud800", "a\udfff", "x" * 501, "x" * 65_536])
def test_words_that_are_refused(word: str) -> None:
    with pytest.raises(LimitError, match="ordinary characters"):
        DurableEngine([[Pattern("r", (probe("w", "==", word),))]])
    engine = DurableEngine([[Pattern("r", (probe("w"),))]])
    with pytest.raises(LimitError, match="ordinary characters"):
        engine.fire(0, [("w", word)])
    assert engine.fire(0, [("w", "x")]) == [Match("r", (("w", "x"),), ())]


def test_a_text_at_the_limit_is_compared_to_its_end() -> None:
    patterns = [Pattern("r", (probe("w", "==", "x" * 499 + "y"),))]
    assert fired(patterns, [("w", "x" * 499 + "y")]) == ["r"]
    assert fired(patterns, [("w", "x" * 500)]) == []


# -- names


def test_bare_some_names_are_taken() -> None:
    done = bare("""
        print(fire({"r": rule({"sid": "x"})}, [{"sid": "x"}]))
        load({"r": rule({"$and": "x"})})
    """)
    assert done.stdout.strip() == "[]"
    assert "102" in done.stderr


@pytest.mark.parametrize("name", ["id", "sid", "go", "g", "p0", "z0", "always", "all", "any", "dist", "count", "pri"])
def test_an_attribute_may_have_any_name(name: str) -> None:
    patterns = [
        Pattern("present", (probe(name, "==", "x"), probe(name, "known"))),
        Pattern("absent", (probe("w"),), (probe(name, "known"),)),
        Pattern("lacks", (probe("w"),), (probe(name, "==", "y"),)),
    ]
    assert fired(patterns, [(name, "x"), ("w", 1.0)]) == ["present", "lacks"]
    assert fired(patterns, [("w", 1.0)]) == ["absent", "lacks"]


@pytest.mark.parametrize("name", ["$s", "$and", "a.b", "a b", "", "1a", "naïve", 'a"'])
def test_what_is_no_name(name: str) -> None:
    with pytest.raises(LimitError, match="letters, digits and _"):
        DurableEngine([[Pattern("r", (probe(name),))]])


def test_two_rules_of_one_name() -> None:
    with pytest.raises(LimitError, match="two rules are called r"):
        DurableEngine([[Pattern("r", (probe("a"),))], [Pattern("r", (probe("b"),))]])


def test_bare_names_are_compared_by_hash() -> None:
    one, other = COLLIDING_WORDS
    assert seen(bare(f'print(fire({{"r": rule({{"{one}": 1}})}}, [{{"{other}": 1}}]))')) == "['r']"


def test_names_that_look_the_same_are_refused() -> None:
    one, other = COLLIDING_NAMES
    with pytest.raises(LimitError, match="look the same"):
        DurableEngine([[Pattern("a", (probe(one),))], [Pattern("b", (probe(other),))]])
    assert fired([Pattern("a", (probe(one),))], [(one, 1.0), (other, 1.0)]) == ["a"]


def test_words_that_look_the_same_are_told_apart() -> None:
    one, other = COLLIDING_WORDS
    patterns = [Pattern(w, (probe("w", "==", w),)) for w in COLLIDING_WORDS]
    patterns += [Pattern(f"not {w}", (probe("w", "!=", w),)) for w in COLLIDING_WORDS]
    assert fired(patterns, [("w", one)]) == [one, f"not {other}"]
    assert fired(patterns, [("w", other)]) == [other, f"not {one}"]


def test_the_hash_is_the_published_one() -> None:
    """Test vectors of FNV-1a, 32 bits."""
    vectors = {"": 0x811C9DC5, "a": 0xE40C292C, "foobar": 0xBF9CF968}
    assert {word: fence._name_hash(word) for word in vectors} == vectors
    assert fence._name_hash(COLLIDING_WORDS[0]) == fence._name_hash(COLLIDING_WORDS[1])


# -- the process


def _sample(rulebase: RuleBase, count: int) -> list[dict[str, Answer]]:
    pick = random.Random(5)
    return [random_answers(pick, rulebase, pick.choice((0.1, 0.4))) for _ in range(count)]


def _text(rulebase: RuleBase, answers: dict[str, Answer]) -> str:
    return consult(rulebase, answers).model_dump_json(by_alias=True)


@pytest.mark.parametrize("many", [4, pytest.param(12, marks=pytest.mark.slow)])
def test_eight_threads_get_what_one_gets(rulebase: RuleBase, many: int) -> None:
    answers = _sample(rulebase, many)
    alone = [_text(rulebase, a) for a in answers]
    with ThreadPoolExecutor(8) as threads:
        together = list(threads.map(lambda turn: _text(rulebase, answers[turn % many]), range(8 * many)))
    assert together == alone * 8


def test_a_fork_gets_what_its_parent_gets() -> None:
    done = run("""
        import os, sys
        from advisor.reasoning.consult import consult
        from advisor.rulebase.load import load_rulebase
        base = load_rulebase()
        text = lambda: consult(base, {"item": "trouser_belt", "waist": "900 mm"}).model_dump_json(by_alias=True)
        before = text()
        if os.fork() == 0:
            os._exit(0 if text() == before else 1)
        print(os.waitstatus_to_exitcode(os.wait()[1]), text() == before)
    """)
    assert seen(done) == "0 True"


def test_no_thread_and_no_host_is_started() -> None:
    done = run("""
        import os, sys, threading
        from advisor.reasoning.consult import consult
        from advisor.rulebase.load import load_rulebase
        consult(load_rulebase(), {"item": "trouser_belt"})
        print(threading.active_count(), len(os.listdir("/proc/self/task")), "durable" in sys.modules)
    """)
    assert seen(done) == "1 1 False"


def test_a_refused_fact_leaves_the_engine_usable(rulebase: RuleBase) -> None:
    (answers,) = _sample(rulebase, 1)
    before = _text(rulebase, answers)
    stratum, attribute = next(
        (n, t.attribute)
        for n, patterns in enumerate(patterns_by_stratum(rulebase))
        for p in patterns
        for t in p.present
        if t.operator == "<"
    )
    with pytest.raises(LimitError, match="outside"):
        engine_for(rulebase).fire(stratum, [(attribute, 1e12)])
    with pytest.raises(LimitError, match="a number and as a word"):
        engine_for(rulebase).fire(stratum, [(attribute, "wide")])
    assert _text(rulebase, answers) == before


class _Failing:
    """The library, failing in one of its calls."""

    def __init__(self, call: str) -> None:
        self.call = call

    def __getattr__(self, name: str) -> Callable[..., object]:
        if name != self.call:
            return getattr(library, name)

        def fail(*arguments: object) -> None:
            raise library.error(f"{name} failed")

        return fail


_CALLS = ("assert_facts", "start_action_for_state", "complete_and_start_action", "delete_state")


@pytest.mark.parametrize("call", _CALLS)
def test_a_failing_library_is_reported_and_the_engine_usable(call: str, monkeypatch: pytest.MonkeyPatch) -> None:
    engine = DurableEngine([[Pattern("r", (probe("a", "==", "x"),)), Pattern("s", (probe("a"),))]])
    with monkeypatch.context() as patched:
        patched.setattr(fence, "durable", _Failing(call))
        with pytest.raises(EngineError, match="library"):
            engine.fire(0, [("a", "x")])
    assert [m.rule for m in engine.fire(0, [("a", "x")])] == ["r", "s"]


def test_a_ruleset_that_cannot_be_loaded(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(fence, "durable", _Failing("create_ruleset"))
    with pytest.raises(EngineError, match="could not be loaded"):
        DurableEngine([[Pattern("r", (probe("a"),))]])


def test_order_is_by_rule_then_facts_whatever_the_input() -> None:
    patterns = [Pattern("b", (probe("s"),)), Pattern("a", (probe("s"), probe("n", ">", 0.0)))]
    facts: list[Fact] = [("s", "y"), ("s", "x"), ("n", 2.0), ("n", 1.0)]
    engine = DurableEngine([patterns])
    expected = engine.fire(0, facts)
    assert [(m.rule, *(v for _, v in m.facts)) for m in expected] == [
        ("b", "x"),
        ("b", "y"),
        ("a", "x", 1.0),
        ("a", "x", 2.0),
        ("a", "y", 1.0),
        ("a", "y", 2.0),
    ]
    for shuffled in itertools.permutations(facts):
        assert engine.fire(0, shuffled) == expected


def _resident_kb() -> int:
    return int(Path("/proc/self/statm").read_text().split()[1]) * os.sysconf("SC_PAGE_SIZE") // 1024


def _growth_kb(rulebase: RuleBase, consultations: int) -> int:
    answers = _sample(rulebase, 20)
    for a in answers * 8:
        _consult_anew(rulebase, a)
    before = _resident_kb()
    for turn in range(consultations):
        _consult_anew(rulebase, answers[turn % 20])
    return _resident_kb() - before


def _consult_anew(rulebase: RuleBase, answers: dict[str, object]) -> None:
    """A consultation in which the library works, whatever is remembered of facts that it has seen."""
    engine = engine_for(rulebase)
    assert isinstance(engine, DurableEngine)
    for ruleset in itertools.chain.from_iterable(engine._strata):
        ruleset._matched.clear()
    consult(rulebase, answers)


def test_memory_stays_flat(rulebase: RuleBase, tell: Callable[[str], None]) -> None:
    grown = _growth_kb(rulebase, 60)
    tell(f"memory after 60 consultations: {grown:+} kB")
    assert grown < 4_000


@pytest.mark.slow
def test_memory_stays_flat_for_long(rulebase: RuleBase, tell: Callable[[str], None]) -> None:
    grown = _growth_kb(rulebase, 20_000)
    tell(f"memory after 20,000 consultations: {grown:+} kB")
    assert grown < 4_000


def test_a_dropped_engine_gives_its_memory_back() -> None:
    patterns = [[Pattern(f"r{n}", (probe(f"a{n}", "==", "x"), probe("b", "known"))) for n in range(200)]]

    def many(count: int) -> None:
        for _ in range(count):
            DurableEngine(patterns).fire(0, [("a1", "x")])

    many(10)
    before = _resident_kb()
    many(100)
    assert _resident_kb() - before < 20_000


def test_no_thread_is_left_behind(rulebase: RuleBase) -> None:
    before = set(threading.enumerate())
    consult(rulebase, {"item": "trouser_belt"})
    assert set(threading.enumerate()) == before


def test_equal_facts_are_matched_once_and_only_so_many_are_remembered(monkeypatch: pytest.MonkeyPatch) -> None:
    patterns = [Pattern("both", (probe("a", "==", "x"), probe("b"))), Pattern("none", (), (probe("c", "known"),))]
    engine, asked = DurableEngine([patterns]), []
    sound = library.assert_facts

    def counted(handle: int, facts: str) -> object:
        asked.append(facts)
        return sound(handle, facts)

    monkeypatch.setattr(library, "assert_facts", counted)
    first = engine.fire(0, [("a", "x"), ("b", 2.0), ("other", "y")])
    first.pop()
    again = engine.fire(0, [("b", 2.0), ("a", "x"), ("other", "z")])
    assert [m.rule for m in again] == ["both", "none"]
    assert len(asked) == 1
    assert [m.rule for m in engine.fire(0, [("a", "x"), ("b", 3.0), ("c", "x")])] == ["both"]
    assert len(asked) == 2
    for n in range(3 * fence.MOST_REMEMBERED):
        assert [m.facts[1:] for m in engine.fire(0, [("a", "x"), ("b", float(n))])] == [(("b", float(n)),), ()]
    assert max(len(r._matched) for r in engine._strata[0]) <= fence.MOST_REMEMBERED
