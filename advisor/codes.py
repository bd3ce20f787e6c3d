"""What the program itself says, as a code with its parameters; ``advisor.write.catalogue`` has the sentence for each.

Logic, advice, proofs and logs hold codes and compare codes. A sentence is only ever added for somebody who reads it.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from pydantic import BaseModel, ConfigDict, Field

Param = str | float | list[str]
"""A slug or other text, a number in the unit that the name of the parameter ends with, or several slugs."""


class Saying(BaseModel):
    """One thing said: ``params`` go into the sentence, ``text`` is that sentence where one was added, else empty."""

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)

    code: str
    params: dict[str, Param] = Field(default_factory=dict)
    text: str = ""

    def written(self) -> dict[str, Any]:
        """The code and its parameters alone, as a proof holds them."""
        return {"code": self.code, "params": dict(self.params)}

    def __str__(self) -> str:
        told = ", ".join(f"{name}={value}" for name, value in self.params.items())
        return f"{self.code}({told})"


def say(code: str, **params: Param) -> Saying:
    """A code with its parameters."""
    return Saying(code=code, params=params)


_MARK = re.compile(r"<(\w+)((?:\|[^|<>]*)*)>")


def mark(code: str, **params: str) -> str:
    """A code that stands inside a sum, with its parameters: ``<sum_at|zone=pocket_corner>``."""
    return f"<{'|'.join([code, *(f'{name}={value}' for name, value in params.items())])}>"


def marks_told(text: str, told: Callable[[str, dict[str, str]], str]) -> str:
    """The text with what ``told`` makes of the code and the parameters of each mark in it."""
    return _MARK.sub(lambda m: told(m[1], dict(p.split("=", 1) for p in m[2].split("|") if p)), text)


def without_texts(value: Any) -> Any:
    """Plain values without the sentences that stand beside codes."""
    if isinstance(value, dict):
        coded = len(value) == 3 and value.keys() == {"code", "params", "text"}
        return {
            k: v if type(v) in _PLAIN else without_texts(v) for k, v in value.items() if not (coded and k == "text")
        }
    if isinstance(value, list):
        return [v if type(v) in _PLAIN else without_texts(v) for v in value]
    return value


# An advice is tens of thousands of values, most of them such.
_PLAIN = frozenset({str, float, int, bool, type(None)})
