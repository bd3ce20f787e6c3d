"""A fault planted in one function of the program, whoever holds a reference to it."""

from __future__ import annotations

import importlib
import inspect
import pkgutil
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from types import FunctionType, ModuleType
from typing import Any

import advisor.leather
import advisor.read
import advisor.reasoning
import advisor.talk
import advisor.write

NET = {
    "advisor.talk.recording.recorded",
    "advisor.talk.recording.state_of",
    "advisor.talk.recording.put_back",
    "advisor.talk.recording.writable",
    "advisor.talk.recording.asked",
    "advisor.talk.recording.faulty",
    "advisor.talk.recording.entered",
    "advisor.talk.recording.joined",
    "advisor.talk.session.Session.hear",
}
"""The net itself: nothing can be spread under it."""


class PlantedError(Exception):
    """A fault that the program cannot know."""


def _planted(*_: Any, **__: Any) -> Any:
    from planted import PlantedError

    raise PlantedError("planted")


def functions(
    packages: Sequence[ModuleType] = (advisor.read, advisor.talk, advisor.reasoning, advisor.write, advisor.leather),
) -> dict[str, FunctionType]:
    """Every function and method of these packages that no closure holds, by its full name."""
    found: dict[str, FunctionType] = {}
    for package in packages:
        for info in pkgutil.iter_modules(package.__path__, f"{package.__name__}."):
            module = importlib.import_module(info.name)
            classes = (c for c in vars(module).values() if inspect.isclass(c) and c.__module__ == info.name)
            for owner in (module, *classes):
                # To look at a class may complete it, which adds to what it holds.
                for name, thing in list(vars(owner).items()):
                    function = _function(thing)
                    if not function or function.__module__ != info.name or function.__code__.co_freevars:
                        continue
                    full = f"{info.name}.{function.__qualname__}"
                    if "__" not in name and full not in NET:
                        found[full] = function
    return dict(sorted(found.items()))


def _function(thing: object) -> FunctionType | None:
    for name in ("func", "fget", "__func__", "__wrapped__"):
        thing = getattr(thing, name, thing)
    return thing if isinstance(thing, FunctionType) else None


@contextmanager
def planted(function: FunctionType) -> Iterator[None]:
    """While inside, the function does nothing but fail."""
    before, defaults, named = function.__code__, function.__defaults__, function.__kwdefaults__
    function.__code__, function.__defaults__, function.__kwdefaults__ = _planted.__code__, None, None
    try:
        yield
    finally:
        function.__code__, function.__defaults__, function.__kwdefaults__ = before, defaults, named
