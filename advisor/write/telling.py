"""A decision log told in plain lines: for a list of logs, and for one log from its start to its end.

Everything said is read off the events; nothing is derived anew here.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from ..leather.units import Units
from ..read.numbers import measures
from ..read.stuffs import stuffs
from ..reasoning.record import (
    Answered,
    Asked,
    Began,
    Concluded,
    Ended,
    Entry,
    Event,
    Explained,
    Fault,
    Fired,
    Read,
    Resumed,
    Said,
    Supposed,
    Typed,
    advice_differences,
    fold,
)
from ..rulebase.models import RuleBase, Value
from ..rulebase.saying import asked, label
from .names import answer_said, attribute_called, called
from .names import said as told
from .page import OUTCOME_WORDS, Page, listed

FAULT_WORDS = {
    "internal": "the program failed here; nothing changed",
    "stopped": "stopped before it was answered; nothing changed",
    "no_text": "this is no writing",
    "answer": "this cannot be used",
}


def in_short(rulebase: RuleBase, events: Sequence[Event]) -> str:
    """A log in one line: how far it got and what was advised last."""
    last = next((e for e in reversed(events) if isinstance(e, Concluded)), None)
    item = next(
        (
            str(e.now.values[0])
            for e in reversed(events)
            if isinstance(e, Answered) and e.attribute == "item" and e.now and e.now.values
        ),
        "",
    )
    state = "finished" if isinstance(events[-1], Ended) else "unfinished"
    typed = sum(isinstance(e, Typed) for e in events)
    if isinstance(events[0], Began) and events[0].by == "batch":
        faults = sum(isinstance(e, Fault) for e in events)
        return f"{state}, batch of {typed} {'line' if typed == 1 else 'lines'}, {faults or 'none'} without advice"
    advised = _advised(rulebase, last) if last else "nothing advised"
    return f"{state}, {lines_typed(typed)}; {label(rulebase, 'item', item) or 'no item'}: {advised}"


def lines_typed(number: int) -> str:
    """``1 line typed``, ``2 lines typed``."""
    return f"{number} {'line' if number == 1 else 'lines'} typed"


def log_lines(rulebase: RuleBase, events: Sequence[Event], width: int, units: Units | None = None) -> list[str]:
    """The whole log, event by event. What was supposed and what fired is told where it is new.

    Without ``units`` sizes are shown as in the conversation.
    """
    teller = _Teller(rulebase, Page(width, typed_in(rulebase, events, units)))
    for event in events:
        teller.tell(event)
    return teller.page.lines


def typed_in(rulebase: RuleBase, events: Sequence[Event], wanted: Units | None = None) -> Units:
    """The measures wanted now or when the log was kept, else those in which its lines were typed."""
    lines = "\n".join(e.line for e in events if isinstance(e, Typed))
    return measures(wanted or fold(events).manner.units, lines, stuffs(rulebase))


def answer_words(rulebase: RuleBase, name: str, said: Said, units: Units = "mm", item: str | None = None) -> str:
    """An answer as it is said back: ``a waist of 92 cm``, ``waist: left open``."""
    return answer_said(rulebase, name, said.values if said.state == "known" else (), item, units)


def _advised(rulebase: RuleBase, event: Concluded) -> str:
    chosen = [called(rulebase, d, event.decisions[d][0]) for d in ("tannage", "form") if event.decisions.get(d)]
    if not chosen:
        return OUTCOME_WORDS.get(event.outcome or "", "nothing advised")
    return ", ".join([chosen[0], event.weight or "weight open", *chosen[1:]])


class _Teller:
    """Remembers what was told, so that only the news of an event is said."""

    def __init__(self, rulebase: RuleBase, page: Page) -> None:
        self.rulebase, self.page = rulebase, page
        self.supposed: Mapping[str, Sequence[Value]] = {}
        self.fired: set[str] = set()
        self.concluded: Concluded | None = None
        self.item: str | None = None

    def tell(self, event: Event) -> None:
        match event:
            case Began() | Resumed():
                made = event.made_with
                prices = f', prices of "{made.house.name}"' if made.house else ""
                how = f"begun by {event.by}" if isinstance(event, Began) else "resumed"
                base = f"rules {made.rulebase.name} {made.rulebase.version} ({made.rulebase.sha256[:12]})"
                self.page.add(f"{event.at} {how}, program {made.program}, {base}{prices}")
            case Asked() if event.question is not None:
                put = (n for n in (event.question, *event.beside) if n in self.rulebase.attributes)
                self.page.add(" ".join(asked(self.rulebase, n, self.item or "").question for n in put))
            case Entry():
                self.page.add(f"Line {event.number}:")
                self.supposed, self.fired, self.concluded = {}, set(), None
            case Typed():
                self.page.add(" ".join(event.line.split()), 0, "> ")
            case Read():
                understood = [self._answer(n, s) for n, s in event.understood.items()]
                self._say("read", "; ".join(understood) or "nothing")
                self._say("unread", listed(event.unread))
            case Answered():
                if event.attribute == "item":
                    self.item = str(event.now.values[0]) if event.now and event.now.values else None
                values = [self._answer(event.attribute, s) for s in (event.now, event.before) if s]
                before = f" (before: {values[-1]})" if event.now and event.before else ""
                origin = f" [{event.now.origin}]" if event.now else ""
                self._say(event.change, f"{values[0]}{before}{origin}")
            case Supposed():
                new = {n: v for n, v in event.values.items() if list(self.supposed.get(n, ())) != list(v)}
                shown = (told(self.rulebase, n, v, self.item, self.page.units) for n, v in new.items())
                self._say("assumed", "; ".join(shown))
                self.supposed = event.values
            case Fired():
                names = list(dict.fromkeys(event.rules))
                new_rules = [r for r in names if r not in self.fired]
                gone = [r for r in self.fired if r not in names]
                news = f"new: {', '.join(new_rules)}" if new_rules else "none that did not before"
                self._say("fired", f"{len(names)} rules; {news}")
                self._say("no longer", ", ".join(sorted(gone)))
                self.fired = set(names)
            case Concluded() if self.concluded and not advice_differences(0, self.concluded, event):
                self._say("concluded", "as before")
            case Concluded():
                self.concluded = event
                applies = [c for c, status in event.cautions.items() if status == "applies"]
                outcome = OUTCOME_WORDS.get(event.outcome or "", "no outcome yet")
                self._say("concluded", f"{outcome}; {_advised(self.rulebase, event)}")
                self._say("cautions", listed(self._about(c) for c in applies))
                clashes = ((attribute_called(self.rulebase, c.about), ", ".join(c.rules)) for c in event.conflicts)
                self._say("conflicts", "; ".join(f"{about} ({rules})" for about, rules in clashes))
            case Explained():
                self._say("explained", "this changed nothing")
            case Fault():
                self._say("fault", f"{FAULT_WORDS[event.code]}{f' ({event.error})' if event.error else ''}")
            case Ended():
                self.page.add("Ended.")

    def _answer(self, name: str, said: Said) -> str:
        return answer_words(self.rulebase, name, said, self.page.units, self.item)

    def _about(self, caution: str) -> str:
        known = self.rulebase.cautions.get(caution)
        return known.about if known else attribute_called(self.rulebase, caution)

    def _say(self, word: str, text: str) -> None:
        if text:
            self.page.add(text, 2, f"{word:<10} ")
