"""Logs derived anew: what was performed comes out equal, and what was altered is found and named."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import replace as changed
from pathlib import Path
from typing import Literal

import pytest
from plain import sampled
from transcripts import FOLDER

from advisor.reasoning.record import (
    LINE,
    VERSION,
    Answered,
    Asked,
    Began,
    Concluded,
    Ended,
    Entry,
    Event,
    Explained,
    Fault,
    Fired,
    Folded,
    Line,
    Manner,
    Read,
    Resumed,
    Supposed,
    Typed,
    fold,
    made_with,
)
from advisor.rulebase.house import House, load_house
from advisor.rulebase.models import RuleBase
from advisor.talk.recording import Unusable, entered, joined, recommended, restored
from advisor.talk.replay import replay
from advisor.talk.session import Session
from advisor.write.telling import in_short, log_lines

PATHS = sorted(FOLDER.glob("*.txt"))
TALK = [
    "belt for jeans, 38 mm wide, waist 92 cm, sparkly",
    "1",
    "",
    "why tannage",
    "?",
    "back",
    "professional",
    "more",
    "change waist to 100 cm",
    "change waist to 9 kg",
    "done",
    "forget strap width",
    "what if water is rain",
    "keep it",
    "quit",
]


def began(
    rulebase: RuleBase,
    house: House | None = None,
    by: Literal["chat", "recommend"] = "chat",
    manner: Manner | None = None,
) -> Began:
    made = made_with(rulebase, house, "0.1.0")
    return Began(by=by, made_with=made, manner=manner or Manner(), at="2024-05-04T09:00:00Z")


def log_of(
    rulebase: RuleBase, lines: Sequence[str], house: House | None = None, manner: Manner | None = None
) -> list[Event]:
    manner = manner or Manner()
    events: list[Event] = [began(rulebase, house, manner=manner)]
    session = Session(rulebase, house=house, listener=events.append, units=manner.units, brief=manner.brief)
    session.open()
    for line in lines:
        session.hear(line)
    return [LINE.validate_json(LINE.dump_json(Line(n=1, event=e))).event for e in events]


@pytest.fixture(scope="module")
def talk(rulebase: RuleBase) -> list[Event]:
    return log_of(rulebase, TALK)


@pytest.mark.parametrize(
    ("path", "priced"),
    [*((p, False) for p in PATHS[::4]), (FOLDER / "belt_at_the_counter.txt", True)]
    + [pytest.param(p, False, marks=pytest.mark.slow) for n, p in enumerate(PATHS) if n % 4],
    ids=lambda p: p.stem if isinstance(p, Path) else "prices" if p else "index",
)
def test_every_transcript_is_derived_anew_and_equal(path: Path, priced: bool, rulebase: RuleBase) -> None:
    house = load_house(FOLDER / "house", rulebase) if priced else None
    typed = [line[1:].strip() for line in path.read_text().splitlines() if line.startswith(">")]
    events = log_of(rulebase, typed, house)
    verdict = replay(rulebase, house, events, "0.1.0")
    assert (verdict.differences, verdict.remarks, verdict.as_then) == ([], [], True)
    assert (verdict.lines, verdict.events) == (len(typed), len(events))


@pytest.mark.parametrize(("units", "brief"), sampled([("inch", True), ("mm", False), (None, True)], 2))
def test_a_talk_is_derived_anew_in_the_manner_it_was_held(
    rulebase: RuleBase, units: Literal["inch", "mm"] | None, brief: bool
) -> None:
    # A bare 14 is inches or millimetres, and how much is asked, by what the conversation was begun with.
    typed = ["tote bag", "14", "16", "in inches", "change width to 15", "adult", "none", "none", "more", "done", "quit"]
    manner = Manner(units=units, brief=brief)
    events = log_of(rulebase, typed, manner=manner)
    assert replay(rulebase, None, events, "0.1.0").differences == []
    assert fold(events[: events.index(Typed(line="in inches"))]).manner == manner
    assert fold(events).manner == Manner(units="inch", brief=False)
    other = Manner(units="mm" if units == "inch" else "inch", brief=not brief)
    parted = replay(rulebase, None, [began(rulebase, manner=other), *events[1:]], "0.1.0").differences
    assert parted


def test_a_log_holds_every_kind_of_event_and_the_typed_line_comes_first(talk: list[Event]) -> None:
    kinds = {Began, Typed, Read, Answered, Supposed, Fired, Concluded, Explained, Asked, Ended}
    assert {type(e) for e in talk} == kinds
    assert [e.line for e in talk if isinstance(e, Typed)] == TALK
    after = [e.kind for e in talk[talk.index(Typed(line=TALK[0])) :]]
    assert after[:3] == ["typed", "read", "answered"]
    assert {e.change for e in talk if isinstance(e, Answered)} == {"set", "changed", "forgotten"}
    assert [e.asked for e in talk if isinstance(e, Explained)][:2] == ["why tannage", "?"]
    assert next(e for e in talk if isinstance(e, Read)).unread == ["sparkly"]


def test_the_fold_of_a_log_is_where_the_session_stands(rulebase: RuleBase) -> None:
    rng = random.Random(7)
    for _ in range(3):
        lines = [TALK[0], *rng.sample([*TALK[1:9], "card holder", "don't know", "change item to tote"], 6)]
        events: list[Event] = [began(rulebase)]
        session = Session(rulebase, listener=events.append)
        session.open()
        for line in lines:
            session.hear(line)
            state = fold(events)
            assert state.answers == session.answers
            assert state.question == (session.question.name if session.question else None)
            assert (state.more, state.unanswered) == (session.further, None)


def test_a_session_restored_asks_the_same_and_goes_on_equal(rulebase: RuleBase) -> None:
    events = log_of(rulebase, TALK[:3])
    made = made_with(rulebase, None, "0.1.0")
    events.append(Resumed(version=VERSION, made_with=made, at="2024-05-05T09:00:00Z"))
    session = Session(rulebase, listener=events.append)
    reply = restored(session, fold(events[:-1]))
    assert "a waist of 92 cm" in "\n".join(reply.lines)
    before = [e for e in events if isinstance(e, Asked)][-2]
    assert before == events[-1]
    assert reply.prompt == session.prompt() != ""
    for line in ("back", "beginner", "done"):
        session.hear(line)
    verdict = replay(rulebase, None, events, "0.1.0")
    assert (verdict.differences, verdict.remarks, verdict.as_then) == ([], [], True)


def test_a_turn_cut_off_is_not_in_the_answers_and_its_line_is_kept(talk: list[Event], rulebase: RuleBase) -> None:
    first, second = [i for i, e in enumerate(talk) if isinstance(e, Typed)][:2]
    for end in range(first + 1, second):
        state = fold(talk[:end])
        if isinstance(talk[end - 1], Asked):
            assert state.unanswered is None
            assert len(state.answers) == 3
        else:
            assert state == Folded(question="item", unanswered=TALK[0])
        assert replay(rulebase, None, talk[:end], "0.1.0").differences == []


def altered(events: list[Event], kind: type[Event], **fields: object) -> tuple[list[Event], int]:
    """The log with the first event of a kind edited, and the number of that event."""
    at = next(i for i, e in enumerate(events) if isinstance(e, kind))
    return [*events[:at], events[at].model_copy(update=fields), *events[at + 1 :]], at + 1


def test_an_edited_event_is_found_and_named(rulebase: RuleBase) -> None:
    talk = log_of(rulebase, [*TALK[:1], *TALK[3:4], *TALK[-1:]])
    answer = next(e for e in talk if isinstance(e, Answered) and e.attribute == "waist")
    assert answer.now is not None
    at = talk.index(answer)
    forged = answer.model_copy(update={"now": answer.now.model_copy(update={"values": (930.0,)})})
    fired, concluded = (next(e for e in talk if isinstance(e, kind)) for kind in (Fired, Concluded))
    for events, n, words in (
        ([*talk[:at], forged, *talk[at + 1 :]], at + 1, ("answered waist", "930.0", "920.0")),
        (*altered(talk, Typed, line="belt for jeans, 38 mm wide, waist 93 cm, sparkly"), ()),
        (*altered(talk, Read, unread=[]), ("read, unread", "nothing", "sparkly")),
        (*altered(talk, Supposed, values={}), ("supposed",)),
        (*altered(talk, Fired, rules=fired.rules[:-1]), ("fired, rules", fired.rules[-1])),
        (*altered(talk, Fired, rules=["made-up", *fired.rules[1:]]), ("place 1", "made-up", fired.rules[0])),
        (*altered(talk, Concluded, weight="3-4 oz"), ("concluded, weight", "3-4 oz", concluded.weight)),
        (*altered(talk, Concluded, cautions={}), ("cautions", "limits_of_use")),
        (*altered(talk, Concluded, advice_sha256="0" * 64), ("advice sha256", "000")),
        (*altered(talk, Explained, asked="why weight"), ("why weight", "why tannage")),
        ([*talk[:at], *talk[at + 1 :]], at + 1, ('"supposed"', "answered", "waist")),
        ([*talk[:-1], talk[at], talk[-1]], len(talk), ('"answered"', '"ended"')),
    ):
        verdict = replay(rulebase, None, events, "0.1.0")
        (found,) = verdict.differences
        if events[n - 1].kind == "typed":
            n += 1  # The forged line is performed; what it was read as then no longer fits.
        assert found.n == n, str(found)
        assert all(word in str(found) for word in words), str(found)


def test_another_rule_base_is_said_and_the_advice_compared(talk: list[Event], rulebase: RuleBase) -> None:
    relabelled = changed(rulebase, sha256="f" * 64)
    verdict = replay(relabelled, None, talk, "0.1.0")
    assert verdict.differences == []
    assert not verdict.as_then
    assert "The rule base has changed" in verdict.remarks[0]
    raised = {c.target: r for r in rulebase.rules.values() for c in r.then if c.act == "caution"}
    lone = {t for t in raised if sum(c.target == t for r in rulebase.rules.values() for c in r.then) == 1}
    last = [e for e in talk if isinstance(e, Concluded)][-1]
    caution = next(c for c, status in last.cautions.items() if status == "applies" and c in lone)
    rules = {k: r for k, r in rulebase.rules.items() if k != raised[caution].id}
    without = changed(rulebase, sha256="e" * 64, rules=rules, memo={})
    found = replay(without, None, talk, "0.1.0").differences
    assert [str(d.where) for d in found] == [f"caution {caution}"]
    assert found[0].was == "applies"
    assert found[0].now == "nothing"


def test_another_price_list_is_said(rulebase: RuleBase) -> None:
    house = load_house(FOLDER / "house", rulebase)
    events = log_of(rulebase, TALK[:2], house)
    verdict = replay(rulebase, None, events, "0.1.0")
    assert "price list" in verdict.remarks[0]
    assert house.name in verdict.remarks[0]


def test_answers_that_no_rule_base_can_take_are_named_and_left_out(talk: list[Event], rulebase: RuleBase) -> None:
    at = next(i for i, e in enumerate(talk) if isinstance(e, Answered) and e.attribute == "strap_width")
    odd = talk[at].model_copy(update={"attribute": "strap_colour"})
    events = [*talk[:at], odd, *talk[at + 1 :]]
    verdict = replay(changed(rulebase, sha256="f" * 64), None, events, "0.1.0")
    assert "strap colour" in verdict.remarks[1]


def test_advice_without_questions_is_derived_anew(rulebase: RuleBase) -> None:
    events: list[Event] = [began(rulebase, by="recommend")]
    words = ["a  belt", "waist=92 cm", "piece.strap=1@38x1100"]
    advice = recommended(rulebase, words, None, events.append).advice
    assert advice.decisions.tannage.chosen
    assert replay(rulebase, None, events, "0.1.0").differences == []
    forged, n = altered(events, Typed, line="a belt\nwaist=92 kg")
    (found,) = replay(rulebase, None, forged, "0.1.0").differences
    assert (found.n, "refused" in found.now) == (n, True)


def test_a_raised_danger_is_kept_and_derived_anew(rulebase: RuleBase) -> None:
    """The log holds what was raised as it holds an answer, and the same outcome follows from it."""
    events: list[Event] = [began(rulebase, by="recommend")]
    words = ["item=band", "raised=person_weight,neck", "round_childs_neck=no"]
    made = recommended(rulebase, words, None, events.append)
    assert made.advice.outcome is None
    assert fold(events).answers["raised"].values == made.answers["raised"].values == ("person_weight", "neck")
    assert replay(rulebase, None, events, "0.1.0").differences == []
    forged, n = altered(events, Concluded, outcome="ok")
    (found,) = replay(rulebase, None, forged, "0.1.0").differences
    assert found.n == n


def test_a_log_is_told_in_lines(talk: list[Event], rulebase: RuleBase) -> None:
    lines = log_lines(rulebase, talk, 80)
    text = "\n".join(lines)
    assert max(map(len, lines)) <= 80
    for said in ("> why tannage", "a waist of 100 cm (before: a waist of 92 cm)", "unread     sparkly", "Ended."):
        assert said in text


def test_nothing_in_a_log_names_a_person_a_machine_or_a_path(talk: list[Event], tmp_path: Path) -> None:
    import getpass
    import socket

    text = "".join(e.model_dump_json() for e in talk)
    assert "/home" not in text
    assert str(Path.cwd()) not in text
    for private in (getpass.getuser(), socket.gethostname()):
        assert f'"{private}"' not in text


# -- logs of an earlier reader


def of_version_1(events: Sequence[Event]) -> list[Event]:
    """The log as if it had been kept by the first reader."""
    head = events[0]
    assert isinstance(head, Began)
    return [head.model_copy(update={"version": 1}), *events[1:]]


def test_of_an_earlier_log_only_the_advice_is_compared(talk: list[Event], rulebase: RuleBase) -> None:
    old = of_version_1(talk)
    verdict = replay(rulebase, None, old, "0.1.0")
    assert (verdict.differences, verdict.as_then) == ([], False)
    assert "earlier reader" in verdict.remarks[0]
    # What an earlier reader made of the words is not held against it, nor is the checksum of another schema.
    for kind, fields in (
        (Read, {"unread": []}),
        (Explained, {"asked": "why weight"}),
        (Supposed, {"values": {}}),
        (Concluded, {"advice_sha256": "0" * 64}),
    ):
        assert replay(rulebase, None, altered(old, kind, **fields)[0], "0.1.0").differences == []


def test_another_advice_of_an_earlier_log_is_a_difference(talk: list[Event], rulebase: RuleBase) -> None:
    old = of_version_1(talk)
    at = max(i for i, e in enumerate(old) if isinstance(e, Concluded))
    last = old[at]
    assert isinstance(last, Concluded)
    for field, value in (("weight", "1-2 oz"), ("outcome", "refuse"), ("cautions", {**last.cautions, "made_up": "x"})):
        forged = [*old[:at], last.model_copy(update={field: value}), *old[at + 1 :]]
        (found,) = replay(rulebase, None, forged, "0.1.0").differences
        assert found.n == at + 1
        assert field.removesuffix("s") in found.where


def test_an_earlier_log_gone_on_with_is_derived_anew_from_there(rulebase: RuleBase) -> None:
    old = of_version_1(log_of(rulebase, TALK[:3]))
    made = made_with(rulebase, None, "0.1.0")
    events = [*old, Resumed(version=VERSION, made_with=made, at="2024-05-05T09:00:00Z")]
    session = Session(rulebase, listener=events.append)
    restored(session, fold(events[:-1]))
    session.hear("change waist to 100 cm")
    assert replay(rulebase, None, events, "0.1.0").differences == []
    forged, n = altered(events[len(old) :], Fired, rules=[])
    (found,) = replay(rulebase, None, [*old, *forged], "0.1.0").differences
    assert found.n == len(old) + n


# -- batches


BATCH = {1: "belt for jeans, 38 mm wide", 3: "something for my uncle", 4: "item=submarine", 5: "\ufffd" * 9, 7: "tote"}


@pytest.fixture(scope="module")
def batch(rulebase: RuleBase) -> list[Event]:
    events: list[Event] = [began(rulebase, by="batch")]
    for number, sentence in BATCH.items():
        line = joined([sentence, "water=rain"])
        found = entered(rulebase, line, None)
        events += [Entry(number=number), Typed(line=line)]
        events += [found.event()] if isinstance(found, Unusable) else found.events
    return [*events, Ended()]


def test_a_batch_is_derived_anew_and_equal(batch: list[Event], rulebase: RuleBase) -> None:
    assert [e.code for e in batch if isinstance(e, Fault)] == ["answer", "no_text"]
    for end in (len(batch), len(batch) - 1, len(batch) - 2, 3, 2):
        verdict = replay(rulebase, None, batch[:end], "0.1.0")
        assert (verdict.differences, verdict.remarks, verdict.as_then) == ([], [], True)
    for kind, fields, named in (
        (Concluded, {"weight": "1-2 oz"}, "concluded, weight"),
        (Fault, {"code": "internal"}, ""),
        (Fault, {"error": "LogError"}, "fault, error"),
        (Read, {"unread": ["x"]}, "read, unread"),
    ):
        forged, n = altered(batch, kind, **fields)
        verdict = replay(rulebase, None, forged, "0.1.0")
        assert [(d.n, d.where.startswith(named)) for d in verdict.differences] == ([(n, True)] if named else [])


def test_the_lines_of_a_batch_share_no_answers(batch: list[Event], rulebase: RuleBase) -> None:
    assert set(fold(batch).answers) == {"item", "water"}
    # With other rules each line is advised on by its own answers.
    verdict = replay(changed(rulebase, sha256="f" * 64), None, batch, "0.1.0")
    assert (verdict.differences, verdict.as_then) == ([], False)
    at = [i for i, e in enumerate(batch) if isinstance(e, Concluded)]
    for i in at:
        forged = [*batch[:i], batch[i].model_copy(update={"outcome": "defer"}), *batch[i + 1 :]]
        found = replay(changed(rulebase, sha256="f" * 64), None, forged, "0.1.0").differences
        assert [d.n for d in found] == [i + 1]


def test_a_line_of_a_batch_that_failed_then_is_passed_over(batch: list[Event], rulebase: RuleBase) -> None:
    failed = [*batch[:3], Fault(code="internal", error="ValueError"), *batch[batch.index(Entry(number=3)) :]]
    verdict = replay(rulebase, None, failed, "0.1.0")
    assert verdict.differences == []
    assert verdict.remarks == [
        "Event 3: this line ran into a fault then and would be understood today; it was passed over."
    ]


def test_a_batch_is_told_line_by_line(batch: list[Event], rulebase: RuleBase) -> None:
    text = "\n".join(log_lines(rulebase, batch, 80))
    assert [n for n in range(9) if f"Line {n}:" in text] == list(BATCH)
    assert "this cannot be used" in text
    assert "this is no writing" in text
    assert in_short(rulebase, batch) == "finished, batch of 5 lines, 2 without advice"


def test_dangers_raised_are_kept_with_the_turn_that_raised_them(talk: list[Event]) -> None:
    said = [e.model_copy(update={"raised": ["fall"]}) if isinstance(e, Read) else e for e in talk]
    assert fold(said).raised == ["fall"]
    cut = said[: next(i for i, e in enumerate(said) if isinstance(e, Read)) + 1]
    assert fold(cut).raised == []
