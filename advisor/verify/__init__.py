"""The checker: which step of an advice that carries its proof, if any, does not hold.

It works out anew, from the answers, which rules hold and on what, which are withdrawn, what every name comes to and
which reasons count; each step is then written as it must be, and the proof must have it word for word and on the same
steps. What the advice shows is compared with the steps. A bad step is met before what stands on it. Nothing that
concludes is shared, only the reader of rules, the formulas, the patterns of items and how a step is written down.

Taken as given: that an answer was given, and its words (another answer with new ids proves another advice); what would
be without a preference; what a shop's price list gives; what a conflict stands on. Of the cautions that are not ruled
out, those must be there that wait for answers alone. Texts that no step has, such as ways out, are not looked at, nor
is the reading of a sentence; a danger that it raised is checked as the fact ``raised`` is.
"""

from pathlib import Path
from typing import Any

from ..errors import AdvisorError
from ..rulebase.load import load_rulebase
from ..rulebase.models import RuleBase
from ..rulebase.written import ADVICE_SCHEMA
from .known import Fault
from .order import Check

__all__ = ["NOT_CHECKED", "verify"]


NOT_CHECKED = ("reading",)
"""Parts of an advice that no step stands behind: what was made of a person's words."""


def verify(advice: Any, rules: Path | RuleBase) -> str:
    """An empty text if every step of an advice holds by these rules or their folder, else the first that does not.

    Raises AdvisorError for an advice written in another form than this one.
    """
    schema = advice.get("schema") if isinstance(advice, dict) else None
    if schema != ADVICE_SCHEMA and isinstance(schema, str):
        raise AdvisorError(f"the advice is written as {schema}; this program checks {ADVICE_SCHEMA}")
    base = load_rulebase(rules) if isinstance(rules, Path) else rules
    try:
        Check(advice, base).run()
    except Fault as fault:
        return str(fault)
    except (AdvisorError, LookupError, ValueError, TypeError, AttributeError, ArithmeticError, RecursionError) as error:
        return f"file: it has not the shape of a proof ({type(error).__name__}: {error})"
    return ""
