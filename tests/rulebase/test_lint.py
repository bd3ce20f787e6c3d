"""Every check finds its fault in a copy of the small base, and finds nothing where there is none."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

import pytest
from small_rulebase import FILES, rule_text, write_small

from advisor.leather.formulas import FORMULAS
from advisor.read import lexicon
from advisor.reasoning.matching import pattern_of
from advisor.rulebase import lint
from advisor.rulebase import lint_declarations as declared
from advisor.rulebase import lint_labels as labels
from advisor.rulebase import lint_reach as reach
from advisor.rulebase.findings import Check, Finding
from advisor.rulebase.lint_candidates import CANDIDATE_CHECKS
from advisor.rulebase.load import load_rulebase
from advisor.rulebase.models import MOST_PREMISES, RuleBase

RULES, ITEMS = "rules/making.toml", "items/straps.toml"
TURNED, SOFT = '"construction is turned"', '"favour temper soft slightly"'
CROWD = ", ".join(['"hardware lacks rivet"', '"sew_max >= thickest_seam"', *(f'"layers >= {n}"' for n in range(1, 10))])
"""Thirteen tests in eleven premises: to lack is to be known and to be without it, and two sizes compared are two."""
BAG = '[item.bag]\nname = "bag"\nfamily = "straps"\nwords = ["bag"]\n'
FIRM_BELT = '[item.trouser_belt.temper]\nfirm = { favour = "strong", because = "It does not roll." }\n'
PUBLISHED_MUST = {"force": '"must"', "basis": '"published"', "source": '["dye-safety"]'}


@dataclass(frozen=True)
class Seed:
    """A fault sown: ``text`` is put after a file, or in place of ``old``; ``at`` stands on the line to be named."""

    check: Check
    severity: str
    file: str
    text: str
    at: str
    where: str
    says: str
    old: str = ""


def rule(check: Check, severity: str, says: str, *texts: str, at: str = "seeded") -> Seed:
    return Seed(check, severity, RULES, "".join(texts), f'id = "{at}"', at, says)


SEEDS = [
    Seed(
        declared.unused_cautions,
        "warning",
        "cautions.toml",
        '[caution.idle]\nseverity = "note"\nabout = "x"\nsay = "x"\nbasis = "estimate"\nmet_by = []\n',
        "[caution.idle]",
        "idle",
        "no rule raises this caution",
    ),
    Seed(
        declared.unmet_cautions,
        "error",
        "cautions.toml",
        '[caution.idle]\nseverity = "note"\nabout = "x"\nsay = "x"\nbasis = "estimate"\n',
        "[caution.idle]",
        "idle",
        "it does not say which thing can meet it",
    ),
    Seed(
        declared.untold_cautions,
        "error",
        "cautions.toml",
        '[caution.idle]\nseverity = "caution"\nabout = "x"\nsay = "x"\nbasis = "estimate"\n'
        'met_by = [["item is trouser_belt"]]\n',
        "[caution.idle]",
        "idle",
        "does not say what to tell",
    ),
    Seed(
        declared.twin_cautions,
        "error",
        "cautions.toml",
        '[caution.idle]\nseverity = "note"\nabout = "x"\nsay = "Cheap buckles may hold nickel. Ask for a statement."\n'
        'basis = "estimate"\nmet_by = []\n',
        "[caution.idle]",
        "idle",
        "it says the same as nickel_on_skin",
    ),
    Seed(declared.things_of_no_kind, "error", ITEMS, BAG, "[item.bag]", "bag", "no kind says what this item can meet"),
    Seed(
        declared.unused_clashes,
        "warning",
        "clashes.toml",
        '[clash.idle]\nbetween = "x"\nsay = "x"\nresolutions = ["x"]\nbasis = "estimate"\n',
        "[clash.idle]",
        "idle",
        "no rule finds this clash",
    ),
    Seed(
        declared.unused_sources,
        "warning",
        "sources.toml",
        '[source.idle]\ntitle = "x"\nopened = true\n',
        "[source.idle]",
        "idle",
        "nothing cites this source",
    ),
    Seed(
        declared.unread_attributes,
        "warning",
        "attributes.toml",
        '[attribute.idle]\nkind = "yes_no"\ngroup = "job"\nask = "later"\nquestion = "x"\nhelp = "x"\n',
        "[attribute.idle]",
        "idle",
        "this is asked and nothing reads it",
    ),
    Seed(
        declared.unread_attributes,
        "warning",
        "attributes.toml",
        '[attribute.idle]\nkind = "quantity"\nunit = "MPa"\ngroup = "load"\nask = "never"\nformula = "lookup"\n'
        'inputs = { key = "tannage", table = "tannage.strength" }\n',
        "[attribute.idle]",
        "idle",
        "this is computed and nothing reads it",
    ),
    Seed(
        declared.unread_attributes,
        "warning",
        "attributes.toml",
        '[attribute.idle]\nkind = "quantity"\nunit = "mm"\ngroup = "basket"\nask = "never"\n',
        "[attribute.idle]",
        "idle",
        "this is kept and nothing reads it",
    ),
    Seed(
        declared.unmentioned_values,
        "warning",
        "attributes.toml",
        'flat_single = { means = "x" }\nmoulded = { means = "x" }\nlaced = { means = "x" }',
        "[attribute.construction]",
        "construction",
        "tells moulded from laced",
        'flat_single = { means = "one layer, nothing folded", words = ["single layer"] }',
    ),
    Seed(
        declared.unfavoured_candidates,
        "warning",
        RULES,
        '"favour tannage veg_soft slightly"',
        "",
        "tannage",
        "nothing ever favours chrome_milled",
        '"favour tannage veg_soft, chrome_milled slightly"',
    ),
    Seed(
        declared.bare_items, "error", ITEMS, BAG, "[item.bag]", "bag", "no tannage ranking and no weight and no pieces"
    ),
    Seed(
        declared.missing_fallbacks,
        "warning",
        ITEMS,
        "",
        "[item.trouser_belt]",
        "trouser_belt",
        "nothing speaks for any temper of this item",
        FIRM_BELT,
    ),
    Seed(
        declared.clashing_words,
        "error",
        "attributes.toml",
        '"Inside-out"',
        "[attribute.construction]",
        "construction",
        '"Inside-out" is a word for flat_single and for turned of construction',
        '"single layer"',
    ),
    Seed(
        declared.clashing_words,
        "error",
        "attributes.toml",
        '[attribute.idle]\nkind = "choice"\ngroup = "job"\nask = "later"\nquestion = "x"\nhelp = "x"\n'
        '[attribute.idle.values]\nplain = { means = "x", words = ["single layer"] }\n',
        "[attribute.idle]",
        "idle",
        '"single layer" is a word for plain and for flat_single of construction',
    ),
    Seed(
        declared.clashing_words,
        "error",
        ITEMS,
        BAG.replace('["bag"]', '["Belt"]'),
        "[item.bag]",
        "bag",
        '"Belt" is a word for bag and for trouser_belt of item',
    ),
    Seed(
        declared.clashing_words,
        "error",
        "attributes.toml",
        '"not", "never mind"',
        "[attribute.construction]",
        "construction",
        '"not" alone is read as a no or a doubt',
        '"single layer"',
    ),
    Seed(
        declared.bounds_switched_off,
        "error",
        "attributes.toml",
        'low = "0 mm"\nhigh = "30 mm"',
        "[attribute.sew_max]",
        "sew_max",
        "whatever it limits would be without a limit",
        'low = "0.5 mm"\nhigh = "30 mm"',
    ),
    Seed(
        declared.silent_questions,
        "error",
        "attributes.toml",
        "",
        "[attribute.load_mass]",
        "load_mass",
        "it does not say what happens if nobody knows",
        'dont_know = "a light load is supposed"\n',
    ),
    Seed(
        declared.silent_questions,
        "warning",
        "attributes.toml",
        '"Weigh it."',
        "[attribute.load_mass]",
        "load_mass",
        "its help gives no example",
        '"A full bag is \\"8 kg\\"."',
    ),
    rule(
        reach.needless_premises,
        "warning",
        'holds whenever "item is trouser_belt" does',
        rule_text("seeded", '"item is trouser_belt", "family is straps"', SOFT),
    ),
    rule(
        reach.needless_premises,
        "warning",
        'holds whenever "layers >= 3" does',
        rule_text("seeded", '"layers is known", "layers >= 3"', SOFT),
    ),
    Seed(
        reach.unreachable_attributes,
        "warning",
        "attributes.toml",
        '[attribute.idle]\nkind = "choice"\ngroup = "load"\nask = "later"\nquestion = "x"\nhelp = "x"\n'
        'dont_know = "x"\n[attribute.idle.values]\nstatic = { means = "x" }\nshock = { means = "x" }\n'
        '[attribute.idle.tables.jerk]\nbasis = "estimate"\nbecause = "x"\nof = { static = 1.0, shock = 4.0 }\n'
        '[attribute.idle_sum]\nkind = "quantity"\nunit = "plain"\ngroup = "load"\nask = "never"\n'
        'formula = "lookup"\ninputs = { key = "idle", table = "idle.jerk" }\n',
        "[attribute.idle]",
        "idle",
        "what is read from this never reaches the advice",
    ),
    Seed(
        reach.idle_graves,
        "error",
        "attributes.toml",
        'nothing folded", grave = true, words',
        "[attribute.construction]",
        "construction",
        "flat_single is marked grave",
        'nothing folded", words',
    ),
    Seed(
        reach.idle_graves,
        "error",
        ITEMS,
        'family = "straps"\ngrave = true\n',
        "[item.trouser_belt]",
        "trouser_belt",
        "trouser_belt is marked grave",
        'family = "straps"\n',
    ),
    rule(
        reach.guessed_safety,
        "warning",
        "a must about life and law rests on an estimate",
        rule_text("seeded", TURNED, SOFT, force='"must"', concern='"life and law"', basis='"estimate"'),
    ),
    Seed(
        reach.unkept_promises,
        "warning",
        "attributes.toml",
        'dont_know = "7 kg is supposed"\n',
        "[attribute.load_mass]",
        "load_mass",
        '"7 kg is supposed" is promised, and nothing supposes it',
        'dont_know = "a light load is supposed"\n',
    ),
    rule(
        lint.empty_premises,
        "warning",
        "is true of every construction",
        rule_text("seeded", '"construction is one of flat_single, turned"', SOFT),
    ),
    rule(
        lint.empty_premises,
        "warning",
        '"load_mass between 0 kg and 500 kg" is true of every load_mass',
        rule_text("seeded", '"load_mass between 0 kg and 500 kg"', SOFT),
    ),
    rule(
        lint.mergeable_rules,
        "warning",
        "but for construction it is first-seed",
        rule_text("first-seed", f'{TURNED}, "for_sale is no"', SOFT, because='"It is one reason."'),
        rule_text("seeded", '"construction is flat_single", "for_sale is no"', SOFT, because='"It is one reason."'),
    ),
    rule(
        lint.mergeable_rules,
        "warning",
        "but for hardware it is seeded-buckle",
        rule_text("seeded-buckle", '"hardware includes buckle"', SOFT),
        rule_text("seeded-rivet", '"hardware includes rivet"', SOFT),
        at="seeded-rivet",
    ),
    rule(
        lint.threshold_edges,
        "warning",
        '"strap_width <= 20 mm" and "strap_width >= 20.1 mm" of other-seed leave a hole',
        rule_text("seeded", '"strap_width <= 20 mm", "for_sale is no"', SOFT),
        rule_text("other-seed", '"strap_width >= 20.1 mm"', '"favour temper firm slightly"'),
    ),
    rule(
        lint.twin_rules,
        "error",
        "this says the same as first-seed",
        rule_text("first-seed", '"layers >= 3", "for_sale is no"', SOFT),
        rule_text("seeded", '"for_sale is no", "layers >= 3"', SOFT, force='"must"'),
    ),
    rule(
        lint.subsumed_rules,
        "warning",
        "wide-seed already says this on fewer premises",
        rule_text("seeded", '"layers >= 3", "for_sale is no"', SOFT),
        rule_text("wide-seed", '"layers >= 3"', SOFT),
    ),
    rule(
        lint.impossible_rules,
        "error",
        "its premises about construction contradict each other",
        rule_text("seeded", f'{TURNED}, "construction is not turned"', SOFT),
    ),
    rule(
        lint.crowded_rules,
        "error",
        "its premises are 15 tests, and an engine takes 14",
        rule_text("seeded", f'{CROWD}, "disliked lacks veg_bridle"', SOFT),
    ),
    rule(
        lint.preferences_that_never_meet,
        "error",
        "contradict each other on construction",
        rule_text("seeded", TURNED, '"favour tannage veg_soft slightly"', over="flat-work-is-even"),
    ),
    rule(
        lint.idle_preferences,
        "warning",
        "it speaks of nothing that flat-work-is-even speaks of",
        rule_text("seeded", '"layers >= 3"', SOFT, over="flat-work-is-even"),
    ),
    rule(
        lint.idle_preferences,
        "error",
        "weak-seed only raises cautions, which are never withdrawn",
        rule_text("weak-seed", '"layers >= 4"', '"caution nickel_on_skin"'),
        rule_text("seeded", '"layers >= 3"', SOFT, over="weak-seed"),
    ),
    rule(
        lint.no_remedies,
        "warning",
        "it forbids and names no way out",
        rule_text("seeded", TURNED, '"weight at most 3 mm"', force='"must"'),
    ),
    rule(
        lint.no_remedies,
        "warning",
        "it forbids and names no way out",
        rule_text("seeded", TURNED, '"exclude temper firm"', force='"must"'),
    ),
    rule(
        lint.orders_of_deferrals,
        "error",
        "it defers and does not say whether an order is shown",
        rule_text("seeded", TURNED, '"outcome defer"'),
    ),
    rule(
        lint.orders_of_deferrals,
        "error",
        'it does not defer, so order = "shown" says nothing',
        rule_text("seeded", TURNED, SOFT, order='"shown"'),
    ),
    rule(
        lint.unending_dangers,
        "error",
        "it leaves the outcome undecided and waits for no answer",
        rule_text("seeded", f'{TURNED}, "layers is unknown"', '"outcome undecided"'),
    ),
    rule(
        lint.unending_dangers,
        "error",
        "it leaves the outcome undecided and waits for no answer",
        rule_text("seeded", '"family is unanswered"', '"outcome undecided"'),
    ),
    rule(
        lint.unopened_musts, "warning", "nobody opened dye-safety", rule_text("seeded", TURNED, SOFT, **PUBLISHED_MUST)
    ),
    rule(
        lint.long_sentences,
        "error",
        "because has a sentence of 26 words",
        rule_text("seeded", TURNED, SOFT, because=f'"Short. {" ".join(["word"] * 26)}."'),
    ),
    Seed(
        lint.long_sentences,
        "error",
        "cautions.toml",
        f'say = "{" ".join(["word"] * 30)}."',
        "[caution.nickel_on_skin]",
        "nickel_on_skin",
        "say has a sentence of 30 words",
        'say = "Cheap buckles may hold nickel. Ask for a statement."',
    ),
    Seed(
        lint.long_sentences,
        "error",
        "clashes.toml",
        f'["{" ".join(["word"] * 27)}."]',
        "[clash.heavy_and_turned]",
        "heavy_and_turned",
        "resolutions has a sentence of 27 words",
        '["Sew it flat."]',
    ),
    Seed(
        lint.long_sentences,
        "error",
        "attributes.toml",
        f'help = "{" ".join(["word"] * 28)}."',
        "[attribute.load_mass]",
        "load_mass",
        "help has a sentence of 28 words",
        'help = "A full bag is \\"8 kg\\"."',
    ),
    Seed(
        lint.long_sentences,
        "error",
        ITEMS,
        f'because = "{" ".join(["word"] * 29)}."',
        "[item.trouser_belt]",
        "trouser_belt",
        "has a sentence of 29 words",
        'because = "It does not roll."',
    ),
    rule(
        lint.repeated_because,
        "warning",
        "its because is that of turned-work-wants-thin-leather",
        rule_text("seeded", TURNED, SOFT, because='"Four layers meet in a corner."'),
    ),
    rule(
        lint.loose_numbers,
        "warning",
        "its because says 7.5, which the rule does not use",
        rule_text("seeded", '"layers >= 3"', SOFT, because='"Over 3 layers 7.5 mm is too much."'),
    ),
    Seed(
        labels.labels_read,
        "error",
        "attributes.toml",
        'label = "how wide the strap is when it is cut"\nsay = "a strap',
        "[attribute.strap_width]",
        "strap_width",
        "has 36 characters",
        'say = "a strap',
    ),
    Seed(
        labels.labels_read,
        "error",
        "attributes.toml",
        'flat_single = { label = "1layer", means',
        "[attribute.construction]",
        "construction",
        "does not read as words",
        "flat_single = { means",
    ),
    Seed(
        labels.labels_read,
        "error",
        "rulebase.toml",
        'version = "1"\nunlabelled = ["bridle"]\n',
        "",
        "tannage",
        'the label "veg bridle" says "bridle"',
        'version = "1"\n',
    ),
    Seed(
        labels.labels_read,
        "error",
        ITEMS,
        'name = "belt of 38mm"',
        "[item.trouser_belt]",
        "trouser_belt",
        "does not read as words",
        'name = "trouser belt"',
    ),
    Seed(
        labels.labels_differ,
        "error",
        "attributes.toml",
        'rivet = { label = "buckle", means',
        "[attribute.hardware]",
        "hardware",
        'buckle and rivet are both called "buckle"',
        "rivet = { means",
    ),
    Seed(
        labels.labels_differ,
        "error",
        "attributes.toml",
        'label = "layers"\nsay = "sews',
        "[attribute.sew_max]",
        "sew_max",
        'layers and sew_max are both called "layers"',
        'say = "sews',
    ),
    Seed(
        labels.plurals_are_given,
        "error",
        ITEMS,
        'name = "belt for trousers"',
        "[item.trouser_belt]",
        "trouser_belt",
        '"belt for trouserses" is no plural',
        'name = "trouser belt"',
    ),
    Seed(
        labels.plurals_are_given,
        "error",
        ITEMS,
        'name = "belt or straps"',
        "[item.trouser_belt]",
        "trouser_belt",
        '"belt or strapses" is no plural',
        'name = "trouser belt"',
    ),
    Seed(
        labels.plurals_are_given,
        "error",
        ITEMS,
        'name = "belts"',
        "[item.trouser_belt]",
        "trouser_belt",
        '"beltses" is no plural',
        'name = "trouser belt"',
    ),
    Seed(
        labels.facts_can_be_said,
        "error",
        "attributes.toml",
        'say = "a wide strap"',
        "[attribute.strap_width]",
        "strap_width",
        "its say does not hold {value}",
        'say = "a strap {value} wide"',
    ),
    Seed(
        labels.facts_can_be_said,
        "error",
        "attributes.toml",
        'say = "a load of {mass} or {value}"',
        "[attribute.load_mass]",
        "load_mass",
        "holds {mass}",
        'say = "a load of {value}"',
    ),
    Seed(
        labels.facts_can_be_said,
        "error",
        "attributes.toml",
        'yes = { means = "yes" }',
        "[attribute.for_sale]",
        "for_sale",
        "no say tells it of yes",
        'yes = { means = "yes", say = "for sale" }',
    ),
    Seed(
        labels.facts_can_be_said,
        "error",
        ITEMS,
        'words = ["belt"]\nask.load_mass = { say = "a heavy buckle" }',
        "[item.trouser_belt]",
        "trouser_belt",
        '"a heavy buckle" does not hold {value}',
        'words = ["belt"]',
    ),
    Seed(
        labels.own_questions_have_examples,
        "error",
        ITEMS,
        'words = ["belt"]\nask.load_mass = { question = "How heavy is the buckle?" }',
        "[item.trouser_belt]",
        "trouser_belt",
        "load_mass is asked for and has no example number",
        'words = ["belt"]',
    ),
]


def checked(folder: Path, seed: Seed) -> list[Finding]:
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
    # Those of candidates need a base with many leathers: test_new_leather sows each.
    assert {seed.check for seed in SEEDS} | {declared.formula_dangers, *CANDIDATE_CHECKS} == set(lint.CHECKS)


def over_nothing(radius: float, limit: float) -> float:
    return radius / (limit - 0.9)


def beyond_numbers(radius: float, limit: float) -> float:
    return radius * float("inf") if limit < 0.1 else radius


def refusing(radius: float, limit: float) -> float:
    raise ValueError(f"{radius} and {limit} are refused.")


@pytest.mark.parametrize(
    ("function", "says"),
    [
        (over_nothing, ["foldable_thickness fails with ZeroDivisionError", "for radius 0.5, limit 0.9."]),
        (beyond_numbers, ["foldable_thickness gives inf, for radius 0.5, limit 0.01."]),
        (refusing, []),
    ],
)
def test_formulas_are_run_at_both_ends(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, function: Callable[..., float], says: list[str]
) -> None:
    base = load_rulebase(write_small(tmp_path))
    bad = replace(FORMULAS["foldable_thickness"], function=function)
    monkeypatch.setattr(declared, "FORMULAS", {**FORMULAS, bad.name: bad})
    found = list(declared.formula_dangers(base))
    assert [(f.severity, f.where) for f in found] == ([("error", "stitchable_thickness")] if says else [])
    assert all(part in f.what for f in found for part in says)


def test_a_reader_knows_the_words_for_no() -> None:
    assert {lexicon.fold(word) for word in declared.NEGATIONS} == lexicon.NO | lexicon.MAYBE | lexicon.SOFTLY


def findings_of_pair(folder: Path, check: Check, first: tuple[str, str], second: tuple[str, str]) -> list[Finding]:
    """What a check says of two more rules, each of them premises and conclusions."""
    write_small(folder)
    both = rule_text("seeded-first", *first) + rule_text("seeded-second", *second)
    (folder / RULES).write_text(FILES[RULES] + both, encoding="utf-8")
    return list(check(load_rulebase(folder)))


@pytest.mark.parametrize(
    ("first", "second", "flaw"),
    [
        ("strap_width < 20 mm", "strap_width > 20 mm", "leave a hole"),
        ("strap_width <= 20 mm", "strap_width >= 20.01 mm", "leave a hole"),
        ("strap_width >= 20 mm", "strap_width <= 20.1 mm", "overlap by a step"),
        ("strap_width <= 20 mm", "strap_width >= 20 mm", "overlap in one number"),
        ("strap_width < 20 mm", "strap_width >= 20 mm", None),
        ("strap_width <= 20 mm", "strap_width >= 25 mm", None),
        ("layers <= 2", "layers >= 4", "leave a hole"),
        ("layers <= 3", "layers >= 3", "overlap by one"),
        ("layers <= 3", "layers > 2", "overlap by one"),
        ("layers <= 2", "layers >= 3", None),
        ("layers < 3", "layers > 2", None),
        ("layers <= 3", "layers >= 6", None),
    ],
)
def test_borders_between_two_rules(tmp_path: Path, first: str, second: str, flaw: str | None) -> None:
    firm = '"favour temper firm slightly"'
    found = findings_of_pair(tmp_path, lint.threshold_edges, (f'"{first}"', SOFT), (f'"{second}"', firm))
    assert [flaw in f.what for f in found if flaw] == ([True] if flaw else [])
    assert bool(found) == bool(flaw)


@pytest.mark.parametrize(
    ("first", "second"),
    [
        (('"strap_width < 20 mm"', '"favour tannage veg_soft slightly"'), ('"strap_width > 20 mm"', SOFT)),
        (('"strap_width < 20 mm", "for_sale is no"', SOFT), ('"strap_width > 20 mm", "layers is 2"', SOFT)),
        (('"strap_width < 20 mm"', '"exclude temper firm"'), ('"strap_width > 20 mm"', '"exclude temper soft"')),
        (('"layers < 3"', SOFT), ('"layers > 3", "layers is 3"', SOFT)),
    ],
)
def test_borders_of_rules_about_different_things_do_not_meet(
    tmp_path: Path, first: tuple[str, str], second: tuple[str, str]
) -> None:
    assert findings_of_pair(tmp_path, lint.threshold_edges, first, second) == []


@pytest.mark.parametrize(
    "premise",
    [
        '"load_mass <= 499 kg"',
        '"load_mass > 0 kg"',
        '"give >= 0.01", "give < 0.9"',
        '"tannage is one of vegetable"',
        '"tannage_excluded includes one of vegetable"',
        '"strap_width > stitchable_thickness"',
    ],
)
def test_a_premise_that_some_value_fails_says_something(tmp_path: Path, premise: str) -> None:
    found = findings_of_pair(tmp_path, lint.empty_premises, (premise, SOFT), (TURNED, SOFT))
    assert [f.what for f in found] == (['"give >= 0.01" is true of every give.'] if "give" in premise else [])


@pytest.mark.parametrize(
    ("first", "second"),
    [
        ((TURNED, SOFT), ('"construction is not turned"', SOFT)),
        ((TURNED, SOFT), ('"construction is flat_single", "for_sale is no"', SOFT)),
        ((TURNED, SOFT), ('"construction is flat_single"', '"favour temper soft clearly"')),
        ((TURNED, SOFT), ('"hardware includes rivet"', SOFT)),
        (('"layers <= 2"', SOFT), ('"layers >= 3"', SOFT)),
    ],
)
def test_rules_that_no_list_of_values_unites(tmp_path: Path, first: tuple[str, str], second: tuple[str, str]) -> None:
    assert findings_of_pair(tmp_path, lint.mergeable_rules, first, second) == []


def test_rules_beaten_by_different_rules_stay_apart(tmp_path: Path) -> None:
    flat = '"construction is flat_single"'
    assert len(findings_of_pair(tmp_path, lint.mergeable_rules, (TURNED, SOFT), (flat, SOFT))) == 1
    better = rule_text("better", '"for_sale is no"', '"favour temper firm clearly"', over="seeded-first")
    text = (tmp_path / RULES).read_text(encoding="utf-8")
    (tmp_path / RULES).write_text(text + better, encoding="utf-8")
    assert list(lint.mergeable_rules(load_rulebase(tmp_path))) == []


@pytest.mark.parametrize(
    ("when", "spoken_for"),
    [
        ('"item is known"', True),
        ('"construction is flat_single"', True),
        ('"construction is not turned"', True),
        ('"layers is unknown"', True),
        ('"thickest_seam > 2 mm"', True),
        ('"strap_width > 30 mm"', True),
        (TURNED, False),
        ('"construction is not flat_single"', False),
        ('"layers >= 2"', False),
        ('"stitchable_thickness > 1 mm"', False),
    ],
)
def test_a_choice_is_spoken_for_by_what_follows_from_the_item(tmp_path: Path, when: str, spoken_for: bool) -> None:
    write_small(tmp_path, {ITEMS: (FIRM_BELT, "")})
    (tmp_path / RULES).write_text(FILES[RULES] + rule_text("seeded", when, SOFT), encoding="utf-8")
    assert bool(list(declared.missing_fallbacks(load_rulebase(tmp_path)))) != spoken_for


@pytest.mark.parametrize(("outcome", "warned"), [("refuse", False), ("defer", True)])
def test_a_refused_item_needs_no_fallback(tmp_path: Path, outcome: str, warned: bool) -> None:
    write_small(tmp_path, {ITEMS: (FIRM_BELT, "")})
    refusal = rule_text("seeded", '"item is trouser_belt"', f'"outcome {outcome}"')
    (tmp_path / RULES).write_text(FILES[RULES] + refusal, encoding="utf-8")
    assert bool(list(declared.missing_fallbacks(load_rulebase(tmp_path)))) == warned


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
    assert len(list(declared.bare_items(load_rulebase(tmp_path)))) == bare


IDLE_SIZE = """
[attribute.idle]
kind = "quantity"
unit = "mm"
group = "size"
ask = "later"
question = "How thick is the lining?"
help = "A thin one is \\"0.8 mm\\"."
"""


@pytest.mark.parametrize(
    "text", ['stack = "2 x weight + 1 mm"', 'skived = "1.2 x weight + 0.5 mm"', 'seam = "3 x strap_width"']
)
def test_what_a_zone_is_computed_from_is_read(tmp_path: Path, text: str) -> None:
    write_small(tmp_path, {ITEMS: (text, f'{text[:-1]} + idle"')})
    (tmp_path / "attributes.toml").write_text(FILES["attributes.toml"] + IDLE_SIZE, encoding="utf-8")
    assert list(declared.unread_attributes(load_rulebase(tmp_path))) == []


@pytest.mark.parametrize(("skived", "idle"), [('skived = "1.2 x weight + 0.5 mm"\n', []), ("", ["skive"])])
def test_skiving_is_read_where_a_zone_says_what_it_leaves(tmp_path: Path, skived: str, idle: list[str]) -> None:
    write_small(tmp_path, {ITEMS: ('skived = "1.2 x weight + 0.5 mm"\n', skived)})
    text = FILES["attributes.toml"] + IDLE_SIZE.replace(".idle", ".skive")
    (tmp_path / "attributes.toml").write_text(text, encoding="utf-8")
    assert [f.where for f in declared.unread_attributes(load_rulebase(tmp_path))] == idle


def test_a_basket_line_that_is_filled_needs_no_reader(tmp_path: Path) -> None:
    write_small(tmp_path)
    text = FILES["attributes.toml"] + IDLE_SIZE.replace('"size"', '"basket"').replace('"later"', '"never"')
    (tmp_path / "attributes.toml").write_text(text, encoding="utf-8")
    filling = rule_text("seeded", TURNED, '"idle is 2 mm"')
    (tmp_path / RULES).write_text(FILES[RULES] + filling, encoding="utf-8")
    assert list(declared.unread_attributes(load_rulebase(tmp_path))) == []


def test_numbers_of_candidates_cautions_and_sources_are_not_loose(tmp_path: Path) -> None:
    write_small(
        tmp_path,
        {
            "cautions.toml": ("hold nickel", "hold 7 parts of nickel"),
            "sources.toml": ("Tests of straps", "Tests of 41 straps"),
        },
    )
    rule = rule_text(
        "seeded",
        TURNED,
        '"favour tannage veg_soft slightly", "caution nickel_on_skin"',
        source='["strap-tests"]',
        because='"Of 41 straps it bears 14, with 7 parts of nickel."',
    )
    (tmp_path / RULES).write_text(FILES[RULES] + rule, encoding="utf-8")
    assert list(lint.loose_numbers(load_rulebase(tmp_path))) == []


def test_as_many_premises_as_an_engine_takes_are_not_too_many(tmp_path: Path) -> None:
    write_small(tmp_path)
    crowd = rule_text("seeded", f'{CROWD}, "load_mass >= 1 kg"', SOFT)
    (tmp_path / RULES).write_text(FILES[RULES] + crowd, encoding="utf-8")
    base = load_rulebase(tmp_path)
    assert list(lint.crowded_rules(base)) == []
    assert lint.tests_of(base.rules["seeded"]) == MOST_PREMISES


def test_premises_are_counted_as_an_engine_gets_them(rulebase: RuleBase) -> None:
    for rule in rulebase.rules.values():
        pattern = pattern_of(rule)
        assert lint.tests_of(rule) == len(pattern.present) + len(pattern.absent), rule.id


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
