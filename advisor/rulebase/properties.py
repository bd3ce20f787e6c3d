"""What is declared of the candidates of a decision: numbers, words, and what each of them is and is not.

A yes-or-no property is a name for those that have it, a property of words one for each of its words (``sold_waxed``),
and a candidate one for itself and those that are declared to be like it. So rules, checks and rankings name what
matters, and a new candidate stands wherever its properties do. Mistakes are noted with the reader.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping

from ..errors import shown
from . import files as shape
from .grammar import GrammarError, parse_amount
from .models import Property, Value
from .reading import near_hint

Table = Mapping[str, object]
Wrong = Callable[..., None]
"""Notes a mistake: path below the decision, subject, what is wrong and a hint."""
YES, NO, LIKE = "yes", "no", "like"
SAID = (YES, NO, LIKE)
"""The keys of a candidate that say what it is, what it is not, and which candidate it is like."""
_LISTED = "yes = [...] or no = [...]"


def make_properties(raw: shape.RawDecision, wrong: Wrong) -> dict[str, Property]:
    """The columns beside the candidates; one of yes and no says in words what it means."""
    found: dict[str, Property] = {}
    for key, p in raw.properties.items():
        where = ("properties", key)
        if p.unit == "yes_no" and not (p.label and p.means):
            wrong(where, key, 'a property of yes and no needs label = "..." and means = "...".')
        if p.values and p.unit != "word":
            wrong((*where, "values"), key, 'only a property of unit = "word" lists its values.')
        for slug in p.sources.keys() - raw.candidates.keys():
            wrong((*where, "sources", slug), key, f'"{slug}" is no candidate.', near_hint(slug, raw.candidates))
        found[key] = Property(key, p.unit, p.basis, p.because, p.source, p.label, p.means, p.values, p.sources)
    return found


def unsaid(raw: shape.RawDecision, columns: Mapping[str, Property], wrong: Wrong) -> frozenset[str]:
    """The properties of yes and no that no candidate says yet, each noted once with all that have to say it."""
    said = {str(key) for table in raw.candidates.values() for key in _all_said(table)}
    flags = [key for key, column in columns.items() if column.unit == "yes_no" and key not in said]
    for key in flags if len(raw.candidates) > 1 else ():
        what = f"no candidate says whether it {columns[key].label}."
        names = ", ".join(raw.candidates)
        wrong(("properties", key), key, what, f'Put "{key}" in {_LISTED} of each of these: {names}.')
    return frozenset(flags) if len(raw.candidates) > 1 else frozenset()


def _all_said(table: Table) -> Iterator[object]:
    for answer in (YES, NO):
        said = table.get(answer, [])
        yield from said if isinstance(said, list) else ()


def read_properties(
    slug: str, table: Table, columns: Mapping[str, Property], wrong: Wrong, unsaid: Collection[str] = ()
) -> dict[str, Value]:
    """All that is declared of one candidate, by property; numbers in their unit, else words.

    What is ``unsaid`` by every candidate is a mistake of the property and not noted again.
    """
    place = ("candidates", slug)
    flags = {key for key, column in columns.items() if column.unit == "yes_no"}
    values: dict[str, Value] = {}
    for answer in (YES, NO):
        said = table.get(answer, [])
        if not isinstance(said, list):
            wrong((*place, answer), slug, f"{answer} is a list of properties.")
            continue
        for n, key in enumerate(said):
            if key not in flags:
                what = f'"{key}" is no property of yes and no.'
                wrong((*place, answer, n), slug, what, _words(str(key), flags))
            elif key in values:
                wrong((*place, answer, n), slug, f'"{key}" is said twice; say yes or no once.')
            else:
                values[key] = answer
    for key in table.keys() & flags:
        wrong((*place, key), slug, f'"{key}" is answered by yes or no.', f"Put its name in {_LISTED}.")
    missing = sorted(flags - values.keys() - set(unsaid))
    if missing:
        what = f"it is said neither to be nor not to be: {', '.join(missing)}."
        wrong(place, slug, what, f"Put each in {_LISTED}; every candidate says all.")
    for key, column in columns.items():
        if key in flags:
            continue
        if key not in table:
            hint = f"Expected one of {', '.join(column.values)}." if column.values else ""
            wrong(place, slug, f'the property "{key}" is missing; every candidate needs it.', hint)
            continue
        try:
            values[key] = entry(table[key], column.unit)
        except GrammarError as error:
            wrong((*place, key), slug, f"{key}: {error}")
            continue
        if column.values and values[key] not in column.values:
            what = f"{key}: {shown(str(values[key]))} is no value of it."
            wrong((*place, key), slug, what, _words(str(values[key]), column.values))
    return values


def _words(word: str, valid: Mapping[str, str] | set[str]) -> str:
    near = near_hint(word, valid)
    return f"{near} Expected one of {', '.join(sorted(valid))}.".strip()


def entry(found: object, unit: str) -> Value:
    """A candidate's number in its column's unit, or the word in a column of words."""
    if unit == "plain":
        if isinstance(found, bool) or not isinstance(found, int | float):
            raise GrammarError(f"expected a plain number, found {found!r}.")
        return float(found)
    if not isinstance(found, str):
        expected = "a word" if unit == "word" else f"a quantity with its unit, such as 18 {unit}"
        raise GrammarError(f"expected {expected}, found {found!r}.")
    return found if unit == "word" else parse_amount(found, unit)


def derived_groups(
    raw: shape.RawDecision, columns: Mapping[str, Property], values: Mapping[str, Mapping[str, Value]], wrong: Wrong
) -> dict[str, tuple[str, ...]]:
    """The declared groups with those that follow from properties and likeness, each in declared order."""
    groups = dict(raw.groups)

    def add(group: str, place: tuple[str, ...], value: str, key: str) -> None:
        if group in raw.groups or group in raw.candidates:
            wrong(place, group, f'"{group}" is already the name of a group or a candidate.', "Use another name.")
        groups[group] = tuple(slug for slug, told in values.items() if told.get(key) == value)

    for key, column in columns.items():
        if column.unit == "yes_no":
            add(key, ("properties", key), YES, key)
        for word in column.values:
            add(f"{key}_{word}", ("properties", key, "values", word), word, key)
    for slug, table in raw.candidates.items():
        if LIKE not in table:
            continue
        place, model = ("candidates", slug, LIKE), str(table[LIKE])
        if model not in raw.candidates or model == slug:
            what = f"{shown(model)} is no other candidate."
            wrong(place, slug, what, near_hint(model, raw.candidates.keys() - {slug}))
        elif LIKE in raw.candidates[model]:
            wrong(place, slug, f'"{model}" is itself like another.', f'Name "{raw.candidates[model][LIKE]}" instead.')
        else:
            groups[model] = (*groups.get(model, (model,)), slug)
    return groups
