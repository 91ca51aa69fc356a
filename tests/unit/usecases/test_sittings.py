"""Sittings by their codes: taken in hand, copied, and a name taken out of all of them while they are played."""

import os
import threading
from pathlib import Path

import pytest

from headstock.compute.kept_runs import KeptRuns
from headstock.equipment.library import load_fleet
from headstock.records import sitting_files
from headstock.records.sitting_files import SittingFiles
from headstock.usecases import sittings as sittings_module
from headstock.usecases.sittings import NO_NAME, Sittings

PERSON, DRIVER = "J. Tolk", {"kind": "took", "role": "driver", "person": "J. Tolk"}
WALKED = {"kind": "walked", "role": "shunter", "place": "beside 226"}


def _server(folder: Path) -> Sittings:
    """A server, or the same one started again."""
    return Sittings(SittingFiles(folder), load_fleet(), KeptRuns())


def _names(sittings: Sittings, code: str) -> list[str]:
    kept = sittings.log.kept(code)
    assert kept is not None
    return [event["person"] for event in kept.events if event["kind"] == "took"]


def test_what_is_done_while_a_name_is_taken_out_is_not_lost(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    before = _server(tmp_path)
    code = before.begin("attach-plain").code
    before.named(code).act(DRIVER)
    sittings = _server(tmp_path)
    sittings.exercise("attach-plain")
    hands = threading.Thread(target=lambda: sittings.named(code).act(WALKED))
    real = os.replace

    def slow(*paths: Path) -> None:
        hands.start()
        hands.join(1.0)
        real(*paths)

    monkeypatch.setattr(sitting_files.os, "replace", slow)
    assert sittings.unname(PERSON) == 1
    hands.join()
    kept = sittings.log.kept(code)
    assert kept is not None and [event["kind"] for event in kept.events] == ["took", "walked"]
    assert _names(sittings, code) == [NO_NAME] and sittings.named(code).sitting.people["driver"] == NO_NAME


def test_of_many_sittings_those_that_are_over_come_back_from_their_course(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sittings_module, "MOST_IN_HAND", 3)
    sittings = _server(tmp_path)
    goes_on = sittings.begin("attach-plain")
    over = [sittings.begin("attach-plain") for _ in range(4)]
    for live in over:
        live.act(DRIVER)
        live.act({"kind": "stopped"})
    sittings.begin("attach-plain")
    assert goes_on in sittings.in_hand and len(sittings.in_hand) == 3 and over[0] not in sittings.in_hand
    again = sittings.named(over[0].code)
    assert again is not over[0] and again.sitting.is_over and again.sitting.people == {"driver": PERSON}


def test_a_name_is_taken_out_of_a_sitting_that_goes_on(tmp_path: Path) -> None:
    sittings = _server(tmp_path)
    live = sittings.begin("attach-plain")
    live.act(DRIVER)
    live.act({"kind": "took", "role": "guard", "person": "P. Oad"})
    live.act(WALKED)
    assert sittings.unname(" j. TOLK") == 1 and sittings.unname(PERSON) == 0
    assert sittings.named(live.code) is live and not live.sitting.is_over
    assert live.sitting.people == live.shown.people == {"driver": NO_NAME, "guard": "P. Oad"}
    assert PERSON not in _names(sittings, live.code)
    live.act({**WALKED, "place": "beside 2261"})
    again = _server(tmp_path).named(live.code)
    assert again.sitting.people == live.sitting.people and again.sitting.place_of("shunter") == "beside 2261"


def test_a_sitting_that_is_over_comes_back_without_the_name(tmp_path: Path) -> None:
    sittings = _server(tmp_path)
    live = sittings.begin("attach-plain")
    live.act(DRIVER)
    live.act({"kind": "stopped"})
    assert sittings.unname(PERSON) == 1
    assert sittings.named(live.code).sitting.people["driver"] == NO_NAME and _names(sittings, live.code) == [NO_NAME]


def test_one_asked_for_twice_at_once_is_one(tmp_path: Path) -> None:
    code = _server(tmp_path).begin("attach-plain").code
    sittings, found = _server(tmp_path), []
    hands = [threading.Thread(target=lambda: found.append(sittings.named(code))) for _ in range(4)]
    for hand in hands:
        hand.start()
    for hand in hands:
        hand.join()
    assert len(found) == 4 and len({id(live) for live in found}) == 1


def test_a_sitting_goes_on_from_an_earlier_moment_of_another(tmp_path: Path) -> None:
    sittings = _server(tmp_path)
    live = sittings.begin("attach-plain")
    live.act(DRIVER)
    branch = sittings.branch(live.code, 0.0)
    assert branch.code != live.code and branch.sitting.people == live.sitting.people


def test_it_is_told_once_when_an_exercise_was_planned(tmp_path: Path) -> None:
    sittings, told = _server(tmp_path), []
    sittings.on_planned = lambda: told.append(1)
    for _ in range(3):
        sittings.begin("attach-plain")
    assert told == [1]
