"""What each form of premise and conclusion means, and that nothing else gets through."""

from __future__ import annotations

import contextlib
from collections.abc import Callable
from typing import TypeVar

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from advisor.rulebase.grammar import (
    GrammarError,
    Name,
    Vocabulary,
    parse_amount,
    parse_conclusion,
    parse_premise,
)
from advisor.rulebase.models import Conclusion, Premise

Parsed = TypeVar("Parsed")
GROUPS = {"vegetable": ("veg_bridle", "veg_soft")}
TANNAGES = frozenset({"veg_bridle", "veg_soft", "chrome_milled"})


def name(slug: str, kind: str, unit: str = "", values: str = "", **more: bool) -> Name:
    return Name(slug, kind, unit, frozenset(values.split()), {}, **more)  # type: ignore[arg-type]


WORDS = Vocabulary(
    {
        n.name: n
        for n in (
            name("construction", "choice", "", "turned flat_single moulded"),
            name("for_sale", "yes_no", "", "yes no"),
            name("hardware", "set", "", "none buckle rivet"),
            name("layers", "count", "count"),
            name("strap_width", "quantity", "mm"),
            name("strap_thickness", "quantity", "mm", computed=True),
            name("load_mass", "quantity", "kg"),
            name("heat_temp", "quantity", "degC"),
            name("fold_limit", "quantity", "plain"),
            name("note", "text"),
            Name("disliked", "set", "", TANNAGES, GROUPS),
            Name("tannage", "choice", "", TANNAGES, GROUPS, decision=True),
            Name("tannage_offered", "set", "", TANNAGES, GROUPS, decision=True),
            name("weight", "quantity", "mm", decision=True),
        )
    },
    frozenset({"nickel"}),
    frozenset({"heavy_and_turned"}),
)

# Sentence -> the conditions it stands for: attribute, operator, values, other attribute.
PREMISES = {
    "construction is turned": [("construction", "is", ("turned",), None)],
    "construction  is\n turned": [("construction", "is", ("turned",), None)],
    "construction is not turned": [("construction", "is not", ("turned",), None)],
    "construction is one of turned, moulded": [("construction", "in", ("turned", "moulded"), None)],
    "construction is none of turned, moulded": [
        ("construction", "is not", ("turned",), None),
        ("construction", "is not", ("moulded",), None),
    ],
    "for_sale is yes": [("for_sale", "is", ("yes",), None)],
    "tannage is vegetable": [("tannage", "in", ("veg_bridle", "veg_soft"), None)],
    "tannage is one of vegetable, veg_soft": [("tannage", "in", ("veg_bridle", "veg_soft"), None)],
    "tannage is not vegetable": [
        ("tannage", "is not", ("veg_bridle",), None),
        ("tannage", "is not", ("veg_soft",), None),
    ],
    "tannage_offered includes one of vegetable": [("tannage_offered", "in", ("veg_bridle", "veg_soft"), None)],
    "hardware includes buckle": [("hardware", "is", ("buckle",), None)],
    "hardware includes buckle, rivet": [
        ("hardware", "is", ("buckle",), None),
        ("hardware", "is", ("rivet",), None),
    ],
    "hardware includes one of buckle, rivet": [("hardware", "in", ("buckle", "rivet"), None)],
    "hardware lacks rivet": [("hardware", "lacks", ("rivet",), None)],
    "layers >= 3": [("layers", ">=", (3.0,), None)],
    "layers is 3": [("layers", "is", (3.0,), None)],
    "strap_width < 1 1/2 inch": [("strap_width", "<", (38.1,), None)],
    "strap_width <= 4 cm": [("strap_width", "<=", (40.0,), None)],
    "load_mass > 500 g": [("load_mass", ">", (0.5,), None)],
    "heat_temp >= 60 degC": [("heat_temp", ">=", (60.0,), None)],
    "fold_limit < 0.25": [("fold_limit", "<", (0.25,), None)],
    "weight >= 2.4 mm": [("weight", ">=", (2.4,), None)],
    "weight >= 8 oz_leather": [("weight", ">=", (3.175,), None)],
    "strap_width between 20 mm and 40 mm": [
        ("strap_width", ">=", (20.0,), None),
        ("strap_width", "<=", (40.0,), None),
    ],
    "strap_width > strap_thickness": [("strap_width", ">", (), "strap_thickness")],
    "construction is known": [("construction", "known", (), None)],
    "hardware is unknown": [("hardware", "unknown", (), None)],
    "hardware is answered": [("hardware_answered", "known", (), None)],
    "construction is unanswered": [("construction_answered", "unknown", (), None)],
    "note is a gift, in blue": [("note", "in", ("a gift", "in blue"), None)],
}

# Sentence -> act, target, values, attribute, strength.
CONCLUSIONS = {
    "construction is turned": ("set", "construction", ("turned",), None, 0),
    "strap_width is 38 mm": ("set", "strap_width", (38.0,), None, 0),
    "hardware includes buckle, rivet": ("add", "hardware", ("buckle", "rivet"), None, 0),
    "suppose construction is turned": ("suppose", "construction", ("turned",), None, 0),
    "suppose hardware includes buckle": ("suppose", "hardware", ("buckle",), None, 0),
    "suppose strap_thickness is 3 mm": ("suppose", "strap_thickness", (3.0,), None, 0),
    "exclude tannage vegetable, chrome_milled": (
        "exclude",
        "tannage",
        ("veg_bridle", "veg_soft", "chrome_milled"),
        None,
        0,
    ),
    "exclude tannage those in disliked": ("exclude", "tannage", (), "disliked", 0),
    "require tannage vegetable": ("require", "tannage", ("veg_bridle", "veg_soft"), None, 0),
    "favour tannage veg_soft slightly": ("favour", "tannage", ("veg_soft",), None, 1),
    "favour tannage vegetable clearly": ("favour", "tannage", ("veg_bridle", "veg_soft"), None, 2),
    "disfavour tannage those in disliked strongly": ("disfavour", "tannage", (), "disliked", 3),
    "weight at least 2.0 mm": ("at least", "weight", (2.0,), None, 0),
    "weight at most 4 mm": ("at most", "weight", (4.0,), None, 0),
    "weight at least strap_thickness": ("at least", "weight", (), "strap_thickness", 0),
    "caution nickel": ("caution", "nickel", (), None, 0),
    "outcome another_material": ("outcome", "another_material", (), None, 0),
    "outcome undecided": ("outcome", "undecided", (), None, 0),
    "clash heavy_and_turned": ("clash", "heavy_and_turned", (), None, 0),
}


@pytest.mark.parametrize("text", PREMISES)
def test_premise(text: str) -> None:
    flat = " ".join(text.split())
    assert list(parse_premise(text, WORDS)) == [Premise(*p, flat) for p in PREMISES[text]]  # type: ignore[arg-type]


@pytest.mark.parametrize("text", CONCLUSIONS)
def test_conclusion(text: str) -> None:
    expected = Conclusion(*CONCLUSIONS[text], text)  # type: ignore[arg-type]
    found = parse_conclusion(text, WORDS)
    assert (found.act, found.target, found.values, found.attribute, found.strength, found.text) == (
        expected.act,
        expected.target,
        expected.values,
        expected.attribute,
        expected.strength,
        expected.text,
    )
    assert found.because is None


def test_a_reason_keeps_its_own_because() -> None:
    assert parse_conclusion("favour tannage veg_soft clearly", WORDS, "It folds.").because == "It folds."


PARTS = st.sampled_from(
    [
        *WORDS.names,
        *TANNAGES,
        "vegetable",
        "turned",
        "buckle",
        "yes",
        "is",
        "is not",
        "is one of",
        "is none of",
        "includes",
        "includes one of",
        "lacks",
        "between",
        "and",
        "<",
        "<=",
        ">",
        ">=",
        "known",
        "unknown",
        "suppose",
        "exclude",
        "require",
        "favour",
        "disfavour",
        "slightly",
        "clearly",
        "strongly",
        "those in",
        "at least",
        "at most",
        "caution",
        "outcome",
        "clash",
        "nickel",
        "refuse",
        "38 mm",
        "3",
        "1/0 inch",
        "1,200 mm",
        "2 kg",
        "5 oz",
        "8 oz_leather",
        "-4 mm",
        "300 degF",
        "9" * 400 + " mm",
        "1 kg\N{LATIN SMALL LETTER LONG S}",
        ",",
        "\N{NO-BREAK SPACE}",
        "\N{ARABIC-INDIC DIGIT THREE}",
        "nan",
        "inf",
        "",
    ]
)
SENTENCES = st.one_of(st.text(), st.lists(PARTS, max_size=8).map(" ".join))


def outcome_of(parse: Callable[[str, Vocabulary], Parsed], text: str) -> tuple[Parsed | None, str]:
    try:
        return parse(text, WORDS), ""
    except GrammarError as error:
        return None, str(error)


@given(SENTENCES)
@example("heat_temp >= " + "9" * 5000 + " degC")
@example("load_mass >= 1 kg\N{LATIN SMALL LETTER LONG S}")
@example("strap_width >= 1/" + "9" * 5000 + " inch")
@example("fold_limit > nan")
@example("layers > \N{SUPERSCRIPT TWO}")
def test_any_text_is_a_premise_or_a_grammar_error(text: str) -> None:
    found, said = outcome_of(parse_premise, text)
    if found is None:
        assert said.endswith((".", '"'))
        return
    assert found
    assert all(p.attribute.removesuffix("_answered") in WORDS.names and p.text == " ".join(text.split()) for p in found)
    assert all(v == v for p in found for v in p.values), "a number is never nan"


@given(SENTENCES)
@example("weight at least " + "9" * 5000 + " mm")
@example("exclude tannage those in strap_width")
@example("suppose tannage_offered includes veg_soft")
def test_any_text_is_a_conclusion_or_a_grammar_error(text: str) -> None:
    found, said = outcome_of(parse_conclusion, text)
    if found is None:
        assert said.endswith((".", '"'))
        return
    settled = {n for n, w in WORDS.names.items() if w.kind != "set" or not w.decision}
    assert found.target in {*settled, "nickel", "heavy_and_turned", "refuse"}


@given(st.text(), st.sampled_from(["mm", "kg", "N", "MPa", "degC", "day", "dm2", "g/cm**3"]))
def test_an_amount_never_comes_from_a_bare_number(text: str, unit: str) -> None:
    with contextlib.suppress(GrammarError):
        parse_amount(text, unit)
        assert any(c.isalpha() or c in "\"'″′" for c in text)


@pytest.mark.parametrize(
    ("premise", "says"),
    [
        ("construction is glued", 'unknown value of construction "glued". All are flat_single, moulded, turned.'),
        ("construction is tuned", 'The nearest valid word is "turned". All are flat_single, moulded, turned.'),
        ("zzz is known", 'unknown attribute or decision "zzz". They stand in attributes.toml and decisions.toml.'),
        ("strap_with is known", 'unknown attribute or decision "strap_with". The nearest valid word is "strap_width".'),
    ],
)
def test_a_word_that_is_none_is_told_with_those_there_are(premise: str, says: str) -> None:
    with pytest.raises(GrammarError) as caught:
        parse_premise(premise, WORDS)
    assert str(caught.value).endswith(says)
