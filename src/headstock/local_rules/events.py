"""What can happen to a train after which a brake test may be due, what one may have to know of it, and which tests there are."""

from __future__ import annotations

from typing import Final, Literal, get_args

Event = Literal[
    "taken into service", "newly formed", "attached at front", "attached at rear", "attached in the middle",
    "detached at front", "detached at rear", "detached in the middle", "controlling end changed", "engine changed",
    "crew changed", "stood", "pipe parted and rejoined", "cock touched", "jumper or head touched", "brake isolated",
    "brakes bled by hand", "vehicles from snow", "steep descent ahead", "rescue coupled", "standing test passed",
]  # fmt: skip
EVENTS: Final[dict[Event, str]] = {
    "taken into service": "a train is used for the first time in a day, or after it was left",
    "newly formed": "a train is put together from portions that were not together",
    "attached at front": "vehicles joined before the others, as the train will run",
    "attached at rear": "vehicles joined behind the others",
    "attached in the middle": "vehicles joined between others",
    "detached at front": "vehicles taken off at the front",
    "detached at rear": "vehicles taken off at the rear",
    "detached in the middle": "vehicles taken out between others",
    "controlling end changed": "another cab controls than before",
    "engine changed": "another engine hauls or controls than before",
    "crew changed": "another driver or crew takes charge",
    "stood": "the train has stood",
    "pipe parted and rejoined": "the brake pipe was parted and joined again, whoever did it and why",
    "cock touched": "a cock in the path of the brake was moved, also when it was put back",
    "jumper or head touched": "a jumper or an electrical head was joined, parted or moved",
    "brake isolated": "the brake of a vehicle was isolated, or put back in use",
    "brakes bled by hand": "brakes were let off by hand at the vehicles",
    "vehicles from snow": "vehicles that stood in snow, or ran through it, are in the train",
    "steep descent ahead": "a long or steep descent comes next",
    "rescue coupled": "a failed train was joined to be moved away",
    "standing test passed": "a test at standstill has just been passed, and the train may move off",
}

NumberFact = Literal[
    "places_joined", "stood_min", "off_air_min", "full_test_age_min", "gradient_per_mille", "gradient_length_m", "bled_vehicles"
]
SoFact = Literal[
    "full_test_today",
    "added_tested",
    "face_to_face",
    "terminal_only",
    "unaltered",
    "unused",
    "brake_before_descent",
    "train_parted",
    "electric_brake_in_use",
]
FactName = Literal[NumberFact, SoFact]
NUMBER_FACTS: Final[dict[NumberFact, str]] = {
    "places_joined": "at how many places vehicles were joined [-]",
    "stood_min": "how long the train has stood [min]",
    "off_air_min": "how long the vehicles in question were without air [min]",
    "full_test_age_min": "how long ago the last full test was [min]",
    "gradient_per_mille": "the steepest of the descent ahead [per mille]",
    "gradient_length_m": "how long the descent ahead is so steep [m]",
    "bled_vehicles": "at how many vehicles brakes were let off by hand [-]",
}
SO_FACTS: Final[dict[SoFact, str]] = {
    "full_test_today": "whether a full test was made in this calendar day",
    "added_tested": "whether what was added has a full test that the rules still take as good",
    "face_to_face": "whether the crews met and the one told the other",
    "terminal_only": "whether the train is only moved about inside a terminal",
    "unaltered": "whether nothing was changed on the train since its last test",
    "unused": "whether the train was not used since its last test",
    "brake_before_descent": "whether the brake is used, and felt, before the descent begins",
    "train_parted": "whether the train was parted between vehicles that stay in it",
    "electric_brake_in_use": "whether an electric or an electrically controlled brake is in use",
}
FACTS: Final[dict[str, str]] = {str(name): what for name, what in (*NUMBER_FACTS.items(), *SO_FACTS.items())}
IS_NUMBER: Final[frozenset[str]] = frozenset(get_args(NumberFact))

DueTest = Literal["full", "continuity", "cab", "wires", "running", "none"]
DUE_TESTS: Final[dict[DueTest, str]] = {
    "full": "full brake test: every vehicle's brake seen applied and off",
    "continuity": "continuity test: from the leading cab to the rear and back",
    "cab": "cab test: handle and gauges, by the driver alone",
    "wires": "test of the through wires: doors both sides, interlock, bell, loop, as far as they are there",
    "running": "running test soon after moving off",
    "none": "no test at standstill",
}
"""Each test in words."""
STRICTNESS: Final[dict[DueTest, int]] = {"none": 0, "cab": 1, "continuity": 2, "full": 3}
"""Tests at standstill of which the stricter one stands for the others; wires and running stand beside them."""
Covers = Literal["the whole train", "what was added", "each portion"]
