"""When garbage is looked for: seldom, and in a conversation while the person reads.

What is read of a rule base is half a million objects that live as long as the process. Searching them takes longer than
a consultation, and falls into whatever line is just being answered.
"""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager

SELDOM = (50_000, 20, 20)
"""Garbage is looked for after so many new objects, and how seldom among older ones."""
IN_PAUSES = 400_000
"""So many new objects are more than any line makes."""
WORTH_IT = 20_000
"""With fewer new objects nothing is looked for in a pause."""


def held() -> bool:
    """What lives is no longer searched for garbage; says whether this call did that, and may undo it.

    Where somebody has seen to it already, nothing is added: what is new since then will be garbage one day. (A Python
    of its own accord freezes a few hundred objects.)
    """
    ours = gc.get_freeze_count() < WORTH_IT
    if ours:
        gc.freeze()
    return ours


@contextmanager
def seldom_collected(first: int = SELDOM[0]) -> Iterator[None]:
    """What lives already is not searched, what is new after every ``first`` objects."""
    before, ours = gc.get_threshold(), held()
    gc.set_threshold(first, *SELDOM[1:])
    try:
        yield
    finally:
        gc.set_threshold(*before)
        if ours:
            gc.unfreeze()


def in_a_pause() -> None:
    """Looks for garbage among what is new, now that nobody waits; once in a while among what is older too."""
    new, middle, old = gc.get_count()
    if new > WORTH_IT:
        gc.collect(2 if old >= SELDOM[2] else 1 if middle >= SELDOM[1] else 0)
