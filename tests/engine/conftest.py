"""What the tests of the engine share: a line in pytest's summary for what was counted."""

from __future__ import annotations

from collections.abc import Callable

import pytest

_TOLD = pytest.StashKey[list[str]]()


@pytest.fixture
def tell(request: pytest.FixtureRequest) -> Callable[[str], None]:
    """Say something in the summary at the end of the run."""
    return request.config.stash.setdefault(_TOLD, []).append


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter, config: pytest.Config) -> None:
    for line in config.stash.get(_TOLD, []):
        terminalreporter.write_line(line)
