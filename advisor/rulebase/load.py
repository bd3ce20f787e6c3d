"""Building a rule base from its files.

All mistakes that can be found are reported together, each with file, line, rule, what was expected
and the nearest valid word.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import partial
from graphlib import CycleError, TopologicalSorter
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path as FolderPath

from ..errors import Problem, RuleBaseError
from ..leather.pieces import parse_size
from . import files as shape
from .arrival import CHECKS, read_checks
from .declarations import ATTRIBUTES, DECISIONS, make_attributes, make_decision, make_vocabulary, with_limits
from .grammar import GrammarError, Vocabulary, parse_conclusion, parse_premise, parse_value
from .models import (
    FORCES,
    Caution,
    Clash,
    Conclusion,
    Force,
    Item,
    PieceSpec,
    Premise,
    Rule,
    RuleBase,
    Source,
    Value,
    WeightRange,
    ZoneSpec,
)
from .places import Path
from .reading import Reader, near_hint
from .strata import CircleError, stratify
from .words import hold_words

SOURCES, CAUTIONS, CLASHES = "sources.toml", "cautions.toml", "clashes.toml"
_ADVERBS = {"slight": "slightly", "clear": "clearly", "strong": "strongly"}


def shipped_rulebase() -> Traversable:
    """The folder of the rule base that comes with the program."""
    inside = files("advisor") / "rulesets" / "leather"
    if inside.is_dir():
        return inside
    return FolderPath(__file__).parents[2] / "rulesets" / "leather"


def load_rulebase(folder: FolderPath | None = None) -> RuleBase:
    """The rule base in ``folder``, or the shipped one. Raises RuleBaseError with every mistake found."""
    place = folder if folder is not None else shipped_rulebase()
    if not place.is_dir():
        raise RuleBaseError([Problem(str(place), 0, "", "there is no rule base here; expected a folder.")])
    return _Loader(Reader(place)).load()


class _Loader:
    """Turns the sentences of items and rules into the models, once all names are declared."""

    words: Vocabulary

    def __init__(self, reader: Reader) -> None:
        self.reader = reader
        self.sources: dict[str, Source] = {}
        self.rules: dict[str, Rule] = {}
        self.rule_paths: dict[str, Path] = {}
        self.sizes: set[str] = set()

    def load(self) -> RuleBase:
        reader = self.reader
        base = reader.read("rulebase.toml", shape.BaseFile)
        attributes_file = reader.read(ATTRIBUTES, shape.AttributesFile)
        decisions_file = reader.read(DECISIONS, shape.DecisionsFile)
        sources_file = reader.read(SOURCES, shape.SourcesFile)
        cautions_file = reader.read(CAUTIONS, shape.CautionsFile)
        clashes_file = reader.read(CLASHES, shape.ClashesFile)
        raw_items = self.read_items()
        raw_rules = [
            (name, n, rule)
            for name in reader.names_in("rules")
            if (rules_file := reader.read(name, shape.RulesFile))
            for n, rule in enumerate(rules_file.rule)
        ]
        if not (base and attributes_file and decisions_file and sources_file and cautions_file and clashes_file):
            raise RuleBaseError(reader.problems)
        raw_attributes = attributes_file.attribute
        decisions = {k: make_decision(reader, k, d) for k, d in decisions_file.decision.items()}
        attributes = make_attributes(reader, raw_attributes, decisions, {k: i for k, (_, i) in raw_items.items()})
        reader.stop_if_wrong()
        self.words = make_vocabulary(
            raw_attributes, attributes, decisions, cautions_file.caution, clashes_file.clash
        )
        attributes = with_limits(reader, raw_attributes, attributes, self.words)
        self.sources = {
            k: Source(k, s.title, s.year, s.clause, s.opened, s.note) for k, s in sources_file.source.items()
        }
        cautions = {
            k: Caution(k, c.severity, c.about, c.say, c.defer_to, c.basis, c.source)
            for k, c in cautions_file.caution.items()
        }
        clashes = {k: Clash(k, c.between, c.say, c.resolutions, c.basis) for k, c in clashes_file.clash.items()}
        for caution in cautions.values():
            self.check_sources(CAUTIONS, ("caution", caution.id), caution.id, caution.basis, caution.source)
        for decision in decisions.values():
            for column in decision.properties.values():
                path = ("decision", decision.name, "properties", column.name)
                self.check_sources(DECISIONS, path, decision.name, column.basis, column.source)
        checks = read_checks(reader, decisions)
        for check in checks.values():
            self.check_sources(CHECKS, ("check", check.id), check.id, check.basis, check.source)
        items = {slug: self.item(slug, name, item) for slug, (name, item) in raw_items.items()}
        for name, n, rule in raw_rules:
            self.rule(name, n, rule)
        self.preferences()
        hold_words(reader)
        reader.stop_if_wrong()
        try:
            strata = stratify(attributes, decisions, self.rules, self.sizes)
        except CircleError as error:
            raise RuleBaseError([self.circle(error)]) from error
        return RuleBase(
            base.name, base.version, reader.digest.hexdigest(), attributes, decisions, self.sources, cautions, clashes,
            items, self.rules, strata, checks, {"line": reader.line, "words": reader},
        )  # fmt: skip

    def read_items(self) -> dict[str, tuple[str, shape.RawItem]]:
        found: dict[str, tuple[str, shape.RawItem]] = {}
        for name in self.reader.names_in("items"):
            items_file = self.reader.read(name, shape.ItemsFile)
            for slug, item in items_file.item.items() if items_file else ():
                if slug in found:
                    self.reader.wrong(name, ("item", slug), slug,
                                      f"already declared in {found[slug][0]}; use another name.")  # fmt: skip
                    continue
                found[slug] = name, item
        return found

    def circle(self, error: CircleError) -> Problem:
        """The circle, shown at its first rule, or at its first computed attribute if no rule is in it."""
        hint = "A rule may not feed what it reads, even through other rules."
        rule = next((self.rules[why] for _, why in error.path if why in self.rules), None)
        if rule:
            return Problem(rule.file, rule.line, rule.id, f"{error}.", hint)
        name = next(name for name, why in error.path if why.startswith("formula"))
        line = self.reader.line(ATTRIBUTES, ("attribute", name, "inputs"))
        return Problem(ATTRIBUTES, line, name, f"{error}.", hint)

    def check_sources(self, file: str, path: Path, where: str, basis: str, cited: Sequence[str]) -> None:
        for n, source in enumerate(cited):
            if source not in self.sources:
                self.reader.wrong(file, (*path, "source", n), where,
                                  f'source "{source}" is not declared in {SOURCES}.',
                                  near_hint(source, self.sources))  # fmt: skip
        if basis == "published" and not cited:
            self.reader.wrong(file, (*path, "basis"), where,
                              'basis = "published" needs the source it is published in.')  # fmt: skip

    # -- sentences

    def premise(self, file: str, path: Path, where: str, text: str) -> tuple[Premise, ...]:
        try:
            return parse_premise(text, self.words)
        except GrammarError as error:
            self.reader.wrong(file, path, where, str(error))
            return ()

    def conclusion(
        self, file: str, path: Path, where: str, text: str, because: str | None = None
    ) -> list[Conclusion]:
        try:
            return [parse_conclusion(text, self.words, because)]
        except GrammarError as error:
            self.reader.wrong(file, path, where, str(error))
            return []

    # -- rules

    def rule(self, file: str, n: int, raw: shape.RawRule) -> None:
        path: Path = ("rule", n)
        if raw.id in self.rules:
            other = self.rules[raw.id]
            self.reader.wrong(file, (*path, "id"), raw.id,
                              f"a rule of this name already stands in {other.file}:{other.line}.")  # fmt: skip
            return
        when = [p for k, text in enumerate(raw.when) for p in self.premise(file, (*path, "when", k), raw.id, text)]
        then = [c for k, text in enumerate(raw.then) for c in self.conclusion(file, (*path, "then", k), raw.id, text)]
        # A value taken from an attribute is only there when the attribute is known.
        taken = [c.attribute for c in then if c.attribute]
        checked = {p.attribute for p in when if p.operator == "known"}
        when += [Premise(a, "known", (), None, f"{a} is known") for a in taken if a not in checked]
        self.check_sources(file, path, raw.id, raw.basis, raw.source)
        if raw.over and not raw.over_because:
            self.reader.wrong(file, (*path, "over"), raw.id, "over needs over_because: why this rule is preferred.")
        self.rule_paths[raw.id] = path
        self.rules[raw.id] = Rule(
            raw.id, tuple(dict.fromkeys(when)), tuple(then), raw.force, raw.concern, raw.because, raw.basis, raw.source,
            raw.over, raw.over_because, raw.remedies, raw.contested, file,
            partial(self.reader.line, file, (*path, "id")), order=raw.order,
        )  # fmt: skip

    def preferences(self) -> None:
        """Every rule preferred to another names one that stands lower, and no circle is left."""
        for rule in self.rules.values():
            for n, loser in enumerate(rule.over):
                path = (*self.rule_paths[rule.id], "over", n)
                if loser not in self.rules:
                    self.reader.wrong(rule.file, path, rule.id, f'over names "{loser}", which is no rule.',
                                      near_hint(loser, self.rules))  # fmt: skip
                elif FORCES.index(rule.force) < FORCES.index(self.rules[loser].force):
                    what = f"a {rule.force} rule cannot be preferred to {loser}, which is a {self.rules[loser].force}."
                    self.reader.wrong(rule.file, path, rule.id, what)
        try:
            TopologicalSorter({rule.id: rule.over for rule in self.rules.values()}).prepare()
        except CycleError as error:
            circle = list(reversed(error.args[1]))
            winner = self.rules[circle[0]]
            path = (*self.rule_paths[winner.id], "over", winner.over.index(circle[1]))
            self.reader.wrong(winner.file, path, winner.id, f"preferences run in a circle: {' over '.join(circle)}.")

    # -- items

    def item(self, slug: str, file: str, raw: shape.RawItem) -> Item:
        """The item itself; what it takes for granted and prefers becomes rules of its own."""
        path: Path = ("item", slug)
        when = self.premise(file, path, slug, f"item is {slug}")
        named = f"{'an' if raw.name[:1].lower() in 'aeiou' else 'a'} {raw.name}"

        def add(
            kind: str, then: Sequence[Conclusion], because: str, force: Force = "should", remedies: tuple[str, ...] = ()
        ) -> None:
            rule_id = f"{slug}/{kind}"
            self.rules[rule_id] = Rule(
                rule_id, when, tuple(then), force, "item habit", because, raw.basis, (), (), "", remedies, "",
                file, partial(self.reader.line, file, path), slug,
            )  # fmt: skip

        habits = [
            c for n, text in enumerate(raw.suppose)
            for c in self.conclusion(file, (*path, "suppose", n), slug, f"suppose {text}")
        ]  # fmt: skip
        habits += self.conclusion(file, (*path, "family"), slug, f"family is {raw.family}")
        if raw.may_bear:
            habits += self.conclusion(file, (*path, "may_bear"), slug, "may_bear is yes")
        supposes: dict[str, tuple[Value, ...]] = {}
        for c in habits:
            supposes[c.target] = (*supposes.get(c.target, ()), *c.values)
        add("habits", habits, f"{named.capitalize()} is usually made and used so.")
        rankings = self.rankings(slug, file, raw)
        if rankings:
            add("ranking", rankings, f"The leathers makers take for {named}.")
        weight = self.weight(slug, file, raw.weight) if raw.weight else None
        if weight and raw.weight:
            # Outside its workable range the item would be another thing: that is a limit, not a preference.
            workable = f"Outside this range {named} cannot be made as described."
            remedies = ("Laminate, line or skive the leather.", f"Make something other than {named}.")
            add("workable-weight", self.between(weight.min, weight.max), workable, "must", remedies)
            add("usual-weight", self.between(weight.usual_low, weight.usual_high), raw.weight.because)
        pieces = tuple(self.piece(slug, file, n, piece) for n, piece in enumerate(raw.piece))
        ranks = frozenset(c.target for c in rankings if c.act == "favour")
        zones = tuple(self.zone(slug, file, n, zone) for n, zone in enumerate(raw.zone))
        parts = {k: p.what for k, p in raw.parts.items()}
        return Item(slug, raw.name, raw.family, raw.words, weight, pieces, zones, parts,
                    raw.first_mistake, raw.buy_one, raw.buy_ten, supposes, ranks)  # fmt: skip

    def between(self, low: float, high: float) -> list[Conclusion]:
        """Both bounds of a range of weight."""
        ends = (("least", low), ("most", high))
        return [parse_conclusion(f"weight at {side} {mm} mm", self.words) for side, mm in ends]

    def rankings(self, slug: str, file: str, raw: shape.RawItem) -> list[Conclusion]:
        found: list[Conclusion] = []
        tables: tuple[tuple[str, str, Mapping[str, shape.RawRank]], ...] = (
            ("tannage", "tannage", raw.tannage), ("avoid", "tannage", raw.avoid), ("grain", "grain", raw.grain),
            ("temper", "temper", raw.temper), ("cut", "cut", raw.cut),
        )  # fmt: skip
        for table, decision, ranks in tables:
            for candidate, rank in ranks.items():
                path = ("item", slug, table, candidate)
                if (rank.favour is None) == (rank.against is None):
                    self.reader.wrong(file, path, slug, f"{candidate} needs either favour or against.")
                    continue
                verb, adverb = "favour" if rank.favour else "disfavour", _ADVERBS[str(rank.favour or rank.against)]
                text = f"{verb} {decision} {candidate} {adverb}"
                found += self.conclusion(file, path, slug, text, rank.because)
        return found

    def weight(self, slug: str, file: str, raw: shape.RawWeight) -> WeightRange | None:
        path: Path = ("item", slug, "weight")
        name = self.words.names.get("weight")
        if name is None or not name.decision or name.unit != "mm":
            self.reader.wrong(file, path, slug, f"the weight of an item needs a decision weight in mm in {DECISIONS}.")
            return None
        found: list[float] = []
        for key, text in (
            ("min", raw.min), ("usual_low", raw.usual_low), ("usual_high", raw.usual_high), ("max", raw.max)
        ):  # fmt: skip
            try:
                found.append(float(parse_value(name, text)))
            except GrammarError as error:
                self.reader.wrong(file, (*path, key), slug, f"{key}: {error}")
        if len(found) < 4:
            return None
        if found != sorted(found):
            self.reader.wrong(file, path, slug, "min, usual_low, usual_high and max must not fall.")
        return WeightRange(*found)

    def piece(self, slug: str, file: str, n: int, raw: shape.RawPiece) -> PieceSpec:
        for key, text in (("length", raw.length), ("width", raw.width)):
            self.size(file, ("item", slug, "piece", n, key), slug, f"piece {raw.name}", text)
        return PieceSpec(raw.name, raw.part, raw.count, raw.length, raw.width, raw.along)

    def zone(self, slug: str, file: str, n: int, raw: shape.RawZone) -> ZoneSpec:
        for key, text in (("stack", raw.stack), ("skived", raw.skived), ("seam", raw.seam)):
            if text:
                allowed = ("weight",) if key != "seam" else ()
                self.size(file, ("item", slug, "zone", n, key), slug, f"zone {raw.name}", text, allowed)
        return ZoneSpec(raw.name, raw.kind, raw.stack, raw.skived, raw.seam)

    def size(self, file: str, path: Path, slug: str, what: str, text: str, allowed: Sequence[str] = ()) -> None:
        """Checks a size expression and notes the attributes that patterns are reckoned from."""
        valid = [*(w.name for w in self.words.names.values() if w.unit == "mm" and not w.decision), *allowed]
        try:
            used = {term.attribute for term in parse_size(text) if term.attribute}
        except ValueError as error:
            self.reader.wrong(file, path, slug, f"{what}: {error}")
            return
        for attribute in sorted(used - set(valid)):
            self.reader.wrong(file, path, slug, f'{what}: "{attribute}" is no size in mm.',
                              near_hint(attribute, valid))  # fmt: skip
        self.sizes |= used - set(allowed)
