"""``methods``: list, show and check the methods of testing the brake."""

from __future__ import annotations

from pathlib import Path

from headstock.base.errors import ContentError, Fault, InputError
from headstock.brake_test.forecast_reading import is_forecast
from headstock.cli.reply import YES, print_json
from headstock.local_rules.method_stage import Stage
from headstock.local_rules.test_method import BrakeTestMethod, built_in_methods, load_test_method, method_path
from headstock.usecases.answers_as_data.methods import method_as_json


def run_list(as_json: bool) -> int:
    """All built-in methods, two lines each."""
    methods = {name: load_test_method(path) for name, path in built_in_methods().items()}
    if as_json:
        print_json([method_as_json(name, method) for name, method in methods.items()])
        return YES
    for name, method in methods.items():
        print(f"{name}: {method.name}, edition {method.edition}{'' if method.for_use else ' (example, not for use)'}")
        print(f"    answers: {method.tests}; for {', '.join(method.for_stock)}; reads {len(method.readings)}; {_uses(method)}")
    return YES


def _uses(method: BrakeTestMethod) -> str:
    """Which commands can use it."""
    can = {"plan": method.not_planned_because is None, "forecast": is_forecast(method), "judge": True}
    return ", ".join(word for word, is_so in can.items() if is_so)


def run_show(name: str, as_json: bool) -> int:
    """One method, stage by stage, with its sources."""
    method = load_test_method(method_path(name, Path()))
    if as_json:
        print_json(method_as_json(name, method) | {"data": method.model_dump(mode="json")})
        return YES
    print(f"{method.name}, edition {method.edition}{'' if method.for_use else ' (example, not for use)'}")
    print(f"  answers: {method.tests}; for {', '.join(method.for_stock)}, {' or '.join(method.for_release)} release")
    for words, said in (("shows", method.shows), ("cannot show", method.cannot_show)):
        for line in said:
            print(f"  {words}: {line}")
    for number, stage in enumerate(method.stages, start=1):
        print(f"  {number}. {_stage(stage)}")
    for limit, entry in method.limits:
        if entry is not None:
            print(f"  limit {_in_words(limit)}: {entry.value:g} [{entry.source}]")
    print("  Limits and times without a figure here are those of the local rules.")
    for touch in method.exempt_touches:
        print(f"  exempt once: {touch.name} ({touch.device}, {touch.stage})")
    for key, source in method.sources.items():
        print(f"  source {key}: {source.text}, edition {source.edition} ({source.status})")
    return YES


UNITS = {"_bar_per_min": "bar a minute", "_l_per_min": "l a minute", "_bar": "bar", "_kmh": "km/h", "_s": "s"}


def _in_words(field: str) -> str:
    """A limit or a time by the name that it has in files: ``charge_at_least_s`` as "charge at least, in s"."""
    tail = next((tail for tail in UNITS if field.endswith(tail)), "")
    return field.removesuffix(tail).replace("_", " ") + (f", in {UNITS[tail]}" if tail else "")


def _stage(stage: Stage) -> str:
    parts = [f"{stage.key}, {stage.at}: {stage.says}"]
    if stage.waits is not None:
        parts.append(f"for {_in_words(stage.waits)}")
    if stage.until is not None:
        parts.append(f"until {stage.until}")
    if stage.reading is not None:
        limits = " and ".join(map(_in_words, stage.reading.limits)) or "seen or heard"
        shows = f", shows {stage.reading.shows}" if stage.reading.shows else ""
        parts.append(f"reads {stage.reading.reads}: {limits}{shows}")
    if stage.said is not None:
        parts.append(f"said: {stage.said}")
    return "; ".join(parts) + f" [{stage.source}]"


def run_check(files: list[Path], as_json: bool) -> int:
    """Every fault of every file at once; exit status 0 when there is none."""
    faults: list[Fault] = []
    good: list[tuple[Path, BrakeTestMethod]] = []
    for path in files:
        try:
            good.append((path, load_test_method(path)))
        except InputError as error:
            faults += error.faults
    if faults:
        raise ContentError(faults)
    if as_json:
        print_json([method_as_json(path.stem, method) for path, method in good])
        return YES
    for path, method in good:
        because = method.not_planned_because
        said = "can be worked into an order of work" if because is None else f"not worked into an order of work: {because}"
        print(f"{path}: {method.name}: no fault found; {said}")
    return YES
