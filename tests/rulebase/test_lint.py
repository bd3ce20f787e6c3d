"""Every check finds its fault in a copy of the small base, and finds nothing where there is none."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import pytest
from small_rulebase import FILES, rule_text, write_small

from advisor.rulebase import lint
from advisor.rulebase.load import load_rulebase
from advisor.rulebase.models import RuleBase

RULES, ITEMS = "rules/making.toml", "items/straps.toml"
TURNED, SOFT = '"construction is turned"', '"favour temper soft slightly"'
BAG = '[item.bag]\nname = "bag"\nfamily = "straps"\nwords = ["bag"]\n'
PUBLISHED_MUST = {"force": '"must"', "basis": '"published"', "source": '["dye-safety"]'}


@dataclass(frozen=True)
class Seed:
    """A fault sown: ``text`` is put after a file, or in place of ``old``; ``at`` stands on the line to be named."""

    check: lint.Check
    severity: str
    file: str
    text: str
    at: str
    where: str
    says: str
    old: str = ""


def rule(check: lint.Check, severity: str, says: str, *texts: str, at: str = "seeded") -> Seed:
    return Seed(check, severity, RULES, "".join(texts), f'id = "{at}"', at, says)


SEEDS = [
    Seed(lint.unused_cautions, "warning", "cautions.toml",
         '[caution.idle]\nseverity = "note"\nabout = "x"\nsay = "x"\nbasis = "estimate"\n', "[caution.idle]",
         "idle", "no rule raises this caution"),
    Seed(lint.unused_clashes, "warning", "clashes.toml",
         '[clash.idle]\nbetween = "x"\nsay = "x"\nresolutions = ["x"]\nbasis = "estimate"\n', "[clash.idle]", "idle",
         "no rule finds this clash"),
    Seed(lint.unused_sources, "warning", "sources.toml", '[source.idle]\ntitle = "x"\nopened = true\n',
         "[source.idle]", "idle", "nothing cites this source"),
    Seed(lint.unread_attributes, "warning", "attributes.toml",
         '[attribute.idle]\nkind = "yes_no"\ngroup = "job"\nask = "later"\nquestion = "x"\nhelp = "x"\n',
         "[attribute.idle]", "idle", "this is asked and nothing reads it"),
    Seed(lint.unread_attributes, "warning", "attributes.toml",
         '[attribute.idle]\nkind = "quantity"\nunit = "MPa"\ngroup = "load"\nask = "never"\nformula = "lookup"\n'
         'inputs = { key = "tannage", table = "tannage.strength" }\n',
         "[attribute.idle]", "idle", "this is computed and nothing reads it"),
    Seed(lint.unread_attributes, "warning", "attributes.toml",
         '[attribute.idle]\nkind = "quantity"\nunit = "mm"\ngroup = "basket"\nask = "never"\n',
         "[attribute.idle]", "idle", "this is kept and nothing reads it"),
    Seed(lint.unmentioned_values, "warning", "attributes.toml",
         'flat_single = { means = "x" }\nmoulded = { means = "x" }\nlaced = { means = "x" }',
         "[attribute.construction]", "construction", "tells moulded from laced",
         'flat_single = { means = "one layer, nothing folded", words = ["single layer"] }'),
    Seed(lint.unfavoured_candidates, "warning", RULES, '"favour tannage veg_soft slightly"',
         "", "tannage", "nothing ever favours chrome_milled", '"favour tannage veg_soft, chrome_milled slightly"'),
    Seed(lint.bare_items, "error", ITEMS, BAG, "[item.bag]", "bag",
         "no tannage ranking and no weight and no pieces"),
    rule(lint.twin_rules, "error", "this says the same as first-seed",
         rule_text("first-seed", '"layers >= 3", "for_sale is no"', SOFT),
         rule_text("seeded", '"for_sale is no", "layers >= 3"', SOFT, force='"must"')),
    rule(lint.subsumed_rules, "warning", "wide-seed already says this on fewer premises",
         rule_text("seeded", '"layers >= 3", "for_sale is no"', SOFT), rule_text("wide-seed", '"layers >= 3"', SOFT)),
    rule(lint.impossible_rules, "error", "its premises about construction contradict each other",
         rule_text("seeded", f'{TURNED}, "construction is not turned"', SOFT)),
    rule(lint.preferences_that_never_meet, "error", "contradict each other on construction",
         rule_text("seeded", TURNED, '"favour tannage veg_soft slightly"', over="flat-work-is-even")),
    rule(lint.idle_preferences, "warning", "it speaks of nothing that flat-work-is-even speaks of",
         rule_text("seeded", '"layers >= 3"', SOFT, over="flat-work-is-even")),
    rule(lint.idle_preferences, "error", "weak-seed only raises cautions, which are never withdrawn",
         rule_text("weak-seed", '"layers >= 4"', '"caution nickel_on_skin"'),
         rule_text("seeded", '"layers >= 3"', SOFT, over="weak-seed")),
    rule(lint.no_remedies, "warning", "it forbids and names no way out",
         rule_text("seeded", TURNED, '"weight at most 3 mm"', force='"must"')),
    rule(lint.no_remedies, "warning", "it forbids and names no way out",
         rule_text("seeded", TURNED, '"exclude temper firm"', force='"must"')),
    rule(lint.unopened_musts, "warning", "nobody opened dye-safety",
         rule_text("seeded", TURNED, SOFT, **PUBLISHED_MUST)),
    rule(lint.long_sentences, "error", "because has a sentence of 26 words",
         rule_text("seeded", TURNED, SOFT, because=f'"Short. {" ".join(["word"] * 26)}."')),
    Seed(lint.long_sentences, "error", "cautions.toml", f'say = "{" ".join(["word"] * 30)}."',
         "[caution.nickel_on_skin]", "nickel_on_skin", "say has a sentence of 30 words",
         'say = "Cheap buckles may hold nickel. Ask for a statement."'),
    Seed(lint.long_sentences, "error", "clashes.toml", f'["{" ".join(["word"] * 27)}."]', "[clash.heavy_and_turned]",
         "heavy_and_turned", "resolutions has a sentence of 27 words", '["Sew it flat."]'),
    Seed(lint.long_sentences, "error", "attributes.toml", f'help = "{" ".join(["word"] * 28)}."',
         "[attribute.load_mass]", "load_mass", "help has a sentence of 28 words", 'help = "A full bag is \\"8 kg\\"."'),
    Seed(lint.long_sentences, "error", ITEMS, f'because = "{" ".join(["word"] * 29)}."', "[item.trouser_belt]",
         "trouser_belt", "has a sentence of 29 words", 'because = "It does not roll."'),
    rule(lint.repeated_because, "warning", "its because is that of turned-work-wants-thin-leather",
         rule_text("seeded", TURNED, SOFT, because='"Four layers meet in a corner."')),
    rule(lint.loose_numbers, "warning", "its because says 7.5, which the rule does not use",
         rule_text("seeded", '"layers >= 3"', SOFT, because='"Over 3 layers 7.5 mm is too much."')),
]  # fmt: skip


def checked(folder: Path, seed: Seed) -> list[lint.Finding]:
    if seed.old:
        write_small(folder, {seed.file: (seed.old, seed.text)})
    else:
        write_small(folder)
        (folder / seed.file).write_text(f"{FILES[seed.file]}\n{seed.text}", encoding="utf-8")
    return lint.check(load_rulebase(folder))


def test_the_small_base_has_no_findings(tmp_path: Path) -> None:
    assert lint.check(load_rulebase(write_small(tmp_path))) == []


@pytest.mark.parametrize("seed", SEEDS, ids=lambda s: f"{s.check.__name__}-{s.where}")
def test_check_finds_its_seed(tmp_path: Path, seed: Seed) -> None:
    found = checked(tmp_path, seed)
    assert found == sorted(found, key=lambda f: f.severity)
    (mine,) = [f for f in found if seed.says in f.what]
    assert list(seed.check(load_rulebase(tmp_path))) == [mine]
    file = seed.file if seed.at else "decisions.toml"
    text, at = (tmp_path / file).read_text(encoding="utf-8"), seed.at or "[decision.tannage]"
    assert (mine.severity, mine.file, mine.where) == (seed.severity, file, seed.where)
    assert at in text.split("\n")[mine.line - 1]
    assert str(mine).startswith(f"{file}:{mine.line} [{seed.where}] {seed.severity}: ")


def test_every_check_is_seeded_and_run() -> None:
    assert {seed.check for seed in SEEDS} == set(lint.CHECKS)


@pytest.mark.parametrize(
    ("premises", "name"),
    [
        ('"layers > 3", "layers < 3"', "layers"),
        ('"layers >= 3", "layers < 3"', "layers"),
        ('"load_mass between 1 kg and 2 kg", "load_mass >= 2.1 kg"', "load_mass"),
        ('"layers is 3", "layers >= 4"', "layers"),
        ('"hardware lacks buckle", "hardware includes one of buckle"', "hardware"),
        ('"layers is unknown", "layers >= 2"', "layers"),
        ('"construction is known", "construction is unknown"', "construction"),
        ('"tannage is one of vegetable", "tannage is chrome_milled"', "tannage"),
        ('"tannage is one of vegetable", "tannage is none of vegetable"', "tannage"),
        ('"layers >= 3", "layers <= 3"', None),
        ('"load_mass > 1 kg", "load_mass < 1.001 kg"', None),
        ('"hardware includes buckle", "hardware includes rivet"', None),
        ('"hardware includes one of buckle, rivet", "hardware lacks rivet"', None),
        ('"tannage_offered includes veg_soft", "tannage_offered includes chrome_milled"', None),
        ('"strap_width > stitchable_thickness", "strap_width < 2 mm"', None),
        ('"construction is not turned", "construction is flat_single"', None),
    ],
)
def test_contradictions(tmp_path: Path, premises: str, name: str | None) -> None:
    write_small(tmp_path)
    seeded = rule_text("seeded", premises, '"weight at most 9 mm"')
    (tmp_path / RULES).write_text(FILES[RULES] + seeded, encoding="utf-8")
    found = list(lint.impossible_rules(load_rulebase(tmp_path)))
    assert [f.what.split(" about ")[1].split()[0] for f in found] == ([name] if name else [])


@pytest.mark.parametrize(("outcome", "bare"), [("refuse", 0), ("another_material", 0), ("defer", 1)])
def test_a_refused_item_may_be_bare(tmp_path: Path, outcome: str, bare: int) -> None:
    write_small(tmp_path)
    (tmp_path / ITEMS).write_text(FILES[ITEMS] + BAG, encoding="utf-8")
    refusal = rule_text("seeded", '"item is bag"', f'"outcome {outcome}"')
    (tmp_path / RULES).write_text(FILES[RULES] + refusal, encoding="utf-8")
    assert len(list(lint.bare_items(load_rulebase(tmp_path)))) == bare


IDLE_SIZE = """
[attribute.idle]
kind = "quantity"
unit = "mm"
group = "size"
ask = "later"
question = "How thick is the lining?"
help = "A thin one is \\"0.8 mm\\"."
"""


@pytest.mark.parametrize("text", ['stack = "2 x weight + 1 mm"', 'skived = "1.2 x weight + 0.5 mm"',
                                  'seam = "3 x strap_width"'])  # fmt: skip
def test_what_a_zone_is_computed_from_is_read(tmp_path: Path, text: str) -> None:
    write_small(tmp_path, {ITEMS: (text, f'{text[:-1]} + idle"')})
    (tmp_path / "attributes.toml").write_text(FILES["attributes.toml"] + IDLE_SIZE, encoding="utf-8")
    assert list(lint.unread_attributes(load_rulebase(tmp_path))) == []


@pytest.mark.parametrize(("skived", "idle"), [('skived = "1.2 x weight + 0.5 mm"\n', []), ("", ["skive"])])
def test_skiving_is_read_where_a_zone_says_what_it_leaves(tmp_path: Path, skived: str, idle: list[str]) -> None:
    write_small(tmp_path, {ITEMS: ('skived = "1.2 x weight + 0.5 mm"\n', skived)})
    text = FILES["attributes.toml"] + IDLE_SIZE.replace(".idle", ".skive")
    (tmp_path / "attributes.toml").write_text(text, encoding="utf-8")
    assert [f.where for f in lint.unread_attributes(load_rulebase(tmp_path))] == idle


def test_a_basket_line_that_is_filled_needs_no_reader(tmp_path: Path) -> None:
    write_small(tmp_path)
    text = FILES["attributes.toml"] + IDLE_SIZE.replace('"size"', '"basket"').replace('"later"', '"never"')
    (tmp_path / "attributes.toml").write_text(text, encoding="utf-8")
    filling = rule_text("seeded", TURNED, '"idle is 2 mm"')
    (tmp_path / RULES).write_text(FILES[RULES] + filling, encoding="utf-8")
    assert list(lint.unread_attributes(load_rulebase(tmp_path))) == []


def test_numbers_of_candidates_cautions_and_sources_are_not_loose(tmp_path: Path) -> None:
    write_small(tmp_path, {"cautions.toml": ("hold nickel", "hold 7 parts of nickel"),
                           "sources.toml": ("Tests of straps", "Tests of 41 straps")})  # fmt: skip
    rule = rule_text(
        "seeded", TURNED, '"favour tannage veg_soft slightly", "caution nickel_on_skin"', source='["strap-tests"]',
        because='"Of 41 straps it bears 14, with 7 parts of nickel."',
    )  # fmt: skip
    (tmp_path / RULES).write_text(FILES[RULES] + rule, encoding="utf-8")
    assert list(lint.loose_numbers(load_rulebase(tmp_path))) == []


def test_a_clash_may_withdraw_what_it_does_not_speak_of(tmp_path: Path) -> None:
    write_small(tmp_path)
    rule = rule_text("seeded", '"layers >= 3"', '"clash heavy_and_turned"', over="flat-work-is-even")
    (tmp_path / RULES).write_text(FILES[RULES] + rule, encoding="utf-8")
    assert list(lint.idle_preferences(load_rulebase(tmp_path))) == []


def test_coverage_of_the_small_base(tmp_path: Path) -> None:
    write_small(tmp_path)
    unopened = rule_text("seeded", TURNED, SOFT, **PUBLISHED_MUST)
    (tmp_path / "rules/more.toml").write_text(unopened + unopened.replace("seeded", "sown"), encoding="utf-8")
    found = lint.coverage(load_rulebase(tmp_path))
    assert found.rules == {RULES: 8, "rules/more.toml": 2}
    assert found.basis == pytest.approx(
        {"published, opened": 0.2, "published, not opened": 0.2, "common practice": 0.4, "estimate": 0.2}
    )
    assert (found.items, found.attributes, found.decisions, found.cautions) == (1, 15, 3, 1)


def test_the_shipped_base_has_no_errors(rulebase: RuleBase) -> None:
    assert [str(f) for f in lint.check(rulebase) if f.severity == "error"] == []
    summary = lint.coverage(rulebase)
    assert sum(summary.basis.values()) == pytest.approx(1)
    assert sum(summary.rules.values()) == sum(1 for r in rulebase.rules.values() if r.item is None)
