"""What comes over a wire names nothing outside its own folder."""

from pathlib import Path

import pytest

from headstock.base.errors import ContentError, Fault, InputError
from headstock.usecases.sent_files import check_named_papers, laid_out, named_here


@pytest.mark.parametrize("name", ["../x.yaml", "/etc/passwd", ".hidden", "a/b", "a\\b", "", "..", "c:\\x"])
def test_a_file_s_name_leads_to_no_folder(name: str) -> None:
    with pytest.raises(InputError, match="not a name of a file"):
        check_named_papers({name: "x: 1"})


@pytest.mark.parametrize("line", ["place: ../../secret", "local_rules: /etc/passwd", "method: ..", "job: ../jobs/demo.yaml",
                                  "triggers: a/b", "recorder: {file: /etc/hostname}"])  # fmt: skip
def test_what_a_file_names_leads_to_no_folder_and_the_fault_has_its_line(line: str) -> None:
    with pytest.raises(InputError) as caught:
        check_named_papers({"job.yaml": f"headstock: job 1\n{line}\n"})
    assert caught.value.faults[0].line == 2


def test_built_in_names_and_files_beside_are_let_through() -> None:
    check_named_papers({"job.yaml": "place: quarry-neck-1\nlocal_rules: own rules.yaml\n", "own rules.yaml": "x: 1"})


def test_the_folder_is_gone_afterwards_and_errors_do_not_name_it() -> None:
    with pytest.raises(ContentError) as caught, laid_out({"job.yaml": "x: 1"}) as folder:
        assert (folder / "job.yaml").read_text(encoding="utf-8") == "x: 1"
        raise ContentError(Fault("wrong", str(folder / "job.yaml"), 1, found=str(folder)))
    assert not folder.exists()
    assert "headstock-sent" not in caught.value.text() and caught.value.faults[0].file == "job.yaml"


def test_a_question_names_what_was_sent_or_what_is_built_in(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "there").write_text("x", encoding="utf-8")
    assert named_here("mine.yaml", {"mine.yaml": ""}, tmp_path) == str(tmp_path / "mine.yaml")
    assert named_here("wending-vale", {}, tmp_path) == "wending-vale"
    for outside in ("there", "../x", "/etc/passwd"):
        with pytest.raises(InputError, match="leads outside"):
            named_here(outside, {}, tmp_path)
