"""The answer on one screen and the slip, over every item: what must be there, what must not, and how long it is."""

from __future__ import annotations

import re
from collections.abc import Mapping

import pytest
from plain import plain_advice, sampled
from table import Row, rows

from advisor import Advice, consult
from advisor.read.reader import read_sentence
from advisor.reasoning.advice import OrderLine
from advisor.reasoning.changes import present
from advisor.reasoning.facts import parse_answers
from advisor.reasoning.tipping import deciding
from advisor.rulebase.models import RuleBase
from advisor.write import sketch
from advisor.write.assumed import MOST_DECIDING, assumed_said
from advisor.write.buying import stands
from advisor.write.page import ORDER, Page
from advisor.write.reasons import not_this
from advisor.write.screen import LINES, advice_lines, disputes, order_lines
from advisor.write.slip import LINES as SLIP_LINES
from advisor.write.slip import slip_lines

SHARE_THAT_FITS, ORDER_WITHIN = 0.92, 8


@pytest.fixture(scope="module")
def table(rulebase: RuleBase) -> Mapping[str, Row]:
    return {row.item: row for row in rows(rulebase, plain_advice)}


def ordered(advice: Advice) -> list[OrderLine]:
    """The lines of an order that is shown."""
    return advice.order.lines if stands(advice) else []


def unsaid(advice: Advice, said: str) -> list[str]:
    """The lines of a shown order that are not said."""
    return [line.label for line in ordered(advice) if not is_said(line.label, said)]


def run_on(lines: list[str]) -> str:
    """The words of lines in a row, without the headings and indents that part them."""
    return " ".join(" ".join(re.sub(r"^[A-Z][A-Z ]{2,10}  ?|^  (?:and|Cost) ", "", line) for line in lines).split())


def test_a_screen_holds_nearly_every_answer(table: Mapping[str, Row]) -> None:
    long = {item: len(row.screen) for item, row in table.items() if len(row.screen) > LINES}
    assert len(long) <= (1 - SHARE_THAT_FITS) * len(table), long


def test_the_order_stands_in_the_first_lines(table: Mapping[str, Row]) -> None:
    late = {item: row.order_ends for item, row in table.items() if row.order_ends > ORDER_WITHIN}
    assert late == {}
    assert all(bool(row.order_ends) == stands(row.advice) for row in table.values())


def test_a_slip_is_one_page_of_a5(table: Mapping[str, Row]) -> None:
    assert {item: len(row.slip) for item, row in table.items() if len(row.slip) > SLIP_LINES} == {}


@pytest.mark.parametrize("width", sampled([40, 60, 80, 120], 2))
def test_no_line_is_wider_than_the_terminal(rulebase: RuleBase, table: Mapping[str, Row], width: int) -> None:
    for item, row in table.items():
        for lines in (advice_lines(rulebase, row.advice, width), slip_lines(rulebase, row.advice, width)):
            assert [line for line in lines if len(line) > width] == [], item


def test_no_slug_and_no_rule_is_shown(rulebase: RuleBase, table: Mapping[str, Row]) -> None:
    for item, row in table.items():
        for lines in (row.screen[:-1], row.slip):
            text = "\n".join(lines)
            assert [odd for odd in ("_", "None", "index", "(strong)") if odd in text] == [], item
            assert not {f"[{rule}]" for rule in rulebase.rules} & set(re.findall(r"\[[^\]]+\]", text)), item


def is_said(label: str, text: str) -> bool:
    """The words of a label one after another; two or more have an s, and what is sold in packs has its size inside."""
    return re.search(r"s?(?: [\d.]+ mm(?: \w+)?)? ".join(map(re.escape, label.split())), text) is not None


def test_every_line_of_the_order_is_said(table: Mapping[str, Row]) -> None:
    for item, row in table.items():
        for lines in (row.screen, row.slip if row.advice.outcome != "defer" else row.screen):
            said = run_on(lines)
            assert unsaid(row.advice, said) == [], item


def test_where_makers_differ_about_this_order_it_is_said(rulebase: RuleBase, table: Mapping[str, Row]) -> None:
    differing = {
        item: found for item, row in table.items() if (found := disputes(rulebase, row.advice)) and stands(row.advice)
    }
    assert len(differing) > 2
    assert not any("burnish" in text for found in differing.values() for text in found)
    for item, found in differing.items():
        assert found[0] in run_on(table[item].screen), item


def test_a_colour_that_nobody_said_is_told_as_assumed(rulebase: RuleBase) -> None:
    asked, said = (consult(rulebase, {"item": "trouser_belt", **more}) for more in ({}, {"colour": "black"}))
    assert "Brown" in run_on(advice_lines(rulebase, asked))
    assert "Brown" not in run_on(advice_lines(rulebase, said))


def test_every_stop_that_applies_is_said_whole(table: Mapping[str, Row]) -> None:
    for item, row in table.items():
        stops = [c.text for c in row.advice.cautions_told if c.severity == "stop" and c.status == "applies"]
        for lines in (row.screen, row.slip):
            said = run_on(lines)
            assert [text for text in stops if text not in said] == [], item


def test_what_may_bear_carries_its_line_of_limits(rulebase: RuleBase, table: Mapping[str, Row]) -> None:
    limits = rulebase.cautions["limits_of_use"].say
    bearing = {
        i
        for i, row in table.items()
        if any(c.id == "limits_of_use" for c in row.advice.cautions_told if c.status == "applies")
        and stands(row.advice)
    }
    assert len(bearing) > 1
    for item in bearing:
        assert limits in run_on(table[item].screen), item


def test_where_no_order_stands_nothing_to_buy_is_named(rulebase: RuleBase, table: Mapping[str, Row]) -> None:
    barred = {item: row for item, row in table.items() if not stands(row.advice)}
    assert len(barred) > 1
    for item, row in barred.items():
        text = "\n".join([*row.screen, *row.slip])
        assert not re.search(r"\d+-\d+ oz|\bsq ft\b|^ORDER ", text, re.MULTILINE), item
        assert order_lines(rulebase, row.advice) == [], item


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ("climbing harness", ("Instead: ", "STOP: ")),
        ("wallet, no animal products", ("another material",)),
        ("bridle for a horse", ("Ask: ",)),
        ("carved tote turned inside out", ("Way out: ",)),
        ("something for my uncle", ("I do not know yet what you are making",)),
    ],
)
def test_who_gets_no_order_is_told_what_to_do_instead(rulebase: RuleBase, said: str, words: tuple[str, ...]) -> None:
    lines = advice_lines(rulebase, consult(rulebase, read_sentence(rulebase, said).answers))
    assert all(word in "\n".join(lines) for word in words), lines
    assert not any(line.startswith(f"{ORDER} ") for line in lines)


def test_the_end_of_a_conversation_is_the_order_whole(rulebase: RuleBase, table: Mapping[str, Row]) -> None:
    for item, row in table.items():
        lines = order_lines(rulebase, row.advice)
        assert len(lines) <= SLIP_LINES, item
        assert unsaid(row.advice, run_on(lines)) == [], item


@pytest.mark.parametrize(
    ("low", "high", "said"),
    [
        # A card is 0.76 mm thick (ISO/IEC 7810).
        (0.2, 0.3, "thinner than a bank card"),
        (0.4, 0.8, "about one bank card"),
        (0.76, 0.76, "about one bank card"),
        (1.2, 1.6, "about 2 bank cards"),
        (3.2, 4.0, "about 4 or 5 bank cards"),
        (1.6, 3.2, "about 2 to 4 bank cards"),
    ],
)
def test_a_thickness_is_told_in_bank_cards(low: float, high: float, said: str) -> None:
    assert sketch.cards(low, high) == said


def test_a_belt_is_drawn_with_its_own_measure(rulebase: RuleBase) -> None:
    advice = consult(rulebase, {"item": "trouser_belt", "waist": "92 cm"})
    drawn = sketch.strap(rulebase, Page(80), advice)
    assert "92 cm from the fold to the middle hole" in drawn[1]
    # Fold, measure and what lies past the middle hole make up the whole strap.
    strap = advice.decisions.amount.pieces[0].length_mm
    assert strap == 920 + 75 + 170
    assert drawn[2].startswith("  In all 116.5 cm: 75 mm fold, 17 cm past the middle hole")
    # The arrow ends under the middle hole.
    assert drawn[1].rindex("|") == drawn[0].index("O")
    assert sketch.strap(rulebase, Page(80), consult(rulebase, {"item": "tote_plain"})) == []


def test_pieces_are_drawn_as_they_lie_on_the_panel(rulebase: RuleBase) -> None:
    """Every piece has its letter, none lies over another, and none is drawn larger than the panel allows."""
    advice = consult(rulebase, {"item": "moccasin"})
    top, *rows, bottom = sketch.panel(rulebase, Page(80), advice)
    columns = top.count("-")
    drawn = [row[3 : 3 + columns] for row in rows]
    used = "".join(drawn)
    pieces = {p.name: p for p in advice.decisions.amount.pieces if p.name in advice.order.lines[0].pieces}
    panel = advice.order.lines[0]
    assert bottom.strip() == top[: len(bottom)].strip()
    assert len(rows) + 2 <= 8
    assert len(set(used) - {"."}) == sum(p.count for p in pieces.values())
    net = sum(p.count * p.length_mm * p.width_mm for p in pieces.values())
    share = net / ((panel.length_mm or 0) * (panel.width_mm or 0))
    assert abs(sum(c != "." for c in used) / len(used) - share) < 0.12


@pytest.mark.parametrize("item", ["trouser_belt", "jacket", "bookmark", "climbing_gear"])
def test_only_a_panel_with_several_pieces_is_drawn(rulebase: RuleBase, item: str) -> None:
    assert sketch.panel(rulebase, Page(80), consult(rulebase, {"item": item})) == []


def test_nobody_is_warned_of_what_nobody_would_buy(rulebase: RuleBase) -> None:
    """A leather that tempts nobody, or is not sold as thick as is ordered, is no mistake to warn of."""
    for answers in ({"item": "bifold_wallet", "water": "rain"}, {"item": "handle_wrap"}, {"item": "comb_case"}):
        said = " ".join(not_this(rulebase, consult(rulebase, answers)))
        assert not any(odd in said for odd in ("rawhide", "sole leather")), said
    # Garment leather ends at 1.2 mm: beside a card holder it is a temptation, beside a pouch of 1.6 mm it is none.
    assert any("garment" in line for line in not_this(rulebase, consult(rulebase, {"item": "card_holder"})))
    assert not any("garment" in line for line in not_this(rulebase, consult(rulebase, {"item": "phone_pouch"})))
    asked = consult(rulebase, {"item": "handle_wrap", "wished_tannage": "veg_sole"})
    assert any(line.startswith("sole leather") for line in not_this(rulebase, asked))


def test_a_panel_is_not_told_by_the_whole_skin(table: Mapping[str, Row]) -> None:
    odd = (", from the whole", ", from the offcut", ", from the side")
    assert [i for i, row in table.items() if any(o in " ".join(row.screen) for o in odd)] == []


def test_what_was_set_aside_is_no_way_to_save(rulebase: RuleBase) -> None:
    lines = advice_lines(rulebase, consult(rulebase, {"item": "tote_plain"}))
    assert "more than what" not in run_on(lines)


def test_a_set_of_pieces_says_how_many_it_is_reckoned_for(rulebase: RuleBase) -> None:
    """36 gussets of 120 x 60 mm with half a strip of 250 x 18 mm each are 34 dm2, which is one skin and not 36."""
    one = consult(rulebase, {"item": "accordion_bellows"})
    assert "28 gussets" in " ".join(advice_lines(rulebase, one))
    many = consult(rulebase, {"item": "accordion_bellows", "quantity": "36"})
    assert many.order.lines[0].count == 1
    assert many.decisions.amount.net_area_dm2 == pytest.approx(36 * (1.2 * 0.6 + 1.25 * 0.18), abs=0.05)


def test_what_is_riveted_has_a_place_where_it_is(rulebase: RuleBase) -> None:
    """Without a riveted zone no post is reckoned, and the rivet is bought by guess."""
    riveted = [item for item in rulebase.items.values() if "rivet" in item.fittings]
    assert [i.slug for i in riveted if not any(z.kind == "riveted" for z in i.zones)] == []


def test_soles_are_told_in_irons_and_a_check_names_what_is_ordered(rulebase: RuleBase) -> None:
    """One iron is 1/48 in (ASTM D1814): 4.5 to 5.5 mm are 8.5 to 10.4 irons. A sheepskin ends at 1.8 mm."""
    soles = " ".join(advice_lines(rulebase, consult(rulebase, {"item": "shoe_sole"})))
    assert soles.count("4.5 to 5.5 mm (9-10 iron)") >= 2
    bag = consult(rulebase, {"item": "bagpipe_bag"})
    line, *_ = bag.order.lines
    weight = bag.decisions.weight
    assert (line.low_mm, line.high_mm) != (weight.low_mm, weight.high_mm)
    said = " ".join(" ".join(advice_lines(rulebase, bag)).split())
    assert said.count("1.4 to 1.8 mm") >= 2
    assert "1.4 to 2 mm" not in said


def test_a_price_is_compared_with_what_somebody_could_buy_instead(table: Mapping[str, Row]) -> None:
    """A fifth is the least that is told: nobody making one of a thing weighs it against leather for ten."""
    shares = [
        found for row in table.values() if (found := re.search(r"about (a|half)\b.* would cost", run_on(row.screen)))
    ]
    assert len(shares) > 30
    odd = [
        item for item, row in table.items() if re.search(r"\d+ times as much|half hide would cost", run_on(row.screen))
    ]
    assert odd == []


def test_only_what_decides_is_told_as_supposed(rulebase: RuleBase) -> None:
    """A whole consultation with some other answer buys something else; sizes and colour are told besides."""
    for item in ("trouser_belt", "knife_sheath", "tote_plain", "hat_band"):
        before = consult(rulebase, {"item": item})
        told = deciding(present(rulebase, parse_answers(rulebase, {"item": item})), MOST_DECIDING)
        assert told, item
        for name in told:
            others = [v for v in rulebase.attributes[name].values if v != before.facts[name].value]
            assert any(bought(consult(rulebase, {"item": item, name: v})) != bought(before) for v in others), name


def bought(advice: Advice) -> tuple[object, ...]:
    d = advice.decisions
    return d.tannage.chosen, d.weight.order_as, d.form.chosen, d.grain.chosen, d.species.chosen


def test_nobody_is_told_how_a_thing_bends_or_is_loaded(rulebase: RuleBase, table: Mapping[str, Row]) -> None:
    """Those go with the thing; of what has no seam nobody says that it is sewn."""
    loads = [v.say for n in ("flex", "load_kind", "consequence") for v in rulebase.attributes[n].values.values()]
    for item, row in table.items():
        assumed = " ".join(assumed_said(rulebase, row.advice, "mm")).lower()
        assert [text for text in loads if f" {text}" in assumed] == [], item
        assert "hand sewn" not in assumed or "thread" in run_on(row.screen), item


def test_no_reason_is_that_nobody_sells_it_and_no_leather_is_refused_twice(
    rulebase: RuleBase, table: Mapping[str, Row]
) -> None:
    for item, row in table.items():
        assert not any("nobody sells this leather" in line for line in row.screen), item
    for answers in ({"item": "tote_plain", "water": "rain"}, {"item": "photo_album", "colour": "pastel_white"}):
        refused = [line.split(":")[0] for line in not_this(rulebase, consult(rulebase, answers))]
        assert len(refused) == len(set(refused)), refused


def test_what_is_bare_is_not_dyed(rulebase: RuleBase) -> None:
    """Found on a carved belt that was to be left bare: a bottle of brown dye stood on its order."""
    for answers in ({"decoration": "carve, raw_patina"}, {"decoration": "carve", "colour": "natural"}):
        advice = consult(rulebase, {"item": "guitar_strap", **answers})
        assert not any("dye" in line.label for line in advice.order.lines)
        assert {line.colour for line in advice.order.lines if line.kind == "leather"} <= {"natural", None}
    dyed = consult(rulebase, {"item": "guitar_strap", "decoration": "carve"})
    assert any("dye" in line.label for line in dyed.order.lines)


def test_the_mistake_of_the_thing_stands_before_the_care_of_any_bench(table: Mapping[str, Row]) -> None:
    for item in ("trouser_belt", "bifold_wallet", "knife_sheath"):
        screen = run_on(table[item].screen)
        assert 0 < screen.index("Common mistake") < screen.index("Cut away from your hand"), item
