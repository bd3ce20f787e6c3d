"""Parts that a thing is to have or not, kept as they were said: "with a loop for the pen", "no lid"."""

from __future__ import annotations

from . import lexicon as lex
from .colours import shaped_parts
from .notes import Notes
from .roles import Roles

_HAVING = lex.folded("with has have having plus including")
_LACKING = lex.folded("no without")
_LISTED = frozenset((",", "and", "&", "plus", "or", "nor"))
_ARTICLES = lex.folded("a an the one two any its some my his her")
_WHERE = lex.folded("for inside outside at on in under round along down")
_CLAUSE = lex.folded("that which")
_BACK = 4
"""Within how many words before a part the word must stand that gives or refuses it."""
_AHEAD = 4
"""So many words behind a part say where it is or what it is for: "for the pen"."""


def note_parts(notes: Notes) -> None:
    """Says back each part that is wished or refused and of which nothing else was read."""
    said, known = notes.said, shaped_parts(notes.base)
    taken = notes.named.taken
    name = range(taken.first, taken.last) if taken else range(0)
    own = set(lex.words_and_marks(taken.thing.name)) if taken else set[str]()
    listed: tuple[int, bool] | None = None
    i = 0
    while i < len(said.words):
        last = next((i + n for n in (2, 1) if i + n <= len(said.words) and tuple(said.words[i : i + n]) in known), 0)
        if not last or i in name or said.words[last - 1] in own or _read(notes, i, last):
            i += 1
            continue
        at, having = _governed(notes, i, listed)
        if at < 0 or _modifies(notes, last):
            i = last
            continue
        end = _behind(notes, last)
        first = at if said.words[at] in _LACKING else at + 1
        words = notes.text(*said.span(first, end))
        lead = "with " if having else "" if said.words[first] in _LACKING else "without "
        notes.point(f"parts {words}", said.span(first, end), f"{lead}{words}")
        notes.used.update(range(at, end))
        listed, i = (None if said.word(last) in _CLAUSE else (end, having)), end


def _modifies(notes: Notes, last: int) -> bool:
    """Whether a part is only the first word of a compound, as in "hole punch" and "bib pocket"."""
    said = notes.said
    if not Roles(said).joined(last) or said.words[last] in lex.STOP | _WHERE | _CLAUSE | lex.BREAK:
        return False
    return (
        Roles(said).noun(last)
        or last in said.owner
        or last in said.idle
        or (said.words[last],) in shaped_parts(notes.base)
    )


def _read(notes: Notes, first: int, last: int) -> bool:
    """Whether something else was read of these words already."""
    owners = (notes.said.owner.get(i) for i in range(first, last))
    other = any(o is not None and o.attribute != "item" for o in owners)
    counted = any(first - 1 <= s.at <= first and not notes.said.scope(s.at)[0] for s in notes.said.sizes)
    return other or counted or not notes.used.isdisjoint(range(first, last))


def _governed(notes: Notes, part: int, listed: tuple[int, bool] | None) -> tuple[int, bool]:
    """Where the word stands that gives the part (True) or refuses it (False); -1 where it is only mentioned."""
    said = notes.said
    for i in range(part - 1, max(-1, part - 2 - _BACK), -1):
        word = said.words[i]
        if word in _HAVING or word in _LACKING:
            denied = word in _HAVING and said.scope(i)[0] == "no"
            return i, word in _HAVING and not denied
        if word in _LISTED and listed and listed[0] == i:
            return i, listed[1]
        if word in _LISTED and listed is None and i and (said.words[i - 1],) in shaped_parts(notes.base):
            # "With two front pockets and a top handle": the pockets were counted.
            return i, True
        if not word[0].isalnum() or (word in lex.STOP and word not in _ARTICLES) or said.tokens[i].owner:
            break
    return -1, False


def _behind(notes: Notes, last: int) -> int:
    """Where ends what is said of a part behind it."""
    said, end = notes.said, last
    if said.word(end) not in _WHERE | _CLAUSE:
        return last
    for i in range(end, min(end + _AHEAD, len(said.words))):
        word, owner = said.words[i], said.owner.get(i)
        ended = not word[0].isalnum() or word in lex.BREAK | {"and", "or", "i", "it"}
        if ended or i in notes.used or (owner and owner.attribute != "item"):
            break
        end = i + 1
        if i > last and word not in _WHERE | _ARTICLES | lex.STOP and said.word(last) not in _CLAUSE:
            return end
    return end if said.word(last) in _CLAUSE else last
