"""What a coat and a share of fibre let a material be called.

Kept apart from grain and grade: the name says nothing about either. Lengths are compared as whole micrometres,
the fineness to which a size is read, because a third of 1.2 mm comes out below 0.4 mm in floats.
"""

from __future__ import annotations

from advisor.leather.checks import not_negative, positive

LEATHER, COATED, NEITHER = "leather", "coated_leather", "not_leather_by_name"
LEATHER_COAT_MM = 0.15
_UM_PER_MM = 1000


def coating_class(coating: float, total: float) -> str:
    """Return the name that a coated material may bear: leather, coated_leather or not_leather_by_name.

    Up to 0.15 mm of coat it is leather; above that, up to a third of the whole, coated leather; above both it
    may bear neither name. Both limits belong to the better name.

    Args:
        coating: Thickness of the film, mm.
        total: Thickness of leather and film together, mm.

    Raises:
        ValueError: If a thickness is impossible, or the film thicker than the whole.

    Source: Directive 94/11/EC Annex I a) i) and ii), and EN 15987, read; that both names are lost above a third
    follows from it and was read in a trade text.
    """
    not_negative(coating, "film")
    positive(total, "total thickness")
    if coating > total:
        raise ValueError(f"The film of {coating} mm is thicker than the whole of {total} mm.")
    coat, whole, limit = (round(mm * _UM_PER_MM) for mm in (coating, total, LEATHER_COAT_MM))
    if coat <= limit:
        return LEATHER
    return COATED if 3 * coat <= whole else NEITHER


def other_share(fibre: float) -> float:
    """Return what is not leather fibre, percent, beside a share of *fibre*, percent; ValueError outside 0 to 100.

    Both shares are told of bonded material (16 CFR 24.2(f), whose example of 60 and 40 was seen quoted).
    """
    not_negative(fibre, "share of fibre")
    if fibre > 100:
        raise ValueError(f"A share of fibre of {fibre} % is more than the whole.")
    return 100 - fibre
