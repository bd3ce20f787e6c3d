"""What reasons for and against a leather come to, and when a leather asked for by name is outweighed."""

from __future__ import annotations

from typing import Any

from ..codes import say
from ..rulebase import models
from .known import CONCERN


def signed(entry: Any) -> int:
    """The strength of a reason, negative where it speaks against."""
    return models.STRENGTHS[entry["strength"]] * (1 if entry["act"] == "favour" else -1)


def withdrawn(entry: Any) -> bool:
    """Whether a preferred rule took the reason out altogether."""
    return entry["set_aside"] is not None and entry["set_aside"]["code"] == "withdrawn"


def brings(entry: Any) -> bool:
    """Whether a reason may bring in a leather that no ranking names."""
    habit = entry["concern"] in models.HABITS
    return entry["act"] == "favour" and (habit or CONCERN(entry["concern"]) <= models.MAY_BRING_IN)


def set_aside_wishes(entries: dict[Any, Any], wished: set[Any]) -> dict[str, list[str]]:
    """Set aside the wishes for leathers that are outweighed; those leathers, with the rules that speak against each."""
    found = {}
    for key in wished:
        if entries[key]["counts"] and outweighed(key, entries, wished):
            entries[key] = entries[key] | {"counts": False, "set_aside": say("outweighed").written()}
            disfavours = [e for k, e in entries.items() if k[1:] == ("disfavour", key[2])]
            found[key[2]] = [e["rule"] for e in disfavours if not withdrawn(e)]
    return found


def outweighed(wish: Any, entries: dict[Any, Any], wished: set[Any]) -> bool:
    """Whether a leather asked for by name would not fit unasked, and more speaks against it than for it."""
    unasked = [e for k, e in entries.items() if k not in wished and k[2] == wish[2] and k[1] in ("favour", "disfavour")]
    counting = [e for e in unasked if e["counts"]]
    fits = any(map(brings, counting)) and sum(map(signed, counting)) > 0
    standing = [e for e in unasked if not withdrawn(e)]
    return not fits and sum(map(signed, standing)) < 0
