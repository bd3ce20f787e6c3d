"""A form in which leather is sold, and whether a piece goes into it.

The numbers of a form are data of the rule base. How many of it to buy is not decided here.
"""

from __future__ import annotations

from dataclasses import dataclass

from advisor.leather.checks import not_negative, positive
from advisor.leather.pieces import MM2_PER_DM2, Piece


@dataclass(frozen=True, slots=True)
class Form:
    """A form in which leather is sold: usable *length* and *width* in mm, whole *area* in dm2.

    *waste* is what is lost, as a share of the net area; *rate* is the relative cost per dm2. *sold* is
    "strap" for a blank ordered by its width, anything else for a thing of fixed area. Where the whole area is
    the usable rectangle the form is a panel.
    """

    name: str
    length: float
    width: float
    area: float
    waste: float
    sold: str
    rate: float

    def __post_init__(self) -> None:
        positive(self.length, f"usable length of {self.name}")
        positive(self.width, f"usable width of {self.name}")
        not_negative(self.waste, f"waste of {self.name}")
        positive(self.rate, f"relative cost of {self.name}")
        if self.sold != "strap":
            positive(self.area, f"area of {self.name}")
            if self.area * 1.1 < self.rectangle:
                raise ValueError(f"The area of {self.name}, in dm2, is less than its usable rectangle.")

    @property
    def rectangle(self) -> float:
        """Usable rectangle, dm2."""
        return self.length * self.width / MM2_PER_DM2

    @property
    def pieces(self) -> int:
        """How many pieces of leather it is: more than one of a bag of offcuts."""
        return max(1, int(self.area / self.rectangle))

    @property
    def is_panel(self) -> bool:
        """Whether it is a plain rectangle, within 2 %."""
        return self.sold != "strap" and self.area <= 1.02 * self.rectangle


def laid(piece: Piece, length: float, width: float) -> tuple[float, float] | None:
    """Return the sides of a piece along and across the backbone, as it goes in; None if it does not."""
    ways = [(piece.length_mm, piece.width_mm)]
    if piece.along == "either":
        ways.append((piece.width_mm, piece.length_mm))
        # The long side lies best along the long side of the leather.
        ways.sort(reverse=length >= width)
    return next((way for way in ways if way[0] <= length and way[1] <= width), None)
