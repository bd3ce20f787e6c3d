"""Dangers in ordinary words, before any thing is recognised. What hurts whom is common practice of the trade.

The sentences of ``dangers.toml`` are in four lots; ``tuned`` could be looked at while the words were written, each
other was scored once before anything was mended for it. First runs, dangers met and harmless sentences alarmed:

- ``held``: 183 of 190, 4 of 125. Too kind: one hand wrote these and, right after, the words;
- the kept sentences of tests/talk, by other hands: 103 of 129 dangers;
- ``second``: 23 of 57, 0 of 60, with the words of that day; then many more words were added;
- ``third``: 44 of 57 (48 raised a danger of another name or the right one), 1 of 60;
- ``dangers_prose.toml`` ``held``, long messages: 16 of 29 dangers met and 32 of 76 harmless alarmed by the words
  before; 23 of 29 and 7 of 76 at the first run of the words mended for ``tuned``. One hand wrote both halves and the
  words, so that this is too kind as well; the first batch by strangers gave 10 of 21 and 16 of 39.

- ``dangers_prose.toml`` ``told_first``: 27 of 40 dangers met and 8 of 60 harmless alarmed by the words before;
  ``told_last``: 19 of 30 met and 6 of 40 alarmed at the first run of the words mended for ``told_first``.

So strangers' words are met less often than the kept ones, and the line of limits on what may bear stays needed. The
goal for what is kept is 90 % met and under 5 % alarmed.
"""

from __future__ import annotations

import shutil
import time
import tomllib
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from plain import with_words

from advisor import load_rulebase
from advisor.errors import RuleBaseError
from advisor.read.danger import DANGERS, Raised, check_dangers, dangers_of
from advisor.read.numbers import all_sizes

BASE = load_rulebase()
RULES = Path(__file__).parents[2] / "rulesets" / "leather"
TABLE: dict[str, Any] = tomllib.loads((Path(__file__).parent / "dangers.toml").read_text(encoding="utf-8"))
PROSE: dict[str, Any] = tomllib.loads((Path(__file__).parent / "dangers_prose.toml").read_text(encoding="utf-8"))
LOTS = ("tuned", "held", "second", "third")
MARKED = [(concept, text) for concept, t in TABLE["danger"].items() for lot in LOTS for text in t[lot]]
HARMLESS = [text for lot in LOTS for text in TABLE["harmless"][lot]]


def alarms(text: str, may_bear: bool | None = None, unread_modifier: str = "") -> dict[str, Raised]:
    """What is asked or said outright, by concept."""
    found = dangers_of(BASE, text, may_bear, unread_modifier)
    return {r.concept: r for r in found if r.state != "ruled_out"}


def test_every_concept_has_its_sentences() -> None:
    named = {name for sentence in PROSE["danger"] for name in sentence["concepts"]}
    assert TABLE["danger"].keys() | named == BASE.attributes["raised"].values.keys()
    assert {tuple(len(t[lot]) for lot in LOTS) for t in TABLE["danger"].values()} == {(10, 10, 3, 3)}
    assert [len(TABLE["harmless"][lot]) for lot in LOTS] == [125, 125, 60, 60]
    assert len({text for _, text in MARKED} | set(HARMLESS)) == len(MARKED) + len(HARMLESS)


@pytest.mark.parametrize("concept", TABLE["danger"])
def test_dangers_are_met_in_ordinary_words(concept: str) -> None:
    missed = [text for lot in LOTS for text in TABLE["danger"][concept][lot] if concept not in alarms(text)]
    assert len(missed) <= 2, missed


@pytest.mark.parametrize("lot", LOTS)
def test_harmless_sentences_are_left_alone(lot: str) -> None:
    texts = TABLE["harmless"][lot]
    alarmed = {text: sorted(found) for text in texts if (found := alarms(text))}
    print(f"{lot}: {len(alarmed)} of {len(texts)} harmless sentences alarmed")
    assert len(alarmed) < 0.05 * len(texts), alarmed


@pytest.mark.parametrize("concept", TABLE["danger"])
def test_the_words_stand_where_they_are_said_to_and_nothing_around_hides_them(concept: str) -> None:
    for text in (text for of, text in MARKED if of == concept):
        plain = dangers_of(BASE, text)
        assert all(text[r.start : r.end] == r.words != "" for r in plain), text
        around = alarms(f"Hello. {text}. Thanks.")
        assert {r.concept for r in plain if r.state != "ruled_out"} <= around.keys(), text


def test_a_danger_is_met_in_a_long_message_too() -> None:
    missed = [
        text
        for concept, text in MARKED
        if concept
        not in alarms(
            "Good morning. I have a question about price and I am in no hurry at all, so take your time. "
            f"{text}. Thanks a lot, and the colour is up to you, really."
        )
    ]
    assert len(missed) < 0.05 * len(MARKED), missed


# -- long chatty messages: dangers said in passing, and the same words told of something else


@pytest.mark.parametrize(("lot", "least"), [("tuned", 75), ("held", 75), ("told_first", 60), ("told_last", 40)])
def test_harmless_messages_are_left_alone(lot: str, least: int) -> None:
    texts = PROSE["harmless"][lot]
    alarmed = {text: sorted(found) for text in texts if (found := alarms(text))}
    assert len(texts) >= least
    assert len(alarmed) < 0.05 * len(texts), alarmed


@pytest.mark.parametrize(("lot", "least"), [("tuned", 29), ("held", 29), ("told_first", 40), ("told_last", 30)])
def test_dangers_are_met_in_messages(lot: str, least: int) -> None:
    lines = [line for line in PROSE["danger"] if line["lot"] == lot]
    missed = [line["text"] for line in lines if alarms(line["text"]).keys().isdisjoint(line["concepts"])]
    assert len(lines) >= least
    assert len(missed) <= 0.1 * len(lines), missed


@pytest.mark.parametrize(
    ("text", "concept"),
    [
        ("a spectacles case, not like the last one I made, which he sat on", "person_weight"),
        ("a short strap from a gallon drum", "riding"),
        ("plastic one the sun ate, so leather this time, a tray", "food"),
        ("a strip for welts, drk brn, billhook sheaths", "allergy"),
        ("a tray, same batch as March, for the chap with half chaps", "protection"),
        ("dark calf clasp straps for a bible", "animal_hold"),
    ],
)
def test_a_word_that_only_sounds_like_it_raises_nothing(text: str, concept: str) -> None:
    assert concept not in {r.concept for r in dangers_of(BASE, text)}


@pytest.mark.parametrize(
    ("text", "concept"),
    [
        ("I glue my belts with contact cement in the old caravan, door shut", "fumes"),
        ("a case, he always sat on the strap of the old one, and he sits on it", "person_weight"),
        ("moccasins for Gran, smooth soles, her flagstones are always wet", "falls"),
        ("new ties for a cork jacket off the jetty", "protection"),
        ("bits of thong for the rabbit to gnaw", "mouth"),
        ("a thong across the cot with felt ducks on", "neck"),
    ],
)
def test_a_danger_that_the_first_strangers_named_is_met(text: str, concept: str) -> None:
    assert concept in alarms(text)


@pytest.mark.parametrize(
    ("text", "concept"),
    [
        ("leather to guard the rope where it runs over the cliff, 10 mm", "person_weight"),
        ("knee straps for a whitewater kayak so I do not come out of it", "restraint"),
        ("lap belts for my raft, brass buckles", "restraint"),
        ("I ride behind my mate to Spain and want a jacket, lamb", "protection"),
        ("my fingers crack and bleed, gloves for the night please", "fragile_skin"),
        ("my heels split open each winter, soft insoles", "fragile_skin"),
        ("his stump catches on the socket, a soft liner between", "fragile_skin"),
        ("a pad under the saddle, my gelding has a gall on his withers", "fragile_skin"),
        ("she tosses her head, the pony, want a softer browband", "fragile_skin"),
        ("lasering coasters in our spare room, any leather", "fumes"),
        ("engraving with a diode, 40 key fobs, whatever offcuts you have", "fumes"),
        ("new seat belts for a 1958 car, tan", "vehicle"),
        ("a mat for the shower, teak colour", "falls"),
        ("cushion for the nursery, washed at 60 degrees with the towels", "hot_wash"),
        ("bunting for over the crib, blue", "small_child"),
    ],
)
def test_a_situation_alone_raises_its_danger(text: str, concept: str) -> None:
    assert concept in {d.concept for d in dangers_of(BASE, text) if d.state != "ruled_out"}


@pytest.mark.parametrize(
    "text",
    [
        "a belt with a thigh holster for a costume, just for show",
        "a jacket that I wear when I sit behind my desk",
        "the seam split and the strap cracked on my old bag, want a new tote",
        "a case for my kayak log book with a strap, brown",
        "my hands are small, a wallet please",
        "key fob with a laser engraved logo done by your shop",
        "the axe chews the wood and it chews the handle, want a collar under the head",
        "no scars please, veg shoulder, 2 mm",
        "crisp black leather for a bow tie",
        "a strap for my bag and stamp my initials on it",
        "a bag full of straps to be sorted, need a tote",
        "forearm guards only for show at the village play",
        "my feet swell in the heat so wide sandals please",
        "does tan go blotchy when wet, want a wallet",
    ],
)
def test_words_that_belong_to_other_nouns_alarm_nobody(text: str) -> None:
    assert not [d for d in dangers_of(BASE, text) if d.state != "ruled_out"]


def test_that_nobody_wears_a_heavy_one_denies_no_danger() -> None:
    found = dangers_of(BASE, "vests under the shirt for doormen, the tag says turns a blade, no one will wear a plank")
    assert any(d.concept == "protection" and d.state != "ruled_out" for d in found)


def test_a_plain_adjective_beside_the_thing_asks_nothing() -> None:
    assert "person_weight" not in alarms("Short strap, brass clip", unread_modifier="Short")


# -- things beyond a harm, and what is only told of something else


@pytest.mark.parametrize(
    ("text", "concept", "raised"),
    [
        ("a bookmark for my husband, who hangs off a roof all day", "person_weight", False),
        ("a bookmark and a belt for my husband, who hangs off a roof all day", "person_weight", True),
        ("an apron for welding, with a slot at the chest where my notebook goes", "heat", True),
        ("a bookmark for my baby to chew", "mouth", True),
        ("a log carrier with two handles, like a hammock", "person_weight", False),
        ("something like a hammock for the porch", "person_weight", True),
        ("a belt of 38 mm, and he has a van", "person_weight", False),
        ("cuffs of soft hide, it is my husband's shirt, and I drive a lorry", "vehicle", False),
        ("a rope for my billy goat, which spends the day on the verge", "animal_hold", True),
        ("soft rope for a bag, my billy goat looked on", "animal_hold", False),
        ("a sleeve for a hot mug", "protection", False),
        ("a sleeve for my arm, I was mugged last year", "protection", True),
        ("boots for the forge", "protection", True),
        ("a biker vest that saves my skin if I come off", "protection", True),
    ],
)
def test_small_goods_comparisons_and_other_clauses_raise_nothing(text: str, concept: str, raised: bool) -> None:
    assert (concept in alarms(text)) is raised


def test_what_is_told_beside_the_thing_takes_nothing_away() -> None:
    text = "notebook in hand, I weld all day: an apron"
    assert "heat" not in alarms(text)
    start = text.index("apron")
    assert "heat" in {r.concept for r in dangers_of(BASE, text, asked=(start, start + len("apron")))}


def test_a_word_is_unknown_beside_what_may_bear_alone() -> None:
    assert "person_weight" in alarms("zyx belt", unread_modifier="zyx")
    assert "person_weight" not in alarms("a belt for the man who always asks about zyx", unread_modifier="zyx")
    assert "person_weight" not in alarms("forearm cuffs", unread_modifier="forearm")


# -- what is said outright, and what is denied

SAID = {
    ("a strap to pull myself up with, it must take my whole weight", "person_weight", "yes"),
    ("belt, my brother comes up in lumps from jeans buttons", "allergy", "nickel"),
    ("nickel allergy, watch strap", "allergy", "nickel"),
    ("she gets hives from latex and chrome, gloves", "allergy", "rubber_latex"),
    ("soft shoes for a newborn", "small_child", "child_under3"),
    ("wallet for my son, who is two", "small_child", "child_under3"),
    ("shoes for a 14-month-old", "small_child", "child_under3"),
    ("a ring to chew on", "mouth", "yes"),
    ("a vest to turn a knife", "protection", "yes"),
}


@pytest.mark.parametrize(("text", "concept", "value"), sorted(SAID))
def test_what_is_said_outright_applies(text: str, concept: str, value: str) -> None:
    assert ("applies", value) in [(r.state, r.value) for r in dangers_of(BASE, text) if r.concept == concept]


def test_several_values_are_all_told() -> None:
    found = dangers_of(BASE, "allergic to nickel and allergic to chrome")
    assert {r.value for r in found if r.concept == "allergy"} == {"nickel", "chromium"}


DENIED = {
    "a cushion strap, nobody sits on it": ("person_weight", "no", "nobody sits on"),
    "a strap for the wall, not load bearing": ("person_weight", "no", "not load bearing"),
    "not for climbing, just a belt": ("person_weight", "no", "not for climbing"),
    "body harness for a costume, nobody hangs from it": ("person_weight", "no", "nobody hangs from"),
    "watch strap, not allergic to anything": ("allergy", "none", "not allergic"),
    "a ring, not for a baby": ("small_child", "adult", "not for a baby"),
}


@pytest.mark.parametrize(("text", "told"), DENIED.items())
def test_a_denial_is_said_back(text: str, told: tuple[str, str, str]) -> None:
    concept, value, words = told
    assert [(r.state, r.value, r.words) for r in dangers_of(BASE, text) if r.concept == concept] == [
        ("ruled_out", value, words)
    ]


@pytest.mark.parametrize(
    ("text", "concept"),
    [
        ("nobody but my son sits on it, a sling seat", "person_weight"),
        ("a strap that must not snap when it holds me", "person_weight"),
        ("no idea if it must hold a person, a strap", "person_weight"),
        ("harness that will not let me fall", "person_weight"),
        ("nobody hangs from it, but I clip my harness to it on the roof", "person_weight"),
        ("I don't want to get a rash, belt", "allergy"),
        ("bracelet that doesn't make my wrist go red", "allergy"),
        ("a strap so he doesn't chew it", "mouth"),
        ("something to hang on a beam and swing from, my lads love it", "person_weight"),
        ("tooled reins for a horse", "riding"),
        ("a strap to rescue a man from a well", "person_weight"),
    ],
)
def test_a_wish_an_exception_or_a_figure_of_speech_takes_no_danger_away(text: str, concept: str) -> None:
    assert concept in alarms(text)


# -- what may bear, and what nobody understood


@pytest.mark.parametrize(
    "text",
    ["my 15 stone husband, a belt", "belt for a lad of 80 kg", "80kg lad, strap", "it must hold ninety kilos, a loop"],
)
def test_a_persons_mass_on_what_may_bear_is_asked_about(text: str) -> None:
    assert alarms(text)["person_weight"].state == "open"


@pytest.mark.parametrize("text", ["lead for a 45 kg dog", "dog lead, dog weighs 12 stone", "2.5 kg of books, a strap"])
def test_the_mass_of_an_animal_or_of_goods_is_not_a_persons(text: str) -> None:
    assert "person_weight" not in alarms(text)


def test_the_thing_taken_says_whether_it_may_bear() -> None:
    text = "card case for my 15 stone husband"
    assert "person_weight" not in alarms(text)
    assert "person_weight" not in alarms(text, may_bear=False)
    assert "person_weight" in alarms(text, may_bear=True)


def test_a_word_that_nobody_understood_asks_on_what_may_bear() -> None:
    found = alarms("rigger's belt, 38 mm", unread_modifier="rigger's")["person_weight"]
    assert (found.words, found.start, found.end, found.state) == ("rigger's", 0, 8, "open")
    assert "person_weight" not in alarms("rigger's belt, 38 mm")
    assert "person_weight" not in alarms("rigger's wallet", may_bear=False, unread_modifier="rigger's")


# -- slips, ages


@pytest.mark.parametrize(
    ("text", "concept"),
    [
        ("climbng harnes", "person_weight"),
        ("alergic to chromum, watch strap", "allergy"),
        ("stearing wheel", "vehicle"),
    ],
)
def test_a_slip_of_spelling_hides_no_danger(text: str, concept: str) -> None:
    assert concept in alarms(text)


@pytest.mark.parametrize(
    "text",
    [
        "my son is 30, a wallet",
        "my kids are grown up, a wallet",
        "collar for my 2 year old dog",
        "a belt older than 2 years",
    ],
)
def test_who_is_older_or_no_child_is_no_small_child(text: str) -> None:
    assert "small_child" not in alarms(text)


# -- any text, and its time


@settings(deadline=None, max_examples=150)
@given(st.text(max_size=300), st.sampled_from([None, True, False]), st.text(max_size=10))
def test_no_text_raises(text: str, may_bear: bool | None, beside: str) -> None:
    for found in dangers_of(BASE, text, may_bear, beside):
        assert 0 <= found.start <= found.end <= len(text)


def test_a_sentence_of_sixty_words_takes_five_milliseconds_at_most() -> None:
    text = " ".join(t for _, t in MARKED[::19])
    text = " ".join(text.split()[:60])
    dangers_of(BASE, text)
    best = 1.0
    for _ in range(30):
        all_sizes.cache_clear()
        began = time.process_time()
        dangers_of(BASE, text)
        best = min(best, time.process_time() - began)
    assert best < 0.005


# -- the data


def test_the_words_of_the_rule_base_are_whole() -> None:
    assert check_dangers(BASE) == []


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ('attribute = "bears_person"', 'attribute = "bears_nobody"', "is no attribute"),
        ('rules_out = "adult"', 'rules_out = "grown"', "is no value of user_kind"),
        ("[concept.aircraft]", "[concept.airship]", '"aircraft" of the attribute raised has no words'),
        ("[concept.aircraft]", "[concept.airship]", '"airship" is no value of the attribute raised'),
        ('"bodyweight"', '"upside @nowhere"', "@nowhere is no class"),
        ('"bodyweight"', '"upside down?"', "must begin and end"),
        ('"bodyweight"', '"..3 down"', "must begin and end"),
        ('"bodyweight"', '""', "must begin and end"),
        ('"bodyweight"', '"#tall man"', "is no number"),
        ('"bodyweight"', '"trapeze", "bodyweight"', "stands there twice"),
        ('bearing = "bearing"', 'bearing = "bears"', "@bears is no class"),
    ],
)
def test_the_linter_finds_what_is_wrong(tmp_path: Path, old: str, new: str, says: str) -> None:
    shutil.copytree(RULES, tmp_path / "rules")
    file = tmp_path / "rules" / DANGERS
    text = file.read_text(encoding="utf-8")
    assert old in text
    file.write_text(text.replace(old, new, 1), encoding="utf-8")
    found = check_dangers(with_words(tmp_path / "rules"))
    assert any(says in f.what and f.severity == "error" for f in found), found


def test_a_pattern_that_can_never_be_found_stops_the_reading(tmp_path: Path) -> None:
    shutil.copytree(RULES, tmp_path / "rules")
    file = tmp_path / "rules" / DANGERS
    text = file.read_text(encoding="utf-8").replace('"bodyweight"', '"upside @nowhere"')
    file.write_text(text, encoding="utf-8")
    with pytest.raises(RuleBaseError, match="@nowhere is no class"):
        dangers_of(with_words(tmp_path / "rules"), "hang upside down")


def test_a_rule_base_without_the_file_knows_no_dangers(tmp_path: Path) -> None:
    shutil.copytree(RULES, tmp_path / "rules")
    (tmp_path / "rules" / DANGERS).unlink()
    base = with_words(tmp_path / "rules")
    assert dangers_of(base, "hang upside down") == ()
    assert [f.severity for f in check_dangers(base)] == ["error"]
