"""The plain forms of the marks that people and their keyboards write round numbers."""

from __future__ import annotations

import re

_PLAIN_MARKS = {
    **dict.fromkeys("‘’‚‛′ʹʼ´`＇", "'"),
    **dict.fromkeys("“”„‟″ʺ＂", '"'),
    **dict.fromkeys("⁄∕÷", "/"),
    **dict.fromkeys("\u00a0\u1680\u202f\u205f\u3000\u066c", " "),
    **dict.fromkeys(map(chr, range(0x2000, 0x200B)), " "),
    **dict.fromkeys("‐‑‒–—―−﹘﹣－", "-"),
    **dict.fromkeys("×✕✖⨯", "x"),
    "\u066b": ".",
}
_MARKS = str.maketrans(_PLAIN_MARKS)
_MIDDLE_DOT = re.compile(r"(?<=[0-9])[·∙⋅](?=[0-9])")
# "8/9 oz" is a band and no fraction of an ounce, "0.6/0.8" the same in mm.
_BAND = re.compile(r"(?<![\w./])([2-9]|1[0-9])/([3-9]|1[0-9])(?=\s*(?:oz|ounces?)\b)")
_DECIMAL_BAND = re.compile(r"(?<![\w./])([0-9]*\.[0-9]+)/(?=[0-9]+(?:\.[0-9]+)?(?![\w/]))")
_WIDEST_BAND = 2
# "1.4-1.6 two hides", "1.4 half hide": a new number begins after a decimal.
_NEXT_NUMBER = re.compile(r"(?<=\.[0-9]) (?=(?:one|two|three|four|five|six|seven|eight|nine|ten|half|[0-9]) ?[a-z])")
# "Two half hides" are two of them.
_HALVES = re.compile(
    r"((?:\b(?:two|three|four|five|six)|[0-9])) (?=half (?!inches|ounces|pounds|pints|hours|days)[a-z]+s\b)"
)
# "24 nine year olds" are so many of that age.
_MANY_OF_AN_AGE = re.compile(r"(?<=[0-9]) (?=(?:[a-z]+|[0-9]{1,2})[ -](?:year|month)s?[ -]olds\b)")
_ISH = re.compile(r"(?<=[0-9])ish\b")


def normal(text: str) -> str:
    """``text`` with the plain form of each quote, prime, fraction slash, space and dash; of the same length.

    The slash of a band of thickness becomes a dash, "100ish" loses its ending, and a mark parts two numbers.
    """
    plain = _MIDDLE_DOT.sub(".", text.translate(_MARKS))
    plain = _BAND.sub(lambda m: m[0].replace("/", "-") if 0 < int(m[2]) - int(m[1]) <= _WIDEST_BAND else m[0], plain)
    plain = _DECIMAL_BAND.sub(r"\1-", plain)
    plain = _MANY_OF_AN_AGE.sub(";", plain)
    return _ISH.sub("   ", _HALVES.sub(r"\1;", _NEXT_NUMBER.sub(";", plain)))
