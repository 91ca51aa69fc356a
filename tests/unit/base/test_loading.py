"""The first line of a file, and strict loading into a model."""

import pytest
from pydantic import BaseModel, ConfigDict

from headstock.base.documents import check_header, document_from_text, load_as
from headstock.base.errors import ContentError, HeaderError


class Job(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")

    name: str
    stops_m: tuple[float, ...] = ()


def header_refusal(text: str, versions: tuple[int, ...] = (1,)) -> str:
    with pytest.raises(HeaderError) as caught:
        check_header(document_from_text(text, "demo.yaml"), "job", versions)
    return caught.value.faults[0].text()


def test_the_first_line_says_kind_and_version() -> None:
    document = document_from_text("headstock: job 2\nname: a\n", "demo.yaml")
    assert check_header(document, "job", versions=(1, 2)) == 2


def test_a_kind_of_two_words_is_understood() -> None:
    assert check_header(document_from_text("headstock: unit type 1\n", "demo.yaml"), "unit type") == 1


@pytest.mark.parametrize(
    ("text", "pieces"),
    [
        ("name: a\n", ["does not say what this file is", "found 'name'", "'headstock: job 1'"]),
        ("headstok: job 1\n", ["nearest headstock"]),
        ("name: a\nheadstock: job 1\n", ["does not say what this file is", "further down"]),
        ("headstock: rules 1\n", ["this is a rules file, not a job file", "demo.yaml:1 headstock"]),
        ("headstock: job 7\n", ["version of the job file not known here", "found 'job 7'"]),
        ("headstock: job\n", ["not understood", "found 'job'"]),
        ("headstock: job one\n", ["not understood"]),
        ("headstock: 1\n", ["not understood", "found 1"]),
        ("headstock: [job, 1]\n", ["not understood", "found a list of 2"]),
        ("headstock: \n", ["not understood", "found nothing"]),
        ("{}\n", ["does not say what this file is"]),
    ],
)
def test_a_wrong_first_line_is_refused_with_what_was_found_and_what_is_read(text: str, pieces: list[str]) -> None:
    said = header_refusal(text)
    assert all(piece in said for piece in [*pieces, "expected 'headstock: job 1'"])


def test_every_version_that_is_read_is_named() -> None:
    assert "expected 'headstock: job 1' or 'headstock: job 2'" in header_refusal("headstock: job 3\n", (1, 2))


def test_the_model_gets_the_rest_without_the_first_line() -> None:
    document = document_from_text("headstock: job 1\nname: a\nstops_m: [1, 2.5]\n", "demo.yaml")
    assert load_as(document, Job, kind="job") == Job(name="a", stops_m=(1.0, 2.5))
    with pytest.raises(ContentError, match="unknown field"):
        load_as(document, Job)


def test_a_file_of_another_kind_is_not_searched_for_faults_of_this_kind() -> None:
    with pytest.raises(HeaderError) as caught:
        load_as(document_from_text("headstock: rules 1\nx: 1\n", "demo.yaml"), Job, kind="job")
    assert len(caught.value.faults) == 1
