"""An item's pattern at given sizes, and what a formula gets put in. Pure look-ups and sums.

Nothing is settled here: values come in by name, and what cannot be worked out is reported, not raised.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, field

from ..codes import Saying, say
from ..errors import AnswerError, nearest
from ..leather.cutting import FormCount, FormTables, amount
from ..leather.pieces import Piece, SizeUnknown, parse_size, size, substituted_size
from ..leather.stack import Kind as ZoneKind
from ..leather.stack import Zone
from .fittings import COLOUR
from .models import PATTERN_KINDS, WAYS, Attribute, Item, Kind, RuleBase, Value
from .strata import node_of

PIECE = "piece."
ANY = "any"
"""What is said of a form that is cut from whatever animal the counter has."""
"""What the name of a piece set by hand begins with."""
Sizes = Mapping[str, float]
ByHand = Mapping[str, tuple[float, float, float]]


@dataclass(slots=True)
class Cut:
    """The pieces of one item; ``formulas`` says how each was worked out, ``failed`` why some were not."""

    pieces: tuple[Piece, ...] = ()
    formulas: list[str] = field(default_factory=list)
    failed: dict[str, Saying] = field(default_factory=dict)


@dataclass(slots=True)
class Laid:
    """The zones of one item, and why some could not be reckoned."""

    zones: tuple[Zone, ...] = ()
    failed: dict[str, Saying] = field(default_factory=dict)


def pieces_by_hand(item: Item, given: Mapping[str, Sequence[Value]]) -> dict[str, tuple[float, float, float]]:
    """Piece -> count, width and length in mm. ``given`` maps ``piece.NAME`` to these three.

    Raises AnswerError for a piece that the pattern does not have.
    """
    names = {re.sub(r"\W+", "_", p.name.lower()): p.name for p in item.pieces}
    found: dict[str, tuple[float, float, float]] = {}
    for key, values in given.items():
        slug = re.sub(r"\W+", "_", key.removeprefix(PIECE).lower())
        if slug not in names:
            pieces = say("has_the_pieces", thing=item.name, options=list(names) or ["none"])
            raise AnswerError(key, slug, pieces, nearest(slug, names))
        count, width, length = (float(v) for v in values)
        found[names[slug]] = (count, width, length)
    return found


def cut_pieces(item: Item, sizes: Sizes, by_hand: ByHand) -> Cut:
    """The item's pieces at these sizes, mm; a piece without its sizes is left out and named."""
    cut = Cut()
    pieces: list[Piece] = []
    for spec in item.pieces:
        try:
            if spec.name in by_hand:
                count, width, length = by_hand[spec.name]
                piece = Piece(spec.name, spec.part, int(count), length, width, spec.along)
                formula = "set by hand"
            else:
                terms = parse_size(spec.length), parse_size(spec.width)
                length, width = (size(t, sizes) for t in terms)
                piece = Piece(spec.name, spec.part, spec.count, length, width, spec.along)
                formula = "length {}; width {}".format(*(substituted_size(t, sizes) for t in terms))
        except ValueError as error:
            cut.failed[f"piece {spec.name}"] = _failed(error, spec.name)
            continue
        pieces.append(piece)
        cut.formulas.append(formula)
    cut.pieces = tuple(pieces)
    return cut


def lay_zones(item: Item, sizes: Sizes, skive: Sequence[Value], anchors: Sequence[Value]) -> Laid:
    """Where the item's layers meet, as multiples of the main leather and what else lies there, mm.

    Somebody who can thin an edge (``skive`` known and not none) gets the thinned stacks.
    Where ``anchors`` are held by hand (known and not none), they are not among what the machine sews.
    """
    laid = Laid()
    thins = bool(skive) and skive[0] != "none"
    held = bool(anchors) and anchors[0] != "none"
    zones: list[Zone] = []
    for spec in item.zones:
        terms = parse_size(spec.skived if thins and spec.skived else spec.stack)
        main = sum(t.number for t in terms if t.attribute == "weight")
        rest = [t for t in terms if t.attribute != "weight"]
        try:
            other = size(rest, sizes) if rest else 0.0
            seam = size(parse_size(spec.seam), sizes) if spec.seam else 0.0
            kind: ZoneKind = "hand_sewn" if spec.anchor and held else spec.kind
            zones.append(Zone(spec.name, kind, main, other, seam))
        except ValueError as error:
            laid.failed[f"zone {spec.name}"] = _failed(error, spec.name)
    laid.zones = tuple(zones)
    return laid


def _failed(error: ValueError, part: str) -> Saying:
    """Why a piece or a zone has no size."""
    if isinstance(error, SizeUnknown):
        return say("size_unknown", attribute=error.attribute)
    return say("no_size", part=part)


def pattern_sizes(rulebase: RuleBase) -> dict[str, frozenset[str]]:
    """Item -> the attributes its pieces and zones are reckoned from."""
    found: dict[str, frozenset[str]] = {}
    for item in rulebase.items.values():
        found[item.slug] = frozenset({"item", *sizes_read(item, "pieces"), *sizes_read(item, "zones")} - {"weight"})
    return found


def sizes_read(item: Item, kind: Kind) -> list[str]:
    """The attributes and decisions that an item's pieces, or its zones, are reckoned from, in order."""
    if kind == "pieces":
        texts, others = [text for p in item.pieces for text in (p.length, p.width)], []
    else:
        texts = [text for z in item.zones for text in (z.stack, z.skived, z.seam) if text]
        made = {"skive": any(z.skived for z in item.zones), "anchors": any(z.anchor for z in item.zones)}
        others = [name for name in WAYS if made[name]]
    return list(dict.fromkeys([*(t.attribute for text in texts for t in parse_size(text) if t.attribute), *others]))


def argument(attribute: Attribute | None, values: Sequence[Value]) -> object:
    """Known values as a formula takes them: a set whole, a count as a whole number, else the one value."""
    kind = attribute.kind if attribute is not None else "choice"
    return tuple(values) if kind == "set" else int(values[0]) if kind == "count" else values[0]


def inputs_of(
    rulebase: RuleBase,
    attribute: Attribute,
    values: Callable[[str], tuple[Value, ...]],
    pieces: tuple[Piece, ...],
    zones: tuple[Zone, ...],
) -> dict[str, object] | None:
    """What goes into an attribute's formula, by parameter; None while something is unknown."""
    found: dict[str, object] = {}
    for parameter, origin in attribute.inputs.items():
        decision, dot, column = origin.partition(".")
        source = rulebase.attributes.get(origin)
        if dot:
            found[parameter] = rulebase.holder(decision).table(column)
        elif source is not None and source.kind in PATTERN_KINDS:
            pattern = pieces if source.kind == "pieces" else zones
            if not pattern:
                return None
            found[parameter] = pattern
        elif origin.endswith("_excluded"):
            found[parameter] = values(origin)
        elif held := values(origin):
            found[parameter] = argument(source, held)
        else:
            return None
    return found


def settled_inputs(attribute: Attribute) -> list[str]:
    """The nodes that an attribute's formula reads."""
    return [node_of(o) for o in attribute.inputs.values() if "." not in o]


def compared(
    rulebase: RuleBase, values: Callable[[str], Sequence[Value]], pieces: tuple[Piece, ...], spare: int = 0
) -> list[FormCount]:
    """Every form compared for the pieces, tannage and quantity known; empty before that, ``spare`` items more counted.

    Raises ValueError where a form cannot be reckoned.
    """
    tannage, quantity, extra = values("tannage"), values("quantity"), values("extra_waste")
    if not pieces or not tannage or not quantity:
        return []
    return amount(
        pieces,
        int(quantity[0]) + spare,
        str(tannage[0]),
        _prices(rulebase),
        _tables(rulebase, None),
        extra=float(extra[0]) if extra else 0.0,
    )


def compared_apart(
    rulebase: RuleBase, pieces: Sequence[Piece], tannage: str, forms: Sequence[str], quantity: int, extra: float
) -> list[FormCount]:
    """These forms compared for a leather of its own, cut into all the pieces.

    Raises ValueError where a form cannot be reckoned.
    """
    return amount(pieces, quantity, tannage, _prices(rulebase), _tables(rulebase, forms), extra, apart=True)


def suits_animal(rulebase: RuleBase, form: str, animal: str | None, barred: Collection[str] = ()) -> bool:
    """Whether a form is of this animal, of whatever leather the counter has, or of none that is ``barred``."""
    of = str(rulebase.decisions["form"].candidates[form].properties.get("animal", ANY))
    return of == ANY or (of not in barred and animal in (None, of))


def colour_bought(rulebase: RuleBase, tannage: str, wished: str | None, dyeing: bool) -> str | None:
    """The colour in which a leather is bought for a thing of the colour ``wished``; ``dyeing`` if its maker dyes it."""
    undyed = rulebase.undyed
    if undyed and wished and (tannage in undyed.sold or (dyeing and tannage in undyed.dyed)):
        return undyed.colour
    return wished


def colour_named(
    rulebase: RuleBase, line: str, colour: str | None, known: Callable[[str], Sequence[Value]]
) -> str | None:
    """The colour to ask for on a line of the order: its own as it was said, else the shade of the thing's colour.

    ``colour`` is the value bought; ``known`` gives what is known under a name.
    """
    own, shade = rulebase.tinted.get(line, ""), rulebase.shaded.get(COLOUR, "")
    if own and known(own):
        return str(known(own)[0])
    if colour and shade and known(shade) and [colour] == [str(v) for v in known(COLOUR)[:1]]:
        return str(known(shade)[0])
    return colour


def _prices(rulebase: RuleBase) -> dict[str, float]:
    """The relative price of each tannage."""
    return {c: float(v) for c, v in rulebase.decisions["tannage"].table("price").items()}


def _tables(rulebase: RuleBase, forms: Sequence[str] | None) -> FormTables:
    """The tables of the forms, or of some of them."""
    form = rulebase.decisions["form"]

    def table(column: str) -> dict[str, Value]:
        return {k: v for k, v in form.table(column).items() if forms is None or k in forms}

    numbers = {c: {k: float(v) for k, v in table(c).items()} for c in ("length", "width", "area", "cost", "waste")}
    return FormTables(**numbers, sold={k: str(v) for k, v in table("sold_by").items()})
