"""A closing word at the end of a line ends the talk: "forget it, I ask in the shop. Done"."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from .called import called_so
from .reply import Reply

if TYPE_CHECKING:
    from .session import Session

_CLOSING = re.compile(
    r"[,.;!]\s*(?:(?:ok(?:ay)?|so|and|right|well|i'?m|thanks|cheers)[ ,]+)*"
    r"(?P<word>done|finished|(?:bye[ -]?)?bye|goodbye|that'?s all|that is all)"
    r"(?:[ ,]+(?:then|thanks|thank you|for now|now|bye))*\W*$",
    re.IGNORECASE,
)
_LEAVES = re.compile(
    r"(?:(?:ok(?:ay)?|no|well|oh|then|right|so|fine|just)[ ,]+)*"
    r"(?:forget|leave|scrap|skip|drop|never ?mind)(?: about)? (?P<what>[\w' ]{2,30}?)(?: then| now| please)*"
    r"(?:[,.;:!-]|$)",
    re.IGNORECASE,
)
_THANKS = re.compile(r"ta|thanks|cheers|ok(?:ay)?|right|great|good", re.IGNORECASE)
_IT = re.compile(
    r"it|that|this|(?:the |this |that )?(?:whole )?(?:thing|lot|idea|order|leather)|all of it|everything", re.IGNORECASE
)


def left(session: Session, text: str) -> Reply | None:
    """ "Forget it, I ask in the shop. Done": a closing word at the end of a line ends the talk."""
    closing = _CLOSING.search(text)
    if closing is None:
        return None
    head = text[: closing.start()].strip(" ,.;!")
    if not head or session.pending is not None:
        return None
    leaves = _LEAVES.match(f"{head},")
    if leaves and (_IT.fullmatch(leaves["what"].strip()) or called_so(session, leaves["what"]) is None):
        return Reply(session.again(["All right, I leave it; nothing is ordered."]).lines, "", True)
    ends = "bye" in closing["word"].lower()
    if not ends and len(head.split()) < 2:
        return session.done() if _THANKS.fullmatch(head) else None
    if ends and session.told and session.question is None and not session.read_line(head).answers:
        return session.close()
    reply = session.meant(head)
    if session.pending is not None or reply.ended or (session.advice().dangers and not ends):
        return reply
    if ends:
        last = session.close()
        return Reply([*reply.lines, *last.lines], "", True)
    if session.told and session.question is None:
        return reply
    last = session.done()
    return Reply([*reply.lines, *last.lines], last.prompt, last.ended)
