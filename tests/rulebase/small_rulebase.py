"""A rule base of a few lines per file, valid and without findings, to be broken in one place at a time."""

from __future__ import annotations

from pathlib import Path

FILES = {
    "rulebase.toml": """\
name = "small"
version = "1"
""",
    "attributes.toml": """\
[attribute.item]
kind = "choice"
values_from = "items"
group = "job"
ask = "first"
say = "{value}"
question = "What are you making?"
help = "A belt, for example."
dont_know = "the families are shown"

[attribute.family]
kind = "choice"
group = "job"
ask = "never"
say = "one of the {value}"
[attribute.family.values]
straps = { means = "belts and leads" }

[attribute.construction]
kind = "choice"
group = "make"
ask = "first"
say = "{value}"
question = "How will it go together?"
help = "Sewn inside out and then turned is \\"turned\\"."
dont_know = "one layer is supposed"
[attribute.construction.values]
turned = { means = "sewn inside out, then turned", words = ["inside out"] }
flat_single = { means = "one layer, nothing folded", words = ["single layer"] }

[attribute.hardware]
kind = "set"
group = "make"
ask = "later"
say = "with {value}"
question = "Which metal parts go on?"
help = "A buckle, for example."
dont_know = "none is supposed"
[attribute.hardware.values]
none = { means = "none of these" }
buckle = { means = "a buckle" }
rivet = { means = "rivets" }

[attribute.for_sale]
kind = "yes_no"
group = "job"
ask = "later"
question = "Is it for sale?"
help = "Made to order is a sale."
dont_know = "own use is supposed"
[attribute.for_sale.values]
yes = { means = "yes", say = "for sale" }
no = { means = "no", say = "for yourself" }

[attribute.strap_width]
kind = "quantity"
unit = "mm"
group = "size"
ask = "first"
say = "a strap {value} wide"
question = "How wide is the strap?"
help = "Jeans loops take \\"38 mm\\"."
dont_know = "the usual width is supposed"
low = "4 mm"
high = "120 mm"

[attribute.load_mass]
kind = "quantity"
unit = "kg"
group = "load"
ask = "later"
say = "a load of {value}"
question = "What does it carry?"
help = "A full bag is \\"8 kg\\"."
dont_know = "a light load is supposed"
low = "0 kg"
high = "500 kg"

[attribute.layers]
kind = "count"
group = "make"
ask = "later"
say = "layers: {value}"
question = "How many layers meet at the thickest seam?"
help = "A folded end is 2."
dont_know = "two are supposed"
low = 1
high = 12

[attribute.sew_max]
kind = "quantity"
unit = "mm"
group = "make"
ask = "later"
say = "sews {value}"
question = "How much can you sew through?"
help = "By hand about \\"8 mm\\"."
dont_know = "hand sewing is supposed"
low = "0.5 mm"
high = "30 mm"

[attribute.stitchable_thickness]
kind = "quantity"
unit = "mm"
group = "basket"
ask = "never"
say = "at most {value}"
formula = "foldable_thickness"
inputs = { radius = "sew_max", limit = "give" }

[attribute.give]
kind = "quantity"
unit = "plain"
group = "flex"
ask = "later"
say = "stretches {value}"
question = "How far may it stretch?"
help = "A fifth is 0.2."
dont_know = "little is supposed"
low = "0.01"
high = "0.9"

[attribute.zones]
kind = "zones"
group = "size"
ask = "never"

[attribute.thickest_seam]
kind = "quantity"
unit = "mm"
group = "basket"
ask = "never"
say = "a seam of {value}"
formula = "thickest_seam"
inputs = { zones = "zones", weight = "weight" }

[attribute.strength]
kind = "quantity"
unit = "MPa"
group = "basket"
ask = "never"
say = "breaks at {value}"
formula = "lookup"
inputs = { key = "tannage", table = "tannage.strength" }

[attribute.disliked]
kind = "set"
values_from = "tannage"
group = "job"
ask = "later"
say = "no {value}"
question = "Which leathers will you not work with?"
help = "Some do not like the smell of chrome leather."
dont_know = "no dislike is supposed"
""",
    "decisions.toml": """\
[decision.tannage]
kind = "choice"
name = "tannage"
[decision.tannage.properties.strength]
unit = "MPa"
basis = "estimate"
because = "On the low side of what is published."
source = ["strap-tests"]
[decision.tannage.candidates.veg_bridle]
means = "plant tanned and waxed"
words = ["bridle leather"]
strength = "22 MPa"
[decision.tannage.candidates.veg_soft]
means = "plant tanned and tumbled soft"
words = ["soft veg"]
strength = "14 MPa"
[decision.tannage.candidates.chrome_milled]
means = "chromium leather tumbled soft"
words = ["milled chrome"]
strength = "12 MPa"
[decision.tannage.groups]
vegetable = ["veg_bridle", "veg_soft"]

[decision.temper]
kind = "choice"
name = "temper"
[decision.temper.candidates.soft]
means = "folds under its own weight"
words = []
[decision.temper.candidates.firm]
means = "stands by itself"
words = []

[decision.weight]
kind = "quantity"
name = "weight"
unit = "mm"
""",
    "sources.toml": """\
[source.strap-tests]
title = "Tests of straps"
year = 1950
opened = true
[source.dye-safety]
title = "Safety of dyes"
opened = false
""",
    "cautions.toml": """\
[caution.nickel_on_skin]
severity = "caution"
about = "nickel"
tell_if = "its buckle touches bare skin"
say = "Cheap buckles may hold nickel. Ask for a statement."
basis = "published"
source = ["dye-safety"]
met_by = [["hardware includes buckle"]]

[kind.worn]
means = "worn round the waist"
items = ["trouser_belt"]
""",
    "clashes.toml": """\
[clash.heavy_and_turned]
between = "a heavy load against turning"
say = "A load wants thick leather and turning wants thin leather."
resolutions = ["Sew it flat."]
basis = "common practice"
""",
    "items/straps.toml": """\
[item.trouser_belt]
name = "trouser belt"
family = "straps"
too_thin = "It stretches and curls."
too_thick = "It is stiff round the waist."
words = ["belt"]
suppose = ["construction is flat_single", "strap_width is 38 mm", "hardware includes buckle"]
first_mistake = "Cutting to trouser size."
[item.trouser_belt.tannage]
veg_bridle = { favour = "strong", because = "It comes waxed." }
[item.trouser_belt.avoid]
chrome_milled = { against = "strong", because = "A single layer stretches." }
[item.trouser_belt.temper]
firm = { favour = "strong", because = "It does not roll." }
[item.trouser_belt.weight]
min = "2.8 mm"
usual_low = "3.2 mm"
usual_high = "4.0 mm"
max = "4.4 mm"
because = "One layer of 8 to 10 oz holds a buckle."
[[item.trouser_belt.piece]]
name = "strap"
part = "body"
count = 1
length = "900 mm"
width = "strap_width"
[[item.trouser_belt.piece]]
name = "keeper"
part = "body"
count = 1
length = "2 x strap_width + 30 mm"
width = "12 mm"
[[item.trouser_belt.zone]]
name = "buckle fold"
kind = "sewn"
stack = "2 x weight + 1 mm"
skived = "1.2 x weight + 0.5 mm"
seam = "3 x strap_width"
""",
    "rules/making.toml": """\
[[rule]]
id = "turned-work-wants-thin-leather"
when = ["construction is turned", "family is straps"]
then = ["weight at most 2.0 mm", "favour temper soft clearly"]
force = "must"
concern = "physics"
because = "Four layers meet in a corner."
basis = "common practice"
remedies = ["Pipe the seam instead."]

[[rule]]
id = "seams-fit-the-needle"
when = ["sew_max is known", "layers >= 2"]
then = ["weight at most stitchable_thickness"]
force = "should"
concern = "computed"
because = "The thickest seam must pass under the needle."
basis = "estimate"

[[rule]]
id = "loads-want-firm-leather"
when = ["load_mass >= 20 kg"]
then = ["favour temper firm clearly", "favour tannage vegetable slightly"]
force = "should"
concern = "use"
because = "Soft leather grows under load."
basis = "published"
source = ["strap-tests"]

[[rule]]
id = "turned-loads-stay-soft"
when = ["construction is turned", "load_mass between 1 kg and 30 kg"]
then = ["favour temper soft clearly", "clash heavy_and_turned"]
force = "should"
concern = "process"
because = "A firm corner cracks when it is turned."
basis = "common practice"
over = ["loads-want-firm-leather"]
over_because = "A corner that cracks carries nothing."

[[rule]]
id = "disliked-leather-stays-out"
when = ["item is known"]
then = ["exclude tannage those in disliked"]
force = "must"
concern = "stated wish"
because = "Nobody makes well with what they dislike."
basis = "common practice"
remedies = ["Try a sample first."]

[[rule]]
id = "sold-buckles-need-papers"
when = ["for_sale is yes", "hardware includes one of buckle, rivet"]
then = ["caution nickel_on_skin", "outcome ok_with_conditions"]
force = "must"
concern = "life and law"
because = "The law on nickel binds a seller."
basis = "published"
source = ["strap-tests"]

[[rule]]
id = "weak-leather-goes-thicker"
when = ["strength < 15 MPa"]
then = ["weight at least 3 mm"]
force = "should"
concern = "general habit"
because = "Thickness makes up for strength."
basis = "estimate"

[[rule]]
id = "flat-work-is-even"
when = ["construction is flat_single", "hardware lacks rivet"]
then = ["favour tannage veg_soft, chrome_milled slightly"]
force = "may"
concern = "general habit"
because = "One layer shows every fault of the surface."
basis = "common practice"
""",
}


def rule_text(rule_id: str, when: str, then: str, over: str = "", **keys: str) -> str:
    """One more rule to put after the others; ``keys`` are further keys or other values, as TOML."""
    fields = {
        "id": f'"{rule_id}"',
        "when": f"[{when}]",
        "then": f"[{then}]",
        "force": '"should"',
        "concern": '"use"',
        "because": f'"Seeded as {rule_id}."',
        "basis": '"common practice"',
    }
    if over:
        fields |= {"over": f'["{over}"]', "over_because": '"It is seeded."'}
    return "\n[[rule]]\n" + "".join(f"{key} = {value}\n" for key, value in (fields | keys).items())


def write_small(folder: Path, changes: dict[str, tuple[str, str]] | None = None) -> Path:
    """Write the rule base to ``folder``; ``changes`` are file -> (text that stands there once, new text)."""
    texts = dict(FILES)
    for name, (old, new) in (changes or {}).items():
        assert texts[name].count(old) == 1, f"{old!r} must stand once in {name}"
        texts[name] = texts[name].replace(old, new)
    for name, text in texts.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(text, encoding="utf-8")
    return folder
