"""Sentences put together from all words that the reader knows, numbers and units: none is fatal, none is slow.

What such a sentence means does not matter. The time is CPU time of one reading, on sentences of up to 24 pieces; one
over the limit is read twice more and its least time counts, since a search for garbage among all that the tests hold
falls into any one of them.
"""

from __future__ import annotations

import random
import time
from functools import cache

import pytest

from advisor import load_rulebase
from advisor.read.lexicon import lexicon
from advisor.read.numbers import all_sizes
from advisor.read.reader import read_sentence

BASE = load_rulebase()
MOST_SECONDS = 0.2
# The first conversion loads the library of units.
FIRST = "belt, ten to twelve cm, 1 1/2 in wide, for a dog of 30 lb"
GLUE = """a the my for with and or not no without of on from to , . ? ; ( ) maybe between at least up than like instead
of I want I have what is can you it is for my son old years thick wide long"""
UNITS = (
    "mm",
    "cm",
    "in",
    "inches",
    '"',
    "'",
    "ft",
    "m",
    "kg",
    "lb",
    "stone",
    "oz",
    "iron",
    "sq ft",
    "dm2",
    "°C",
    "euro",
    "%",
)
NUMBERS = (
    "1",
    "2",
    "38",
    "1.5",
    "1,200",
    "1/2",
    "1 1/2",
    "3-4",
    "1½",
    "two",
    "a dozen",
    "ten to twelve",
    "-5",
    "1/0",
    "10000000000000000",
    "half a",
    "5'6\"",
    "36 x 38 x 12",
)


@cache
def pieces() -> tuple[list[str], ...]:
    """Known names and values, forms and objects, glue, sizes; sorted, so that a seed gives the same sentences."""
    known = lexicon(BASE)
    phrases = sorted(" ".join(key) for key in known.phrases)
    objects = sorted(" ".join(key) for key in (*known.forms, *known.objects))
    sizes = [f"{number}{gap}{unit}" for number in NUMBERS for unit in UNITS for gap in ("", " ")]
    # Two units of different kinds too, as in "10 lb - 2.5 inch".
    pairs = [f"2 {a}{joint}1/2 {b}" for a in UNITS for b in UNITS for joint in (" - ", " to ", " x ", " or ")]
    return phrases, objects, GLUE.split(), sizes, pairs


def sentence(chance: random.Random) -> str:
    """One sentence."""
    kinds = chance.choices(range(5), weights=(3, 2, 5, 2, 1), k=chance.randint(1, 24))
    return " ".join(chance.choice(pieces()[kind]) for kind in kinds)


def seconds(text: str) -> float:
    """The CPU time of one reading."""
    all_sizes.cache_clear()
    start = time.process_time()
    read_sentence(BASE, text)
    return time.process_time() - start


def slow_ones(seed: int, number: int) -> list[tuple[float, str]]:
    """The sentences over the limit, after the first has loaded what is kept. Raises what a reading raises."""
    chance = random.Random(seed)
    read_sentence(BASE, FIRST)
    found = []
    for _ in range(number):
        text = sentence(chance)
        taken = seconds(text)
        if taken > MOST_SECONDS and (taken := min(seconds(text), seconds(text))) > MOST_SECONDS:
            found.append((taken, text))
    return found


def test_recombined_sentences_are_read_calmly_and_soon() -> None:
    assert not slow_ones(1, 150)


@pytest.mark.slow
def test_many_recombined_sentences_are_read_calmly_and_soon() -> None:
    assert not slow_ones(2, 100_000)
