"""Sittings as files of JSON lines."""

from pathlib import Path

import pytest

from headstock.base.errors import InputError, StorageError
from headstock.records.sitting_files import SUFFIX, SittingFiles


@pytest.fixture
def log(tmp_path: Path) -> SittingFiles:
    files = SittingFiles(tmp_path / "sittings")
    files.begin("ABCDE", "attach-plain", "2026-01-01 10:00:00")
    return files


def test_events_come_back_in_their_order(log: SittingFiles) -> None:
    for number in range(3):
        log.add("ABCDE", {"kind": "walked", "t_s": float(number)})
    log.mark_clock("ABCDE", 9.5)
    kept = log.kept("ABCDE")
    assert kept is not None
    assert [event["t_s"] for event in kept.events] == [0.0, 1.0, 2.0]
    assert (kept.exercise, kept.clock_s) == ("attach-plain", 9.5)


def test_a_torn_line_was_acknowledged_to_nobody_and_joins_no_other(log: SittingFiles) -> None:
    log.add("ABCDE", {"kind": "walked", "t_s": 1.0})
    path = log.folder / f"ABCDE{SUFFIX}"
    with path.open("a", encoding="utf-8") as file:
        file.write('{"kind": "walked", "t_s"')
    log.add("ABCDE", {"kind": "walked", "t_s": 2.0})
    kept = log.kept("ABCDE")
    assert kept is not None and [event["t_s"] for event in kept.events] == [1.0, 2.0]


def test_a_sitting_is_begun_with_its_first_events_or_not_at_all(log: SittingFiles, monkeypatch: pytest.MonkeyPatch) -> None:
    log.begin("BEGUN", "attach-plain", "2026-01-01 10:00:00", {"kind": "walked", "t_s": 1.0})
    kept = log.kept("BEGUN")
    assert kept is not None and len(kept.events) == 1

    class Killed(BaseException):
        pass

    def killed(*_: object) -> None:
        raise Killed

    for where in ("os.link", "headstock.records.sitting_files._durable"):
        with monkeypatch.context() as patch, pytest.raises(Killed):
            patch.setattr(where, killed)
            log.begin("NEVER", "attach-plain", "2026-01-01 10:00:00", {"kind": "walked", "t_s": 1.0})
        assert log.kept("NEVER") is None and sorted(log.codes()) == ["ABCDE", "BEGUN"]


def test_a_code_is_used_once(log: SittingFiles) -> None:
    with pytest.raises(InputError, match="there already"):
        log.begin("ABCDE", "x", "2026-01-01 10:00:00")


@pytest.mark.parametrize("code", ["../x", "a/b", "", "ABCDEFGHIJKLM", "ÄÖ"])
def test_a_code_is_no_path(log: SittingFiles, code: str) -> None:
    with pytest.raises(InputError):
        log.add(code, {})


def test_a_code_that_is_not_there_is_nothing(log: SittingFiles) -> None:
    assert log.kept("ZZZZZ") is None
    assert list(log.codes()) == ["ABCDE"]


def test_another_file_is_no_sitting(log: SittingFiles) -> None:
    (log.folder / f"OTHER{SUFFIX}").write_text("{}\n", encoding="utf-8")
    with pytest.raises(StorageError):
        log.kept("OTHER")


def test_a_name_is_taken_out_and_all_else_stays(tmp_path: Path) -> None:
    files = SittingFiles(tmp_path)
    files.begin("ABCDE", "attach-plain", "2026-01-01 10:00:00")
    for role, person in (("shunter", "J. Tolk"), ("guard", "J. Tolkien")):
        files.add("ABCDE", {"kind": "took", "role": role, "person": person, "t_s": 1.5})
    files.mark_clock("ABCDE", 7.25)
    before = files.kept("ABCDE")
    assert files.unname("ABCDE", "j. TOLK ", "somebody") and not files.unname("ABCDE", "J. Tolk", "somebody")
    after = files.kept("ABCDE")
    assert before is not None and after is not None and after.clock_s == before.clock_s and after.began == before.began
    assert [event["person"] for event in after.events] == ["somebody", "J. Tolkien"]
    assert [{**event, "person": ""} for event in after.events] == [{**event, "person": ""} for event in before.events]
    assert files.codes() == ["ABCDE"]
