"""The shipped rule base, loaded once for all tests."""

from __future__ import annotations

import pytest

from advisor import load_rulebase
from advisor.rulebase.models import RuleBase


@pytest.fixture(scope="session")
def rulebase() -> RuleBase:
    return load_rulebase()
