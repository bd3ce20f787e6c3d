"""Each way of getting a rule file wrong is named with file, line, subject, expectation and nearest word."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from pathlib import Path

import pytest
from small_rulebase import FILES, rule_text, write_small

from advisor.errors import Problem, RuleBaseError
from advisor.rulebase import reading
from advisor.rulebase.load import load_rulebase
from advisor.rulebase.places import find_places

RULES, ITEMS = "rules/making.toml", "items/straps.toml"
ATTRIBUTES, DECISIONS = "attributes.toml", "decisions.toml"
THIN, NEEDLE, FIRM, SOFT = (
    "turned-work-wants-thin-leather",
    "seams-fit-the-needle",
    "loads-want-firm-leather",
    "turned-loads-stay-soft",
)
TURNED = '"construction is turned", "family is straps"'
THIN_THEN = '"weight at most 2.0 mm", "favour temper soft clearly"'
FOLD = "zone buckle fold"


@dataclass(frozen=True)
class Case:
    """One broken copy: ``old`` becomes ``new``; ``at`` stands on the wrong line, ``says`` is in the message."""

    name: str
    file: str
    old: str
    new: str
    at: str
    where: str
    says: tuple[str, ...]


def near(word: str) -> str:
    return f'The nearest valid word is "{word}".'


def in_rule(name: str, old: str, new: str, where: str, *says: str) -> Case:
    """A fault inside a rule: its line is the one that holds the new text."""
    return Case(name, RULES, old, new, new, where, says)


CASES = [
    in_rule(
        "unknown attribute",
        TURNED,
        '"constuction is turned"',
        THIN,
        'unknown attribute or decision "constuction"',
        near("construction"),
    ),
    in_rule(
        "unknown value",
        TURNED,
        '"construction is tuned"',
        THIN,
        'unknown value of construction "tuned"',
        near("turned"),
    ),
    in_rule(
        "unknown value of an item",
        TURNED,
        '"item is trouser_bell"',
        THIN,
        'unknown value of item "trouser_bell"',
        near("trouser_belt"),
    ),
    in_rule(
        "wrong dimension",
        "load_mass >= 20 kg",
        "load_mass >= 20 mm",
        FIRM,
        "load_mass",
        '"mm" is not a unit of the same kind as kg',
    ),
    in_rule("missing unit", "load_mass >= 20 kg", "load_mass >= 20", FIRM, '"20" needs a unit', "20 kg"),
    in_rule(
        "bare ounce",
        "weight at most 2.0 mm",
        "weight at most 5 oz",
        THIN,
        '"5 oz" can be a thickness or a mass',
        "oz_leather",
    ),
    in_rule(
        "leather ounce as a mass",
        "load_mass >= 20 kg",
        "load_mass >= 20 oz_leather",
        FIRM,
        '"20 oz_leather" is a thickness; expected kg',
    ),
    in_rule("number for a word", TURNED, '"construction is 38 mm"', THIN, 'unknown value of construction "38 mm"'),
    in_rule(
        "word for a number",
        "load_mass >= 20 kg",
        "load_mass >= heavy",
        FIRM,
        "expected a number with its unit, such as 25 kg",
    ),
    in_rule("part of a layer", "layers >= 2", "layers >= 2.5", NEEDLE, 'layers needs a whole number, found "2.5"'),
    in_rule("comparison of a word", TURNED, '"construction > turned"', THIN, "construction is not a number"),
    in_rule(
        "comparison of two kinds",
        "load_mass >= 20 kg",
        "load_mass > strap_width",
        FIRM,
        "load_mass and strap_width are not measured in the same unit",
    ),
    in_rule(
        "ends the wrong way round",
        "between 1 kg and 30 kg",
        "between 30 kg and 1 kg",
        SOFT,
        "has its ends the wrong way round",
    ),
    in_rule("no premise", TURNED, '"turned work"', THIN, '"turned work" is no premise; expected "ATTRIBUTE is VALUE"'),
    in_rule("no conclusion", THIN_THEN, '"take thin leather"', THIN, '"take thin leather" is no conclusion; expected'),
    in_rule(
        "is with a set",
        "hardware lacks rivet",
        "hardware is rivet",
        "flat-work-is-even",
        'hardware holds several values; write "includes" or "lacks"',
    ),
    in_rule(
        "includes with a single",
        TURNED,
        '"construction includes turned"',
        THIN,
        'construction holds one value; write "is" instead of "includes"',
    ),
    in_rule("set written as a single", THIN_THEN, '"hardware is buckle"', THIN, "hardware is a set: write includes"),
    in_rule(
        "two values of a single",
        THIN_THEN,
        '"construction is turned, flat_single"',
        THIN,
        "construction can hold only one value",
    ),
    in_rule(
        "favour without strength",
        "favour temper firm clearly",
        "favour temper firm",
        FIRM,
        '"favour temper firm" must end in slightly, clearly or strongly',
    ),
    in_rule(
        "unknown candidate",
        "favour temper firm clearly",
        "favour temper form clearly",
        FIRM,
        'unknown value of temper "form"',
        near("firm"),
    ),
    in_rule(
        "require on an attribute",
        THIN_THEN,
        '"require construction turned"',
        THIN,
        "construction is not a choice to be settled; require needs a decision with candidates",
    ),
    in_rule(
        "at least on a choice",
        THIN_THEN,
        '"temper at least 2 mm"',
        THIN,
        "temper has no window; at least needs a decision that is a quantity",
    ),
    in_rule("bound in another unit", THIN_THEN, '"weight at least load_mass"', THIN, "load_mass is not measured in mm"),
    in_rule(
        "those in a number",
        "exclude tannage those in disliked",
        "exclude tannage those in strap_width",
        "disliked-leather-stays-out",
        "the values of strap_width are not candidates of tannage",
    ),
    in_rule(
        "setting a decision", THIN_THEN, '"temper is soft"', THIN, "temper is a decision: favour, require or exclude"
    ),
    in_rule(
        "setting what a decision offers",
        THIN_THEN,
        '"suppose temper_offered includes soft"',
        THIN,
        "temper_offered is a decision",
    ),
    in_rule(
        "setting a computed attribute",
        THIN_THEN,
        '"stitchable_thickness is 2 mm"',
        THIN,
        "stitchable_thickness is computed and cannot be set by a rule",
    ),
    in_rule(
        "unknown caution",
        "caution nickel_on_skin",
        "caution nickel_on_skim",
        "sold-buckles-need-papers",
        'unknown caution "nickel_on_skim"',
        near("nickel_on_skin"),
    ),
    in_rule(
        "unknown clash",
        "clash heavy_and_turned",
        "clash heavy_and_turn",
        SOFT,
        'unknown clash "heavy_and_turn"',
        near("heavy_and_turned"),
    ),
    in_rule(
        "unknown outcome",
        "outcome ok_with_conditions",
        "outcome ok_with_condition",
        "sold-buckles-need-papers",
        'unknown outcome "ok_with_condition"',
        near("ok_with_conditions"),
    ),
    Case(
        "over without over_because",
        RULES,
        'over_because = "A corner that cracks carries nothing."\n',
        "",
        'over = ["loads-want-firm-leather"]',
        SOFT,
        ("over needs over_because",),
    ),
    in_rule(
        "over no rule",
        'over = ["loads-want-firm-leather"]',
        'over = ["loads-want-firm-lether"]',
        SOFT,
        'over names "loads-want-firm-lether", which is no rule',
        near(FIRM),
    ),
    in_rule(
        "should over must",
        'over = ["loads-want-firm-leather"]',
        f'over = ["{THIN}"]',
        SOFT,
        f"a should rule cannot be preferred to {THIN}, which is a must",
    ),
    Case(
        "unknown source",
        RULES,
        'source = ["strap-tests"]\n\n[[rule]]\nid = "turned-loads',
        'source = ["strap-test"]\n\n[[rule]]\nid = "turned-loads',
        '"strap-test"',
        FIRM,
        ('source "strap-test" is not declared in sources.toml', near("strap-tests")),
    ),
    Case(
        "published without source",
        RULES,
        'basis = "published"\nsource = ["strap-tests"]\n\n[[rule]]\nid = "turned',
        'basis = "published" # bare\n\n[[rule]]\nid = "turned',
        "# bare",
        FIRM,
        ('basis = "published" needs the source it is published in',),
    ),
    Case(
        "misspelt key",
        RULES,
        'because = "Four layers meet',
        'becuase = "Four layers meet',
        "becuase",
        THIN,
        ('"becuase" is no key here', near("because")),
    ),
    Case(
        "missing key",
        RULES,
        'because = "Four layers meet in a corner."\n',
        "",
        '[[rule]]\nid = "turned-work',
        THIN,
        ('the key "because" is missing',),
    ),
    Case(
        "wrong force",
        RULES,
        'force = "may"',
        'force = "maybe"',
        '"maybe"',
        "flat-work-is-even",
        ("force =", "expected 'must', 'should' or 'may'", near("may")),
    ),
    Case(
        "wrong concern",
        RULES,
        'concern = "physics"',
        'concern = "physic"',
        '"physic"',
        THIN,
        ("concern =", near("physics")),
    ),
    Case(
        "wrong basis",
        RULES,
        'A firm corner cracks when it is turned."\nbasis = "common practice"',
        'A firm corner cracks when it is turned."\nbasis = "comon practice"',
        '"comon practice"',
        SOFT,
        ("basis =", near("common practice")),
    ),
    Case(
        "no rule name",
        RULES,
        f'id = "{THIN}"',
        'id = "Turned Work"',
        "Turned Work",
        "Turned Work",
        ('"Turned Work" is no name', "lower case letters, digits and -"),
    ),
    Case(
        "duplicate rule",
        RULES,
        'id = "flat-work-is-even"',
        f'id = "{THIN}" # again',
        "# again",
        THIN,
        (f"already stands in {RULES}:2",),
    ),
    Case(
        "preferences in a circle",
        RULES,
        'basis = "published"\nsource = ["strap-tests"]\n\n[[rule]]\nid = "turned',
        'basis = "estimate"\nover = ["turned-loads-stay-soft"]\nover_because = "No."\n\n[[rule]]\nid = "turned',
        'over = ["turned-loads-stay-soft"]',
        FIRM,
        (f"{FIRM} over {SOFT} over {FIRM}", "circle"),
    ),
    Case("broken TOML", RULES, 'force = "may"', "force = may", "force = may", "", ("this is not TOML",)),
    Case(
        "cut-off TOML",
        RULES,
        'because = "One layer shows every fault of the surface."\nbasis = "common practice"\n',
        "because = [",
        "because = [",
        "",
        ("this is not TOML",),
    ),
    Case(
        "duplicate item in one file",
        ITEMS,
        "[item.trouser_belt.weight]",
        "[item.trouser_belt] # again\n[item.trouser_belt.weight]",
        "# again",
        "",
        ("this is not TOML",),
    ),
    Case(
        "unknown formula",
        ATTRIBUTES,
        'formula = "foldable_thickness"',
        'formula = "foldable_thicknes"',
        '"foldable_thicknes"',
        "stitchable_thickness",
        ('"foldable_thicknes" is no known formula', near("foldable_thickness")),
    ),
    Case(
        "wrong formula inputs",
        ATTRIBUTES,
        ', limit = "give" }',
        " }",
        'radius = "sew_max" }',
        "stitchable_thickness",
        ("needs the inputs limit, radius; found radius",),
    ),
    Case(
        "undeclared input",
        ATTRIBUTES,
        'limit = "give"',
        'limit = "given"',
        'limit = "given"',
        "stitchable_thickness",
        ('the input "given" is not declared', near("give")),
    ),
    Case(
        "unknown table",
        ATTRIBUTES,
        '"tannage.strength"',
        '"tannage.strengh"',
        '"tannage.strengh"',
        "strength",
        ('the input "tannage.strengh" is no table', near("tannage.strength")),
    ),
    Case(
        "table without a value",
        ATTRIBUTES,
        "[attribute.for_sale.values]",
        '[attribute.for_sale.tables.worth]\nbasis = "estimate"\nbecause = "x."\nsource = []\nof = { yes = 1 }\n'
        "[attribute.for_sale.values]",
        "of = {",
        "for_sale",
        ('table worth: the value "no" is missing', "withheld"),
    ),
    Case(
        "table with a strange value",
        ATTRIBUTES,
        "[attribute.for_sale.values]",
        '[attribute.for_sale.tables.worth]\nbasis = "estimate"\nbecause = "x."\nsource = []\n'
        'of = { yes = 1, noo = 0 }\nwithheld = ["no"]\n[attribute.for_sale.values]',
        "of = {",
        "for_sale",
        ('"noo" is no value of for_sale', near("no")),
    ),
    Case(
        "input in another unit",
        ATTRIBUTES,
        'radius = "sew_max"',
        'radius = "load_mass"',
        'radius = "load_mass"',
        "stitchable_thickness",
        ("radius must be mm; load_mass is kg",),
    ),
    Case(
        "input that is no zones",
        ATTRIBUTES,
        'zones = "zones"',
        'zones = "give"',
        'zones = "give"',
        "thickest_seam",
        ("zones must be zones; give is plain",),
    ),
    Case(
        "values from nowhere",
        ATTRIBUTES,
        'values_from = "tannage"',
        'values_from = "tanage"',
        '"tanage"',
        "disliked",
        ('values_from = "tanage" names neither items nor a decision', near("tannage")),
    ),
    Case(
        "choice without values",
        ATTRIBUTES,
        'values_from = "tannage"\n',
        "",
        "[attribute.disliked]",
        "disliked",
        ("a choice needs its allowed values",),
    ),
    Case(
        "quantity without unit",
        ATTRIBUTES,
        'unit = "kg"\n',
        "",
        "[attribute.load_mass]",
        "load_mass",
        ("a quantity needs unit",),
    ),
    Case(
        "limit in another unit",
        ATTRIBUTES,
        'low = "0 kg"',
        'low = "0 mm"',
        'low = "0 mm"',
        "load_mass",
        ("low: load_mass", '"mm" is not a unit of the same kind as kg'),
    ),
    Case(
        "asked without help",
        ATTRIBUTES,
        'help = "Made to order is a sale."\n',
        "",
        "[attribute.for_sale]",
        "for_sale",
        ("needs a question and a help with an example",),
    ),
    Case(
        "name of a decision",
        ATTRIBUTES,
        "[attribute.disliked]",
        "[attribute.temper]",
        "[attribute.temper]",
        "temper",
        ("already the name of a decision",),
    ),
    Case(
        "kept ending",
        ATTRIBUTES,
        "[attribute.disliked]",
        "[attribute.tannage_offered]",
        "[attribute.tannage_offered]",
        "tannage_offered",
        ("may not end in _offered, _excluded or _answered",),
    ),
    Case(
        "missing property",
        DECISIONS,
        'strength = "14 MPa"\n',
        "",
        "[decision.tannage.candidates.veg_soft]",
        "veg_soft",
        ('the property "strength" is missing',),
    ),
    Case(
        "misspelt property",
        DECISIONS,
        'strength = "14 MPa"',
        'strength = "14 MPa"\nstrenght = "14 MPa"',
        "strenght",
        "veg_soft",
        ('"strenght" is no declared property of tannage', near("strength")),
    ),
    Case(
        "property without unit",
        DECISIONS,
        '"14 MPa"',
        '"14"',
        '"14"',
        "veg_soft",
        ('strength: "14" needs a unit, for example 14 MPa',),
    ),
    Case(
        "property in another unit",
        DECISIONS,
        '"14 MPa"',
        '"14 mm"',
        '"14 mm"',
        "veg_soft",
        ('"mm" is not a unit of the same kind as MPa',),
    ),
    Case(
        "property of an unknown unit",
        DECISIONS,
        'unit = "MPa"',
        'unit = "mPa"',
        '"mPa"',
        "tannage",
        ("unit =", near("MPa")),
    ),
    Case(
        "property with unknown source",
        DECISIONS,
        '"strap-tests"',
        '"strap-text"',
        '"strap-text"',
        "tannage",
        ('source "strap-text" is not declared', near("strap-tests")),
    ),
    Case(
        "group without candidate",
        DECISIONS,
        '"veg_bridle", "veg_soft"',
        '"veg_bridle", "veg_sofa"',
        '"veg_sofa"',
        "tannage",
        ('group vegetable names "veg_sofa", which is no candidate', near("veg_soft")),
    ),
    Case(
        "candidate without meaning",
        DECISIONS,
        'means = "plant tanned and waxed"\n',
        "",
        "[decision.tannage.candidates.veg_bridle]",
        "veg_bridle",
        ('needs means = "..."',),
    ),
    Case(
        "decision without unit",
        DECISIONS,
        'unit = "mm"\n',
        "",
        "[decision.weight]",
        "weight",
        ("a quantity needs unit",),
    ),
    Case(
        "caution without source",
        "cautions.toml",
        'source = ["dye-safety"]\n',
        "",
        'basis = "published"',
        "nickel_on_skin",
        ("needs the source it is published in",),
    ),
    Case(
        "caution of wrong severity",
        "cautions.toml",
        'severity = "caution"',
        'severity = "warning"',
        '"warning"',
        "nickel_on_skin",
        ("expected 'note', 'caution' or 'stop'",),
    ),
    Case(
        "caution met by nothing known",
        "cautions.toml",
        "hardware includes buckle",
        "hardware includes buckel",
        "met_by",
        "nickel_on_skin",
        ('unknown value of hardware "buckel"', near("buckle")),
    ),
    Case(
        "caution met by a comparison",
        "cautions.toml",
        "hardware includes buckle",
        "sew_max < stitchable_thickness",
        "met_by",
        "nickel_on_skin",
        ("two attributes are not compared here",),
    ),
    Case(
        "caution met by an answer",
        "cautions.toml",
        "hardware includes buckle",
        "hardware is unanswered",
        "met_by",
        "nickel_on_skin",
        ("whether a person answered is not asked here",),
    ),
    Case(
        "caution told by none",
        "cautions.toml",
        "met_by = [",
        'told_by = ["nickel"]\nmet_by = [',
        "told_by",
        "nickel_on_skin",
        ('"nickel" is no other caution', near("nickel_on_skin")),
    ),
    Case(
        "kind of an unknown item",
        "cautions.toml",
        'items = ["trouser_belt"]',
        'items = ["trouser_bell"]',
        "items",
        "worn",
        ('"trouser_bell" is no item', near("trouser_belt")),
    ),
    Case(
        "kind of an unknown family",
        "cautions.toml",
        'items = ["trouser_belt"]',
        'families = ["strap"]',
        "families",
        "worn",
        ('"strap" is no family', near("straps")),
    ),
    Case(
        "clash without ways out",
        "clashes.toml",
        '["Sew it flat."]',
        "[]",
        "resolutions = []",
        "heavy_and_turned",
        ("resolutions: ", "at least 1 item"),
    ),
    Case(
        "source without opened",
        "sources.toml",
        "opened = false\n",
        "",
        "[source.dye-safety]",
        "dye-safety",
        ('the key "opened" is missing',),
    ),
    Case(
        "unknown supposition",
        ITEMS,
        '"strap_width is 38 mm"',
        '"strap_with is 38 mm"',
        "strap_with",
        "trouser_belt",
        ('unknown attribute or decision "strap_with"', near("strap_width")),
    ),
    Case(
        "unknown family",
        ITEMS,
        'family = "straps"',
        'family = "strap"',
        'family = "strap"',
        "trouser_belt",
        ('unknown value of family "strap"', near("straps")),
    ),
    Case(
        "ranking of no candidate",
        ITEMS,
        "veg_bridle = {",
        "veg_bridal = {",
        "veg_bridal",
        "trouser_belt",
        ('unknown value of tannage "veg_bridal"', near("veg_bridle")),
    ),
    Case(
        "neither favour nor against",
        ITEMS,
        'against = "strong", because = "A single',
        'because = "A single',
        "chrome_milled",
        "trouser_belt",
        ("chrome_milled needs either favour or against",),
    ),
    Case(
        "misspelt strength of a rank",
        ITEMS,
        'against = "strong"',
        'against = "stong"',
        "stong",
        "trouser_belt",
        ("against =", near("strong")),
    ),
    Case(
        "weight without unit",
        ITEMS,
        'max = "4.4 mm"',
        'max = "4.4"',
        'max = "4.4"',
        "trouser_belt",
        ('max: weight: "4.4" needs a unit',),
    ),
    Case(
        "falling weights",
        ITEMS,
        'usual_low = "3.2 mm"',
        'usual_low = "5.2 mm"',
        "[item.trouser_belt.weight]",
        "trouser_belt",
        ("min, usual_low, usual_high and max must not fall",),
    ),
    Case(
        "piece size of no attribute",
        ITEMS,
        '"2 x strap_width + 30 mm"',
        '"2 x strap_wide + 30 mm"',
        "strap_wide",
        "trouser_belt",
        ('piece keeper: "strap_wide" is no size in mm', near("strap_width")),
    ),
    Case(
        "piece size that is no sum",
        ITEMS,
        '"2 x strap_width + 30 mm"',
        '"2 * strap_width"',
        "2 * strap_width",
        "trouser_belt",
        ("piece keeper", "write terms such as"),
    ),
    Case(
        "misspelt key of a piece",
        ITEMS,
        'length = "900 mm"',
        'lenght = "900 mm"',
        "lenght",
        "trouser_belt",
        ('"lenght" is no key here', near("length")),
    ),
    Case(
        "zone size of no attribute",
        ITEMS,
        '"3 x strap_width"',
        '"3 x strap_wide"',
        "strap_wide",
        "trouser_belt",
        (f'{FOLD}: "strap_wide" is no size in mm', near("strap_width")),
    ),
    Case(
        "misspelt main leather in a zone",
        ITEMS,
        '"2 x weight + 1 mm"',
        '"2 x wieght + 1 mm"',
        "wieght",
        "trouser_belt",
        (f'{FOLD}: "wieght" is no size in mm', near("weight")),
    ),
    Case(
        "zone size that is no length",
        ITEMS,
        '"1.2 x weight + 0.5 mm"',
        '"1.2 x weight + load_mass"',
        "load_mass",
        "trouser_belt",
        (f'{FOLD}: "load_mass" is no size in mm',),
    ),
    Case(
        "seam measured in main leather",
        ITEMS,
        '"3 x strap_width"',
        '"3 x weight"',
        '"3 x weight"',
        "trouser_belt",
        (f'{FOLD}: "weight" is no size in mm',),
    ),
    Case(
        "main leather in a piece",
        ITEMS,
        '"12 mm"',
        '"4 x weight"',
        '"4 x weight"',
        "trouser_belt",
        ('piece keeper: "weight" is no size in mm',),
    ),
    Case(
        "zone of a wrong kind",
        ITEMS,
        'kind = "sewn"',
        'kind = "sewen"',
        '"sewen"',
        "trouser_belt",
        ("kind =", "expected 'sewn', 'riveted', 'folded' or 'closed'", near("sewn")),
    ),
    Case(
        "zone stack that is no sum",
        ITEMS,
        '"2 x weight + 1 mm"',
        '"2 * weight"',
        "2 * weight",
        "trouser_belt",
        (FOLD, "write terms such as"),
    ),
    Case(
        "skived stack that is no sum",
        ITEMS,
        '"1.2 x weight + 0.5 mm"',
        '"weight +"',
        '"weight +"',
        "trouser_belt",
        (FOLD, "write terms such as"),
    ),
    Case(
        "zone without a stack",
        ITEMS,
        'stack = "2 x weight + 1 mm"\n',
        "",
        "[[item.trouser_belt.zone]]",
        "trouser_belt",
        ('the key "stack" is missing',),
    ),
    Case(
        "misspelt key of a zone",
        ITEMS,
        "skived = ",
        "skivd = ",
        "skivd",
        "trouser_belt",
        ('"skivd" is no key here', near("skived")),
    ),
    Case(
        "misspelt table",
        "clashes.toml",
        "[clash.heavy",
        "[clashes.heavy",
        "[clashes",
        "",
        ('"clashes" is no key here', near("clash")),
    ),
]


def problems_of(folder: Path) -> tuple[Problem, ...]:
    with pytest.raises(RuleBaseError) as caught:
        load_rulebase(folder)
    assert str(caught.value) == "\n".join(map(str, caught.value.problems))
    return caught.value.problems


def line_of(text: str, mark: str) -> int:
    assert text.count(mark) == 1, f"{mark!r} must stand once"
    return text.count("\n", 0, text.index(mark)) + 1


def test_small_base_is_valid(tmp_path: Path) -> None:
    base = load_rulebase(write_small(tmp_path))
    assert (base.name, len(base.items), len(base.attributes)) == ("small", 1, 15)
    assert base.rules[SOFT].line == line_of(FILES[RULES], f'id = "{SOFT}"')


def test_table_is_long_enough() -> None:
    assert len({case.name for case in CASES}) == len(CASES) >= 30


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name.replace(" ", "-"))
def test_mistake_is_named(tmp_path: Path, case: Case) -> None:
    write_small(tmp_path, {case.file: (case.old, case.new)})
    text = (tmp_path / case.file).read_text(encoding="utf-8")
    problems = problems_of(tmp_path)
    (mine,) = [p for p in problems if all(said in str(p) for said in case.says)]
    assert (mine.file, mine.line, mine.where) == (case.file, line_of(text, case.at), case.where)


CIRCLES = [
    ("itself", [('"construction is known"', '"construction is flat_single"')], ["construction -> construction"]),
    (
        "absence",
        [('"layers is unknown"', '"construction is turned"'), ('"construction is turned"', '"layers is 2"')],
        ["construction by seeded-0", "layers by seeded-1"],
    ),
    (
        "formula",
        [('"stitchable_thickness < 2 mm"', '"sew_max is 6 mm"')],
        ["stitchable_thickness by formula foldable_thickness", "sew_max by seeded-0"],
    ),
    ("decision", [('"tannage is veg_soft"', '"disliked includes veg_soft"')], ["disliked by seeded-0", "tannage"]),
]


@pytest.mark.parametrize(("rules", "says"), [c[1:] for c in CIRCLES], ids=[c[0] for c in CIRCLES])
def test_circle_is_printed(tmp_path: Path, rules: list[tuple[str, str]], says: list[str]) -> None:
    write_small(tmp_path)
    more = [rule_text(f"seeded-{n}", when, then) for n, (when, then) in enumerate(rules)]
    text = FILES[RULES] + "".join(more)
    (tmp_path / RULES).write_text(text, encoding="utf-8")
    (problem,) = problems_of(tmp_path)
    assert problem.file == RULES
    assert problem.line == line_of(text, f'id = "{problem.where}"')
    assert "in a circle" in problem.what
    for expected in says:
        assert expected in problem.what


def test_circle_through_defeat_is_printed(tmp_path: Path) -> None:
    # The winner reads layers, so layers must be settled before the loser speaks of construction; but
    # construction feeds layers.
    write_small(tmp_path)
    loser = rule_text("loser", '"family is straps"', '"construction is turned"')
    winner = rule_text("winner", '"layers >= 3"', '"hardware includes rivet"', over="loser")
    feeder = rule_text("feeder", '"construction is turned"', '"layers is 4"')
    (tmp_path / RULES).write_text(FILES[RULES] + loser + winner + feeder, encoding="utf-8")
    (problem,) = problems_of(tmp_path)
    assert "construction by loser" in problem.what
    assert "layers by feeder" in problem.what


def test_circle_of_formulas_alone_is_shown_in_the_attributes(tmp_path: Path) -> None:
    write_small(tmp_path, {ATTRIBUTES: ('radius = "sew_max"', 'radius = "stitchable_thickness"')})
    (problem,) = problems_of(tmp_path)
    text = (tmp_path / ATTRIBUTES).read_text(encoding="utf-8")
    assert (problem.file, problem.where) == (ATTRIBUTES, "stitchable_thickness")
    assert problem.line == line_of(text, 'radius = "stitchable_thickness"')
    assert "stitchable_thickness -> stitchable_thickness" in problem.what


def test_circle_through_a_zone_is_shown_in_the_attributes(tmp_path: Path) -> None:
    write_small(tmp_path, {ITEMS: ('"3 x strap_width"', '"3 x thickest_seam"')})
    (problem,) = problems_of(tmp_path)
    line = line_of(FILES[ATTRIBUTES], 'inputs = { zones = "zones", weight = "weight" }')
    assert (problem.file, problem.line, problem.where) == (ATTRIBUTES, line, "thickest_seam")
    for expected in ("zones by the items' patterns", "thickest_seam by formula thickest_seam"):
        assert expected in problem.what


def test_several_mistakes_are_reported_together(tmp_path: Path) -> None:
    write_small(
        tmp_path,
        {
            RULES: (TURNED, '"constuction is turned", "family is strap"'),
            ITEMS: ('"strap_width is 38 mm"', '"strap_width is 38"'),
        },
    )
    text = (tmp_path / RULES).read_text(encoding="utf-8")
    assert [(p.file, p.line, p.where) for p in problems_of(tmp_path)] == [
        (ITEMS, line_of(FILES[ITEMS], "strap_width is 38 mm"), "trouser_belt"),
        (RULES, line_of(text, "constuction"), THIN),
        (RULES, line_of(text, "constuction"), THIN),
    ]


def test_wrong_shapes_in_several_files_are_reported_together(tmp_path: Path) -> None:
    write_small(
        tmp_path,
        {
            RULES: ('force = "may"', 'force = "can"'),
            ITEMS: ('count = 1\nlength = "900 mm"', 'count = 0\nlength = "900 mm"'),
            "sources.toml": ("opened = true", 'opened = "perhaps"'),
        },
    )
    assert {p.file for p in problems_of(tmp_path)} == {RULES, ITEMS, "sources.toml"}


def test_each_sentence_of_a_long_list_has_its_own_line(tmp_path: Path) -> None:
    write_small(tmp_path, {RULES: (f"when = [{TURNED}]", 'when = [\n  "family is straps",\n  "family is strap",\n]')})
    (problem,) = problems_of(tmp_path)
    assert problem.line == line_of((tmp_path / RULES).read_text(encoding="utf-8"), '"family is strap"')


def test_rule_named_in_an_earlier_over_keeps_its_own_line(tmp_path: Path) -> None:
    write_small(tmp_path, {RULES: ('over = ["loads-want', 'over = ["weak-leather-goes-thicker", "loads-want')})
    base = load_rulebase(tmp_path)
    text = (tmp_path / RULES).read_text(encoding="utf-8")
    assert base.rules["weak-leather-goes-thicker"].line == line_of(text, 'id = "weak-leather-goes-thicker"')


def test_item_declared_in_two_files(tmp_path: Path) -> None:
    write_small(tmp_path)
    (tmp_path / "items/zz_more.toml").write_text("# the same again\n" + FILES[ITEMS], encoding="utf-8")
    (problem,) = problems_of(tmp_path)
    assert (problem.file, problem.line, problem.where) == ("items/zz_more.toml", 2, "trouser_belt")
    assert f"already declared in {ITEMS}" in problem.what


def test_rule_declared_in_two_files(tmp_path: Path) -> None:
    write_small(tmp_path)
    (tmp_path / "rules/zz_more.toml").write_text(
        rule_text(THIN, '"family is straps"', '"weight at most 3 mm"'), encoding="utf-8"
    )
    (problem,) = problems_of(tmp_path)
    assert (problem.file, problem.line, problem.where) == ("rules/zz_more.toml", 3, THIN)
    assert f"already stands in {RULES}:2" in problem.what


def test_no_utf8(tmp_path: Path) -> None:
    write_small(tmp_path)
    (tmp_path / RULES).write_bytes(
        FILES[RULES].replace("corner.", "c\N{LATIN SMALL LETTER O WITH DIAERESIS}rner.").encode("latin-1")
    )
    (problem,) = problems_of(tmp_path)
    assert (problem.file, problem.line) == (RULES, line_of(FILES[RULES], "in a corner."))
    assert "not UTF-8" in problem.what


def test_too_large(tmp_path: Path) -> None:
    write_small(tmp_path)
    (tmp_path / RULES).write_text("#" * (reading.MAX_BYTES + 1), encoding="utf-8")
    (problem,) = problems_of(tmp_path)
    assert (problem.file, problem.line) == (RULES, 0)
    assert "larger than 1000000 bytes" in problem.what


def test_too_many_files(tmp_path: Path) -> None:
    write_small(tmp_path)
    for n in range(reading.MAX_FILES):
        (tmp_path / f"rules/more_{n}.toml").write_text("rule = []\n", encoding="utf-8")
    assert "more than 200 rule files" in problems_of(tmp_path)[0].what


@pytest.mark.parametrize("name", [n for n in FILES if "/" not in n])
def test_missing_file(tmp_path: Path, name: str) -> None:
    (write_small(tmp_path) / name).unlink()
    (problem,) = problems_of(tmp_path)
    assert (problem.file, problem.line) == (name, 0)
    assert "every rule base needs it" in problem.what


def test_missing_folder(tmp_path: Path) -> None:
    (problem,) = problems_of(tmp_path / "nowhere")
    assert problem.file.endswith("nowhere")
    assert "expected a folder" in problem.what


@pytest.mark.parametrize("value", ["[" * 5000 + "]" * 5000, "9" * 5000, "1", "[1]", "[[1]]", "{ id = 1 }"])
def test_hostile_file_is_refused_quietly(tmp_path: Path, value: str) -> None:
    write_small(tmp_path)
    (tmp_path / RULES).write_text(f"rule = {value}", encoding="utf-8")
    assert {p.file for p in problems_of(tmp_path)} == {RULES}


@pytest.mark.parametrize("name", list(FILES))
def test_any_line_lost_or_replaced_gives_a_rule_base_or_its_mistakes(tmp_path: Path, name: str) -> None:
    write_small(tmp_path)
    lines = FILES[name].split("\n")
    values = ["true", "-1", '"1/0 mm"', "[]", "{}", '["is", ""]', "1979-05-27", "nan", '"x_offered"']
    refused = 0
    for n, line in enumerate(lines):
        key, equals, _ = line.partition(" = ")
        for new in ("", *([f"{key} = {values[n % len(values)]}"] if equals else [f"{line}x", "[a]"])):
            (tmp_path / name).write_text("\n".join([*lines[:n], new, *lines[n + 1 :]]), encoding="utf-8")
            found: tuple[Problem, ...] = ()
            try:
                load_rulebase(tmp_path)
            except RuleBaseError as error:
                found = error.problems
            refused += bool(found)
            assert all(p.file in FILES and 0 <= p.line <= len(FILES[p.file].split("\n")) for p in found)
    assert refused > len(lines) // 2


@pytest.mark.parametrize("file", list(FILES))
def test_places_know_every_key_and_entry(file: str) -> None:
    places = find_places(FILES[file])
    lines = FILES[file].split("\n")
    seen = 0

    def walk(value: object, path: tuple[str | int, ...]) -> None:
        nonlocal seen
        if path:
            seen += 1
            last = next(step for step in reversed(path) if isinstance(step, str))
            line = lines[places[path] - 1]
            assert last in line or (isinstance(value, str) and value in line) or line == f"[[{last}]]", path
        if isinstance(value, dict):
            for key, inside in value.items():
                walk(inside, (*path, key))
        elif isinstance(value, list):
            for n, inside in enumerate(value):
                walk(inside, (*path, n))

    walk(tomllib.loads(FILES[file]), ())
    assert seen > 1


def test_places_in_every_way_of_writing() -> None:
    text = '''\
a.b = 1 # "c = 2"
"d e" = """
x = 3
[f]
"""
[[g.h]]
i = [ # ]
  "one", 'tw#o',
  { j = [1, 2], k.l = "}" },
]
[g.h.m]
n = 2020-01-01T00:00:00.5Z
[[g.h]]
o = ""
'''
    assert tomllib.loads(text)["g"]["h"][1] == {"o": ""}
    assert find_places(text) == {
        ("a",): 1,
        ("a", "b"): 1,
        ("d e",): 2,
        ("g",): 6,
        ("g", "h"): 6,
        ("g", "h", 0): 6,
        ("g", "h", 0, "i"): 7,
        ("g", "h", 0, "i", 0): 8,
        ("g", "h", 0, "i", 1): 8,
        ("g", "h", 0, "i", 2): 9,
        ("g", "h", 0, "i", 2, "j"): 9,
        ("g", "h", 0, "i", 2, "j", 0): 9,
        ("g", "h", 0, "i", 2, "j", 1): 9,
        ("g", "h", 0, "i", 2, "k"): 9,
        ("g", "h", 0, "i", 2, "k", "l"): 9,
        ("g", "h", 0, "m"): 11,
        ("g", "h", 0, "m", "n"): 12,
        ("g", "h", 1): 13,
        ("g", "h", 1, "o"): 14,
    }
