"""A job's page in a browser: the train, both ends, the order of work, its parts, stopping, printing."""

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

from tests.journeys.browser import (
    DESK,
    FIRST_SIGHT_PX,
    HEIGHT,
    PHONE,
    SHOWN,
    SMALL_PHONE,
    axe_faults,
    each_look,
    served,
    wait_for,
)

Visit = Callable[..., Any]
MOST_BYTES = 300_000
TWELVE = """headstock: job 1
title: Twelve vehicles
invented: true
work: attach
units: [{name: "701", type: moss}, {name: "702", type: moss}, {name: "703", type: moss}, {name: "704", type: moss},
  {name: "705", type: moss}, {name: "706", type: moss}]
joints: [{ends: [701/2, 702/1]}, {ends: [702/2, 703/1]}, {ends: [703/2, 704/1], make: true}, {ends: [704/2, 705/1]},
  {ends: [705/2, 706/1]}]
moving: {units: ["701", "702", "703"], driven_from: 703/2}
controls_afterwards: 701/1
leaves_from: 701/1
crew: {driver: M. Iden, shunter: J. Tolk, guard: P. Oad}
place: harrow-ings-3
local_rules: wending-vale
method: rear-application
"""
SLOW = """
import time
from headstock.web import job_answers
tells = []
job_answers.air_engine = tells.append
def slow(path, fleet, engine):
    for number in range(400):
        tells[-1](number, 400)
        time.sleep(0.4)
job_answers.plan_job = slow
from headstock.usecases.serving import Serving
from headstock.web.serve import serve
serve(Serving(port=0))
"""
WEIGHT = """() => { const first = performance.getEntriesByType('navigation')[0];
  return {interactive: first.domContentLoadedEventEnd, waited: first.responseStart - first.requestStart,
    bytes: performance.getEntriesByType('resource').reduce((sum, one) => sum + one.transferSize, first.transferSize)} }"""


def ready(page: Any, title: str = "Attach 217 to 226") -> Any:
    """A ready job's page with its order of work."""
    page.goto("/jobs/new")
    page.get_by_role("button", name=title).click()
    page.locator("#order .blocks").wait_for(timeout=120_000)
    page.wait_for_load_state("load")
    return page


def with_all_parts(page: Any) -> Any:
    for name, content in (("forecast", ".moments"), ("can", ".can-sections"), ("mistakes", ".mistakes")):
        plate = page.locator(f"#{name} a.plate", has_text="Work it out")
        if plate.count() and name != "forecast":
            plate.click()
        page.locator(f"#{name} {content}").first.wait_for(timeout=120_000, state="attached")
    return page


def test_the_parts_come_by_themselves_or_when_they_are_asked_for(visit: Visit) -> None:
    page = with_all_parts(ready(visit("/")))
    assert page.locator("#train-part .pipe").count() == 4
    assert "3.4" in page.locator("#train-part .pipes").inner_text()


@each_look
def test_everybody_can_use_the_whole_job(visit: Visit, size: dict[str, int], theme: str) -> None:
    page = with_all_parts(ready(visit("/", size, theme)))
    assert axe_faults(page) == []
    page.evaluate("document.querySelectorAll('details.folded').forEach((one) => { one.open = true })")
    assert axe_faults(page) == [], "also unfolded"
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), "nothing lies beside the screen"
    if size is PHONE:
        small = page.evaluate("""[...document.querySelectorAll('main .plate, main button, .parts a, .block h3 a')]
            .filter((one) => one.offsetParent && one.getBoundingClientRect().height < 63).map((one) => one.outerHTML)""")
        assert small == [], "gloves"
    code = page.url.rpartition("/")[2]
    for path in (f"/jobs/{code}/stop?after=50", f"/jobs/{code}/hand-over?after=50&role=guard&name=T. Wray"):
        page.goto(path)
        page.get_by_role("heading", level=1).wait_for()
        assert axe_faults(page) == []
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")


def test_n_and_b_move_the_lamp_and_the_drawings_follow(visit: Visit) -> None:
    page = ready(visit("/"))
    cock = page.locator("#about-217-2-brake_pipe_cock")
    assert "shut" in cock.inner_text()
    for number in range(2, 8):
        page.keyboard.press("n")
        assert page.locator(".block.lamp").get_attribute("data-block") == str(number)
    cock.filter(has_text="open").wait_for()
    assert page.locator(".lamp").count() == 1 and page.locator("#lamp-number").inner_text() == "7"
    assert "block=7" in page.url and "after=6" in (page.locator("#stop-plate").get_attribute("href") or "")
    page.keyboard.press("b")
    assert page.locator(".block.lamp").get_attribute("data-block") == "6"
    page.reload()
    assert page.locator(".block.lamp").get_attribute("data-block") == "6", "the address keeps the block"


def test_on_a_phone_the_block_in_hand_comes_first_and_all_else_is_a_tap_away(visit: Visit) -> None:
    page = ready(visit("/", PHONE))
    page.locator("#forecast details.folded").wait_for(timeout=120_000, state="attached")
    wait_for(lambda: page.locator("#forecast .moments").count() and not page.locator("#forecast .moments").is_visible())
    assert page.evaluate("document.documentElement.scrollHeight") < 6000, "it was over 14,000"
    assert page.locator("#block-1 .lines").count() and page.locator("#block-1 h3 ~ p").first.is_visible()
    assert page.locator("#block-2 h3").is_visible() and not page.locator("#block-2 h3 ~ p").first.is_visible()
    page.locator("#next-plate").click()
    assert page.locator(".block.lamp").get_attribute("data-block") == "2" and page.locator("#block-2 h3 ~ p").first.is_visible()
    foot = page.locator(".moves").bounding_box()
    for name in ("Stop, make safe", "Block before", "Next block"):
        box = page.get_by_role("link", name=name).bounding_box()
        assert box["height"] >= 64 and box["y"] >= foot["y"], "where a thumb is"
    lit = page.locator(".block.lamp").bounding_box()
    assert 0 <= lit["y"] < 60, "the block in hand begins at the top of the screen"
    page.locator(".tick", has_text="Every block in full").click()
    assert page.locator("#block-6 .caution").first.is_visible()
    page.locator(".parts summary").click()
    page.locator(".parts a[href='#joined']").click()
    assert page.get_by_text("It gives nobody leave to join").is_visible()
    part = page.locator(".end-front a.part[aria-label^='brake pipe cock']").first
    part.focus()
    page.keyboard.press("Enter")
    page.locator("tr:target").wait_for(state="visible")
    page.set_viewport_size(DESK)
    page.locator("#forecast .moments").wait_for(state="visible")


def test_what_is_folded_on_a_phone_is_on_its_paper(visit: Visit) -> None:
    page = ready(visit("/", PHONE))
    page.locator("#forecast details.folded").wait_for(timeout=120_000, state="attached")
    page.emulate_media(media="print")
    for within in ("#ends .stands", "#joined ul", "#forecast .moments", "#block-6 .caution"):
        assert page.locator(within).first.evaluate("(one) => one.getBoundingClientRect().height > 0"), within
    assert not page.locator(".moves").is_visible()


def test_on_a_phone_a_hand_over_leads_with_what_is_told_and_no_caution_is_folded(visit: Visit) -> None:
    code = ready(visit("/")).url.partition("?")[0].rpartition("/")[2]
    path = f"/jobs/{code}/hand-over?after=50&role=guard&name=T. Wray"
    plain = visit(path, SMALL_PHONE, scripts=False)
    assert plain.get_by_role("listitem").filter(has_text="Test, rear restored").is_visible(), "without scripts nothing is folded"
    cautions = {one.strip() for one in plain.locator(".caution").all_inner_texts()}
    page = visit(path, SMALL_PHONE)
    assert page.evaluate(HEIGHT) < FIRST_SIGHT_PX, "it was over 9,800"
    shown = {one.inner_text().strip() for one in page.locator(".caution").all() if one.is_visible()}
    assert shown == cautions and len(cautions) > 10
    for title in ("Told by word, each said back", "Asked by the relief", "Next", "Hand and parking brakes", "Brake test"):
        assert page.get_by_role("heading", name=title, exact=True).is_visible(), title
    last = page.locator(".half-done details .lines li").last
    assert not last.is_visible()
    page.emulate_media(media="print")
    assert last.evaluate(SHOWN) and page.get_by_role("heading", name="Electric supply").evaluate(SHOWN)
    page.emulate_media(media="screen")
    page.locator("summary", has_text="The rest of the order of work").click()
    last.wait_for(state="visible")
    assert not page.locator(".of-folded").is_visible() and axe_faults(page) == []


def test_a_part_of_an_end_says_how_it_stands_and_where_that_comes_from(visit: Visit) -> None:
    page = ready(visit("/"))
    part = page.locator(".end-front a.part[aria-label^='brake pipe cock']").first
    part.focus()
    page.keyboard.press("Enter")
    row = page.locator("tr:target")
    assert "brake pipe cock" in row.inner_text() and "told by the unit type" in row.inner_text()
    part.focus()
    page.keyboard.press("ArrowRight")
    assert page.evaluate("document.activeElement.getAttribute('aria-label')") != part.get_attribute("aria-label")
    outer = page.locator(".strip.wide a.part[href='#about-217-1-brake_pipe_cock']")
    outer.focus()
    page.keyboard.press("Enter")
    page.locator("#about-217-1-brake_pipe_cock").wait_for(state="visible")


def test_the_whole_job_can_be_read_without_script(visit: Visit) -> None:
    ready(visit("/"))
    page = visit("/jobs/new", scripts=False)
    page.get_by_role("button", name="Attach 217 to 226").click()
    assert page.locator(".block").count() >= 9
    page.locator("#block-3 h3 a").click()
    assert page.locator(".block.lamp").get_attribute("data-block") == "3"
    page.goto(f"{page.url.partition('?')[0]}/show/can")
    for _ in range(60):
        if page.locator("#can .can-sections").count():
            break
        page.wait_for_timeout(500)
        page.get_by_role("link", name="Look again").click()
    assert page.locator("#can .can-sections").count() == 1


def test_long_work_says_how_far_it_is_and_can_be_stopped(browser: Any, tmp_path: Path) -> None:
    with served(tmp_path, script=SLOW) as address:
        page = browser.new_page(base_url=address, viewport=DESK)
        page.goto("/jobs/new")
        page.get_by_role("button", name="Attach 217 to 226").click()
        page.locator("#stop-order").focus()
        page.get_by_text(re.compile(r"Working out the order of work: \d+ of 400")).wait_for()
        page.wait_for_timeout(2500)
        assert axe_faults(page) == []
        assert page.evaluate("document.activeElement.id") == "stop-order", "a look each second leaves the focus where it is"
        page.keyboard.press("Enter")
        page.get_by_text("nothing of it was kept").wait_for()
        page.get_by_role("link", name="Work it out").first.click()
        page.get_by_text("of 400").wait_for()
        page.context.close()


def test_a_train_of_twelve_vehicles_is_light_and_quick(visit: Visit) -> None:
    page = visit("/jobs/file")
    page.get_by_label("Or paste its text").fill(TWELVE)
    page.get_by_role("button", name="Put it on the book").click()
    page.locator("#order .blocks").wait_for(timeout=120_000)
    assert page.locator(".strip.wide text").filter(has_text="70").count() >= 12
    address = with_all_parts(page).url
    measured = []
    for _ in range(4):
        again = visit(address)
        again.wait_for_load_state("load")
        measured.append(again.evaluate(WEIGHT))
    assert min(one["waited"] for one in measured) < 200, measured
    assert min(one["interactive"] for one in measured) < 1000, measured
    assert all(one["bytes"] < MOST_BYTES for one in measured), measured


def test_a_job_on_paper(visit: Visit) -> None:
    page = ready(visit("/"))
    page.emulate_media(media="print")
    page.locator("#stop-plate").wait_for(state="hidden")
    page.locator(".strip.wide").wait_for()
    assert page.evaluate("getComputedStyle(document.documentElement).getPropertyValue('--ground').trim()") == "#fff"
    for name in ("Job sheet", "Cards for each role"):
        href = page.get_by_role("link", name=name, include_hidden=True).get_attribute("href")
        assert page.request.get(href).body().startswith(b"%PDF")


def test_a_job_that_is_not_there_says_so(visit: Visit) -> None:
    page = visit("/jobs/nothing")
    assert "No such job" in page.inner_text("main") and axe_faults(page) == []
    visit.said.clear()  # type: ignore[attr-defined]
