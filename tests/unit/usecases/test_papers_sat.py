"""Papers sat on screen: kept whole, handed in once, put on record as what they are."""

from pathlib import Path

import pytest

from headstock.base.errors import InputError, StorageError
from headstock.compute.kept_runs import KeptRuns
from headstock.equipment.library import load_fleet
from headstock.records.sitting_files import PAPER_FORM, PAPER_SUFFIX, SittingFiles
from headstock.usecases import papers_sat
from headstock.usecases.papers_sat import PapersSat, paper_asked, papers_about, sat_paper_draft
from headstock.usecases.question_paper import Paper, make_paper
from headstock.usecases.sittings import NO_NAME


@pytest.fixture(scope="module")
def paper() -> Paper:
    asked = paper_asked("screw-attach-6-3")
    return make_paper(asked.jobs, asked.count, asked.seed, load_fleet(), KeptRuns())


@pytest.fixture
def papers(tmp_path: Path) -> PapersSat:
    return PapersSat(SittingFiles(tmp_path, PAPER_SUFFIX, PAPER_FORM))


def _right(paper: Paper, but: int = 0) -> list[int | None]:
    """Right answers, but so many wrong ones at the beginning."""
    return [(one.right + 1) % 4 if number < but else one.right for number, one in enumerate(paper.questions)]


def test_a_paper_comes_back_whole_and_is_marked_when_it_is_handed_in(papers: PapersSat, paper: Paper) -> None:
    code = papers.begin(paper, " J. Tolk ")
    sat = papers.named(code.lower())
    assert (sat.paper, sat.person, sat.is_handed_in) == (paper, "J. Tolk", False)
    assert sat.unanswered == (1, 2, 3, 4, 5, 6) and sat.points == 0
    kept = papers.answer(code, [paper.questions[0].right, None, None, None, None, None], hands_in=False)
    assert kept.unanswered == (2, 3, 4, 5, 6) and not kept.is_handed_in
    again = PapersSat(papers.log)
    assert again.named(code) == kept, "a server that was started again knows it"
    done = again.answer(code, _right(paper, but=2), hands_in=True)
    assert done.is_handed_in and done.points == 4 and again.lately() == (done,)


def test_one_that_cannot_be_read_says_so_and_hides_no_other(papers: PapersSat, paper: Paper, tmp_path: Path) -> None:
    """Such as an earlier server left that was killed in the middle of beginning one."""
    code = papers.begin(paper, "J. Tolk")
    header = f'{{"headstock": "{PAPER_FORM}", "exercise": "a", "began": "b"}}\n'
    for name, text in (
        ("EMPTY", ""),
        ("NOPAP", header),
        ("OTHER", header + '{"kind": "sat", "person": "J. Tolk", "paper": {}}\n'),
    ):
        (tmp_path / f"{name}{PAPER_SUFFIX}").write_text(text, encoding="utf-8")
        with pytest.raises((InputError, StorageError)):
            papers.named(name)
    assert [sat.code for sat in papers.lately()] == [code]


def test_once_handed_in_nothing_is_changed(papers: PapersSat, paper: Paper) -> None:
    code = papers.begin(paper, "J. Tolk")
    papers.answer(code, _right(paper, but=6), hands_in=True)
    with pytest.raises(InputError, match="handed in already"):
        papers.answer(code, _right(paper), hands_in=True)
    assert papers.named(code).points == 0


@pytest.mark.parametrize("answers", [[0], [4, 0, 0, 0, 0, 0], [-1, 0, 0, 0, 0, 0]])
def test_what_is_no_answer_is_refused(papers: PapersSat, paper: Paper, answers: list[int | None]) -> None:
    with pytest.raises(InputError, match="not answers"):
        papers.answer(papers.begin(paper, "J. Tolk"), answers, hands_in=True)


def test_it_stands_on_record_as_what_it_is_and_nobody_marks_their_own(papers: PapersSat, paper: Paper) -> None:
    code = papers.begin(paper, "J. Tolk")
    with pytest.raises(InputError, match="not handed in"):
        sat_paper_draft(papers.named(code), "K. Ray")
    papers.answer(code, _right(paper, but=1), hands_in=True)
    draft = sat_paper_draft(papers.named(code), "K. Ray")
    assert (draft.kind, draft.body["points"], draft.body["out_of"], draft.body["who"]) == ("paper", 5, 6, "K. Ray")
    assert "on screen, watched by nobody" in draft.body["text"] and "competence" not in draft.kind
    with pytest.raises(InputError, match="nobody marks their own"):
        sat_paper_draft(papers.named(code), "j. tolk")


def test_a_name_is_taken_off_and_the_rest_stays(papers: PapersSat, paper: Paper) -> None:
    code, other = papers.begin(paper, "J. Tolk"), papers.begin(paper, "K. Ray")
    papers.answer(code, _right(paper), hands_in=True)
    assert papers.unname("j. tolk") == 1
    assert (papers.named(code).person, papers.named(code).points, papers.named(other).person) == (NO_NAME, 6, "K. Ray")


@pytest.mark.parametrize(
    ("name", "why"),
    [
        ("all-20", "no name of a paper"), ("all-0-1", "number of questions"), ("all-999-1", "number of questions"),
        ("demo-atach-5-1", "no paper about that"), ("../../etc/passwd-5-1", "no name of a paper"), ("all-٣-1", "no name"),
        ("", "no name of a paper"),
    ],
)  # fmt: skip
def test_only_built_in_jobs_are_asked_about(name: str, why: str) -> None:
    with pytest.raises(InputError, match=why):
        paper_asked(name)


@pytest.mark.parametrize("about", papers_about())
def test_a_name_says_what_it_is_about(about: str) -> None:
    asked = paper_asked(f"{about}-12-345")
    assert (asked.job, asked.count, asked.seed, asked.name) == (about, 12, 345, f"{about}-12-345")
    assert asked.jobs == (() if about == papers_sat.ALL else (about,))


@pytest.mark.parametrize("code", ["NONE5", "", "../X", "ABCDEFGHIJKLMNOP"])
def test_a_code_that_nobody_got_is_said(papers: PapersSat, code: str) -> None:
    with pytest.raises(InputError, match="no such paper"):
        papers.named(code)


def test_nobody_sits_no_paper(papers: PapersSat, paper: Paper) -> None:
    with pytest.raises(InputError, match="nobody sits it"):
        papers.begin(paper, "  ")
