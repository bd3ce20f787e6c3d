"""From attributes.toml and decisions.toml to what may be known and what is to be settled.

Mistakes are noted with the reader; what is returned is only complete when none were.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import replace

from ..leather.formulas import FORMULAS
from . import files as shape
from .grammar import ALL, GrammarError, Name, Vocabulary, parse_value
from .models import (
    EVERYTHING,
    OTHER_LEATHERS,
    READ_OFF,
    Attribute,
    AttributeValue,
    Candidate,
    Decision,
    Property,
    Value,
)
from .places import Path
from .properties import LIKE, SAID, derived_groups, entry, make_properties, read_properties, unsaid
from .reading import Reader, near_hint

ATTRIBUTES, DECISIONS = "attributes.toml", "decisions.toml"
NAMED = tuple(shape.RawNamed.model_fields)
"""The keys that hold words for people."""
_KEPT_ENDING = "a name may not end in _offered, _excluded or _answered; those are read off a decision or an answer"


def make_decision(reader: Reader, name: str, raw: shape.RawDecision) -> Decision:
    """A decision with its candidates and their numbers."""
    path: Path = ("decision", name)

    def wrong(place: Path, where: str, what: str, hint: str = "") -> None:
        reader.wrong(DECISIONS, (*path, *place), where, what, hint)

    if name.endswith(READ_OFF):
        wrong((), name, f"{_KEPT_ENDING}.")
    if raw.kind == "choice" and not raw.candidates:
        wrong((), name, "a choice needs its candidates.")
    if raw.kind == "quantity" and not raw.unit:
        wrong((), name, 'a quantity needs unit = "...".')
    properties = make_properties(raw, wrong)
    nobody = unsaid(raw, properties, wrong)
    candidates: dict[str, Candidate] = {}
    for slug, table in raw.candidates.items():
        place = ("candidates", slug)
        means, words = table.get("means"), table.get("words", [])
        if not isinstance(means, str) or not isinstance(words, list):
            wrong(place, slug, 'a candidate needs means = "..." and words = [...].')
            continue
        named = {key: str(table.get(key, "")) for key in NAMED}
        for key in table.keys() - {"means", "words", *SAID} - named.keys() - properties.keys():
            wrong((*place, key), slug, f'"{key}" is no declared property of {name}.', near_hint(key, properties))
        values = read_properties(slug, table, properties, wrong, nobody)
        candidates[slug] = Candidate(slug, means, tuple(words), values, str(table.get(LIKE, "")), **named)
    groups = derived_groups(raw, properties, {slug: c.properties for slug, c in candidates.items()}, wrong)
    for group, members in raw.groups.items():
        for n, member in enumerate(members):
            if member not in raw.candidates:
                wrong(
                    ("groups", group, n),
                    name,
                    f'group {group} names "{member}", which is no candidate.',
                    near_hint(member, raw.candidates),
                )
    for group in raw.group_words.keys() - groups.keys():
        wrong(("group_words", group), name, f'"{group}" is no group of {name}.', near_hint(group, groups))
    for candidate in raw.tempting.keys() - raw.candidates.keys():
        hint = near_hint(candidate, raw.candidates)
        wrong(("tempting", candidate), name, f'"{candidate}" is no candidate of {name}.', hint)
    spoken = tuple(dict.fromkeys((*raw.groups, *raw.group_words)))
    said = (raw.group_words, raw.tempting, raw.say, spoken)
    return Decision(name, raw.kind, raw.unit, raw.name, candidates, groups, properties, *said)


def check_tempting(reader: Reader, decisions: Mapping[str, Decision], families: Collection[str]) -> None:
    """Whoever is tempted makes things of a family that there is."""
    for decision in decisions.values():
        for candidate, things in decision.tempting.items():
            for thing in things:
                if thing not in (*families, EVERYTHING):
                    place = ("decision", decision.name, "tempting", candidate)
                    what = f'"{thing}" is no family of things, nor "{EVERYTHING}".'
                    reader.wrong(DECISIONS, place, candidate, what, near_hint(thing, families))


def make_attributes(
    reader: Reader,
    raw: Mapping[str, shape.RawAttribute],
    decisions: Mapping[str, Decision],
    items: Mapping[str, shape.RawItem],
) -> dict[str, Attribute]:
    """The attributes in declared order, still without the limits of their numbers."""
    found: dict[str, Attribute] = {}
    for order, (name, a) in enumerate(raw.items()):

        def wrong(what: str, hint: str = "", *key: str, name: str = name) -> None:
            reader.wrong(ATTRIBUTES, ("attribute", name, *key), name, what, hint)

        if name in decisions:
            wrong("this is already the name of a decision.")
        if name.endswith(READ_OFF):
            wrong(f"{_KEPT_ENDING}.")
        values = {k: _value(k, v) for k, v in a.values.items()}
        if a.values_from == "items":
            values = {k: item_named(k, i) for k, i in items.items()}
        elif a.values_from in decisions:
            candidates = decisions[a.values_from].candidates
            values = {
                k: AttributeValue(k, c.means, c.words, **{key: getattr(c, key) for key in NAMED})
                for k, c in candidates.items()
            }
        elif a.values_from:
            wrong(
                f'values_from = "{a.values_from}" names neither items nor a decision.',
                near_hint(a.values_from, ("items", *decisions)),
                "values_from",
            )
        elif a.kind in ("choice", "set") and not values:
            wrong("a choice needs its allowed values.")
        if a.kind == "yes_no":
            told = {k: values.get(k, AttributeValue(k, k, ())) for k in ("yes", "no")}
            values = {k: replace(v, means=k) for k, v in told.items()}
        if a.kind == "quantity" and not a.unit:
            wrong('a quantity needs unit = "...".')
        if a.ask != "never" and not (a.question and a.help):
            wrong("something asked needs a question and a help with an example.")
        if a.formula:
            _check_formula(reader, name, a, raw, decisions)
        found[name] = Attribute(
            name,
            a.kind,
            a.group,
            a.ask,
            a.question,
            a.help,
            a.dont_know,
            a.basis,
            "count" if a.kind == "count" else a.unit,
            None,
            None,
            a.cues,
            values,
            a.formula,
            a.inputs,
            order,
            a.said,
            a.full_only,
            a.label or name.replace("_", " "),
            a.say,
            {k: Property(k, t.unit, t.basis, t.because, t.source) for k, t in a.tables.items()},
            {k: _rows(reader, name, k, t, values) for k, t in a.tables.items()},
        )
    return found


def _rows(
    reader: Reader, name: str, table: str, raw: shape.RawTable, values: Mapping[str, AttributeValue]
) -> dict[str, Value]:
    """The numbers of a table by value; every value has one or is withheld, and none has both."""
    path: Path = ("attribute", name, "tables", table)

    def wrong(what: str, hint: str = "", *key: str) -> None:
        reader.wrong(ATTRIBUTES, (*path, *key), name, f"table {table}: {what}", hint)

    rows: dict[str, Value] = {}
    for value, told in raw.of.items():
        if value not in values:
            wrong(f'"{value}" is no value of {name}.', near_hint(value, values), "of", value)
            continue
        try:
            rows[value] = entry(told, raw.unit)
        except GrammarError as error:
            wrong(f"{value}: {error}", "", "of", value)
    for value in raw.withheld:
        if value not in values:
            wrong(f'"{value}" is no value of {name}.', near_hint(value, values), "withheld")
        elif value in raw.of:
            wrong(f'"{value}" is withheld and has an entry.', "", "withheld")
    for value in values:
        if value not in raw.of and value not in raw.withheld:
            wrong(f'the value "{value}" is missing.', "Add its entry, or name it in withheld.", "of")
    return rows


def _value(slug: str, raw: shape.RawValue) -> AttributeValue:
    named = {key: getattr(raw, key) for key in NAMED}
    return AttributeValue(slug, raw.means, raw.words, raw.grave, raw.say, **named)


def item_named(slug: str, raw: shape.RawItem) -> AttributeValue:
    """An item as a value of the attribute that tells what is made."""
    named = {key: getattr(raw, key) for key in NAMED}
    return AttributeValue(slug, raw.name, raw.words, raw.grave, **named | {"label": raw.label or raw.name})


def _check_formula(
    reader: Reader,
    name: str,
    a: shape.RawAttribute,
    raw: Mapping[str, shape.RawAttribute],
    decisions: Mapping[str, Decision],
) -> None:
    path: Path = ("attribute", name)
    if a.formula not in FORMULAS:
        reader.wrong(
            ATTRIBUTES, (*path, "formula"), name, f'"{a.formula}" is no known formula.', near_hint(a.formula, FORMULAS)
        )
        return
    wanted = FORMULAS[a.formula].inputs
    if set(a.inputs) != set(wanted):
        reader.wrong(
            ATTRIBUTES,
            (*path, "inputs"),
            name,
            f"{a.formula} needs the inputs {', '.join(sorted(wanted))}; found {', '.join(sorted(a.inputs)) or 'none'}.",
        )
        return
    for parameter, origin in a.inputs.items():
        place = (*path, "inputs", parameter)
        if "." in origin:
            valid = [f"{d.name}.{p}" for d in decisions.values() for p in d.properties]
            valid += [f"{a}.{t}" for a in raw for t in raw[a].tables]
            if origin not in valid:
                reader.wrong(ATTRIBUTES, place, name, f'the input "{origin}" is no table.', near_hint(origin, valid))
                continue
            unit = "table"
        elif origin in raw:
            unit = raw[origin].unit or raw[origin].kind
        elif origin in decisions:
            unit = decisions[origin].unit or "choice"
        elif origin.removesuffix("_excluded") in decisions:
            unit = "set"
        else:
            reader.wrong(
                ATTRIBUTES, place, name, f'the input "{origin}" is not declared.', near_hint(origin, [*raw, *decisions])
            )
            continue
        if unit != wanted[parameter]:
            reader.wrong(ATTRIBUTES, place, name, f"{parameter} must be {wanted[parameter]}; {origin} is {unit}.")


def with_limits(
    reader: Reader,
    raw: Mapping[str, shape.RawAttribute],
    attributes: Mapping[str, Attribute],
    vocabulary: Vocabulary,
) -> dict[str, Attribute]:
    """The attributes with the sane range of each number, read with its unit."""

    def limit(name: str, key: str, written: str | int | None) -> float | None:
        if written is None:
            return None
        try:
            return float(parse_value(vocabulary.names[name], str(written)))
        except ValueError as error:
            reader.wrong(ATTRIBUTES, ("attribute", name, key), name, f"{key}: {error}")
            return None

    return {
        name: replace(a, low=limit(name, "low", raw[name].low), high=limit(name, "high", raw[name].high))
        for name, a in attributes.items()
    }


def make_vocabulary(
    raw: Mapping[str, shape.RawAttribute],
    attributes: Mapping[str, Attribute],
    decisions: Mapping[str, Decision],
    cautions: Mapping[str, shape.RawCaution],
    clashes: Mapping[str, shape.RawClash],
) -> Vocabulary:
    """Everything that a premise or conclusion may name."""
    names: dict[str, Name] = {}
    roles = attributes[OTHER_LEATHERS].values if OTHER_LEATHERS in attributes else ()
    for a in attributes.values():
        decision = decisions.get(raw[a.name].values_from)
        groups = groups_of(decision) if decision else {}
        names[a.name] = Name(a.name, a.kind, a.unit, frozenset(a.values), groups, computed=bool(a.formula))
    for d in decisions.values():
        candidates, groups = frozenset(d.candidates), groups_of(d)
        names[d.name] = Name(d.name, d.kind, d.unit, candidates, groups, decision=True)
        if d.kind == "choice":
            for read_off in (f"{d.name}_offered", f"{d.name}_excluded"):
                names[read_off] = Name(read_off, "set", "", candidates, groups, decision=True)
    return Vocabulary(names, frozenset(cautions), frozenset(clashes), frozenset(roles))


def groups_of(decision: Decision) -> dict[str, tuple[str, ...]]:
    """What a sentence may name besides single candidates: all of them, their groups and their properties."""
    return {ALL: tuple(decision.candidates), **decision.groups}
