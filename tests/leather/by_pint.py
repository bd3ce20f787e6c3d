"""The units of pint, an implementation not ours, read once for all tests that reckon with them."""

from __future__ import annotations

import pint

u = pint.UnitRegistry()
