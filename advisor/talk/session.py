"""A conversation without a terminal: one line in, some lines out.

The session asks about the item, then what can still change its advice, one question at a time. It
holds answers and nothing else; every reply comes from a fresh consultation, so no value can be stale.
Any answer can be changed later by naming it. A usual value is only taken when it is shown and named.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from ..errors import AdvisorError, AnswerError
from ..leather.units import show
from ..reasoning.advice import Advice
from ..reasoning.consult import Consultation
from ..reasoning.difference import moves
from ..reasoning.facts import Answer, attribute_named, parse_answer, state_said
from ..reasoning.interview import Ask, worth_asking
from ..reasoning.record import Ended
from ..reasoning.report import report
from ..reasoning.review import Proposal
from ..reasoning.tipping import asleep
from ..rulebase.house import House
from ..rulebase.models import Attribute, RuleBase, Value
from .asking import end_lines, why_asked
from .commands import COMMANDS
from .comparing import move_lines
from .lexicon import items_near
from .matter import Matter
from .naming import slug_of
from .opinion import opinion_lines, said_lines
from .reading import Reading, read_sentence
from .recording import Keep, asked, recorded
from .reply import Reply
from .wording import OUTCOME_WORDS, Page, advice_lines, listed, plain

OPENING = (
    'Tell me what you are making. Enter alone takes the value shown in [brackets], "?" explains a question, '
    '"help" says what else you can type.'
)
UNKNOWN = (
    "I do not know that as a thing. Say it another way, or say what it does: something that holds things, carries "
    "things, folds, is worn, is sat on, lies flat, or straps round something."
)
NO_USUAL = "This one has no usual value, so Enter alone cannot answer it. \"Don't know\" leaves it open."
UNDECIDED = (
    "Without a thing to make there is nothing to advise on. Say what it has to do: " + UNKNOWN.partition(": ")[2]
)


class Session:
    """One conversation over one rule base. ``width`` is the number of columns lines are wrapped to.

    ``listener`` is given every event as it happens, a line typed before it is answered.
    """

    def __init__(
        self, rulebase: RuleBase, width: int = 80, house: House | None = None, listener: Keep | None = None
    ) -> None:
        self.rulebase, self.house, self.listener = rulebase, house, listener
        self.width: int = width
        self.reading: Reading | None = None
        self.by_command = False
        self.answers: dict[str, Answer] = {}
        self.asked: list[str] = []
        self.question: Attribute | None = rulebase.attributes["item"]
        self.further = False
        self.told = False
        self.stood = ""
        self.tried: dict[str, Answer] = {}
        self._last: tuple[object, Consultation] | None = None
        self.proposal = Proposal()

    # -- in and out

    def open(self) -> Reply:
        """The first words."""
        if self.listener:
            self.listener(asked(self))
        return Reply(self._wrapped([OPENING]), self.prompt())

    def hear(self, line: str) -> Reply:
        """One line from the person. Never raises for anything that can be typed."""
        return recorded(self, line, self.listener) if self.listener else self.respond(line)

    def respond(self, line: str) -> Reply:
        """The reply to one line, of which nothing is kept."""
        text = " ".join(line.split())
        self.by_command = False
        try:
            for command in COMMANDS:
                if said := command.words.fullmatch(text):
                    self.by_command = True
                    return command.act(self, said)
            return self._answer(text)
        except AdvisorError as error:
            return self.again([str(error)])

    def close(self) -> Reply:
        """The end of input: the advice so far, what was supposed and what is still open."""
        lines = [] if self.told else self.advice_lines()
        return Reply(lines, "", True)

    def leave(self) -> Reply:
        """The end of input, kept."""
        if self.listener:
            self.listener(Ended())
        return self.close()

    def prompt(self) -> str:
        """The open question in one line, with the usual value if one is shown."""
        if self.question is None:
            return ""
        usual = self._usual(self.question)
        return self.question.question + (f" [{usual}]" if usual else "")

    def completions(self) -> dict[str, str]:
        """Words that can be typed now, with their meaning."""
        words = {
            "don't know": "leave this open", "?": "explain the question", "back": "the question before",
            "advice": "the advice so far", "done": "no more questions", "help": "what can be typed",
        }  # fmt: skip
        if self.question is not None:
            values = self.question.values.values()
            words = {plain(v.slug): v.means for v in values} | words
        return words

    def standing(self, advice: Advice | None = None) -> str:
        """The advice so far in one line."""
        advice = advice or self.advice()
        d = advice.decisions
        if not d.tannage.chosen:
            return OUTCOME_WORDS.get(advice.outcome or "", "nothing advised yet")
        form = plain(d.form.chosen[0]) if d.form.chosen else "form open"
        return f"{plain(d.tannage.chosen[0])}, {d.weight.order_as or 'weight open'}, {form}"

    def advice_lines(self, full: bool = False) -> list[str]:
        """The advice on the answers so far."""
        return advice_lines(self.rulebase, report(self.consultation()), self.width, full)

    def advice(self) -> Advice:
        """The advice on the answers so far, as values."""
        return report(self.consultation())

    # -- answering

    def _answer(self, text: str) -> Reply:
        question = self.question
        if question is None:
            return self._read(text) if text else Reply(["Nothing is open. Type quit to leave, or change an answer."])
        if not text:
            usual = self._known(question)
            if usual is None:
                return self.again([NO_USUAL])
            self.answers[question.name] = Answer(usual, "known", "answered")
            return self.go_on([f"Taken: {self._said(question.name)}."])
        if question.name == "item":
            return self.again([UNDECIDED]) if state_said(text) else self._read(text)
        try:
            self.answers[question.name] = parse_answer(question, text)
        except AnswerError as error:
            reading = self._reading(text)
            if question.name in reading.answers:
                return self._take(reading)
            if reading.answers and not question.numeric:
                return self._take(reading, [f"That did not answer: {question.question}"])
            if not reading.answers and (said := said_lines(self, reading)):
                return self.again([*said, *self._not_understood(reading)])
            return self.again([str(error)])
        return self.go_on([f"Understood: {self._said(question.name)}."])

    def _read(self, text: str) -> Reply:
        reading = self._reading(text)
        if not reading.answers and (said := said_lines(self, reading)):
            return self.again([*said, *self._not_understood(reading)])
        if not reading.answers:
            lines = self._not_understood(reading) or ["I could not read anything in that."]
            if self.question is not None and self.question.name == "item":
                lines += self._unknown_item(reading.unread)
            return self.again(lines)
        return self._take(reading)

    def _reading(self, text: str) -> Reading:
        self.reading = read_sentence(self.rulebase, text, self._item())
        return self.reading

    def _unknown_item(self, words: Sequence[str]) -> list[str]:
        near = items_near(self.rulebase, words)
        return [near, UNKNOWN] if near else [UNKNOWN]

    def _take(self, reading: Reading, before: list[str] | None = None) -> Reply:
        self.answers |= reading.answers
        lines = [*(before or []), f"Understood: {reading.summary()}.", *self._not_understood(reading)]
        lines += said_lines(self, reading)
        if "item" not in self.answers and "item" not in reading.choices_open:
            lines += self._unknown_item(reading.unread)
        return self.go_on(self._wrapped(lines))

    def _not_understood(self, reading: Reading) -> list[str]:
        lines = list(reading.doubts)
        if reading.unread:
            lines.append(f"Not understood: {', '.join(reading.unread)}.")
        return lines

    def change(self, named: str, value: str) -> Reply:
        """An answer changed by its name. Raises AnswerError for a name or value that cannot be."""
        name = slug_of(named).removeprefix("the_").removeprefix("my_")
        attribute = attribute_named(self.rulebase, name)
        advised = self.advice()
        before = self._said(name) if name in self.answers else "not answered"
        dropped: list[str] = []
        answer = parse_answer(attribute, value)
        if name == "item" and answer.values != self.answers.get("item", answer).values:
            dropped = self._dropped_by(str(answer.values[0]) if answer.values else "")
        self.answers[name] = answer
        lines = [f"Changed: {self._said(name)} (before: {before})."]
        if dropped:
            lines.append(f"No longer used, and dropped: {listed(plain(d) for d in dropped)}.")
        return self.go_on([*lines, *self._moved(advised)])

    def keep(self) -> Reply:
        """The last "what if" taken over as answers."""
        if not self.tried:
            return self.again(['There is nothing to keep. Ask "what if ..." first.'])
        before = self.advice()
        changes, self.tried = self.tried, {}
        self.answers |= changes
        return self.go_on(self._receipt("Kept", list(changes), before))

    def forget(self, named: str) -> Reply:
        """An answer taken back. Raises AnswerError for a name that cannot be."""
        name = slug_of(named)
        attribute_named(self.rulebase, name)
        if name not in self.answers:
            return self.again([f"Nothing was said of {plain(name)}."])
        before, said = self.advice(), self._said(name)
        del self.answers[name]
        return self.go_on([f"Forgotten: {said}.", *self._moved(before)])

    def answer_lines(self) -> list[str]:
        """What was said, and which of it counts for nothing now."""
        if not self.answers:
            return ["You have not said anything yet."]
        lines = [f"{self._said(n)}" for n in self.answers]
        idle = [n for n in asleep(self.matter().run()) if n in self.answers]
        if idle:
            lines.append(f"Kept, but counting for nothing now: {listed(plain(n) for n in idle)}.")
        return lines

    def matter(self) -> Matter:
        """The consultation as it stands, to be asked about."""
        return Matter(self.rulebase, self.answers, self.house, self.width)

    def _receipt(self, verb: str, names: Sequence[str], before: Advice) -> list[str]:
        """What a change of answers did to the advice."""
        return [f"{verb}: {listed(self._said(n) for n in names)}.", *self._moved(before)]

    def _moved(self, before: Advice) -> list[str]:
        self.told = False
        return move_lines(self.matter(), moves(before, self.advice()), 2) if "item" in self.answers else []

    def _dropped_by(self, item: str) -> list[str]:
        """Sizes that the new item's pattern has no use for."""
        used = {a for p in self.rulebase.items[item].pieces for a in _words(f"{p.length} {p.width}")} if item else set()
        sizes = [n for n in self.answers if self.rulebase.attributes[n].group == "size" and n not in used]
        for name in sizes:
            del self.answers[name]
        return sizes

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
        self.further = True
        return self.go_on([])

    def back(self) -> Reply:
        """The last question once more."""
        while self.asked:
            name = self.asked.pop()
            if name in self.answers and (self.question is None or name != self.question.name):
                before = self._said(name)
                del self.answers[name]
                self.question = self.rulebase.attributes[name]
                return self.again([f"Back to: {before}. Answer it anew."])
        return self.again(["There is no question before this one."])

    # -- asking

    def go_on(self, lines: list[str]) -> Reply:
        """``lines``, then the next question or the advice."""
        if self.question is not None and self.question.name in self.answers:
            self.asked.append(self.question.name)
        consultation = self.consultation()
        advice = report(consultation)
        if advice.outcome in ("refuse", "another_material"):
            self.question = None
            return self.finish(lines)
        if consultation.known.get("item") is None and "item" not in self.answers:
            self.question = self.rulebase.attributes["item"]
            return Reply(lines, self.prompt())
        asks = self.asks()
        if not asks:
            self.question = None
            return self.finish(lines)
        self.question = self.rulebase.attributes[asks[0].name]
        standing = f"So far: {self.standing(advice)}. {_questions_left(len(asks))}"
        if standing != self.stood:
            self.stood = standing
            lines = [*lines, *self._wrapped([standing])]
        return Reply([*lines, *self._wrapped([why_asked(asks[0])])], self.prompt())

    def asks(self) -> list[Ask]:
        """The questions worth asking now, best first."""
        return worth_asking(self.matter().run(), self.answers, "later" if self.further else "first")

    def finish(self, lines: list[str] | None = None) -> Reply:
        """The advice, why the questions end here, and what can still be done."""
        said = [*(lines or []), "", *self.advice_lines(), ""]
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
        for line in lines:
            if len(line) <= self.width:
                page.lines.append(line)
            else:
                page.add(line)
        return page.lines

    def explained(self) -> list[str]:
        """What the open question means and what can be said."""
        question = self.question
        if question is None:
            return ["No question is open."]
        lines = [question.help]
        if question.name == "item":
            lines.append(f"I know: {listed(sorted(i.name for i in self.rulebase.items.values()))}.")
        elif question.kind in ("choice", "set", "yes_no"):
            lines += [f"  {plain(v.slug)}: {v.means}" for v in question.values.values()]
        elif question.low is not None and question.high is not None:
            unit = question.unit
            lines.append(f"Anything from {show(question.low, unit)} to {show(question.high, unit)}.")
        if question.dont_know:
            lines.append(f"Don't know: {question.dont_know}.")
        return lines

    # -- looking up

    def consultation(self) -> Consultation:
        """The consultation on the answers so far; the same one until an answer changes."""
        key = tuple(self.answers.items())
        if self._last is None or self._last[0] != key:
            self._last = key, Consultation(self.rulebase, self.answers, house=self.house)
        return self._last[1]

    def _item(self) -> str | None:
        answer = self.answers.get("item")
        return str(answer.values[0]) if answer and answer.values else None

    def _known(self, attribute: Attribute) -> tuple[str | float, ...] | None:
        known = self.consultation().known.get(attribute.name)
        return known.values if known and known.values else None

    def _usual(self, attribute: Attribute) -> str:
        values = self._known(attribute)
        if values is None:
            return ""
        return _values(attribute, values)

    def _said(self, name: str) -> str:
        answer, attribute = self.answers[name], self.rulebase.attributes[name]
        if answer.state != "known":
            return f"{plain(name)}: {answer.state}"
        return f"{plain(name)} {_values(attribute, answer.values)}"


def _questions_left(count: int) -> str:
    return "1 question left." if count == 1 else f"{count} questions left."


def _values(attribute: Attribute, values: Iterable[Value]) -> str:
    return listed(show(v, attribute.unit) if isinstance(v, float) else plain(v) for v in values)


def _words(text: str) -> set[str]:
    return set(re.findall(r"[a-z_]+", text))

