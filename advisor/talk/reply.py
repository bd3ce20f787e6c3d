"""What the conversation gives back for one line."""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(slots=True)
class Reply:
    """What the advisor says back. ``prompt`` is the question now open, "" when none is."""

    lines: list[str] = field(default_factory=list)
    prompt: str = ""
    ended: bool = False
