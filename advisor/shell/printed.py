"""What is printed of one consultation without questions, from the command line or of one line of a batch."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Mapping, Sequence
from typing import NamedTuple

from ..read.numbers import measures
from ..read.reader import is_assignment
from ..read.stuffs import stuffs
from ..reasoning.advice import Advice
from ..reasoning.facts import Answer
from ..reasoning.judging import review
from ..rulebase.house import House
from ..rulebase.models import RuleBase
from ..talk.at_home import at_home, told_of_home
from ..talk.direct import ANSWERED, NO_THING, direct_answers
from ..talk.heard import doubts_said, how_to_say, not_understood, noted, thing_lines, understood_said
from ..talk.matter import Matter
from ..talk.recording import Consulted
from ..talk.remarks import remarks
from ..talk.reviewing import short_words
from ..write.buying import stands
from ..write.page import Page
from ..write.refusal import said_with_the_rest
from ..write.screen import advice_lines
from ..write.slip import slip_lines
from .repl import columns


class Found(NamedTuple):
    """What came of one sentence: the answers, the advice, and a page with what was understood.

    ``later`` is what is asked about the thing once a danger is settled, ``own`` what heads the order where leather
    at home does as well.
    """

    answers: Mapping[str, Answer]
    advice: Advice
    page: Page
    later: Sequence[str] = ()
    own: str = ""
    house: House | None = None


def told(
    rulebase: RuleBase, house: House | None, options: argparse.Namespace, words: Sequence[str], made: Consulted
) -> Found:
    """What was understood of the words, beside the advice."""
    reading, answers, advice = made.reading, made.answers, made.advice
    units = measures(options.units, " ".join(words), stuffs(rulebase), reading.metric)
    page = Page(columns(sys.stdout, options.width), units)
    later = Page(page.width, page.units)
    matter = Matter(rulebase, answers, house, page.width, page.units, lambda: advice)
    home = at_home(matter, reading.proposal)
    if not all(is_assignment(w) for w in words):
        sentence = " ".join(w for w in words if not is_assignment(w))
        for line in home.lines if home else ():
            page.add(line)
        answered = direct_answers(matter, sentence, judged=told_of_home(matter, reading.answers), silent=True)
        page.keep(line for line in answered if line != NO_THING)
        # Where somebody may be hurt, what to make instead is no answer before the refusal or the question.
        barred = advice.no_order and not advice.dangers
        first = later if (advice.dangers or advice.no_order) and reading.named.taken is None else page
        if not barred or reading.named.taken:
            first.keep(thing_lines(reading, page.width))
        if said := how_to_say(reading, rulebase):
            first.add(said)
        # The screen repeats what was said beside the thing; what was made of a danger is always said back.
        repeats = stands(advice) and not (options.json or options.full or reading.dangers)
        understood = noted(reading) if repeats else understood_said(rulebase, reading, units=page.units)
        if understood:
            page.add(f"Understood: {'; '.join(understood)}.")
        for doubt in doubts_said(rulebase, reading, page.units, without=("no_recipe", "made_as", ANSWERED)):
            page.add(f"In doubt: {doubt}")
        for line in not_understood(rulebase, reading):
            first.add(line)
        if reading.proposal.points() and home is None:
            found = review(rulebase, answers, reading.proposal, house=house, points_only=True)
            if said := short_words(rulebase, found, advice, "advisor review"):
                page.add(said)
        page.lines += remarks(matter, answers)
    return Found(answers, advice, page, later.lines, home.order if home else "", house)


def text_lines(rulebase: RuleBase, options: argparse.Namespace, found: Found, log: str = "") -> list[str]:
    """The advice as it is printed, headed by what was understood; ``log`` names the record of it."""
    page = found.page
    plain = options.full or not stands(found.advice)
    leans = None if plain else Matter(rulebase, found.answers, found.house).leans()
    if options.slip:
        said = slip_lines(rulebase, found.advice, page.width, page.units, log, found.own, leans)
    else:
        said = advice_lines(rulebase, found.advice, page.width, options.full, page.units, own=found.own, leans=leans)
    on_the_screen = not (options.slip or options.full)
    waiting = [] if on_the_screen else undecided_lines(rulebase, found.advice, page, asked=True)
    said, steps = (said[:-1], said[-1:]) if on_the_screen and found.later else (said, [])
    return [*page.lines, *([""] if page.lines else []), *said, *waiting, *found.later, *steps]


def undecided_lines(rulebase: RuleBase, advice: Advice, page: Page, asked: bool = False) -> list[str]:
    """What to write for each answer to the question of a danger that is open; ``asked`` where it stands above."""
    said = Page(page.width, page.units)
    for question in advice.dangers:
        question_too = "" if asked else f"{question.question} "
        said.add(f"{question_too}{said_with_the_rest(rulebase, question)}")
    return said.lines
