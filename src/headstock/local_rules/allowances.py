"""Names of the time allowances that orders of work ask for, and what each is for."""

from __future__ import annotations

from typing import Final

ALLOWANCES: Final = {
    "agree": "agree the job, all repeat",
    "road": "ask for the road",
    "tell": "tell somebody something, with the answer",
    "look": "look at one thing",
    "look_both_sides": "look along both sides of the joint, or at the lock",
    "look_at_wheels": "look at the braked wheels of a vehicle",
    "look_end": "look at an outer end from outside",
    "raise_head": "raise a dropped coupler head",
    "head_pin": "push a head's pin home, or put its keeper in",
    "open_knuckle": "open a knuckle",
    "buffers": "set the buffers of an end in or out",
    "gangway": "shut a gangway door",
    "lamp": "light a lamp, or put it out",
    "cock": "open or shut a cock",
    "cock_slowly": "open a cock slowly, the air let through",
    "hose_off_dummy": "take a hose off its dummy, or put it on",
    "join_hoses": "join two hoses",
    "jumper": "one move with a jumper: off or on its dummy, entered, latched",
    "hand_brake": "screw a hand brake on, or off",
    "parking_brake": "put a parking brake on, or off",
    "valve": "move a cab valve",
    "full_application": "full application until the exhaust has ended, or its letting off",
    "empty_pipe": "let the brake pipe down to nothing",
    "supply": "switch the electric supply of a unit",
    "board": "take a not-to-be-moved board off",
    "call": "call the driver to move, said back",
    "draw_up": "draw up to the next stop",
    "couple": "the last move until the ends touch",
    "pull": "pull lightly, then a full application",
    "assurance": "the driver's assurance, said back",
    "go_in": "go between",
    "come_out": "come out from between",
    "give_back": "give the protection back",
    "key": "fetch the driver's key, or bring it back",
    "read_gauge": "read a gauge",
    "bell": "try the bell both ways",
}
"""A test method may name others of its own; the local rules must have all that a job comes to need."""
