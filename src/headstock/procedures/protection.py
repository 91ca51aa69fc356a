"""Going between and coming out: the driver's assurance, the person's own protection, given back by that person."""

from __future__ import annotations

from headstock.devices.scene import AUTHORITY, GAP, PULLED, pipe_key, proved_key, supply_key
from headstock.procedures.cab_work import all_valves, valve_key
from headstock.procedures.couple_found import SIDE
from headstock.procedures.movement import hold_facts
from headstock.procedures.places import BETWEEN, JOINT, cab
from headstock.procedures.scene_variables import AGREED, KEY, ROAD, protection_key
from headstock.procedures.task import AttachTask
from headstock.procedures.who_is_between import people_between
from headstock.reasoning.domain import Window
from headstock.reasoning.step import Step, Utterance
from headstock.reasoning.variable import Fact

GAPS = ("apart", "touching")
OUT, BACK = "come out from between", "give the protection back"
OWN_BACK = "take one's own protection off"
"""Alone nobody is there to give it back to."""


def back_key(task: AttachTask) -> str:
    """What ends a protection: given back to the driver, or taken off by a driver alone."""
    return OWN_BACK if task.is_alone else BACK


def gaps_of(task: AttachTask, role: str) -> tuple[str, ...]:
    """How the ends stand when somebody goes between; whoever sees to the jumpers has no work there before they touch."""
    first = role == task.role_for("goes_between")
    if task.parts and task.adapter is not None and first:
        return "touching", "apart"  # an adapter comes off with the ends apart
    return GAPS if not task.parts and (first or task.rules.duties.handles_jumpers is None) else ("touching",)


def protection_steps(task: AttachTask) -> tuple[Step, ...]:
    """Assure, go in (with the ends apart, or coupled and pulled), come out, give back."""
    steps: list[Step] = []
    for role in people_between(task):
        gaps = gaps_of(task, role)
        steps += [_assure(task, gap, role) for gap in gaps] + [_go_in(task, gap, role) for gap in gaps]
        steps += [_come_out(task, role), _give_back(task, role)]
    if task.rules.key_kept_by.value == "person between" and not task.is_alone:
        steps += _key_steps(task)
    return tuple(steps)


def windows_of(task: AttachTask) -> tuple[Window, ...]:
    """The stay between of each person, for the planner's count of entries."""
    return tuple(_window(task, role) for role in people_between(task))


def _window(task: AttachTask, role: str) -> Window:
    whose, gaps = _whose(task, role), gaps_of(task, role)
    return Window(
        role, BETWEEN,
        opened_by=(tuple(_assure_key(task, gap, role) for gap in gaps), tuple(_go_key(gap) + whose for gap in gaps)),
        closed_by=((OUT + whose,), (back_key(task) + whose,)), shut=(protection_key(role), "none"),
    )  # fmt: skip


def _whose(task: AttachTask, role: str) -> str:
    """Said of the second person between; the first is nobody else."""
    return "" if role == task.role_for("goes_between") else f", the {role}"


def _assured(task: AttachTask, gap: str) -> tuple[Fact, ...]:
    pipe = "empty" if task.parts and gap == "touching" else "drawn"
    return ((valve_key(task, task.driven_from), "locked"), (pipe_key(task.moving), pipe),
            (supply_key(task.near.unit), "off"))  # fmt: skip


def _other_valves(task: AttachTask) -> tuple[Fact, ...]:
    """Valves of cabs where nobody works while ends are joined: the leading one may be unlocked when somebody goes in again."""
    if task.parts:
        return ()
    return tuple((key, "locked") for key, end in all_valves(task).items() if end not in (task.driven_from, task.standing_cab))


def _phase(task: AttachTask, gap: str, touching: str) -> str:
    """With the ends apart: before they come together, or after they have parted."""
    return touching if gap == "touching" else "ends" if task.parts else "dress"


def _where(gap: str) -> str:
    return "ends apart" if gap == "apart" else "coupled"


def _assure_key(task: AttachTask, gap: str, role: str) -> str:
    if task.is_alone:
        return f"take protection for oneself: brake on and locked, key in the pocket, {_where(gap)}"
    return f"assure the {role} that the brake is on and locked, {_where(gap)}"


def _go_key(gap: str) -> str:
    return f"go between, {_where(gap)}"


def _assure(task: AttachTask, gap: str, between: str) -> Step:
    driver = task.role_for("drives")
    name = task.crew[between]
    words = task.rules.words.assurance.value.format(name=name)
    key = ((KEY, "with the person between"),) if task.rules.key_kept_by.value != "driver" and not task.is_alone else ()
    # Unless the air has shown that opening the cocks eases nothing, the moving portion stands on proved brakes of its own.
    # A driver alone leaves his brake to go there.
    own = () if task.parts or (task.opens_on_air and not task.is_alone) else _own_hold(task, gap)
    if task.parts and task.is_alone:
        own = hold_facts(task, task.moving)
    tells = ((protection_key(between), "given"), *_assured(task, gap))
    return Step(
        key=_assure_key(task, gap, between), role=driver, place=cab(task.driven_from),
        needs=(*_assured(task, gap), (AUTHORITY, "none"), (GAP, gap), (protection_key(between), "none"), (AGREED, "yes"),
               (ROAD, "given"), *_other_valves(task), *own, *key),
        effects=((protection_key(between), "given"),), knows=_assured(task, gap),
        tells=() if task.is_alone else tells, hearer="" if task.is_alone else between,
        duration_s=task.rules.allowance_s("assurance"),
        phase=_phase(task, gap, "make safe"), order=(0,),
        said=() if task.is_alone else (Utterance(driver, between, words),), hears=() if task.is_alone else (between,),
        brief="" if gap == "apart" else "Full application, exhaust ended, valve shut and locked.",
        caution=" ".join((*_stay(task, gap),)),
    )  # fmt: skip


def _stay(task: AttachTask, gap: str) -> tuple[str, ...]:
    """Before anybody goes between; what the driver must know who holds a portion by air meanwhile."""
    if task.is_alone:
        return ("Alone: nobody else may be able to move either portion. Out of the cab only with the brake on and locked.",)
    said = "Nobody goes between before this is said and said back."
    if task.parts and gap == "apart":
        return (said, f"Only air holds {task.moving}: the driver stays at the brake until the protection is given back.")
    if task.parts:
        return (said, f"The whole train hangs on the brakes of {task.standing}: they have been proved for it.")
    if not task.opens_on_air:
        return (said,)
    if gap == "apart":
        return (said, "The driver stays at the brake.")
    return (
        said,
        f"Only air holds {task.moving}: the driver stays at the brake until the protection is given back.",
    )


def _own_hold(task: AttachTask, gap: str) -> tuple[Fact, ...]:
    on = hold_facts(task, task.moving) if gap == "touching" or task.is_alone else ()
    return ((proved_key(task.moving), "proved"), *on)


def _go_in(task: AttachTask, gap: str, between: str) -> Step:
    coupled = ((PULLED, "held"),) if gap == "touching" and task.making != "screw" and not task.parts else ()
    other = (valve_key(task, task.standing_cab), "locked")
    return Step(
        key=_go_key(gap) + _whose(task, between), role=between, place=JOINT, goes_to=BETWEEN,
        needs=((protection_key(between), "given"), (GAP, gap), (proved_key(task.standing), "proved"),
               *hold_facts(task, task.standing), other),
        knows=((protection_key(between), "given"), *_assured(task, gap), (proved_key(task.standing), "proved"), other,
               *hold_facts(task, task.standing), *coupled),
        duration_s=task.rules.allowance_s("go_in"), extra_cost_s=task.rules.entry_weight_s.value,
        phase=_phase(task, gap, "between"), order=(0, 1), brief="",
        caution="Only on your own protection, in your own name.",
    )  # fmt: skip


def _come_out(task: AttachTask, role: str) -> Step:
    return Step(
        key=OUT + _whose(task, role), role=role, place=BETWEEN, goes_to=JOINT, ages="self",
        effects=((SIDE, "not there"),) if task.parts and task.couple is not None else (),
        duration_s=task.rules.allowance_s("come_out"), phase="come out", order=(0,), brief="",
    )  # fmt: skip


def _give_back(task: AttachTask, between: str) -> Step:
    driver = task.role_for("drives")
    words = task.rules.words.give_back.value.format(name=task.crew[between])
    token = protection_key(between)
    return Step(
        key=back_key(task) + _whose(task, between), role=between, place=JOINT, needs=((token, "given"),),
        effects=((token, "none"),),
        tells=() if task.is_alone else ((token, "none"),), hearer="" if task.is_alone else driver,
        duration_s=task.rules.allowance_s("give_back"), phase="come out", order=(1,),
        said=() if task.is_alone else (Utterance(between, driver, words),), hears=() if task.is_alone else (driver,),
        brief="Out; look both sides, nothing left between." if task.is_alone
        else "Out; count people, both sides; only the one protected gives it back.",
    )  # fmt: skip


def _key_steps(task: AttachTask) -> list[Step]:
    driver, between = task.role_for("drives"), task.role_for("goes_between")
    there, here = (KEY, "with the person between"), (KEY, "with the driver")
    token = (protection_key(between), "none")
    wait = task.rules.allowance_s("key")
    return [
        Step(key=f"fetch the driver's key, cab {task.driven_from}", role=between, place=cab(task.driven_from),
             needs=(here, token, (valve_key(task, task.driven_from), "locked")), effects=(there,), duration_s=wait,
             phase="", brief="Key to the person between.", hears=(driver,)),
        Step(key=f"bring the driver's key back, cab {task.driven_from}", role=between, place=cab(task.driven_from),
             needs=(there, token), effects=(here,), duration_s=wait, phase="", brief="Key back.", hears=(driver,)),
    ]  # fmt: skip
