"""The rule files, read a second time without the program: a small reader of premises and conclusions."""

from __future__ import annotations

import hashlib
import re
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

MM = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": 25.4, "inch": 25.4, "ft": 304.8, "oz_leather": 25.4 / 64}
STRENGTHS = {"slightly": "slight", "clearly": "clear", "strongly": "strong"}
SOLD = ("thinnest", "thickest")
VERBS = r"is one of|is none of|is not|is|includes one of|includes|lacks|<=|>=|<|>|between"


def taking(item: Any, files: list[Any]) -> Any:
    """An item with what it leaves to its make and then to its family; ``files`` are those of the items."""
    whole = dict(item)
    for giver in [t for d in files if (t := d.get("make", {}).get(item.get("make")))] + [
        t for d in files if (t := d.get("family", {}).get(item["family"]))
    ]:
        own = {text.split(" ")[0] for text in whole.get("suppose", [])}
        more = [text for text in giver.get("suppose", []) if text.split(" ")[0] not in own]
        cut = {p.get("of") for p in whole.get("piece", [])}
        parts = {k: p for k, p in giver.get("parts", {}).items() if k in cut} | whole.get("parts", {})
        whole = giver | whole | {"suppose": [*whole.get("suppose", []), *more], "parts": parts}
    return whole


def named_together(decision: Any) -> dict[str, list[str]]:
    """The candidates by every name of several: groups, properties, words of a property, all, and what one is like."""
    candidates = decision.get("candidates", {})
    found = {"all": list(candidates), **decision.get("groups", {})}
    for name, column in decision.get("properties", {}).items():
        if column.get("unit") == "yes_no":
            found[name] = [c for c, told in candidates.items() if name in told["yes"]]
        for word in column.get("values", ()):
            found[f"{name}_{word}"] = [c for c, told in candidates.items() if told[name] == word]
    for c in candidates:
        if like := [other for other, told in candidates.items() if told.get("like") == c]:
            found[c] = [c, *like]
    return found


class Rules:
    """The rule files, read anew: what is declared, and every rule with its conditions and conclusions."""

    def __init__(self, folder: Path) -> None:
        names = [f"{n}.toml" for n in ("rulebase", "attributes", "decisions", "sources", "cautions", "clashes")]
        names += [f"{sub}/{p.name}" for sub in ("items", "rules") for p in sorted((folder / sub).glob("*.toml"))]
        names += [n for n in ("checks.toml", "fittings.toml") if (folder / n).exists()]
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
        self.named = {name: named_together(d) for name, d in self.decisions.items()}
        self.instead = data.get("fittings.toml", {}).get("instead", {})
        of_items = [data[name] for name in names if name[:6] == "items/"]
        self.items = {k: taking(i, of_items) for d in of_items for k, i in d.get("item", {}).items()}
        for slug, item in self.items.items():
            self.of_item(slug, item)
        for rule in (r for name in names if name[:6] == "rules/" for r in data[name]["rule"]):
            self.add(rule, [(t, None) for t in rule["then"]], None)

    def of_item(self, slug: str, item: Any) -> None:
        """What an item takes for granted and prefers, as rules of its own."""
        called = item.get("label", item["name"])
        named = f"{item.get('article', 'an' if called[:1].lower() in 'aeiou' else 'a')} {called}"
        habits = [*(f"suppose {s}" for s in item.get("suppose", ())), f"family is {item['family']}"]
        habits += ["may_bear is yes"] * item.get("may_bear", False)
        cut = {p.get("of") for p in item.get("piece", [])}
        roles = [p.get("role", name) for name, p in item.get("parts", {}).items() if name in cut and "bought" not in p]
        known = self.attributes["other_leathers"]["values"]
        habits += [f"other_leathers includes {role}" for role in sorted(set(roles)) if role in known]
        then: dict[str, Any] = {"habits": [(h, None) for h in habits], "ranking": []}
        adverb = {v: k for k, v in STRENGTHS.items()}
        for table in ("tannage", "avoid", "grain", "temper", "cut"):
            decision = table.replace("avoid", "tannage")
            own = item.get("tannage", {}) | item.get("avoid", {}) if decision == "tannage" else item.get(table, {})
            for candidate, r in item.get(table, {}).items():
                act, step = ("favour", r["favour"]) if "favour" in r else ("disfavour", r["against"])
                how = f"{act} {decision} {candidate} {adverb[step]}"
                then["ranking"] += self.ranked(decision, candidate, how, r["because"], set(own))
        w = item.get("weight", {"because": "", "min": 0})
        for kind, low, high in (("workable-weight", "min", "max"), ("usual-weight", "usual_low", "usual_high")):
            then[kind] = [
                (f"weight at {side} {self.values('weight', w[key])[0]} mm", None)
                for side, key in (("least", low), ("most", high))
                if "max" in w
            ]
        then |= self.sold(named, w) if "max" in w else {}
        least, most = (f"{self.values('weight', w[end])[0]:g}" if "max" in w else "" for end in ("min", "max"))
        because = {
            "sold": f"Not every leather is sold in the thickness that {named} needs.",
            "sold-usual": f"Not every leather is sold in the thickness that {named} usually has.",
            "habits": f"{named.capitalize()} is usually made and used like this.",
            "usual-weight": w["because"],
            "ranking": f"Makers use these leathers for {named}.",
            "workable-weight": f"{named.capitalize()} is made of leather {least} to {most} mm thick.",
        }
        for kind, said in then.items():
            self.add(
                {
                    "id": f"{slug}/{kind}",
                    "when": [f"item is {slug}", *["wished_tannage is unknown"] * (kind == "sold-usual")],
                    "because": because[kind],
                    "force": "must" if kind in ("workable-weight", "sold") else "should",
                    "concern": "item habit",
                    "basis": item.get("basis", "common practice"),
                    "source": w.get("source", []) if kind == "usual-weight" else [],
                },
                said,
                slug,
            ) if said else None
        for name, part in item.get("parts", {}).items():
            self.of_part(slug, named, item, name, part)

    def of_part(self, slug: str, named: str, item: Any, name: str, part: Any) -> None:
        """What an item says of one leather besides the main one: tannages, the best first, animal, thickness."""
        of, then, when = f"of the {name}", list[Any](), [f"item is {slug}"]
        ends = [self.values("weight", part[k])[0] if part.get(k) else None for k in ("thinnest", "thickest")]
        tannages = []
        for tannage in part.get("tannage", ()):
            tannages.append(tannage)
            for other in self.named["tannage"].get(tannage, [])[1:]:
                sold = [self.values("weight", self.decisions["tannage"]["candidates"][other][k])[0] for k in SOLD]
                fits = None in ends or sold[0] <= ends[0] <= ends[1] <= sold[1]
                tannages += [other] * (fits and other not in part["tannage"])
        words = ("strongly", "clearly", *["slightly"] * len(tannages))
        then += [(f"favour tannage {of} {t} {how}", None, [t]) for t, how in zip(tannages, words, strict=False)]
        then += [(f"favour species {of} {part['species']} strongly", None)] if part.get("species") else []
        unsold = [] if None in ends or not tannages else list(self.unsold(*ends))
        if unsold:
            because = f"It is not sold at {ends[0]:g} to {ends[1]:g} mm."
            then.append((f"exclude tannage {of} {', '.join(unsold)}", because, unsold))
        sides = zip(("least", "most"), ends, strict=True)
        thick = [(f"weight {of} at {side} {mm:g} mm", None) for side, mm in sides if mm is not None]
        if other := self.instead.get(part.get("follows", "")):
            leathers = [v for v in self.attributes[part["follows"]]["values"] if v not in other]
            when.append(f"{part['follows']} is one of {', '.join(leathers)}")
        rule = {"id": f"{slug}/{name}", "when": when, "force": "should", "concern": "item habit"}
        rule["because"] = f"The {name.replace('_', ' ')} of {named}: {part['what']}."
        rule["basis"] = item.get("basis", "common practice")
        if then:
            self.add(rule, then, slug)
        if thick:
            self.add(rule | {"id": f"{slug}/{name}-thickness", "force": "must"}, thick, slug)

    def unsold(self, low: float, high: float) -> Iterator[str]:
        """The tannages that share hardly anything with these thicknesses, mm."""
        for tannage, told in self.decisions["tannage"]["candidates"].items():
            thin, thick = (self.values("weight", told[k])[0] for k in SOLD)
            if round(min(high, thick) - max(low, thin), 3) < round(min(0.2, high - low), 3):
                yield tannage

    def ranked(self, decision: str, candidate: str, how: str, because: str, own: set[str]) -> list[Any]:
        """A ranking, and those of what is like the candidate: a step behind it, unless ranked by itself."""
        told = self.decisions[decision]["candidates"]
        if candidate not in told:
            among = [c for c in self.named[decision][candidate] if not {c, told[c].get("like")} & own]
            return [(how, because, among)] if among else []
        found = [(how, because, [candidate])]
        for other in self.named[decision].get(candidate, [])[1:]:
            if other not in own:
                label = told[candidate].get("label", candidate.replace("_", " "))
                behind, of_it = how.replace(f" {candidate} ", f" {other} "), because
                if how.startswith("favour"):
                    behind = behind.replace("clearly", "slightly").replace("strongly", "clearly")
                    of_it = f"{because.removesuffix('.')} (like {label})."
                found.append((behind, of_it, [other]))
        return found

    def sold(self, named: str, w: Any) -> dict[str, Any]:
        """The tannages that are not sold as thick as an item needs, and those that hardly are."""
        ends = {k: self.values("weight", w[k])[0] for k in ("min", "max", "usual_low", "usual_high")}
        then: dict[str, Any] = {"sold": [], "sold-usual": []}
        for tannage, told in self.decisions["tannage"]["candidates"].items():
            thin, thick = (self.values("weight", told[k])[0] for k in ("thinnest", "thickest"))
            sold = f"It is sold at {thin:g} to {thick:g} mm, and {named}"
            low, high, usual_low, usual_high = ends["min"], ends["max"], ends["usual_low"], ends["usual_high"]
            if min(high, thick) - max(low, thin) < min(0.2, high - low):
                then["sold"].append((f"exclude tannage {tannage}", f"{sold} needs {low:g} to {high:g} mm."))
            elif min(usual_high, thick) - max(usual_low, thin) < (usual_high - usual_low) / 2:
                usual = f"{sold} usually has {usual_low:g} to {usual_high:g} mm."
                then["sold-usual"].append((f"disfavour tannage {tannage} clearly", usual))
        return then

    def add(self, rule: Any, then: Any, item: str | None) -> None:
        """One rule, its sentences read."""
        when = [p for text in rule["when"] for p in self.premise(" ".join(text.split()))]
        said = []
        for text, because, *among in then:
            c = self.conclusion(" ".join(text.split()), because or rule["because"])
            said.append((*c[:2], tuple(among[0]), *c[3:]) if among else c)
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
        name = name.partition(" of the ")[0]
        told = self.told.get(re.sub("_(offered|excluded)$", "", name), {})
        if told.get("kind") in ("quantity", "count"):
            number, _, unit = text.partition(" ")
            factor = 1.0 if unit in ("", told.get("unit")) else MM[unit] / MM[told["unit"]]
            return (round(float(number) * factor, 3),)
        kept, _, dropped = text.partition(" but ")
        words = re.split(r"\s*,\s*", kept)
        gone = self.values(name, dropped) if dropped else ()
        groups = self.named.get(told.get("values_from", re.sub("_(offered|excluded)$", "", name)), {})
        return tuple(v for v in dict.fromkeys(w for word in words for w in groups.get(word, [word])) if v not in gone)

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
        if verb in ("is", "is one of", "includes one of"):
            return [(name, "is", found, None, text)]
        if verb == "includes":
            return [(name, "is", self.values(name, word), None, text) for word in re.split(r"\s*,\s*", rest)]
        return [(name, verb.replace("none of", "not"), (v,), None, text) for v in found]

    def conclusion(self, text: str, because: str) -> Any:
        """A conclusion as (act, target, values, name they come from, strength, text, because)."""
        verb, _, rest = text.partition(" ")
        if verb in ("caution", "clash", "outcome"):
            return (verb, rest, (), None, "", text, because)
        if verb in ("exclude", "require", "favour", "disfavour"):
            target, _, words = re.sub(r"^(\w+) of the (\w+) ", r"\1~of~the~\2 ", rest).partition(" ")
            target = target.replace("~", " ")
            words, last = words.rsplit(" ", 1) if verb.endswith("favour") else (words, "")
            act, strength = verb, STRENGTHS.get(last, "must")
            taken = words[9:] if words.startswith("those in ") else None
        else:
            found = re.fullmatch(r"(suppose )?(\w+(?: of the \w+)?) (is|includes|at least|at most) (.+)", text)
            supposed, target, act, words = found.groups()  # type: ignore[union-attr]
            act, strength = "suppose" if supposed else {"is": "set", "includes": "add"}.get(act, act), ""
            taken = words if act[:3] == "at " and words in self.told else None
        return (act, target, () if taken else self.values(target, words), taken, strength, text, because)
