"""Folders and files as somebody hostile would make them: each maker fills an empty folder and names what to run.

A maker gives the arguments of the program. What it makes is refused or read, but always within the limits.
"""

from __future__ import annotations

import json
import os
import random
import re
import shutil
from collections.abc import Callable
from pathlib import Path

from advisor.reasoning.consult import Consultation
from advisor.reasoning.deciding import proven
from advisor.reasoning.facts import parse_answers
from advisor.reasoning.record import LINE, Began, Line, made_with
from advisor.rulebase.load import load_rulebase

ROOT = Path(__file__).parents[2]
RULES = ROOT / "rulesets" / "leather"
SHOP = ROOT / "transcripts_demo" / "house"
ESC = "\\u001b[31m"
Maker = Callable[[Path], list[str]]


def _rules(folder: Path) -> Path:
    shutil.copytree(RULES, folder / "rules_copy")
    return folder / "rules_copy"


def _shop(folder: Path) -> Path:
    shutil.copytree(SHOP, folder / "shop")
    return folder / "shop"


def _check(rules: Path) -> list[str]:
    return ["--rules", str(rules), "rules", "check"]


def _priced(shop: Path) -> list[str]:
    return ["--house", str(shop), "recommend", "belt", "--no-log"]


def dotted_keys(folder: Path) -> list[str]:
    rules = _rules(folder)
    (rules / "rules" / "zz.toml").write_text(".".join(["a"] * 20_000) + "=1\n", "utf-8")
    return _check(rules)


def a_megabyte_of_dots(folder: Path) -> list[str]:
    rules = _rules(folder)
    (rules / "rules" / "zz.toml").write_text(".".join(["a"] * 490_000) + "=1\n", "utf-8")
    return _check(rules)


def dotted_prices(folder: Path) -> list[str]:
    shop = _shop(folder)
    (shop / "prices.toml").write_text("[" + ".".join(["a"] * 20_000) + "]\n", "utf-8")
    return _priced(shop)


def dotted_key_in_an_inline_table(folder: Path) -> list[str]:
    rules = _rules(folder)
    (rules / "rules" / "zz.toml").write_text("x = { " + ".".join(["a"] * 5000) + " = 1 }\n", "utf-8")
    return _check(rules)


def deep_lists(folder: Path) -> list[str]:
    rules = _rules(folder)
    (rules / "rules" / "zz.toml").write_text("x = " + "[" * 200_000 + "]" * 200_000, "utf-8")
    return _check(rules)


def pipe_among_the_rules(folder: Path) -> list[str]:
    rules = _rules(folder)
    os.mkfifo(rules / "rules" / "zz.toml")
    return _check(rules)


def device_among_the_rules(folder: Path) -> list[str]:
    rules = _rules(folder)
    (rules / "rules" / "zz.toml").symlink_to("/dev/zero")
    return _check(rules)


def link_out_of_the_rules(folder: Path) -> list[str]:
    rules = _rules(folder)
    (folder / "outside.toml").write_text("", "utf-8")
    (rules / "rules" / "zz.toml").symlink_to(folder / "outside.toml")
    return _check(rules)


def sparse_rules(folder: Path) -> list[str]:
    rules = _rules(folder)
    with (rules / "rules" / "zz.toml").open("wb") as file:
        file.truncate(3 << 30)
    return _check(rules)


def sparse_prices(folder: Path) -> list[str]:
    shop = _shop(folder)
    with (shop / "prices.toml").open("wb") as file:
        file.truncate(2 << 30)
    return _priced(shop)


def pipe_for_prices(folder: Path) -> list[str]:
    shop = _shop(folder)
    (shop / "prices.toml").unlink()
    os.mkfifo(shop / "prices.toml")
    return _priced(shop)


def pipe_for_words(folder: Path) -> list[str]:
    shop = _shop(folder)
    (shop / "words.toml").unlink(missing_ok=True)
    os.mkfifo(shop / "words.toml")
    return _priced(shop)


def unknown_keys(folder: Path) -> list[str]:
    rules = _rules(folder)
    (rules / "rules" / "zz.toml").write_text("".join(f"key{n} = 1\n" for n in range(20_000)), "utf-8")
    return _check(rules)


def wrong_rules(folder: Path) -> list[str]:
    rules = _rules(folder)
    wrong = (
        '[[rule]]\nid = "wrong-{}"\nwhen = ["itm is belt"]\nthen = ["favur tannage x"]\nforce = "must"\n'
        'concern = "use"\nbecause = "b"\nbasis = "estimate"\n'
    )
    (rules / "rules" / "zz.toml").write_text("".join(wrong.format(n) for n in range(6000)), "utf-8")
    return _check(rules)


def too_many_rules(folder: Path) -> list[str]:
    rules = _rules(folder)
    right = (
        '[[rule]]\nid = "right-{}"\nwhen = ["item is trouser_belt"]\nthen = ["caution {}"]\nforce = "may"\n'
        'concern = "use"\nbecause = "b"\nbasis = "estimate"\n'
    )
    cautions = (rules / "cautions.toml").read_text("utf-8").splitlines()
    name = next(line for line in cautions if line.startswith("[caution.")).strip("[]").removeprefix("caution.")
    for part in range(4):
        text = "".join(right.format(f"{part}-{n}", name) for n in range(5000))
        (rules / "rules" / f"zz{part}.toml").write_text(text, "utf-8")
    return _check(rules)


def many_files(folder: Path) -> list[str]:
    rules = _rules(folder)
    for n in range(5000):
        (rules / "rules" / f"zz{n}.toml").write_text("", "utf-8")
    return _check(rules)


def _rule(when: str) -> str:
    return (
        f'[[rule]]\nid = "zz"\nwhen = {when}\nthen = ["item is x"]\nforce = "must"\nconcern = "use"\n'
        'because = "b"\nbasis = "estimate"\n'
    )


def _one_rule_of(text: str | bytes) -> Maker:
    """Among the rules a file of this text."""

    def made(folder: Path) -> list[str]:
        rules = _rules(folder)
        (rules / "rules" / "zz.toml").write_bytes(text.encode() if isinstance(text, str) else text)
        return _check(rules)

    return made


def _prices_of(price: str) -> Maker:
    """A shop where everything costs this."""

    def made(folder: Path) -> list[str]:
        shop = _shop(folder)
        text = (shop / "prices.toml").read_text("utf-8")
        (shop / "prices.toml").write_text(re.sub(r'^price = ".*"', f'price = "{price}"', text, flags=re.M), "utf-8")
        return _priced(shop)

    return made


def folder_of_rules_moved_out(folder: Path) -> list[str]:
    rules = _rules(folder)
    shutil.move(rules / "rules", folder / "moved")
    (rules / "rules").symlink_to(folder / "moved")
    return _check(rules)


def system_folder(folder: Path) -> list[str]:
    del folder
    return _check(Path("/proc/self/fd"))


def _changed_text(folder: Path, key: str) -> Path:
    rules = _rules(folder)
    for file in sorted((rules / "rules").glob("*.toml"))[:3] + sorted((rules / "items").glob("*.toml"))[:3]:
        file.write_text(file.read_text("utf-8").replace(f'{key} = "', f'{key} = "{ESC}'), "utf-8")
    return rules


def steering_reasons(folder: Path) -> list[str]:
    return _check(_changed_text(folder, "because"))


def steering_reasons_in_use(folder: Path) -> list[str]:
    rules = _changed_text(folder, "because")
    return ["--rules", str(rules), "--plain", "recommend", "belt", "--full", "--no-log"]


def steering_names(folder: Path) -> list[str]:
    rules = _changed_text(folder, "name")
    return ["--rules", str(rules), "--plain", "recommend", "belt", "--slip", "--no-log"]


def steering_key(folder: Path) -> list[str]:
    rules = _rules(folder)
    (rules / "rules" / "zz.toml").write_text(f'"{ESC}" = 1\n', "utf-8")
    return _check(rules)


def steering_words(folder: Path) -> list[str]:
    rules = _rules(folder)
    file = next((rules / "words" / "things").glob("*.toml"))
    file.write_text(file.read_text("utf-8").replace('name = "', f'name = "{ESC}', 1), "utf-8")
    return ["--rules", str(rules), "recommend", "belt", "--no-log"]


def steering_shop(folder: Path) -> list[str]:
    shop = _shop(folder)
    text = (shop / "prices.toml").read_text("utf-8")
    (shop / "prices.toml").write_text(text.replace('shop = "', f'shop = "{ESC}', 1), "utf-8")
    return _priced(shop)


def steering_shop_words(folder: Path) -> list[str]:
    shop = _shop(folder)
    (shop / "words.toml").write_text(f'[thing.gadget]\nname = "a {ESC} gadget"\nnames = ["gadget{ESC}"]\n', "utf-8")
    return _priced(shop)


def direction_turned(folder: Path) -> list[str]:
    shop = _shop(folder)
    text = (shop / "prices.toml").read_text("utf-8")
    (shop / "prices.toml").write_text(text.replace('shop = "', 'shop = "\u202e', 1), "utf-8")
    return _priced(shop)


def _head() -> bytes:
    """The first line of a log that the program itself begins."""
    began = Began(by="chat", made_with=made_with(load_rulebase(), None, "0"), at="")
    return LINE.dump_json(Line(n=1, event=began)) + b"\n"


def _log(folder: Path, raw: bytes, *command: str) -> list[str]:
    (folder / "logs").mkdir()
    (folder / "logs" / "2026-01-01-000000.jsonl").write_bytes(raw)
    return [*command, *([] if "list" in command else ["2026-01-01-000000"])]


def steering_log_shown(folder: Path) -> list[str]:
    return _log(folder, _head() + f'{{"n":2,"event":{{"kind":"{ESC}X"}}}}\n'.encode(), "log", "show")


def steering_log_listed(folder: Path) -> list[str]:
    return _log(folder, _head() + f'{{"n":2,"event":{{"kind":"{ESC}X"}}}}\n'.encode(), "log", "list")


def deep_log(folder: Path) -> list[str]:
    return _log(folder, b'{"n":1,"event":' * 300_000 + b"1" + b"}" * 300_000 + b"\n", "log", "show")


def log_of_rubbish(folder: Path) -> list[str]:
    return _log(folder, random.Random(1).randbytes(7_000_000), "replay")


def log_of_a_pipe(folder: Path) -> list[str]:
    arguments = _log(folder, b"", "log", "show")
    (folder / "logs" / "2026-01-01-000000.jsonl").unlink()
    os.mkfifo(folder / "logs" / "2026-01-01-000000.jsonl")
    return arguments


def log_folder_of_many(folder: Path) -> list[str]:
    arguments = _log(folder, b"", "log", "list")
    for n in range(4000):
        (folder / "logs" / f"2026-01-01-{n:06}.jsonl").write_bytes(b"{}\n")
    return arguments


def proof_of_a_pipe(folder: Path) -> list[str]:
    os.mkfifo(folder / "proof.json")
    return ["verify", str(folder / "proof.json")]


def proof_of_a_device(folder: Path) -> list[str]:
    (folder / "proof.json").symlink_to("/dev/zero")
    return ["verify", str(folder / "proof.json")]


def sparse_proof(folder: Path) -> list[str]:
    with (folder / "proof.json").open("wb") as file:
        file.truncate(3 << 30)
    return ["verify", str(folder / "proof.json")]


def deep_proof(folder: Path) -> list[str]:
    (folder / "proof.json").write_bytes(b"[" * 1_900_000 + b"]" * 1_900_000)
    return ["verify", str(folder / "proof.json")]


def wide_proof(folder: Path) -> list[str]:
    (folder / "proof.json").write_bytes(b"[" + b"{}," * 1_300_000 + b"{}]")
    return ["verify", str(folder / "proof.json")]


def proof_of_huge_numbers(folder: Path) -> list[str]:
    """A piece set by hand of sizes that nobody can give, in an advice that holds up to there."""
    base = load_rulebase()
    answers = parse_answers(base, {"item": "card_holder", "piece.front_pocket": "2@65x100"})
    advice = json.loads(proven(Consultation(base, answers)).model_dump_json(by_alias=True))
    for node in advice["proof"]["nodes"].values():
        if node.get("name") == "piece.front_pocket":
            node["value"] = [1e15, 1e-9, 1e15]
    (folder / "proof.json").write_text(json.dumps(advice), "utf-8")
    return ["verify", str(folder / "proof.json")]


def batch_of_a_device(folder: Path) -> list[str]:
    del folder
    return ["recommend", "--batch", "/dev/zero", "--no-log"]


def batch_of_a_pipe(folder: Path) -> list[str]:
    os.mkfifo(folder / "lines")
    return ["recommend", "--batch", str(folder / "lines"), "--no-log"]


def batch_of_long_lines(folder: Path) -> list[str]:
    (folder / "lines").write_text(("belt " * 400_000 + "\n") + "9" * 1_000_000 + "\n" + "12x" * 300_000 + "\n", "utf-8")
    return ["recommend", "--batch", str(folder / "lines"), "--no-log", "--slip"]


def cases_of_a_device(folder: Path) -> list[str]:
    (folder / "cases").mkdir()
    (folder / "cases" / "a.toml").symlink_to("/dev/zero")
    return ["rules", "list", "--cases", str(folder / "cases")]


BOMBS: dict[str, Maker] = {
    "a_number_of_6000_digits": _one_rule_of("x = " + "9" * 6000),
    "a_hexadecimal_number_of_200000_digits": _one_rule_of("x = 0x" + "f" * 200_000),
    "no_number_and_no_end": _one_rule_of("x = nan\ny = inf\nz = 1979-05-27T07:32:00Z\n"),
    "utf_16": _one_rule_of(_rule('["item is trouser_belt"]').encode("utf-16")),
    "latin_1": _one_rule_of(b'x = "\xe9\xff"'),
    "half_a_character": _one_rule_of('x = "\\ud800"'),
    "a_premise_of_400000_letters": _one_rule_of(_rule(f'["item is {"a " * 200_000}"]')),
    "30000_premises": _one_rule_of(_rule("[" + ",".join(['"item is trouser_belt"'] * 30_000) + "]")),
    "brackets_in_a_premise": _one_rule_of(_rule(f'["strap_width >= {"(" * 120}1{")" * 120}"]')),
    "a_tower_of_powers": _one_rule_of(_rule('["strap_width >= 9**9**9**9 mm"]')),
    "a_huge_exponent": _one_rule_of(_rule('["strap_width >= 1e999999999 mm"]')),
    "a_price_without_end": _prices_of("Infinity"),
    "a_price_of_5000_digits": _prices_of("9" * 5000),
    "a_price_below_zero": _prices_of("-1"),
    "a_price_in_other_digits": _prices_of("١٢"),
    "a_price_with_an_exponent": _prices_of("1e300"),
}
"""Values of one line that cost much to take in, or are no values."""
FOLDERS: tuple[Maker, ...] = (
    dotted_keys,
    a_megabyte_of_dots,
    dotted_prices,
    dotted_key_in_an_inline_table,
    deep_lists,
    pipe_among_the_rules,
    device_among_the_rules,
    link_out_of_the_rules,
    sparse_rules,
    sparse_prices,
    pipe_for_prices,
    pipe_for_words,
    unknown_keys,
    wrong_rules,
    too_many_rules,
    many_files,
    folder_of_rules_moved_out,
    system_folder,
)
STEERING: tuple[Maker, ...] = (
    steering_reasons,
    steering_reasons_in_use,
    steering_names,
    steering_key,
    steering_words,
    steering_shop,
    steering_shop_words,
    direction_turned,
    steering_log_shown,
    steering_log_listed,
)
FILES: tuple[Maker, ...] = (
    deep_log,
    log_of_rubbish,
    log_of_a_pipe,
    log_folder_of_many,
    proof_of_a_pipe,
    proof_of_a_device,
    sparse_proof,
    deep_proof,
    wide_proof,
    proof_of_huge_numbers,
    batch_of_a_device,
    batch_of_a_pipe,
    batch_of_long_lines,
    cases_of_a_device,
)
READ = {"many_files", "batch_of_long_lines", "log_folder_of_many", "steering_log_listed"}
"""What is refused in part or not at all: the rest has to be refused."""
LINES: tuple[tuple[str, ...], ...] = (
    ("--rules", "\x1b[31m", "rules", "check"),
    ("--house", "\x1b[31m", "recommend", "belt"),
    ("recommend", "--batch", "\x1b[31m"),
    ("verify", "\x1b[31m"),
    ("rules", "show", "\x1b[31m"),
    ("recommend", "belt", "--why", "\x1b[31m"),
    ("recommend", "belt", "--why", "\x9b31m"),
    ("rules", "list", "--cases", "\x1b[31m"),
    ("--\x1b[31m",),
    ("log", "show", "\x1b[31m"),
    ("replay", "\x1b[31m"),
    ("recommend", "belt", "--why-not", "\x1b[31m"),
    ("recommend", "belt", "--what-if", "\x1b[31m is \x9b"),
    ("recommend", "belt", "--would-change", "\x1b[31m"),
    ("recommend", "\x1b[31mbelt"),
    ("recommend", "\x1b=\x1b"),
    ("recommend", "--batch", "/dev/null", "--from", "\x1b"),
    ("recommend", "belt", "--width", "\x1b"),
    ("--resume", "\x1b[31m"),
    ("review", "belt", "--leather", "\x1b[31m 2 mm chrome"),
    ("\x1b[31m",),
    ("schema", "\x1b"),
    ("log", "list", "\x1b"),
    ("recommend", "piece.\x1b=1@2x3"),
    ("log", "show", "x" * 5000),
    ("verify", "x" * 5000),
    ("--rules", "x" * 5000, "rules", "check"),
    ("recommend", "--batch", "x" * 5000),
    ("--house", "x" * 5000, "recommend", "belt"),
    ("rules", "list", "--cases", "x" * 5000),
    ("replay", "x" * 5000),
    ("recommend", "belt", "--batch", "/dev/null", "--json", "--out", "x" * 5000),
)
"""Command lines of which nothing may reach the terminal as it is."""
