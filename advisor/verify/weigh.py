"""Reasons and bounds weighed anew: for the main leather, and for each leather besides it by reasons of its own."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from ..codes import Saying, say
from ..rulebase import models, written
from .balance import brings, set_aside_wishes, signed, withdrawn
from .known import CONCERN, FORCE, INF, Known


@dataclass
class Weighed:
    """What the reasons about one choice come to; ``says`` is what the advice shows of it beside its ledger.

    ``fits`` are all that fit, the best first, ``gone`` the rules by the candidate that they bar, ``reasons`` the
    entries that count. ``wishes`` are (candidate, attribute, rules against it) of what was asked for by name and is
    left out.
    """

    says: dict[str, Any]
    entries: list[Any]
    fits: list[str]
    gone: dict[str, list[str]]
    reasons: list[Any]
    points: dict[str, int]
    eligible: set[str]
    wishes: list[tuple[str, str, list[str]]]

    @property
    def lead(self) -> list[str]:
        """The one that leads, or nothing."""
        chosen: list[str] = self.says["chosen"]
        return chosen[:1]

    @property
    def view(self) -> dict[str, Any]:
        """How the advice shows it."""
        return self.says | {"ledger": [{k: v for k, v in e.items() if k != "by"} for e in self.entries]}


@dataclass
class Met:
    """What bounds come to: ``says`` the window, ``rows`` each bound with its step and whether it holds a side."""

    says: dict[str, Any]
    rows: list[tuple[Any, str, bool]]
    ends: list[float | None]
    clash: bool


class Weigh(Known):
    """Choices and windows of one advice, worked out from the claims about them."""

    def weighed(self, d: models.Decision, claims: list[Any], costs: dict[str, str]) -> Weighed:
        """Every reason with what counts, the balance, and what is chosen."""
        entries, gone = dict[Any, Any](), self.barring(claims)
        wished, named = set[Any](), list[tuple[str, str]]()
        for key, rule, c, who in claims:
            by, ranking = self.winner(rule.id), not rule.item and self.item and d.name in self.item.ranks
            spoken = c.act == "favour" or (ranking and self.item and who in self.item.ranks[d.name])
            habit = ranking and c.act in ("favour", "disfavour") and spoken and self.own[key]
            aside = say("withdrawn", rule=by) if by else say("in_ranking") if habit else None
            entry = written.entry(rule, c, who, aside, self.stands(self.applied[rule.id][0]))
            if c.attribute and rule.concern == "stated wish":
                named += [] if by else [(who, c.attribute)]
                wished |= {(rule.id, c.act, who)} - entries.keys() if c.act == "favour" else set()
            entries.setdefault((rule.id, c.act, who), entry)
        live = [e for e in entries.values() if not withdrawn(e)]
        ranked = any(e["act"] == "favour" and e["concern"] in models.HABITS for e in live)
        unheard = set_aside_wishes(entries, wished) if ranked else {}
        wishes = [(who, wish, gone.get(who) or unheard[who]) for who, wish in named if who in gone or who in unheard]
        reasons = [e for e in entries.values() if e["counts"]]
        eligible = set() if ranked else set(d.candidates)
        points, against = dict.fromkeys(d.candidates, 0), dict.fromkeys(d.candidates, 0)
        for e in (e for e in reasons if e["strength"] != "must"):
            who, good = e["candidate"], e["act"] == "favour"
            points[who] += signed(e)
            against[who] += not good
            eligible |= {who} if brings(e) else set()
        order = {c: (-points[c], against[c], Decimal(costs.get(c, "inf"))) for c in d.candidates}
        fits = [c for c in order if reasons and c in eligible and c not in gone and (points[c] > 0 or not ranked)]
        fits.sort(key=order.__getitem__)
        chosen = [c for c in fits if points[c] == points[fits[0]]] if ranked else fits[:1]
        tie = None
        if len(chosen) > 1:
            first, second = order[chosen[0]], order[chosen[1]]
            if first[1] < second[1]:
                tie = say("tied_less_against", decision=d.name, candidates=chosen).written()
            elif first < second:
                tie = say("tied_cheapest", decision=d.name, candidates=chosen).written()
            else:
                tie = say("tied", decision=d.name, candidates=chosen).written()
        says = {"chosen": chosen, "also_fits": fits[len(chosen) :], "tie": tie, "excluded": gone}
        return Weighed(says, list(entries.values()), fits, gone, reasons, points, eligible, wishes)

    def balance(self, d: models.Decision, w: Weighed, costs: dict[str, str], prices: list[str]) -> str:
        """The step by which a choice was settled: it rests on the reasons for what leads and what bars its rivals."""
        lead = w.lead
        rivals = {c for c in w.gone if not lead or (c in w.eligible and w.points[c] > w.points[lead[0]])}
        barring = [e for e in w.reasons if e["strength"] == "must" and e["candidate"] in rivals]
        rests = [e["by"] for e in w.reasons if e in barring or e["candidate"] in lead]
        says = w.says | {"name": d.name, "entries": w.entries, "costs": costs}
        return self.make("balance", says, rests, [e["by"] for e in w.entries] + prices)

    def prices_of(self, d: models.Decision) -> dict[str, str]:
        """What each candidate costs where its price parts equals."""
        return {c: str(v) for c, v in d.table("price").items()} if "price" in d.properties else {}

    def meet(self, claims: list[Any]) -> tuple[float, float, tuple[float, float], dict[Any, Saying]]:
        """Both ends of the window that bounds leave, those of the musts alone, and what was set aside and why."""
        low, high, must, beyond = -INF, INF, (-INF, INF), dict[Any, Saying]()
        for claim in sorted(claims, key=lambda c: (c[1].force != "must", CONCERN(c[1].concern), -FORCE(c[1].force))):
            _, rule, c, mm = claim
            if self.winner(rule.id) or (rule.force != "must" and must[0] > must[1]):
                continue
            if rule.force != "must" and (mm > high if c.act == "at least" else mm < low):
                beyond[claim] = say("leaves_nothing")
            else:
                low, high = (max(low, mm), high) if c.act == "at least" else (low, min(high, mm))
                must = (low, high) if rule.force == "must" else must
        return low, high, must, beyond

    def met(self, claims: list[Any]) -> Met:
        """Every bound, where they meet, and which hold each side: the musts, then the others by concern and force."""
        rows = list[Any]()
        low, high, must, beyond = self.meet(claims)
        clash, crossed = must[0] > must[1], dict[str, Any]()
        for claim in claims:
            key, rule, c, mm = claim
            of, by, end = self.ids.get(str(c.attribute)), self.winner(rule.id), low if c.act == "at least" else high
            aside = say("withdrawn", rule=by) if by else beyond.get(claim)
            line = self.made.get(str(of), {}).get("line")
            clear = None if aside or clash else round(abs(mm - end), 3)
            says = written.bound(rule, c, mm, line, not aside and not clash and mm == end, clear, aside)
            holds = says["binding"]
            if clash and rule.force == "must" and not aside and mm == end:
                holds = crossed.setdefault(c.act, claim) == claim
            rows.append((says, self.make("bound", says, [self.stands(key), of]), holds))
        if not clash:
            rows.sort(key=lambda r: (r[0]["side"], not r[0]["binding"], bool(r[0]["set_aside"]), r[0]["rule"]))
        ends = [None if clash or abs(e) == INF else e for e in (low, high)]
        says = {"low_mm": ends[0], "high_mm": ends[1], "feasible_mm": [None if abs(e) == INF else e for e in must]}
        return Met(says, rows, ends, clash)

    def window_step(self, name: str, found: Met) -> str:
        """The step by which a window was settled: it rests on the bounds that hold its sides."""
        rests, besides = [step for _, step, holds in found.rows if holds], [step for _, step, _ in found.rows]
        return self.make("window", found.says | {"name": name}, rests, besides)

    def bounds_shown(self, found: Met) -> list[Any]:
        """Each bound as the advice shows it, beside what only the proof says."""
        return [
            row
            | {
                "formula": row["line"],
                "inputs": self.put_in.get(row["of"], {}),
                "because": self.base.rules[row["rule"]].because,
            }
            for row, *_ in found.rows
        ]
