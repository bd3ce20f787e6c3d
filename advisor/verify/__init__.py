"""A second opinion: checks, step by step, an advice that carries its proof. Imports nothing of the package.

Reads the file of ``advisor recommend ... --json --proof`` and the rule files with readers of its own and stops at the
first bad step. Checked, in the proof and in the advice: checksum of the rules, id of every node; that exactly the rules
whose premises hold were applied, on the facts that make them hold; absences, with every rule able to give what is
absent; withdrawals, attributes, exclusions, ledgers, choices, window, sums, patterns, outcome, cautions, conflicts,
grades of evidence. Not to be known here is whether an answer was given: one on which nothing rests, changed everywhere
and sealed with new ids, proves somebody else's advice. Taken as given: counts and costs of forms, the tables inside the
formulas of load, safety, waste, spares, thread and labels, the words of an answer, and what would be without a
preference. Of cautions that are "not ruled out" it demands those that wait for nothing but answers.
"""

from pathlib import Path
from typing import Any

from .conclusions import Check
from .rules import Rules
from .values import Fault, demand

__all__ = ["verify"]


def verify(advice: Any, folder: Path) -> str:
    """An empty text if every step holds, else the first that does not."""
    try:
        demand(
            isinstance(advice, dict) and isinstance(advice.get("proof"), dict),
            "file",
            "it holds no advice with a proof",
        )
        Check(advice, Rules(folder)).run()
    except Fault as fault:
        return str(fault)
    except (KeyError, ValueError, TypeError, IndexError, AttributeError, ArithmeticError, RecursionError) as error:
        return f"file: it has not the shape of a proof ({type(error).__name__}: {error})"
    return ""
