"""The leathers of an item besides the main one, as its file has them; mistakes are noted with the reader.

Which of the tannages and forms a part is cut from in one consultation is not decided here.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

from ..leather.pieces import MAIN_PARTS
from . import files as shape
from .fittings import COLOUR
from .grammar import ADVERBS, GrammarError, Vocabulary, parse_value
from .models import STRENGTH_NAMES, STRENGTHS, Act, Attribute, Conclusion, Decision, PartSpec, PieceSpec, of_part
from .places import Path
from .reading import Reader, near_hint

HARDLY_MM = 0.2
"""A leather that shares less than this with the thickness wanted is not to be had in it (judgement)."""
STRONG = STRENGTHS["strong"]
SOLD = ("thinnest", "thickest")
"""Columns of the tannages: mm from which and to which each is sold."""


def read_part(
    reader: Reader,
    file: str,
    slug: str,
    name: str,
    raw: shape.RawPart,
    decisions: Mapping[str, Decision],
    attributes: Mapping[str, Attribute],
    words: Vocabulary,
) -> PartSpec:
    """One part of an item; thicknesses in mm."""
    role = role_of(name, raw, words.roles)
    path: Path = ("item", slug, "parts", name)

    def wrong(key: str, what: str, hint: str = "") -> None:
        reader.wrong(file, (*path, key), slug, f"part {name}: {what}", hint)

    named = {
        "tannage": ("tannage", raw.tannage),
        "forms": ("form", raw.forms),
        **{d: (d, (getattr(raw, d),)) for d in ("grain", "surface", "temper", "cut", "species")},
    }
    for key, (decision, slugs) in named.items():
        known = decisions[decision].candidates if decision in decisions else {}
        for candidate in slugs:
            if candidate and candidate not in known:
                wrong(key, f'"{candidate}" is no candidate of {decision}.', near_hint(candidate, known))
    if raw.follows and raw.follows not in attributes:
        wrong("follows", f'"{raw.follows}" is no attribute.', near_hint(raw.follows, attributes))
    if raw.colour and COLOUR in attributes and raw.colour not in attributes[COLOUR].values:
        wrong("colour", f'"{raw.colour}" is no colour.', near_hint(raw.colour, attributes[COLOUR].values))
    ends: list[float | None] = []
    for key, text in (("thinnest", raw.thinnest), ("thickest", raw.thickest)):
        try:
            ends.append(float(parse_value(words.names["weight"], text)) if text else None)
        except GrammarError as error:
            wrong(key, str(error))
            ends.append(None)
    low, high = ends
    if (low is None) != (high is None) or (low is not None and high is not None and low > high):
        wrong("thinnest", "thinnest and thickest stand together, the thinnest first.")
    if raw.shares and (raw.tannage or raw.forms):
        wrong("shares", "what is cut from the main leather has no tannage or form of its own.")
    if raw.tannage and role not in words.roles:
        what = f'"{role}" is no role.' if role else f"it needs a role: what is the {name.replace('_', ' ')} there for?"
        wrong("role", what, near_hint(role or name, words.roles) or f"Roles are {', '.join(sorted(words.roles))}.")
    for tannage in raw.tannage:
        sold = sold_between(decisions, tannage)
        if low is not None and high is not None and sold and not sold[0] <= low <= high <= sold[1]:
            wrong("tannage", f"{tannage} is sold at {sold[0]:g}-{sold[1]:g} mm, not at {low:g}-{high:g} mm.")
    return PartSpec(
        name,
        raw.what,
        raw.shares,
        tuple(t for named in raw.tannage for t in _with_its_like(decisions, named, raw.tannage, low, high)),
        raw.grain,
        raw.surface,
        raw.temper,
        raw.cut,
        raw.species,
        low,
        high,
        raw.forms,
        raw.colour,
        raw.follows,
        raw.bought,
        raw.basis,
        role,
    )


def role_of(name: str, raw: shape.RawPart, roles: Collection[str]) -> str:
    """What a part is there for: what it says, or its own name where that is a role."""
    return raw.role or (name if name in roles else "")


def roles_cut(item: shape.RawItem, roles: Collection[str]) -> list[str]:
    """What the leathers of an item besides the main one are there for, of those that a piece is cut from."""
    cut = {p.of for p in item.piece}
    found = (role_of(name, part, roles) for name, part in item.parts.items() if name in cut and not part.bought)
    return sorted({role for role in found if role})


def own_reasons(spec: PartSpec, decisions: Mapping[str, Decision]) -> list[Conclusion]:
    """What the item itself says of the leather of a part: the tannages, the best first, and the animal.

    What is not sold so thin or so thick is excluded, so that no reason brings it in.
    """
    found: list[Conclusion] = []

    def reason(decision: str, candidate: str, strength: int) -> None:
        about, word = of_part(decision, spec.name), ADVERBS[STRENGTH_NAMES[strength]]
        text = f"favour {about} {candidate} {word}"
        found.append(Conclusion("favour", about, (candidate,), None, strength, text, part=spec.name))

    for n, tannage in enumerate(spec.tannages):
        reason("tannage", tannage, max(STRONG - n, 1))
    if spec.species:
        reason("species", spec.species, STRONG)
    if spec.tannages and (unsold := _unsold(spec, decisions)):
        about = of_part("tannage", spec.name)
        text, because = f"exclude {about} {', '.join(unsold)}", f"It is not sold at {spec.low:g} to {spec.high:g} mm."
        found.append(Conclusion("exclude", about, unsold, None, 0, text, because, spec.name))
    return found


def own_bounds(spec: PartSpec) -> list[Conclusion]:
    """How thick the item takes a part; nothing where it is as thick as the main leather."""
    about, found = of_part("weight", spec.name), list[Conclusion]()
    bounds: tuple[tuple[Act, float | None], ...] = (("at least", spec.low), ("at most", spec.high))
    for act, mm in bounds:
        if mm is not None:
            found.append(Conclusion(act, about, (mm,), None, 0, f"{about} {act} {mm:g} mm", part=spec.name))
    return found


def _unsold(spec: PartSpec, decisions: Mapping[str, Decision]) -> tuple[str, ...]:
    """The tannages that are hardly sold in the thicknesses of a part."""
    if spec.low is None or spec.high is None:
        return ()
    low, high, found = spec.low, spec.high, []
    for tannage in decisions["tannage"].candidates if "tannage" in decisions else ():
        sold = sold_between(decisions, tannage)
        if sold and round(min(high, sold[1]) - max(low, sold[0]), 3) < round(min(HARDLY_MM, high - low), 3):
            found.append(tannage)
    return tuple(found)


def _with_its_like(
    decisions: Mapping[str, Decision], tannage: str, named: Sequence[str], low: float | None, high: float | None
) -> list[str]:
    """A tannage, and behind it what is like it, has no place of its own and is sold in all these thicknesses, mm."""
    found = [tannage]
    for other in decisions["tannage"].groups.get(tannage, ()) if "tannage" in decisions else ():
        sold = sold_between(decisions, other)
        fits = low is None or high is None or sold is None or sold[0] <= low <= high <= sold[1]
        found += [other] * (other not in named and fits)
    return found


def sold_between(decisions: Mapping[str, Decision], tannage: str) -> tuple[float, float] | None:
    """The thicknesses, mm, between which a tannage is sold; None where the rule base does not say."""
    decision = decisions.get("tannage")
    if decision is None or tannage not in decision.candidates or any(c not in decision.properties for c in SOLD):
        return None
    thinnest, thickest = (float(decision.candidates[tannage].properties[c]) for c in SOLD)
    return thinnest, thickest


def check_cut_from(
    reader: Reader, file: str, slug: str, pieces: Sequence[PieceSpec], parts: Mapping[str, PartSpec]
) -> None:
    """Every piece comes out of exactly one leather: the main one, or a part that says what to buy for it."""
    names = [p.name for p in pieces]
    for n, piece in enumerate(pieces):

        def wrong(what: str, hint: str = "", n: int = n, name: str = piece.name) -> None:
            reader.wrong(file, ("item", slug, "piece", n, "of"), slug, f"piece {name}: {what}", hint)

        if names.count(piece.name) > 1:
            wrong("another piece has this name.")
        main = piece.part in MAIN_PARTS
        if not piece.of:
            if not main:
                wrong(f'a piece of part "{piece.part}" needs of = "...", the part whose leather it is cut from.')
        elif piece.of not in parts:
            wrong(f'"{piece.of}" is no part of this item.', near_hint(piece.of, parts))
        elif parts[piece.of].shares != main:
            shared = "shares" if parts[piece.of].shares else "does not share"
            wrong(
                f"part {piece.of} {shared} the main leather, and a piece of part {piece.part} is "
                f"{'counted with it' if main else 'bought apart'}."
            )
        elif not main and parts[piece.of].low is None and not parts[piece.of].bought:
            wrong(f"part {piece.of} needs thinnest and thickest.")
