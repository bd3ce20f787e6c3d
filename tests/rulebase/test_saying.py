"""What a person reads instead of slugs, and questions in the words of one thing. Words are common practice."""

from __future__ import annotations

import re
from collections import Counter
from pathlib import Path

import pytest
from small_rulebase import FILES, write_small

from advisor.errors import RuleBaseError
from advisor.reasoning.facts import parse_answer
from advisor.rulebase.load import load_rulebase
from advisor.rulebase.models import Named, RuleBase, plural_of
from advisor.rulebase.saying import asked, fact_says, joined, label, name_of

BAG = '[item.bag]\nname = "bag"\nfamily = "straps"\nwords = ["bag"]\n'


@pytest.fixture(scope="module")
def shipped() -> RuleBase:
    return load_rulebase()


@pytest.mark.parametrize(
    ("given", "one", "two", "with_article"),
    [
        ({"slug": "full_grain"}, "full grain", "full grains", "a full grain"),
        ({"slug": "offcut"}, "offcut", "offcuts", "an offcut"),
        ({"slug": "belly", "plural": "bellies"}, "belly", "bellies", "a belly"),
        (
            {"slug": "gear", "label": "climbing gear", "article": "a piece of"},
            "climbing gear",
            "climbing gears",
            "a piece of climbing gear",
        ),
    ],
)
def test_words_that_are_not_written_follow_from_the_slug(
    given: dict[str, str], one: str, two: str, with_article: str
) -> None:
    named = Named(**given)
    assert (named.called(), named.called(2), named.one()) == (one, two, with_article)


@pytest.mark.parametrize(
    ("name", "value", "words"),
    [
        ("tannage", "veg_tooling", "veg-tan tooling leather"),
        ("tannage", "latigo", "latigo"),
        ("tannage_offered", "veg_bridle", "bridle leather"),
        ("form_excluded", "shoulder_double", "double shoulder"),
        ("grain", "full_grain", "full grain"),
        ("species", "cattle", "cowhide"),
        ("item", "dog_lead", "dog lead"),
        ("sew", "machine_walkingfoot", "walking-foot machine"),
        ("wished_tannage", "veg_harness", "harness leather"),
        ("strap_width", "38 mm", "38 mm"),
        ("no_such_name", "a value", "a value"),
    ],
)
def test_labels(shipped: RuleBase, name: str, value: str, words: str) -> None:
    assert label(shipped, name, value) == words


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("strap_width", "strap width"),
        ("load_mass", "load"),
        ("tannage", "tannage"),
        ("form_excluded", "form excluded"),
    ],
)
def test_names(shipped: RuleBase, name: str, words: str) -> None:
    assert name_of(shipped, name) == words


@pytest.mark.parametrize(
    ("name", "value", "item", "words"),
    [
        ("bears_person", "yes", "", "it will carry a person's weight"),
        ("bears_person", "no", "", "nobody's weight on it"),
        ("strap_width", "38 mm", "", "a strap 38 mm wide"),
        ("strap_width", "1 1/2 in", "", "a strap 1 1/2 in wide"),
        ("load_mass", "30 kg", "", "a load of 30 kg"),
        ("experience", "beginner", "", "one of your first pieces"),
        ("sew", "hand_saddle", "", "hand sewn"),
        ("hardware", "buckle, ring", "", "a buckle and a ring or dee"),
        ("tools", "knife, mallet, awl", "", "tools: knife, mallet and awl"),
        ("edge", "burnished", "", "burnished edges"),
        ("colour", "brown", "", "brown"),
        ("cut", "shoulder_double", "", "double shoulder"),
        ("weight", "3.2 to 4 mm", "", "3.2 to 4 mm thick"),
        ("hole", "5 mm", "no_such_item", "holes of 5 mm"),
        ("load_mass", "30 kg", "dog_lead", "a dog of 30 kg"),
        ("load_mass", "4 kg", "guitar_strap", "a guitar of 4 kg"),
        ("width", "235 mm", "bifold_wallet", "a wallet 235 mm wide laid open"),
        ("width", "320 mm", "tote_plain", "a bag 320 mm wide"),
        ("sew", "hand_saddle", "dog_lead", "hand sewn"),
    ],
)
def test_facts(shipped: RuleBase, name: str, value: str, item: str, words: str) -> None:
    assert fact_says(shipped, name, value, item) == words


def test_every_fact_of_every_attribute_reads_as_words(shipped: RuleBase) -> None:
    said = [
        fact_says(shipped, a.name, value, item)
        for a in shipped.attributes.values()
        for value in a.values or (["38 mm"] if a.numeric else [])
        for item in ("", "dog_lead", "trouser_belt")
    ]
    assert len(said) > 1000
    assert [text for text in said if not text.strip() or "_" in text or "{" in text] == []


@pytest.mark.parametrize(
    ("item", "name", "question"),
    [
        ("dog_lead", "load_mass", "How heavy is the dog?"),
        ("dog_collar", "load_mass", "How heavy is the dog?"),
        ("bifold_wallet", "width", "How wide is the wallet, laid open?"),
        ("knife_sheath", "blade", "What is the length of the blade?"),
        ("tote_plain", "width", "How wide is the bag?"),
        ("backpack", "height", "How tall is the bag?"),
        ("journal_cover", "depth", "How thick is the book?"),
        ("dog_lead", "water", "How wet does it get?"),
        ("", "load_mass", "How much weight does it carry when full?"),
    ],
)
def test_questions_in_the_words_of_the_thing(shipped: RuleBase, item: str, name: str, question: str) -> None:
    assert asked(shipped, name, item).question == question


def test_the_commonest_things_are_asked_about_in_their_own_words(shipped: RuleBase) -> None:
    own = [item.slug for item in shipped.items.values() if any(w.question for w in item.asks.values())]
    assert len(own) >= 60


def test_every_example_of_an_own_question_is_an_answer_to_it(shipped: RuleBase) -> None:
    examples = [
        (item.slug, name, amount)
        for item in shipped.items.values()
        for name, wording in item.asks.items()
        for amount in re.findall(r'"([^"]+)"', wording.help)
    ]
    assert len(examples) > 150
    for slug, name, amount in examples:
        assert parse_answer(shipped.attributes[name], amount).state == "known", (slug, name, amount)


def test_own_questions_speak_only_of_what_the_thing_has(shipped: RuleBase) -> None:
    """What an item asks in its own words is a size of its pattern, or something it supposes."""
    stray = [
        (item.slug, name)
        for item in shipped.items.values()
        for name in item.asks
        if name not in item.supposes and item.asks[name].question not in family_questions(shipped, item.family)
    ]
    assert stray == []


def family_questions(rulebase: RuleBase, family: str) -> set[str]:
    """The questions that all items of a family share: they come to an item whether it has that size or not."""
    asks = [item.asks for item in rulebase.items.values() if item.family == family]
    counted = Counter(w.question for each in asks for w in each.values())
    return {question for question, count in counted.items() if count > 1}


def test_an_item_asks_in_its_own_words_else_in_those_of_its_family(tmp_path: Path) -> None:
    own = '[item.trouser_belt.ask.load_mass]\nquestion = "How heavy is the buckle?"\nexample = "Brass: \\"1 kg\\"."\n'
    family = (
        '[family.straps.ask.load_mass]\nquestion = "How hard does it pull?"\nexample = "A dog: \\"30 kg\\"."\n'
        'say = "a pull of {value}"\n[family.straps.ask.strap_width]\nexample = "A lead: \\"20 mm\\"."\n'
    )
    write_small(tmp_path)
    items = FILES["items/straps.toml"]
    (tmp_path / "items/straps.toml").write_text(f"{items}\n{own}\n{BAG}\n{family}", encoding="utf-8")
    base = load_rulebase(tmp_path)
    belt, bag, anything = (asked(base, "load_mass", item) for item in ("trouser_belt", "bag", ""))
    assert (belt.question, belt.help) == ("How heavy is the buckle?", 'Brass: "1 kg".')
    assert (bag.question, bag.help) == ("How hard does it pull?", 'A dog: "30 kg".')
    assert (anything.question, anything.help) == ("What does it carry?", 'A full bag is "8 kg".')
    assert [w.say for w in (belt, bag, anything)] == ["a pull of {value}", "a pull of {value}", "a load of {value}"]
    assert fact_says(base, "load_mass", "30 kg", "bag") == "a pull of 30 kg"
    width = asked(base, "strap_width", "bag")
    assert (width.question, width.help) == ("How wide is the strap?", 'A lead: "20 mm".')
    assert asked(base, "layers", "bag") == asked(base, "layers")


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ('ask.load_mas = { question = "How heavy?" }\n', '"load_mas" is no attribute'),
        ("ask.load_mass = {}\n", "needs a question, an example or a say"),
        ('ask.zones = { question = "Where?" }\n', "zones is never asked, so it needs no question"),
        ('[family.strap.ask.load_mass]\nsay = "{value}"\n', '"strap" is no family'),
        ('[family.straps.ask.load_mas]\nsay = "{value}"\n', '"load_mas" is no attribute'),
    ],
)
def test_mistakes_in_the_words_of_questions(tmp_path: Path, text: str, says: str) -> None:
    write_small(tmp_path)
    items = FILES["items/straps.toml"]
    family = text.startswith("[")
    at_item = items.replace('words = ["belt"]\n', f'words = ["belt"]\n{"" if family else text}')
    (tmp_path / "items/straps.toml").write_text(f"{at_item}\n{text if family else ''}", encoding="utf-8")
    with pytest.raises(RuleBaseError, match=says):
        load_rulebase(tmp_path)


def test_two_files_do_not_word_one_question_of_a_family(tmp_path: Path) -> None:
    write_small(tmp_path)
    words = '[family.straps.ask.load_mass]\nsay = "{value}"\n'
    for name in ("a", "b"):
        (tmp_path / f"items/{name}.toml").write_text(f"{BAG.replace('bag', name)}\n{words}", encoding="utf-8")
    with pytest.raises(RuleBaseError, match=r"already has its words in items/a\.toml"):
        load_rulebase(tmp_path)


@pytest.mark.parametrize(
    ("words", "text"),
    [
        ([], ""),
        (["awl"], "awl"),
        (["awl", "mallet"], "awl and mallet"),
        (["a", "b", "c"], "a, b and c"),
    ],
)
def test_a_list_in_words(words: list[str], text: str) -> None:
    assert joined(words) == text


@pytest.mark.parametrize(
    ("one", "more"),
    [
        ("coaster", "coasters"),
        ("watch pouch", "watch pouches"),
        ("caddy", "caddies"),
        ("key", "keys"),
        ("jewel box", "jewel boxes"),
        ("dog harness", "dog harnesses"),
        ("pair of chaps", "pairs of chaps"),
        ("set of napkin rings", "sets of napkin rings"),
    ],
)
def test_the_plural_of_what_is_counted_follows_from_its_name(one: str, more: str) -> None:
    # Plain English spelling: es after a hiss, ies after a consonant and y.
    assert plural_of(one) == more
