"""Conversations that begin alike: the lines they have in common are heard once for each process of the run."""

from __future__ import annotations

from functools import lru_cache

from advisor import load_rulebase
from advisor.talk.session import Session


def heard(*lines: str) -> Session:
    """A conversation on the shipped rule base in which these lines were said; it may be gone on with and altered."""
    return forked(_held(lines))


def forked(session: Session) -> Session:
    """Another conversation that stands where this one stands; what it holds is replaced by every line, not altered."""
    other = Session.__new__(Session)
    for name, value in vars(session).items():
        setattr(other, name, value.copy() if isinstance(value, dict | list | set) else value)
    return other


@lru_cache(maxsize=400)
def _held(lines: tuple[str, ...]) -> Session:
    if not lines:
        return Session(load_rulebase())
    session = heard(*lines[:-1])
    session.hear(lines[-1])
    return session
