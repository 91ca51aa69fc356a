"""``exercise list`` and ``exercise show``."""

from __future__ import annotations

from pathlib import Path

from headstock.cli.reply import YES, print_json
from headstock.usecases.exercise_file import ExerciseFile, exercise_path, load_exercise, read_exercise, ready_exercises
from headstock.usecases.record_practice import DRILL_CAUTION
from headstock.wiring import air_engine, fleet_from


def run_list(as_json: bool) -> int:
    """All ready exercises, two lines each."""
    ready = {name: read_exercise(path) for name, path in ready_exercises().items()}
    if as_json:
        print_json(
            [{"exercise": name, **one.model_dump(mode="json", exclude={"hidden", "lapses"})} for name, one in ready.items()]
        )
        return YES
    print(f"For trainers: this list says what is hidden. {DRILL_CAUTION}")
    for name, one in ready.items():
        print(f"{name}: {one.title}{' (learning)' if one.learning else ''}")
        print(f"    {one.about}")
    print("To sit one alone: headstock exercise sit NAME --role ROLE. With a class: headstock serve, Exercise.")
    return YES


def run_show(name: str, as_json: bool, fleet: Path | None) -> int:
    """One exercise whole."""
    given, exercise = load_exercise(exercise_path(name), fleet_from(fleet), air_engine())
    if as_json:
        print_json({**given.model_dump(mode="json"), "roles": list(exercise.roles), "lines": len(exercise.order)})
        return YES
    _print(given, exercise.roles, len(exercise.order))
    return YES


def _print(given: ExerciseFile, roles: tuple[str, ...], lines: int) -> None:
    print(f"Exercise, not a real train. {DRILL_CAUTION}")
    print(f"{given.title}{' (invented)' if given.invented else ''}")
    print(f"  {given.about}")
    print(f"  job {given.job}: {lines} lines; roles {', '.join(roles)}; {given.weather}, {given.light}")
    print(f"  an unsafe act {'holds the clock' if given.holds_at_unsafe else 'goes on and is talked through'}")
    for key, value in given.hidden.items():
        print(f"  hidden: {key} stands at {value}")
    for lapse in given.lapses:
        print(f"  a colleague goes wrong ({lapse.kind}): {lapse.role}, {lapse.step}")
    for other in given.movements:
        print(f"  another movement wants the road after “{other.step}”: {other.name}")
