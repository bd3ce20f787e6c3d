from __future__ import annotations

import pytest

from advisor.rulebase.models import RuleBase
from advisor.talk.session import Session


@pytest.fixture
def session(rulebase: RuleBase) -> Session:
    return Session(rulebase)
