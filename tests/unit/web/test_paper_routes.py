"""Routes of question papers: the key on no page before the end, and whose paper it is."""

from typing import Any

import pytest
from starlette.testclient import TestClient

from headstock.usecases.papers_sat import PaperSat
from tests.unit.web.test_exercise_routes import _as

NAME = "screw-attach-4-3"


def _begun(client: TestClient, person: str = "J. Tolk") -> PaperSat:
    code = str(client.post(f"/papers/{NAME}/begin", data={"person": person}).url).split("/")[-1]
    return _sat(client, code)


def _sat(client: TestClient, code: str) -> PaperSat:
    app: Any = client.app
    found: PaperSat = app.state.papers.named(code)
    return found


def _answers(sat: PaperSat, wrong: int = 0) -> dict[str, str]:
    return {f"q{number}": "ABCD"[(one.right + (number <= wrong)) % 4] for number, one in enumerate(sat.paper.questions, start=1)}


def test_the_key_is_on_no_page_before_the_paper_is_handed_in(client: TestClient) -> None:
    sat = _begun(client)
    pages = [client.get(f"/papers/{NAME}").text, client.get(f"/papers/sat/{sat.code}").text, client.get("/papers").text]
    pages.append(client.post(f"/papers/sat/{sat.code}", data={**_answers(sat), "do": "keep"}).text)
    for text in pages:
        assert not any(one.because in text or one.key in text for one in sat.paper.questions)
        assert sat.paper.key not in text and "It is <span" not in text
    assert all(client.get(f"/papers/sat/{sat.code}").text.count(f'name="q{number}"') == 4 for number in range(1, 5))
    kept = pages[-1]
    assert kept.count(" checked") == 4 and "4 of 4 answered" in kept
    done = client.post(f"/papers/sat/{sat.code}", data={**_answers(sat, wrong=1), "do": "hand in"}).text
    assert "3 of 4 right" in done and "It is <span" in done


def test_right_and_wrong_options_look_the_same_before_the_end(client: TestClient) -> None:
    """A page with other right options, and all else alike, is the same page."""
    sat = _begun(client)
    before = client.get(f"/papers/sat/{sat.code}").text
    app: Any = client.app
    from dataclasses import replace

    other = tuple(replace(one, right=(one.right + 1) % 4, because="otherwise", key="0" * 16) for one in sat.paper.questions)
    changed = app.state.papers.begin(replace(sat.paper, questions=other), sat.person)
    assert client.get(f"/papers/sat/{changed}").text.replace(changed, sat.code) == before


def test_questions_left_open_are_asked_about_first(client: TestClient) -> None:
    sat = _begun(client)
    left = {key: value for key, value in _answers(sat).items() if key != "q2"}
    asked = client.post(f"/papers/sat/{sat.code}", data={**left, "do": "hand in"})
    assert "1 without an answer" in asked.text and 'href="#q2"' in asked.text and not _sat(client, sat.code).is_handed_in
    done = client.post(f"/papers/sat/{sat.code}", data={**left, "do": "hand in all the same"})
    assert "3 of 4 right" in done.text and "No answer" in done.text


def test_a_paper_handed_in_twice_stays_as_it_was_first(client: TestClient) -> None:
    sat = _begun(client)
    client.post(f"/papers/sat/{sat.code}", data={**_answers(sat, wrong=4), "do": "hand in"})
    again = client.post(f"/papers/sat/{sat.code}", data={**_answers(sat), "do": "hand in"})
    assert "0 of 4 right" in again.text


def test_what_is_no_letter_is_no_answer(client: TestClient) -> None:
    sat = _begun(client)
    client.post(f"/papers/sat/{sat.code}", data={"q1": "E", "q2": "AB", "q3": "", "q4": "a", "do": "keep"})
    assert _sat(client, sat.code).unanswered == (1, 2, 3, 4)


def test_it_is_put_on_record_once_by_somebody_else(client: TestClient) -> None:
    sat = _begun(client)
    client.post(f"/papers/sat/{sat.code}", data={**_answers(sat), "do": "hand in"})
    own = client.post(f"/papers/sat/{sat.code}/record", data={"marked_by": "J. Tolk"})
    assert own.status_code == 400 and "nobody marks their own paper" in own.text
    first = client.post(f"/papers/sat/{sat.code}/record", data={"marked_by": "K. Ray"})
    assert first.status_code == 200 and "watched by nobody" in first.text
    second = client.post(f"/papers/sat/{sat.code}/record", data={"marked_by": "P. Oad"})
    assert second.url == first.url


def test_of_those_signed_in_each_sees_an_own_paper_and_whoever_sets_papers_all(client: TestClient) -> None:
    sat = _begun(client, "K. Ray")
    other = _begun(client, "J. Tolk")
    crew, instructor = _as(client, "crew"), _as(client, "instructor")
    assert crew.get(f"/papers/sat/{sat.code}").status_code == 200
    assert crew.get(f"/papers/sat/{other.code}").status_code == 403
    assert crew.post(f"/papers/sat/{other.code}", data={"do": "hand in all the same"}).status_code == 403
    assert instructor.get(f"/papers/sat/{other.code}").status_code == 200
    assert instructor.post(f"/papers/sat/{other.code}", data={"do": "hand in all the same"}).status_code == 403
    assert not client.app.state.papers.named(other.code).is_handed_in  # type: ignore[attr-defined]
    assert crew.post(f"/papers/sat/{sat.code}/record", data={"marked_by": "X"}).status_code == 403
    assert crew.get(f"/papers/{NAME}/key.pdf").status_code == 403 and other.code not in crew.get("/papers").text
    assert instructor.get(f"/papers/sat/{other.code}").status_code == 200 and other.code in instructor.get("/papers").text
    pdf = instructor.get(f"/papers/{NAME}/key.pdf")
    assert pdf.content.startswith(b"%PDF") and crew.get(f"/papers/{NAME}/paper.pdf").content != pdf.content


@pytest.mark.parametrize("path", ["none-of-that", "demo-atach-5-1", "sat/NONE5", "choose?job=none"])
def test_what_is_not_there_is_said(client: TestClient, path: str) -> None:
    answer = client.get(f"/papers/{path}")
    assert answer.status_code == 400 and "expected" in answer.text
