"""A decision log told in plain lines: for a list of logs, and for one log from its start to its end.

Everything said is read off the events; nothing is derived anew here.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from ..leather.units import Units, show
from ..read.numbers import measures
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
from .page import OUTCOME_WORDS, Page, listed, plain

FAULT_WORDS = {
    "internal": "the program failed here; nothing changed",
    "stopped": "stopped before it was answered; nothing changed",
    "no_text": "this is no writing",
    "answer": "this cannot be used",
}


def in_short(events: Sequence[Event]) -> str:
    """A log in one line: how far it got and what was advised last."""
    last = next((e for e in reversed(events) if isinstance(e, Concluded)), None)
    item = next((str(e.now.values[0]) for e in reversed(events)
                 if isinstance(e, Answered) and e.attribute == "item" and e.now and e.now.values), "")  # fmt: skip
    state = "finished" if isinstance(events[-1], Ended) else "unfinished"
    typed = sum(isinstance(e, Typed) for e in events)
    if isinstance(events[0], Began) and events[0].by == "batch":
        faults = sum(isinstance(e, Fault) for e in events)
        return f"{state}, batch of {typed} {'line' if typed == 1 else 'lines'}, {faults or 'none'} without advice"
    advised = _advised(last) if last else "nothing advised"
    return f"{state}, {lines_typed(typed)}; {plain(item) or 'no item'}: {advised}"


def lines_typed(number: int) -> str:
    """``1 line typed``, ``2 lines typed``."""
    return f"{number} {'line' if number == 1 else 'lines'} typed"


def log_lines(rulebase: RuleBase, events: Sequence[Event], width: int, units: Units | None = None) -> list[str]:
    """The whole log, event by event. What was supposed and what fired is told where it is new.

    Without ``units`` sizes are shown as in the conversation.
    """
    teller = _Teller(rulebase, Page(width, typed_in(events, units)))
    for event in events:
        teller.tell(event)
    return teller.page.lines


def typed_in(events: Sequence[Event], wanted: Units | None = None) -> Units:
    """The measures wanted now or when the log was kept, else those in which its lines were typed."""
    return measures(wanted or fold(events).manner.units, "\n".join(e.line for e in events if isinstance(e, Typed)))


def answer_words(rulebase: RuleBase, name: str, said: Said, units: Units = "mm") -> str:
    """An answer by its name: ``waist 920 mm``, ``waist: don't know``."""
    if said.state != "known":
        return f"{plain(name)}: {said.state}"
    return f"{plain(name)} {_shown(rulebase, name, said.values, units)}"


def _shown(rulebase: RuleBase, name: str, values: Sequence[Value], units: Units) -> str:
    unit = rulebase.attributes[name].unit if name in rulebase.attributes else ""
    return listed(show(v, unit, units) if isinstance(v, float) else plain(v) for v in values)


def _advised(event: Concluded) -> str:
    chosen = [plain(event.decisions[d][0]) for d in ("tannage", "form") if event.decisions.get(d)]
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

    def tell(self, event: Event) -> None:
        match event:
            case Began() | Resumed():
                made = event.made_with
                prices = f', prices of "{made.house.name}"' if made.house else ""
                how = f"begun by {event.by}" if isinstance(event, Began) else "resumed"
                base = f"rules {made.rulebase.name} {made.rulebase.version} ({made.rulebase.sha256[:12]})"
                self.page.add(f"{event.at} {how}, program {made.program}, {base}{prices}")
            case Asked() if event.question is not None:
                asked = (self.rulebase.attributes.get(n) for n in (event.question, *event.beside))
                self.page.add(" ".join(a.question for a in asked if a))
            case Entry():
                self.page.add(f"Line {event.number}:")
                self.supposed, self.fired, self.concluded = {}, set(), None
            case Typed():
                self.page.add(" ".join(event.line.split()), 0, "> ")
            case Read():
                understood = [answer_words(self.rulebase, n, s, self.page.units) for n, s in event.understood.items()]
                self._say("read", "; ".join(understood) or "nothing")
                self._say("unread", listed(event.unread))
            case Answered():
                found = [s for s in (event.now, event.before) if s]
                said = [answer_words(self.rulebase, event.attribute, s, self.page.units) for s in found]
                before = f" (before: {said[-1]})" if event.now and event.before else ""
                origin = f" [{event.now.origin}]" if event.now else ""
                self._say(event.change, f"{said[0]}{before}{origin}")
            case Supposed():
                new = {n: v for n, v in event.values.items() if list(self.supposed.get(n, ())) != list(v)}
                shown = (f"{plain(n)} {_shown(self.rulebase, n, v, self.page.units)}" for n, v in new.items())
                self._say("supposed", "; ".join(shown))
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
                self._say("concluded", f"{OUTCOME_WORDS.get(event.outcome or '', 'no outcome yet')}; {_advised(event)}")
                self._say("cautions", listed(plain(c) for c in applies))
                self._say("conflicts", "; ".join(f"{c.about} ({', '.join(c.rules)})" for c in event.conflicts))
            case Explained():
                self._say("explained", "this changed nothing")
            case Fault():
                self._say("fault", f"{FAULT_WORDS[event.code]}{f' ({event.error})' if event.error else ''}")
            case Ended():
                self.page.add("Ended.")

    def _say(self, word: str, text: str) -> None:
        if text:
            self.page.add(text, 2, f"{word:<10} ")
