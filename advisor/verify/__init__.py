"""The checker: which step of an advice that carries its proof, if any, does not hold.

It works out anew, from the answers, which rules hold and on what, which are withdrawn, what every name comes to and
which reasons count; each step is then written as it must be, and the proof must have it word for word and on the same
steps. What the advice shows is compared with the steps. A bad step is met before what stands on it. Nothing that
concludes is shared, only the reader of rules, the formulas, the patterns of items and how a step is written down.

Then the whole advice is written as it must be, and no part may say more or less (``whole``). Taken as given are that an
answer was given, and its words (another answer with new ids proves another advice), what would be without a preference,
and what ``NOT_CHECKED`` names; a danger that a sentence raised is checked as the fact ``raised`` is.
"""

from pathlib import Path
from typing import Any

from ..codes import without_texts
from ..errors import AdvisorError
from ..rulebase.load import load_rulebase
from ..rulebase.models import RuleBase
from ..rulebase.written import ADVICE_SCHEMA
from .known import Fault
from .told import NOT_CHECKED
from .whole import Whole

__all__ = ["NOT_CHECKED", "verify"]


def verify(advice: Any, rules: Path | RuleBase, prices: str | None = None) -> str:
    """An empty text if every step of an advice holds by these rules or their folder, else the first that does not.

    ``prices`` is the digest of the price list by which it must have been reckoned, if it was by any.

    Raises AdvisorError for an advice written in another form than this one.
    """
    schema = advice.get("schema") if isinstance(advice, dict) else None
    if schema != ADVICE_SCHEMA and isinstance(schema, str):
        raise AdvisorError(f"the advice is written as {schema}; this program checks {ADVICE_SCHEMA}")
    base = load_rulebase(rules) if isinstance(rules, Path) else rules
    try:
        Whole(without_texts(advice), base, prices).run()
    except Fault as fault:
        return str(fault)
    except (AdvisorError, LookupError, ValueError, TypeError, AttributeError, ArithmeticError, RecursionError) as error:
        return f"file: it has not the shape of a proof ({type(error).__name__}: {error})"
    return ""
