"""The brake test in a browser: with and without scripts, without a connection, with a server that dies, with two phones."""

from __future__ import annotations

import os
import socket
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any
from urllib.request import urlopen

import pytest

from headstock.records.store import StoredRecords
from headstock.usecases.records_port import Search
from tests.cases.tests_in_hand import book_demo, put_test
from tests.journeys.browser import DESK, PHONE, ROOT, SMALL_PHONE, axe_faults, each_look, wait_for

Visit = Callable[..., Any]
WIDE = "document.documentElement.scrollWidth <= innerWidth"
TOUCH_PX, HOLD_MS = 64, 2300


@pytest.fixture(scope="module")
def code(data_folder: Path, address: str) -> str:
    """The demo job on the book, answers about it warm."""
    found = book_demo(data_folder)
    wait_for(lambda: " with" in ask_state(address, found))
    return found


def ask_state(address: str, code: str) -> str:
    with urlopen(f"{address}/jobs/{code}/test") as answer:
        text = answer.read().decode()
    return text[text.index("data-version=") : text.index("data-version=") + 80].replace("without", "")


def readings(data: Path, test: str) -> list[tuple[str, str]]:
    records = StoredRecords(folder=data)
    found = [entry.draft.body for entry in records.search(Search((f"test:{test}",), kind="event", top=1000))]
    records.close()
    return sorted((one["stage"], one["shows"]) for one in found if one["what"] == "reading")


def with_before(data: Path, test: str) -> list[tuple[str, str, str]]:
    records = StoredRecords(folder=data)
    found = [entry.draft.body for entry in records.search(Search((f"test:{test}",), kind="event", top=1000))]
    records.close()
    return [(one["stage"], one["shows"], one["before"]) for one in found if one.get("before") is not None]


def answer_look(page: Any) -> None:
    """Look here next takes minutes of all cores the first time; here it is another test's."""
    page.route("**/test/look", lambda route: route.fulfill(body="<p>Elsewhere.</p>", content_type="text/html"))


STATES: dict[str, tuple[int, list[dict[str, Any]]]] = {
    "charging": (1, []), "within": (5, []), "whole": (14, []),
    "not within": (4, [{"seconds": 370, "what": "reading", "stage": "rear applied", "shows": "4.8", "unit": "bar"}]),
    "conflict": (5, [{"seconds": 371, "what": "reading", "stage": "rear applied", "shows": "3.8", "unit": "bar", "phone": "b"}]),
    "void": (6, [{"seconds": 375, "what": "touched", "device": "217/2.brake_pipe_cock"}]),
    "between": (3, [{"seconds": 330, "what": "between", "place": "217/2 and 226/1", "protection": "1"}]),
}  # fmt: skip


@each_look
def test_every_state_of_the_test_can_be_used_by_everybody(
    visit: Visit, code: str, data_folder: Path, size: dict[str, int], theme: str
) -> None:
    page = visit(f"/jobs/{code}/test", size, theme)
    answer_look(page)
    for name, (upto, more) in STATES.items():
        page.goto("/keys")
        put_test(data_folder, code, upto, more)
        page.goto(f"/jobs/{code}/test")
        assert axe_faults(page) == [], name
        assert page.evaluate(WIDE), f"{name}: nothing lies beside the screen"
    page.goto(f"/jobs/{code}/away")
    assert axe_faults(page) == [] and page.evaluate(WIDE)


def test_a_whole_stage_by_gloved_thumbs_and_by_keys(visit: Visit, code: str, data_folder: Path) -> None:
    test = put_test(data_folder, code, 1)
    page = visit(f"/jobs/{code}/test", PHONE)
    for name in ("Less: one mark", "More: one mark", "Write it down", "Can't read it"):
        box = page.get_by_role("button", name=name).bounding_box()
        assert box["height"] >= TOUCH_PX and box["width"] >= TOUCH_PX, name
    page.get_by_role("button", name="More").click()
    shown = page.locator("section:not([hidden]) input[name=shows]")
    assert shown.input_value() == "4.6", "the first tap stands outside the limit"
    page.keyboard.press("ArrowUp")
    page.keyboard.press("ArrowUp")
    page.keyboard.press("ArrowDown")
    assert shown.input_value() == "4.8"
    page.get_by_role("button", name="Write it down").click()
    page.locator(".answer.within").wait_for()
    assert "4.8 bar" in page.inner_text(".answer.within")
    assert readings(data_folder, test) == [("rear charged", "4.8")]
    page.get_by_role("button", name="stage 3").click()
    page.locator("#stage-number", has_text="stage 3 of 9").wait_for()
    assert "within limits" in page.inner_text(".earlier")


@pytest.mark.parametrize("theme", ["night", "paper"])
def test_who_stands_at_the_gauge_sees_what_the_limit_and_the_entry_on_one_screen(
    visit: Visit, code: str, data_folder: Path, theme: str
) -> None:
    met = []
    for upto in (1, 4, 6, 9, 12):
        put_test(data_folder, code, upto)
        page = visit(f"/jobs/{code}/test", SMALL_PHONE, theme)
        stage = page.locator("section.stage:not([hidden])")
        met.append(stage.get_attribute("data-stage"))
        shown = [
            stage.locator(one).bounding_box() for one in (".lamp", ".limit", "svg.staff", ".entry", "button.go >> visible=true")
        ]
        assert all(box["y"] >= 0 and box["y"] + box["height"] <= SMALL_PHONE["height"] for box in shown), (met[-1], shown)
        assert page.evaluate("scrollY") == 0
    assert met == ["rear charged", "rear applied", "front fallen", "no rise", "rear restored"]


def test_what_a_gauge_showed_before_goes_with_the_reading(visit: Visit, code: str, data_folder: Path) -> None:
    for scripts in (True, False):
        test = put_test(data_folder, code, 9)
        page = visit(f"/jobs/{code}/test", SMALL_PHONE, scripts=scripts)
        page.get_by_text("What it showed when the stage began").click()
        page.locator("section:not([hidden]) input[name=before]").fill("3.3")
        entered(page, "3.5")
        wait_for(lambda test=test: ("no rise", "3.5", "3.3") in with_before(data_folder, test))
        page.locator("section:not([hidden]) .written .answer").first.wait_for()
        page.context.close()


def test_it_works_without_scripts(visit: Visit, code: str, data_folder: Path) -> None:
    test = put_test(data_folder, code, 1)
    page = visit(f"/jobs/{code}/test", PHONE, scripts=False)
    page.locator("section:not([hidden]) input[name=shows]").fill("4.6")
    page.get_by_role("button", name="Write it down").click()
    assert "Hold the train first" in page.inner_text(".answer.not-within")
    assert readings(data_folder, test) == [("rear charged", "4.6")]
    assert page.get_by_role("link", name="Look here next").get_attribute("href") == f"/jobs/{code}/test/look"
    page.get_by_text("Correct, and what was given").click()
    page.locator("details[open] input[name=shows]").fill("4.9")
    page.get_by_role("button", name="Correct it").click()
    page.locator(".answer.within").wait_for()
    assert "4.6 bar" in page.text_content("details del, details s")


def test_filed_with_a_certificate_and_void_when_touched(visit: Visit, code: str, data_folder: Path) -> None:
    put_test(data_folder, code)
    page = visit(f"/jobs/{code}/test", PHONE)
    page.get_by_role("button", name="Put it on record").click()
    page.get_by_text("On record.").wait_for()
    link = page.get_by_role("link", name="The certificate")
    assert page.request.get(link.get_attribute("href")).body().startswith(b"%PDF")
    page.get_by_text("Something was touched").click()
    page.locator("select[name=device]").select_option("217/2.brake_pipe_cock")
    page.locator("form.touched").get_by_role("button", name="Write it down").click()
    page.locator(".answer.void").wait_for()
    assert "brake pipe cock of 217/2 touched by" in page.inner_text(".answer.void")


def test_put_away_on_every_phone_until_the_plate_was_held(visit: Visit, code: str, data_folder: Path) -> None:
    test = put_test(data_folder, code, 3)
    phone, desk = visit(f"/jobs/{code}/test", PHONE), visit(f"/jobs/{code}/test", DESK)
    phone.get_by_text("Somebody goes between").click()
    phone.locator("input[name=protection]").fill("1")
    phone.get_by_role("button", name="Put phones away").click()
    phone.get_by_text("Stand clear").first.wait_for(state="attached")
    desk.locator(".desk-between").wait_for(timeout=10_000)
    assert "Put it away. Stand clear." in desk.inner_text(".desk-between")
    assert not phone.locator(".desk-between").is_visible() or phone.locator("#away").is_visible()
    plate = phone.get_by_role("button", name="Come back")
    plate.click()
    phone.wait_for_timeout(300)
    assert plate.is_visible(), "a touch is not enough"
    plate.hover()
    phone.mouse.down()
    phone.wait_for_timeout(HOLD_MS)
    phone.mouse.up()
    phone.locator("section.stage:not([hidden])").wait_for()
    desk.locator("section.stage:not([hidden])").wait_for(timeout=10_000)
    records = StoredRecords(folder=data_folder)
    assert sum(one.draft.body["what"] == "out" for one in records.search(Search((f"test:{test}",), kind="event", top=99))) == 1


def test_the_page_of_the_phones_learns_that_everybody_is_out(visit: Visit, code: str, data_folder: Path) -> None:
    put_test(data_folder, code, *STATES["between"])
    first, second = visit(f"/jobs/{code}/away", PHONE), visit(f"/jobs/{code}/away", PHONE)
    first.get_by_role("button", name="Come back").focus()
    first.keyboard.down("Enter")
    first.wait_for_timeout(HOLD_MS)
    first.keyboard.up("Enter")
    second.wait_for_url("**/test", timeout=10_000)


def entered(page: Any, figure: str) -> None:
    page.locator("section:not([hidden]) input[name=shows]").fill(figure)
    page.get_by_role("button", name="Write it down").click()


KEEP = """async ([code, events]) => {
    const queue = await import("/static/js/queue.js");
    for (const event of events) await queue.keep(code, {who: "P. Oad", at: queue.clock(), ...event});
}"""
REFUSED = "Not taken, and never will be"


def test_what_was_refused_among_entries_that_were_taken_is_said_until_it_is_seen(
    visit: Visit, code: str, data_folder: Path
) -> None:
    test = put_test(data_folder, code, 4)
    page = visit(f"/jobs/{code}/test", PHONE)
    good = {"test": test, "what": "reading", "stage": "rear applied", "unit": "bar", "shows": "3.4"}
    bad = {**good, "shows": "3,6"}
    page.goto("/keys")
    page.evaluate(KEEP, [code, [good, bad, {**good, "stage": "front fallen", "who": "M. Iden"}]])
    page.goto(f"/jobs/{code}/test")
    wait_for(lambda: len(readings(data_folder, test)) == 3)
    for _ in range(2):
        page.get_by_text(REFUSED).wait_for()
        (said,) = page.locator("#not-taken li").all_inner_texts()
        assert said.startswith("reading, rear applied, P. Oad, ") and "3,6" in said
        page.reload()
    assert axe_faults(page) == []
    page.get_by_role("button", name="I have seen it").click()
    page.get_by_text(REFUSED).wait_for(state="hidden")
    page.reload()
    page.wait_for_timeout(500)
    assert not page.get_by_text(REFUSED).is_visible() and not page.locator("#waiting").is_visible()


def test_what_was_refused_while_phones_were_put_away_is_said_afterwards(visit: Visit, code: str, data_folder: Path) -> None:
    test = put_test(data_folder, code, *STATES["between"])
    page = visit(f"/jobs/{code}/away", PHONE)
    page.evaluate(KEEP, [code, [{"test": test, "what": "reading", "stage": "rear applied"}]])
    plate = page.get_by_role("button", name="Come back")
    plate.focus()
    page.keyboard.down("Enter")
    page.wait_for_timeout(HOLD_MS)
    page.keyboard.up("Enter")
    page.wait_for_url("**/test", timeout=10_000)
    page.get_by_text(REFUSED).wait_for()
    assert "reading, rear applied, P. Oad" in page.inner_text("#not-taken li")


def test_two_phones_that_differ_are_both_shown_and_a_person_decides(visit: Visit, code: str, data_folder: Path) -> None:
    put_test(data_folder, code, 4)
    one, two = visit(f"/jobs/{code}/test", PHONE), visit(f"/jobs/{code}/test", PHONE)
    answer_look(one)
    answer_look(two)
    one.wait_for_timeout(500)
    two.context.set_offline(True)
    entered(one, "3.4")
    entered(two, "3.8")
    two.locator(".kept-here").wait_for()
    two.context.set_offline(False)
    one.locator(".conflict").wait_for(timeout=15_000)
    assert "3.4 bar" in one.inner_text(".conflict") and "3.8 bar" in one.inner_text(".conflict")
    one.get_by_role("button", name="3.8 bar holds").click()
    one.locator("#not-within").wait_for(timeout=15_000)
    visit.said.clear()  # type: ignore[attr-defined]


@pytest.fixture
def own_server(tmp_path: Path) -> Iterator[Any]:
    """A server that a test may kill and start again on the same port."""
    server = OwnServer(tmp_path)
    server.start()
    yield server
    server.kill()


class OwnServer:
    def __init__(self, data: Path) -> None:
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            self.port = free.getsockname()[1]
        self.data, self.address, self.process = data, f"http://localhost:{self.port}", None

    def start(self) -> None:
        environment = {**os.environ, "HEADSTOCK_DATA": str(self.data), "PYTHONPATH": str(ROOT / "src")}
        command = [sys.executable, "-m", "headstock", "serve", "--host", "localhost", "--port", str(self.port)]
        self.process = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, env=environment)
        assert "Headstock is at" in self.process.stdout.readline()

    def kill(self) -> None:
        """As when the machine loses its power."""
        if self.process is not None:
            self.process.kill()
            self.process.wait(10)
            self.process.stdout.close()
            self.process = None


def kept_page(context: Any, path: str) -> Any:
    """A page that was opened once, with its worker at work."""
    page = context.new_page()
    page.goto(path)
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    page.reload()
    wait_for(lambda: page.evaluate("navigator.serviceWorker.controller !== null"))
    page.wait_for_timeout(500)
    return page


def test_two_readings_without_a_connection_are_there_once_when_it_is_back(browser: Any, own_server: OwnServer) -> None:
    code = book_demo(own_server.data)
    test = put_test(own_server.data, code, 4)
    context = browser.new_context(viewport=PHONE, base_url=own_server.address)
    page = kept_page(context, f"/jobs/{code}/test")
    context.set_offline(True)
    own_server.kill()
    entered(page, "3.4")
    assert "kept on this phone" in page.inner_text(".kept-here") and "Between the brackets" in page.inner_text(".kept-here")
    page.get_by_role("button", name="stage 5").click()
    page.locator("#stage-number", has_text="stage 5 of 9").wait_for()
    entered(page, "3.6")
    page.get_by_text("3.6 bar, kept on this phone").wait_for()
    assert "No connection since" in page.inner_text("#connection")
    page.close()
    page = context.new_page()
    page.goto(f"/jobs/{code}/test")
    page.get_by_text("3 entries wait on this phone").wait_for()
    page.get_by_text("3.6 bar, kept on this phone").wait_for()
    assert readings(own_server.data, test) == [("rear charged", "4.9")]
    own_server.start()
    context.set_offline(False)
    wait_for(lambda: len(readings(own_server.data, test)) == 3)
    assert readings(own_server.data, test) == [("front fallen", "3.6"), ("rear applied", "3.4"), ("rear charged", "4.9")]
    page.locator("section:not([hidden]) .answer.within").wait_for(timeout=20_000)
    assert not page.locator("#waiting").is_visible()
    context.close()


def test_a_server_killed_while_entries_come_in_loses_and_doubles_nothing(browser: Any, own_server: OwnServer) -> None:
    code = book_demo(own_server.data)
    test = put_test(own_server.data, code, 2)
    context = browser.new_context(viewport=PHONE, base_url=own_server.address)
    page = kept_page(context, f"/jobs/{code}/test")
    given = 0
    for number in range(6):
        page.evaluate("""async ([code, test, shows]) => {
            const queue = await import("/static/js/queue.js");
            const read = {what: "reading", stage: "rear applied", unit: "bar", who: "P. Oad", at: queue.clock()};
            await queue.keep(code, {...read, test, shows});
            queue.send(code).catch(() => {});
        }""", [code, test, f"3.{number}"])  # fmt: skip
        given += 1
        if number % 2:
            own_server.kill()
            own_server.start()
    wait_for(lambda: len(readings(own_server.data, test)) >= given + 1)
    page.wait_for_timeout(3000)
    there = readings(own_server.data, test)
    assert there == [*(("rear applied", f"3.{number}") for number in range(6)), ("rear charged", "4.9")]
    context.close()


def test_a_page_never_opened_here_says_so_without_a_connection(browser: Any, own_server: OwnServer) -> None:
    code = book_demo(own_server.data)
    context = browser.new_context(viewport=PHONE, base_url=own_server.address)
    page = kept_page(context, f"/jobs/{code}/test")
    own_server.kill()
    page.goto("/jobs/ANY-OTHER/test")
    assert "Not on this phone" in page.inner_text("h1")
    context.close()
