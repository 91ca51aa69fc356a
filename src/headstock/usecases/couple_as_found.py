"""What a job says of a couple found part made, as facts, within the tries allowed; or every reason for no."""

from __future__ import annotations

from dataclasses import replace

from headstock.base.errors import Fault, InputError
from headstock.capability.automatic_couple import AIR, AUTOMATIC, LOCK, WIRES
from headstock.capability.couple_signs import CoupleAnswer, explain_couple
from headstock.devices.main_reservoir import MainReservoirSpec
from headstock.formation.joinability import JoinResult
from headstock.formation.train import UnitEnd
from headstock.local_rules.coming_up import CoupleTries
from headstock.procedures.couple_found import CoupleFound, heads_of
from headstock.procedures.task import AttachTask
from headstock.usecases.job_file import CoupleAsFound, JobPapers
from headstock.usecases.part_made_couple import signs_of

Facts = tuple[bool, bool, bool]
LOOKS = ("pull", "rear brake pipe", "wired brake, doors, display")
"""What tells each of the three facts for certain."""
WITHOUT_WIRES = "mechanical and automatic brake"


def without_wires(papers: JobPapers, join: JoinResult) -> JoinResult:
    """The way of joining at the level that is left where the job goes on with the heads locked back."""
    asked = papers.job.couple_as_found
    if asked is None or not asked.without_wires or join.best.name != "direct":
        return join
    lost = "no wired brake, no doors, no loops beyond the joint: each portion by itself"
    best = replace(join.best, level=WITHOUT_WIRES, losses=(*join.best.losses, lost))
    return replace(join, ways=(best, *join.ways[1:]))


def couple_found(papers: JobPapers, task: AttachTask, join: JoinResult) -> tuple[CoupleFound | None, tuple[str, ...]]:
    """What is so of the couple, or why there is no order of work. Raises InputError for what cannot be meant."""
    said = papers.job.couple_as_found
    if said is None:
        return None, ()
    if any(spec.kind != "automatic coupler" for _, spec in task.couplers) or task.making != "direct":
        line = papers.document.line_of(("couple_as_found",))
        fault = Fault("a couple found part made that is no automatic one", papers.document.name, line, "couple_as_found",
                      task.family, "automatic couplers")  # fmt: skip
        raise InputError(fault, cure="Leave couple_as_found out; headstock couple tells what a hand-made couple needs.")
    tries = papers.rules.couple_tries
    if tries is None:
        return None, ("the local rules do not say how often an automatic couple may be tried (couple_tries)",)
    answer = explain_couple(AUTOMATIC, signs_of(papers.job))
    facts, reasons = _decided(answer, task)
    if facts is None:
        return None, reasons
    found = _parting(said, tries, task, facts) if task.parts else _joining(said, tries, task, facts)
    return found, _refusals(found, said, tries, task, join)


def _decided(answer: CoupleAnswer, task: AttachTask) -> tuple[Facts | None, tuple[str, ...]]:
    """The three facts where the signs settle all that matters."""
    if not answer.states:
        return None, ("no known state of the couple shows all these signs: look again, and take it that nothing holds",)
    wired = any(pair[0][1].kind == "electrical head" for pair in task.mated) or bool(task.couple)
    so = [state.is_so for state in answer.states if state.is_so is not None]
    found = list(dict.fromkeys((facts[LOCK], facts[AIR], facts[WIRES] and wired) for facts in so))
    if len(found) == 1:
        return found[0], ()
    if not task.parts and not any(facts[0] for facts in found):
        # Whatever else is joined through pressed faces, it is drawn clear: the more is taken to be joined, the more is done.
        return (False, any(facts[1] for facts in found), any(facts[2] for facts in found)), ()
    told = [LOOKS[number] for number in range(3) if len({facts[number] for facts in found}) > 1]
    look = next((sign for sign in AUTOMATIC.signs if sign.name == told[0]), None)
    if answer.next_look is not None and answer.next_look.name not in answer.seen:
        look = answer.next_look
    how = f"look next: {look.name} ({look.how})" if look is not None else ""
    return None, ("the signs do not decide what is so of the couple", *(f"may be: {state.words}" for state in answer.states), how,
                  *(f"never meanwhile: {text}" for text in answer.never))  # fmt: skip


def _allowed(said: CoupleAsFound, tries: CoupleTries) -> int:
    """Tries from this cab: those of the second one where the first has had all of its own."""
    first = tries.from_one_cab.value
    return tries.from_the_other_cab.value if said.tries_from_the_other_cab >= first else first


def _joining(said: CoupleAsFound, tries: CoupleTries, task: AttachTask, facts: Facts) -> CoupleFound:
    return CoupleFound(*facts, said.tries, _allowed(said, tries), said.hold_proved, said.pull_on_it == "eased",
                       without_wires=said.without_wires)  # fmt: skip


def _parting(said: CoupleAsFound, tries: CoupleTries, task: AttachTask, facts: Facts) -> CoupleFound:
    needs_bar = task.couplers[0][1].release_needs_bar
    low = said.main_reservoir_bar is not None and needs_bar is not None and said.main_reservoir_bar < needs_bar
    allowed, frozen = tries.of_the_release.value, said.latch == "frozen"
    by_hand = facts[0] and (said.tries >= allowed or frozen or (low and not _pumps(task)))
    return CoupleFound(*facts, said.tries, allowed, said.hold_proved, said.pull_on_it == "eased", frozen, low,
                       by_hand=by_hand, handle_end=_handle_end(task))  # fmt: skip


def _pumps(task: AttachTask) -> bool:
    """Whether a compressor of the moving portion works."""
    own = {unit.name for unit in task.moving_units}
    made = [at for at, spec in task.train.devices() if isinstance(spec, MainReservoirSpec) and at.unit in own]
    return any(task.as_found.get(at.key(), "working") == "working" for at in made)


def _handle_end(task: AttachTask) -> UnitEnd | None:
    """The end whose handle is used: the moving portion's first."""
    ends = zip((task.near, task.far), task.couplers, strict=True)
    return next((end for end, (_, spec) in ends if spec.hand_release is not None), None)


def _refusals(found: CoupleFound, said: CoupleAsFound, tries: CoupleTries, task: AttachTask, join: JoinResult) -> tuple[str, ...]:
    reasons = []
    if not found.hold_proved and not (task.parts and found.locked and found.air):
        reasons.append(f"the hold of {task.standing} is not proved, and over a couple in doubt it cannot be: "
                       "hand brakes and scotches on both portions first")  # fmt: skip
    off = [key for key in task.holds[task.standing].brakes if task.as_found.get(key) == "off"]
    if found.hold_proved and off:
        reasons.append(f"the hold of {task.standing} is said to be proved, and {', '.join(off)} is found off: it holds nothing")
    if found.without_wires and set(task.crew) <= {"driver"}:
        reasons.append("a driver alone does not lock the heads back over a couple: ask for a second person")
    if task.parts:
        reasons += _by_hand_refusals(found, task) if found.by_hand else []
    elif found.tries >= found.tries_allowed:
        reasons += _used_up(found, said, tries, task, join)
    return tuple(reasons)


def _used_up(found: CoupleFound, said: CoupleAsFound, tries: CoupleTries, task: AttachTask, join: JoinResult) -> list[str]:
    """What is left when no more tries are."""
    if not found.draws_clear and (found.wires or found.without_wires or not heads_of(task)):
        return []
    if not found.draws_clear:
        return [f"the button was tried {found.tries} times, {found.tries_allowed} allowed: what is left is to go on with the "
                "electrical heads locked back (without_wires: true)"]  # fmt: skip
    reasons = [f"tried {found.tries} times from this cab, {found.tries_allowed} allowed: the couple is called a failure"]
    if said.tries_from_the_other_cab < tries.from_the_other_cab.value and found.tries_allowed == tries.from_one_cab.value:
        left = tries.from_the_other_cab.value - said.tries_from_the_other_cab
        reasons.append(f"left: {left} from the cab of {task.standing}, as a job of its own in which {task.standing} moves")
        return reasons
    for way in join.ways:
        if way.name != "direct" and way.answer != "no":
            gear = f", with {'; '.join(way.equipment)}" if way.equipment else ""
            reasons.append(f"left: by {way.name}, {way.level}{gear}")
    if len(reasons) == 1:
        reasons.append("left: neither an adapter nor a screw coupling fits these ends: the portions stay apart")
    return reasons


def _by_hand_refusals(found: CoupleFound, task: AttachTask) -> list[str]:
    """Why the latch cannot be turned by hand here."""
    reasons = []
    if found.handle_end is None:
        reasons.append(f"neither coupler of {task.near} and {task.far} has a handle that turns the latch: a fitter parts it")
    if found.wires:
        reasons += [f"the electrical head of {at.where} cannot be wound back by hand: a fitter sees to it"
                    for at, spec in heads_of(task) if getattr(spec, "wound_back_by", None) is None]  # fmt: skip
    if set(task.crew) <= {"driver"}:
        reasons.append("a driver alone does not turn the latch by hand: when it lets go nobody would be at the brake; "
                       "ask for a second person")  # fmt: skip
    return reasons
