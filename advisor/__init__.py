"""Turns an intended leather item into an order, with the reason and the numbers behind every choice.

>>> from advisor import load_rulebase, consult
>>> advice = consult(load_rulebase(), {"item": "trouser_belt", "strap_width": "38 mm", "waist": "92 cm"})
>>> advice.decisions.tannage.chosen
['veg_tooling', 'veg_bridle', 'veg_harness']

What the program itself says in an advice is a code; ``with_texts(advice, rulebase)`` puts the sentence beside each.
"""

from __future__ import annotations

from .errors import AdvisorError, AnswerError, RuleBaseError
from .reasoning.advice import Advice
from .reasoning.consult import consult
from .rulebase.load import load_rulebase
from .write.catalogue import with_texts

__version__ = "0.1.0"
__all__ = ["Advice", "AdvisorError", "AnswerError", "RuleBaseError", "consult", "load_rulebase", "with_texts"]
