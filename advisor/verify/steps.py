"""Step by step: what is known, which rules were applied, what is absent or withdrawn, attributes and sums."""

import re
from decimal import Decimal
from itertools import chain, product
from typing import Any

from .rules import Rules
from .values import KINDS, SUMS, compare, demand, plain, rounded, same

CONCERNS = ("life and law", "physics", "health and limits", "stated wish", "computed", "process", "use",
            "item habit", "family habit", "general habit")  # fmt: skip
GRADES = ("published, opened", "published, from memory", "common practice", "estimate")
GIVES = ("set", "add", "suppose", "favour", "require")
FORCES = ("may", "should", "must")


class Steps:
    """The steps of one advice against the rules; each check raises Fault where a step does not hold."""

    def __init__(self, advice: Any, rules: Rules) -> None:
        self.advice, self.r, self.proof = advice, rules, advice["proof"]
        self.nodes, self.roots = self.proof["nodes"], self.proof["roots"]
        self.facts: dict[str, Any] = {}
        self.fired: dict[str, list[Any]] = {}
        self.owned: dict[str, bool] = {}
        self.clashes: list[str] = []

    def root(self, name: str) -> Any:
        """The node of a conclusion, or None."""
        node = self.nodes.get(self.roots.get(name))
        demand(node is not None or name not in self.roots, name, "its node is missing")
        return node

    def read_facts(self) -> None:
        """What is known, as the nodes say it."""
        for name in self.r.told:
            node = self.root(name)
            demand(node is None or node["name"] == name, name, "its node is about something else")
            if name in self.r.attributes or node is None:
                self.facts[name] = node["value"] if node and "value" in node else []
            elif node["kind"] == "window":
                ends = [e for e in (node["low_mm"], node["high_mm"]) if e is not None]
                self.facts[name] = [round(sum(ends) / len(ends), 2)] if ends else []
            else:
                self.facts[name] = node["chosen"][:1]
                self.facts[f"{name}_offered"] = node["chosen"] + node["also_fits"] if node["chosen"] else []
            if name in self.r.decisions:
                self.facts[f"{name}_excluded"] = sorted(node.get("excluded", ())) if node else []
        for name, view in self.advice["facts"].items():
            value = view["value"] if isinstance(view["value"], list) else [v for v in [view["value"]] if v is not None]
            same({"value": value, "unit": view["unit"]}, f"fact {name}", value=self.facts[name], unit=self.r.unit(name))
        missing = [n for n, v in self.facts.items() if v and n in self.r.attributes and n not in self.advice["facts"]]
        demand(not missing, f"fact {missing}", "the advice does not list it")

    def ways(self, rule: Any) -> set[frozenset[Any]]:
        """Every set of facts on which all premises of a rule hold."""
        found: list[Any] = []
        for name, sign, values, other, _ in rule["when"]:
            have = [(name, plain(v)) for v in self.facts.get(name, ())]
            if sign in ("unknown", "lacks"):
                found.append([()] if bool(have) == (sign == "lacks") and all(v not in values for _, v in have) else [])
            elif sign == "known":
                found.append([tuple(have)] if have else [])
            elif other:
                found.append(
                    [
                        (f, (other, plain(v)))
                        for f in have
                        for v in self.facts.get(other, ())
                        if compare(f[1], sign, plain(v))
                    ]
                )
            else:
                found.append(
                    [
                        (f,)
                        for f in have
                        if (
                            f[1] in values
                            if sign == "is"
                            else f[1] not in values
                            if sign == "is not"
                            else compare(f[1], sign, values[0])
                        )
                    ]
                )
        return {frozenset(chain(*way)) for way in product(*found)}

    def grade(self, basis: str, sources: Any) -> str:
        """The grade of something with this basis and these sources."""
        opened = any(self.r.sources[s]["opened"] for s in sources)
        return basis if basis != "published" else GRADES[0] if opened else GRADES[1]

    def check_rules(self) -> None:
        """What was applied, on what, what that relied on being absent, and what was withdrawn."""
        for key in self.proof["applied"]:
            self.fired.setdefault(self.nodes[key]["rule"], []).append(self.nodes[key])
        for rule_id in [*self.fired, *self.r.rules]:
            demand(rule_id in self.r.rules, f"rule {rule_id}", "the rule files have no such rule")
            rule, step, found = self.r.rules[rule_id], f"rule {rule_id}", self.fired.get(rule_id, [])
            on = {frozenset((f[0], plain(f[1])) for p in n["premises"] for f in p["found"]) for n in found}
            demand(on == self.ways(rule), step, f"it was applied on {list(map(list, on))}, which is not where it holds")
            for n in found:
                same(
                    n,
                    step,
                    force=rule["force"],
                    concern=rule["concern"],
                    because=rule["because"],
                    concluded=[c[5] for c in rule["then"]],
                    grade=self.grade(rule["basis"], rule["source"]),
                )
                demand(
                    [p["says"] for p in n["premises"]] == [p[4] for p in rule["when"]],
                    step,
                    "a premise is not the rule's",
                )
                for said, (name, sign, values, other, _) in zip(n["premises"], rule["when"], strict=True):
                    gone = [values[0] if values else None] if sign in ("unknown", "lacks") else []
                    by = [self.nodes[k] for k in said["by"]]
                    about = [x if gone else re.sub("_offered$", "", x) for x in (name, other) if x]
                    demand(
                        [b["name"] for b in by] == about
                        and [b["lacks"] for b in by if b["kind"] == "absence"] == gone
                        and all(k in n["from"] for k in said["by"]),
                        step,
                        f"{said['says']!r} does not stand on its fact",
                    )
        lost = [
            (self.winner(n["rule"]), n["rule"])
            for n in (self.nodes[k] for k in self.proof["applied"])
            if self.winner(n["rule"])
        ]
        told = [self.nodes[k] for k in self.proof["withdrawn"]]
        for n in (x for x in self.nodes.values() if x["kind"] == "withdrawn"):
            step = f"withdrawn {n['loser']}"
            demand((n["winner"], n["loser"]) in lost, step, f"{n['winner']} is not preferred to it, or did not stand")
            same(n, step, because=self.r.rules[n["winner"]]["over_because"])
            demand(
                [self.nodes[k].get("rule") for k in n["from"]] == [n["winner"], n["loser"]],
                step,
                "it stands on other rules",
            )
        demand([(n["winner"], n["loser"]) for n in told] == lost, "withdrawn", f"what was withdrawn is {lost}")
        for n in (x for x in self.nodes.values() if x["kind"] == "absence"):
            target, value = re.sub("_offered$", "", n["name"]), n["lacks"]
            able = {
                r: self.state(r)
                for r, rule in self.r.rules.items()
                if any(
                    c[0] == "outcome"
                    if target == "outcome"
                    else c[1] == target and c[0] in GIVES and (value is None or c[3] or value in c[2])
                    for c in rule["then"]
                )
            }
            same(n, f"absence of {n['name']}", rules=able)
        for step, n in zip(self.advice["trace"], [self.nodes[k] for k in self.proof["applied"]], strict=True):
            same(
                step,
                f"trace {n['rule']}",
                rule=n["rule"],
                because=n["because"],
                concluded=n["concluded"],
                force=n["force"],
                withdrawn_by=self.winner(n["rule"]),
                basis=self.r.rules[n["rule"]]["basis"],
            )

    def winner(self, rule: str) -> str | None:
        """The preferred rule that was applied, stands itself and withdraws this one."""
        return next((w for w in self.r.beaten.get(rule, ()) if w in self.fired and self.winner(w) is None), None)

    def state(self, rule: str) -> str:
        """How a rule that could have given something absent stood."""
        by = self.winner(rule)
        return "did not apply" if rule not in self.fired else f"withdrawn by {by}" if by else "applied"

    def claims(self, target: str, *acts: str) -> list[Any]:
        """(rule, act, values, strength, because) of the applied rules about a name, in the order of applying."""
        return [
            (self.r.rules[r], c[0], list(self.facts.get(c[3], ())) if c[3] else list(c[2]), c[4], c[6])
            for r in self.fired
            for c in self.r.rules[r]["then"]
            if c[1] == target and c[0] in acts
        ]

    def check_attribute(self, name: str) -> None:
        """An answer that can be given, a sum that comes out, or what the applied rules come to."""
        node, told, step = self.root(name), self.r.attributes[name], f"attribute {name}"
        if node:
            same(node, step, unit=self.r.unit(name))
        if node and node["kind"] == "answer":
            allowed = told.get("values") or (
                self.r.items
                if told.get("values_from") == "items"
                else self.r.decisions.get(told.get("values_from"), {}).get("candidates")
            )
            allowed = ("yes", "no") if told["kind"] == "yes_no" else allowed
            ends = [self.r.values(name, str(told[end]))[0] if end in told else None for end in ("low", "high")]
            demand(
                all(
                    (not allowed or v in allowed)
                    and (ends[0] is None or v >= ends[0])
                    and (ends[1] is None or v <= ends[1])
                    for v in node["value"]
                ),
                step,
                f"{node['value']} cannot be answered",
            )
            if node["state"] != "don't know":
                for rule, _, values, *_ in self.claims(name, "set", "add"):
                    if rule["force"] == "must" and not set(values) <= set(node["value"]) and node["value"]:
                        self.clashes.append(name)
                return None
        if node and node["kind"] == "computed":
            return self.check_sum(name, node, told)
        claims = [c for c in self.claims(name, "set", "add") if not self.winner(c[0]["id"])]
        kind = "settled" if claims else "supposition"
        if not claims:
            claims = [c for c in self.claims(name, "suppose") if not self.winner(c[0]["id"])]
            rank = min((CONCERNS.index(c[0]["concern"]) for c in claims), default=0)
            claims = [c for c in claims if CONCERNS.index(c[0]["concern"]) == rank]
        elif told["kind"] != "set":
            most = max(FORCES.index(c[0]["force"]) for c in claims)
            best = [c[2][0] for c in claims if FORCES.index(c[0]["force"]) == most]
            claims = [c for c in claims if c[2][0] in best]
        values = sorted({v for c in claims for v in c[2]})
        values = [v for v in values if v != "none" or len(values) == 1] if told["kind"] == "set" else values
        if told["kind"] != "set" and len(values) > 1:
            self.clashes.append(name)
            values = []
        demand(bool(values) == bool(node and node["value"]), step, f"the rules come to {values}")
        if node and values:
            rules = list(dict.fromkeys(c[0]["id"] for c in claims))
            same(node, step, kind=kind, value=values, rules=rules)
            demand(
                rules == list(dict.fromkeys(self.nodes[k]["rule"] for k in node["from"])),
                step,
                "it stands on other rules",
            )
        return None

    def check_sum(self, name: str, node: Any, told: Any) -> None:
        """A computed value: the declared formula, the inputs as known, the result from exact decimals, the line."""
        step, formula = f"attribute {name}", node["formula"]
        if formula == "price list":
            return
        same(node, step, formula=told["formula"])
        numbers: dict[str, Any] = {}
        demand(set(node["inputs"]) == set(told["inputs"]), step, "its inputs are not those of the formula")
        for key, of in told["inputs"].items():
            given, by = node["inputs"][key], self.nodes[node["inputs"][key]["by"]]
            demand(node["inputs"][key]["by"] in node["from"] and given["of"] == of, step, f"{key} comes from elsewhere")
            if by["kind"] == "table":
                demand(f"{by['decision']}.{by['column']}" == of, step, f"{key} is another table")
                numbers[key] = by["values"]
            elif by["kind"] == "pattern":
                parts = ("body", "pocket", "strap")
                numbers[key] = [
                    {k: Decimal(str(v)) if isinstance(v, int | float) else v for k, v in z.items()}
                    for z in by["lines"]
                    if z.get("part", "body") in parts and z.get("kind", "") in ("", KINDS.get(formula, "sewn"))
                ]
            else:
                demand(by["name"] == of, step, f"{key} is another fact")
                same(given, f"{step}, input {key}", value=self.facts[of])
                units = (self.r.unit(of),) if self.r.unit(of) else ("choice", "yes_no", "set")
                demand(given["unit"] in units, f"{step}, input {key}", f"unit is {given['unit']!r}, expected {units}")
                number = node["numbers"].get(key.replace("_", " "), given["value"][0] if given["value"] else None)
                demand(
                    key == "joint" or not isinstance(number, int | float) or number == given["value"][0], step, f"{key}"
                )
                numbers[key] = Decimal(str(number)) if isinstance(number, int | float) else number
        if formula == "lookup":
            same(node, step, value=[numbers["table"][numbers["key"]]])
        elif formula in SUMS:
            result = SUMS[formula](**{k: v for k, v in numbers.items() if k in SUMS[formula].__code__.co_varnames})
            demand(
                abs(Decimal(str(node["value"][0])) - result) <= Decimal("0.00051"),
                step,
                f"{formula} gives {result:.3f}, not {node['value'][0]}",
            )
        self.check_line(node["line"], [*node["value"], *numbers.values()], step, formula in SUMS)

    def check_line(self, line: str, values: list[Any], step: str, summed: bool) -> None:
        """A line with numbers put in ends in the result, and shows every number of its sum."""
        shown = [float(n) for n in re.findall(r"(?<![\w.])\d+(?:\.\d+)?", line)]
        numbers = [float(v) for v in values if isinstance(v, int | float | Decimal)]
        if " = " in line and isinstance(values[0], int | float):
            end = re.match(r"[\d.]+", line.rsplit(" = ", 1)[1])
            demand(
                end and rounded(float(end[0]), values[0]),
                step,
                f"the line ends in {line.rsplit(' = ', 1)[1]}, not {values[0]}",
            )
            lost = [n for n in numbers if summed and not any(rounded(s, n) for s in shown)]
            demand(not lost, step, f"the line does not show {lost}")

    def own(self, name: str) -> bool:
        """Whether a fact is nothing but the item's own habit."""
        if name not in self.owned:
            node, item = self.root(name), f"{(self.facts['item'] or [''])[0]}/habits"
            habits: Any = [v for c in self.r.rules.get(item, {"then": []})["then"] if c[1] == name for v in c[2]]
            kind = node["kind"] if node else ""
            self.owned[name] = name == "item" or (
                set(habits) == set(node["value"])
                if kind == "answer"
                else all(self.own_rule(r) for r in node["rules"])
                if kind in ("settled", "supposition")
                else (kind == "computed"
                and "inputs" in node
                and all(
                    self.own(o.removesuffix("_offered"))
                    for o in self.r.attributes[name]["inputs"].values()
                    if "." not in o
                ))
                or (kind == "balance"
                and all(
                    self.r.rules[e["rule"]]["item"]
                    for e in node["entries"]
                    if e["counts"] and e["candidate"] in node["chosen"][:1]
                ))
            )
        return self.owned[name]

    def own_rule(self, rule_id: str) -> bool:
        """Whether an applied rule rests on nothing but the item's own habits."""
        rule = self.r.rules[rule_id]
        if rule["item"] or rule["concern"] == "general habit":
            return bool(rule["item"])
        return self.own_facts(rule)

    def own_facts(self, rule: Any) -> bool:
        """Whether the facts of a rule, whatever its concern, are only the item's own habits."""
        return not any(p[1] in ("unknown", "lacks") for p in rule["when"]) and all(
            self.own(f[0].removesuffix("_offered"))
            for n in self.fired[rule["id"]]
            for p in n["premises"]
            for f in p["found"]
        )
