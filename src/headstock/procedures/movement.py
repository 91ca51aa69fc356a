"""The approach: words to the driver, stops, coming together, the pull."""

from __future__ import annotations

from dataclasses import replace

from headstock.devices.scene import AIR_THROUGH, AUTHORITY, COUPLE, GAP, PULLED, pipe_key, proved_key
from headstock.procedures.cab_work import all_valves, valve_key
from headstock.procedures.couple_found import tried_once_more
from headstock.procedures.coupling import dressed_facts, opened_knuckle
from headstock.procedures.places import JOINT, cab
from headstock.procedures.scene_variables import AGREED, CLEAR, ROAD, protection_key, stop_name
from headstock.procedures.task import AttachTask
from headstock.procedures.who_is_between import names_between
from headstock.reasoning.step import Step, Utterance
from headstock.reasoning.variable import Fact


def hold_facts(task: AttachTask, portion: str, value: str = "on") -> tuple[Fact, ...]:
    """The portion's holding brakes, all on (or all off)."""
    return tuple((key, value) for key in task.holds[portion].brakes)


def board_facts(task: AttachTask) -> tuple[Fact, ...]:
    """Boards off, on every unit that has a bracket for one."""
    return tuple((at.key(), "off") for at, spec in task.train.devices() if spec.kind == "board")


def _words(task: AttachTask, text: str, stop: str = "") -> str:
    """Words of the local rules with names and places filled in."""
    name = names_between(task)
    ends = f"{task.near} to {task.far}"
    return text.format(joint=task.train.joint_to_make, name=name, ends=ends, rear=task.rear_cab, stop=stop)


def agreement_steps(task: AttachTask) -> tuple[Step, ...]:
    """Agree the job, get the road."""
    charge, words = task.role_for("in_charge"), task.rules.words
    others = tuple(role for role in task.crew if role != charge)
    alone = f"{task.near} to {task.far}, alone: nobody else goes in, nobody else moves anything. In doubt: stop."
    agree = Step(
        key="agree the job: who does what, all repeat" if others else "go through the job: what comes when, where to stop",
        role=charge, place=None, needs=((AGREED, "no"),),
        effects=((AGREED, "yes"),), duration_s=task.rules.allowance_s("agree"), phase="agree", order=(0,),
        brief=_words(task, words.agree.value) if others else alone, hears=others,
        said=tuple(Utterance(charge, other, _words(task, words.agree.value)) for other in others),
    )  # fmt: skip
    road = Step(
        key="ask for the road", role=charge, place=None, needs=((AGREED, "yes"), (ROAD, "not given")),
        effects=((ROAD, "given"),), duration_s=task.rules.allowance_s("road"), phase="agree", order=(1,),
        brief="Get the road; nothing else moves on it.",
        said=(Utterance(charge, "yard control", _words(task, words.road_asked.value)),),
    )  # fmt: skip
    return agree, road


def board_steps(task: AttachTask) -> tuple[Step, ...]:
    """A board comes off by the hand of whoever placed it, or not at all."""
    steps = []
    for at, spec in task.train.devices():
        placer = task.boards_placed_by.get(at.unit)
        if spec.kind != "board" or placer is None:
            continue
        stands = task.parts or at.unit not in {u.name for u in task.moving_units}
        portion = task.standing if stands else task.moving
        steps.append(
            Step(key=f"take off the board of {at.unit} that one placed oneself", role=placer, place=f"beside {at.unit}",
                 needs=((at.key(), "placed"), (AGREED, "yes"), (proved_key(portion), "proved")),
                 effects=((at.key(), "off"),), duration_s=task.rules.allowance_s("board"), phase="hold",
                 brief=f"Board off, by the {placer} who placed it.", order=(9,))
        )  # fmt: skip
    return tuple(steps)


def look_clear_steps(task: AttachTask) -> tuple[Step, ...]:
    """Both sides of the joint, before every call: once the ends are dressed, at each stop, and coupled."""
    gaps = ["apart", *(stop_name(number) for number in range(1, len(task.stops_m) + 1)), "touching"]
    between = protection_key(task.role_for("goes_between"))
    where = ["ends dressed", *(task.length_words(stop) + " off" for stop in task.stops_m), "coupled"]
    place = cab(task.driven_from) if task.is_alone else JOINT
    return tuple(
        Step(
            key=f"look at both sides of the joint, {said}", role=task.role_for("in_charge"), place=place,
            needs=((GAP, gap), (AUTHORITY, "none"), (between, "none"), *(tried_once_more(task) if gap == "touching" else ())),
            shows=((CLEAR, "seen"),),
            knows=_dressed_known(task) if gap == "apart" else (),
            duration_s=task.rules.allowance_s("look_both_sides"), phase="join" if gap == "touching" else "approach",
            brief="Look both sides.", caution="A short gap is a closing gap: nobody walks through it.",
        )
        for gap, said in zip(gaps, where, strict=True)
    )  # fmt: skip


def _dressed_known(task: AttachTask) -> tuple[Fact, ...]:
    """Pins, keepers, buffers and the open knuckle: set before the approach, never while closing up."""
    return (*dressed_facts(task), *opened_knuckle(task))


def approach_steps(task: AttachTask) -> tuple[Step, ...]:
    """A call and a movement for each stop."""
    steps: list[Step] = []
    before = "apart"
    known = _dressed_known(task)
    for number, distance_m in enumerate(task.stops_m, start=1):
        stop = stop_name(number)
        said = task.length_words(distance_m)
        words = _words(task, task.rules.words.to_stop.value, stop=said)
        steps.append(_call(task, f"call to {said}", stop, ((GAP, before),), words, known, number))
        steps.append(_draw_up(task, f"draw up, stop {said} off", stop, ((GAP, before),), ((GAP, stop),), number,
                              f"At {said}: stop."))  # fmt: skip
        before = stop
    couple = _call(task, "call to couple", "couple", ((GAP, before),), _words(task, task.rules.words.couple.value), known, 8)
    return (*steps, couple)


def pull_steps(task: AttachTask) -> tuple[Step, ...]:
    """Light pull against the standing portion's hold; a screw is proved by looking at it."""
    if task.making == "screw":
        return ()
    needs = ((GAP, "touching"), (COUPLE, "locked"))
    call = _call(
        task, "call for a light pull", "pull", needs, _words(task, task.rules.words.pull.value), ((COUPLE, "locked"),), 9
    )
    holds = hold_facts(task, task.standing)
    pull = _draw_up(task, "pull lightly, then full application", "pull", (*needs, *holds), ((PULLED, "held"),), 9,
                    "Light pull, no gap.")  # fmt: skip
    return call, pull


def finish_couple(task: AttachTask, step: Step) -> Step:
    """The knuckle's own coupling step with what driving needs."""
    ready = (*_ready_to_move(task), *_air_by_the_blow(task))
    effects = (*step.effects, (AUTHORITY, "none"))
    if task.joins_air_by_the_blow:
        effects += ((AIR_THROUGH, "yes"), (pipe_key(task.standing), "drawn"))
    verb = "Couple" if task.making != "screw" else "Close up"
    return replace(
        step, needs=(*step.needs, *ready, (AUTHORITY, "couple"), (GAP, stop_name(len(task.stops_m)))),
        effects=effects, knows=((AUTHORITY, "couple"),), ages="everybody",
        duration_s=task.rules.allowance_s("couple"), caution="Nobody between. Brake on contact.",
        brief=f"{verb} at {task.rules.speed_words(task.rules.approach.join_speed_kmh.value)} at most, brake on contact.",
    )  # fmt: skip


def _air_by_the_blow(task: AttachTask) -> tuple[Fact, ...]:
    """Where the blow joins the pipes, the standing one is empty and every other valve locked before."""
    if not task.joins_air_by_the_blow:
        return ()
    others = [(key, "locked") for key, end in all_valves(task).items() if end != task.driven_from]
    return ((pipe_key(task.standing), "empty"), (proved_key(task.standing), "proved"), (AIR_THROUGH, "no"), *others)


def _ready_to_move(task: AttachTask) -> tuple[Fact, ...]:
    valve = valve_key(task, task.driven_from)
    between = protection_key(task.role_for("goes_between"))
    own = hold_facts(task, task.moving, "off")
    return (
        (valve, "full"),
        (pipe_key(task.moving), "drawn"),
        *own,
        (between, "none"),
        *hold_facts(task, task.standing),
    )


def _call(task: AttachTask, key: str, value: str, needs: tuple[Fact, ...], words: str, knows: tuple[Fact, ...],
          rank: int) -> Step:  # fmt: skip
    charge, driver = task.role_for("in_charge"), task.role_for("drives")
    between = protection_key(task.role_for("goes_between"))
    free = ((AUTHORITY, "none"), (between, "none"), (AGREED, "yes"), (ROAD, "given"), *board_facts(task))
    held = ((proved_key(task.standing), "proved"), *hold_facts(task, task.standing))
    if task.is_alone:
        return _own_call(task, key, value, (*needs, *free, *held), knows, rank)
    return Step(
        key=key, role=charge, place=JOINT, needs=(*needs, *free, *held), effects=((AUTHORITY, value),),
        knows=((CLEAR, "seen"), (proved_key(task.standing), "proved"), *knows),
        tells=((AUTHORITY, value),), hearer=driver, duration_s=task.rules.allowance_s("call"),
        phase="join" if value in ("couple", "pull") else "approach", order=(rank, 0),
        said=(Utterance(charge, driver, words),), hears=(driver,), brief="",
    )  # fmt: skip


def _own_call(task: AttachTask, key: str, value: str, needs: tuple[Fact, ...], knows: tuple[Fact, ...], rank: int) -> Step:
    """A driver alone calls nobody: the horn, and a look ahead."""
    said = key.removeprefix("call ")
    return Step(
        key=f"sound the horn, look ahead, {said}", role=task.role_for("drives"), place=cab(task.driven_from), needs=needs,
        effects=((AUTHORITY, value),), knows=((CLEAR, "seen"), (proved_key(task.standing), "proved"), *knows),
        duration_s=task.rules.allowance_s("call"), phase="join" if value in ("couple", "pull") else "approach",
        order=(rank, 0), brief="Horn, look ahead.",
    )  # fmt: skip


def _draw_up(task: AttachTask, key: str, value: str, needs: tuple[Fact, ...], effects: tuple[Fact, ...], rank: int,
             brief: str) -> Step:  # fmt: skip
    known: tuple[Fact, ...] = ((AUTHORITY, value),)
    if value == "pull":
        known += ((COUPLE, "locked"),)
    return Step(
        key=key, role=task.role_for("drives"), place=cab(task.driven_from),
        needs=(*needs, *_ready_to_move(task), (AUTHORITY, value)), effects=(*effects, (AUTHORITY, "none")), knows=known,
        ages="everybody", duration_s=task.rules.allowance_s("pull" if value == "pull" else "draw_up"),
        phase="join" if value == "pull" else "approach", order=(rank, 1), brief=brief,
        caution=lost_from_sight(task),
    )  # fmt: skip


def lost_from_sight(task: AttachTask) -> str:
    """When a driver stops whatever was called: without word or sight of whoever calls, or alone without sight of the way."""
    return "The way not seen clear: stop." if task.is_alone else "Lost from sight or no word: stop."
