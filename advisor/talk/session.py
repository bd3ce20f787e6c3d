"""A conversation without a terminal: one line in, some lines out.

The session asks about the item, then what can still change its advice, one question at a time. It
holds answers and nothing else; every reply comes from a fresh consultation, so no value can be stale.
Any answer can be changed later by naming it. A usual value is only taken when it is shown and named.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from typing import Any

from ..errors import AdvisorError, without_controls
from ..leather.units import Units, show, show_weight
from ..read.acts import acts_of
from ..read.answers import Answered, read_answer
from ..read.lexicon import CORRECTS, items_near, tokens
from ..read.numbers import systems_said
from ..read.reader import MAX_TEXT, Reading, read_sentence
from ..reasoning.advice import Advice
from ..reasoning.consult import Consultation
from ..reasoning.facts import Answer, state_said
from ..reasoning.interview import Ask, worth_asking
from ..reasoning.record import Ended, Event
from ..reasoning.report import open_dangers, report
from ..reasoning.review import Proposal
from ..rulebase.house import House
from ..rulebase.models import Attribute, RuleBase, Value
from ..rulebase.words import words_of
from .answering import (
    Offer,
    Pending,
    accept,
    alarming,
    answer_question,
    ask_again,
    confirm,
    mistake,
    offer_things,
    pick_thing,
)
from .asking import end_lines, why_asked
from .brief import brief_questions
from .commands import COMMANDS
from .direct import asks_only, cannot, direct_answers
from .left_open import left_open_lines
from .matter import Matter
from .opinion import opinion_lines, said_lines
from .page import Page, capital, listed, plain, verdict_words
from .recording import Keep, asked, put_back, recorded, state_of
from .remarks import remarks
from .reply import Reply
from .requests import another_thing, cleared, courtesy, requested
from .slip import slip_lines
from .together import answer_together, take_usual
from .wording import advice_lines

MOST_UNDONE = 20
"""How many lines can be taken back one after another."""
OPENING = (
    'Tell me what you are making. Enter alone takes the value shown in [brackets], "?" explains a question, '
    '"help" says what else you can type.'
)
UNKNOWN = (
    "I do not know that as a thing. Say it another way, or say what it does: something that holds things, carries "
    "things, folds, is worn, is sat on, lies flat, or straps round something."
)
UNDECIDED = (
    "Without a thing to make there is nothing to advise on. Say what it has to do: " + UNKNOWN.partition(": ")[2]
)


class Session:
    """One conversation over one rule base. ``width`` is the number of columns lines are wrapped to.

    ``listener`` is given every event as it happens, a line typed before it is answered. ``units`` are the measures
    asked for; without them the person is shown the measures they write in. ``brief`` asks little and ends with the
    order slip.
    """

    def __init__(
        self, rulebase: RuleBase, width: int = 80, house: House | None = None, listener: Keep | None = None,
        units: Units | None = None, brief: bool = False,
    ) -> None:  # fmt: skip
        self.rulebase, self.house, self.listener = rulebase, house, listener
        self.width: int = width
        self.wanted, self.brief = units, brief
        self.log_name: Callable[[], str] = lambda: ""
        self.written: frozenset[Units] = frozenset()
        self.left = 0
        self.reading: Reading | None = None
        self.by_command = False
        self.answers: dict[str, Answer] = {}
        self.asked: list[str] = []
        self.questions: tuple[Attribute, ...] = (rulebase.attributes["item"],)
        self.hanging: set[str] = set()
        self.remarked: dict[str, Answer] = {}
        self.further = False
        self.told = False
        self.stood = ""
        self.tried: dict[str, Answer] = {}
        self.asleep: set[str] = set()
        self._last: tuple[object, Consultation] | None = None
        self._advised: tuple[Consultation, Advice] | None = None
        self.proposal = Proposal()
        self.pending: Pending | None = None
        self.offered: Offer | None = None
        self.numbered = ""
        self.past: list[dict[str, Any]] = []
        self.line = ""
        self.took_back = False

    @property
    def question(self) -> Attribute | None:
        """The open question, or the first of those that are open together."""
        return self.questions[0] if self.questions else None

    @question.setter
    def question(self, question: Attribute | None) -> None:
        self.questions = (question,) if question else ()

    # -- in and out

    def open(self) -> Reply:
        """The first words."""
        if self.listener:
            self.listener(asked(self))
        return Reply(self._wrapped([OPENING]), self.prompt())

    def hear(self, line: str) -> Reply:
        """One line from the person. Raises no Exception: a fault is told, and the session is as before the line."""
        return recorded(self, line, self.listener or _unkept)

    def respond(self, line: str) -> Reply:
        """The reply to one line, of which nothing is kept. A fault of the program raises."""
        before = {name: held for name, held in state_of(self).items() if name != "past"}
        self.took_back = False
        reply = self._reply(line)
        if self.answers != before["answers"] and not self.took_back:
            self.past = [*self.past[1 - MOST_UNDONE :], before]
        return Reply(self._wrapped(reply.lines), reply.prompt, reply.ended)

    def _reply(self, line: str) -> Reply:
        text = without_controls(" ".join(line.split())[: MAX_TEXT + 1])
        self.written |= systems_said(text)
        self.by_command, self.line = False, text
        try:
            if (self.pending is not None) and (reply := confirm(self, text)):
                return reply
            for command in COMMANDS:
                if said := command.words.fullmatch(text):
                    self.by_command = True
                    return command.act(self, said)
            return self._answer(text)
        except AdvisorError as error:
            return self.again([mistake(error)])

    def close(self) -> Reply:
        """The end of input: the advice so far, what was supposed and what is still open."""
        lines = [] if self.told else self.closing_lines()
        return Reply(lines, "", True)

    def leave(self) -> Reply:
        """The end of input, kept."""
        if self.listener:
            self.listener(Ended())
        return self.close()

    def prompt(self) -> str:
        """The open question in one line, with the usual value if one is shown."""
        if self.pending is not None:
            return self.pending.question
        usual = [f" [{said}]" if (said := self._usual(q)) else "" for q in self.questions]
        if len(usual) > 1:
            named = listed(f"{plain(q.name)}{said}" for q, said in zip(self.questions, usual, strict=True))
            return f"{capital(named)}, in one line:"
        return "".join(f"{q.question}{said}" for q, said in zip(self.questions, usual, strict=True))

    def commands_offered(self) -> dict[str, str]:
        """What can be typed besides an answer, with its meaning."""
        return {
            "don't know": "leave this open", "?": "explain the question", "back": "the question before",
            "advice": "the advice so far", "slip": "the order slip so far", "done": "no more questions",
            "help": "what can be typed", "quit": "leave",
        }  # fmt: skip

    def standing(self, advice: Advice | None = None) -> str:
        """The advice so far in one line."""
        if advice is None and not self.answers:
            # The first prompt need not wait for a consultation about nothing.
            return "nothing advised yet"
        advice = advice or self.advice()
        d = advice.decisions
        if not d.tannage.chosen:
            return verdict_words(advice) or "nothing advised yet"
        form = plain(d.form.chosen[0]) if d.form.chosen else "form open"
        w = d.weight
        open_ = w.low_mm is None or w.high_mm is None
        weight = "weight open" if open_ else show_weight(w.low_mm or 0, w.high_mm or 0, self.units)
        return f"{plain(d.tannage.chosen[0])}, {weight}, {form}"

    def questions_left(self) -> int:
        """How many questions are still worth asking, the open one among them."""
        return max(1, self.left) if self.question is not None else 0

    @property
    def units(self) -> Units:
        """The measures to show: those asked for, else inches if all that was written is in inches."""
        return self.wanted or ("inch" if self.written == {"inch"} else "mm")

    def show_in(self, units: Units) -> Reply:
        """Everything in inches or in millimetres from here on."""
        self.wanted = units
        measures = "inches, ounces, feet and pounds" if units == "inch" else "millimetres and kilograms"
        lines = [f"Shown in {measures} from here on."]
        return self.finish(lines) if self.told else self.again(lines)

    def advice_lines(self, full: bool = False) -> list[str]:
        """The advice on the answers so far."""
        return advice_lines(self.rulebase, self.advice(), self.width, full, self.units)

    def slip_lines(self) -> list[str]:
        """The order slip on the answers so far."""
        return slip_lines(self.rulebase, self.advice(), self.width, self.units, self.log_name())

    def closing_lines(self) -> list[str]:
        """What a conversation ends with."""
        return self.slip_lines() if self.brief else self.advice_lines()

    def advice(self) -> Advice:
        """The advice on the answers so far, as values."""
        consultation = self.consultation()
        if self._advised is None or self._advised[0] is not consultation:
            self._advised = consultation, report(consultation)
        return self._advised[1]

    # -- answering

    def _answer(self, text: str) -> Reply:
        question = self.question
        if question is None:
            if not text:
                return Reply(['All answered. Type "quit" to leave, or change an answer.'])
            return self._aside(None, text) or self._read(text)
        if not text:
            return take_usual(self)
        if reply := self._aside(question, text):
            return reply
        if len(self.questions) > 1:
            return answer_together(self, text)
        if question.name == "item":
            return self.again([UNDECIDED]) if state_said(text) else self._read(text)
        return answer_question(self, question, text) or self._unfitting(question, text)

    def _aside(self, question: Attribute | None, text: str) -> Reply | None:
        """A pick of what was offered, a request, a question or a courtesy; None for what is meant as an answer."""
        if picked := pick_thing(self, text):
            return picked
        if self.item() is not None and CORRECTS.search(" ".join(t.word for t in tokens(text))):
            corrected = read_sentence(self.rulebase, text, self.item(), self.units)
            if "item" in corrected.answers and corrected.answers["item"].values != (self.item(),):
                return self.take(self.read_line(text))
        one = question if question and not self.questions[1:] and question.name != "item" else None
        found = self._answered(one, text.rstrip("?")) if one else None
        if one and found and (found.meant != "value" or not asks_only(text)):
            return answer_question(self, one, text.rstrip("?"))
        if reply := requested(self, text):
            return reply
        if asks_only(text) and not (question and question.name == "item" and self._names_thing(text)):
            return self._asked(text)
        if kind := courtesy(text):
            return self.again([kind])
        return None

    def _answered(self, question: Attribute, text: str) -> Answered | None:
        return read_answer(self.rulebase, question, text, self.units, self.numbered == question.name)

    def _asked(self, text: str) -> Reply:
        """A question answered; what it raises of danger is taken up, and nothing else."""
        said = direct_answers(self.matter(), text) or cannot(self.matter())
        if all(act.why in ("meaning", "either") for act in acts_of(text) if act.kind == "question"):
            return self.again(said)
        reading = self.read_line(text)
        alarms = alarming(self.rulebase, reading)
        if not alarms:
            return self.again(said)
        self.line = "" if said == cannot(self.matter()) else text
        return self.take(replace(reading, answers=alarms))

    def _names_thing(self, text: str) -> bool:
        """Whether a question names what is to be made, as "what leather do I need for a belt"."""
        named = read_sentence(self.rulebase, text, None, self.units).named
        return bool(named.taken or named.candidates)

    def _unfitting(self, question: Attribute, text: str) -> Reply:
        """What fits no value of the question: other facts that it says, or the question once more."""
        reading = self.read_line(text)
        if question.name in reading.answers:
            return self.take(reading)
        asides = any(not self.rulebase.attributes[name].numeric for name in reading.answers)
        if reading.answers and (asides or not question.numeric):
            return self.take(reading, [f"Noted. And: {question.question}"])
        if not reading.answers and (said := said_lines(self, reading)):
            return self.again([*said, *self.not_understood(reading)])
        if lines := self._left_open(question, reading, text):
            return self.again(lines)
        if more := another_thing(self, text):
            return self.again(more)
        return self.again(ask_again(self, question, text))

    def _left_open(self, question: Attribute, reading: Reading, text: str) -> list[str]:
        """What a range or a choice of two comes to; a range alone is one of what was asked."""
        if question.numeric and question.cues and not reading.ranges:
            reading = read_sentence(self.rulebase, f"{question.cues[0]} {text}", self.item(), self.units)
        if not reading.ranges and not reading.choices_open:
            return []
        return [*map(str, reading.doubts), *left_open_lines(self.matter(), reading)]

    def _read(self, text: str) -> Reply:
        reading = self.read_line(text)
        if not reading.answers and (said := said_lines(self, reading)):
            return self.again([*said, *self.not_understood(reading)])
        if not reading.answers:
            lines = self.not_understood(reading) or ["I could not read anything in that."]
            lines += left_open_lines(self.matter(), reading)
            if self.item() is None and reading.named.candidates and reading.named.taken is None:
                lines += offer_things(self, reading.named.candidates, text)
            elif self.question is not None and self.question.name == "item":
                lines += self._unknown_item(reading.unread)
            return self.again(another_thing(self, text) or lines)
        return self.take(reading)

    def read_line(self, text: str, item: str | None = None) -> Reading:
        """The line read as a sentence about the known thing, or about ``item``, and kept for the record."""
        self.reading = read_sentence(self.rulebase, text, item or self.item(), self.units)
        self.hanging |= {*self.reading.ranges, *self.reading.choices_open}
        return self.reading

    def _unknown_item(self, words: Sequence[str]) -> list[str]:
        near = items_near(self.rulebase, words)
        return [near, UNKNOWN] if near else [UNKNOWN]

    def take(self, reading: Reading, before: list[str] | None = None) -> Reply:
        """All that was read becomes answers; ``before`` is said first."""
        accept(self, reading.answers)
        held = self.pending.answers if self.pending else {}
        taken = dict.fromkeys(
            u.text for u in reading.understood
            if u.value or (u.attribute in reading.answers and u.attribute not in held)
        )
        lines = [*(before or []), *([f"Understood: {'; '.join(taken)}."] if taken else [])]
        lines += [*self.not_understood(reading), *another_thing(self, self.line)]
        lines += said_lines(self, reading)
        lines += left_open_lines(self.matter(), reading)
        if self.pending:
            return self.again(lines[len(before or []) :])
        lines = [*direct_answers(self.matter(), self.line), *lines]
        if self.advice().outcome == "refuse":
            return self.go_on(self._wrapped(lines))
        if self.item() is None and reading.named.candidates and reading.named.taken is None:
            return self.again([*lines, *offer_things(self, reading.named.candidates, self.line)])
        if "item" not in self.answers and "item" not in reading.choices_open:
            lines += self._unknown_item(reading.unread)
        return self.go_on(self._wrapped(lines))

    def ask_to_change(self, item: Answer) -> Reply:
        """Another thing that sizes would be lost by: asked before it is changed."""
        accept(self, {"item": item})
        return self.again([])

    def clear(self, lines: list[str]) -> Reply:
        """Everything said is gone, and the first question is put."""
        return cleared(self, lines)

    def undo(self) -> Reply:
        """The last line that changed an answer taken back."""
        if not self.past:
            return self.again(["There is nothing to take back."])
        *past, before = self.past
        said = {n: self.said(n) for n in self.answers}
        put_back(self, before)
        self.past, self.took_back, self.by_command, self.told = past, True, True, False
        self.pending, self.offered = None, None
        gone = [words for n, words in said.items() if n not in self.answers or self.said(n) != words]
        back = [self.said(n) for n in self.answers if said.get(n) != self.said(n)]
        lines = [f"Taken back: {listed(gone)}."] if gone else []
        return self.again([*lines, *([f"As before: {listed(back)}."] if back else [])])

    def thing(self, slug: str) -> str:
        """The name of a thing, with or without a recipe."""
        return words_of(self.rulebase).things[slug].name

    def not_understood(self, reading: Reading) -> list[str]:
        """What is in doubt and what was not read."""
        lines = [*map(str, reading.doubts)]
        if reading.unread:
            lines.append(f"Not understood: {', '.join(reading.unread)}.")
        return lines

    def matter(self) -> Matter:
        """The consultation as it stands, to be asked about."""
        return Matter(self.rulebase, self.answers, self.house, self.width, self.units)

    def opinion(self, text: str) -> Reply:
        """A second opinion; a job named for the first time is gone on with."""
        known = "item" in self.answers
        lines = opinion_lines(self, text)
        return self.again(lines) if known or "item" not in self.answers else self.go_on(self._wrapped(lines))

    def done(self) -> Reply:
        """No more questions."""
        self.question = None
        return self.finish()

    def more(self) -> Reply:
        """The rest of the questions."""
        self.further, self.brief = True, False
        return self.go_on([])

    def back(self) -> Reply:
        """The last question once more."""
        while self.asked:
            name = self.asked.pop()
            if name in self.answers and (self.question is None or name != self.question.name):
                before = self.said(name)
                del self.answers[name]
                self.question = self.rulebase.attributes[name]
                return self.again([f"Back to: {before}. Answer it anew."])
        return self.again(["There is no question before this one."])

    # -- asking

    def go_on(self, lines: list[str]) -> Reply:
        """``lines``, then the next question or the advice."""
        self.asked += [q.name for q in self.questions if q.name in self.answers]
        consultation = self.consultation()
        advice = self.advice()
        if self.item() is not None:
            # A number belongs to the question now, no longer to the things that were shown.
            self.offered = None
        lines = [*lines, *self._remarks()]
        if advice.outcome in ("refuse", "another_material"):
            self.question = None
            return self.finish(lines)
        if consultation.known.get("item") is None and "item" not in self.answers:
            self.question = self.rulebase.attributes["item"]
            return Reply(lines, self.prompt())
        asks, self.left = self._to_ask(advice)
        if not asks:
            self.question = None
            return self.finish(lines)
        self.questions = tuple(self.rulebase.attributes[a.name] for a in asks[0])
        standing = f"So far: {self.standing(advice)}. {left_words(self.left)}"
        if standing != self.stood:
            self.stood = standing
            lines = [*lines, standing]
        asked_in_full = [" ".join(q.question for q in self.questions)] if self.questions[1:] else []
        return Reply([*lines, why_asked(asks[0]), *asked_in_full], self.prompt())

    def _remarks(self) -> list[str]:
        """What has to be said back of the sizes that are new, or of all when the item is."""
        before, self.remarked = self.remarked, dict(self.answers)
        anew = before.get("item") != self.answers.get("item")
        return remarks(self.matter(), [n for n, a in self.answers.items() if anew or before.get(n) != a])

    def _to_ask(self, advice: Advice) -> tuple[list[list[Ask]], int]:
        """The questions still put, best first and those put together as one, and how many they are."""
        asks = self.asks()
        if self.brief:
            return brief_questions(self.rulebase, asks, advice, self.asked)
        return [[ask] for ask in asks], len(asks)

    def asks(self) -> list[Ask]:
        """The questions worth asking now, best first."""
        return worth_asking(self.matter().run(), self.answers, "later" if self.further else "first")

    def finish(self, lines: list[str] | None = None) -> Reply:
        """The advice, why the questions end here, and what can still be done."""
        said = [*(lines or []), "", *self.closing_lines(), ""]
        if "item" in self.answers:
            said += end_lines(self.matter())
        said += self._wrapped([
            'Type "more" to be asked the rest, "change ... to ...", "why tannage", "full", or "quit".'
        ])  # fmt: skip
        self.told = True
        return Reply(said)

    def again(self, lines: list[str]) -> Reply:
        """``lines``, and the question that was open stays open."""
        return Reply(self._wrapped(lines), self.prompt())

    def _wrapped(self, lines: list[str]) -> list[str]:
        page = Page(self.width)
        page.keep(lines)
        return page.lines

    # -- looking up

    def consultation(self) -> Consultation:
        """The consultation on the answers so far; the same one until an answer changes."""
        key = tuple(self.answers.items())
        if self._last is None or self._last[0] != key:
            self._last = key, Consultation(self.rulebase, self.answers, house=self.house)
        return self._last[1]

    def item(self) -> str | None:
        """The item being made, if it is known."""
        answer = self.answers.get("item")
        return str(answer.values[0]) if answer and answer.values else None

    def known(self, attribute: Attribute) -> tuple[str | float, ...] | None:
        """What is known of it so far, said or supposed; nothing of what words left open between several values.

        Nor of what a raised danger waits for, since Enter would make an answer of the supposition.
        """
        if attribute.name in self.hanging and attribute.name not in self.answers:
            return None
        run = self.consultation()
        if attribute.name in open_dangers(run):
            return None
        known = run.known.get(attribute.name)
        return known.values if known and known.values else None

    def _usual(self, attribute: Attribute) -> str:
        values = self.known(attribute)
        if values is None:
            return ""
        return _values(attribute, values, self.units)

    def said(self, name: str) -> str:
        """An answer as a person says it."""
        answer, attribute = self.answers[name], self.rulebase.attributes[name]
        if answer.state != "known":
            return f"{plain(name)}: {answer.state}"
        return f"{plain(name)} {_values(attribute, answer.values, self.units)}"


def _unkept(_: Event) -> None:
    """For a session to which nobody listens."""


def left_words(count: int) -> str:
    """How many questions are left, as a sentence."""
    return "1 question left." if count == 1 else f"{count or 'No'} questions left."


def _values(attribute: Attribute, values: Iterable[Value], units: Units) -> str:
    return listed(show(v, attribute.unit, units) if isinstance(v, float) else plain(v) for v in values)

