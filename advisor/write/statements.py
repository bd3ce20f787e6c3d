"""What a rule asks for and what it concludes, in the labels of the rule base instead of the grammar of its files."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from ..leather.units import Units, show
from ..rulebase.models import ANSWERED, REASONS, STRENGTH_NAMES, Conclusion, Premise, Rule, RuleBase, Value, parted
from .names import AMONG, attribute_called, called, grammar_said, listed_in_rule, names_trait
from .page import OUTCOME_WORDS, listed

_SIDES = {"<": "is under", "<=": "is at most", ">": "is over", ">=": "is at least"}
_HOW = {0: "", 1: "slightly", 2: "clearly", 3: "strongly"}
_STRONGLY = {"strong": "strongly", "clear": "clearly", "slight": "slightly"}


def premise_said(rulebase: RuleBase, premise: Premise, units: Units = "mm") -> str:
    """One condition of a rule: ``load is over 30 kg``, ``water is rain or soaked``."""
    name = attribute_called(rulebase, premise.attribute)
    if premise.operator in ("known", "unknown"):
        answered = premise.attribute.endswith(ANSWERED)
        state = "was answered" if answered else "is known"
        unlike = "nobody has answered about " if answered else ""
        if premise.operator == "known":
            return f"{name} {state}"
        return f"{unlike}{name}" if answered else f"{name} is not known"
    if premise.other:
        return f"{name} {_SIDES[premise.operator]} {attribute_called(rulebase, premise.other)}"
    among = AMONG.fullmatch(premise.text)
    if among and names_trait(rulebase, premise.attribute, among[3]):
        return grammar_said(rulebase, premise.text)
    values = _values(rulebase, premise.attribute, premise.values, units)
    if premise.operator in _SIDES:
        return f"{name} {_SIDES[premise.operator]} {listed(values)}"
    if premise.operator == "lacks":
        return f"{name}: not {listed(values, 'or')}"
    verb = "is not" if premise.operator == "is not" else "is"
    return f"{name} {verb} {listed(values, 'or')}"


def conclusion_said(rulebase: RuleBase, conclusion: Conclusion, units: Units = "mm") -> str:
    """One thing a rule says: ``tannage: not sole leather or rawhide``, ``assume water: rain``."""
    c, act = conclusion, conclusion.act
    if act == "caution":
        return f"caution: {rulebase.cautions[c.target].about}"
    if act == "outcome":
        return f"outcome: {OUTCOME_WORDS[c.target]}"
    if act == "clash":
        return f"cannot be had together: {rulebase.clashes[c.target].between}"
    name = attribute_called(rulebase, c.target)
    from_ = attribute_called(rulebase, c.attribute) if c.attribute else ""
    written = _list_of(c)
    only = c.act == "exclude" and written.startswith("all but ")
    if c.act in REASONS and written and names_trait(rulebase, c.target, written):
        values = listed_in_rule(rulebase, c.target, written.removeprefix("all but ") if only else written)
    else:
        values = _values(rulebase, c.target, c.values, units)
    if act in ("at least", "at most"):
        return f"{name} {act} {from_ or listed(values)}"
    if act in ("set", "add"):
        return f"{name} is {from_ or listed(values)}"
    if act == "suppose":
        return f"assume {name}: {from_ or listed(values)}"
    among = f"what is {from_}" if from_ else listed(values, "or")
    if act in ("exclude", "require"):
        return f"{name}: {'not' if act == 'exclude' and not only else 'only'} {among}"
    how = _STRONGLY[STRENGTH_NAMES[c.strength]]
    return f"{name}: {how} {'for' if act == 'favour' else 'against'} {among}"


def conclusions_said(rulebase: RuleBase, conclusions: Sequence[Conclusion], units: Units = "mm") -> str:
    """Everything a rule says, alike candidates together."""
    alike: dict[object, list[Conclusion]] = {}
    for n, c in enumerate(conclusions):
        joins = c.act in REASONS and not c.attribute and " but " not in _list_of(c)
        alike.setdefault((c.act, c.target, c.strength) if joins else n, []).append(c)
    return "; ".join(conclusion_said(rulebase, _joined(found), units) for found in alike.values())


def _joined(found: Sequence[Conclusion]) -> Conclusion:
    if len(found) == 1:
        return found[0]
    text = f"{found[0].act} {found[0].target} {', '.join(map(_list_of, found))}"
    return replace(found[0], values=tuple(v for c in found for v in c.values), text=f"{text} {_HOW[found[0].strength]}")


def _list_of(c: Conclusion) -> str:
    """The list of candidates of a reason, as the rule has it."""
    words = c.text.removeprefix(f"{c.act} {c.target} ")
    return words.rpartition(" ")[0] if c.strength else words.strip()


def bound_from(rule: Rule, side: str, target: str = "weight") -> str | None:
    """The attribute that the bound of a rule is read off, if it is no plain number."""
    return next((c.attribute for c in rule.then if c.act == side and c.target == target), None)


def _values(rulebase: RuleBase, name: str, values: Iterable[Value], units: Units) -> list[str]:
    name, _ = parted(name)
    known = rulebase.attributes.get(name) or rulebase.decisions.get(name)
    unit = known.unit if known else ""
    return [show(v, unit, units) if isinstance(v, float) else called(rulebase, name, v) for v in values]
