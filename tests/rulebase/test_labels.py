"""What a seller's words are worth: the published definitions and limits, asked of a whole consultation.

Each test names its source and how well it is known: "read" is the text itself, "read in quotation" a text that
reproduces it, "remembered" neither. Both sides of every limit are tried.
"""

from __future__ import annotations

import pytest
from plain import plain_advice

from advisor import Advice, consult
from advisor.read.reader import read_sentence
from advisor.rulebase.models import OUTCOMES, RuleBase

SOLD = {"for_sale": "sale", "market": "eu"}


def applied(advice: Advice) -> set[str]:
    return {c.id for c in advice.cautions_told if c.status == "applies"}


def fired(advice: Advice) -> set[str]:
    return {step.rule for step in advice.trace}


def excluded_grain(advice: Advice) -> set[str]:
    return set(advice.decisions.grain.excluded)


# -- names and films


@pytest.mark.parametrize(
    ("coating", "name", "caution"),
    [
        ("0.10 mm", "leather", None),
        ("0.15 mm", "leather", None),
        ("0.151 mm", "coated_leather", "coated_has_its_name"),
        ("0.20 mm", "coated_leather", "coated_has_its_name"),
        ("0.40 mm", "coated_leather", "coated_has_its_name"),
        ("0.401 mm", "not_leather_by_name", "film_loses_the_name"),
        ("0.45 mm", "not_leather_by_name", "film_loses_the_name"),
    ],
)
def test_a_film_decides_the_name(rulebase: RuleBase, coating: str, name: str, caution: str | None) -> None:
    """Directive 94/11/EC Annex I a) i)-ii), read; EN 15987, read in quotation; above a third, in a trade text only."""
    advice = consult(rulebase, {"item": "tote_plain", "coating": coating, "total_thickness": "1.20 mm"})
    fact = advice.facts["coating_class"]
    assert fact.value == name
    assert fact.formula is not None
    assert "1.2 mm" in fact.formula
    names = {"coated_has_its_name", "film_loses_the_name"} & applied(advice)
    assert names == ({caution} if caution else set())
    assert ("full_grain" in excluded_grain(advice)) == (caution is not None)


def test_only_coated_leather_is_sold_with_a_condition(rulebase: RuleBase) -> None:
    """EN 15987, read in quotation: the bare word leather ends at 0.15 mm."""
    by_film = {
        film: consult(
            rulebase,
            {"item": "tote_plain", "for_sale": "sale", "market": "eu", "coating": film, "total_thickness": "1.2 mm"},
        )
        for film in ("0.15 mm", "0.16 mm")
    }
    rule = "coated-leather-is-sold-as-coated"
    assert rule not in fired(by_film["0.15 mm"])
    assert rule in {r.rule for r in by_film["0.16 mm"].outcome_reasons}


@pytest.mark.parametrize("done", ["buffed grain", "snuffed grain", None])
def test_full_grain_is_a_grain_that_was_only_dehaired(rulebase: RuleBase, done: str | None) -> None:
    """Directive 94/11/EC Annex I a) i), read: nothing removed by buffing, snuffing or splitting."""
    label = ["full grain", *([done] if done else [])]
    advice = consult(rulebase, {"item": "tote_plain", "label_text": label})
    assert ("full_grain" in excluded_grain(advice)) == (done is not None)
    assert ("words_contradict" in applied(advice)) == (done is not None)
    assert ("full_grain" in advice.decisions.grain.chosen) == (done is None)


@pytest.mark.parametrize(("coating", "contradicts"), [("0.01 mm", False), ("0.011 mm", True), ("0.1 mm", True)])
def test_aniline_has_hardly_a_coat(rulebase: RuleBase, coating: str, contradicts: bool) -> None:
    """ISO 15115:2019, read: a coat without pigment, usually not above 0.01 mm."""
    advice = consult(rulebase, {"item": "tote_plain", "label_text": "aniline", "coating": coating})
    assert ("words_contradict" in applied(advice)) == contradicts


# -- no leather


def test_bonded_fibre_is_no_leather_and_both_shares_are_told(rulebase: RuleBase) -> None:
    """EN 15987 note 1 and Directive 94/11/EC, read; 16 CFR 24.2(f), its 60 and 40 read in a second quotation."""
    sold = {"for_sale": "sale", "market": "us", "fibre_share": "60"}
    advice = consult(rulebase, {"item": "coaster", "label_text": "reconstituted leather", **sold})
    assert {"bonded_is_no_leather", "bonded_shares"} <= applied(advice)
    assert (advice.facts["fibre_share"].value, advice.facts["other_share"].value) == (60, 40)
    step = next(s for s in advice.trace if s.rule == "bonded-shares-are-both-told")
    matched = {m.params["attribute"]: (m.params["value"], m.params.get("unit")) for m in step.matched}
    assert (matched["fibre_share"], matched["other_share"]) == ((60, "percent"), (40, "percent"))
    text = next(c.text for c in advice.cautions if c.id == "bonded_is_no_leather")
    assert "not leather" in text


@pytest.mark.parametrize(("share", "low"), [("49.9", True), ("50", False), ("60", False)])
def test_half_of_fibre_board_is_leather_fibre(rulebase: RuleBase, share: str, low: bool) -> None:
    """EN 15987 annex A, remembered; it never stands alone, since any share is already called no leather."""
    advice = consult(rulebase, {"item": "coaster", "label_text": "bonded", "fibre_share": share})
    assert ("low_fibre" in applied(advice)) == low
    assert "bonded_is_no_leather" in applied(advice)


@pytest.mark.parametrize(
    ("answers", "outcome"),
    [
        ({"item": "trouser_belt", "label_text": "bonded"}, "another_material"),
        ({"item": "bifold_wallet", "label_text": "bonded"}, "another_material"),
        ({"item": "coaster", "label_text": "bonded", "load_kind": "none", "flex": "none"}, "ok_with_conditions"),
        ({"item": "coaster", "label_text": "bonded", "load_kind": "none", "flex": "hinge"}, "another_material"),
        ({"item": "coaster", "label_text": "bonded", "load_kind": "static", "flex": "none"}, "another_material"),
        ({"item": "coaster", "label_text": "faux leather"}, "another_material"),
    ],
)
def test_what_is_no_leather_neither_carries_nor_folds(
    rulebase: RuleBase, answers: dict[str, str], outcome: str
) -> None:
    """Common practice; that neither is leather: EN 15987, read in quotation."""
    assert consult(rulebase, answers).outcome == outcome


# -- limits of law


@pytest.mark.parametrize(("found", "banned"), [("2.9", False), ("3.0", True), ("3.1", True)])
def test_chromium_six_at_three_bars_the_sale(rulebase: RuleBase, found: str, banned: bool) -> None:
    """REACH annex XVII entry 47 paragraphs 5 to 7, read in several quotations: 3 mg/kg or more, from 1 May 2015."""
    answers = {"item": "watch_strap", "chromium_vi": found, **SOLD}
    advice = consult(rulebase, answers)
    assert ("chromium_over_limit" in applied(advice)) == banned
    assert ("chromium-six-bars-the-sale" in {r.rule for r in advice.outcome_reasons}) == banned
    if banned:
        caution = next(c for c in advice.cautions if c.id == "chromium_over_limit")
        assert caution.severity == "stop"
        assert "exempt" in caution.text
        assert "May 2015" in caution.text
        assert advice.outcome == "defer"


@pytest.mark.parametrize("change", [{"for_sale": "no"}, {"market": "us"}, {"skin_contact": "none"}])
def test_the_chromium_ban_holds_for_sale_in_europe_on_skin(rulebase: RuleBase, change: dict[str, str]) -> None:
    """The same entry, read in quotations: placing on the market, and parts that touch the skin."""
    advice = consult(rulebase, {"item": "watch_strap", "chromium_vi": "30", **SOLD, **change})
    assert "chromium-six-bars-the-sale" not in fired(advice)
    on_skin = change != {"skin_contact": "none"}
    assert ("chromium-six-stays-off-skin" in fired(advice)) == on_skin


@pytest.mark.parametrize(
    ("answers", "banned"),
    [
        ({"item": "watch_strap", "hardware": ["buckle"], "nickel_release": "0.5"}, False),
        ({"item": "watch_strap", "hardware": ["buckle"], "nickel_release": "0.51"}, True),
        ({"item": "watch_strap", "hardware": ["rivet"], "nickel_release": "0.6"}, True),
        ({"item": "key_fob", "hardware": ["piercing_post"], "nickel_release": "0.19"}, False),
        ({"item": "key_fob", "hardware": ["piercing_post"], "nickel_release": "0.2"}, True),
        ({"item": "watch_strap", "hardware": ["buckle"], "nickel_release": "0.2"}, False),
    ],
)
def test_nickel_release_bars_the_sale(rulebase: RuleBase, answers: dict[str, object], banned: bool) -> None:
    """REACH annex XVII entry 27: 0.5 read, above it fails; less than 0.2 for piercing posts read in quotation."""
    advice = consult(rulebase, {**answers, **SOLD})
    assert ("over_a_limit" in applied(advice)) == banned
    assert (advice.outcome == "defer") == banned


@pytest.mark.parametrize("item", ["watch_strap", "dress_glove"])
@pytest.mark.parametrize(("found", "banned"), [("30", False), ("30.1", True), ("35", True)])
def test_azo_amines_above_thirty_bar_the_sale(rulebase: RuleBase, item: str, found: str, banned: bool) -> None:
    """REACH annex XVII entry 43, read: 30 mg/kg in leather in long contact with skin."""
    advice = consult(rulebase, {"item": item, "azo_amine": found, "skin_contact": "prolonged", **SOLD})
    assert ("over_a_limit" in applied(advice)) == banned
    assert ("azo-amines-bar-the-sale" in {r.rule for r in advice.outcome_reasons}) == banned


@pytest.mark.parametrize(("found", "banned"), [("0.1", False), ("0.11", True)])
def test_dimethyl_fumarate_bars_the_sale(rulebase: RuleBase, found: str, banned: bool) -> None:
    """REACH annex XVII entry 61, its existence read, 0.1 mg/kg read in trade press only."""
    advice = consult(rulebase, {"item": "tote_plain", "dimethyl_fumarate": found, **SOLD})
    assert ("over_a_limit" in applied(advice)) == banned


# -- upholstery


@pytest.mark.parametrize(
    ("label", "caution", "values"),
    [
        (
            "semi aniline",
            "upholstery_semi",
            ("light 4", "80 cycles, grey 3/4", "50,000 flexes", "20 N", "pH 3.5", "0.7"),
        ),
        ("aniline", "upholstery_open", ("light 3", "20 cycles, grey 3;", "20 N", "pH 3.5", "0.7")),
        ("suede leather", "upholstery_open", ("light 3", "20 cycles, grey 3;")),
        ("pigmented", "upholstery_coated", ("light 5", "250 cycles, grey 3/4", "50,000 flexes", "20 N", "pH 3.5")),
    ],
)
def test_upholstery_is_asked_for_by_its_finish(
    rulebase: RuleBase, label: str, caution: str, values: tuple[str, ...]
) -> None:
    """Decision (EU) 2016/1332 appendix II, read (oracles for semi-aniline, open and pigmented faces)."""
    advice = consult(rulebase, {"item": "chair_sling", "label_text": label})
    told = {c.id: c.text for c in advice.cautions if c.status == "applies" and c.id.startswith("upholstery_")}
    assert set(told) - {"upholstery_fire"} == {caution}
    assert all(value in told[caution] for value in values)


@pytest.mark.parametrize(("change", "told"), [({}, True), ({"market": "us"}, False), ({"for_sale": "no"}, False)])
def test_footwear_for_sale_is_labelled_by_its_main_material(
    rulebase: RuleBase, change: dict[str, str], told: bool
) -> None:
    """Directive 94/11/EC article 1, read: at least 80 per cent, else the two main materials."""
    advice = consult(rulebase, {"item": "sandal", **SOLD, **change})
    assert ("eighty_per_cent" in applied(advice)) == told
    assert all("80 %" in c.text and "two main" in c.text for c in advice.cautions if c.id == "eighty_per_cent")


# -- words alone


def mildness(advice: Advice) -> int:
    """Where the outcome stands, gravest first; a deferral that shows its order is milder than no leather at all."""
    assert advice.outcome is not None
    shown = advice.outcome == "defer" and bool(advice.decisions.tannage.chosen)
    return OUTCOMES.index("ok_with_conditions" if shown else advice.outcome)


@pytest.mark.parametrize("every", [136, pytest.param(1, marks=pytest.mark.slow)])
def test_a_label_alone_never_makes_an_outcome_milder_or_a_caution_vanish(rulebase: RuleBase, every: int) -> None:
    words = [word for word in rulebase.attributes["label_text"].values if word != "none"]
    compared = set()
    for n, item in enumerate(rulebase.items):
        # The items take turns, so that each word is tried on several.
        for word in words[n % every :: every]:
            bare = plain_advice(item)
            assert bare.outcome is not None
            told = consult(rulebase, {"item": item, "label_text": word})
            assert told.outcome is not None
            assert mildness(told) <= mildness(bare), (item, word)
            assert applied(bare) <= applied(told), (item, word)
            assert told.decisions.tannage.ledger == bare.decisions.tannage.ledger, (item, word)
            compared.add(word)
    assert compared == set(words)
    assert len(words) == 21


def test_no_rule_takes_a_sellers_word_for_a_tannage(rulebase: RuleBase) -> None:
    on_labels = [r for r in rulebase.rules.values() if any(p.attribute == "label_text" for p in r.when)]
    assert len(on_labels) >= 25
    assert not {c.target for r in on_labels for c in r.then} & {"tannage", "wished_tannage", "trade_grade", "weight"}


@pytest.mark.parametrize("word", ["genuine leather", "top grain"])
def test_a_vague_word_on_a_loaded_strap_is_a_condition(rulebase: RuleBase, word: str) -> None:
    lead = {"item": "dog_lead", "load_mass": "20 kg"}
    rule = "an-unnamed-layer-under-load-is-checked"
    assert rule in {r.rule for r in consult(rulebase, {**lead, "label_text": word}).outcome_reasons}
    assert rule not in fired(consult(rulebase, {**lead, "label_text": [word, "full grain"]}))


def test_a_split_under_load_cannot_be_had(rulebase: RuleBase) -> None:
    advice = consult(rulebase, {"item": "dog_lead", "load_mass": "20 kg", "label_text": "split leather"})
    assert advice.outcome != "ok"
    assert advice.decisions.grain.chosen == []
    named = {r.rule for c in advice.conflicts for r in c.reasons}
    assert {"split-leather-has-no-grain", "load-straps-exclude-splits"} <= named


def test_top_grain_shows_both_sides(rulebase: RuleBase) -> None:
    advice = consult(rulebase, {"item": "tote_plain", "label_text": "top grain"})
    step = next(s for s in advice.trace if s.rule == "top-grain-has-two-meanings")
    assert step.contested is not None
    assert step.contested.startswith("Makers differ")


@pytest.mark.parametrize(
    ("sentence", "label"),
    [
        ("belt sold as genuine leather", ["genuine_leather"]),
        ("belt labelled real leather", ["genuine_leather"]),
        ("full grain tote, labelled waterproof", ["full_grain_words", "waterproof"]),
        ("faux leather tote", ["vegan"]),
        ("wallet of bonded leather", ["bonded"]),
        ("chair sling labelled semi-aniline leather", ["semi_aniline"]),
        ("split leather tote", ["split_words"]),
        ("belt labelled bridle", ["bridle_words"]),
        ("belt, no bonded leather", []),
        ("bonded thread belt", []),
        # Nobody's label is spoken of, so what everybody says of leather claims nothing.
        ("genuine leather belt", []),
        ("a 100 % leather belt", []),
        ("semi-aniline leather chair sling", []),
        # These are a wish, a limit, a lining and a way of working, not a label.
        ("bridle leather belt", []),
        ("vegan leather wallet", []),
        ("tote with suede lining", []),
        ("hand painted belt", []),
    ],
)
def test_a_label_is_read_out_of_a_sentence(rulebase: RuleBase, sentence: str, label: list[str]) -> None:
    answers = read_sentence(rulebase, sentence).answers
    assert (list(answers["label_text"].values) if "label_text" in answers else []) == label
