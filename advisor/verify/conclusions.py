"""What the steps come to: choices, window, patterns, outcome, cautions, conflicts, grades of evidence."""

import hashlib
import json
import math
import re
from decimal import Decimal
from typing import Any

from .steps import CONCERNS, FORCES, GRADES, Steps
from .values import demand, label, measure, same

POINTS = {"slight": 1, "clear": 2, "strong": 3}
OUTCOMES = ("refuse", "defer", "another_material", "ok_with_conditions", "ok")


class Check(Steps):
    """One advice against the rules. ``run`` raises Fault at the first step that does not hold."""

    def run(self) -> None:
        """Everything, from the rule base to the grades of evidence."""
        same(self.advice["rulebase"], "rule base", sha256=self.r.sha256, name=self.r.base["name"])
        for key, n in self.nodes.items():
            text = json.dumps(n, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
            demand(key == hashlib.sha256(text.encode()).hexdigest()[:12], label(n), "its id does not fit what it says")
            demand(
                all(k in self.nodes for k in n["from"] + n["besides"]), label(n), "it stands on a node that is missing"
            )
        self.read_facts()
        self.check_rules()
        for name in self.r.attributes:
            self.check_attribute(name)
        for name, table in self.r.decisions.items():
            self.check_choice(name) if table["kind"] == "choice" else self.check_window(name)
        self.check_endings()
        self.check_grades()

    def check_choice(self, name: str) -> None:
        """The exclusions, every entry of the ledger, what counts, and the choice that follows."""
        node, step, candidates = self.root(name), f"choice {name}", list(self.r.decisions[name]["candidates"])
        item = (self.facts["item"] or [None])[0]
        ranks = {c[1] for c in self.r.rules.get(f"{item}/ranking", {"then": ()})["then"] if c[0] == "favour"}
        entries: dict[Any, Any] = {}
        out: dict[str, list[str]] = {}
        claims = self.claims(name, "exclude", "require", "favour", "disfavour")
        ranked = any(a == "favour" and r["concern"] in CONCERNS[7:] and not self.winner(r["id"]) for r, a, *_ in claims)
        for rule, act, values, strength, because in claims:
            by, must = self.winner(rule["id"]), act in ("exclude", "require")
            for c in [c for c in candidates if c not in values] if act == "require" else values:
                if must and not by and rule["id"] not in out.setdefault(c, []):
                    out[c].append(rule["id"])
                habit = not must and not rule["item"] and name in ranks and self.own_facts(rule)
                aside = f"withdrawn by {by}" if by else "already in the item's own ranking" if habit else None
                entries.setdefault(
                    (rule["id"], act, c),
                    {
                        "candidate": c,
                        "act": act,
                        "strength": strength,
                        "rule": rule["id"],
                        "because": because,
                        "counts": aside is None,
                        "set_aside": aside,
                    },
                )
        view = self.advice["decisions"][name]
        if node is None:
            demand(not entries and not view["chosen"], step, "it has no node")
            return
        for found, where in ((node["entries"], step), (view["ledger"], f"{step}, ledger")):
            told = {(e["rule"], e["act"], e["candidate"]): e for e in found}
            other = sorted(set(told) ^ set(entries))[:2]
            demand(not other and len(told) == len(found), where, f"entries that should not be, or are missing: {other}")
            for key, entry in entries.items():
                same(told[key], f"{where}, {key[0]}", **entry)
        balance, against, eligible = dict.fromkeys(candidates, 0), dict.fromkeys(candidates, 0), set[str]()
        for e in (e for e in entries.values() if e["counts"] and e["act"].endswith("favour")):
            sign = 1 if e["act"] == "favour" else -1
            balance[e["candidate"]] += sign * POINTS[e["strength"]]
            against[e["candidate"]] += sign < 0
            concern = CONCERNS.index(self.r.rules[e["rule"]]["concern"])
            eligible |= {e["candidate"]} if sign > 0 and (concern <= 5 or concern >= 7) else set()
        eligible = eligible if ranked else set(candidates)
        cost = {c: t["price"] for c, t in self.r.decisions[name]["candidates"].items() if "price" in t} or node["costs"]
        worth = [c for c in candidates if c in eligible and not out.get(c) and (balance[c] > 0 or not ranked)]
        worth = worth if any(e["counts"] for e in entries.values()) else []
        worth.sort(key=lambda c: (-balance[c], against[c], Decimal(str(cost.get(c, "Infinity"))), candidates.index(c)))
        chosen = [c for c in worth if balance[c] == balance[worth[0]]] if ranked else worth[:1]
        out = {c: rules for c, rules in out.items() if rules}
        same(node, step, chosen=chosen, also_fits=[c for c in worth if c not in chosen], excluded=out)
        barred = self.advice["outcome"] in ("refuse", "another_material")
        same(view, step, chosen=[] if barred else chosen, excluded=out, also_fits=[] if barred else node["also_fits"])
        if any(e["counts"] for e in entries.values()) and not worth:
            self.clashes.append(name)
        rivals = (
            [c for c in out if c in eligible and (not chosen or balance[c] > balance[chosen[0]])]
            if chosen
            else list(out)
        )
        deciding = {
            e["by"]
            for e in node["entries"]
            if e["counts"]
            and (e["candidate"] in chosen[:1] or (e["candidate"] in rivals and e["act"] in ("exclude", "require")))
        }
        demand(deciding == set(node["from"]), step, "it stands on other rules than those that decide")
        for e in node["entries"]:
            by = self.nodes[e["by"]]
            demand(e["rule"] in (by.get("rule"), by.get("loser")), step, f"the entry of {e['rule']} has another node")

    def check_window(self, name: str) -> None:
        """Every bound and where they meet."""
        node, view, step = self.root(name), self.advice["decisions"][name], f"window {name}"
        rows = [
            {
                "side": act,
                "mm": values[0],
                "rule": r["id"],
                "force": r["force"],
                "concern": r["concern"],
                "set_aside": f"withdrawn by {w}" if (w := self.winner(r["id"])) else None,
            }
            for r, act, values, *_ in self.claims(name, "at least", "at most")
        ]
        live = [b for b in rows if not b["set_aside"]]
        low = max((b["mm"] for b in live if b["force"] == "must" and b["side"] == "at least"), default=None)
        high = min((b["mm"] for b in live if b["force"] == "must" and b["side"] == "at most"), default=None)
        feasible = [low, high]
        clash = low is not None and high is not None and low > high
        for b in sorted(
            (b for b in live if b["force"] != "must" and not clash),
            key=lambda b: (CONCERNS.index(b["concern"]), -FORCES.index(b["force"])),
        ):
            mm, least = b["mm"], b["side"] == "at least"
            if (least and high is not None and mm > high) or (not least and low is not None and mm < low):
                b["set_aside"] = "leaves nothing under the other bounds"
            elif least:
                low = mm if low is None else max(low, mm)
            else:
                high = mm if high is None else min(high, mm)
        low, high = (None, None) if clash else (low, high)
        barred = self.advice["outcome"] in ("refuse", "another_material")
        if node is None:
            demand(not rows, step, "it has no node")
            return
        same(node, step, low_mm=low, high_mm=high, feasible_mm=feasible)
        bounds = [self.nodes[k] for k in node["from"] + node["besides"]]
        for found in [bounds] if barred else [bounds, view["bounds"]]:
            told = {(b["rule"], b["side"]): b for b in found}
            demand(set(told) == {(b["rule"], b["side"]) for b in rows}, step, "its bounds are not those of the rules")
            for b in rows:
                end = low if b["side"] == "at least" else high
                binding = not clash and not b["set_aside"] and b["mm"] == end
                same(
                    told[b["rule"], b["side"]],
                    f"bound {b['side']} of {b['rule']}",
                    mm=b["mm"],
                    force=b["force"],
                    set_aside=b["set_aside"],
                    binding=binding,
                )
        demand(
            clash
            or set(node["from"]) == {k for k in node["from"] + node["besides"] if self.nodes[k]["binding"]},
            step,
            "it stands on other bounds than those that bind",
        )
        self.clashes += [name] if clash else []
        band = None
        if low is not None and high is not None and not barred:
            ounces = (math.ceil(low * 64 / 25.4 - 0.25), math.floor(high * 64 / 25.4 + 0.25))
            first = max(1, round((low + high) / 2 * 64 / 25.4 - 0.5))
            band = "{}-{} oz".format(*(ounces if ounces[1] - ounces[0] >= 1 else (first, first + 1)))
        demand(
            (view["order_as"] or "").partition(" (")[0] == (band or ""),
            step,
            f"order_as is {view['order_as']}, expected {band}",
        )
        if not barred:
            same(view, step, low_mm=low, high_mm=high, feasible_mm=feasible)

    def check_endings(self) -> None:
        """Patterns, outcome, cautions and conflicts."""
        advice, item = self.advice, (self.facts["item"] or [None])[0]
        sizes = {n: v[0] for n, v in self.facts.items() if v and self.r.unit(n) == "mm" and n in self.r.attributes}
        for n in (n for n in self.nodes.values() if n["kind"] == "pattern"):
            specs = {p["name"]: p for p in self.r.items[item].get(n["name"][:-1], ())}
            for line in n["lines"]:
                spec, step = specs.get(line["name"], {}), f"{n['name'][:-1]} {line['name']}"
                demand(spec, step, "the item has no such place")
                if n["name"] == "pieces" and line["line"] != "set by hand":
                    same(line, step, count=spec["count"], part=spec["part"])
                    texts = {"length": spec["length"], "width": spec["width"]}
                elif n["name"] == "zones":
                    thin = self.facts.get("skive", ["none"]) not in ([], ["none"]) and spec.get("skived")
                    texts = {"other": spec["skived"] if thin else spec["stack"], "seam": spec.get("seam", "")}
                    whole = measure(texts["other"], {**sizes, "weight": 1})
                    rest = measure(texts["other"], {**sizes, "weight": 0})
                    demand(
                        whole is None or rest is None or abs(line["leather"] - float(whole - rest)) < 1e-6,
                        step,
                        "layers differ",
                    )
                    texts["other"] = re.sub(r"\bweight\b", "nothing", texts["other"])
                    same(line, step, kind=spec["kind"])
                else:
                    texts = {}
                for key, text in texts.items():
                    size = measure(text, {**sizes, "nothing": 0})
                    demand(
                        size is not None and abs(float(size) - line[key]) < 0.001,
                        step,
                        f"{key} is {line[key]}, expected {size}",
                    )
        found = [
            (c[1], rule)
            for rule in self.fired
            if not self.winner(rule)
            for c in self.r.rules[rule]["then"]
            if c[0] == "outcome"
        ]
        first = min((f[0] for f in found), key=OUTCOMES.index, default=None)
        unmet = any(c in self.r.decisions for c in self.clashes)
        first = first or (None if not item else "ok_with_conditions" if unmet else "ok")
        same(advice, "outcome", outcome=first)
        node = self.root("outcome")
        demand((node or {"outcome": None})["outcome"] == first, "outcome", f"expected {first}")
        if found:
            deciding = {rule for outcome, rule in found if outcome == first}
            demand(
                {self.nodes[k]["rule"] for k in node["from"]} == deciding, "outcome", f"it stands on {sorted(deciding)}"
            )
        raised = {c[1] for rule in self.fired for c in self.r.rules[rule]["then"] if c[0] == "caution"}
        listed = {c["id"]: c for c in advice["cautions"]}
        demand(
            {c for c, v in listed.items() if v["status"] == "applies"} == raised,
            "cautions",
            "those that apply are "
            + ", ".join(sorted(raised ^ {c for c, v in listed.items() if v["status"] == "applies"}))
            + " more or less",
        )
        for name, told in self.r.cautions.items():
            rules, step = self.r.raising.get(name, []), f"caution {name}"
            if name in listed:
                same(
                    listed[name],
                    step,
                    text=told["say"],
                    severity=told["severity"],
                    about=told["about"],
                    defer_to=told.get("defer_to", ""),
                )
                demand(listed[name]["rule"] in [r["id"] for r in rules], step, "its rule does not raise it")
            else:
                demand(
                    not any(self.waits(r) for r in rules),
                    step,
                    "nothing has ruled it out, and the advice does not list it",
                )
            if name in raised:
                node = self.root(step)
                demand(
                    node
                    and {self.nodes[k].get("rule") for k in node["from"]} - {None}
                    == {r["id"] for r in rules if r["id"] in self.fired},
                    step,
                    "it stands on other rules than those that raise it",
                )
                same(node, step, text=told["say"], severity=told["severity"])
        barred = first in ("refuse", "another_material")
        abouts = [] if barred else self.clashes
        told_clashes = [c["about"] for c in advice["conflicts"] if c["about"] in [*self.r.told]]
        demand(sorted(told_clashes) == sorted(abouts), "conflicts", f"they are about {told_clashes}, expected {abouts}")

    def waits(self, rule: Any) -> bool:
        """Whether nothing but answers not yet given keeps a rule from holding; a supposition is no answer."""
        for name, sign, values, other, _ in rule["when"]:
            node = self.root(name) if name in self.r.attributes else None
            told = node is not None and node["kind"] == "answer" and node["state"] != "don't know"
            asked = self.r.attributes.get(name, {"ask": "never"})["ask"] != "never"
            if other or not (told or asked) or (told and not self.ways({"when": [(name, sign, values, None, "")]})):
                return False
        return True

    def check_grades(self) -> None:
        """The grade of every step that has one, and the weakest under each conclusion."""
        for n in self.nodes.values():
            if n["kind"] == "table":
                table = self.r.decisions[n["decision"]]
                about, step = table["properties"][n["column"]], f"table {n['decision']} {n['column']}"
                same(
                    n, step, grade=self.grade(about["basis"], about.get("source", ())), unit=about.get("unit", "plain")
                )
                for c, v in n["values"].items():
                    written = str(table["candidates"][c][n["column"]])
                    demand(written == v or float(written.split(" ")[0]) == v, step, f"{c} is {v}, expected {written}")
            elif n["kind"] == "source":
                same(n, f"source {n['id']}", **{k: self.r.sources[n["id"]].get(k) for k in ("title", "opened", "year")})
        weakest: dict[str, Any] = {}

        def under(key: str) -> int:
            if key not in weakest:
                n = self.nodes[key]
                own = GRADES.index(n["grade"]) if "grade" in n else -1
                weakest[key] = max([own, *(under(k) for k in n["from"])])
            return int(weakest[key])

        for told in self.advice["evidence"]:
            step = f"evidence of {told['conclusion']}"
            demand(told["conclusion"] in self.roots, step, "nothing proves it")
            same(told, step, grade=GRADES[under(self.roots[told["conclusion"]])])
