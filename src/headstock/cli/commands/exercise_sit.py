"""``exercise sit``: one person at a terminal. Time passes with what one does, and while one waits."""

from __future__ import annotations

import sys
from dataclasses import asdict, dataclass
from math import floor
from pathlib import Path
from typing import TextIO

from headstock.base.errors import Fault, InputError
from headstock.base.nearest import nearest_of
from headstock.cli.commands.sit_words import AN_ACT_S, HELP, held_lines, mark_lines, near_lines, news_lines, shown, who_you_are
from headstock.cli.reply import NO, YES, print_json
from headstock.local_rules.limit_figures import bar_from, in_unit
from headstock.practice.acting import least_s
from headstock.practice.colleague import Colleagues
from headstock.practice.events import MOST_READ_BAR, Declared, Ended, Event, Stopped, Took, Turned
from headstock.practice.marking import mark_of
from headstock.practice.playing import after
from headstock.practice.role_view import view_of
from headstock.practice.sitting import Sitting, at_time, begun
from headstock.usecases.exercise_file import exercise_path, load_exercise
from headstock.usecases.record_practice import DRILL_CAUTION
from headstock.wiring import air_engine, fleet_from

MOST_EVENTS = 400
MOST_WAIT_S = 3600.0
WORDS = ("wait", "done", "not good", "near", "set", "wrong", "role", "stop", "finished", "end")


@dataclass
class Terminal:
    """A sitting at a terminal: as whom one acts, and all that is so."""

    sitting: Sitting
    colleagues: Colleagues
    role: str
    out: TextIO
    seen: int = 0

    def happen(self, event: Event) -> None:
        """Something one does, after what colleagues have done before. Raises InputError; no time has passed then."""
        before = self.sitting
        try:
            self.pass_until(event.t_s)
            if not self.sitting.is_over:
                self.sitting = after(self.sitting, event)
        except InputError:
            self.sitting = before
            raise

    def pass_until(self, t_s: float) -> None:
        """Time passes, colleagues act."""
        for _ in range(MOST_EVENTS):
            event = self.colleagues.next_event(self.sitting)
            if event is None or event.t_s > t_s or self.sitting.is_over:
                break
            self.sitting = after(self.sitting, event)
        if t_s > self.sitting.t_s:
            self.sitting = at_time(self.sitting, t_s)

    def say(self, *lines: str) -> None:
        """Print lines."""
        if lines:
            print("\n".join(lines), file=self.out, flush=True)


def run_sit(name: str, role: str | None, as_json: bool, fleet: Path | None) -> int:
    """Sit it; the exit status says whether it was safe."""
    given, exercise = load_exercise(exercise_path(name), fleet_from(fleet), air_engine())
    if role is not None and role not in exercise.roles:
        raise InputError(Fault("no such role", path="--role", found=role, expected=", ".join(exercise.roles),
                               nearest=nearest_of(role, exercise.roles)))  # fmt: skip
    sitting, own = begun(exercise), (role,) if role is not None else exercise.roles
    for one in own:
        sitting = after(sitting, Took(0.0, one, "you"))
    terminal = Terminal(sitting, Colleagues(exercise), own[0], sys.stderr if as_json else sys.stdout)
    terminal.say(f"Exercise, not a real train. {DRILL_CAUTION}",
                 f"{given.title}: {exercise.weather}, {exercise.light}. {who_you_are(own, exercise.roles)}",
                 "Type a number or a word, then Enter; ? for what can be typed, end to leave.")  # fmt: skip
    _play(terminal)
    return _end(terminal, as_json)


def _play(terminal: Terminal) -> None:
    view, choices = None, list[Event]()
    while not terminal.sitting.is_over:
        if view is None:
            terminal.say(*news_lines(terminal.sitting, terminal.role, terminal.seen))
            terminal.seen = len(terminal.sitting.notes)
            view = view_of(terminal.sitting, terminal.role)
            lines, choices = shown(terminal.sitting, view)
            terminal.say(*lines)
        line = sys.stdin.readline()
        typed = " ".join(line.split())
        if not line or typed.casefold() == "end":
            break
        unsafe = len(terminal.sitting.unsafe)
        try:
            view = None if _obey(terminal, typed, choices) else view
        except InputError as error:
            terminal.say(*(f"  {one}" for one in error.text().splitlines()))
        if terminal.sitting.exercise.holds_at_unsafe and not _goes_on(terminal, unsafe):
            break
    terminal.say(*news_lines(terminal.sitting, terminal.role, terminal.seen))


def _goes_on(terminal: Terminal, before: int) -> bool:
    """Where the clock holds at an unsafe act: what it was, and whether the sitting goes on."""
    lines = held_lines(terminal.sitting, before)
    terminal.say(*lines)
    if not lines or terminal.sitting.is_over:
        return True
    line = sys.stdin.readline()
    return bool(line) and line.strip().casefold() != "end"


def _obey(terminal: Terminal, typed: str, choices: list[Event]) -> bool:
    """What was typed; False where it asks only for something to be shown. Raises InputError."""
    word, _, rest = typed.partition(" ")
    word = word.casefold()
    if typed in ("", "?"):
        terminal.say(HELP)
    elif word == "near":
        terminal.say(*near_lines(view_of(terminal.sitting, terminal.role)))
    elif word.isdecimal() and not rest:
        terminal.happen(_chosen(int(word), choices))
        return True
    else:
        _say_or_set(terminal, word, rest.strip())
        return True
    return False


def _say_or_set(terminal: Terminal, word: str, rest: str) -> None:
    t_s, role = terminal.sitting.t_s + AN_ACT_S, terminal.role
    if word == "wait":
        terminal.pass_until(terminal.sitting.t_s + _figure("wait", rest, "seconds", MOST_WAIT_S))
    elif word == "done" or (word == "not" and rest.partition(" ")[0].casefold() == "good"):
        _end_step(terminal, word == "done", rest.partition(" ")[2] if word == "not" else rest)
    elif word == "set":
        key, _, value = rest.partition(" ")
        terminal.happen(Turned(t_s, role, key, value))
    elif word == "wrong":
        terminal.happen(Declared(t_s, role, _key(rest)))
    elif word == "role":
        terminal.role = _own_role(terminal.sitting, rest)
    elif word in ("stop", "finished") and not rest:
        terminal.happen(Stopped(t_s, role) if word == "stop" else Declared(t_s, role))
    else:
        raise InputError(Fault("not understood", found=f"{word} {rest}".strip(), expected=f"a number, or {', '.join(WORDS)}",
                               nearest=nearest_of(word, WORDS)), cure="Type ? for what each means.")  # fmt: skip


def _end_step(terminal: Terminal, is_good: bool, figure: str) -> None:
    """End what one is at, not before its time is up."""
    sitting, role = terminal.sitting, terminal.role
    doing = sitting.doing.get(role)
    if doing is None:
        raise InputError(Fault("nothing is begun that could be ended", path="done" if is_good else "not good"),
                         cure="Choose a number first; what takes its time is then shown as “at it”.")  # fmt: skip
    read = _read_bar(sitting, "done" if is_good else "not good", figure)
    until_s = max(sitting.t_s + AN_ACT_S, doing.since_s + least_s(sitting, doing.step))
    terminal.happen(Ended(until_s, role, read, is_good))


def _read_bar(sitting: Sitting, word: str, text: str) -> float | None:
    """What was read [bar], given in the unit of the local rules, with or without its name."""
    unit = sitting.exercise.task.rules.pressure_unit
    figure = text.removesuffix(unit).strip()
    return bar_from(_figure(word, figure, unit, floor(in_unit(MOST_READ_BAR, unit))), unit) if text else None


def _chosen(number: int, choices: list[Event]) -> Event:
    if not 0 < number <= len(choices):
        raise InputError(Fault("no such number", found=str(number), expected=f"1 to {len(choices)}"))
    return choices[number - 1]


def _figure(word: str, text: str, what: str, most: float) -> float:
    try:
        value = float(text.replace(",", "."))
    except ValueError:
        value = -1.0
    if not 0.0 <= value <= most:
        raise InputError(Fault("no such figure", path=word, found=text or "nothing", expected=f"{what}, 0 to {most:g}"))
    return value


def _key(text: str) -> str:
    if not text:
        raise InputError(Fault("what is wrong?", path="wrong", found="nothing", expected="the key of a device or vehicle"),
                         cure="near shows the keys of what is within reach.")  # fmt: skip
    return text


def _own_role(sitting: Sitting, text: str) -> str:
    own = [role for role in sitting.exercise.roles if sitting.is_played(role)]
    if text not in own:
        raise InputError(Fault("no role of yours", path="role", found=text or "nothing", expected=" or ".join(own),
                               nearest=nearest_of(text, own)), cure="Without --role all are yours.")  # fmt: skip
    return text


def _end(terminal: Terminal, as_json: bool) -> int:
    mark = mark_of(terminal.sitting)
    if as_json:
        print_json({**asdict(mark), "clock_s": round(terminal.sitting.t_s, 1)})
    else:
        print("\n".join(mark_lines(mark)))
    return YES if mark.is_safe else NO
