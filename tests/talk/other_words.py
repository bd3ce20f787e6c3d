"""What people answer in other words: ``python tests/talk/other_words.py [QUESTION ...]`` prints how much is taken.

Each sentence of ``other_words.toml`` is said while its question is open, plainly, and every third in one more form.
"""

from __future__ import annotations

import sys
import tomllib
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

sys.path.insert(0, str(Path(__file__).parents[1]))

from heard import forked, heard

from advisor.read.danger import RAISED, concept_of
from advisor.reasoning.facts import Answer
from advisor.rulebase.models import Attribute
from advisor.talk.reply import Reply
from advisor.talk.session import Session

TABLE = tomllib.loads(Path(__file__).with_name("other_words.toml").read_text(encoding="utf-8"))
ASIDES = (
    "well, {}",
    "{}, now you mention it",
    "hm, {} I'd say",
    "{}. does that matter?",
    "oh, {} - is that bad?",
    "as I said, {}",
    "{}, if that helps",
    "{} really",
    "{}, like I told my brother",
    "no wait. {}",
)
EVERY = 3
TUNED = 3
"""So many of the sentences of a value were looked at while the words of answers were mended; the others were not."""
RIGHT, ASKED, AGAIN, WRONG = "right", "asked", "again", "wrong"


class Said(NamedTuple):
    """A sentence said to a question, the value it means, and whether an aside stands with it."""

    question: str
    opening: str
    value: str
    text: str
    form: str
    held_out: bool


def sentences(questions: list[str] | None = None) -> Iterator[Said]:
    """Every sentence, and every third in one of the forms."""
    n = 0
    for question, table in TABLE.items():
        if questions and question not in questions:
            continue
        for value, texts in table.items():
            if value == "opening":
                continue
            for place, text in enumerate(texts):
                held_out = place >= TUNED
                yield Said(question, table["opening"], value, text, "{}", held_out)
                n += 1
                if n % EVERY == 0:
                    form = ASIDES[n // EVERY % len(ASIDES)]
                    yield Said(question, table["opening"], value, form.format(text), form, held_out)


def at(question: str, opening: str) -> Session:
    """A conversation with the question open."""
    session = forked(heard(opening))
    session.pending, session.checking, session.offered = None, False, None
    session.answers.pop(question, None)
    session.question = session.rulebase.attributes[question]
    raised = session.rulebase.attributes[RAISED].values
    if concept := next((c for c in raised if concept_of(session.rulebase, c).attribute == question), ""):
        # The question of a danger is put where words raised it.
        session.answers[RAISED] = Answer((concept,), "known", "read", "")
    # What is asked next is of no concern here, and working it out takes most of the time.
    vars(session)["go_on"] = lambda lines: Reply(lines, "")
    return session


def outcome(said: Said) -> tuple[str, str]:
    """What became of a sentence, with what was taken or said."""
    session = at(said.question, said.opening)
    attribute = session.rulebase.attributes[said.question]
    reply = session.hear(said.text)
    if session.pending is not None:
        return ASKED, reply.prompt
    answer = session.answers.get(said.question)
    if answer is None:
        return AGAIN, " / ".join(reply.lines[:3])
    right = _means(attribute, answer.values, said.value)
    return RIGHT if right else WRONG, str(answer.values)


def _means(attribute: Attribute, values: tuple[str | float, ...], value: str) -> bool:
    if attribute.numeric:
        return len(values) == 1 and abs(float(values[0]) - float(value)) < 0.01 * float(value)
    return value in values and len(values) <= 2


def main(questions: list[str]) -> None:
    """Prints each sentence that was not taken, then the shares."""
    counts: dict[str, Counter[str]] = {}
    forms: dict[str, Counter[str]] = {}
    parts: dict[str, Counter[str]] = {}
    for said in sentences(questions):
        found, told = outcome(said)
        counts.setdefault(said.question, Counter())[found] += 1
        forms.setdefault(said.form, Counter())[found] += 1
        parts.setdefault("not looked at" if said.held_out else "looked at", Counter())[found] += 1
        if found != RIGHT and (not said.held_out or "--all" in sys.argv):
            print(f"{found:5} {said.question}={said.value}: {said.text!r} -> {told[:150]}", flush=True)
    total: Counter[str] = sum(counts.values(), Counter())
    for name, count in [*counts.items(), *forms.items(), *parts.items(), ("all", total)]:
        told_of = ", ".join(f"{count[k]} {k}" for k in (RIGHT, ASKED, AGAIN, WRONG))
        print(f"{name:24} {count[RIGHT] / count.total():.2f}  {told_of} of {count.total()}")


if __name__ == "__main__":
    main([name for name in sys.argv[1:] if not name.startswith("-")])
