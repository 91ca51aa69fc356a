"""``exercise sit``: one person at a terminal. Time passes with what one does, and while one waits."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from pathlib import Path

from headstock.base.errors import Fault, InputError
from headstock.cli.reply import NO, YES, print_json
from headstock.practice.acting import least_s
from headstock.practice.colleague import Colleagues
from headstock.practice.events import Declared, Did, Ended, Event, Heard, RoadAnswered, Stopped, Took, Turned, Walked
from headstock.practice.marking import Mark, mark_of
from headstock.practice.playing import after
from headstock.practice.role_view import RoleView, view_of
from headstock.practice.sitting import Sitting, at_time, begun
from headstock.usecases.exercise_file import exercise_path, load_exercise
from headstock.wiring import air_engine, fleet_from

HELP = """  NUMBER            do it, go there, or hear it
  wait SECONDS      let time pass
  done [BAR]        end what you are at; with a reading, what you read
  not good [BAR]    end a stage of the test: not within limits
  set KEY VALUE     set a device within reach otherwise
  wrong KEY         say that a device is not as it should be
  role ROLE         go on as another role of yours
  stop              stop, make safe
  finished          say that the job is done
  end               leave the sitting"""
AN_ACT_S = 2.0
MOST_EVENTS = 400


@dataclass
class Terminal:
    """A sitting at a terminal: as whom one acts, and all that is so."""

    sitting: Sitting
    colleagues: Colleagues
    role: str
    shown: int = 0

    def happen(self, event: Event) -> None:
        """Something one does, after what colleagues have done before."""
        self.pass_until(event.t_s)
        if not self.sitting.is_over:
            self.sitting = after(self.sitting, event)

    def pass_until(self, t_s: float) -> None:
        """Time passes, colleagues act."""
        for _ in range(MOST_EVENTS):
            event = self.colleagues.next_event(self.sitting)
            if event is None or event.t_s > t_s or self.sitting.is_over:
                break
            self.sitting = after(self.sitting, event)
        if t_s > self.sitting.t_s:
            self.sitting = at_time(self.sitting, t_s)

    def news(self) -> Iterator[str]:
        """What has happened since one last looked, as far as this role could notice."""
        for note in self.sitting.notes[self.shown :]:
            if note.role == self.role and note.kind in ("saw", "noticed", "did", "began", "heard", "found", "false find"):
                yield f"  {note.text}"
        self.shown = len(self.sitting.notes)


def run_sit(name: str, role: str | None, as_json: bool, fleet: Path | None) -> int:
    """Sit it; the exit status says whether it was safe."""
    given, exercise = load_exercise(exercise_path(name), fleet_from(fleet), air_engine())
    if role is not None and role not in exercise.roles:
        raise InputError(Fault("no such role", path="--role", found=role, expected=", ".join(exercise.roles)))
    sitting = begun(exercise)
    for own in (role,) if role is not None else exercise.roles:
        sitting = after(sitting, Took(0.0, own, "you"))
    terminal = Terminal(sitting, Colleagues(exercise), role or exercise.roles[0])
    out = sys.stderr if as_json else sys.stdout
    print("Exercise, not a real train. A drill is not a sign-off.", file=out)
    print(f"{given.title}: {exercise.weather}, {exercise.light}. Type ? for what can be typed.", file=out)
    _play(terminal, out)
    return _end(terminal, as_json)


def _play(terminal: Terminal, out: object) -> None:
    while not terminal.sitting.is_over:
        view = view_of(terminal.sitting, terminal.role)
        choices = _show(terminal, view, out)
        line = sys.stdin.readline()
        if not line or line.strip() == "end":
            break
        try:
            _obey(terminal, line.strip(), choices)
        except (InputError, ValueError) as error:
            print(f"  {error}", file=out)  # type: ignore[call-overload]


def _show(terminal: Terminal, view: RoleView, out: object) -> list[Event]:
    """The page of a role in words; gives what its numbers mean."""
    t_s, role = terminal.sitting.t_s + AN_ACT_S, terminal.role
    lines, choices = list(terminal.news()), list[Event]()
    clock = f"{int(view.t_s // 60):02d}:{view.t_s % 60:02.0f}"
    lines.append(f"{clock}  {role}, {view.place}" + "".join(f"; {g.name} {g.shows_bar:.2f} bar" for g in view.gauges))
    if view.next_line:
        lines.append(f"  next in the instruction: {view.next_line}" + (f"; first the {view.waits_for}" if view.waits_for else ""))
    if view.busy_with:
        lines.append(f"  at it for {view.busy_for_s:.0f} s: {view.busy_with} (done, not good, wait SECONDS)")
    for words in view.words:
        choices.append(Heard(t_s, role, words.speaker, words.step))
        if words.is_waiting or not terminal.sitting.exercise.learning:
            lines.append(f"  {len(choices)}  heard from the {words.speaker}: {words.words}")
    for name, asked in view.road_asked:
        lines.append(f"  yard control asks for the road: {asked}")
        for gives, said in ((False, "keep the road"), (True, "give the road")):
            choices.append(RoadAnswered(t_s, role, name, gives))
            lines.append(f"  {len(choices)}  {said}")
    for act in () if view.busy_with else view.acts:
        choices.append(Did(t_s, role, act.step))
        lines.append(f"  {len(choices)}  {act.step}")
    for place, label, walk_s in view.walks:
        choices.append(Walked(t_s + walk_s, role, place))
        lines.append(f"  {len(choices)}  go: {label}, {walk_s:.0f} s")
    print("\n".join(lines), file=out, flush=True)  # type: ignore[call-overload]
    return choices


def _obey(terminal: Terminal, line: str, choices: list[Event]) -> None:
    t_s, role = terminal.sitting.t_s + AN_ACT_S, terminal.role
    word, _, rest = line.partition(" ")
    if word.isdecimal() and 0 < int(word) <= len(choices):
        terminal.happen(choices[int(word) - 1])
    elif word == "wait":
        terminal.pass_until(terminal.sitting.t_s + max(0.0, min(3600.0, float(rest))))
    elif word == "done" or line.startswith("not good"):
        figure = (rest.removeprefix("good") if word == "not" else rest).strip().replace(",", ".")
        doing = terminal.sitting.doing.get(role)
        until_s = max(t_s, doing.since_s + least_s(terminal.sitting, doing.step)) if doing is not None else t_s
        terminal.happen(Ended(until_s, role, float(figure) if figure else None, word == "done"))
    elif word == "set":
        key, _, value = rest.partition(" ")
        terminal.happen(Turned(t_s, role, key, value))
    elif word == "wrong":
        terminal.happen(Declared(t_s, role, rest))
    elif word == "role" and rest in terminal.sitting.exercise.roles:
        terminal.role = rest
    elif word in ("stop", "finished"):
        terminal.happen(Stopped(t_s, role) if word == "stop" else Declared(t_s, role))
    else:
        print(HELP, file=sys.stderr)


def _end(terminal: Terminal, as_json: bool) -> int:
    mark = mark_of(terminal.sitting)
    if as_json:
        print_json({**asdict(mark), "clock_s": round(terminal.sitting.t_s, 1)})
    else:
        print("\n".join(_mark_lines(mark)))
    return YES if mark.is_safe else NO


def _mark_lines(mark: Mark) -> Iterator[str]:
    yield f"Safe: {'nothing unsafe was done' if mark.is_safe else 'no'}"
    for note in mark.unsafe:
        yield f"  {note.t_s:.0f} s, {note.role}: {note.text} {note.hurts}".rstrip()
    for text in mark.missing_at_the_end:
        yield f"  {text}"
    yield f"As the instruction says: {'line by line' if mark.is_as_instructed else 'no'}"
    for head, texts in (("before its time", mark.before_time), ("besides", mark.besides)):
        for text in texts:
            yield f"  {head}: {text}"
    if mark.left_out:
        yield f"  {len(mark.left_out)} lines not done, the first: {mark.left_out[0]}"
    yield from _colleagues_lines(mark)
    for what, was_found in mark.hidden:
        yield f"Hidden: {what}: {'found' if was_found else 'not found'}"


def _colleagues_lines(mark: Mark) -> Iterator[str]:
    """What those did whom the computer played: none of it counts against anybody."""
    for note in mark.colleagues.unsafe:
        yield f"Played by the computer: {note.role}: {note.text} {note.hurts}".rstrip()
    for head, texts in (("went wrong", mark.colleagues.slips), ("found", mark.colleagues.found)):
        for text in texts:
            yield f"Played by the computer, {head}: {text}"
