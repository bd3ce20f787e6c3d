"""The kept copy of the rule base: it says what the rule files say, and whatever is wrong with it, nobody notices.

What a pickle can do is known from the manual of the standard library ("It is possible to construct malicious pickle
data which will execute arbitrary code during unpickling"), and the permissions from POSIX (S_IRWXG, S_IRWXO).
"""

from __future__ import annotations

import hashlib
import os
import pickle
import shutil
import subprocess
import sys
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from pathlib import Path

import pytest
from plain import sampled

import advisor.shell
from advisor.read.kinds import ranking_of
from advisor.read.questions import topic_asked
from advisor.rulebase.models import RuleBase
from advisor.shell import prepared
from advisor.shell.logbook import PROGRAM
from advisor.shell.prepared import prepared_rulebase
from advisor.talk.recording import consulted

sys.path.append(str(Path(__file__).parents[1] / "attack"))
from planted import functions, planted

SAID = ("a belt for jeans 38 mm wide, waist 92 cm", "dog lead for a strong dog", "knife sheath", "swing for my kid")
ROOT = Path(__file__).parents[2]
PLANTABLE = {
    name.removeprefix("advisor.shell.prepared."): function
    for name, function in functions([advisor.shell]).items()
    if name.startswith("advisor.shell.prepared.")
}


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy, as the first start writes it."""
    place = tmp_path_factory.mktemp("first")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_CACHE_HOME", str(place))
        prepared_rulebase()
        (found,) = prepared.folder().iterdir()
    return found


@pytest.fixture
def copy(written: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The copy in a cache folder of its own."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    prepared.folder().mkdir(mode=0o700, parents=True)
    return Path(shutil.copy2(written, prepared.folder()))


@pytest.fixture
def reads(monkeypatch: pytest.MonkeyPatch, rulebase: RuleBase) -> list[str]:
    """Grows by one each time the rule files are to be read; it takes no time here."""
    seen: list[str] = []

    def loaded() -> RuleBase:
        seen.append("read")
        return replace(rulebase, memo={name: rulebase.memo[name] for name in ("line", "words")})

    monkeypatch.setattr(prepared, "load_rulebase", loaded)
    monkeypatch.setattr(prepared, "_compile", lambda _: None)
    return seen


def test_the_copy_advises_as_the_rule_files_do(copy: Path, reads: list[str], rulebase: RuleBase) -> None:
    kept = prepared_rulebase()
    assert reads == []
    assert kept.sha256 == rulebase.sha256
    assert {r.id: (r.file, r.line) for r in kept.rules.values()} == {
        r.id: (r.file, r.line) for r in rulebase.rules.values()
    }
    for said in SAID:
        one, other = (consulted(base, said, None) for base in (kept, rulebase))
        assert one.advice.model_dump_json() == other.advice.model_dump_json()
        assert one.reading == other.reading


def test_what_few_runs_need_is_unpacked_when_it_is_wanted(copy: Path, reads: list[str], rulebase: RuleBase) -> None:
    packed, name = prepared_rulebase(), "questions of the advice"
    assert name not in packed.memo
    topic = topic_asked(rulebase, "how do I clean it")
    assert topic is not None
    assert topic_asked(packed, "how do I clean it") == topic
    assert ranking_of(packed).points == ranking_of(rulebase).points
    spoilt = prepared_rulebase()
    spoilt.memo._later[name] = pickle.dumps(_Harm(copy.parents[1] / "harm"))  # type: ignore[attr-defined]
    assert topic_asked(spoilt, "how do I clean it") is not None
    assert not (copy.parents[1] / "harm").exists()
    assert reads == []


def test_it_is_the_users_alone_and_holds_no_rule_file(written: Path) -> None:
    assert written.stat().st_mode & 0o777 == 0o600
    assert written.parent.stat().st_mode & 0o777 == 0o700
    assert b"[[rule]]" not in written.read_bytes()


def _emptied(path: Path) -> None:
    path.write_bytes(b"")


def _torn(path: Path) -> None:
    path.write_bytes(path.read_bytes()[:-1000])


def _one_bit(path: Path) -> None:
    raw = bytearray(path.read_bytes())
    raw[len(raw) // 2] ^= 1
    path.write_bytes(raw)


def _other_key(path: Path) -> None:
    raw = path.read_bytes()
    path.write_bytes(bytes(32) + raw[32:])


def _other_content(path: Path) -> None:
    """A pickle of something else, its checksum right."""
    _hold(path, pickle.dumps({"rules": frozenset(("all",))}))


def _read_by_all(path: Path) -> None:
    path.chmod(0o644)


def _folder_open(path: Path) -> None:
    path.parent.chmod(0o770)


def _link(path: Path) -> None:
    path.rename(path.parent.parent / "elsewhere")
    path.symlink_to(path.parent.parent / "elsewhere")


def _folder_link(path: Path) -> None:
    path.parent.rename(path.parent.parent / "elsewhere")
    path.parent.symlink_to(path.parent.parent / "elsewhere")


def _pipe(path: Path) -> None:
    path.unlink()
    os.mkfifo(path, 0o600)


def _too_large(path: Path) -> None:
    with path.open("ab") as file:
        file.truncate(prepared.MAX_BYTES + 1)


def _foreign(path: Path) -> None:
    os.chown(path, 12345, 12345)


def _foreign_folder(path: Path) -> None:
    os.chown(path.parent, 12345, 12345)


def _hold(path: Path, content: bytes) -> None:
    path.write_bytes(path.read_bytes()[:32] + hashlib.sha256(content).digest() + content)


NOT_USED = [
    _emptied,
    _torn,
    _one_bit,
    _other_key,
    _other_content,
    _read_by_all,
    _folder_open,
    _link,
    _folder_link,
    _pipe,
    _too_large,
    _foreign,
    _foreign_folder,
]


@pytest.mark.parametrize("spoil", sampled(NOT_USED, 3), ids=lambda f: f.__name__.strip("_"))
def test_what_is_not_right_is_read_anew(
    spoil: Callable[[Path], None], copy: Path, reads: list[str], capfd: pytest.CaptureFixture[str]
) -> None:
    if "foreign" in spoil.__name__ and os.geteuid():
        pytest.skip("only root can give a file away")
    spoil(copy)
    assert len(prepared_rulebase().rules) > 1000
    assert reads == ["read"]
    prepared_rulebase()
    # A folder that is not the user's alone is left as it is; a file in the user's own is replaced.
    assert len(reads) == (2 if "folder" in spoil.__name__ else 1)
    assert capfd.readouterr() == ("", "")


class _Harm:
    def __init__(self, path: Path) -> None:
        self.path = path

    def __reduce__(self) -> tuple[object, tuple[object, ...]]:
        return os.mkdir, (str(self.path),)


def _by_a_module_of_ours(path: Path) -> bytes:
    """Asks for os.mkdir by a module of this program that imports it: the names stand on the stack, dots and all."""
    module, name, said = (text.encode() for text in ("advisor.shell.logbook", "os.mkdir", str(path)))
    texts = [b"X" + len(text).to_bytes(4, "little") + text for text in (module, name, said)]
    return b"\x80\x04" + texts[0] + texts[1] + b"\x93" + texts[2] + b"\x85R."


@pytest.mark.parametrize("way", [lambda p: pickle.dumps(_Harm(p)), _by_a_module_of_ours])
def test_a_copy_that_calls_something_calls_nothing(way: Callable[[Path], bytes], copy: Path, reads: list[str]) -> None:
    harm = copy.parents[1] / "harm"
    _hold(copy, way(harm))
    prepared_rulebase()
    assert reads == ["read"]
    assert not harm.exists()
    # The same bytes do it where nothing is looked at.
    pickle.loads(way(harm))
    assert harm.exists()


@pytest.mark.parametrize("changed", ["__version__", "rules", "program"])
def test_other_files_or_another_program_need_a_copy_of_their_own(
    changed: str, copy: Path, reads: list[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    place = tmp_path / "other"
    if changed == "__version__":
        monkeypatch.setattr(prepared, "__version__", "0.0.0")
    elif changed == "rules":
        shutil.copytree(ROOT / "rulesets" / "leather", place)
        with (place / "rules" / "zz_more.toml").open("w", encoding="utf-8") as file:
            file.write("rule = []\n")
        monkeypatch.setattr(prepared, "shipped_rulebase", lambda: place)
    else:
        shutil.copytree(prepared._PACKAGE, place, ignore=shutil.ignore_patterns("__pycache__"))
        os.utime(place / "errors.py", (1, 1))
        kept = copy.parent / f"rules-{sys.implementation.cache_tag}-{prepared._named(place)}"
        copy.rename(kept)
        monkeypatch.setattr(prepared, "_PACKAGE", place)
    prepared_rulebase()
    assert reads == ["read"]


@pytest.mark.parametrize(
    "env", [{"HOME": "/nowhere"}, {"XDG_CACHE_HOME": "/proc/self"}, {"XDG_CACHE_HOME": "/dev/null"}], ids=str
)
def test_without_a_place_for_it_all_works(
    env: dict[str, str],
    reads: list[str],
    monkeypatch: pytest.MonkeyPatch,
    capfd: pytest.CaptureFixture[str],
    tmp_path: Path,
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("XDG_CACHE_HOME")
    for name, value in env.items():
        monkeypatch.setenv(name, value)
    if env == {"HOME": "/nowhere"}:
        monkeypatch.setattr(os, "mkdir", _refuse)
    assert len(prepared_rulebase().rules) > 1000
    assert reads == ["read"]
    assert capfd.readouterr() == ("", "")
    assert not list(tmp_path.iterdir())


def test_a_place_that_depends_on_where_one_stands_is_not_used(
    reads: list[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """What a relative HOME leads to differs between the versions of platformdirs; from 4.14 on the password file is
    asked instead."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(prepared.platformdirs, "user_cache_path", lambda *_, **__: Path("relative", PROGRAM))
    assert len(prepared_rulebase().rules) > 1000
    assert reads == ["read"]
    assert not list(tmp_path.iterdir())


def _refuse(*_: object, **__: object) -> None:
    raise PermissionError(13, "Permission denied")


def test_two_starts_at_once_leave_one_whole_copy(tmp_path: Path) -> None:
    env = {**os.environ, "XDG_CACHE_HOME": str(tmp_path)}

    def started(_: int) -> bytes:
        command = [sys.executable, "-m", "advisor", "--plain", "recommend", "--no-log", SAID[0]]
        return subprocess.run(command, env=env, cwd=ROOT, capture_output=True, check=True, timeout=240).stdout

    with ThreadPoolExecutor() as pool:
        said = list(pool.map(started, range(2)))
    (kept,) = (tmp_path / PROGRAM).iterdir()
    before = kept.stat()
    assert said == [started(0)] * 2
    assert (kept.stat().st_ino, kept.stat().st_mtime_ns) == (before.st_ino, before.st_mtime_ns)


def test_rules_check_reads_the_files(copy: Path, reads: list[str], monkeypatch: pytest.MonkeyPatch) -> None:
    from advisor.shell import cli

    monkeypatch.setattr(cli, "prepared_rulebase", lambda: pytest.fail("the copy was used"))
    assert cli.main(["rules", "list"]) == 0


@pytest.mark.parametrize(
    ("name", "there"),
    sampled(
        [(n, b) for b in (True, False) for n in sorted(PLANTABLE) if n not in ("prepared_rulebase", "_no_garbage")], 3
    ),
)
def test_a_fault_in_keeping_costs_the_copy_alone(
    name: str,
    there: bool,
    copy: Path,
    reads: list[str],
    rulebase: RuleBase,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    if not there:
        copy.unlink()
    if name == "_compile":
        monkeypatch.setattr(prepared, "_compile", PLANTABLE[name])
    with planted(PLANTABLE[name]):
        found = prepared_rulebase()
    assert found.sha256 == rulebase.sha256
    assert len(reads) <= 1
    assert capsys.readouterr() == ("", "")
    assert found.once("speaks", lambda _: True)
