"""A folder of a study's results: whole parts, this study's alone, the same bytes whoever makes them."""

from __future__ import annotations

from pathlib import Path

import pyarrow.parquet as pq
import pytest

from headstock.base.errors import Fault, InputError
from headstock.exchange import study_parts
from headstock.exchange.study_parts import MANIFEST, StudyFolder, manifest_of, part_content
from tests.cases.studies import SMALL, study_of
from tests.unit.usecases.test_fleet_study import still


def test_a_part_is_kept_whole_with_its_study_inside_and_a_broken_one_does_not_count(tmp_path: Path) -> None:
    study = study_of(tmp_path)
    folder = StudyFolder(tmp_path / "out", study, "code")
    folder.open()
    content = part_content(study, study.rows(0, still), folder.key)
    assert content == part_content(study, study.rows(0, still), folder.key)
    assert not folder.has(0)
    folder.keep(0, content)
    assert folder.has(0)
    (path,) = (tmp_path / "out").rglob("*.parquet")
    assert path.relative_to(tmp_path / "out").parts[:3] == ("job=demo-attach", "method=rear-application", "weather=winter")
    metadata = pq.read_schema(path).metadata
    assert b"training aid" in metadata[b"caution"] and b"A leak that nothing shows" in metadata[b"study"]
    assert {"scenario", "kind_1", "margins", "fails_as_ruled", "fails_lax"} <= set(pq.ParquetFile(path).schema_arrow.names)
    path.write_bytes(content[:-9])
    assert not folder.has(0)


def test_results_of_another_study_or_code_are_not_mixed_in(tmp_path: Path) -> None:
    study, other = study_of(tmp_path), study_of(tmp_path, SMALL.replace("draws: 20", "draws: 24"))
    out = tmp_path / "out"
    StudyFolder(out, study, "code").open()
    StudyFolder(out, study, "code").open()
    said = manifest_of(out)
    assert said is not None and said["scenarios"] == study.count and said["settings"][0]["drawn_invented"] is True
    with pytest.raises(InputError, match="results of another study"):
        StudyFolder(out, other, "code").open()
    with pytest.raises(InputError, match="same study by other code"):
        StudyFolder(out, study, "other").open()
    strange = StudyFolder(out, study, "other")
    StudyFolder(out, study, "code").keep(0, part_content(study, study.rows(0, still), strange.key))
    with pytest.raises(InputError, match="a part of another study"):
        StudyFolder(out, study, "code").has(0)


def test_a_folder_with_something_else_in_it_is_left_alone(tmp_path: Path) -> None:
    study, out = study_of(tmp_path), tmp_path / "out"
    out.mkdir()
    (out / "holiday.txt").write_text("mine")
    with pytest.raises(InputError, match="something else"):
        StudyFolder(out, study, "code").open()
    assert [path.name for path in out.iterdir()] == ["holiday.txt"]
    (out / MANIFEST).write_text("{}")
    with pytest.raises(InputError, match="something else"):
        StudyFolder(out, study, "code").open()


def test_what_a_killed_run_left_half_written_goes_with_the_part_and_nothing_else(tmp_path: Path) -> None:
    study = study_of(tmp_path)
    folder = StudyFolder(tmp_path / "out", study, "code")
    folder.open()
    content = part_content(study, study.rows(0, still), folder.key)
    there = tmp_path / "out" / study.folder_of(0)
    there.mkdir(parents=True)
    for name in (".part-000000000.parquet.k3x", ".part-000000001.parquet.a9"):
        (there / name).write_bytes(content[:50])
    folder.keep(0, content)
    assert sorted(path.name for path in there.iterdir()) == [".part-000000001.parquet.a9", "part-000000000.parquet"]


def test_somebody_quicker_with_the_same_part_is_no_fault(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    study = study_of(tmp_path)
    folder = StudyFolder(tmp_path / "out", study, "code")
    folder.open()
    content = part_content(study, study.rows(0, still), folder.key)
    folder.keep(0, content)

    def refuses(contents: object) -> None:
        raise InputError(Fault("cannot be written"))

    monkeypatch.setattr(study_parts, "write_whole", refuses)
    folder.keep(0, content)
    with pytest.raises(InputError, match="cannot be written"):
        folder.keep(1, content)
