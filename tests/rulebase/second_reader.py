"""The rule files, read a second time without the program: a small reader of premises and conclusions."""

from __future__ import annotations

import hashlib
import re
import tomllib
from pathlib import Path
from typing import Any

MM = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": 25.4, "inch": 25.4, "ft": 304.8, "oz_leather": 25.4 / 64}
STRENGTHS = {"slightly": "slight", "clearly": "clear", "strongly": "strong"}
VERBS = r"is one of|is none of|is not|is|includes one of|includes|lacks|<=|>=|<|>|between"


class Rules:
    """The rule files, read anew: what is declared, and every rule with its conditions and conclusions."""

    def __init__(self, folder: Path) -> None:
        names = [f"{n}.toml" for n in ("rulebase", "attributes", "decisions", "sources", "cautions", "clashes")]
        names += [f"{sub}/{p.name}" for sub in ("items", "rules") for p in sorted((folder / sub).glob("*.toml"))]
        names += [n for n in ("checks.toml",) if (folder / n).exists()]
        names += [f"{sub}/{p.name}" for sub in ("words", "words/things") for p in sorted((folder / sub).glob("*.toml"))]
        digest, data = hashlib.sha256(), {}
        for name in names:
            raw = (folder / name).read_bytes()
            digest.update(name.encode() + b"\0" + hashlib.sha256(raw).digest())
            data[name] = tomllib.loads(raw.decode())
        self.sha256, (base, attributes, decisions, sources, cautions, clashes) = (
            digest.hexdigest(),
            list(data.values())[:6],
        )
        self.base, self.attributes, self.decisions = base, attributes["attribute"], decisions["decision"]
        self.sources, self.cautions, self.clashes = sources["source"], cautions["caution"], clashes["clash"]
        self.told, self.rules = self.attributes | self.decisions, dict[str, Any]()
        self.items = {k: i for name in names if name[:6] == "items/" for k, i in data[name]["item"].items()}
        for slug, item in self.items.items():
            self.of_item(slug, item)
        for rule in (r for name in names if name[:6] == "rules/" for r in data[name]["rule"]):
            self.add(rule, [(t, None) for t in rule["then"]], None)

    def of_item(self, slug: str, item: Any) -> None:
        """What an item takes for granted and prefers, as rules of its own."""
        named = f"{'an' if item['name'][:1].lower() in 'aeiou' else 'a'} {item['name']}"
        habits = [*(f"suppose {s}" for s in item.get("suppose", ())), f"family is {item['family']}"]
        habits += ["may_bear is yes"] * item.get("may_bear", False)
        then: dict[str, Any] = {"habits": [(h, None) for h in habits], "ranking": []}
        adverb = {v: k for k, v in STRENGTHS.items()}
        for table in ("tannage", "avoid", "grain", "temper", "cut"):
            for candidate, r in item.get(table, {}).items():
                how = (
                    f"{'favour' if 'favour' in r else 'disfavour'} {table.replace('avoid', 'tannage')} {candidate} "
                    f"{adverb[r.get('favour') or r['against']]}"
                )
                then["ranking"].append((how, r["because"]))
        w = item.get("weight", {"because": "", "min": 0})
        for kind, low, high in (("workable-weight", "min", "max"), ("usual-weight", "usual_low", "usual_high")):
            then[kind] = [
                (f"weight at {side} {self.values('weight', w[key])[0]} mm", None)
                for side, key in (("least", low), ("most", high))
                if "max" in w
            ]
        because = {
            "habits": f"{named.capitalize()} is usually made and used so.",
            "usual-weight": w["because"],
            "ranking": f"The leathers makers take for {named}.",
            "workable-weight": f"Outside this range {named} cannot be made as described.",
        }
        for kind, said in then.items():
            self.add(
                {
                    "id": f"{slug}/{kind}",
                    "when": [f"item is {slug}"],
                    "because": because[kind],
                    "force": "must" if kind == "workable-weight" else "should",
                    "concern": "item habit",
                    "basis": item.get("basis", "common practice"),
                },
                said,
                slug,
            ) if said else None

    def add(self, rule: Any, then: Any, item: str | None) -> None:
        """One rule, its sentences read."""
        when = [p for text in rule["when"] for p in self.premise(" ".join(text.split()))]
        said = [self.conclusion(" ".join(text.split()), because or rule["because"]) for text, because in then]
        when += [
            (c[3], "known", (), None, f"{c[3]} is known")
            for c in said
            if c[3] and not any(p[:2] == (c[3], "known") for p in when)
        ]
        self.rules[rule["id"]] = {
            "source": [],
            "over": [],
            "over_because": "",
            "item": item,
            "order": "",
            **rule,
            "when": list(dict.fromkeys(when)),
            "then": said,
        }

    def values(self, name: str, text: str) -> tuple[Any, ...]:
        """Words, groups of candidates spelt out, or a number in the declared unit."""
        told = self.told.get(re.sub("_(offered|excluded)$", "", name), {})
        if told.get("kind") in ("quantity", "count"):
            number, _, unit = text.partition(" ")
            factor = 1.0 if unit in ("", told.get("unit")) else MM[unit] / MM[told["unit"]]
            return (round(float(number) * factor, 3),)
        groups = (
            self.decisions.get(told["values_from"], {}).get("groups", {})
            if "values_from" in told
            else told.get("groups", {})
        )
        return tuple(dict.fromkeys(w for word in re.split(r"\s*,\s*", text) for w in groups.get(word, [word])))

    def premise(self, text: str) -> list[Any]:
        """A premise as conditions (name, sign, values, other name, text)."""
        if known := re.fullmatch(r"(\w+) is (known|unknown)", text):
            return [(known[1], known[2], (), None, text)]
        if told := re.fullmatch(r"(\w+) is (un)?answered", text):
            return [(f"{told[1]}_answered", f"{told[2] or ''}known", (), None, text)]
        name, verb, rest = re.fullmatch(rf"(\w+) ({VERBS}) (.+)", text).groups()  # type: ignore[union-attr]
        if verb == "between":
            ends = zip((">=", "<="), rest.split(" and "), strict=True)
            return [(name, sign, self.values(name, end), None, text) for sign, end in ends]
        if verb[0] in "<>":
            return [
                (
                    name,
                    verb,
                    () if rest in self.told else self.values(name, rest),
                    rest if rest in self.told else None,
                    text,
                )
            ]
        found = self.values(name, rest)
        if verb.endswith("one of") and "none" not in verb:
            return [(name, "is", found, None, text)]
        return [(name, {"is none of": "is not", "includes": "is"}.get(verb, verb), (v,), None, text) for v in found]

    def conclusion(self, text: str, because: str) -> Any:
        """A conclusion as (act, target, values, name they come from, strength, text, because)."""
        verb, _, rest = text.partition(" ")
        if verb in ("caution", "clash", "outcome"):
            return (verb, rest, (), None, "", text, because)
        if verb in ("exclude", "require", "favour", "disfavour"):
            target, _, words = rest.partition(" ")
            words, last = words.rsplit(" ", 1) if verb.endswith("favour") else (words, "")
            act, strength = verb, STRENGTHS.get(last, "must")
            taken = words[9:] if words.startswith("those in ") else None
        else:
            found = re.fullmatch(r"(suppose )?(\w+) (is|includes|at least|at most) (.+)", text)
            supposed, target, act, words = found.groups()  # type: ignore[union-attr]
            act, strength = "suppose" if supposed else {"is": "set", "includes": "add"}.get(act, act), ""
            taken = words if act[:3] == "at " and words in self.told else None
        return (act, target, () if taken else self.values(target, words), taken, strength, text, because)
