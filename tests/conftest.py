"""The shipped rule base, loaded once for all tests; decision logs go to a folder of the test run."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from advisor import load_rulebase
from advisor.rulebase.models import RuleBase


@pytest.fixture(scope="session")
def rulebase() -> RuleBase:
    return load_rulebase()


@pytest.fixture(scope="session", autouse=True)
def logs_of_the_run(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """No test writes to the user's own folder."""
    place = tmp_path_factory.mktemp("logs")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("ADVISOR_LOGS", str(place))
        yield place
