"""The part-made automatic couple: lock, air and contacts are three facts, each made or not, and signs that may lie about them.

Source: common practice, no source; the logic is that of the three facts. Figures of cost are made up.
"""

from __future__ import annotations

from itertools import product

from headstock.capability.couple_signs import CoupleFamily, CoupleState, Sign

LOCK, AIR, WIRES = "locked", "air through", "contacts made"
UNLESS = {LOCK: "not locked", AIR: "no air through", WIRES: "contacts not made"}
SIGNS = (
    Sign("last done", ("joining", "parting"), "ask: was it being joined, or parted", 5),
    Sign("mechanical lamp", ("lit", "dark"), "cab: is the couple shown as mechanically made", 8),
    Sign("electrical lamp", ("lit", "dark"), "cab: is the couple shown as electrically made", 8),
    Sign("wired brake, doors, display", ("work", "dead"), "cab: do they answer from the other unit", 30),
    Sign("mark", ("coupled", "not coupled"), "on the ground, clear of the joint: mark or pointer on each head", 60),
    Sign("gap", ("none", "seen"), "on the ground, clear of the joint: is there a gap between the faces", 60),
    Sign("rear brake pipe", ("follows", "does not move"),
         "somebody at the last gauge: application and release by the leading valve", 150,
         "each portion held, nobody between"),
    Sign("pull", ("holds", "parts"), "lightest pull against the other portion's brakes, brake at hand", 75,
         "the other portion's hold proved, nobody between, both sides looked at"),
)  # fmt: skip

DRAG = "Do not drag it: nothing is drawn away on a couple that may still hold."
RUN = "Do not run as if it braked: the far portion's brake hangs on its own pipe."
LAMP = "Do not take the cab's lamps for the couple: they are lit by pressed faces too."
PRESS = "Do not press on against it: buffing load only hides a latch that is not over."
ENTER = "Nobody goes between before the pull has shown what holds."

JOINING: dict[str, tuple[str, tuple[str, ...], tuple[str, ...]]] = {
    "try again": (
        "draw clear, look at both faces, try again",
        ("draw clear at once and stop", "look at faces, latches and ports, protected",
         "try again, as often as the local rules allow", "after each try: cab lamps, then the pull anew",
         "tries used up: another cab as the rules say, then an adapter or a screw"),
        (PRESS, LAMP, RUN, ENTER),
    ),
    "part and clear the ports": (
        "locked, no air through: part, clear the ports, try again",
        ("uncouple by the button, draw clear", "clear the ports of both faces",
         "try again, pull, then the rear brake pipe once more"),
        (RUN, LAMP),
    ),
    "button again": (
        "contacts not home: the button again, or work without wires",
        ("pull, then the button again, within the presses that the local rules allow",
         "else lock both heads back, end the loops of each portion, and work by the automatic brake alone"),
        ("Do not rely on wired brake, doors or loops of the far portion.",),
    ),
    "test and go on": (
        "made: pull, test the brake, go on",
        ("pull", "brake test to the rear", "functions of the wires"),
        (RUN, LAMP),
    ),
}  # fmt: skip
PARTING: dict[str, tuple[str, tuple[str, ...], tuple[str, ...]]] = {
    "parted": (
        "latch back: draw away",
        ("look that nothing is joined any more", "draw away and stop", "see to both ends"),
        ("Do not go between until the gap is open and both portions stand.",),
    ),
    "part by hand": (
        "latch still holds: ease up, the button again, then by hand",
        ("ease up; read the main reservoir", "button again within the tries allowed",
         "else by the handle on the head from the safe side, protected, heads wound back first", "latch everything back"),
        (DRAG, "No hand on the handle while the couple is stretched."),
    ),
}  # fmt: skip


def _shows(locked: bool, air: bool, wires: bool, last: str) -> dict[str, tuple[str, ...]]:
    """What signs may be. Of a lamp or mark bad news is believed (not made; when parting: still coupled), good news is not."""
    made: dict[str, tuple[str, ...]] = {"last done": (last,)}
    made["pull"] = ("holds",) if locked else ("parts",)
    made["rear brake pipe"] = ("follows",) if air else ("does not move",)
    made["wired brake, doors, display"] = ("work",) if wires else ("dead",)
    if wires:
        made["electrical lamp"] = ("lit",)
    if locked or air or wires:
        made["gap"] = ("none",)
    if last == "joining" and locked:
        made["mechanical lamp"], made["mark"] = ("lit",), ("coupled",)
    if last == "parting" and not locked:
        made["mechanical lamp"], made["mark"] = ("dark",), ("not coupled",)
    return made


def _lies(locked: bool, air: bool, wires: bool, last: str) -> tuple[str, ...]:
    """Signs that may say the opposite of what is so; of parting the lamp and mark that show it parted."""
    if last == "parting":
        return ("mechanical lamp", "mark") if locked else ()
    found = [] if locked else ["mechanical lamp", "mark", "gap"]
    if not wires:
        found.append("electrical lamp")
    if not air:
        found += ["leading gauge"]
    if not locked and air:
        found.append("rear brake pipe")
    if not locked and wires:
        found.append("wired brake, doors, display")
    return tuple(found)


def _joining_act(locked: bool, air: bool, wires: bool) -> str:
    if not locked:
        return "try again"
    if not air:
        return "part and clear the ports"
    return "test and go on" if wires else "button again"


ARISES = {
    (False, False, False): "it did not take",
    (True, False, False): "lock alone: ports shut, contacts not out, or none used",
    (True, True, False): "contacts short of home, locked back, or of another pattern",
    (True, False, True): "ports stuck or iced; the display says coupled",
    (True, True, True): "made",
    (False, True, True): "faces pressed together by buffing load, latch not over: everything works standing still",
    (False, True, False): "faces pressed together, ports open, latch not over",
    (False, False, True): "faces pressed together, contacts out, latch not over",
}


def _state(locked: bool, air: bool, wires: bool, last: str) -> CoupleState:
    facts = {LOCK: locked, AIR: air, WIRES: wires}
    said = ", ".join(name if so else UNLESS[name] for name, so in facts.items())
    figures = "".join("1" if so else "0" for so in facts.values())
    if last == "joining":
        act = _joining_act(locked, air, wires)
        title, do, never = JOINING[act]
        arises = ARISES[locked, air, wires]
    else:
        act = "part by hand" if locked else "parted"
        title, do, never = PARTING[act]
        arises = "latch stuck" if locked and not (air or wires) else "the release stopped on the way"
    shows, lies = _shows(locked, air, wires, last), _lies(locked, air, wires, last)
    return CoupleState(f"{last} {figures}", f"{said}: {title}", shows, lies, act, do, never, arises, facts)


AUTOMATIC = CoupleFamily(
    "automatic coupler", SIGNS,
    tuple(_state(locked, air, wires, last) for last in ("joining", "parting")
          for locked, air, wires in product((True, False), repeat=3)),
)  # fmt: skip
