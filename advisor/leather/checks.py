"""Refuse impossible numbers with one sentence, for the other modules of this package.

It holds no knowledge of leather, corrects nothing and rounds nothing.
"""

from __future__ import annotations


def positive(value: float, what: str) -> None:
    """Raise ValueError unless *value* is finite and above zero; *what* names it in the sentence."""
    _finite(value, what)
    if not value > 0:
        raise ValueError(f"The {what} must be above zero, not {value}.")


def not_negative(value: float, what: str) -> None:
    """Raise ValueError unless *value* is finite and at least zero; *what* names it in the sentence."""
    _finite(value, what)
    if value < 0:
        raise ValueError(f"The {what} cannot be below zero, and it is {value}.")


def at_least_one(value: float, what: str) -> None:
    """Raise ValueError unless *value* is finite and at least one; *what* names it in the sentence."""
    _finite(value, what)
    if value < 1:
        raise ValueError(f"There must be at least one of the {what}, not {value}.")


def _finite(value: float, what: str) -> None:
    # Arithmetic alone, so that a quantity with a unit passes too; infinity and not-a-number do not cancel.
    if not value - value == 0:
        raise ValueError(f"The {what} must be a finite number, not {value}.")
