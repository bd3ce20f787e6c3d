"""The words of customers are read with the rule base, and each check of them finds its seed."""

from __future__ import annotations

from pathlib import Path

import pytest
from small_rulebase import FILES

from advisor.errors import RuleBaseError
from advisor.rulebase.lint import check
from advisor.rulebase.load import load_rulebase
from advisor.rulebase.words import words_of

THING = '[thing.whatsit]\nname = "whatsit"\nnames = ["whatsit"]\n'
FORM = '[form.cover]\nwords = ["cover"]\n'


def base_with(folder: Path, **words: str) -> Path:
    """A small rule base with files of words, by name."""
    for name, text in {**FILES, **{f"words/{n}.toml": t for n, t in words.items()}}.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return folder


def test_words_count_into_the_digest_of_a_rule_base(tmp_path: Path) -> None:
    plain = load_rulebase(base_with(tmp_path / "plain"))
    worded = load_rulebase(base_with(tmp_path / "worded", forms=FORM))
    assert plain.sha256 != worded.sha256


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ({"things/new": '[thing.whatsit]\nnames = ["whatsit"]\n'}, "needs a name and names"),
        ({"things/new": '[thing.trouser_belt]\nname = "belt"\nnames = []\n'}, "its recipe gives the name"),
        ({"things/new": THING + 'near = "trouser_bolt"\n'}, '"trouser_bolt" is no recipe'),
        ({"things/new": THING + 'made_as = "trouser_bolt"\n'}, '"trouser_bolt" is no recipe'),
        ({"things/new": THING + 'near = "trouser_belt"\nmade_as = "trouser_belt"\n'}, "take out near"),
        ({"things/new": THING + 'made_as = "trouser_belt"\nmay_bear = true\n'}, "nobody would ask what hangs on it"),
        ({"forms": FORM + 'things = ["trouser_bolt"]\n'}, '"trouser_bolt" is no thing'),
        ({"things/one": THING, "things/two": THING}, "already stands in words/things/one.toml"),
        (
            {
                "objects": '[[pair]]\nform = ["cover"]\nobject = ["axe"]\nthing = "trouser_belt"\n',
                "forms": FORM,
            },
            '"axe" is neither a form nor an object',
        ),
    ],
)
def test_a_mistake_in_words_is_told_with_its_file(tmp_path: Path, words: dict[str, str], says: str) -> None:
    base = load_rulebase(base_with(tmp_path, **words))
    with pytest.raises(RuleBaseError, match=says):
        words_of(base)


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ({"things/one": THING + '[thing.other]\nname = "other"\nnames = ["Whatsit"]\n'}, "names whatsit and other"),
        ({"things/one": '[thing.big]\nname = "big cover"\nnames = ["cover"]\n', "forms": FORM}, "is a form and names"),
        ({"objects": '[object.axe]\nwords = ["axe"]\n'}, "no form goes with it"),
    ],
)
def test_each_check_finds_its_seed(tmp_path: Path, words: dict[str, str], says: str) -> None:
    before = check(load_rulebase(base_with(tmp_path / "before")))
    found = [f for f in check(load_rulebase(base_with(tmp_path / "seeded", **words))) if f not in before]
    assert [says in f.what for f in found] == [True]
