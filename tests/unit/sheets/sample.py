"""A made-up job sheet for trying the setting: units, types, people and place are invented."""

from __future__ import annotations

from headstock.devices.kind import At
from headstock.devices.registry import kind_of
from headstock.equipment.library import load_fleet
from headstock.formation.end_drawing import end_marks
from headstock.sheets.content import (
    Block,
    DetailLine,
    EndPicture,
    HoldLine,
    JobSheetContent,
    Person,
    Reading,
    TrainDrawing,
    VehicleDrawing,
    Words,
)

TEXT = "Both portions stand. Hand brakes on in the three vehicles named, each wheel looked at, air brake off, watched for 60 s."
CAUTION = "Nobody goes between before this is said and said back."
LETTERS = ("D", "S", "G", "Y")


def sample(blocks: int = 10, lines: int = 75, vehicles: int = 4, roles: int = 3, cautions: int = 3) -> JobSheetContent:
    """A whole sheet of the size asked for."""
    return JobSheetContent(
        title="Attach 217 to 226", place_line="Sallow Ings yard, road 4 · falls 1 in 150 towards south",
        rules_line="Local rules: Sallow Ings, edition 3 · unit data: tarn issue 2", invented=True,
        cautions=tuple(f"Caution number {number}: not as written, or no answer, stop and say so." for number in range(cautions)),
        people=tuple(Person(letter, f"role {letter}", f"P. Name{letter}", letter == "G") for letter in LETTERS[:roles]),
        train=train(vehicles), ends=ends(), blocks=tuple(block(number, roles) for number in range(1, blocks + 1)),
        readings=tuple(Reading(n, "Charged, rear", "4.8 bar", "or more", "rear") for n in range(1, 7)),
        readings_note="rear: cab 226/2; front: cab 217/1", signatures=("Person in charge", "Time", "Touched since? yes / no"),
        detail=tuple(line(number, lines, blocks) for number in range(1, lines + 1)),
        joined_heading="Joined, and what that leaves out",
        restrictions=("Joined directly: full multiple working.",), tell_afterwards=("Length and mass to the yard control.",),
        holds=(HoldLine("217", "217 parking brake", "15.4", "22.0", "27 per mille"),), holds_note="Trapped air counts as 0 kN.",
        opening="While the joint's cocks are opened, 217 and 226 each stand on proved hand or parking brakes.",
        plan_note="Allowances together 38 min.", sources=("Local rules: invented for a test.",), footer="Sallow Ings, edition 3",
        cannot_show=("A vehicle whose own brake is cut out.",),
    )  # fmt: skip


def train(vehicles: int) -> TrainDrawing:
    """Two portions of so many vehicles each, falling to the right."""
    portions = tuple(
        tuple(VehicleDrawing(f"{unit}{n}", n == 1, n == vehicles, 20.0, "H" if n < 3 else "", unit == 226, n != 2)
              for n in range(1, vehicles + 1))
        for unit in (217, 226)
    )  # fmt: skip
    return TrainDrawing(portions, (True, False), "left", "north, leaves this way", "joint at 217/2 and 226/1", "south, falls")


def ends() -> tuple[EndPicture, ...]:
    """The end of an invented type, drawn twice."""
    data = load_fleet().types["tarn"].ends["1"]
    devices = {At("217", name, end="1"): spec for name, spec in data.devices.items()}
    state = {key: value for at, spec in devices.items() for key, value in kind_of(spec).as_left(at, spec).items()}
    marks = end_marks(devices, state)
    return tuple(EndPicture(title, "Head raised, knuckle shut. All else stowed.", marks) for title in ("2174", "2261"))


def block(number: int, roles: int) -> Block:
    """A block as full as blocks are."""
    last = LETTERS[roles - 1]
    words = (Words("S", "Ends right, both sides clear. Couple."), Words("D", "the same", said_back=True))
    return Block(number, f"Hold both portions, part {number}", TEXT, ("D", last), ("S",), (("S", "D"), ("D", last)),
                 words if number % 2 else (), CAUTION if number % 3 == 0 else "")  # fmt: skip


def line(number: int, lines: int, blocks: int) -> DetailLine:
    """A line of the back; the last of all ends a run of three messages."""
    words = (Words("S", f"To {number} m, stop there."), Words("D", "the same", said_back=True)) if number % 9 == 0 else ()
    return DetailLine(number, 1 + (number - 1) * blocks // lines, "S", f"Look at the cocks of 217/2, look number {number}.",
                      f"because line {number + 1} needs: brake pipe cock of 217/2 shut", words, 8.0,
                      CAUTION if number % 12 == 0 else "", number + 2 if number == lines else 0)  # fmt: skip
