"""A couple found part made: what is so of it, and the variables that only such a job has."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from headstock.devices.kind import At
from headstock.devices.scene import AIR_THROUGH, COUPLE, GAP, PULLED, SLACK, pipe_key, proved_key
from headstock.formation.train import UnitEnd
from headstock.reasoning.variable import Fact, Variable

if TYPE_CHECKING:
    from headstock.procedures.task import AttachTask

TRIES, RELEASE_AIR, ICE, SIDE = "couple.tries", "couple.release_air", "couple.latch_ice", "couple.side_of_the_person"


@dataclass(frozen=True, slots=True)
class CoupleFound:
    """What is so: lock, air, contacts, each for itself; how often it was tried and how often it may be tried.

    ``by_hand``: the button is not to be tried again, the latch is turned by the handle of ``handle_end``.
    """

    locked: bool
    air: bool
    wires: bool
    tries: int
    tries_allowed: int
    hold_proved: bool
    eased: bool = False
    frozen: bool = False
    air_low: bool = False
    without_wires: bool = False
    by_hand: bool = False
    handle_end: UnitEnd | None = None

    @property
    def draws_clear(self) -> bool:
        """Whether the ends are drawn apart and joined anew: not locked, or no air through."""
        return not (self.locked and self.air)


def ports_key(end: UnitEnd) -> str:
    """Whether the ports of a face are clear."""
    return f"{end}.coupler.ports"


def loops_key(end: UnitEnd) -> str:
    """Whether the loops of the wires end at this end."""
    return f"{end}.loops"


def handle_key(end: UnitEnd) -> str:
    """How the handle that turns the latch by hand stands."""
    return f"{end}.coupler.handle"


def heads_of(task: AttachTask) -> tuple[tuple[At, object], ...]:
    """Electrical heads at the joint, whether they are used or not."""
    return tuple((at, spec) for end in (task.near, task.far) for at, spec in task.train.end_devices(end)
                 if spec.kind == "electrical head")  # fmt: skip


def couple_variables(task: AttachTask) -> tuple[Variable, ...]:
    """Variables beyond those of every job."""
    couple = task.couple
    if couple is None:
        return ()
    counts = tuple(str(number) for number in range(max(couple.tries, couple.tries_allowed) + 2))
    found = [Variable(TRIES, counts, "scene", "tries of the couple")]
    if task.parts:
        found += [
            Variable(RELEASE_AIR, ("too low", "enough"), "scene", "main reservoir for the release"),
            Variable(ICE, ("frozen", "free"), "scene", "latch"),
            Variable(SIDE, ("not there", task.place.working_side, "the other side"), "scene", "side at the handle"),
        ]
        found += [Variable(handle_key(end), ("home", "pulled"), "scene", f"release handle of {end}")
                  for end in (task.near, task.far)]  # fmt: skip
        return tuple(found)
    found.append(Variable(SLACK, ("stretched", "eased"), "scene", f"couple of {task.train.joint_to_make}"))
    ends = (task.near, task.far)
    found += [Variable(ports_key(end), ("not looked at", "clear"), "scene", f"ports of {end}", sign=True) for end in ends]
    found += [Variable(loops_key(end), ("through", "ended"), "scene", f"loops at {end}") for end in ends]
    return tuple(found)


def couple_as_found(task: AttachTask) -> dict[str, str]:
    """How a part-made couple and what hangs on it stand at the start, devices among them."""
    couple = task.couple
    if couple is None:
        return {}
    found = {GAP: "touching", COUPLE: "locked" if couple.locked else "apart", AIR_THROUGH: "yes" if couple.air else "no",
             SLACK: "eased" if couple.eased else "stretched", TRIES: str(couple.tries),
             proved_key(task.standing): "proved" if couple.hold_proved else "unproved"}  # fmt: skip
    latch = "locked" if couple.locked else "ready" if task.parts else "turned"
    found |= {at.key("latch"): latch for at, spec in task.couplers if spec.kind == "automatic coupler"}
    if task.rescued is None:  # there heads are locked back
        found |= {at.key(): "mated" if couple.wires else "covered" for at, _ in heads_of(task)}
    return found | (_parting(task, couple) if task.parts else _joining(task, couple))


def _joining(task: AttachTask, couple: CoupleFound) -> dict[str, str]:
    found = {PULLED: "not tried"}
    for end in (task.near, task.far):
        found |= {ports_key(end): "clear" if couple.air or not couple.locked else "not looked at", loops_key(end): "through"}
    return found


def _parting(task: AttachTask, couple: CoupleFound) -> dict[str, str]:
    found = {RELEASE_AIR: "too low" if couple.air_low else "enough", ICE: "frozen" if couple.frozen else "free",
             SIDE: "not there"}  # fmt: skip
    return found | {handle_key(end): "home" for end in (task.near, task.far)}


def pipes_of_a_couple(task: AttachTask, found: Mapping[str, str]) -> dict[str, str]:
    """Joining, the pipe stands at the full application with which one came up; parting, at nothing where the valve is locked."""
    stands = found[task.train.cab_valve(task.driven_from)[0].key()]
    moving = "empty" if task.parts and stands in ("locked", "empty") else "charged" if stands == "running" else "drawn"
    through = task.couple is not None and task.couple.air
    return {pipe_key(task.moving): moving, pipe_key(task.standing): moving if through else "empty"}


def counted(task: AttachTask) -> tuple[tuple[Fact, ...], tuple[Fact, ...]]:
    """Needs and effects of one more try; none where no couple was found part made."""
    couple = task.couple
    if couple is None:
        return (), ()
    return ((TRIES, str(couple.tries)),), ((TRIES, str(couple.tries + 1)),)


def tried_once_more(task: AttachTask) -> tuple[Fact, ...]:
    """That the ends touch after the new try, not from the one before; nothing where they stay together."""
    couple = task.couple
    return ((TRIES, str(couple.tries + 1)),) if couple is not None and couple.draws_clear and not task.parts else ()


def known_at_start(task: AttachTask) -> tuple[tuple[str, Fact], ...]:
    """What the crew that tried it knows: that the standing portion was proved, that a couple which parted is not made."""
    couple = task.couple
    if couple is None:
        return ()
    facts: list[Fact] = [(proved_key(task.standing), "proved")] if couple.hold_proved else []
    if not couple.locked:
        facts.append((COUPLE, "apart"))
    elif couple.eased:
        facts.append((SLACK, "eased"))
    roles = dict.fromkeys(task.role_for(duty) for duty in ("in_charge", "goes_between", "drives"))
    nobody_in = (task.role_for("drives"), (f"protection/{task.role_for('goes_between')}", "none"))
    return (nobody_in, *((role, fact) for role in roles for fact in facts))
