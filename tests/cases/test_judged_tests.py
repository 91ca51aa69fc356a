"""Three tests a method, each worked out on paper: the verdict, and the readings that are not within limits.

Limits of Wending Vale: charged 4.8, rear 3.6, front 3.7, rise 0.1 in 30 s, step 0.6, leak 0.3 a minute in 60 s, settle 20 s,
cylinder 1.5, fall 0.2, released 0.2, all brakes, 10 km/h, hold 10 s, tail cock 6 s, charging 240 s.
Train of 90 m: 30 s on foot at least.
"""

from __future__ import annotations

from pathlib import Path
from random import Random
from typing import Any

import pytest

from headstock.base.errors import InputError
from tests.cases.records import COACHES, FREIGHT, MULTIPLE_UNIT, Row, judged, record_text

D, G = "driver", "guard"
UNIT, ELECTRIC_OFF = MULTIPLE_UNIT, "electric_brake_in_use: false\n"


def rear(applied: float, front: float, later: float, restored: float) -> list[Row]:
    return [
        ("charged", D, 0),
        ("rear charged", G, 300, "5.0 bar"),
        ("lapped", D, 310),
        ("rear applied", G, 340, f"{applied} bar"),
        ("front fallen", D, 350, f"{front} bar"),
        ("rear shut", G, 370),
        ("no rise", D, 410, f"{later} bar"),
        ("restored", D, 420),
        ("rear restored", G, 700, f"{restored} bar"),
    ]


def ways(first: float, front: float) -> list[Row]:
    tail = [(stage, who, s + 600, *read) for stage, who, s, *read in rear(3.4, front, front, 4.9) if s > 300]
    return [
        ("charged", D, 0),
        ("rear charged", G, 300, "4.9 bar"),
        ("front applied", D, 310),
        ("rear fallen", G, 340, f"{first} bar"),
        ("rear stays", G, 380, f"{first} bar"),
        ("front released", D, 400),
        ("rear risen", G, 700, "4.9 bar"),
        *tail,
    ]


def alone(back_s: float, front: float) -> list[Row]:
    return [
        ("charged", D, 0),
        ("lapped", D, 260),
        ("rear charged", D, 360, "4.9 bar"),
        ("rear applied", D, 400, "3.4 bar"),
        ("rear shut", D, 410),
        ("front fallen", D, 410 + back_s, f"{front} bar"),
        ("no rise", D, 460 + back_s, f"{front} bar"),
        ("restored", D, 470 + back_s),
        ("rear restored", D, 800 + back_s, "4.9 bar"),
    ]


def tail(open_s: float, front: float, last: int) -> list[Row]:
    return [
        ("charged", D, 0),
        ("rear released", G, 300, "1 brakes"),
        ("lapped", D, 310),
        ("front charged", D, 315, "5.0 bar"),
        ("tail opened", G, 330),
        ("tail shut", G, 330 + open_s),
        ("front fallen", D, 345, f"{front} bar"),
        ("rear applied", G, 350, f"{last} brakes"),
        ("no rise", D, 400, f"{front} bar"),
        ("restored", D, 410),
        ("rear restored", G, 700, "1 brakes"),
    ]


def full(leaked: float, on: int, off: int) -> list[Row]:
    return [
        ("charged", D, 0),
        ("rear charged", G, 300, "5.0 bar"),
        ("lapped", D, 310),
        ("front charged", D, 312, "5.0 bar"),
        ("tight", D, 375, f"{leaked} bar"),
        ("front applied", D, 390),
        ("rear fallen", G, 420, "3.4 bar"),
        ("applied counted", G, 600, f"{on} brakes"),
        ("front released", D, 620),
        ("released counted", G, 900, f"{off} brakes"),
        ("rear restored", G, 910, "4.9 bar"),
    ]


def drop(fallen: float, settled: float = 5.0) -> list[Row]:
    return [
        ("charged", D, 0),
        ("lapped", D, 300),
        ("settled", D, 330, f"{settled} bar"),
        ("watched", D, 390, f"{settled - fallen} bar"),
        ("restored", D, 400),
    ]


def freight_drop(fallen_psi: float, step_psi: float) -> list[Row]:
    left = 90 - step_psi
    return [
        ("charged", D, 0),
        ("rear charged", G, 300, "88 psi"),
        ("front charged", D, 305, "90 psi"),
        ("applied", D, 310),
        ("lapped", D, 330),
        ("settled", D, 380, f"{left} psi"),
        ("watched", D, 440, f"{left - fallen_psi} psi"),
        ("restored", D, 450),
    ]


def freight_flow(at_rear: float, flow: float) -> list[Row]:
    return [("charged", D, 0), ("rear charged", G, 300, f"{at_rear} psi"), ("flow", D, 320, f"{flow} cfm")]


def unit_flow(at_rear: float, flow: float) -> list[Row]:
    return [("charged", D, 0), ("rear charged", G, 300, f"{at_rear} bar"), ("flow", D, 330, f"{flow} l/min")]


def freight_full(on: int, more: dict[str, Any]) -> list[Row]:
    return [
        ("charged", D, 0),
        ("rear charged", G, 300, "88 psi"),
        ("front charged", D, 305, "90 psi"),
        ("applied", D, 310),
        ("step", D, 340, "70 psi"),
        ("applied counted", G, 900, f"{on} brakes", more),
        ("released", D, 910),
        ("released counted", G, 1500, "20 brakes"),
    ]


def electric(applied: float, held: float, off: float) -> list[Row]:
    return [("applied", G, 0, f"{applied} bar"), ("held", G, 15, f"{held} bar"), ("released", G, 40, f"{off} bar")]


def running(fell: float) -> list[Row]:
    return [("at speed", D, 0), ("slowed", D, 20, f"{fell} km/h"), ("released", D, 25)]


def wires(*seen: bool) -> list[Row]:
    keys = ("doors left", "doors right", "interlock", "bell", "bell back", "loop")
    in_front = ("interlock", "bell back", "loop")
    return [(key, D if key in in_front else G, 10 * at, good) for at, (key, good) in enumerate(zip(keys, seen, strict=False))]


CASES = [
    # 3.4 <= 3.6, 3.4 <= 3.7, no rise, 4.9 >= 4.8
    ("rear-application", UNIT, rear(3.4, 3.4, 3.4, 4.9), "", "within limits", []),
    # the front gauge stays at 5.0: a cock between is shut
    ("rear-application", UNIT, rear(3.4, 5.0, 5.0, 4.9), "", "not within limits", ["Applied, front"]),
    # from the front one gauge went down and up again: the other direction is still to be shown
    ("rear-application", UNIT, rear(3.4, 3.4, 3.4, 4.9)[:5], "", "not yet", []),
    ("front-both-ways", UNIT, ways(3.4, 3.4), "", "within limits", []),
    ("front-both-ways", UNIT, ways(4.9, 3.4), "", "not within limits", ["Front applied, rear"]),
    # the first half alone: front to rear is shown, rear to front is not
    ("front-both-ways", UNIT, ways(3.4, 3.4)[:7], "", "not yet", []),
    # 90 m in 60 s is 1.5 m/s
    ("one-person-both-ways", UNIT, alone(60, 3.4), "", "within limits", []),
    ("one-person-both-ways", UNIT, alone(60, 4.2), "", "not within limits", ["Applied, front"]),
    # 90 m in 25 s is 3.6 m/s
    ("one-person-both-ways", UNIT, alone(25, 3.4), "", "refused", []),
    # 5.0 to 4.2 is a fall of 0.8 >= 0.6
    ("tail-vent", UNIT, tail(6, 4.2, 1), "", "within limits", []),
    # 5.0 to 4.9 is 0.1 < 0.6, and the last brake did not apply
    ("tail-vent", UNIT, tail(6, 4.9, 0), "", "not within limits", ["Fall, front", "Applied, last vehicle"]),
    # open for 3 s, 6 s are asked for
    ("tail-vent", UNIT, tail(3, 4.2, 1), "", "not yet", []),
    # 5.0 to 4.9 in 63 s
    ("full-count", UNIT, full(4.9, 4, 4), "", "within limits", []),
    ("full-count", UNIT, full(4.9, 3, 4), "", "not within limits", ["Applied, counted"]),
    ("full-count", UNIT, full(4.9, 4, 3), "", "not within limits", ["Released, counted"]),
    # 5.0 to 4.6 in 63 s is 0.38 a minute
    ("full-count", UNIT, full(4.6, 4, 4), "", "not within limits", ["Leak, front"]),
    # 0.3 in 60 s is the limit, 0.4 is over it
    ("leak-by-drop", UNIT, drop(0.3), "", "within limits", []),
    ("leak-by-drop", UNIT, drop(0.4), "", "not within limits", ["Leak, front"]),
    # 10 K colder: 6.01325 bar absolute times 10/293.15 is 0.205 bar; of 0.4 that leaves 0.195 <= 0.3
    ("leak-by-drop", UNIT, drop(0.4), "temperature_began_c: 20\ntemperature_ended_c: 10\n", "within limits", []),
    # the method's 0.5 and the local rules' 0.3: the stricter counts
    ("example-leak-by-drop-coaches", COACHES, drop(0.3), "", "within limits", []),
    ("example-leak-by-drop-coaches", COACHES, drop(0.5), "", "not within limits", ["Leak, front"]),
    ("example-leak-by-drop-coaches", UNIT, drop(0.1), "", "refused", []),
    # rules 0.3 bar is 4.35 psi; 4 psi a minute, step 20 psi
    ("example-leak-by-drop-freight", FREIGHT, freight_drop(4, 20), "", "within limits", []),
    ("example-leak-by-drop-freight", FREIGHT, freight_drop(6, 20), "", "not within limits", ["Leak, front"]),
    ("example-leak-by-drop-freight", FREIGHT, freight_drop(4, 15), "", "not within limits", ["Step, front"]),
    # 90 less 88 is 2 psi, in 0.4 bar; 59 cfm
    ("example-leak-by-flow-freight", FREIGHT, freight_flow(88, 59), "", "within limits", []),
    ("example-leak-by-flow-freight", FREIGHT, freight_flow(88, 61), "", "not within limits", ["Flow, front"]),
    # 90 less 74 is 16 psi
    ("example-leak-by-flow-freight", FREIGHT, freight_flow(74, 59), "", "not within limits", ["Charged, rear"]),
    # at least 4.8 bar at the rear, at most 40 l/min
    ("example-leak-by-flow-units", UNIT, unit_flow(4.9, 38), "", "within limits", []),
    ("example-leak-by-flow-units", UNIT, unit_flow(4.9, 42), "", "not within limits", ["Flow, front"]),
    ("example-leak-by-flow-units", UNIT, unit_flow(4.5, 38), "", "not within limits", ["Charged, rear"]),
    ("example-full-count-freight", FREIGHT, freight_full(20, {}), "", "within limits", []),
    ("example-full-count-freight", FREIGHT, freight_full(19, {}), "", "not within limits", ["Applied, counted"]),
    ("example-full-count-freight", FREIGHT, freight_full(20, {"stayed_s": 170}), "", "not within limits", ["Applied, counted"]),
    # 2.0 >= 1.5; held 15 s >= 10 s, falls 0.1; released to 0
    ("electric-apply-hold-release", UNIT, electric(2.0, 1.9, 0.0), "", "within limits", []),
    # the application wire without the holding wire: applies and leaks off
    ("electric-apply-hold-release", UNIT, electric(2.0, 0.8, 0.0), "", "not within limits", ["Fall, cylinder"]),
    # the holding wire alone: nothing applies
    ("electric-apply-hold-release", UNIT, electric(0.0, 0.0, 0.0), "", "not within limits", ["Applied, cylinder"]),
    ("running", UNIT, running(12), ELECTRIC_OFF, "within limits", []),
    ("running", UNIT, running(4), ELECTRIC_OFF, "not within limits", ["Speed fallen by"]),
    ("running", UNIT, running(12), "electric_brake_in_use: true\n", "not yet", []),
    ("wires", UNIT, wires(True, True, True, True, True, True), "", "within limits", []),
    ("wires", UNIT, wires(True, False, True, True, True, True), "", "not within limits", ["Doors, right side"]),
    # the bell back and the loop not tried
    ("wires", UNIT, wires(True, True, True, True), "", "not yet", []),
]


@pytest.mark.parametrize(
    ("method", "train", "rows", "more", "verdict", "outside"),
    CASES,
    ids=[f"{number}-{case[0]}" for number, case in enumerate(CASES)],
)
def test_a_test_worked_out_on_paper_is_judged_so(
    method: str, train: dict[str, Any], rows: list[Row], more: str, verdict: str, outside: list[str], tmp_path: Path
) -> None:
    answer = judged(tmp_path, record_text(method, train, rows, more))
    assert answer.judgement.verdict == verdict, answer.judgement
    found = [reading.name for reading in answer.judgement.readings if reading.state == "not within limits"]
    assert found == outside


def test_every_built_in_method_has_three_cases() -> None:
    from headstock.local_rules.test_method import built_in_methods

    named = [case[0] for case in CASES]
    assert [method for method in built_in_methods() if named.count(method) < 3] == []


@pytest.mark.parametrize("case", [case for case in CASES if case[4] == "within limits"], ids=lambda case: case[0])
def test_no_test_passes_with_a_reading_left_out_or_its_first_line_gone(case: tuple[Any, ...], tmp_path: Path) -> None:
    method, train, rows, more, *_ = case
    reads = [number for number, row in enumerate(rows) if len(row) > 3]
    for number in reads:
        left = [*rows[:number], *rows[number + 1 :]]
        if not left:
            continue
        try:
            verdict = judged(tmp_path, record_text(method, train, left, more)).judgement.verdict
        except InputError:
            continue
        assert verdict != "within limits", rows[number]


def test_whatever_is_written_there_is_a_verdict_or_one_error(tmp_path: Path) -> None:
    draw = Random(20)
    seen = set()
    for _ in range(150):
        method, train, rows, more, *_ = draw.choice(CASES)
        mixed = [(*row[:2], row[2] + draw.choice((0, 0, 0, 20, -40)), *row[3:]) for row in rows if draw.random() < 0.97]
        mixed = [(*row[:3], f"{draw.uniform(0, 9):.2f} {row[3].split()[1]}", *row[4:])
                 if len(row) > 3 and isinstance(row[3], str) and draw.random() < 0.1 else row for row in mixed]  # fmt: skip
        try:
            seen.add(judged(tmp_path, record_text(method, train, mixed or rows, more)).judgement.verdict)
        except InputError as error:
            assert error.faults
            seen.add("bad input")
    assert seen == {"within limits", "not within limits", "not yet", "refused", "bad input"}
