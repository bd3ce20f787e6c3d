"""``advisor rules``: the rule base looked over: checked, listed, one rule or one item shown."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import Any

from ..errors import EXIT_ADVICE, EXIT_UNREADABLE, UsageError, nearest
from ..leather.units import show
from ..read.answers import check_answers
from ..read.beside import check_beside
from ..read.danger import check_dangers
from ..read.glossary import check_glossary
from ..read.hints import usual_sizes
from ..read.lexicon import lexicon
from ..read.purposes import purposes
from ..reasoning.cases import command_words, read_cases
from ..rulebase.asking import check_asking
from ..rulebase.changing import check_changing
from ..rulebase.declarations import DECISIONS
from ..rulebase.house import House
from ..rulebase.models import Item, Rule, RuleBase, Value
from ..talk.direct import check_questions
from ..talk.requests import check_requests
from .repl import columns


def add(commands: Any) -> None:
    """Declare the command."""
    rules = commands.add_parser(
        "rules", help="the rule base: check it, list it, show one rule, one item or one leather"
    )
    rules.add_argument("action", choices=("check", "list", "show"))
    rules.add_argument("id", nargs="?", help="the id of a rule, an item or a candidate such as a leather, for show")
    rules.add_argument(
        "--cases", metavar="FOLDER", type=Path, help="for list: show under each rule its case and near miss"
    )
    rules.add_argument(
        "--deferrals", action="store_true", help="for list: only the rules that defer, with what becomes of the order"
    )
    rules.set_defaults(run=run)


def run(rulebase: RuleBase, house: House | None, options: argparse.Namespace) -> int:
    """Check, list or show."""
    del house
    if options.cases is not None and options.action != "list":
        raise UsageError(f"--cases belongs to rules list, not to rules {options.action}")
    if options.deferrals and options.action != "list":
        raise UsageError(f"--deferrals belongs to rules list, not to rules {options.action}")
    if options.action == "show":
        if not options.id:
            raise UsageError("rules show needs the id of a rule, an item or a leather; rules list gives those of rules")
        if options.id in rulebase.items:
            print("\n".join(_item_lines(rulebase, rulebase.items[options.id])))
            return EXIT_ADVICE
        if any(options.id in d.candidates for d in rulebase.choices()):
            print("\n".join([*_candidate_lines(rulebase, options.id), *_property_lines(rulebase, options.id)]))
            return EXIT_ADVICE
        if any(options.id in d.properties for d in rulebase.choices()):
            print("\n".join(_property_lines(rulebase, options.id)))
            return EXIT_ADVICE
        if options.id not in rulebase.rules:
            candidates = [c for d in rulebase.choices() for c in (*d.candidates, *d.properties)]
            near = nearest(options.id, [*rulebase.rules, *rulebase.items, *candidates])
            raise UsageError(
                f'no rule, item, candidate or property is called "{options.id}"'
                + (f'; did you mean "{near}"?' if near else "")
            )
        print("\n".join(_rule_lines(rulebase, rulebase.rules[options.id])))
        return EXIT_ADVICE
    if options.deferrals:
        return _deferrals(rulebase)
    if options.action == "list":
        return _list(rulebase, options.cases)
    return _check(rulebase)


def _list(rulebase: RuleBase, folder: Path | None) -> int:
    cases = read_cases(folder, rulebase) if folder is not None else {}
    for rule in rulebase.rules.values():
        print(f"{rule.id:<52} {rule.force:<7} {rule.concern:<18} {rule.file}:{rule.line}")
        case = cases.get(rule.id)
        if case is not None:
            print(f"    fires      {command_words(case.fires)}\n    near miss  {command_words(case.near_miss)}")
    if folder is not None:
        written = [rule for rule in rulebase.rules.values() if rule.item is None]
        print(f"{len(cases)} of {len(written)} written rules have a case and a near miss.")
    return EXIT_ADVICE


def _deferrals(rulebase: RuleBase) -> int:
    """Each rule that defers, the withheld orders first, with the reason."""
    deferring = [r for r in rulebase.about("outcome") if any(c.text == "outcome defer" for c in r.then)]
    for rule in sorted(deferring, key=lambda r: r.order != "withheld"):
        print(f"{rule.order:<9} {rule.id:<46} {rule.because}")
    return EXIT_ADVICE


def _rule_lines(rulebase: RuleBase, rule: Rule) -> list[str]:
    from ..write.page import Page

    page = Page(columns(sys.stdout))
    page.add(rule.id)
    page.add(f"{rule.file}:{rule.line}; stratum {rulebase.strata.rule[rule.id]}", 2)
    for premise in dict.fromkeys(p.text for p in rule.when):
        page.add(premise, 2, "when    ")
    for conclusion in rule.then:
        page.add(conclusion.text + (f" ({conclusion.because})" if conclusion.because else ""), 2, "then    ")
    page.add(rule.because, 2, "because ")
    page.add(f"{rule.force}; {rule.concern}; {rule.basis}", 2, "stands  ")
    for source_id in rule.source:
        source = rulebase.sources[source_id]
        opened = "opened" if source.opened else "from memory"
        year = f" ({source.year})" if source.year else ""
        page.add(f"{source.title}{year}{f', {source.clause}' if source.clause else ''}; {opened}", 2, "source  ")
    for loser in rule.over:
        page.add(f"{loser}: {rule.over_because}", 2, "over    ")
    beaten = [r.id for r in rulebase.rules.values() if rule.id in r.over]
    if beaten:
        page.add(", ".join(beaten), 2, "under   ")
    for remedy in rule.remedies:
        page.add(remedy, 2, "remedy  ")
    if rule.contested:
        page.add(rule.contested, 2, "differs ")
    return page.lines


def _item_lines(rulebase: RuleBase, item: Item) -> list[str]:
    """What is declared of one item: where it stands, its rules, and what it took from its make and its family."""
    from ..write.page import Page

    page = Page(columns(sys.stdout))
    page.add(f"{item.slug}: {item.name}")
    own = [r for r in rulebase.rules.values() if r.item == item.slug]
    page.add(f"{own[0].file}:{own[0].line}", 2)
    page.add(", ".join(r.id for r in own), 2, "rules   ")
    for giver, keys in item.taken.items():
        page.add(f"from {giver}: {', '.join(keys)}", 2, "taken   ")
    for name, values in item.supposes.items():
        unit = rulebase.attributes[name].unit
        told = " and ".join(v if isinstance(v, str) else show(v, unit) for v in values)
        page.add(f"{name} {told}", 2, "assumed ")
    for piece in item.pieces:
        page.add(f"{piece.count} x {piece.name}, {piece.length} by {piece.width}", 2, "piece   ")
    return page.lines


def _candidate_lines(rulebase: RuleBase, slug: str) -> list[str]:
    """What is declared of a leather, form or other candidate, what ranks it, and which rules speak of it and why."""
    from ..write.page import Page

    page = Page(columns(sys.stdout))
    for decision in (d for d in rulebase.choices() if slug in d.candidates):
        candidate, about = decision.candidates[slug], decision.properties
        line = rulebase.memo["line"](DECISIONS, ("decision", decision.name, "candidates", slug))
        page.add(f"{slug}: {candidate.label}, a {decision.title}")
        page.add(f"{DECISIONS}:{line}", 2)
        page.add(candidate.means, 2, "means   ")
        page.add(candidate.like, 2, "like    ") if candidate.like else None
        for answer in ("yes", "no"):
            told = [k for k, c in about.items() if c.unit == "yes_no" and candidate.properties[k] == answer]
            page.add(", ".join(told), 2, f"{answer:<8}") if told else None
        for key, value in candidate.properties.items():
            if about[key].unit != "yes_no":
                unit = about[key].unit.replace("word", "").replace("plain", "")
                shown = value if isinstance(value, str) else f"{value:g}"
                page.add(f"{key} {shown} {unit}".rstrip(), 2, "has     ")
        for item in (i for i in rulebase.items.values() if slug in i.ranks.get(decision.name, ())):
            page.add(item.slug, 2, "ranked  ")
        for rule in rulebase.about(decision.name):
            for c in rule.then:
                if rule.item is None and c.target == decision.name and slug in c.values:
                    page.add(f"{rule.id}: {c.text}", 2, "told    ")
    return page.lines


def _property_lines(rulebase: RuleBase, name: str) -> list[str]:
    """What a property means, what each candidate says of it, and which rules name it."""
    from ..write.page import Page

    page = Page(columns(sys.stdout))
    for decision in (d for d in rulebase.choices() if name in d.properties):
        about = decision.properties[name]
        line = rulebase.memo["line"](DECISIONS, ("decision", decision.name, "properties", name))
        page.add(f"{name}: {about.label or name}, of a {decision.title}")
        page.add(f"{DECISIONS}:{line}", 2)
        page.add(about.because, 2, "because ")
        told: dict[Value, list[str]] = {}
        for slug, candidate in decision.candidates.items():
            told.setdefault(candidate.properties[name], []).append(slug)
        for value, slugs in told.items():
            page.add(", ".join(slugs), 2, f"{value:<8}" if isinstance(value, str) else f"{value:<8g}")
        for rule in (r for r in rulebase.rules.values() if r.item is None):
            for text in (*(p.text for p in rule.when), *(c.text for c in rule.then)):
                if name in text.replace(",", " ").split():
                    page.add(f"{rule.id}: {text}", 2, "read by ")
    return page.lines


def _check(rulebase: RuleBase) -> int:
    from ..rulebase.findings import Finding
    from ..rulebase.lint import check, coverage

    lexicon(rulebase)
    usual_sizes(rulebase)
    purposes(rulebase)
    findings = [*check(rulebase), *check_dangers(rulebase)]
    files = {
        "answers": check_answers,
        "glossary": check_glossary,
        "questions": check_questions,
        "requests": check_requests,
        "asking": check_asking,
        "changing": check_changing,
        "beside": check_beside,
    }
    findings += [
        Finding("error", f"words/{name}.toml", 0, name, what)
        for name, check_of in files.items()
        for what in check_of(rulebase)
    ]
    for finding in findings:
        print(finding, file=sys.stderr)
    summary = coverage(rulebase)
    print(
        f"{sum(summary.rules.values())} rules in {len(summary.rules)} files, {summary.items} items, "
        f"{summary.attributes} attributes, {summary.decisions} decisions, {summary.cautions} cautions."
    )
    print(f"Basis of the rules: {', '.join(f'{name} {share:.0%}' for name, share in summary.basis.items())}.")
    errors = sum(f.severity == "error" for f in findings)
    print(f"{errors} errors, {len(findings) - errors} warnings.")
    return EXIT_UNREADABLE if errors else EXIT_ADVICE
