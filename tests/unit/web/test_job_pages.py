"""The pages of a turn, a new job and a job, asked without a browser."""

import re
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from headstock.usecases.ready_jobs import ready_job
from tests.unit.usecases.test_job_form import filled

PARTS = ("order", "joined", "forecast", "can", "mistakes")


def put(client: TestClient, name: str = "demo-attach") -> str:
    sent = client.post("/jobs/ready", data={"name": name}, follow_redirects=False)
    assert sent.status_code == 303, sent.text
    return sent.headers["location"]


def test_a_ready_job_is_listed_as_planned_then_in_hand_then_done_with(client: TestClient) -> None:
    place = put(client)
    listed = client.get("/").text
    assert "Attach 217 to 226" in listed and "Planned" in listed and "In hand" not in listed
    assert client.post(f"{place}/hand", data={"word": "in hand"}, follow_redirects=False).headers["location"] == place
    assert "In hand" in client.get("/").text
    client.post(f"{place}/hand", data={"word": "done with"})
    assert "Done with" in client.get("/").text and "Planned" not in client.get("/").text


def test_the_same_job_twice_is_one_job(client: TestClient) -> None:
    assert put(client) == put(client)


def test_the_first_page_of_a_job_comes_before_its_order_is_worked_out(client: TestClient) -> None:
    text = client.get(put(client)).text
    assert "Working out the order of work" in text and "Can be joined: yes" in text
    assert 'class="strip wide"' in text and text.count('class="end-front"') == 2 and "Show it here" in text


def test_every_part_can_be_asked_for_and_then_stands_on_the_page(client: TestClient) -> None:
    place = put(client)
    for name in PARTS:
        text = client.get(f"{place}/show/{name}").text
        for _ in range(200):
            if "so far. The page can be left" not in text:
                break
            text = client.get(f"{place}/show/{name}").text
        assert "<html" in text and f'id="{name}"' in text
        assert "<html" not in client.get(f"{place}/show/{name}", headers={"hx-request": "true"}).text
    whole = client.get(place)
    assert "Agree the job" in whole.text and "Stopping distance" in whole.text and "nobody notices" in whole.text
    assert "Moment by moment" in whole.text and "/test" in whole.text
    assert len(whole.content) < 300_000
    assert "3.4" in whole.text, "the brake pipe of the moving portion, once the order is there"
    lamp = client.get(f"{place}?block=6").text
    assert re.search(r'class="block lamp" id="block-6"', lamp) and lamp.count("block lamp") == 1
    assert re.search(r'id="stop-plate" href="[^"]*/stop\?after=\d\d"', lamp)
    for pdf in ("sheet", "cards", "can"):
        answer = client.get(f"{place}/{pdf}.pdf")
        assert answer.content.startswith(b"%PDF") and answer.headers["content-type"] == "application/pdf"


def test_the_plates_beside_the_order_lead_to_the_block_before_and_the_next(client: TestClient) -> None:
    place = put(client)
    for _ in range(200):
        if "so far. The page can be left" not in client.get(f"{place}/show/order").text:
            break
    shown = r'id="(back|next)-plate" href="[^"]*block=(\d+)#block-\d+">'
    ways = {block: dict(re.findall(shown, client.get(f"{place}?block={block}").text)) for block in (1, 4, 99)}
    last = len(re.findall(r'id="block-\d+"', client.get(place).text))
    assert ways == {1: {"next": "2"}, 4: {"back": "3", "next": "5"}, 99: {"back": str(last - 1)}}, "hidden where there is none"
    assert 'href="#block-4">To block 4' in client.get(f"{place}?block=4").text


def test_stopping_and_handing_over(client: TestClient) -> None:
    place = put(client)
    stop = client.get(f"{place}/stop?after=50")
    assert stop.status_code == 200 and "Do this, in this order" in stop.text and "How it is left" in stop.text
    assert "Who takes over" in client.get(f"{place}/hand-over?after=50").text
    over = client.get(f"{place}/hand-over?after=50&role=guard&name=T. Wray")
    assert "P. Oad hands over to T. Wray" in over.text and "Looked at by the relief himself" in over.text
    assert client.get(f"{place}/stop.pdf?after=50").content.startswith(b"%PDF")
    assert client.get(f"{place}/stop?after=900").status_code == 400
    assert client.get(f"{place}/hand-over?after=5&role=cook&name=X").status_code == 400
    assert client.get(f"{place}/hand-over?after=5&role=guard&name=").status_code == 400


def test_a_form_makes_a_job_and_its_faults_keep_what_was_given(client: TestClient) -> None:
    rest = client.post("/jobs/new", data=filled())
    assert "How it was left" in rest.text and "Brake pipe cock" in rest.text
    sent = client.post("/jobs/new", data=filled(step="make", title="A job", moving="first", driven_from="217/2",
                                                controls_afterwards="217/1", leaves_from="217/1"),
                       follow_redirects=False)  # fmt: skip
    assert sent.status_code == 303 and "A job" in client.get("/").text
    wrong = client.post("/jobs/new", data=filled(step="make", title="A job", moving="first", driven_from="226/1",
                                                 controls_afterwards="226/1", leaves_from="217/1"))  # fmt: skip
    assert wrong.status_code == 400 and "not an outer end of the train that leaves" in wrong.text
    assert 'aria-invalid="true"' in wrong.text and 'value="M. Iden"' in wrong.text and "Nothing was saved" in wrong.text
    alone = filled(step="make", title="A job", moving="first", driven_from="217/2", controls_afterwards="217/1",
                   leaves_from="217/1", **{"crew:shunter": None, "crew:guard": None})  # fmt: skip
    lacking = client.post("/jobs/new", data=alone)
    assert lacking.status_code == 400 and "nobody in the crew for: goes between" in lacking.text
    nobody = client.post("/jobs/new", data={**alone, "crew:driver": ""})
    assert "enter who drives, and who else is there" in nobody.text and 'href="#fault-crew-1"' in nobody.text
    assert "empty group" not in nobody.text
    bad = client.post("/jobs/new", data=filled(**{"unit_type:1": "tran"}))
    assert bad.status_code == 400 and "nearest tarn" in bad.text and 'value="226"' in bad.text


def test_a_job_file_is_taken_or_refused_in_the_words_of_the_command_line(client: TestClient, tmp_path: Path) -> None:
    text = ready_job("demo-attach").text
    bad = text.replace("type: tarn", "type: tran", 1).replace("217/1.red_lamp", "217/1.read_lamp")
    refused = client.post("/jobs/file", data={"text": bad})
    assert refused.status_code == 400 and "unknown unit type" in refused.text and "the job file:6" in refused.text
    assert "type: tran" in refused.text and str(tmp_path) not in refused.text
    sent = client.post("/jobs/file", files={"file": ("tonight.yaml", text.encode())}, follow_redirects=False)
    assert sent.status_code == 303
    assert "not UTF-8" in client.post("/jobs/file", files={"file": ("tonight.yaml", b"\xff\xfe")}).text
    assert "nothing was pasted" in client.post("/jobs/file", data={"text": " "}).text


@pytest.mark.parametrize("path", ["/jobs/nothing", "/jobs/nothing/show/order", "/jobs/nothing/sheet.pdf", "/jobs/nothing/stop"])
def test_a_code_that_is_not_on_the_book(client: TestClient, path: str) -> None:
    answer = client.get(path)
    assert answer.status_code == 400 and "no such job" in answer.text


def test_a_part_that_is_not_there(client: TestClient) -> None:
    assert client.get(f"{put(client)}/show/nothing").status_code == 404


def test_a_job_that_cannot_be_is_an_answer_with_every_reason(client: TestClient) -> None:
    sent = client.post("/jobs/new", data=filled(step="make", title="No", moving="first", driven_from="217/2",
                                                controls_afterwards="217/1", leaves_from="217/1", **{"unit_type:1": "gale"}),
                       follow_redirects=False)  # fmt: skip
    place = sent.headers["location"]
    order = client.get(f"{place}/show/order").text
    assert "No order of work" in order and "only if" in order
    whole = client.get(place)
    assert whole.status_code == 200 and "Can be joined, only if" in whole.text and "sheet.pdf" not in whole.text
    assert client.get(f"{place}/sheet.pdf").status_code == 400 and client.get(f"{place}/stop").status_code == 400
    assert "No brake test to forecast" in client.get(f"{place}/show/forecast").text


def test_work_can_be_stopped_and_begun_again(client: TestClient, monkeypatch: pytest.MonkeyPatch) -> None:
    from headstock.web import job_answers, work_in_hand

    def slow(*_: object, engine: object = None) -> None:
        for number in range(400):
            tells[0](number, 400)
            work_in_hand.time.sleep(0.01)

    tells: list[work_in_hand.Tell] = []
    monkeypatch.setattr(work_in_hand, "PATIENCE_S", 0.05)
    monkeypatch.setattr(job_answers, "air_engine", tells.append)
    monkeypatch.setattr(job_answers, "plan_job", slow)
    place = put(client)
    client.get(f"{place}/show/order")
    working = client.get(f"{place}/show/order").text
    assert "show/order?block=3" in client.get(f"{place}/show/order?block=3").text, "the lamp stays where it was"
    assert "of 400" in working and "Stop working it out" in working and "url(#hatch-ink)" in working
    stopped = client.post(f"{place}/show/order/stop", follow_redirects=False)
    assert stopped.headers["location"].endswith("/show/order?stopped=1")
    assert "nothing of it was kept" in client.get(f"{place}/show/order?stopped=1").text
    work_in_hand.time.sleep(0.2)
    assert not client.app.state.long_works._pieces  # type: ignore[attr-defined]
