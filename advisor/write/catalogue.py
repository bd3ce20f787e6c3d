"""The sentence for each code: the one place that holds what the program itself says of an advice.

A sentence takes its parameters by name. The name tells how one is put into words: ``attribute`` as it is called,
``candidates`` by their labels, what ends in ``_mm`` as a length, and so on; any other stands as it is.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from functools import cache
from typing import Any, TypeVar, get_args

from pydantic import BaseModel

from ..codes import Param, Saying, marks_told, say
from ..errors import AnswerError, shown
from ..leather.units import show, show_cut
from ..rulebase.models import Attribute, RuleBase
from .names import attribute_called, called, rule_called, said, values_called
from .page import capital, listed, plain

SENTENCES: Mapping[str, str] = {
    # How reasons and bounds were counted.
    "in_ranking": "already in the item's own ranking",
    "outweighed": "more speaks against it",
    "withdrawn": "withdrawn by {rule}",
    "leaves_nothing": "leaves nothing under the other bounds",
    "applied": "applied",
    "did_not_apply": "did not apply",
    "tied": "{candidates} are equally good",
    "tied_cheapest": "{candidates} are equally good; {first} is cheapest",
    "tied_less_against": "{candidates} are equally good; least speaks against {first}",
    # What a rule held on.
    "fact": "{attribute} is {value} ({origin}{formula})",
    "unknown": "{attribute} is not known",
    "lacks": "{attribute}: not {value}",
    "unanswered": "nobody has answered about {attribute}",
    # Why something is open.
    "no_leather": "no leather is advised for this use",
    "somebody_decides": "no order is shown until the person named has decided",
    "danger_open": "no order is shown until the open question about a danger is answered",
    "thing_unknown": "what is being made is not known yet",
    "nothing_speaks": "nothing known speaks for any",
    "reasons_clash": "the reasons cannot be met together",
    "bounds_clash": "no thickness meets all bounds",
    "sizes_unknown": "the pieces need {attributes}, not known yet",
    "size_unknown": "it needs {attribute}, not known yet",
    "no_size": "the {part} comes to no size",
    "not_reckoned": "{attribute} cannot be worked out from these sizes",
    "forms_not_reckoned": "what to buy cannot be worked out from these sizes",
    # How a conflict was left, and the ways out.
    "left_unsettled": "{attribute} is left unsettled",
    "none_meets_all": "no {decision} meets all of this",
    "no_thickness": "no thickness meets both, so none is advised",
    "answer_kept": "your answer was kept",
    "wish_left_out": "{candidate} is left out, and the best of the rest is advised",
    "none_left": "none that serves is left, so no order is shown",
    "not_sold_so": "it is not sold so, and no order is shown",
    "too_large": "its pieces do not fit on what it is sold as, so no order is shown",
    "declared_clash": "{clash}",
    "rule_way": "{way}",
    "change_answer": "Change your answer: {told}.",
    "say_more": "Say more about the item, or ask for another leather.",
    "cut_in_parts": "Cut it in parts and join them.",
    "make_smaller": "Make it smaller.",
    # What a form does not do, and what a price list does not have.
    "rule_says": "{because}",
    "piece_does_not_fit": (
        "The {piece} of {length_mm} x {width_mm} does not fit in {usable_length_mm} x {usable_width_mm}."
    ),
    "nothing_to_buy": "There is nothing to buy in this form.",
    "not_priced": "The price list has no {form} in {tannage}.",
    "thickness_not_priced": "The price list has no {form} in {tannage} at {low_mm} to {high_mm}.",
    "only_thicker_priced": "The price list has no {form} in {tannage} at {low_mm} to {high_mm}. "
    "It has thicker leather; ask whether the shop splits it.",
    "width_not_priced": "The price list has no {form} in {tannage} {width_mm} wide.",
    "width_not_stated": "The price list has no {form} in {tannage} of unstated width.",
    # What a sum says beside its numbers.
    "sum_at": "at the {zone}",
    "sum_filled": "is filled by {by} of other layers",
    "sum_for": "for {what}",
    "sum_for_matching": "for matching",
    "sum_for_a_run": "for a run",
    "sum_not_below": "at least {least}",
    "sum_whole": "whole ones",
    "sum_middle": "middle of {low} to {high}",
    "sum_thread_sold": "about Tex {tex}, metric ticket {ticket}",
    "sum_stitches": "{fewest} to {most} stitches per inch",
    "sum_for_leather": "for leather of {thick}",
    "sum_by_prices": "least by the shop's prices",
    "prices": "{house}",
    "invented_prices": "{house}, invented prices",
    # What would do in place of an answer that cannot be used.
    "not_usable": "{name}: {found} cannot be used here; {expected}",
    "did_you_mean": ' Did you mean "{near}"?',
    "no_such_attribute": "no attribute of that name is known",
    "no_such_decision": "no decision of that name is known",
    "no_such_candidate": "no such candidate is known",
    "no_such_point": "no point of a leather is called that",
    "follows_from_sizes": 'it follows from the item\'s sizes; set one piece by "piece.NAME=2@65x100"',
    "piece_expected": 'expected count @ width x length, for example "2@65x100" or "2 @ 65 mm x 10 cm"',
    "piece_too_large": "a piece measures more than 0 and at most {most} each way",
    "has_the_pieces": "{thing} has the pieces {options}",
    "measure_unread": "{why}",
    "leather_in_doubt": "{why}",
    "by_name": "expected a {point} by its name",
    "thickness_expected": 'expected a thickness, for example "2.5 mm" or "8-10 oz"',
    "amount_expected": 'expected how many or how much, for example "2 sides" or "6 sq ft"',
    "label_expected": 'expected words of a seller, for example "genuine leather, PU coated"',
    "answer_too_long": "an answer may have at most {most} characters",
    "values_expected": 'expected one or more values, or "none"',
    "none_and_more": "none together with something else says two things; choose one",
    "one_value_expected": "expected a single value",
    "whole_number_expected": "expected a whole number",
    "plain_number_expected": "expected a plain number",
    "number_above_zero": "expected a number of {unit} above 0",
    "outside_what_is_meant": "{meant} is outside what can be meant ({least} to {most})",
    "one_of": "expected one of: {options}",
    "one_of_many": "expected one of {count} values; the question's help lists them",
    "given_twice": "it is given twice; give it once",
    "leather_expected": "expected a leather, a cut, a form or a thickness",
    "another_expected": "expected another {kind} to compare with {beside}",
    "two_expected": "expected two different ones",
    "what_if_expected": 'expected an answer, for example "what if water is rain" or "it gets wet"',
}
ORIGINS = {
    "said": "you said",
    "supposed": "assumed",
    "derived": "it follows",
    "computed": "worked out",
}
_Part = TypeVar("_Part", bound=BaseModel)


def tell(saying: Saying | Mapping[str, Any], rulebase: RuleBase, item: str = "") -> str:
    """The sentence for a code, in the words of the rule base; with ``item``, of that thing.

    ``saying`` may also be the plain values that a proof holds.
    """
    one = saying if isinstance(saying, Saying) else Saying(code=saying["code"], params=saying["params"])
    if one.text:
        return one.text
    return SENTENCES[one.code].format_map(_Words(one.params, rulebase, item))


def sentence(saying: Saying | Mapping[str, Any], rulebase: RuleBase, item: str = "") -> str:
    """The same to stand by itself, with a capital and a full stop."""
    return capital(tell(saying, rulebase, item).rstrip(".")) + "."


def mistake_said(error: AnswerError) -> str:
    """What is wrong with an answer and what would do; its parameters are words already."""
    return _as_it_is(say("not_usable", name=error.attribute, found=shown(error.found), expected=expected_said(error)))


def expected_said(error: AnswerError) -> str:
    """What would do in place of an answer, with the nearest word."""
    near = _as_it_is(say("did_you_mean", near=error.near)) if error.near else ""
    return f"{_as_it_is(error.expected)}.{near}"


def _as_it_is(saying: Saying) -> str:
    """The sentence for a code whose parameters are words already, several of them in a row."""
    told = {name: ", ".join(v) if isinstance(v, list) else v for name, v in saying.params.items()}
    return SENTENCES[saying.code].format(**told)


AnswerError.wording = mistake_said


def marks_said(line: str) -> str:
    """A sum with the words for what stands in it as marks."""
    return marks_told(line, lambda code, params: plain(SENTENCES[code].format(**params)))


def sum_said(rulebase: RuleBase, name: str | None, line: str | None) -> str:
    """The sum by which an attribute came to its value, "" where it was only looked up in a table."""
    attribute = rulebase.attributes.get(name or "")
    if not line or (attribute is not None and attribute.formula == "lookup"):
        return ""
    line = marks_said(line)
    for slug, words in _words_put_in(rulebase, attribute).items():
        line = re.sub(rf"\b{slug}\b", words, line)
    return line


def _words_put_in(rulebase: RuleBase, attribute: Attribute | None) -> dict[str, str]:
    """The words that a sum may have put in, as they stand in it, with their labels."""
    read = [rulebase.attributes.get(o) for o in attribute.inputs.values()] if attribute else []
    values = (v for a in read if a and a.kind == "choice" and a.name != "item" for v in a.values.values())
    return {v.slug.replace("_", " "): v.label for v in values if v.slug.replace("_", " ") != v.label}


def with_texts(part: _Part, rulebase: RuleBase) -> _Part:
    """An advice, a review or a part of one with the sentence beside each code."""
    told: _Part = _told(part, rulebase)
    return told


def _told(value: Any, rulebase: RuleBase) -> Any:
    if isinstance(value, Saying):
        return value if value.text else _with_text(value, rulebase)
    if isinstance(value, BaseModel):
        fields = {name: getattr(value, name) for name in _spoken(type(value))}
        told = {name: now for name, was in fields.items() if (now := _told(was, rulebase)) is not was}
        return value.model_copy(update=told) if told else value
    if isinstance(value, list):
        items = [_told(one, rulebase) for one in value]
        return items if any(a is not b for a, b in zip(items, value, strict=True)) else value
    if isinstance(value, dict):
        return {key: _told(one, rulebase) for key, one in value.items()}
    return value


def _with_text(saying: Saying, rulebase: RuleBase) -> Saying:
    """The saying with its sentence; an advice says much that the one before it said."""
    params = tuple([(n, tuple(v) if isinstance(v, list) else v) for n, v in saying.params.items()])
    told = saying.code, SENTENCES[saying.code], params
    return rulebase.remembered("told", told, lambda: saying.model_copy(update={"text": tell(saying, rulebase)}))


@cache
def _spoken(part: type[BaseModel]) -> tuple[str, ...]:
    """The fields of a part in which a code may stand, however deep."""
    return tuple(name for name, field in part.model_fields.items() if _may_say(field.annotation))


def _may_say(annotation: Any) -> bool:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return issubclass(annotation, Saying) or bool(_spoken(annotation))
    return any(map(_may_say, get_args(annotation)))


class _Words(dict[str, str]):
    """The parameters of one saying as words, each made when the sentence asks for it."""

    def __init__(self, params: Mapping[str, Param], rulebase: RuleBase, item: str) -> None:
        super().__init__()
        self.params, self.rulebase, self.item = params, rulebase, item

    def __missing__(self, name: str) -> str:
        if name in _OF_ALL:
            return _OF_ALL[name](self)
        value = self.params[name]
        return show_cut(value, "mm") if isinstance(value, float) and name.endswith("_mm") else str(value)

    def text(self, name: str) -> str:
        """One parameter that is a slug."""
        return str(self.params.get(name, ""))

    def many(self, name: str) -> Sequence[str]:
        """One parameter that is several slugs, or one."""
        value = self.params[name]
        return value if isinstance(value, list) else [str(value)]

    def value(self) -> str:
        """The value of a fact: labels, or a number with its unit."""
        attribute, value = self.text("attribute"), self.params["value"]
        if isinstance(value, float):
            return show(value, self.text("unit"))
        return values_called(self.rulebase, attribute, self.many("value"))

    def told(self) -> str:
        """A fact in the words of the thing that is made."""
        value = self.params["value"]
        return said(
            self.rulebase,
            self.text("attribute"),
            [value] if isinstance(value, float) else self.many("value"),
            self.item,
        )

    def candidates(self) -> list[str]:
        """The labels of candidates of a decision."""
        return [called(self.rulebase, self.text("decision"), c) for c in self.many("candidates")]

    def formula(self) -> str:
        """A sum to stand behind where a value came from."""
        line = sum_said(self.rulebase, self.text("attribute"), self.text("formula"))
        return f": {line}" if line else ""


_OF_ALL: Mapping[str, Callable[[_Words], str]] = {
    "attribute": lambda w: attribute_called(w.rulebase, w.text("attribute")),
    "attributes": lambda w: listed(attribute_called(w.rulebase, n) for n in w.many("attributes")),
    "decision": lambda w: attribute_called(w.rulebase, w.text("decision")),
    "candidate": lambda w: called(w.rulebase, w.text("decision"), w.text("candidate")),
    "candidates": lambda w: listed(w.candidates()),
    "first": lambda w: w.candidates()[0],
    "value": _Words.value,
    "told": _Words.told,
    "origin": lambda w: ORIGINS.get(w.text("origin"), ""),
    "formula": _Words.formula,
    "rule": lambda w: rule_called(w.rulebase, w.text("rule")),
    "form": lambda w: called(w.rulebase, "form", w.text("form")),
    "tannage": lambda w: called(w.rulebase, "tannage", w.text("tannage")),
    "piece": lambda w: plain(w.text("piece")),
    "part": lambda w: plain(w.text("part")),
    "clash": lambda w: w.rulebase.clashes[w.text("clash")].say,
}
