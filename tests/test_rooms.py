"""No imports run in a circle: who reads one module need not read another first and come back.

Read by grimp, the import graph behind import-linter, which sees imports inside functions too.
"""

from __future__ import annotations

from collections.abc import Iterator
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import grimp
import pytest

CLASSES = "advisor.talk.session", "advisor.reasoning.consult"
"""What their helpers name in annotations alone: the class of a conversation, and of a consultation."""


def edges(types: bool) -> Iterator[tuple[str, str]]:
    """Each module with one that it imports, inside functions too; with ``types`` also those for annotations."""
    graph = grimp.build_graph("advisor", cache_dir=None, exclude_type_checking_imports=not types)
    for module in graph.modules:
        for imported in graph.find_modules_directly_imported_by(module):
            yield module, imported


def circle(pairs: Iterator[tuple[str, str]]) -> list[str]:
    """One circle among these imports, empty where there is none."""
    reads: dict[str, set[str]] = {}
    for module, imported in pairs:
        reads.setdefault(module, set()).add(imported)
    try:
        TopologicalSorter(reads).prepare()
    except CycleError as error:
        return [*error.args[1]]
    return []


def test_nothing_imported_when_the_program_runs_comes_back_to_where_it_began() -> None:
    assert not circle(edges(types=False))


def test_nothing_imported_for_types_does_either_but_two_classes() -> None:
    assert not circle(p for p in edges(types=True) if p[1] not in CLASSES)


@pytest.mark.parametrize("line", ["from . import two", "def f() -> None:\n    from . import two"])
def test_a_circle_is_found_at_the_head_of_a_file_and_inside_a_function(
    line: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.syspath_prepend(str(tmp_path))
    name = "rooms_a" if line.startswith("from") else "rooms_b"
    package = tmp_path / name
    package.mkdir()
    (package / "__init__.py").write_text("")
    (package / "one.py").write_text(line + "\n")
    (package / "two.py").write_text("from . import one\n")
    graph = grimp.build_graph(name, cache_dir=None)
    found = ((m, i) for m in graph.modules for i in graph.find_modules_directly_imported_by(m))
    assert circle(found)
