"""What one role sees and can do from where it stands, and nothing else; plain values for a page or a terminal."""

from __future__ import annotations

from dataclasses import dataclass
from math import floor

from headstock.devices.distributor import LET_OFF_BAR
from headstock.practice.acting import unmet_in_hand
from headstock.practice.instruction_ties import lines_done
from headstock.practice.reach import TAKES_TWO, reach_of
from headstock.practice.sitting import Sitting
from headstock.reasoning.constraint import place_key
from headstock.reasoning.step import Step


@dataclass(frozen=True, slots=True)
class GaugeView:
    """A gauge in sight: what it shows [bar, to half a mark], from and to which mark it reads, from mark to mark [bar]."""

    name: str
    shows_bar: float
    low_bar: float
    high_bar: float
    mark_bar: float


@dataclass(frozen=True, slots=True)
class DeviceView:
    """A device in reach: how it stands, and how else it could."""

    key: str
    label: str
    stands: str
    could: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ActView:
    """Something this role can set about here; ``words``: what it then says, shown in learning mode only."""

    step: str
    words: tuple[str, ...]
    says_to: str


@dataclass(frozen=True, slots=True)
class WordsView:
    """Words that this role may have heard: tapped when it has."""

    speaker: str
    step: str
    words: str
    is_waiting: bool


@dataclass(frozen=True, slots=True)
class RoleView:
    """Everything on one role's page; ``road_asked``: other movements that want its road, and yard control's words."""

    role: str
    t_s: float
    place: str
    walks: tuple[tuple[str, str, float], ...]
    gauges: tuple[GaugeView, ...]
    brakes: tuple[tuple[str, bool], ...]
    devices: tuple[DeviceView, ...]
    acts: tuple[ActView, ...]
    words: tuple[WordsView, ...]
    road_asked: tuple[tuple[str, str], ...]
    busy_with: str
    busy_for_s: float
    here_too: tuple[str, ...]
    next_line: str
    waits_for: str
    weather: str
    light: str
    is_over: bool


def moving_of(sitting: Sitting, role: str) -> tuple[tuple[GaugeView, ...], tuple[tuple[str, bool], ...]]:
    """What moves by itself on a role's page: gauges, and whether the blocks of vehicles beside it are on."""
    air, brakes = sitting.air, list[tuple[str, bool]]()
    if air is not None:
        for vehicle in reach_of(sitting, role).vehicles:
            if vehicle in air.model.probe_of:
                brakes.append((vehicle, air.cylinder_bar(vehicle) > LET_OFF_BAR))
    return gauges_in_sight(sitting, role), tuple(brakes)


def view_of(sitting: Sitting, role: str) -> RoleView:
    """The page of a role."""
    exercise, place = sitting.exercise, sitting.place_of(role)
    domain, reach = exercise.domain, reach_of(sitting, role)
    gauges, brakes = moving_of(sitting, role)
    walks = [(key, one.label, walk_s) for key, one in domain.places.items()
             if key != place and (walk_s := domain.walk_s(place, key)) is not None]  # fmt: skip
    doing = sitting.doing.get(role)
    return RoleView(
        role, sitting.t_s, domain.places[place].label, tuple(walks), gauges, brakes,
        tuple(_device(sitting, key) for key in reach.devices), _acts(sitting, role, place), _words(sitting, role),
        _road_asked(sitting, role),
        doing.step.key if doing is not None else "", sitting.t_s - doing.since_s if doing is not None else 0.0,
        tuple(other for other in exercise.roles if other != role and sitting.run.state[place_key(other)] == place),
        *_next_line(sitting, role), exercise.weather, exercise.light, sitting.is_over,
    )  # fmt: skip


def gauges_in_sight(sitting: Sitting, role: str) -> tuple[GaugeView, ...]:
    """The brake pipe gauges that a role can read from where it stands."""
    found, air = [], sitting.air
    for end in reach_of(sitting, role).gauges:
        if air is None or end not in air.model.probe_of:
            continue
        spec = air.model.gauges.get(end)
        low, high, mark = (spec.range_low_bar, spec.range_high_bar, spec.graduation_bar) if spec is not None else (0.0, 10.0, 0.1)
        shown = floor(min(max(air.pipe_bar(end), low), high) / (mark / 2) + 0.5) * mark / 2
        found.append(GaugeView(f"brake pipe, cab {end}", round(shown, 3), low, high, mark))
    return tuple(found)


def _device(sitting: Sitting, key: str) -> DeviceView:
    variable, stands = sitting.exercise.domain.variables[key], sitting.state[key]
    could = tuple(value for value in variable.domain if value != stands and value not in TAKES_TWO)
    return DeviceView(key, variable.label, variable.say(stands), could)


def _acts(sitting: Sitting, role: str, place: str) -> tuple[ActView, ...]:
    """Every step of the role that could be set about here, whether or not it is time for it."""
    shown = []
    for step in sitting.exercise.domain.steps:
        if step.role != role or step.place not in (None, place) or unmet_in_hand(sitting, step):
            continue
        is_word_alone = step.place is None and bool(step.tells)
        if is_word_alone and not sitting.exercise.learning:
            continue
        words = tuple(said.words for said in step.said) if sitting.exercise.learning else ()
        shown.append(ActView(step.key, words, step.hearer))
    return tuple(shown)


def _words(sitting: Sitting, role: str) -> tuple[WordsView, ...]:
    """What others may say to this role, in words: whoever has heard it says so; what was said already stands first."""
    waiting = [said.step for said in sitting.told if said.step.hearer == role]
    found = [WordsView(told.role, told.key, _spoken(told), True) for told in waiting]
    for step in sitting.exercise.domain.steps:
        said_aloud = step.hearer == role and step.place is None and sitting.is_played(step.role)
        if said_aloud and all(told.ident != step.ident for told in waiting) and not sitting.exercise.learning:
            found.append(WordsView(step.role, step.key, _spoken(step), False))
    return tuple(found)


def _road_asked(sitting: Sitting, role: str) -> tuple[tuple[str, str], ...]:
    """What yard control wants to know of this role."""
    if role != sitting.exercise.task.role_for("in_charge"):
        return ()
    words = {one.name: one.words for one in sitting.exercise.movements}
    return tuple((name, words[name]) for name, one in sitting.movements.items() if one.stage == "asked")


def _spoken(step: Step) -> str:
    return " ".join(said.words for said in step.said) or step.key


def _next_line(sitting: Sitting, role: str) -> tuple[str, str]:
    """The next line of the instruction for this role, in learning mode, and what it waits for."""
    order = sitting.exercise.order
    done = set(lines_done(order, [step for _, step in sitting.done])[0])
    line = next((line for line, step in enumerate(order) if step.role == role and line not in done), None)
    if line is None or not sitting.exercise.learning:
        return "", ""
    before = sorted(sitting.exercise.earlier[line] - done)
    others = (order[one] for one in before if order[one].role != role)
    return order[line].key, next((f"{step.role}: {step.key}" for step in others), "")
