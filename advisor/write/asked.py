"""What a question is asked of, when it is answered in a sentence: an advice, its rule base, the measures."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from ..leather.units import Units
from ..reasoning.advice import Advice
from ..rulebase.models import RuleBase


class Asked(NamedTuple):
    """An advice that something is asked of, and the measures to tell it in."""

    rulebase: RuleBase
    advice: Advice
    units: Units = "mm"


Part = Callable[[Asked], str]
"""One part of an advice in a sentence or two; "" where the thing has none."""
