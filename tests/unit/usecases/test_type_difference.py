"""What two versions say differently, and what rests on a type."""

from pathlib import Path

from headstock.records.store import StoredRecords
from headstock.usecases.job_book import job_draft
from headstock.usecases.record_notes import NoteGiven, note_to_file
from headstock.usecases.type_difference import different_lines, different_values, touched_by_change

JOB = Path("src/headstock/usecases/jobs/demo-attach.yaml").resolve()


def test_lines_are_taken_out_put_in_or_left_out_as_the_same() -> None:
    before = "\n".join(f"line {number}" for number in range(30))
    lines = different_lines(before, before.replace("line 10", "other"))
    assert [(one.how, one.text) for one in lines if one.how in ("taken out", "put in")] == [
        ("taken out", "line 10"), ("put in", "other")]  # fmt: skip
    assert [one.text for one in lines if one.how == "left out here"] == [
        "8 lines that are the same",
        "17 lines that are the same",
    ]
    assert [(one.before, one.after) for one in lines if one.how == "taken out"] == [(11, None)]
    assert different_lines(before, before) == ()


def test_texts_that_are_too_long_are_not_compared_line_by_line() -> None:
    (only,) = different_lines("x\n" * 4000, "x\n" * 4001)
    assert "too many" in only.text


def test_values_are_told_by_their_place() -> None:
    found = different_values("a: 1\nb: {c: true, d: x}\n", "a: 2\nb: {c: false}\ne: [y]\n")
    assert [(one.path, one.before, one.after) for one in found] == [
        ("a", "1", "2"), ("b.c", "yes", "no"), ("e[0]", None, "y"), ("b.d", "x", None)]  # fmt: skip


def test_jobs_and_their_sheets_rest_on_a_type(tmp_path: Path) -> None:
    records = StoredRecords(folder=tmp_path)
    draft, _ = job_draft(JOB.read_text(encoding="utf-8"), tmp_path / "jobs", "A. Nyme")
    (job,) = records.append([draft])
    sheets = [
        NoteGiven("sheet", "sheet issued", "A. Nyme", about=job.code),
        NoteGiven("sheet", "another", "A. Nyme", units=("999",)),
    ]
    for sheet in sheets:
        records.append([note_to_file(sheet, records)])
    types = {line.split("type: ")[1].split("}")[0] for line in JOB.read_text(encoding="utf-8").splitlines() if "type: " in line}
    for name in types:
        touched = touched_by_change(name, records)
        assert [one.code for one in touched.jobs] == [job.code]
        assert [one.draft.body["text"] for one in touched.sheets] == ["sheet issued"]
    assert touched_by_change("beck", records).jobs == ()
