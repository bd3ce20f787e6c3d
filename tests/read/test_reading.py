"""Sentences into facts: a table of them, and what must hold for any text at all."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from measure_reading import OF_A_KIND, expected_facts, facts_of, read, read_dangers, table, thing_is_right, thing_said
from plain import sampled

from advisor import AnswerError, consult, load_rulebase
from advisor.errors import UsageError
from advisor.read.danger import RAISED
from advisor.read.purposes import purposes
from advisor.read.reader import MAX_TEXT, Reading, read_assignments, read_sentence
from advisor.reasoning.review import LABEL

BASE = load_rulebase()
TABLE = table("sentences.toml")
VALUES = [v for a in BASE.attributes.values() for v in a.values.values()]
WORDS = [w for v in VALUES for w in v.words] + [c for a in BASE.attributes.values() for c in a.cues]
GLUE = """no|not|maybe|or|and|,|.|38 mm|92 cm|30 kg|1 1/2 in|5'6"|two|a dozen|36 x 38 x 12 cm|3-4 oz|2 year old|my kid
hold me|-|½|1,200 mm|1/0|half a metre|free|first|more than|between 3 and 4 kg|-5 mm"""
PARTS = 8
"""Into so many parts the words of the vocabulary go; the first is the ordinary run's."""
PIECES = sorted(WORDS) + GLUE.replace("\n", "|").split("|")


def facts(reading: Reading) -> dict[str, Any]:
    """What was read, but what is raised and what a kind of leather comes to."""
    answers = {k: a.values for k, a in reading.answers.items() if k not in OF_A_KIND | {RAISED}}
    return {k: list(values) if len(values) > 1 else values[0] for k, values in answers.items()}


def denied(reading: Reading) -> set[str]:
    """The attributes answered by a denial, which is said back as a doubt."""
    return {d.attribute for d in reading.dangers if d.state == "ruled_out"}


@pytest.mark.parametrize(
    "row",
    [
        pytest.param(row, id=row["say"][:40], marks=[pytest.mark.xfail(reason=row["fault"])] if "fault" in row else [])
        for row in TABLE
    ],
)
def test_the_table_holds_exactly(row: dict[str, Any]) -> None:
    reading = read(row["say"])
    assert facts(reading) == row["facts"]
    assert thing_is_right(row, reading), thing_said(reading)
    assert read_dangers(reading) == set(row.get("danger", ()))
    assert len(reading.doubts) == row.get("doubts", 0), reading.doubts
    assert list(reading.unread) == row.get("unread", [])
    assert facts_of(reading) == expected_facts(row)
    assert all(a.origin == "read" and a.state == "known" for a in reading.answers.values())
    understood = {u.attribute for u in reading.understood if not u.value} - OF_A_KIND
    assert understood | denied(reading) == set(row["facts"]) | denied(reading)


def test_the_table_is_large_and_says_nothing_twice() -> None:
    assert len({row["say"] for row in TABLE}) == len(TABLE) >= 120


def test_a_known_item_settles_what_wide_means() -> None:
    assert facts(read_sentence(BASE, "38 mm wide", "trouser_belt")) == {"strap_width": 38.0}
    assert facts(read_sentence(BASE, "36 cm wide", "tote_plain")) == {"width": 360.0}
    assert facts(read_sentence(BASE, "30 mm wide", "knife_sheath")) == {"blade_width": 30.0}
    assert facts(read_sentence(BASE, "38 mm wide")) == {"width": 38.0}


def test_what_was_understood_is_shown_with_its_words() -> None:
    reading = read_sentence(BASE, "cardholdr, 10 cm wide")
    assert [(u.words, u.text) for u in reading.understood] == [
        ("cardholdr", "item card holder, spelling corrected"),
        ("10 cm wide", "width 100 mm"),
    ]


@pytest.mark.parametrize(
    "say",
    [
        "a strap to haul myself up a tree",
        "strap that must hold a person",
        "belt to climb trees with",
        "a swing for my kid",
        "harness to hold me while I work on the roof",
        "a sling to carry my baby",
        "a strap for aerial silks",
        "toddler reins",
        "a strap that must not snap when it holds me",
        "belt must never break under my weight",
        "seat belt for my car",
        "harness that will not let me fall",
        "handle to lift my wife",
        "a belt I can dangle from",
        "perhaps a climbing harness",
        "no idea if it must hold a person, a strap",
        "I want to lower myself from a balcony",
        "my son wants to hang from it",
        "strap to lift an engine overhead",
        "climbng harness",
        "maybe a rope swing",
        "tote that my child can swing from",
    ],
)
def test_a_person_on_leather_is_never_missed(say: str) -> None:
    reading = read_sentence(BASE, say)
    told = consult(BASE, dict(reading.answers)).outcome
    assert told in ("refuse", "defer", None)
    if told is None:
        asked = [d for d in reading.dangers if d.state == "open"]
        stops = [
            consult(BASE, {**reading.answers, d.attribute: "yes"}).outcome
            for d in asked
            if BASE.attributes[d.attribute].kind == "yes_no"
        ]
        assert {"refuse", "defer"} & set(stops)


@pytest.mark.parametrize(
    "say",
    [
        "chalk bag for climbing",
        "bag that holds my child's toys",
        "the bag swings",
        "a swing tag for a handbag",
        "hold my keys",
        "pouch to hold a person's cards",
        "belt that won't hold a person",
        "tote not to climb with",
        "belt for climbing trousers",
        "lead that does not pull me over",
        "a case to carry baby clothes",
        "watch strap for a rock climber",
        "wall hanging",
        "overhead locker bag",
        "strap to tie roses to a climbing frame",
        "dog swings on his leash",
    ],
)
def test_a_person_on_leather_is_never_invented(say: str) -> None:
    answers = read_sentence(BASE, say).answers
    assert not {"load_carrier", "consequence", "bears_person"} & set(answers)
    assert answers.get("item") is None or answers["item"].values[0] not in ("climbing_gear", "swing_seat")


@pytest.mark.parametrize(
    ("say", "kind"),
    [
        ("for my 2 year old", "child_under3"),
        ("for a toddler", "child_under3"),
        ("for my 18 month old", "child_under3"),
        ("for my daughter, aged 3", "child_3_12"),
        ("for a 12 year old boy", "child_3_12"),
        ("for my kid", None),
        ("for my 13 year old", None),
        ("for my 2 year old dog", None),
        ("not for my 2 year old", "adult"),
        ("a 2 year old hide", None),
        ("for my toddler and my 5 year old", "child_under3"),
    ],
)
def test_children_have_the_age_that_was_given(say: str, kind: str | None) -> None:
    read = facts(read_sentence(BASE, say)).get("user_kind")
    assert read == kind


@pytest.mark.parametrize("part", sampled(range(PARTS), PARTS))
def test_a_negation_never_becomes_its_opposite(part: int) -> None:
    """Beside it a danger may be said or denied: "not climbing gear" says that it bears nobody."""
    said = {w: (n, v.slug) for n, a in BASE.attributes.items() for v in a.values.values() for w in v.words}
    for word, (name, value) in list(said.items())[part::PARTS]:
        refusing = {"no", "not", "never", "without", "cannot", "can't", "nothing", "than", "instead", "except"}
        plain = not refusing & set(word.split())
        if plain and BASE.attributes[name].ask != "never" and f"not {word.split()[0]}" not in said:
            expected = dict([said[f"not {word}"]]) if f"not {word}" in said else {}
            reading = read_sentence(BASE, f"not {word}")
            aside = {d.attribute for d in reading.dangers if d.attribute != name or d.state == "ruled_out"}
            found = {n: v for n, v in facts(reading).items() if n not in aside or n in expected}
            if name == "wished_species" and found:
                # Not to want a skin is a limit, where the rule base knows one for it.
                assert found.keys() == {"limits"}, word
                assert str(found["limits"]).startswith("no_"), word
            elif found != expected and "limits" not in facts(read_sentence(BASE, f"not {word.split()[0]}")):
                # "Not for sale" and "not get wet" have values of their own; "not crocodile print" may refuse the skin.
                assert found.keys() == {name}, word
                # "It must not give me a rash" is a wish: no "not" takes an allergy away.
                assert name == "allergy" or found[name] not in (value, [value]), word


@pytest.mark.parametrize(
    ("say", "decision"), [("tote for A4 files, chrome", "tannage"), ("knife sheath, veg tan", "tannage")]
)
def test_a_kind_that_is_named_comes_to_what_makers_use_of_it_and_is_told(say: str, decision: str) -> None:
    reading = read_sentence(BASE, say)
    name = purposes(BASE).asked[decision]
    ranked = BASE.items[str(reading.answers["item"].values[0])].ranks[decision]
    assert set(reading.answers[name].values) & ranked
    assert [u.words for u in reading.understood if u.attribute == name]


@pytest.mark.parametrize("say", ["I do not have any chrome, a tote", "we do not own a scrap of veg tan, a belt"])
def test_a_leather_that_is_not_at_home_is_neither_had_nor_refused(say: str) -> None:
    answers = read_sentence(BASE, say).answers
    assert answers["have_tannage"].values == ("none",)
    assert not {"limits", "refused_tannage", "wished_tannage"} & answers.keys()


@pytest.mark.parametrize("part", sampled(range(PARTS), PARTS))
def test_every_word_of_the_vocabulary_is_read_back(part: int) -> None:
    """Each is read as its value, asked about where it means two things, or names a thing of its own ("zip pull")."""
    asked_for = (a for a in BASE.attributes.values() if a.ask != "never")
    words = [(a.name, v.slug, word) for a in asked_for for v in a.values.values() for word in v.words]
    missed = []
    for name, value, word in words[part::PARTS]:
        reading = read_sentence(BASE, _in_a_sentence(name, word))
        read = facts(reading).get(name)
        taken = reading.named.taken
        named = taken is not None and taken.thing.slug not in BASE.items and taken.words == word
        asked = "two_meanings" in {d.code for d in reading.doubts}
        if word != "first" and read != value and read != [value] and not (named or asked):
            missed.append((name, value, word, read))
    assert not missed


def _in_a_sentence(attribute: str, word: str) -> str:
    """A word for a value where it is a fact: a label is read where one is spoken of, "could" needs somebody."""
    if attribute == LABEL:
        return f"the label says {word}"
    return f"somebody {word}" if word.startswith("could ") else word


ANY_TEXT = st.one_of(st.text(max_size=MAX_TEXT), st.lists(st.sampled_from(PIECES), max_size=14).map(" ".join))


@settings(max_examples=50, deadline=None)
@given(ANY_TEXT)
def test_any_text_is_read_calmly(text: str) -> None:
    read_calmly(text)


@pytest.mark.slow
@settings(max_examples=600, deadline=None)
@given(ANY_TEXT)
def test_many_texts_are_read_calmly(text: str) -> None:
    read_calmly(text)


def read_calmly(text: str) -> None:
    reading = read_sentence(BASE, text)
    assert reading == read_sentence(BASE, text)
    assert all(u.words and u.words == text[slice(*u.span)] for u in reading.understood)
    assert all(a.values for a in reading.answers.values())
    told = {u.attribute for u in reading.understood if not u.value}
    assert told <= set(reading.answers)
    assert set(reading.answers) - {RAISED} <= told | denied(reading)
    consult(BASE, dict(reading.answers))


@pytest.mark.parametrize(
    "text",
    [
        "",
        " \n\t ",
        "\0\0\0",
        "\x00\x01\x02belt\xff\x00\x03",
        "�" * 50,
        "🙂" * 500,
        "حزام جلدي 38 מ״מ",
        "9" * 3000,
        "1 " * 1500,
        "no " * 1000,
        "belt " * 2000,
        "1/" * 1500,
        "a" * 10_000,
        "x 1 " * 700,
        "½" * 900,
        "(" * 2500,
        "'" * 2500,
        '12"' * 800,
        "allergic to nickel or " * 100,
        "\ud800",
        "belt\0 and a wide strap 38 mm wide, waist 92 cm, carved",
        "٣٨ mm wide belt",
        "and " * 600,
    ],
)
def test_rubbish_is_named_and_never_fatal(text: str) -> None:
    reading = read_sentence(BASE, text)
    assert not any("\0" in part for part in (*reading.unread, *(d.text for d in reading.doubts)))
    if len(text) > MAX_TEXT:
        assert "too_long" in {d.code for d in reading.doubts}


def test_binary_rubbish_gives_nothing_but_its_name() -> None:
    reading = read_sentence(BASE, "\x00\x01belt\x02\x03")
    assert not reading.answers
    assert reading.unread == ("'\\x00\\x01belt\\x02\\x03'",)
    assert reading.doubts[0].code == "no_writing"


def test_assignments_are_checked_like_answers() -> None:
    answers = read_assignments(
        BASE, ["strap_width=38 mm", "waist = 36 in", "decoration=carve, dye", "load-mass=don't know"]
    )
    assert answers["strap_width"].values == (38.0,)
    assert answers["waist"].values == (914.4,)
    assert answers["decoration"].values == ("carve", "dye")
    assert answers["load_mass"].state == "don't know"
    assert {a.origin for a in answers.values()} == {"answered"}


@pytest.mark.parametrize(
    ("text", "error", "names"),
    [
        ("strap_width 38 mm", UsageError, "strap_width"),
        ("=38", UsageError, "assignment"),
        ("waist=", UsageError, "waist"),
        ("strap_widht=38 mm", AnswerError, "strap_width"),
        ("waist=9000 mm", AnswerError, "300 mm to 2000 mm"),
        ("item=spaceship", AnswerError, "item"),
        ("waist=5 kg", AnswerError, "mm"),
    ],
)
def test_assignments_say_what_is_wrong(text: str, error: type[Exception], names: str) -> None:
    with pytest.raises(error, match=names):
        read_assignments(BASE, [text])


@pytest.mark.parametrize(
    "say", ["spelling", "caring", "structure", "I lacked time", "it was tuned", "a slash", "dying to start"]
)
def test_a_word_of_its_own_is_no_slip(say: str) -> None:
    assert not read_sentence(BASE, say).answers


def test_the_same_assignment_twice_is_refused() -> None:
    with pytest.raises(AnswerError, match="twice"):
        read_assignments(BASE, ["waist=90 cm", "waist=92 cm"])


def test_a_size_nobody_can_place_is_answered_with_how_to_say_it() -> None:
    reading = read_sentence(BASE, "tote, 15 inch")
    assert '"15 inch" was not taken' in reading.doubts[0].text
    example = reading.doubts[0].text.split('"')[3]
    again = read_sentence(BASE, f"tote, {example}")
    assert set(again.answers) > {"item"}
    assert not again.doubts


@pytest.mark.parametrize(
    "say",
    [
        "tool belt loaded with 1.5 mm - 1/2 oz",
        "dog lead for a dog of 1/2ft-10oz",
        "38 kg x 1oz dog",
        "bag that carries 1.5in or 1.5 oz",
    ],
)
def test_two_kinds_of_measure_in_one_size_are_not_taken(say: str) -> None:
    reading = read_sentence(BASE, say)
    assert "load_mass" not in {*reading.answers, *reading.ranges}
    assert reading.doubts
