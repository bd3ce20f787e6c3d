"""Forgers: each changes one thing in an advice that carries its proof, and seals the nodes with new ids.

A forger returns the words one of which the checker must name as the bad step, or None where the advice has nothing
of the kind. All draw from the generator they are given, so a seed makes the same forgery again.
"""

from __future__ import annotations

import hashlib
import json
import random
from collections.abc import Callable
from typing import Any

Advice = dict[str, Any]
Forger = Callable[[random.Random, Advice], list[str] | None]


def seal(advice: Advice) -> None:
    """Give every node the id that fits what it now says, and mend all that points to it."""
    proof = advice["proof"]
    old, ids, nodes = proof["nodes"], dict[str, str](), dict[str, Any]()

    def new(key: str) -> str:
        if key not in ids:
            node = old[key]
            node["from"], node["besides"] = [new(k) for k in node["from"]], [new(k) for k in node["besides"]]
            for part in node.get("premises", ()):
                part["by"] = [new(k) for k in part["by"]]
            for part in [*node.get("inputs", {}).values(), *node.get("entries", ())]:
                part["by"] = new(part["by"])
            text = json.dumps(node, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
            ids[key] = hashlib.sha256(text.encode()).hexdigest()[:12]
            nodes[ids[key]] = node
        return ids[key]

    for key in list(old):
        new(key)
    proof["nodes"] = nodes
    proof["roots"] = {name: ids[key] for name, key in proof["roots"].items()}
    for part in ("applied", "withdrawn"):
        proof[part] = [ids[key] for key in proof[part]]


def _nodes(advice: Advice, *kinds: str) -> list[Any]:
    return [n for n in advice["proof"]["nodes"].values() if n["kind"] in kinds]


def _resting_on(advice: Advice, node: Any) -> list[str]:
    """Names of the steps that stand on a node."""
    key = next(k for k, n in advice["proof"]["nodes"].items() if n is node)
    above = [n for n in advice["proof"]["nodes"].values() if key in n["from"] + n["besides"]]
    places = {"pieces": "pattern pieces", "zones": "pattern zones"}
    named = [str(n.get("rule") or n.get("name") or n.get("loser") or n["kind"]) for n in above]
    return [places.get(name, name) for name in named]


def value_changed(rng: random.Random, advice: Advice) -> list[str] | None:
    node = rng.choice(_nodes(advice, "settled", "supposition", "computed", "window"))
    if node["kind"] == "window":
        end = rng.choice(["low_mm", "high_mm"])
        if node[end] is None:
            return None
        node[end] = round(node[end] + 0.4, 2)
        return ["window weight", *_resting_on(advice, node)]
    value = node["value"][0]
    node["value"] = [value + 3.0] if isinstance(value, float) else ["something_else"]
    if node["name"] in advice["facts"] and rng.random() < 0.7:
        view = advice["facts"][node["name"]]
        view["value"] = node["value"] if isinstance(view["value"], list) else node["value"][0]
    return [node["name"], *_resting_on(advice, node)]


def answer_changed(rng: random.Random, advice: Advice) -> list[str] | None:
    """An answer on which some rule rests; one that nothing rests on cannot be told from another person's."""
    resting = [n for n in _nodes(advice, "answer") if n["value"] and _resting_on(advice, n)]
    node = rng.choice(resting)
    node["value"] = [node["value"][0] + 7.0] if isinstance(node["value"][0], float) else ["something_else"]
    view = advice["facts"].get(node["name"])
    if view is None:
        return None
    view["value"] = node["value"] if isinstance(view["value"], list) else node["value"][0]
    return [node["name"], *_resting_on(advice, node), "rule"]


def premise_removed(rng: random.Random, advice: Advice) -> list[str] | None:
    node = rng.choice(_nodes(advice, "applied"))
    node["premises"].pop(rng.randrange(len(node["premises"])))
    return [f"rule {node['rule']}"]


def premise_said_otherwise(rng: random.Random, advice: Advice) -> list[str] | None:
    node = rng.choice(_nodes(advice, "applied"))
    premise = rng.choice(node["premises"])
    premise["says"] = premise["says"].replace(" is ", " is not ", 1) + ", more"
    return [f"rule {node['rule']}"]


def preference_swapped(rng: random.Random, advice: Advice) -> list[str] | None:
    found = _nodes(advice, "withdrawn")
    if not found:
        return None
    node = rng.choice(found)
    loser = node["loser"]
    node["winner"], node["loser"], node["from"] = loser, node["winner"], node["from"][::-1]
    return [loser, node["loser"], "withdrawn"]


def reason_rewritten(rng: random.Random, advice: Advice) -> list[str] | None:
    node = rng.choice(_nodes(advice, "applied"))
    field = rng.choice(["because", "concluded", "force"])
    node[field] = {"because": "Somebody said so.", "concluded": ["outcome ok"], "force": "always"}[field]
    return [f"rule {node['rule']}"]


def unit_changed(rng: random.Random, advice: Advice) -> list[str] | None:
    node = rng.choice([n for n in _nodes(advice, "supposition", "answer", "computed") if n.get("unit")])
    if node["kind"] == "computed" and rng.random() < 0.5:
        part = rng.choice([i for i in node["inputs"].values() if i.get("value")] or [node])
        part["unit"] = "inch"
    else:
        node["unit"] = "inch"
    return [node["name"]]


def unit_of_a_fact_changed(rng: random.Random, advice: Advice) -> list[str] | None:
    name = rng.choice([n for n, f in advice["facts"].items() if f["unit"]])
    advice["facts"][name]["unit"] = "inch"
    return [f"fact {name}"]


def absence_shortened(rng: random.Random, advice: Advice) -> list[str] | None:
    found = [n for n in _nodes(advice, "absence") if n["rules"]]
    if not found:
        return None
    node = rng.choice(found)
    del node["rules"][rng.choice(list(node["rules"]))]
    return [f"absence of {node['name']}"]


def bound_moved(rng: random.Random, advice: Advice) -> list[str] | None:
    found = _nodes(advice, "bound")
    if not found:
        return None
    node = rng.choice(found)
    node["mm"] = round(node["mm"] + rng.choice([-0.3, 0.3, 1.1]), 3)
    for view in advice["decisions"]["weight"]["bounds"]:
        if (view["rule"], view["side"]) == (node["rule"], node["side"]):
            view["mm"] = node["mm"]
    return [node["rule"]]


def bound_moved_in_the_advice(rng: random.Random, advice: Advice) -> list[str] | None:
    bounds = advice["decisions"]["weight"]["bounds"]
    if not bounds:
        return None
    view = rng.choice(bounds)
    view["mm"] = round(view["mm"] + 0.2, 3)
    return [view["rule"]]


def ledger_entry_dropped(rng: random.Random, advice: Advice) -> list[str] | None:
    node = rng.choice([n for n in _nodes(advice, "balance") if n["entries"]])
    gone = node["entries"].pop(rng.randrange(len(node["entries"])))
    ledger = advice["decisions"][node["name"]]["ledger"]
    if rng.random() < 0.7:
        ledger[:] = [
            e for e in ledger if (e["rule"], e["act"], e["candidate"]) != (gone["rule"], gone["act"], gone["candidate"])
        ]
    return [f"choice {node['name']}"]


def strength_raised(rng: random.Random, advice: Advice) -> list[str] | None:
    node = rng.choice([n for n in _nodes(advice, "balance") if n["entries"]])
    entry = rng.choice(node["entries"])
    entry["strength"] = "strong" if entry["strength"] != "strong" else "slight"
    return [f"choice {node['name']}"]


def choice_changed(rng: random.Random, advice: Advice) -> list[str] | None:
    name = rng.choice(["tannage", "grain", "temper", "cut", "species", "form"])
    view = advice["decisions"][name]
    if not view["chosen"] or not view["also_fits"]:
        return None
    view["chosen"], view["also_fits"] = view["also_fits"][:1], [*view["chosen"], *view["also_fits"][1:]]
    return [f"choice {name}"]


def caution_removed(rng: random.Random, advice: Advice) -> list[str] | None:
    applying = [c for c in advice["cautions"] if c["status"] == "applies"]
    if not applying:
        return None
    gone = rng.choice(applying)
    advice["cautions"].remove(gone)
    if rng.random() < 0.5:
        advice["proof"]["roots"].pop(f"caution {gone['id']}")
    return [gone["id"]]


def caution_softened(rng: random.Random, advice: Advice) -> list[str] | None:
    if not advice["cautions"]:
        return None
    caution = rng.choice(advice["cautions"])
    caution["text"] = "Nothing to mind here."
    return [caution["id"]]


def rule_left_out(rng: random.Random, advice: Advice) -> list[str] | None:
    """The rule is gone from the trace and the list of what was applied, as if it had never held."""
    place = rng.randrange(len(advice["trace"]))
    rule = advice["trace"].pop(place)["rule"]
    advice["proof"]["applied"].pop(place)
    return [rule]


def sum_changed(rng: random.Random, advice: Advice) -> list[str] | None:
    found = [n for n in _nodes(advice, "computed") if " = " in (n["line"] or "")]
    if not found:
        return None
    node = rng.choice(found)
    left, _, right = node["line"].rpartition(" = ")
    if not right[0].isdigit():
        return None
    node["line"] = f"{left} = 9{right}"
    return [node["name"]]


def table_changed(rng: random.Random, advice: Advice) -> list[str] | None:
    found = [n for n in _nodes(advice, "table") if all(isinstance(v, float) for v in n["values"].values())]
    if not found:
        return None
    node = rng.choice(found)
    candidate = rng.choice(list(node["values"]))
    node["values"][candidate] += 1.5
    return [f"table {node['decision']} {node['column']}", "attribute"]


def outcome_changed(rng: random.Random, advice: Advice) -> list[str] | None:
    others = [o for o in ("ok", "ok_with_conditions", "defer", "refuse") if o != advice["outcome"]]
    advice["outcome"] = rng.choice(others)
    return ["outcome", "choice", "window"]


def order_let_through(rng: random.Random, advice: Advice) -> list[str] | None:
    """A deferral that withholds the order is said to show it, or the other way round."""
    found = [r for r in advice["outcome_reasons"] if r["order"]]
    if not found:
        return None
    reason = rng.choice(found)
    reason["order"] = "shown" if reason["order"] == "withheld" else "withheld"
    return ["outcome", "choice", "window"]


def line_ordered(rng: random.Random, advice: Advice) -> list[str] | None:
    """Something is ordered that no step speaks of."""
    advice["order"]["lines"].append({"id": "1", "kind": "leather", "label": rng.choice(["a side", "a panel"])})
    return ["order"]


def grade_raised(rng: random.Random, advice: Advice) -> list[str] | None:
    found = [e for e in advice["evidence"] if e["grade"] != "published, opened"]
    if not found:
        return None
    entry = rng.choice(found)
    entry["grade"] = "published, opened"
    return [f"evidence of {entry['conclusion']}"]


def grade_of_a_rule_raised(rng: random.Random, advice: Advice) -> list[str] | None:
    node = rng.choice([n for n in _nodes(advice, "applied") if n["grade"] != "published, opened"])
    node["grade"] = "published, opened"
    return [f"rule {node['rule']}"]


def order_changed(rng: random.Random, advice: Advice) -> list[str] | None:
    weight = advice["decisions"]["weight"]
    if not weight["order_as"]:
        return None
    weight["order_as"] = "1" + weight["order_as"]
    return ["window weight"]


def order_line_changed(rng: random.Random, advice: Advice) -> list[str] | None:
    """A line says another count, thickness, leather or piece, or is gone."""
    lines = advice["order"]["lines"]
    if not lines:
        return None
    line = rng.choice(lines)
    match rng.choice(["count", "high_mm", "tannage", "pieces", "label", "gone"]):
        case "gone":
            lines.remove(line)
            return ["order:"]
        case "pieces":
            line["pieces"].append("another")
        case "count" | "high_mm" as name:
            line[name] = (line[name] or 0) + 1
        case name:
            line[name] = "rawhide of a dragon"
    return [f"order line {line['id']}"]


def reason_hidden(rng: random.Random, advice: Advice) -> list[str] | None:
    """What was weighed and did not decide is gone, as if nobody had to be told of it."""
    found = [n for n in advice["proof"]["nodes"].values() if n["besides"]]
    if not found:
        return None
    node = rng.choice(found)
    node["besides"].pop(rng.randrange(len(node["besides"])))
    return [str(node.get("name", node["kind"]))]


def reason_set_aside(rng: random.Random, advice: Advice) -> list[str] | None:
    """A reason is said to be no more than the item's own habit, in the proof and in the ledger."""
    node = rng.choice([n for n in _nodes(advice, "balance") if any(e["counts"] for e in n["entries"])])
    entry = rng.choice([e for e in node["entries"] if e["counts"]])
    for told in (entry, *advice["decisions"][node["name"]]["ledger"]):
        if [told[k] for k in ("rule", "act", "candidate")] == [entry[k] for k in ("rule", "act", "candidate")]:
            told["counts"], told["set_aside"] = False, {"code": "in_ranking", "params": {}}
    return [f"choice {node['name']}"]


def root_moved(rng: random.Random, advice: Advice) -> list[str] | None:
    """A conclusion points to the step of another one."""
    roots = advice["proof"]["roots"]
    name, other = rng.sample(sorted(roots), 2)
    roots[name] = roots[other]
    return [f"roots {name}"]


def step_added(rng: random.Random, advice: Advice) -> list[str] | None:
    """A step on which nothing stands, for somebody to cite."""
    nodes = advice["proof"]["nodes"]
    copy = json.loads(json.dumps(rng.choice(_nodes(advice, "applied"))))
    copy["because"] = "It was always done so."
    nodes["added"] = copy
    return ["It was always done so."]


def conflict_removed(rng: random.Random, advice: Advice) -> list[str] | None:
    """One conflict is gone from the advice and from the roots."""
    if not advice["conflicts"]:
        return None
    place = rng.randrange(len(advice["conflicts"]))
    del advice["conflicts"][place]
    roots = advice["proof"]["roots"]
    for n in range(place + 1, len(advice["conflicts"]) + 1):
        roots[f"conflict {n}"] = roots[f"conflict {n + 1}"]
    del roots[f"conflict {len(advice['conflicts']) + 1}"]
    return ["conflict"]


def amount_changed(rng: random.Random, advice: Advice) -> list[str] | None:
    found = _nodes(advice, "amount")
    if not found:
        return None
    found[0]["count"] += 1
    return ["amount"]


def supposition_hidden(rng: random.Random, advice: Advice) -> list[str] | None:
    found = [e for e in advice["evidence"] if e["supposed"]]
    if not found:
        return None
    entry = rng.choice(found)
    entry["supposed"].pop(rng.randrange(len(entry["supposed"])))
    return [f"evidence of {entry['conclusion']}"]


def trace_changed(rng: random.Random, advice: Advice) -> list[str] | None:
    step = rng.choice(advice["trace"])
    field = rng.choice(["because", "force", "basis", "withdrawn_by"])
    step[field] = "somebody"
    return [f"trace {step['rule']}"]


def caution_held_back(rng: random.Random, advice: Advice) -> list[str] | None:
    """A caution that concerns the thing is said not to, or one that does not is put among those that do."""
    if not advice["cautions"]:
        return None
    caution = rng.choice(advice["cautions"])
    caution["relevant"] = not caution["relevant"]
    return [f"caution {caution['id']} relevant"]


def cautions_reordered(rng: random.Random, advice: Advice) -> list[str] | None:
    """What hurts most is put last."""
    if len(advice["cautions"]) < 2:
        return None
    advice["cautions"].append(advice["cautions"].pop(0))
    return ["order of cautions"]


def field_removed(rng: random.Random, advice: Advice) -> list[str] | None:
    """Something that the advice must show is left out of it."""
    name = rng.choice(["tannage", "grain", "temper", "cut", "species", "form", "weight"])
    part = advice["decisions"][name]
    del part[
        rng.choice(
            ["low_mm", "high_mm", "feasible_mm", "order_as"]
            if name == "weight"
            else ["chosen", "also_fits", "excluded", "ledger", "tie"]
        )
    ]
    return [f"choice {name}", f"window {name}"]


FORGERS: tuple[Forger, ...] = (
    value_changed,
    answer_changed,
    premise_removed,
    premise_said_otherwise,
    preference_swapped,
    reason_rewritten,
    unit_changed,
    unit_of_a_fact_changed,
    absence_shortened,
    bound_moved,
    bound_moved_in_the_advice,
    ledger_entry_dropped,
    strength_raised,
    choice_changed,
    caution_removed,
    caution_softened,
    caution_held_back,
    cautions_reordered,
    rule_left_out,
    sum_changed,
    table_changed,
    outcome_changed,
    order_let_through,
    line_ordered,
    order_line_changed,
    grade_raised,
    grade_of_a_rule_raised,
    order_changed,
    reason_hidden,
    reason_set_aside,
    root_moved,
    step_added,
    conflict_removed,
    amount_changed,
    supposition_hidden,
    trace_changed,
    field_removed,
)
