"""What somebody who sits an exercise at a terminal is shown: the role's page in words, what is near, the two marks."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from headstock.local_rules.limit_figures import DECIMALS, in_unit
from headstock.practice.events import Did, Event, Heard, RoadAnswered, Walked
from headstock.practice.marking import Mark
from headstock.practice.role_view import RoleView
from headstock.practice.sitting import Note, Sitting

HELP: Final = """  NUMBER             do it, go there, or hear it
  wait SECONDS       let time pass, at most 3600
  done [FIGURE]      end what you are at; with what you read, in the unit of the gauge
  not good [FIGURE]  end a stage of the test: not within limits
  near               what is within reach: its KEY, how it stands, how else it could
  set KEY VALUE      set a device within reach otherwise
  wrong KEY          say that a device, or the air at a vehicle, is not as it should be
  role ROLE          go on as another role of yours
  stop               call stop: everybody leaves off
  finished           say that the job is done
  end                leave the sitting"""
AN_ACT_S: Final = 2.0
NOTICED: Final = ("saw", "noticed", "did", "began", "heard", "found", "false find")


def who_you_are(own: Sequence[str], roles: Sequence[str]) -> str:
    """Whose parts are one's own, and who plays the rest."""
    others = [role for role in roles if role not in own]
    if others:
        return f"You are the {_and(own)}; the computer plays the {_and(others)}."
    return f"You are the {_and(own)}." + (f" “role {own[1]}” goes on as the {own[1]}." if own[1:] else "")


def _and(words: Sequence[str]) -> str:
    return " and the ".join(filter(None, (", the ".join(words[:-1]), words[-1])))


def clock_of(t_s: float) -> str:
    """Minutes and seconds of the sitting's clock."""
    return f"{int(t_s // 60):02d}:{int(t_s % 60):02d}"


def news_lines(sitting: Sitting, role: str, seen: int) -> Iterator[str]:
    """What has happened since so many notes, as far as a role could notice; a call to stop everybody hears."""
    for note in sitting.notes[seen:]:
        if note.kind == "stopped":
            yield f"  the {note.role}: {note.text}" if note.role else f"  {note.text}"
        elif note.role == role and note.kind in NOTICED:
            yield f"  {note.text}"


def held_lines(sitting: Sitting, before: int) -> list[str]:
    """Where the clock holds at an unsafe act: each beyond the first so many, whom it hurts, and how to go on."""
    unsafe = sitting.unsafe[before:]
    if not unsafe:
        return []
    how = "Leave it there." if sitting.is_over else "Enter goes on from here, end leaves the sitting."
    return ["Held: that was unsafe. The clock stands.", *(f"  {_note(note)}" for note in unsafe), how]


def shown(sitting: Sitting, view: RoleView) -> tuple[list[str], list[Event]]:
    """A role's page in words, and what its numbers mean."""
    unit = sitting.exercise.task.rules.pressure_unit
    gauges = "".join(f"; {one.name} {in_unit(one.shows_bar, unit):.{DECIMALS[unit]}f} {unit}" for one in view.gauges)
    with_you = f", with the {_and(view.here_too)}" if view.here_too else ""
    lines = [f"{clock_of(view.t_s)}  {view.role}, {view.place}{with_you}{gauges}"]
    if view.brakes:
        lines.append("  blocks: " + ", ".join(f"{vehicle} {'on the wheels' if on else 'off'}" for vehicle, on in view.brakes))
    if view.next_line:
        lines.append(f"  next in the instruction: {view.next_line}" + (f"; first the {view.waits_for}" if view.waits_for else ""))
    if view.busy_with:
        lines.append(f"  at it for {view.busy_for_s:.0f} s: {view.busy_with} (done, not good, wait SECONDS)")
    choices = list[Event]()
    for text, event in _choices(sitting, view, sitting.t_s + AN_ACT_S):
        choices.append(event)
        lines.append(f"  {len(choices)}  {text}")
    return lines, choices


def _choices(sitting: Sitting, view: RoleView, t_s: float) -> Iterator[tuple[str, Event]]:
    role = view.role
    for words in view.words:
        if words.is_waiting or not sitting.exercise.learning:
            yield f"heard from the {words.speaker}: {words.words}", Heard(t_s, role, words.speaker, words.step)
    for name, asked in view.road_asked:
        for gives, said in ((False, "keep the road"), (True, "give the road")):
            yield f"{said}, which yard control asks for: {asked}", RoadAnswered(t_s, role, name, gives)
    for act in () if view.busy_with else view.acts:
        phrases = (words for words in dict.fromkeys(act.words) if words.rstrip(".").casefold() not in act.step.casefold())
        yield f"{act.step}{''.join(f' “{words}”' for words in phrases)}", Did(t_s, role, act.step)
    for place, label, walk_s in view.walks:
        yield f"go: {label}, {walk_s:.0f} s", Walked(t_s + walk_s, role, place)


def near_lines(view: RoleView) -> list[str]:
    """Each device within reach: its key, how it stands, how else it could."""
    if not view.devices:
        return ["  nothing within reach from here"]
    return [f"  {one.key}: {one.stands}" + (f"; could be: {', '.join(one.could)}" if one.could else "") for one in view.devices]


def mark_lines(mark: Mark) -> Iterator[str]:
    """The two marks, and what they rest on."""
    yield f"Safe: {'nothing unsafe was done' if mark.is_safe else 'no'}"
    for note in mark.unsafe:
        yield f"  {clock_of(note.t_s)}  {_note(note)}"
    for text in mark.missing_at_the_end:
        yield f"  at the end: {text}"
    yield f"As the instruction says: {'line by line' if mark.is_as_instructed else 'no'}"
    for head, texts in (("before its time", mark.before_time), ("besides", mark.besides)):
        for text in texts:
            yield f"  {head}: {text}"
    if mark.left_out:
        many = "1 line" if len(mark.left_out) == 1 else f"{len(mark.left_out)} lines"
        yield f"  {many} not done, the first: {mark.left_out[0]}"
    if not mark.is_finished:
        yield "  nobody said that the job is done (finished)"
    yield from _colleagues_lines(mark)
    for what, was_found in mark.hidden:
        yield f"Hidden: {what}: {'found' if was_found else 'not found'}"
    for text in mark.false_finds:
        yield f"Was as it should be, and {text}"


def _colleagues_lines(mark: Mark) -> Iterator[str]:
    """What those did whom the computer played: none of it counts against anybody."""
    for note in mark.colleagues.unsafe:
        yield f"Played by the computer: {_note(note)}"
    for head, texts in (("went wrong", mark.colleagues.slips), ("found", mark.colleagues.found)):
        for text in texts:
            yield f"Played by the computer, {head}: {text}"


def _note(note: Note) -> str:
    """Who, what, and whom it hurts."""
    return f"{note.role}: {note.text}" + (f". {note.hurts}" if note.hurts else "")
