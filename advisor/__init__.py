"""Turns an intended leather item into an order, with the reason and the numbers behind every choice.

>>> from advisor import load_rulebase, consult
>>> advice = consult(load_rulebase(), {"item": "trouser_belt", "strap_width": "38 mm", "waist": "92 cm"})
>>> advice.decisions.tannage.chosen
['veg_tooling', 'veg_bridle', 'veg_harness']

What the program itself says in an advice is a code; ``with_texts(advice, rulebase)`` puts the sentence beside each.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from .errors import AdvisorError, AnswerError, RuleBaseError
    from .reasoning.advice import Advice
    from .reasoning.consult import consult
    from .rulebase.load import load_rulebase
    from .write.catalogue import with_texts

__version__ = "0.1.0"
__all__ = ["Advice", "AdvisorError", "AnswerError", "RuleBaseError", "consult", "load_rulebase", "with_texts"]
_STANDS_IN = {
    "Advice": "reasoning.advice",
    "AdvisorError": "errors",
    "AnswerError": "errors",
    "RuleBaseError": "errors",
    "consult": "reasoning.consult",
    "load_rulebase": "rulebase.load",
    "with_texts": "write.catalogue",
}


def __getattr__(name: str) -> Any:
    # Read when it is asked for: the command has to be in charge of Ctrl-C before anything large is read.
    if name not in _STANDS_IN:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    if name in ("consult", "AnswerError"):
        # What is wrong with an answer is worded there.
        import_module(".write.catalogue", __name__)
    return getattr(import_module(f".{_STANDS_IN[name]}", __name__), name)
