"""What is told of an advice is true, helps and does not contradict itself: the words themselves, and brute force.

The numbers that a sentence claims are held against whole consultations; ``truth_table`` does the same for every kind of
claim over a drawn sample. What a maker would change about a thing is common practice.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping, Sequence

import pytest
from plain import sampled
from samples import BASE
from truth_table import ORDINARY, measure

from advisor.reasoning.apart import by_cases
from advisor.reasoning.changes import RUNS, Search, present, smallest
from advisor.reasoning.consult import Consultation
from advisor.reasoning.deciding import deciding
from advisor.reasoning.difference import moves
from advisor.reasoning.facts import Answer, parse_answers
from advisor.reasoning.judging import review
from advisor.reasoning.numbers import Budget, Line, edge
from advisor.reasoning.report import report
from advisor.reasoning.review import Proposal
from advisor.reasoning.targets import holds_thickness
from advisor.reasoning.tipping import enough, leaning, room, tips
from advisor.reasoning.why_not import one_each, why_not, why_not_weight
from advisor.rulebase.changing import changing_of, check_changing
from advisor.shell.cli import main
from advisor.talk.comparing import changes_said, contrast_lines, what_if_lines, why_not_lines
from advisor.talk.leaning import conflict_lines, enough_lines, safe_lines, tip_lines
from advisor.talk.matter import Matter
from advisor.talk.session import Session
from advisor.talk.why import MOST_LINES, why_lines


def said(**answers: str) -> dict[str, Answer]:
    return parse_answers(BASE, answers)


def matter(**answers: str) -> Matter:
    return Matter(BASE, said(**answers), width=1000)


def text(lines: list[str]) -> str:
    return "\n".join(lines)


def thickness(**answers: str) -> tuple[float | None, float | None]:
    weight = report(Consultation(BASE, said(**answers))).decisions.weight
    return weight.low_mm, weight.high_mm


# -- why not


def test_a_group_is_told_member_by_member() -> None:
    lines = why_not_lines(matter(item="dog_lead", load_mass="30 kg"), "chrome")
    told = {line.partition(":")[0].strip(" -"): line for line in lines if line.startswith("  - ")}
    members = [m for m in BASE.decisions["tannage"].candidates if m.startswith("chrome")]
    assert sum(len(re.split(", | and ", name)) for name in told) == len(members)
    assert "ruled out" in told["Chrome-tan suede split"]
    assert "soft-leathers-are-no-load-straps" in told["Chrome-tan suede split"]
    assert "soft-leathers-are-no-load-straps" not in told["Milled chrome-tan leather"]
    assert "single-chrome-straps-stretch" in told["Milled chrome-tan leather"]


def reasons_are_its_own(items: list[str]) -> None:
    for item in items:
        advice = report(Consultation(BASE, said(item=item)))
        for candidate in list(BASE.decisions["tannage"].candidates)[::4] if not advice.no_order else ():
            found = why_not(BASE, said(item=item), None, "tannage", [candidate])
            own = {e.rule for e in advice.decisions.tannage.ledger if e.candidate == candidate and not e.withdrawn}
            assert {s.rule for s in (*found.against, *found.speaking_for)} <= own


def test_reasons_are_of_the_leather_asked_for_alone() -> None:
    found = why_not(BASE, said(item="dog_lead", load_mass="30 kg"), None, "tannage", ["chrome_upholstery"])
    assert "single-chrome-straps-stretch" in {s.rule for s in found.against}
    assert "soft-leathers-are-no-load-straps" not in {s.rule for s in found.against}
    reasons_are_its_own(list(BASE.items)[::120])


@pytest.mark.slow
def test_reasons_for_more_things_are_of_the_leather_asked_for_alone() -> None:
    reasons_are_its_own(list(BASE.items)[::10])


def test_where_no_rule_speaks_it_says_so_and_of_what() -> None:
    told = text(why_not_lines(matter(item="trouser_belt"), "split"))
    assert "No rule argues against split; it is simply not usual for a trouser belt." in told
    assert "Nothing known speaks" not in told


def test_what_its_ranking_says_already_is_told_and_marked() -> None:
    found = why_not(BASE, said(item="trouser_belt"), None, "tannage", ["veg_soft"])
    assert found.against
    told = text(why_not_lines(matter(item="dog_collar", water="immersion"), "latigo rather than veg harness"))
    assert "Its usual ranking says the same." in told


# -- ways that a maker would take


@pytest.mark.parametrize(
    ("answers", "asked", "absurd"),
    sampled(
        [
            ({"item": "bookmark", "shape_hold": "rigid"}, "veg harness", "butt-stitched"),
            ({"item": "trouser_belt"}, "veg soft", "turned"),
            ({"item": "trouser_belt"}, "suede", "would fit if you said"),
            ({"item": "card_holder", "decoration": "carve"}, "goat", "no cow"),
            ({"item": "lampshade"}, "0.4 mm", "you can sew"),
            ({"item": "lampshade"}, "0.4 mm", "fold"),
            ({"item": "dog_collar", "neck": "40cm", "water": "immersion"}, "2.4 mm", "you can sew"),
        ],
        2,
    ),
)
def test_no_way_is_offered_that_nobody_would_take(answers: dict[str, str], asked: str, absurd: str) -> None:
    assert absurd not in text(why_not_lines(matter(**answers), asked))


@pytest.mark.parametrize("some", [ORDINARY[3:5], pytest.param(ORDINARY, marks=pytest.mark.slow)], ids=["two", "all"])
def test_ways_are_changes_that_somebody_would_make(some: Sequence[Mapping[str, str]]) -> None:
    offered = 0
    for answers in some:
        changing = changing_of(BASE, answers["item"])
        run = present(BASE, said(**answers))
        for candidate in list(BASE.decisions["tannage"].candidates)[::7]:
            found = why_not(BASE, said(**answers), None, "tannage", [candidate])
            for name, value in ((c.split(" ")[0], c.split(" ", 2)[2]) for w in found.ways for c in w.changes):
                answer = parse_answers(BASE, {name: value})[name]
                assert changing.takes(name, run.fixed(name) or (), answer.values), (answers, candidate, name, value)
                offered += 1
            assert not found.ways or not found.cases
    assert offered > 3


def test_a_number_is_offered_from_half_to_double_what_it_is() -> None:
    changing = changing_of(BASE, "trouser_belt")
    assert changing.takes("strap_width", (38.0,), (19.0,))
    assert not changing.takes("strap_width", (38.0,), (77.0,))
    assert not changing.takes("fold_radius", (), (5.0,)), "where there is no fold there is none to double"
    assert not changing.takes("construction", ("flat_single",), ("turned",))
    assert not changing.takes("allergy", (), ("chromium",))
    assert check_changing(BASE) == []


def test_each_question_has_its_turn_before_a_second_of_the_same() -> None:
    a, b, c = ((("decoration", Answer((v,))),) for v in ("none", "paint", "hot_plate"))
    other = (("strap_width", Answer((25.0,))),)
    assert one_each([a, b, c, other], 2) == [a, other]


def test_what_is_the_case_is_told_as_meaning_and_not_as_a_way() -> None:
    told = text(why_not_lines(matter(item="bag_strap"), "aldehyde white"))
    assert "if you said" not in told
    found = why_not(BASE, said(item="trouser_belt"), None, "grain", ["split"])
    assert not found.ways
    assert found.cases
    assert "is for another case" in text(why_not_lines(matter(item="trouser_belt"), "split"))


def test_the_needle_is_not_talked_out_of_its_limit() -> None:
    for item in ("cushion_cover", "tote_heavy"):
        told = text(conflict_lines(matter(item=item, sew="machine_domestic")))
        assert "you can sew" not in told
        assert "It ends if you say" in told
    low = BASE.attributes["sew_max"].low
    assert low
    assert thickness(item="tote_plain", sew_max=f"{low} mm") == (None, None)


# -- only what was proven is worded as proven


@pytest.mark.parametrize(
    ("answers", "name", "breaking"),
    [
        ({"item": "moccasin", "experience": "beginner", "foot": "260 mm"}, "foot", "142 mm"),
        ({"item": "key_fob", "quantity": "10", "for_sale": "sale"}, "quantity", "12"),
    ],
)
def test_a_span_is_called_safe_only_where_it_is_proven(answers: dict[str, str], name: str, breaking: str) -> None:
    found = room(present(BASE, said(**answers)), BASE.attributes[name])
    value = float(parse_answers(BASE, {name: breaking})[name].values[0])
    here, there = (report(Consultation(BASE, said(**{**answers, **more}))) for more in ({}, {name: breaking}))
    if here.decisions.form.chosen != there.decisions.form.chosen:
        assert not (found.proven and found.low <= value <= found.high)
    told = text(safe_lines(matter(**answers)))
    assert ("cannot vouch" in told) == (not found.proven)


def test_an_answer_on_a_turning_point_is_told_as_that() -> None:
    told = text(safe_lines(matter(item="dog_collar", load_mass="30 kg", water="immersion")))
    assert "30 kg sits on a turning point" in told
    assert not re.search(r"from 29\.\d kg to 30 kg", told)


def test_a_search_is_bounded_by_its_runs_and_says_when_it_ended() -> None:
    answers = said(item="dog_collar", neck="40cm", water="immersion")
    run = present(BASE, answers)
    short = smallest(run, holds_thickness(2.4), runs=3)
    assert short.stopped
    assert not short.found
    assert smallest(run, holds_thickness(2.4)).found
    again = [smallest(run, holds_thickness(2.4), runs=RUNS // 10) for _ in range(2)]
    assert again[0] == again[1]


def test_no_count_of_nothing_is_told() -> None:
    for answers, asked in (
        ({"item": "dog_collar", "neck": "40cm", "water": "immersion"}, "2.4 mm"),
        ({"item": "shoe_sole", "load_kind": "shock", "skin_contact": "prolonged"}, "4 mm"),
    ):
        told = text(why_not_lines(matter(**answers), asked))
        assert "up to 0" not in told
        assert "None of the" not in told


def test_a_fold_between_the_marks_is_found() -> None:
    answers = said(item="shoe_sole", load_kind="shock", skin_contact="prolonged")
    found = smallest(present(BASE, answers), holds_thickness(4.0), most=1)
    (fold,) = [c for (c,) in found.found if c[0] == "fold_radius"]
    low, high = thickness(
        item="shoe_sole", load_kind="shock", skin_contact="prolonged", fold_radius=f"{fold[1].values[0]} mm"
    )
    assert low is not None
    assert high is not None
    assert low <= 4.0 <= high


@pytest.mark.parametrize(
    ("answers", "goal", "name"),
    sampled(
        [
            ({"item": "bifold_wallet", "experience": "beginner"}, "form", "height"),
            ({"item": "costume_armour"}, "form", "height"),
            ({"item": "key_fob", "quantity": "10"}, "form", "quantity"),
            ({"item": "watch_strap"}, "form", "quantity"),
        ],
        2,
    ),
)
def test_a_number_that_is_not_proven_nearest_is_told_as_the_latest(
    answers: dict[str, str], goal: str, name: str
) -> None:
    found = [t for t in tips(present(BASE, said(**answers)), goal).found if t.change[0] == name]
    told = text(tip_lines(matter(**answers), goal))
    for tip in found:
        held = float((present(BASE, said(**answers)).fixed(name) or (0.0,))[0])
        at = float(tip.change[1].values[0])
        if tip.proven:
            assert BASE.attributes[name].kind == "count"
            for value in range(int(min(held, at)) + 1, int(max(held, at))):
                then = report(Consultation(BASE, said(**{**answers, name: str(value)})))
                assert then.decisions.form.chosen == report(Consultation(BASE, said(**answers))).decisions.form.chosen
    if any(not t.proven for t in found) and BASE.attributes[name].label in told:
        assert "at the latest" in told


@pytest.mark.parametrize(
    ("answers", "goal", "name", "value"),
    sampled(
        [
            (
                {"item": "dog_harness", "load_mass": "25kg", "water": "rain", "hardware_metal": "brass_solid"},
                "weight",
                "hole",
                "16.7 mm",
            ),
            (
                {"item": "backpack", "load_mass": "12kg", "water": "rain", "sew": "machine_walkingfoot"},
                "weight",
                "corner_radius",
                "14.8 mm",
            ),
            ({"item": "box_case", "sew": "machine_domestic", "allergy": "formaldehyde"}, "species", "depth", "280 mm"),
            ({"item": "work_glove", "seam_allowance": "1.6 mm"}, "species", "corner_radius", "5 mm"),
        ],
        2,
    ),
)
def test_only_what_was_proven_is_counted_as_changing_nothing(
    answers: dict[str, str], goal: str, name: str, value: str
) -> None:
    here, there = (report(Consultation(BASE, said(**{**answers, **more}))) for more in ({}, {name: value}))
    found = tips(present(BASE, said(**answers)), goal)
    parts = [
        a.decisions.weight.order_as if goal == "weight" else a.decisions.choices()[goal].chosen for a in (here, there)
    ]
    if parts[0] != parts[1]:
        assert name not in found.safe


def test_a_line_of_numbers_is_proven_by_runs_and_by_nothing_else() -> None:
    """A span that hides one number which differs: found where it is tried, and never called proven where it is not."""
    attribute = BASE.attributes["strap_width"]
    differs = 33.3

    def line(all_alike: bool) -> Line:
        return Line(
            attribute, lambda v: v != differs, lambda low, high: all_alike and not low <= differs <= high, Budget(50)
        )

    assert edge(line(True), 20.0, [30.0]) == edge(line(True), 20.0, [30.0])
    assert edge(line(True), 20.0, [30.0]).proven
    assert not edge(line(True), 20.0, [30.0, 40.0]).proven
    assert not edge(line(False), 20.0, [30.0]).proven


def test_every_answer_told_is_tried_where_it_may_decide() -> None:
    for answers, name, wanted in (
        ({"item": "boxing_pad", "abrasion": "sharp_edges"}, "tannage", "abrasion"),
        (
            {"item": "boxing_pad", "colour_method": "dye_self", "depth": "60 mm", "sweat": "none"},
            "tannage",
            "colour_method",
        ),
        ({"item": "dog_lead", "strap_width": "27.5 mm"}, "weight", "strap_width"),
    ):
        proof = Consultation(BASE, said(**answers)).proof
        assert wanted in deciding(proof, name).answers, (answers, name)


def test_the_reason_given_is_the_one_that_decides() -> None:
    told = text(
        why_lines(
            Consultation(BASE, said(item="boxing_pad", colour_method="dye_self", depth="60 mm", sweat="none")),
            "tannage",
            1000,
        )
    )
    assert "dyed by you" in told
    assert "own-dye-fails-on-grease" in told
    assert "wears through outside" not in told


@pytest.mark.parametrize("name", ["consequence", "trade_grade", "matching_set", "life_expect"])
def test_what_could_change_the_order_is_looked_at_value_by_value(name: str) -> None:
    answers = said(item="dog_lead", load_mass="30 kg")
    here = report(Consultation(BASE, answers)).decisions
    goals = dict(leaning(present(BASE, answers))).get(name, [])
    for goal in set(goals) & set(here.choices()):
        chosen = {
            tuple(report(Consultation(BASE, {**answers, name: Answer((v,))})).decisions.choices()[goal].chosen)
            for v in BASE.attributes[name].values
        }
        assert len(chosen) > 1, (name, goal)


def test_another_construction_of_a_lead_is_not_said_to_change_cut_or_form() -> None:
    goals = dict(leaning(present(BASE, said(item="dog_lead", load_mass="30 kg"))))["construction"]
    assert "tannage" in goals
    assert not {"cut", "form"} & set(goals)


def test_what_settles_nothing_is_not_said_to_settle() -> None:
    answers = {"item": "guitar_strap", "load_mass": "4 kg", "water": "rain"}
    assert enough(present(BASE, said(**answers)), ["tannage"]).kept == ("water", "item")
    assert "2 of your 3 answers" in text(enough_lines(matter(**answers), "the tannage"))


def test_cases_hold_for_two_unknowns_together() -> None:
    """With rivets alone and shock the outcome is another, although neither may matter by itself."""
    answers = said(item="folder", depth="20 mm", shape_hold="rigid", width="240 mm")
    found = by_cases(present(BASE, answers), ["sew", "load_kind"])
    for sew in BASE.attributes["sew"].values if not isinstance(found, str) else ():
        for load in BASE.attributes["load_kind"].values:
            point = {"sew": sew, "load_kind": load}
            mine = [c for c in found if all(point[n] in values for n, values in c.within)]
            assert len(mine) == 1
            then, told = (
                report(Consultation(BASE, a)).verdict
                for a in ({**answers, **said(item="folder", **point)}, mine[0].run.answers)
            )
            assert then == told, point


# -- what changed and why


def test_a_what_if_names_what_went_away() -> None:
    asked = matter(item="card_holder", decoration="carve")
    told = text(what_if_lines(asked, changes_said(BASE, "decoration is none", "card_holder")))
    assert "No longer in play:" in told
    assert "[carving-needs-depth]" in told
    assert "No longer so" not in told


def test_what_was_reckoned_with_already_is_said_so() -> None:
    told = text(what_if_lines(matter(item="knife_sheath"), changes_said(BASE, "water is rain", "knife_sheath")))
    assert 'I had already reckoned with "out in the rain".' in told


def test_what_stays_unsolved_is_said_so() -> None:
    asked = matter(item="tote_heavy", sew="machine_domestic")
    told = text(what_if_lines(asked, changes_said(BASE, "load mass is 20 kg", "tote_heavy")))
    assert "It stays unsolved" in told


def test_thread_and_rivets_count_as_changes() -> None:
    before, after = (
        report(Consultation(BASE, said(item="dog_lead", load_mass="30 kg", **more)))
        for more in ({}, {"strap_width": "20 mm"})
    )
    about = {m.about for m in moves(before, after)}
    assert any(a.startswith("beside ") for a in about)
    assert moves(before, before) == []


# -- no contradiction


@pytest.mark.parametrize(("answers", "cut"), [({"item": "costume_armour", "user_kind": "performer"}, "back")])
def test_the_advice_is_not_doubted_by_its_own_second_opinion(answers: dict[str, str], cut: str) -> None:
    proposal = Proposal(choices={"tannage": ("veg_tooling",), "cut": (cut,), "form": (cut,)})
    found = review(BASE, said(**answers), proposal)
    assert "cannot tell" not in {p.verdict for p in found.points}
    assert found.overall != "cannot tell"


def test_a_form_that_is_left_is_told_as_left() -> None:
    run = Consultation(BASE, said(item="boxing_pad", abrasion="sharp_edges", limits="no_exotic", width="640 mm"))
    told = text(why_lines(run, "form", 1000))
    assert "is what is left: the pieces fit on no smaller form." in told
    assert "Nothing known speaks" not in told
    refused = text(why_lines(Consultation(BASE, said(item="lifting_sling")), "tannage", 1000))
    assert "No order is shown" in refused


# -- rather than, in full, step by step


def test_one_rather_than_another_is_told_by_what_only_one_has() -> None:
    told = text(why_lines(Consultation(BASE, said(item="trouser_belt")), "latigo rather than veg harness", 1000))
    assert told == text(contrast_lines(matter(item="trouser_belt"), ("latigo", "veg harness")))
    assert "latigo has 2 for it and 0 against, harness leather 3 for it and 0 against" in told
    assert "Only for latigo" in told
    assert "Only for harness leather" in told
    assert "before the other if you said" in told
    goat = text(why_not_lines(matter(item="card_holder", decoration="carve"), "goat instead of calf"))
    assert goat.startswith("Calfskin stands before goatskin")


def test_the_command_line_compares_too(capsys: pytest.CaptureFixture[str]) -> None:
    command = ["recommend", "--no-log", "item=trouser_belt"]
    assert main([*command, "--why", "latigo rather than harness"]) == 0
    assert capsys.readouterr().out.startswith("Harness leather stands before latigo")
    assert main([*command, "--why-not", "latigo rather than harness", "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert (told["one"]["asked"], told["other"]["asked"]) == ("latigo", "veg_harness")
    assert main([*command, "--why", "weight 1.1"]) == 0
    assert capsys.readouterr().out.startswith("1.1 ")
    assert main([*command, "--why-not", "latigo", "--full"]) == 0
    assert "Able to speak for latigo:" in capsys.readouterr().out


def test_leathers_that_stand_level_are_parted_by_what_would_part_them() -> None:
    lines = why_lines(Consultation(BASE, said(item="trouser_belt")), "tannage", 80)
    told = " ".join(lines)
    assert "Three are equally good:" in told
    assert "harness leather if it works outdoors in rain" in told
    assert len(lines) <= MOST_LINES
    wet = report(Consultation(BASE, said(item="trouser_belt", water="rain")))
    assert wet.decisions.tannage.chosen == ["veg_harness"]


def test_the_chat_compares_closes_and_walks_the_proof() -> None:
    session = Session(BASE)
    session.hear("dog collar, 30 kg dog, swims")
    parted = " ".join(session.hear("why latigo rather than harness").lines)
    assert "Latigo" in parted
    assert "Harness leather" in parted
    assert "Take latigo if" in parted
    given = session.hear("what does bridle give me that tooling does not").lines
    assert "I put bridle leather first" in " ".join(given)
    full = session.hear("why not veg tooling in full").lines
    assert any(line.startswith("Able to speak for veg-tan tooling leather:") for line in full)
    outline = session.hear("why weight in full").lines
    step = session.hear("why 1.1").lines
    assert step[0].startswith("1.1 ")
    assert step[0] in outline
    assert {line.split(" ")[0].rpartition(".")[0] for line in step if line[0].isdigit()} == {"1", "1.1"}
    assert session.hear("why 1.1.1").lines[0].startswith("1.1.1 ")
    assert "has no step 1.99" in " ".join(session.hear("why 1.99").lines)


def test_a_thickness_is_answered_as_before() -> None:
    found = why_not_weight(BASE, said(item="trouser_belt", water="rain"), None, 2.0)
    assert found.state == "outside"
    assert all(s.side == "at least" for s in found.against)
    assert Search([], 0, 0, 0).gaps == ()


# -- brute force


def test_no_claim_of_a_small_sample_is_false() -> None:
    table = measure(BASE, ordinary=1, others=0, checks=1, seed=4)
    assert sum(table.tried.values()) > 60
    assert {claim: words for claim, words in table.false.items() if words} == {}


@pytest.mark.slow
@pytest.mark.timeout(4 * 3600)
def test_no_claim_of_a_large_sample_is_false() -> None:
    """200 consultations, some fourteen seconds of processor time each."""
    table = measure(BASE, ordinary=len(ORDINARY), others=200 - len(ORDINARY), checks=8, seed=1)
    print("\n".join(table.lines()))
    assert {claim: words for claim, words in table.false.items() if words} == {}
