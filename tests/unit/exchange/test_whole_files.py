"""Answers are written whole, all of them or none."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from headstock.base.errors import InputError
from headstock.exchange.whole_files import check_writable, write_whole
from headstock.wiring.files import put_into


def test_all_files_are_written_and_nothing_else_is_left(tmp_path: Path) -> None:
    (tmp_path / "a").write_bytes(b"old")
    write_whole({tmp_path / "a": b"one", tmp_path / "b": b"two"})
    assert {path.name: path.read_bytes() for path in tmp_path.iterdir()} == {"a": b"one", "b": b"two"}


def test_when_one_file_cannot_be_written_none_is(tmp_path: Path) -> None:
    (tmp_path / "a").write_bytes(b"old")
    with pytest.raises(InputError, match="cannot be written"):
        write_whole({tmp_path / "a": b"one", tmp_path / "nowhere" / "b": b"two"})
    assert {path.name: path.read_bytes() for path in tmp_path.iterdir()} == {"a": b"old"}


def test_the_cure_names_what_the_caller_lets_one_change(tmp_path: Path) -> None:
    (tmp_path / "sheets" / "a.pdf").mkdir(parents=True)
    with pytest.raises(InputError) as refused:
        put_into(tmp_path / "sheets", "a.pdf", b"a sheet")
    assert refused.value.cure == "Name another folder with --sheets."


def test_a_link_is_followed_and_a_device_is_not_replaced(tmp_path: Path) -> None:
    (tmp_path / "real").write_bytes(b"old")
    (tmp_path / "link").symlink_to(tmp_path / "real")
    write_whole({tmp_path / "link": b"new", Path(os.devnull): b"gone"})
    assert (tmp_path / "link").is_symlink()
    assert (tmp_path / "real").read_bytes() == b"new"
    assert not Path(os.devnull).is_file()


def test_a_new_file_has_the_rights_of_any_other_and_an_old_one_keeps_its_own(tmp_path: Path) -> None:
    (tmp_path / "plain").touch()
    (tmp_path / "old").touch()
    (tmp_path / "old").chmod(0o640)
    write_whole({tmp_path / "new": b"", tmp_path / "old": b""})
    assert (tmp_path / "new").stat().st_mode == (tmp_path / "plain").stat().st_mode
    assert (tmp_path / "old").stat().st_mode & 0o777 == 0o640


def test_what_could_not_be_written_is_said_before_with_every_fault(tmp_path: Path) -> None:
    kept = tmp_path / "case.json"
    kept.touch()
    check_writable({"--out": tmp_path / "a", "--series": tmp_path / "b"}, kept)
    with pytest.raises(InputError) as caught:
        check_writable({"--out": tmp_path, "--series": tmp_path / "nowhere" / "b"}, kept)
    assert [fault.path for fault in caught.value.faults] == ["--out", "--series"]


@pytest.mark.parametrize("paths", [{"--out": "case.json"}, {"--out": "./a/../case.json"}, {"--out": "x", "--series": "x"}])
def test_neither_the_case_nor_the_other_file_is_written_over(paths: dict[str, str], tmp_path: Path) -> None:
    (tmp_path / "case.json").touch()
    (tmp_path / "a").mkdir()
    with pytest.raises(InputError, match="written over"):
        check_writable({option: tmp_path / path for option, path in paths.items()}, tmp_path / "case.json")
