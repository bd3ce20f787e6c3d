"""A conversation without a terminal: one line in, some lines out.

The session asks about the item, then what can still change its advice, one question at a time. It
holds answers and nothing else; every reply comes from a fresh consultation, so no value can be stale.
Any answer can be changed later by naming it. A usual value is only taken when it is shown and named.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from itertools import takewhile
from typing import Any

from ..errors import AdvisorError, without_controls
from ..leather.units import Units
from ..read.courtesies import asked_plainly, no_apart, without_manners
from ..read.numbers import systems_said
from ..read.purposes import purposes
from ..read.reader import MAX_TEXT, Reading, read_sentence
from ..read.shades import with_shades
from ..read.stuffs import stuffs
from ..reasoning.advice import Advice
from ..reasoning.consult import Consultation
from ..reasoning.facts import Answer
from ..reasoning.interview import Ask, worth_asking
from ..reasoning.record import Ended
from ..reasoning.report import open_dangers, report
from ..reasoning.review import Proposal
from ..rulebase.asking import asking_of
from ..rulebase.house import House
from ..rulebase.models import NO_ORDER, Attribute, RuleBase
from ..rulebase.words import words_of
from ..write.assumed import open_said
from ..write.buying import in_short
from ..write.names import answer_said
from ..write.page import Page, listed, verdict_words
from ..write.screen import advice_lines, order_lines
from ..write.slip import slip_lines
from .across import heard_together, told_since
from .answering import accept, confirm, mistake
from .asking import end_lines, question_lines, safety_reason
from .at_home import at_home, told_of_home
from .beside_it import without_part_added
from .changing import change_thing
from .checking import check
from .choosing import placed_beside
from .commands import COMMANDS
from .counting import likewise_lines
from .direct import direct_answers, without_asked
from .enter import measure_first
from .fitted import without_usual_fittings
from .heard import doubts_said, not_understood, understood_said
from .left_open import left_open_lines
from .line import answered_line, asked_back, unknown_item
from .lots import lot_told
from .matter import Matter
from .mending import mended
from .offering import Offer, offer_nearest, offer_things, offered_again
from .opinion import asked_shortly, opinion_lines, said_lines
from .owned import owned_told
from .pending import Pending
from .plan import ALWAYS, enough_to_put, number_put, questions_put
from .recording import Keep, asked, put_back, recorded, state_of
from .remarks import remarks
from .reply import Reply
from .requests import another_thing, cleared
from .sizing import instead_of_offered, nearer
from .taking_back import settled, taken_back
from .wishes import without_refused

MOST_UNDONE = 20
"""How many lines can be taken back one after another."""
OPENING = (
    'Answer in your own words or with a number. Each question says what Enter alone does; "?" explains it, '
    '"don\'t know" leaves it open, "help" says what else you can type.'
)


NEXT = 'Enter twice leaves. Before that: "change ... to ...", "why tannage", "full", "next customer", "help".'


class Session:
    """One conversation over one rule base. ``width`` is the number of columns lines are wrapped to.

    ``listener`` is given every event as it happens, a line typed before it is answered. ``units`` are the measures
    asked for; without them the person is shown the measures they write in. ``brief`` asks little and ends with the
    order slip.
    """

    def __init__(
        self,
        rulebase: RuleBase,
        width: int = 80,
        house: House | None = None,
        listener: Keep | None = None,
        units: Units | None = None,
        brief: bool = False,
    ) -> None:
        self.rulebase: RuleBase = rulebase
        self.house, self.listener = house, listener
        self.width: int = width
        self.wanted, self.brief = units, brief
        self.log_name: Callable[[], str] = lambda: ""
        self.written: frozenset[Units] = frozenset()
        self.left, self.number = 0, 0
        self.coming: tuple[str, ...] = ()
        self.checking = self.checked = self.enough = self.leaving = False
        self.reading: Reading | None = None
        self.by_command = False
        self.answers: dict[str, Answer] = {}
        self.earlier: dict[str, Answer] = {}
        self.asked: list[str] = []
        self.questions: tuple[Attribute, ...] = (rulebase.attributes["item"],)
        self.hanging: set[str] = set()
        self.missed: dict[str, int] = {}
        self.waiting: tuple[str, ...] = ()
        self.later: tuple[str, ...] = ()
        self.remarked: dict[str, Answer] = {}
        self.further = False
        self.told = False
        self._ended: tuple[tuple[str, Answer], ...] | None = None
        self.stood = ""
        self.tried: dict[str, Answer] = {}
        self.explained = ""
        self.answered = ""
        self.asleep: set[str] = set()
        self._last: tuple[object, Consultation] | None = None
        self._advised: tuple[Consultation, Advice] | None = None
        self.proposal = Proposal()
        self.pending: Pending | None = None
        self.doubted: frozenset[str] = frozenset()
        self.offered: Offer | None = None
        self.past: list[dict[str, Any]] = []
        self.line = ""
        self.spoken: list[str] = []
        self.denied: set[str] = set()
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
        return recorded(self, line, self.listener)

    def respond(self, line: str) -> Reply:
        """The reply to one line, of which nothing is kept. A fault of the program raises."""
        before = {name: held for name, held in state_of(self).items() if name != "past"}
        self.took_back = False
        reply = self._reply(line)
        if self.answers != before["answers"] and not self.took_back:
            self.past = [*self.past[1 - MOST_UNDONE :], before]
        return Reply(self._wrapped(reply.lines), reply.prompt, reply.ended)

    def _reply(self, line: str) -> Reply:
        text = no_apart(without_controls(" ".join(line.split())[: MAX_TEXT + 1]))
        self.written |= systems_said(text, stuffs(self.rulebase))
        self.by_command, self.line = False, text
        leaving, self.leaving = self.leaving, False
        offered, item, asked_now = self.pending, self.item(), {q.name for q in self.questions}
        try:
            if offered is not None and (reply := instead_of_offered(self, text) or confirm(self, text)):
                return reply
            reply = self._meant(text, leaving)
            by_itself = not (self.by_command or self.took_back)
            again = told_since(self, text, asked_now) if by_itself else []
            if by_itself and (heard_together(self, text) or again) and self.pending is None:
                self.told = False
                reply = self.go_on([*reply.lines, *again])
            elif again:
                reply = Reply([*reply.lines, *again], self.prompt(), reply.ended)
        except AdvisorError as error:
            reply = self.again([mistake(self.rulebase, error)])
        # A size that was offered waits for its yes or no while something else is said.
        settled = self.pending or self.took_back or self.told or self.item() != item
        if offered is None or not offered.offered or settled or any(name in self.answers for name in offered.answers):
            return reply
        self.pending = offered
        return Reply(reply.lines, self.prompt(), reply.ended)

    def _meant(self, text: str, leaving: bool) -> Reply:
        """The reply to a line that confirms nothing: a command, or what it means while a question is open."""
        if self.question is None and not text and leaving:
            return self.close()
        for words in dict.fromkeys((asked_plainly(text), text, without_manners(text))):
            for command in COMMANDS:
                if (said := command.words.fullmatch(words)) and (reply := command.act(self, said)):
                    self.by_command = True
                    return reply
        back = lot_told(self, text) or owned_told(self, text) or taken_back(self, text) or mended(self, text)
        return back or answered_line(self, text)

    def meant(self, text: str) -> Reply:
        """The reply to a part of a line, as if it had been said alone."""
        return self._meant(text, False)

    def close(self) -> Reply:
        """The end of input: the advice so far, what was supposed and what is still open."""
        lines = [] if self.told else [*self.closing_lines(), *self._wrapped([open_said(self.rulebase, self.advice())])]
        return Reply(lines, "", True)

    def leave(self) -> Reply:
        """The end of input, kept."""
        if self.listener:
            self.listener(Ended())
        return self.close()

    def prompt(self) -> str:
        """What is open, on some lines: the question with its number, the choices with theirs, what Enter does."""
        if self.pending is not None:
            return self.pending.prompt(self.width)
        return "\n".join(question_lines(self))

    def commands_offered(self) -> dict[str, str]:
        """What can be typed besides an answer, with its meaning."""
        return {
            "don't know": "leave this open",
            "?": "explain the question",
            "back": "take the last line back",
            "advice": "the advice so far",
            "slip": "the order slip so far",
            "done": "no more questions",
            "help": "what can be typed",
            "quit": "leave",
        }

    def standing(self, advice: Advice | None = None) -> str:
        """The advice so far in one line."""
        if advice is None and not self.answers:
            # The first prompt need not wait for a consultation about nothing.
            return "nothing advised yet"
        advice = advice or self.advice()
        return in_short(self.rulebase, advice, self.units) or verdict_words(advice) or "nothing advised yet"

    def order_so_far(self) -> list[str]:
        """The order so far in at most four lines, or what stands in its way."""
        if self.item() is None:
            return ["So far: nothing advised yet."]
        advice = self.advice()
        if not advice.decisions.tannage.chosen or advice.verdict in NO_ORDER:
            return [f"So far: {verdict_words(advice) or 'nothing advised yet'}."]
        named = self.rulebase.items[str(self.item())].name
        return [f"So far: {named}", f"  {self.standing(advice)}"]

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
        leans = None if full else self.matter().leans()
        own = self.own()
        return advice_lines(self.rulebase, self.advice(), self.width, full, self.units, (), own=own, leans=leans)

    def slip_lines(self) -> list[str]:
        """The order slip on the answers so far."""
        leans = self.matter().leans()
        lines = slip_lines(self.rulebase, self.advice(), self.width, self.units, self.log_name(), self.own(), leans)
        return [*lines, *self._wrapped(likewise_lines(self))]

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

    def read_line(self, text: str, item: str | None = None) -> Reading:
        """The line read as a sentence about the known thing, or about ``item``, and kept for the record."""
        self.reading = read_sentence(self.rulebase, text, item or self.item(), self.units)
        self.hanging |= {*self.reading.ranges, *self.reading.choices_open}
        return self.reading

    def take(self, reading: Reading, before: list[str] | None = None) -> Reply:
        """All that was read becomes answers; ``before`` is said first."""
        reading = without_refused(self.rulebase, without_asked(self.matter(), self.line, reading))
        reading, gone = settled(self, reading)
        reading, parts = without_part_added(self, self.line, reading)
        made = reading.answers.get("item", Answer(())).values
        item = str(made[0]) if made else self.item()
        kept = without_usual_fittings(self.rulebase, item, self.line, reading.answers)
        for name in reading.answers.keys() - kept.keys():
            # "A clasp, then" puts the usual fittings back.
            self.answers.pop(name, None)
        kept, units = nearer(self, dict(kept))
        reading = replace(reading, answers={**reading.answers, **kept})
        accept(self, kept)
        held = set(self.pending.answers) if self.pending else self._said_at_home()
        taken = understood_said(self.rulebase, reading, held, self.item(), self.units)
        understood = [f"Understood: {'; '.join(taken)}."] if taken else []
        reading, size = placed_beside(self, reading)
        lines = list(dict.fromkeys([*(before or []), *gone, *understood, *units, *size]))
        lines += [*parts, *self.not_understood(reading), *another_thing(self, self.line)]
        lines += said_lines(self, reading)
        lines += left_open_lines(self.matter(), reading)
        if self.pending:
            return self.again(lines[len(before or []) :])
        home = told_of_home(self.matter(), reading.answers)
        # What leather to buy for the thing that is just named is answered by what follows.
        opens = bool(made) or self.item() is None
        answered = direct_answers(self.matter(), self.line, judged=home, silent=opens)
        lines = [*(line for line in answered if line not in lines), *lines]
        if self.advice().outcome == "refuse":
            return self.go_on(self._wrapped(lines))
        # What answers the question of a danger says nothing of the things that are offered after it.
        of_the_thing = self.offered is None or self.question is None or self.question.name == "item"
        if of_the_thing and self.item() is None and reading.named.candidates and reading.named.taken is None:
            offered = offer_things(self, reading.named.candidates, self.line)
            if self.advice().dangers:
                # What may hurt somebody is asked before the thing, which is offered after the answer.
                return self.go_on(self._wrapped(lines))
            return self.again([*lines, *offered])
        if self.item() is None and (named := reading.named.taken) and not named.thing.recipe:
            offered = offer_nearest(self, named.thing.slug, self.line)
            known = {doubt.text for doubt in reading.doubts if doubt.code == "no_recipe"}
            lines = [line for line in lines if line not in known]
            return self.go_on(self._wrapped(lines)) if self.advice().dangers else self.again([*lines, *offered])
        if "item" not in self.answers and "item" not in reading.choices_open:
            lines += unknown_item(self, reading)
        return self.go_on(self._wrapped(lines))

    def make_instead(self, slug: str, text: str, words: str = "") -> Reply:
        """Another thing instead of the one that was made, with what more is said of it in ``words``."""
        return change_thing(self, slug, text, words)

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
        lines = doubts_said(self.rulebase, reading, self.units)
        return [*lines, *not_understood(self.rulebase, reading)]

    def matter(self) -> Matter:
        """The consultation as it stands, to be asked about."""
        return Matter(self.rulebase, self.answers, self.house, self.width, self.units, self.advice)

    def opinion(self, text: str) -> Reply:
        """A second opinion; a job named for the first time is gone on with."""
        if asked_shortly(self, text):
            return asked_back(self, text)
        known = "item" in self.answers
        lines = opinion_lines(self, text)
        return self.again(lines) if known or "item" not in self.answers else self.go_on(self._wrapped(lines))

    def done(self) -> Reply:
        """No more questions, but for those of dangers."""
        self.question, self.enough = None, True
        return self.finish()

    def more(self) -> Reply:
        """The rest of the questions."""
        self.further, self.brief, self.enough = True, False, False
        return self.go_on([])

    # -- asking

    def go_on(self, lines: list[str]) -> Reply:
        """``lines``, then the next question or the advice."""
        put = [q.name for q in self.questions if q.name in self.answers and q.name not in self.asked]
        self.asked += put
        self.missed = {name: times for name, times in self.missed.items() if name not in self.answers}
        consultation = self.consultation()
        advice = self.advice()
        if self.item() is not None:
            # A number belongs to the question now, no longer to the things that were shown.
            self.offered = None
        lines = [*self._home_judged(), *lines, *self._remarks()]
        waiting = [q for q in advice.dangers if q.attribute not in self.answers]
        if advice.outcome in ("refuse", "another_material"):
            self.question = None
            return self.finish(lines)
        if consultation.known.get("item") is None and "item" not in self.answers and not waiting:
            self.question = self.rulebase.attributes["item"]
            return Reply([*lines, *offered_again(self)], self.prompt())
        asks, self.left = self._to_ask(advice)
        if (deferred := advice.outcome == "defer" and advice.no_order) and not waiting:
            # What brings no order back need not be asked.
            asks = [together for together in asks if any("outcome" in ask.moves for ask in together)]
            self.left = len(asks)
        self.coming = tuple(ask.name for together in asks for ask in together)
        if self.enough and not advice.dangers:
            self.question = None
            return self.finish(lines)
        standing = f"So far: {self.standing(advice)}."
        if standing != self.stood:
            self.stood = standing
            lines = [*lines, standing]
        if not asks:
            self.question = None
            something = any(name != "item" for name in self.asked) and not deferred
            return check(self, lines) if something and not (self.brief or self.checked) else self.finish(lines)
        self.checking = False
        self.number = number_put(self.rulebase, self.asked, self.brief) + 1
        self.questions = tuple(self.rulebase.attributes[a.name] for a in asks[0])
        return Reply([*lines, *safety_reason(asks[0], advice)], self.prompt())

    def own(self) -> str:
        """What heads the order where leather at home does as well."""
        home = at_home(self.matter(), self.proposal)
        return home.order if home else ""

    def _order_lines(self) -> list[str]:
        return order_lines(self.rulebase, self.advice(), self.width, self.units, self.own())

    def _home_judged(self) -> list[str]:
        """What is found of leather at home, when it or the thing is new."""
        known = purposes(self.rulebase)
        told = ("item", known.at_hand, known.at_hand_weight)
        if all(self.remarked.get(name) == self.answers.get(name) for name in told):
            return []
        home = at_home(self.matter(), self.proposal)
        return self._wrapped(list(home.lines)) if home else []

    def _said_at_home(self) -> set[str]:
        """What the judgement of leather at home says back by itself."""
        known = purposes(self.rulebase)
        return {known.at_hand, known.at_hand_weight} if self._home_judged() else set()

    def _remarks(self) -> list[str]:
        """What has to be said back of the sizes that are new, or of all when the item is."""
        before, self.remarked = self.remarked, dict(self.answers)
        anew = before.get("item") != self.answers.get("item")
        return remarks(self.matter(), [n for n, a in self.answers.items() if anew or before.get(n) != a])

    def _to_ask(self, advice: Advice) -> tuple[list[list[Ask]], int]:
        """The questions still put, best first and those put together as one, and how many they are."""
        if self.further:
            asks = self.asks()
            return [[ask] for ask in asks], len(asks)
        first = asking_of(self.rulebase, self.item()).first
        enough = None if self.brief else enough_to_put(self.rulebase, advice, self.asked, first)
        asks = worth_asking(self.matter().run(), self.answers, "first", enough, ALWAYS)
        return questions_put(self.rulebase, asks, advice, self.asked, self.brief)

    def asks(self) -> list[Ask]:
        """The questions worth asking now, best first."""
        return worth_asking(self.matter().run(), self.answers, "later" if self.further else "first")

    def finish(self, lines: list[str] | None = None) -> Reply:
        """The advice, why the questions end here, what can still be done, and the order as the last lines."""
        self.checking = False
        leans = self.matter().leans()
        rest = advice_lines(self.rulebase, self.advice(), self.width, False, self.units, (), ordered=False, leans=leans)
        answered = tuple(self.answers.items())
        if self.told and self._ended == answered and self.advice().no_order:
            # What stands in the way was said just now, in full; said again at each line nobody would read it.
            head = list(takewhile(lambda line: line.strip() and not line.startswith(" "), rest))
            return Reply([*(lines or []), "", *head, *self._wrapped([NEXT])])
        self._ended = answered
        said = [*(lines or []), "", *([] if self.brief else [*rest, ""])]
        said += self._wrapped(likewise_lines(self))
        if "item" in self.answers and self.advice().verdict not in NO_ORDER:
            open_sizes = [n for n in self.rulebase.attributes if not self.answers.get(n, Answer(())).values]
            said += self._wrapped(measure_first(self, open_sizes))
            said += end_lines(self.matter())
        said += self._wrapped([NEXT])
        last = self.closing_lines() if self.brief else self._order_lines()
        self.told = True
        return Reply([*said, *([""] if last else []), *last])

    def again(self, lines: list[str]) -> Reply:
        """``lines``, and the question that was open stays open."""
        return Reply(self._wrapped(lines), self.prompt())

    def _wrapped(self, lines: list[str]) -> list[str]:
        page = Page(self.width, self.units)
        page.keep(lines)
        return page.lines

    # -- looking up

    def consultation(self) -> Consultation:
        """The consultation on the answers so far; the same one until an answer changes."""
        self.answers = with_shades(self.rulebase, self.answers)
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
        if attribute.name in open_dangers(self.consultation()):
            return None
        return self.usual(attribute) or None

    def usual(self, attribute: Attribute) -> tuple[str | float, ...]:
        """What is reckoned with now, answered or supposed."""
        known = self.consultation().known.get(attribute.name)
        return known.values if known else ()

    def said(self, name: str) -> str:
        """An answer as a person says it."""
        return self.said_as(name, self.answers[name])

    def said_as(self, name: str, answer: Answer) -> str:
        """Another answer to the same question, as a person says it."""
        values = answer.values if answer.state == "known" else ()
        shade = with_shades(self.rulebase, {name: answer}).get(self.rulebase.shaded.get(name, ""))
        if values and shade is not None:
            return str(shade.values[0])
        return answer_said(self.rulebase, name, values, self.item(), self.units)
