"""A provenance document, record by record, written as PROV-JSON.

PROV-DM is a W3C Recommendation of 30 April 2013; PROV-JSON is a W3C Member Submission of 24 April
2013. Only what both name is written: three kinds of things, their relations, and typed values. The
same records give the same bytes: keys are sorted and relations are numbered in the order of adding.
What the records mean is not known here.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from typing import NamedTuple

Plain = str | float | int | bool
Values = Plain | None | Iterable[Plain]


class Name(NamedTuple):
    """A qualified name such as ``prov:Plan``, as a value."""

    text: str


class Document:
    """Gathers entities, activities, agents and relations. ``prefixes`` maps each prefix to its namespace."""

    def __init__(self, prefixes: dict[str, str]) -> None:
        self._prefixes = prefixes
        self._records: dict[str, dict[str, object]] = {"prefix": dict(prefixes)}
        self._relations = 0

    def bundle(self, identifier: str) -> Document:
        """A document within this one, with the same prefixes; an entity of that name tells of it."""
        inside = Document(dict(self._prefixes))
        self._records.setdefault("bundle", {})[identifier] = inside._records
        return inside

    def has(self, identifier: str) -> bool:
        """Whether something of that name was added."""
        return any(identifier in self._records.get(kind, {}) for kind in ("entity", "activity", "agent"))

    def entity(self, identifier: str, *types: str, **attributes: Values | Name) -> str:
        """A thing. Attributes go under ``adv:``, but for ``value`` and ``label``, which PROV names itself."""
        return self._thing("entity", identifier, types, attributes)

    def activity(self, identifier: str, *types: str, **attributes: Values | Name) -> str:
        """Something that was done."""
        return self._thing("activity", identifier, types, attributes)

    def agent(self, identifier: str, *types: str, **attributes: Values | Name) -> str:
        """Somebody or something that bears responsibility."""
        return self._thing("agent", identifier, types, attributes)

    def _thing(self, kind: str, identifier: str, types: Iterable[str], attributes: dict[str, Values | Name]) -> str:
        body = _attributes(attributes)
        names = [_literal(Name(t)) for t in types]
        if names:
            body["prov:type"] = names if len(names) > 1 else names[0]
        place = self._records.setdefault(kind, {})
        assert identifier not in place, f"{identifier} was added before"
        place[identifier] = body
        return identifier

    def used(self, activity: str, entity: str, **attributes: Values | Name) -> None:
        """The activity used the entity; ``role`` says as what."""
        self._relation("used", {"prov:activity": activity, "prov:entity": entity}, attributes)

    def generated(self, entity: str, activity: str) -> None:
        """The activity brought the entity about."""
        self._relation("wasGeneratedBy", {"prov:entity": entity, "prov:activity": activity})

    def invalidated(self, entity: str, activity: str) -> None:
        """The activity put an end to the entity."""
        self._relation("wasInvalidatedBy", {"prov:entity": entity, "prov:activity": activity})

    def derived(self, entity: str, source: str, activity: str | None = None, kind: str | None = None) -> None:
        """The entity rests on another; ``kind`` is a subtype such as ``prov:Revision``."""
        ends = {"prov:generatedEntity": entity, "prov:usedEntity": source}
        if activity is not None:
            ends["prov:activity"] = activity
        self._relation("wasDerivedFrom", ends, {"type": Name(kind)} if kind else {})

    def associated(self, activity: str, agent: str, plan: str | None = None) -> None:
        """The agent did the activity, following the plan."""
        ends = {"prov:activity": activity, "prov:agent": agent}
        self._relation("wasAssociatedWith", ends | ({"prov:plan": plan} if plan is not None else {}))

    def attributed(self, entity: str, agent: str) -> None:
        """The entity is owed to the agent."""
        self._relation("wasAttributedTo", {"prov:entity": entity, "prov:agent": agent})

    def member(self, collection: str, entity: str) -> None:
        """The collection holds the entity."""
        self._relation("hadMember", {"prov:collection": collection, "prov:entity": entity})

    def _relation(self, kind: str, ends: dict[str, str], attributes: dict[str, Values | Name] | None = None) -> None:
        self._relations += 1
        self._records.setdefault(kind, {})[f"_:r{self._relations:06}"] = ends | _attributes(attributes or {})

    def text(self) -> str:
        """The document as PROV-JSON, with a line end."""
        return json.dumps(self._records, indent=1, sort_keys=True, ensure_ascii=False) + "\n"


_OF_PROV = ("value", "label", "role", "type")


def _attributes(attributes: dict[str, Values | Name]) -> dict[str, object]:
    body: dict[str, object] = {}
    for name, value in attributes.items():
        key = f"prov:{name}" if name in _OF_PROV else f"adv:{name}"
        if value is None:
            continue
        if isinstance(value, Name | str | float | int):
            body[key] = _literal(value)
            continue
        # Equal values say the same twice, and a list of one is no list.
        several = list(dict.fromkeys(value))
        if several:
            body[key] = [_literal(v) for v in several] if len(several) > 1 else _literal(several[0])
    return body


def _literal(value: Plain | Name) -> object:
    if isinstance(value, Name):
        return {"$": value.text, "type": "xsd:QName"}
    if isinstance(value, bool | str):
        return value
    if isinstance(value, int):
        return {"$": str(value), "type": "xsd:int"}
    return {"$": repr(value), "type": "xsd:double"}
