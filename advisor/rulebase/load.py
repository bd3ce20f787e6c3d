"""Building a rule base from its files.

All mistakes that can be found are reported together, each with file, line, rule, what was expected
and the nearest valid word.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import partial
from graphlib import CycleError, TopologicalSorter
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path as FolderPath

from ..errors import Problem, RuleBaseError
from ..leather.pieces import parse_size
from . import files as shape
from .arrival import CHECKS, read_checks
from .asks import read_asks
from .concerns import CAUTIONS, make_cautions, make_kinds
from .declarations import (
    ATTRIBUTES,
    DECISIONS,
    check_tempting,
    item_named,
    make_attributes,
    make_decision,
    make_vocabulary,
    with_limits,
)
from .families import Families
from .fittings import FITTINGS, read_fittings
from .grammar import ADVERBS, GrammarError, Vocabulary, parse_conclusion, parse_premise, parse_value
from .models import (
    FORCES,
    OTHER_LEATHERS,
    STRENGTH_NAMES,
    Attribute,
    Clash,
    Conclusion,
    Decision,
    Fitting,
    Force,
    Item,
    PartSpec,
    PieceSpec,
    Premise,
    Rule,
    RuleBase,
    Source,
    Value,
    WeightRange,
    ZoneSpec,
    of_part,
)
from .parts import HARDLY_MM, check_cut_from, own_bounds, own_reasons, read_part, roles_cut, sold_between
from .places import Path
from .reading import Reader, near_hint
from .straps import read_strap
from .strata import CircleError, stratify
from .words import hold_words

MAX_RULES = 5000
"""Written rules of one rule base; the inference library is not asked to hold more."""
SOURCES, CLASHES = "sources.toml", "clashes.toml"
WISH = "wished_tannage"
SOLD = "sold"
"""The rule of an item that excludes what is not sold in its thickness."""


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
    decisions: Mapping[str, Decision]
    attributes: Mapping[str, Attribute]

    def __init__(self, reader: Reader) -> None:
        self.reader = reader
        self.sources: dict[str, Source] = {}
        self.rules: dict[str, Rule] = {}
        self.rule_paths: dict[str, Path] = {}
        self.sizes: set[str] = set()
        self.fittings: Mapping[str, Fitting] = {}
        self.instead: Mapping[str, Mapping[str, str]] = {}
        self.families = Families()
        self.taken: dict[str, Mapping[str, tuple[str, ...]]] = {}

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
        if len(raw_rules) > MAX_RULES:
            raise RuleBaseError([Problem("rules", 0, "", f"more than {MAX_RULES} rules; expected fewer.")])
        if not (base and attributes_file and decisions_file and sources_file and cautions_file and clashes_file):
            raise RuleBaseError(reader.problems)
        raw_attributes = attributes_file.attribute
        decisions = {k: make_decision(reader, k, d) for k, d in decisions_file.decision.items()}
        attributes = make_attributes(reader, raw_attributes, decisions, {k: i for k, (_, i) in raw_items.items()})
        check_tempting(reader, decisions, {i.family for _, i in raw_items.values()})
        reader.stop_if_wrong()
        self.words = make_vocabulary(raw_attributes, attributes, decisions, cautions_file.caution, clashes_file.clash)
        attributes = with_limits(reader, raw_attributes, attributes, self.words)
        self.sources = {
            k: Source(k, s.title, s.year, s.clause, s.opened, s.note) for k, s in sources_file.source.items()
        }
        kinds = make_kinds(reader, cautions_file.kind, {k: i for k, (_, i) in raw_items.items()})
        cautions = make_cautions(reader, cautions_file.caution, kinds, self.words)
        clashes = {k: Clash(k, c.between, c.say, c.resolutions, c.basis) for k, c in clashes_file.clash.items()}
        for caution in cautions.values():
            self.check_sources(CAUTIONS, ("caution", caution.id), caution.id, caution.basis, caution.source)
        for decision in decisions.values():
            for column in decision.properties.values():
                path = ("decision", decision.name, "properties", column.name)
                self.check_sources(DECISIONS, path, decision.name, column.basis, column.source)
                for slug, cited in column.sources.items():
                    self.check_sources(DECISIONS, (*path, "sources", slug), slug, column.basis, cited)
        checks = read_checks(reader, decisions)
        for check in checks.values():
            self.check_sources(CHECKS, ("check", check.id), check.id, check.basis, check.source)
        self.decisions, self.attributes = decisions, attributes
        beside = read_fittings(reader, attributes, decisions, self.words)
        self.fittings, self.instead = beside.fittings, beside.instead
        self.check_families({slug: raw for slug, (_, raw) in raw_items.items()})
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
            base.name,
            base.version,
            reader.digest.hexdigest(),
            attributes,
            decisions,
            self.sources,
            cautions,
            clashes,
            items,
            self.rules,
            strata,
            checks,
            beside.fittings,
            beside.instead,
            base.unlabelled,
            beside.undyed,
            beside.tinted,
            beside.shaded,
            {"line": reader.line, "words": reader},
            kinds,
        )

    def read_items(self) -> dict[str, tuple[str, shape.RawItem]]:
        """File and item by slug, each with what it takes from its make and its family."""
        read = {name: self.reader.read(name, shape.ItemsFile) for name in self.reader.names_in("items")}
        for name, items_file in read.items():
            if items_file:
                self.families.add(self.reader, name, items_file)
        found: dict[str, tuple[str, shape.RawItem]] = {}
        for name, items_file in read.items():
            for slug, item in items_file.item.items() if items_file else ():
                if slug in found:
                    self.reader.wrong(
                        name, ("item", slug), slug, f"already declared in {found[slug][0]}; use another name."
                    )
                    continue
                if item.make and item.make not in self.families.makes():
                    self.reader.wrong(
                        name,
                        ("item", slug, "make"),
                        slug,
                        f'"{item.make}" is no make.',
                        near_hint(item.make, self.families.makes()),
                    )
                whole, self.taken[slug] = self.families.complete(item)
                found[slug] = name, whole
        return found

    def check_families(self, items: Mapping[str, shape.RawItem]) -> None:
        """What families and makes say, looked over once where it stands; items look over the rest as their own."""
        self.families.check(self.reader, self.attributes, items.values())
        for file, path, name, key, value in self.families.entries():
            for text in value if key[0] == "suppose" and isinstance(value, tuple) else ():
                self.conclusion(file, path, name, f"suppose {text}")
            if key[0] == "ask":
                asks = {str(key[1]): shape.RawAsk.model_validate({str(key[2]): value})}
                read_asks(self.reader, file, path[:2], name, asks, self.attributes)

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
                self.reader.wrong(
                    file,
                    (*path, "source", n),
                    where,
                    f'source "{source}" is not declared in {SOURCES}.',
                    near_hint(source, self.sources),
                )
        if basis == "published" and not cited:
            self.reader.wrong(file, (*path, "basis"), where, 'basis = "published" needs the source it is published in.')

    # -- sentences

    def premise(self, file: str, path: Path, where: str, text: str) -> tuple[Premise, ...]:
        try:
            return parse_premise(text, self.words)
        except GrammarError as error:
            self.reader.wrong(file, path, where, str(error))
            return ()

    def conclusion(self, file: str, path: Path, where: str, text: str, because: str | None = None) -> list[Conclusion]:
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
            self.reader.wrong(
                file, (*path, "id"), raw.id, f"a rule of this name already stands in {other.file}:{other.line}."
            )
            return
        when = [p for k, text in enumerate(raw.when) for p in self.premise(file, (*path, "when", k), raw.id, text)]
        then = [c for k, text in enumerate(raw.then) for c in self.conclusion(file, (*path, "then", k), raw.id, text)]
        # A value taken from an attribute is only there when the attribute is known.
        taken = [c.attribute for c in then if c.attribute]
        checked = {p.attribute for p in when if p.operator == "known"}
        when += [Premise(a, "known", (), None, f"{a} is known") for a in taken if a not in checked]
        asked = {v for p in when if p.attribute == OTHER_LEATHERS and p.operator in ("is", "in") for v in p.values}
        for role in sorted({c.part for c in then if c.part} - asked):
            what = f"it speaks of the {role} of things that may have none."
            self.reader.wrong(file, (*path, "when"), raw.id, what, f'Add "{OTHER_LEATHERS} includes {role}".')
        self.check_sources(file, path, raw.id, raw.basis, raw.source)
        if raw.over and not raw.over_because:
            self.reader.wrong(file, (*path, "over"), raw.id, "over needs over_because: why this rule is preferred.")
        self.rule_paths[raw.id] = path
        self.rules[raw.id] = Rule(
            raw.id,
            tuple(dict.fromkeys(when)),
            tuple(then),
            raw.force,
            raw.concern,
            raw.because,
            raw.basis,
            raw.source,
            raw.over,
            raw.over_because,
            raw.remedies,
            raw.contested,
            file,
            partial(self.reader.line, file, (*path, "id")),
            order=raw.order,
        )

    def preferences(self) -> None:
        """Every rule preferred to another names one that stands lower, and no circle is left."""
        for rule in self.rules.values():
            for n, loser in enumerate(rule.over):
                path = (*self.rule_paths[rule.id], "over", n)
                if loser not in self.rules:
                    self.reader.wrong(
                        rule.file,
                        path,
                        rule.id,
                        f'over names "{loser}", which is no rule.',
                        near_hint(loser, self.rules),
                    )
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
        named = item_named(slug, raw).one()

        def add(
            kind: str,
            then: Sequence[Conclusion],
            because: str,
            force: Force = "should",
            remedies: tuple[str, ...] = (),
            also: tuple[Premise, ...] = (),
            source: tuple[str, ...] = (),
        ) -> None:
            rule_id = f"{slug}/{kind}"
            self.rules[rule_id] = Rule(
                rule_id,
                (*when, *also),
                tuple(then),
                force,
                "item habit",
                because,
                raw.basis,
                source,
                (),
                "",
                remedies,
                "",
                file,
                partial(self.reader.line, file, path),
                slug,
            )

        habits = [
            c
            for n, text in enumerate(raw.suppose)
            for c in self.conclusion(file, (*path, "suppose", n), slug, f"suppose {text}")
        ]
        habits += self.conclusion(file, (*path, "family"), slug, f"family is {raw.family}")
        if raw.may_bear:
            habits += self.conclusion(file, (*path, "may_bear"), slug, "may_bear is yes")
        for role in roles_cut(raw, self.words.roles):
            habits += self.conclusion(file, (*path, "parts"), slug, f"{OTHER_LEATHERS} includes {role}")
        supposes: dict[str, tuple[Value, ...]] = {}
        for c in habits:
            supposes[c.target] = (*supposes.get(c.target, ()), *c.values)
        add("habits", habits, f"{named.capitalize()} is usually made and used like this.")
        rankings = self.rankings(slug, file, raw)
        if rankings:
            add("ranking", rankings, f"Makers use these leathers for {named}.")
        weight = self.weight(slug, file, raw.weight) if raw.weight else None
        if weight and raw.weight:
            # Outside its workable range the item would be another thing: that is a limit, not a preference.
            thick = f"leather {weight.min:g} to {weight.max:g} mm thick"
            workable = f"{named.capitalize()} is made of {thick}."
            remedies = ("Laminate, line or skive the leather.", f"Buy {thick}.")
            add("workable-weight", self.between(weight.min, weight.max), workable, "must", remedies)
            usual = self.between(weight.usual_low, weight.usual_high)
            self.check_sources(file, (*path, "weight"), slug, raw.basis, raw.weight.source)
            add("usual-weight", usual, raw.weight.because, source=raw.weight.source)
        pieces = tuple(self.piece(slug, file, n, piece) for n, piece in enumerate(raw.piece))
        ranks = {
            d: frozenset(str(v) for c in rankings if c.target == d for v in c.values)
            for d in dict.fromkeys(c.target for c in rankings if c.act == "favour")
        }
        zones = tuple(self.zone(slug, file, n, zone) for n, zone in enumerate(raw.zone))
        if weight and raw.weight:
            if unsold := self.unsold(weight, named):
                add(SOLD, unsold, f"Not every leather is sold in the thickness that {named} needs.", "must", remedies)
            if scarce := self.scarce(weight, named):
                # A leather asked for by name is judged by its own thickness, not by the usual one of the thing.
                free = self.premise(file, path, slug, f"{WISH} is unknown") if WISH in self.attributes else ()
                usually = f"Not every leather is sold in the thickness that {named} usually has."
                add("sold-usual", scarce, usually, also=tuple(free))
        known = self.decisions, self.attributes, self.words
        parts = {k: read_part(self.reader, file, slug, k, p, *known) for k, p in raw.parts.items()}
        check_cut_from(self.reader, file, slug, pieces, parts)
        for part in parts.values():
            because = f"The {part.name.replace('_', ' ')} of {named}: {part.what}."
            text = self.of_leather(part)
            leather = tuple(self.premise(file, (*path, "parts", part.name), slug, text)) if text else ()
            if own := own_reasons(part, self.decisions):
                add(part.name, own, because, also=leather)
                ranks |= {of_part("tannage", part.name): frozenset(part.tannages)} if part.tannages else {}
            if bounds := own_bounds(part):
                buy = f"Buy it {part.low:g} to {part.high:g} mm thick."
                add(f"{part.name}-thickness", bounds, because, "must", (buy,), leather)
        for n in raw.fittings.keys() - self.fittings.keys():
            self.reader.wrong(
                file,
                ("item", slug, "fittings", n),
                slug,
                f'"{n}" is no fitting of {FITTINGS}.',
                near_hint(n, self.fittings),
            )
        strap = read_strap(self.reader, file, slug, raw.strap, self.attributes) if raw.strap else None
        asks = read_asks(self.reader, file, path, slug, raw.ask, self.attributes)
        return Item(
            slug,
            raw.name,
            raw.family,
            raw.words,
            weight,
            pieces,
            zones,
            parts,
            raw.first_mistake,
            supposes,
            ranks,
            self.counted(raw, supposes),
            strap,
            asks,
            self.taken[slug],
            raw.too_thin,
            raw.too_thick,
        )

    def of_leather(self, part: PartSpec) -> str:
        """The premise under which a part is of leather, where an attribute may say that it is of something else."""
        other = self.instead.get(part.follows, {})
        leathers = [v for v in self.attributes[part.follows].values if v not in other] if other else []
        return f"{part.follows} is one of {', '.join(leathers)}" if leathers else ""

    def between(self, low: float, high: float) -> list[Conclusion]:
        """Both bounds of a range of weight."""
        ends = (("least", low), ("most", high))
        return [parse_conclusion(f"weight at {side} {mm} mm", self.words) for side, mm in ends]

    def unsold(self, weight: WeightRange, named: str) -> list[Conclusion]:
        """The tannages that are not sold in any thickness the item can be made of."""
        return self.tannages_out(weight.min, weight.max, "exclude tannage {}", f"{named} needs")

    def scarce(self, weight: WeightRange, named: str) -> list[Conclusion]:
        """The tannages that are sold for the item, and not in the thickness it usually has."""
        out = {c.values for c in self.unsold(weight, named)}
        low, high = weight.usual_low, weight.usual_high
        says = "disfavour tannage {} clearly", f"{named} usually has"
        return [c for c in self.tannages_out(low, high, *says, (high - low) / 2) if c.values not in out]

    def tannages_out(self, low: float, high: float, says: str, who: str, least: float = HARDLY_MM) -> list[Conclusion]:
        """What ``says`` of each tannage that is sold in less than ``least`` of the thicknesses between two, mm."""
        found = []
        for tannage in self.decisions["tannage"].candidates if "tannage" in self.decisions else ():
            sold = sold_between(self.decisions, tannage)
            if sold is not None and min(high, sold[1]) - max(low, sold[0]) < min(least, high - low):
                because = f"It is sold at {sold[0]:g} to {sold[1]:g} mm, and {who} {low:g} to {high:g} mm."
                found.append(parse_conclusion(says.format(tannage), self.words, because))
        return found

    def rankings(self, slug: str, file: str, raw: shape.RawItem) -> list[Conclusion]:
        found: list[Conclusion] = []
        tables: tuple[tuple[str, str, Mapping[str, shape.RawRank]], ...] = (
            ("tannage", "tannage", raw.tannage),
            ("avoid", "tannage", raw.avoid),
            ("grain", "grain", raw.grain),
            ("temper", "temper", raw.temper),
            ("cut", "cut", raw.cut),
        )
        by_name: dict[str, set[str]] = {}
        for _, decision, ranks in tables:
            by_name.setdefault(decision, set()).update(ranks)
        for table, decision, ranks in tables:
            for candidate, rank in ranks.items():
                path = ("item", slug, table, candidate)
                if (rank.favour is None) == (rank.against is None):
                    self.reader.wrong(file, path, slug, f"{candidate} needs either favour or against.")
                    continue
                verb, adverb = "favour" if rank.favour else "disfavour", ADVERBS[str(rank.favour or rank.against)]
                text = f"{verb} {decision} {candidate} {adverb}"
                said = self.conclusion(file, path, slug, text, rank.because)
                found += [each for c in said for each in self.ranked(c, candidate, by_name[decision])]
        return found

    def ranked(self, ranking: Conclusion, candidate: str, by_name: set[str]) -> list[Conclusion]:
        """A ranking by name or by a property, without those that have one of their own.

        What is like the candidate stands a step behind it: makers name the candidate, and not what is like it.
        """
        candidates = self.decisions[ranking.target].candidates
        left = [str(v) for v in ranking.values if v == candidate or v not in by_name]
        if candidate not in candidates:
            nearer = {v for v in left if candidates[v].like in by_name}
            return [replace(ranking, values=kept)] if (kept := tuple(v for v in left if v not in nearer)) else []
        found = [replace(ranking, values=(candidate,))]
        for other in left[1:]:
            behind = ranking.act == "favour"
            strength = STRENGTH_NAMES[max(ranking.strength - behind, 1)]
            told = f" (like {candidates[candidate].label})." if behind else "."
            because = str(ranking.because).rstrip(".") + told
            verb = f"{ranking.act} {ranking.target} {other}"
            found.append(parse_conclusion(f"{verb} {ADVERBS[strength]}", self.words, because))
        return found

    def weight(self, slug: str, file: str, raw: shape.RawWeight) -> WeightRange | None:
        path: Path = ("item", slug, "weight")
        name = self.words.names.get("weight")
        if name is None or not name.decision or name.unit != "mm":
            self.reader.wrong(file, path, slug, f"the weight of an item needs a decision weight in mm in {DECISIONS}.")
            return None
        found: list[float] = []
        for key, text in (
            ("min", raw.min),
            ("usual_low", raw.usual_low),
            ("usual_high", raw.usual_high),
            ("max", raw.max),
        ):
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
        return PieceSpec(raw.name, raw.part, raw.count, raw.length, raw.width, raw.along, raw.of)

    def counted(self, raw: shape.RawItem, supposes: Mapping[str, tuple[Value, ...]]) -> Mapping[str, int]:
        """How many of each fitting one of the item takes: where it says none, one of each that it supposes."""
        if "fittings" in raw.model_fields_set:
            return raw.fittings
        return {
            fitting.counted_as: 1
            for fitting in self.fittings.values()
            if not (fitting.pack or fitting.serves)
            for premise in fitting.when
            if self.attributes[premise.attribute].kind == "set"
            and not set(premise.values).isdisjoint(supposes.get(premise.attribute, ()))
        }

    def zone(self, slug: str, file: str, n: int, raw: shape.RawZone) -> ZoneSpec:
        for key, text in (("stack", raw.stack), ("skived", raw.skived), ("seam", raw.seam)):
            if text:
                allowed = ("weight",) if key != "seam" else ()
                self.size(file, ("item", slug, "zone", n, key), slug, f"zone {raw.name}", text, allowed)
        if raw.anchor and raw.kind != "sewn":
            self.reader.wrong(file, ("item", slug, "zone", n, "anchor"), slug, "only a sewn zone is an anchor.")
        return ZoneSpec(raw.name, raw.kind, raw.stack, raw.skived, raw.seam, raw.anchor)

    def size(self, file: str, path: Path, slug: str, what: str, text: str, allowed: Sequence[str] = ()) -> None:
        """Checks a size expression and notes the attributes that patterns are reckoned from."""
        valid = [*(w.name for w in self.words.names.values() if w.unit == "mm" and not w.decision), *allowed]
        try:
            used = {term.attribute for term in parse_size(text) if term.attribute}
        except ValueError as error:
            self.reader.wrong(file, path, slug, f"{what}: {error}")
            return
        for attribute in sorted(used - set(valid)):
            self.reader.wrong(file, path, slug, f'{what}: "{attribute}" is no size in mm.', near_hint(attribute, valid))
        self.sizes |= used - set(allowed)
