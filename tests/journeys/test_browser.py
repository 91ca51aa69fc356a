"""The browser of the journeys itself: what it shows after an act is the whole page."""

import time
from collections.abc import Callable
from typing import Any


def test_an_act_ends_with_the_page_that_it_led_to_styles_and_all(visit: Callable[..., Any]) -> None:
    page = visit("/fleet/table")
    page.context.route("**/*.css", lambda route: (time.sleep(0.3), route.continue_()))
    page.get_by_role("link", name="fell with tarn").click()
    assert page.evaluate("document.readyState") == "complete"
    assert page.locator(".note.lamp:visible").count() == 1
