"""Movements of a parting job: easing up so that the couple lets go, drawing away; the proof that the standing portion stands."""

from __future__ import annotations

from headstock.devices.scene import AIR_THROUGH, AUTHORITY, COUPLE, GAP, SLACK, pipe_key, proved_key
from headstock.procedures.cab_work import valve_key
from headstock.procedures.movement import board_facts, hold_facts, lost_from_sight
from headstock.procedures.places import JOINT, beside, cab
from headstock.procedures.scene_variables import AGREED, CLEAR, ROAD, protection_key
from headstock.procedures.task import AttachTask
from headstock.reasoning.step import Step, Utterance
from headstock.reasoning.variable import Fact


def watch_whole_train(task: AttachTask) -> Step:
    """The standing portion's brakes hold the whole train, its air brake off: what is left of it then stands all the more."""
    holds = hold_facts(task, task.standing)
    charged = tuple((pipe_key(portion), "charged") for portion in (task.moving, task.standing))
    off = hold_facts(task, task.moving, "off")
    seconds = task.rules.holding.watch_s.value
    shows = ((proved_key(task.standing), "proved"),)
    return Step(
        key=f"watch the whole train for {seconds:g} s on the brakes of {task.standing}: it stands",
        role=task.role_for("looks_at_holds"), place=cab(task.driven_from) if task.is_alone else beside(task.far.unit),
        needs=(*holds, *charged, *off, (AIR_THROUGH, "yes"), (COUPLE, "locked")), effects=shows, shows=shows,
        knows=(*holds, *charged), duration_s=seconds + task.rules.allowance_s("look"), phase="hold", order=(5,),
        brief=f"Watch {seconds:g} s, air brake off: the brakes of {task.standing} hold the whole train.",
        caution="Prove the hold before any other hold comes off. With the leaving portion's brake on it proves nothing.",
    )  # fmt: skip


def parting_looks(task: AttachTask) -> tuple[Step, ...]:
    """Both sides of the joint, before each call; the parted ends afterwards."""
    return (_look_clear(task, "touching", "before it is eased up or parted"),)


def _look_clear(task: AttachTask, gap: str, said: str) -> Step:
    between = protection_key(task.role_for("goes_between"))
    return Step(
        key=f"look at both sides of the joint, {said}", role=task.role_for("in_charge"),
        place=cab(task.driven_from) if task.is_alone else JOINT,
        needs=((GAP, gap), (AUTHORITY, "none"), (between, "none")), shows=((CLEAR, "seen"),),
        duration_s=task.rules.allowance_s("look_both_sides"), phase="part", brief="Look both sides.",
        caution="Nobody reaches in while anything moves.",
    )  # fmt: skip


def ease_up_steps(task: AttachTask) -> tuple[Step, Step]:
    """A call and a light press towards the standing portion, then the brake again."""
    needs: tuple[Fact, ...] = ((GAP, "touching"), (COUPLE, "locked"), (SLACK, "stretched"))
    words = task.rules.words.ease_up.value
    return (_call(task, "call to ease up", "ease up", needs, words, (), 0),
            _drive(task, "press lightly towards the standing portion, then full application", "ease up", needs,
                   ((SLACK, "eased"),), "ease_up", 0, "Ease up, brake on again."))  # fmt: skip


def draw_away_steps(task: AttachTask, parted: tuple[Fact, ...]) -> tuple[Step, Step]:
    """A call and the drawing away, once nothing holds the ends together."""
    needs: tuple[Fact, ...] = ((GAP, "touching"), (COUPLE, "apart"), (AIR_THROUGH, "no"), *parted)
    said = task.length_words(task.rules.approach.waits_m.value)
    words = task.rules.words.draw_away.value
    known = ((COUPLE, "apart"),) if task.making != "screw" else ()
    call = _call(task, f"call to draw away {said}", "draw away", needs, words.format(stop=said), known, 2)
    drive = _drive(task, f"draw away {said}, stop, full application", "draw away", needs, ((GAP, "apart"),), "draw_away", 2,
                   f"Draw away {said}, stop.")  # fmt: skip
    return call, drive


def _held(task: AttachTask) -> tuple[Fact, ...]:
    return ((proved_key(task.standing), "proved"), *hold_facts(task, task.standing))


def _call(task: AttachTask, key: str, value: str, needs: tuple[Fact, ...], words: str, knows: tuple[Fact, ...],
          rank: int) -> Step:  # fmt: skip
    charge, driver = task.role_for("in_charge"), task.role_for("drives")
    between = protection_key(task.role_for("goes_between"))
    free = ((AUTHORITY, "none"), (between, "none"), (AGREED, "yes"), (ROAD, "given"), *board_facts(task))
    known = ((CLEAR, "seen"), (proved_key(task.standing), "proved"), *knows)
    seconds, phase = task.rules.allowance_s("call"), "hold" if value == "ease up" else "part"
    if task.is_alone:
        said = key.removeprefix("call ")
        return Step(key=f"sound the horn, look along the train, {said}", role=driver, place=cab(task.driven_from),
                    needs=(*needs, *free, *_held(task)), effects=((AUTHORITY, value),), knows=known, duration_s=seconds,
                    phase=phase, order=(10 + rank, 0), brief="Horn, look along the train.")  # fmt: skip
    return Step(key=key, role=charge, place=JOINT, needs=(*needs, *free, *_held(task)), effects=((AUTHORITY, value),),
                knows=known, tells=((AUTHORITY, value),), hearer=driver, duration_s=seconds, phase=phase, order=(10 + rank, 0),
                said=(Utterance(charge, driver, words),), hears=(driver,))  # fmt: skip


def _drive(task: AttachTask, key: str, value: str, needs: tuple[Fact, ...], effects: tuple[Fact, ...], allowance: str,
           rank: int, brief: str) -> Step:  # fmt: skip
    between = protection_key(task.role_for("goes_between"))
    ready = ((valve_key(task, task.driven_from), "full"), (pipe_key(task.moving), "drawn"), (between, "none"),
             *hold_facts(task, task.moving, "off"), *_held(task))  # fmt: skip
    return Step(
        key=key, role=task.role_for("drives"), place=cab(task.driven_from), needs=(*needs, *ready, (AUTHORITY, value)),
        effects=(*effects, (AUTHORITY, "none")), knows=((AUTHORITY, value),), ages="everybody",
        duration_s=task.rules.allowance_s(allowance), phase="hold" if value == "ease up" else "part", order=(10 + rank, 1),
        brief=brief, caution=lost_from_sight(task),
    )  # fmt: skip
