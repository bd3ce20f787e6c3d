"""What an item takes from the way it is made and from its family, in a small rule base."""

from __future__ import annotations

from pathlib import Path

import pytest
from small_rulebase import write_small

from advisor import load_rulebase
from advisor.errors import RuleBaseError
from advisor.rulebase.models import Item

GIVEN = """
[family.straps]
suppose = ["construction is turned", "hardware includes rivet"]
ask.load_mass = { question = "How heavy is the animal?", example = "Say \\"30 kg\\"." }

[make.plain]
suppose = ["construction is flat_single"]
ask.load_mass = { say = "an animal of {value}" }
"""
ITEM = """
[item.thing]
name = "thing"
family = "straps"
words = ["thing of its own"]
suppose = []
"""


def thing(folder: Path, item: str, given: str = GIVEN) -> Item:
    """The item declared in its own file, its givers in another one that is read later."""
    write_small(folder)
    (folder / "items/aa.toml").write_text(item, encoding="utf-8")
    (folder / "items/zz.toml").write_text(given, encoding="utf-8")
    return load_rulebase(folder).items["thing"]


def test_the_make_stands_before_the_family_and_the_item_before_both(tmp_path: Path) -> None:
    made = ITEM.replace("suppose = []", 'make = "plain"\nsuppose = ["hardware includes buckle"]')
    item = thing(tmp_path, made)
    assert item.supposes["construction"] == ("flat_single",)
    assert item.supposes["hardware"] == ("buckle",)
    wording = item.asks["load_mass"]
    assert (wording.question, wording.say) == ("How heavy is the animal?", "an animal of {value}")
    assert item.taken["make plain"] == ("suppose construction", "ask load_mass say")


def test_without_a_make_the_family_alone_is_taken(tmp_path: Path) -> None:
    given = GIVEN[: GIVEN.index("[make")]
    item = thing(tmp_path, ITEM, given)
    assert item.supposes["construction"] == ("turned",)
    assert item.supposes["hardware"] == ("rivet",)
    assert list(item.taken) == ["family straps"]


def test_an_example_of_the_family_does_not_go_with_an_items_own_question(tmp_path: Path) -> None:
    asks = 'ask.load_mass = { question = "How heavy is the horse?" }\n'
    item = thing(tmp_path, ITEM + asks, GIVEN[: GIVEN.index("[make")])
    assert (item.asks["load_mass"].question, item.asks["load_mass"].help) == ("How heavy is the horse?", "")


@pytest.mark.parametrize(
    ("item", "given", "message"),
    [
        (ITEM.replace("suppose = []", 'make = "plane"'), GIVEN, r'aa\.toml:6 \[thing\]: "plane" is no make.*plain'),
        (ITEM, GIVEN, 'no item is made as "plain"'),
        (ITEM, GIVEN.replace("is flat_single", "is flat_double"), r"zz\.toml:7 \[plain\]"),
        (ITEM, "[family.strops]\nsuppose = []\n" + GIVEN, "no family"),
    ],
)
def test_mistakes_are_told_where_they_stand(tmp_path: Path, item: str, given: str, message: str) -> None:
    with pytest.raises(RuleBaseError, match=message):
        thing(tmp_path, item, given)
