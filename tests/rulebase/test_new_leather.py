"""A leather is one edit: declared with what it is and is not, it stands in rules, rankings and checks by that.

The leather of these tests is invented. What its properties must lead to is common practice: what is tanned with plants
shrinks at sparks, what holds chromium is kept from who reacts to it, only what takes a tool's mark is carved.
"""

from __future__ import annotations

import re
import shutil
from collections.abc import Callable
from functools import partial
from pathlib import Path

import pytest

from advisor import Advice, RuleBaseError, consult, load_rulebase
from advisor.rulebase.lint import check
from advisor.rulebase.load import shipped_rulebase
from advisor.rulebase.models import RuleBase

YES = "vegetable, vegetable_firm, vegetable_side, greasy, stuffed, takes_carving, edge_burnishes, cattle_only"
TRIAL = """
[decision.tannage.candidates.trial_leather]
means = "invented: stuffed against rain, and carved all the same"
words = ["trial leather"]
like = "veg_harness"
strength = "18 MPa"
whole_from = "2.4 mm"
stiffness = "110 MPa"
fold_strain = 0.25
density = "1.00 g/cm**3"
price = 1.5
thinnest = "1.6 mm"
thickest = "5.6 mm"
gauge = "ounce"
sold = "oiled"
yes = {yes}
no = {no}
"""
Make = Callable[..., Path]


def properties() -> list[str]:
    """All that is said of a leather by yes or no."""
    columns = load_rulebase().decisions["tannage"].properties.values()
    return [c.name for c in columns if c.unit == "yes_no"]


def written(folder: Path, change: Callable[[str], str] = str, yes: str = YES) -> Path:
    """A copy of the rule folder with the leather added to one file, and changed as a test wants it."""
    shutil.copytree(str(shipped_rulebase()), folder, dirs_exist_ok=True)
    has = yes.split(", ")
    text = TRIAL.format(yes=has, no=[p for p in properties() if p not in has])
    with (folder / "decisions.toml").open("a") as file:
        file.write(change(text))
    return folder


@pytest.fixture
def edited(tmp_path: Path) -> Make:
    return partial(written, tmp_path / "rules")


@pytest.fixture(scope="module")
def plain(tmp_path_factory: pytest.TempPathFactory) -> RuleBase:
    """The rules with the leather as it stands above."""
    return load_rulebase(written(tmp_path_factory.mktemp("plain") / "rules"))


def told(rulebase: RuleBase, **answers: str) -> Advice:
    return consult(rulebase, answers)


def mistakes(folder: Path) -> list[str]:
    with pytest.raises(RuleBaseError) as caught:
        load_rulebase(folder)
    return [str(p) for p in caught.value.problems]


def without(key: str) -> Callable[[str], str]:
    return lambda text: re.sub(rf"^{key} = .*\n", "", text, flags=re.MULTILINE)


def test_one_edit_makes_a_leather_that_is_advised_and_refused(plain: RuleBase) -> None:
    assert not [f for f in check(plain) if f.severity == "error"]
    job = {"item": "trouser_belt", "decoration": "carve", "water": "rain", "colour_method": "bought_coloured"}
    fitting = told(plain, **job).decisions.tannage
    assert fitting.chosen[0] == "trial_leather"
    assert {"carving-needs-open-vegetable-leather", "rain-favours-stuffed-leather", "trouser_belt/ranking"} <= {
        e.rule for e in fitting.ledger if e.candidate == "trial_leather" and e.act == "favour"
    }
    for forbidden, by in (
        ({"heat": "sparks"}, "sparks-exclude-what-shrinks-or-flares"),
        ({"limits": "no_cow"}, "no-cow-limit-argues-for-skins"),
        ({"construction": "turned"}, None),
    ):
        found = told(plain, item="trouser_belt", **forbidden).decisions.tannage
        assert ("trial_leather" in found.excluded) == (by is not None), forbidden
        assert by is None or by in found.excluded["trial_leather"]


def test_what_it_is_decides_and_not_what_it_is_like(edited: Make, plain: RuleBase) -> None:
    assert "trial_leather" not in told(plain, item="trouser_belt", allergy="chromium").decisions.tannage.excluded
    other = load_rulebase(edited(yes=YES + ", chromium_any"))
    assert "trial_leather" in told(other, item="trouser_belt", allergy="chromium").decisions.tannage.excluded
    springy = load_rulebase(edited(yes=YES.replace("takes_carving", "springs_back")))
    assert "trial_leather" in told(springy, item="trouser_belt", decoration="carve").decisions.tannage.excluded


def test_it_stands_a_step_behind_what_it_is_like(plain: RuleBase) -> None:
    label = plain.decisions["tannage"].candidates["veg_harness"].label
    strength: dict[str, dict[str, tuple[int, str]]] = {"veg_harness": {}, "trial_leather": {}}
    for rule in (r for r in plain.rules.values() if r.id.endswith("/ranking")):
        for c in rule.then:
            for value in strength.keys() & set(c.values) if c.target == "tannage" and c.act == "favour" else ():
                strength[value][rule.id] = c.strength, str(c.because)
    assert strength["trial_leather"].keys() == strength["veg_harness"].keys()
    assert len(strength["veg_harness"]) > 20
    for item, (step, because) in strength["veg_harness"].items():
        told = f"{because.removesuffix('.')} (like {label})."
        assert strength["trial_leather"][item] == (max(step - 1, 1), told)


def test_its_own_ranking_goes_before_that_of_its_like(edited: Make) -> None:
    folder = edited()
    place = next((folder / "items").glob("straps.toml"))
    text = place.read_text()
    assert "[item.trouser_belt.tannage]\n" in text
    own = 'trial_leather = { favour = "strong", because = "Invented for this test." }\n'
    place.write_text(text.replace("[item.trouser_belt.tannage]\n", f"[item.trouser_belt.tannage]\n{own}"))
    ranking = load_rulebase(folder).rules["trouser_belt/ranking"]
    assert [(c.strength, c.because) for c in ranking.then if "trial_leather" in c.values] == [
        (3, "Invented for this test.")
    ]


def test_an_item_may_rank_by_a_property(edited: Make) -> None:
    folder = edited(without("like"))
    place = folder / "items" / "straps.toml"
    by = 'takes_carving = { favour = "slight", because = "Invented for this test." }\n'
    head = "[item.trouser_belt.tannage]\n"
    place.write_text(place.read_text().replace(head, head + by))
    ranking = load_rulebase(folder).rules["trouser_belt/ranking"]
    ranked = [c.values for c in ranking.then if c.because == "Invented for this test."]
    assert [set(v) for v in ranked] == [{"trial_leather"}], "those ranked by name, or like one that is, keep their own"


@pytest.mark.parametrize("missing", ["takes_carving", "chromium_any", "edge_burnishes"])
def test_every_property_is_said(edited: Make, missing: str) -> None:
    found = mistakes(edited(lambda text: text.replace(f"'{missing}', ", "").replace(f", '{missing}'", "")))
    assert len(found) == 1
    assert re.search(rf"decisions\.toml:\d+.*trial_leather.*neither to be nor not to be: {missing}", found[0]), found
    assert "yes = [...] or no = [...]" in found[0]


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("'takes_carving'", "'takes_carvings'", 'The nearest valid word is "takes_carving"'),
        ('sold = "oiled"', 'sold = "oily"', "Expected one of as_bags, as_clothing"),
        ("'stuffed'", "'stuffed', 'stuffed'", "said twice"),
        ("like =", "takes_carving = 'true'\nlike =", "answered by yes or no"),
        ('like = "veg_harness"', 'like = "veg_harnes"', 'The nearest valid word is "veg_harness"'),
        ('like = "veg_harness"', 'like = "skirting"', 'Name "veg_tooling" instead'),
        ('thickest = "5.6 mm"\n', "", 'the property "thickest" is missing'),
        ("price = 1.5\n", "", 'the property "price" is missing'),
    ],
)
def test_a_mistake_is_told_with_its_line_and_the_valid_words(edited: Make, old: str, new: str, says: str) -> None:
    found = mistakes(edited(lambda text: text.replace(old, new)))
    assert any(says in line for line in found), found
    assert all(re.search(r"decisions\.toml:\d+", line) for line in found)


def test_what_would_never_be_advised_is_an_error(edited: Make) -> None:
    """A leather like none, of which no check on arrival speaks, and without a word."""
    dumb = edited(
        lambda text: without("like")(text).replace('["trial leather"]', "[]"), YES.replace("vegetable_side, ", "")
    )
    found = [f for f in check(load_rulebase(dumb)) if f.where == "trial_leather" and f.severity == "error"]
    for says in (
        "no item ranks it, so it is advised only where a rule argues for it",
        "no check of what arrives is about it",
        "nobody can ask for it",
    ):
        assert [f for f in found if says in f.what and f.line and f.hint], (says, found)


def test_a_leather_that_no_rule_favours_is_never_advised(edited: Make) -> None:
    dull = YES.replace("takes_carving, ", "").replace("stuffed, ", "").replace("edge_burnishes, ", "")
    # Ammonia darkens whatever is tanned with plants, so where that is wanted a rule argues for each of them.
    dull = dull.replace("vegetable_firm, ", "").replace("vegetable_side, ", "").replace("vegetable, ", "")
    folder = edited(lambda text: without("like")(text).replace('sold = "oiled"', 'sold = "retanned"'), dull)
    found = [f.what for f in check(load_rulebase(folder)) if f.where == "trial_leather"]
    assert any("never advised" in what for what in found), found


IDLE = """
[decision.tannage.properties.idle_one]
unit = "yes_no"
label = "is idle"
means = "invented for this test"
basis = "estimate"
because = "Invented."
"""
FACES = "[decision.tannage.properties.sold.values]\n"
LISTING = """
[[rule]]
id = "sown-list"
when = ["wash is hand_wash"]
then = ["disfavour tannage chrome_garment, aldehyde_white, brain_smoke, chamois_oil slightly"]
force = "may"
concern = "use"
because = "Invented for this test."
basis = "estimate"
"""


def test_what_leads_nowhere_and_a_list_that_has_a_name_are_found(edited: Make) -> None:
    """A face that no rule tells, a property that none reads, and a list for which the trade has a word."""
    folder = edited(lambda text: text.replace('sold = "oiled"', 'sold = "plain"'))
    place = folder / "decisions.toml"
    text = place.read_text().replace("\nno = [", '\nno = ["idle_one", ')
    place.write_text(text.replace(FACES, f'{FACES}plain = "invented for this test"\n') + IDLE)
    with (folder / "rules" / "tannage.toml").open("a") as file:
        file.write(LISTING)
    found = check(load_rulebase(folder))
    for where, says in (
        ("trial_leather", "no rule says which surface it is sold with"),
        ("idle_one", "no rule reads the property idle_one"),
        ("sown-list", "drapes"),
    ):
        (one,) = [f for f in found if f.where == where and says in f.what]
        assert one.line > 0 or where == "sown-list"
