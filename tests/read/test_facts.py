"""The facts of a sentence beside the thing, over a table of our own, and the data they are read with.

The rows were marked by hand before they were read. The held rows were scored once, when the words were written: the
first batch (78 rows) with precision 0.917 and recall 0.885, the second (40 rows) with 0.906 and 0.817. Then what they
showed was mended by cause, so the floors below only show that nothing gets worse. Facts of the trade are common
practice.
"""

from __future__ import annotations

import shutil
import time
from pathlib import Path

import pytest
from measure_facts import rows, tally
from plain import sampled, with_words

from advisor import load_rulebase
from advisor.errors import RuleBaseError
from advisor.read.lexicon import words_and_marks
from advisor.read.numbers import all_sizes
from advisor.read.reader import read_sentence
from advisor.read.sayings import Book, PhraseError, compiled

BASE = load_rulebase()
RULES = Path(__file__).parents[2] / "rulesets" / "leather"


@pytest.mark.parametrize(("batch", "least_rows"), [(0, 85), (1, 75), (2, 40)])
def test_precision_and_recall_stay_above_their_floors(batch: int, least_rows: int) -> None:
    table = rows(batch)
    score = tally(BASE, table)
    print(f"\nbatch {batch}: {score}")
    assert len(table) >= least_rows
    assert score.right >= 0.97 * score.read, score.wrong
    assert score.right >= 0.93 * score.marked, score.wrong


@pytest.mark.parametrize(
    "say",
    [
        "strap for a black labrador",
        "case for my cream coloured violin",
        "I want to wear the belt with a blue shirt",
        "a beginner's guitar strap",
        "a strap for my mate's banjo",
        "book about carving needs a cover",
        "a gift wrapped wallet",
        "belt, made in Italy leather",
        "a tote, I'm off to Spain",
        "a belt for my 40th birthday",
        "key fob, not like my old green one",
    ],
)
def test_what_is_said_of_something_else_is_no_fact(say: str) -> None:
    assert not {u.attribute for u in read_sentence(BASE, say).understood} - {"item"}


# -- leather at hand


@pytest.mark.parametrize(
    ("say", "kind", "mm"),
    [
        ("I have 3 mm veg, key fob", "vegetable", 3),
        ("I've still got half a hide of upholstery leather for a tote", "chrome", None),
        ("I was given a piece of 2.4 mm oil tan, tool pouch", "oily", 2.4),
        ("belt, would like bridle leather but have only chrome", "chrome", None),
        ("is my leftover chrome ok for a wallet", "chrome", None),
    ],
)
def test_leather_at_hand_is_a_fact_and_an_opinion_is_given_on_it(say: str, kind: str, mm: float | None) -> None:
    reading = read_sentence(BASE, say)
    assert reading.answers["have_tannage"].values == (kind,)
    assert set(reading.proposal.choices["tannage"]) <= set(BASE.decisions["tannage"].candidates)
    if mm is None:
        assert "have_weight" not in reading.answers
    else:
        assert reading.answers["have_weight"].values == (mm,)
        assert reading.proposal.weight is not None
        assert reading.proposal.weight.low == mm


@pytest.mark.parametrize("say", ["I have a bridle leather belt to repair", "I need to buy 2 mm chrome for a tote"])
def test_what_a_thing_is_made_of_or_still_to_be_bought_is_not_at_hand(say: str) -> None:
    assert not {"have_tannage", "have_weight"} & read_sentence(BASE, say).answers.keys()


# -- names that sellers give


def test_real_leather_is_a_label_only_where_a_seller_is_meant() -> None:
    assert "label_text" not in read_sentence(BASE, "a belt of real leather").answers
    reading = read_sentence(BASE, "a belt, the shop sells it as real leather")
    assert reading.answers["label_text"].values == ("genuine_leather",)
    assert "for_sale" not in reading.answers


# -- prices


@pytest.mark.parametrize(
    ("say", "budget"),
    [
        ("wallet, I can spend 40 quid", 40),
        ("a tote for under £60", 60),
        ("a belt, my budget is 30 to 50 euros", 50),
        ("I sell my belts for £60", None),
        ("belt, that hide is £9 a foot", None),
    ],
)
def test_a_price_is_a_budget_only_where_it_is_to_be_spent(say: str, budget: float | None) -> None:
    answers = read_sentence(BASE, say).answers
    assert (answers["budget"].values[0] if "budget" in answers else None) == budget


# -- hints


@pytest.mark.parametrize(
    ("say", "name", "low", "high", "told"),
    [
        # Outside sizes of laptops and the weights of grown dogs, from memory.
        ("laptop sleeve for a 13 inch laptop", "width", 290, 310, "measure this one"),
        ("collar for a labrador", "load_mass", 25, 36, "measure this one"),
        # Waistbands run wider than their labels (common practice): 34 in is 864 mm.
        ("belt for size 34 jeans", "waist", 864, 960, "is a label"),
        ("moccasins, size 42", "foot", 260, 270, "is a label"),
    ],
)
def test_a_usual_size_is_a_hint_and_no_answer(say: str, name: str, low: float, high: float, told: str) -> None:
    reading = read_sentence(BASE, say)
    value, words = reading.hints[name]
    assert low <= float(value) <= high
    assert words in say
    assert name not in reading.answers
    assert any(doubt.code == "hint" and told in doubt.text for doubt in reading.doubts)


def test_a_hint_gives_way_to_what_is_said() -> None:
    reading = read_sentence(BASE, "collar for a labrador of 28 kg")
    assert reading.answers["load_mass"].values == (28,)
    assert not reading.hints
    assert not any(doubt.code == "hint" for doubt in reading.doubts)


# -- phrases as data


def found(phrase: str, text: str, **classes: tuple[str, ...]) -> list[tuple[int, int]]:
    book = Book([compiled(phrase, classes, words_and_marks, ("a", "b"))])
    return [(f.first, f.last) for f in book.find(words_and_marks(text))]


def test_a_phrase_has_alternatives_optional_words_gaps_and_classes() -> None:
    assert found("never (made|done) [any] thing", "I have never done thing") == [(2, 5)]
    assert found("never (made|done) [any] thing", "never made any things") == [(0, 4)]
    assert not found("never (made|done) [any] thing", "never made many things")
    assert found("rash from .. button", "a rash from my old jeans buttons") == [(1, 7)]
    assert not found("rash from .. button", "a rash from grass, and buttons")
    assert not found("rash from .. button", "a rash from one two three four buttons")
    assert found("<metal> rash", "a nickel rash", metal=("nickel", "brass")) == [(1, 3)]


def test_words_that_must_stand_beside_a_phrase_are_none_of_it() -> None:
    book = Book([compiled("blue {(thread|zip)}", {}, words_and_marks, ("a", "b"))])
    (only,) = book.find(words_and_marks("with a blue zip"))
    assert (only.first, only.last, only.gaps, only.needed) == (2, 4, (3,), 2)


@pytest.mark.parametrize("phrase", ["(a", "a)", "[a]", ".. a", "a ..", "<lost> a", "[[[[[[[[a]]]]]]]] b"])
def test_a_phrase_that_cannot_be_compiled_says_why(phrase: str) -> None:
    with pytest.raises(PhraseError):
        compiled(phrase, {}, words_and_marks, ("a", "b"))


@pytest.mark.parametrize(
    ("file", "wrong", "told"),
    sampled(
        [
            ("values.toml", '\n[value.colr]\nred = ["red"]\n', '"colr" is no attribute'),
            ("values.toml", '\n[value.flame_near]\nyess = ["by the fire"]\n', '"yess" is no value'),
            ("values.toml", '\n[value.flame_near]\nyes = ["by the (fire"]\n', "is not closed"),
            (
                "sizes.toml",
                '\n[[usual]]\nname = "x"\nwords = ["x"]\nthings = ["lost"]\nsizes = { width = "3 mm" }\n',
                '"lost" is no item',
            ),
            ("sizes.toml", '\n[[label]]\nattribute = "waist"\nsays = "x"\nvalues = { "3" = "9 kg" }\n', "waist"),
        ],
        3,
    ),
)
def test_a_mistake_in_the_words_is_told_with_its_file(tmp_path: Path, file: str, wrong: str, told: str) -> None:
    folder = tmp_path / "rules"
    shutil.copytree(RULES, folder)
    path = folder / "words" / file
    path.write_text(path.read_text(encoding="utf-8") + wrong, encoding="utf-8")
    with pytest.raises(RuleBaseError) as caught:
        read_sentence(with_words(folder), "a belt for size 34 jeans")
    assert f"words/{file}" in str(caught.value)
    assert told in str(caught.value)


def test_looking_for_all_phrases_costs_little() -> None:
    say = "I want a dog collar for a spaniel who swims every day, black, hand sewn, with a brass buckle and no nickel"
    read_sentence(BASE, say)
    taken = []
    for _ in range(30):
        all_sizes.cache_clear()
        start = time.process_time()
        read_sentence(BASE, say)
        taken.append((time.process_time() - start) * 1000)
    assert min(taken) < 15
