"""The report of a study of drawn tests: blind spots by fault, limits moved, formations, weather."""

from __future__ import annotations

from collections import Counter
from itertools import groupby
from typing import Any

from headstock.brake_test.blind_spots import NEARLY_ALWAYS
from headstock.local_rules.limit_figures import PressureUnit
from headstock.usecases.blind_spots_of_job import STEPS
from headstock.usecases.cause_words import DEGREES, degree_in_words
from headstock.usecases.study_drawings import Bar, BarRow, Bars, Curve, Curves
from headstock.usecases.study_questions import WHAT_DRAWN_TESTS_ARE, StudyAnswer, name_in_words
from headstock.usecases.study_report_parts import Ask, ReportParts, ReportSection, drawings_of, rows_of, share_text, table_of

Pairs = tuple[tuple[str, str], ...]
Row = dict[str, Any]
UNIT: PressureUnit = "bar"
MINUS = "\u2212"
WORST = 20
"""So many formations are drawn."""
SHARES = ("Missed: share of faults that pass, weighted by how often the drawn tests take each to be. Healthy failed: share of "
          "healthy trains that fail.")  # fmt: skip
ALWAYS_OUT = (
    "What people do: a reading taken wrongly but for the gauge, a test led otherwise than its method says, a rule not followed.",
    "Faults, trains, methods and weather that the study does not name; how often faults really occur.",
    "Age, wear and repair of real equipment, and readings between the stages of a test.",
)


def drawn_tests_parts(ask: Ask) -> ReportParts:
    """What such a study has to say. Raises InputError as its questions do."""
    faults, curve, worst, season = (ask(name) for name in ("by-fault", "limit-curve", "worst-formations", "season"))
    sections = (_blind(faults), _curve(curve), _worst(worst), _season(season))
    return ReportParts(sections, _counts(faults), _versions(faults), _not_covered(faults.study), (WHAT_DRAWN_TESTS_ARE,), faults)


def fault_name(row: Row) -> str:
    """A fault with its degree."""
    kind = row["fault"]
    return f"{kind}, {degree_in_words(kind, row['severity'], UNIT)}".replace("-", MINUS) if kind in DEGREES else str(kind)


def _blind(answer: StudyAnswer) -> ReportSection:
    rows = rows_of(answer)
    methods = sorted({row["method"] for row in rows})
    found = {(fault_name(row), row["method"]): row for row in rows}
    kinds = {kind: max(row["missed"] for row in rows if row["fault"] == kind) for kind in {row["fault"] for row in rows}}
    ordered = sorted(rows, key=lambda row: (-kinds[row["fault"]], row["fault"], abs(row["severity"]), row["severity"]))
    names = list(dict.fromkeys(fault_name(row) for row in ordered))
    bars = [BarRow(name, tuple(_missed(found.get((name, method))) for method in methods)) for name in names]
    says = tuple(_seen_words(method, [row for row in rows if row["method"] == method]) for method in methods)
    key = ("A long bar is a blind spot: share of drawn tests with the fault that pass. The thin line goes from the train and "
           "place where it is least to where it is most.")  # fmt: skip
    table = table_of(
        ("fault", *(f"{method}: seen" for method in methods)),
        [(name, *(_answer(found.get((name, method))) for method in methods)) for name in names],
    )
    note = (f"never: at no place more often than healthy trains fail; seen: at every place in {NEARLY_ALWAYS:.0%} of tests or "
            "more; in part: between these.")  # fmt: skip
    drawn = Bars(tuple(methods), tuple(bars), key, " ".join(says))
    return ReportSection("blind-spots", "Blind spots by class of fault", says, drawings_of(drawn), table, note)


def _missed(row: Row | None) -> Bar | None:
    if row is None:
        return None
    return Bar(row["missed"], share_text(row["missed"]), row["least_missed"], row["most_missed"])


def _answer(row: Row | None) -> str:
    return "not tested" if row is None else f"{row['answer']} ({row['tests']:,} tests)"


def _seen_words(method: str, rows: list[Row]) -> str:
    count = Counter(row["answer"] for row in rows)
    return (f"{method}: of {len(rows)} faults by degree {count['never']} are never seen, {count['in part']} in part, "
            f"{count['seen']} at every place.")  # fmt: skip


def _curve(answer: StudyAnswer) -> ReportSection:
    curves = [
        Curve(method, stage, tuple((row["moved_bar"], row["false_alarms"] or 0.0, row["missed"] or 0.0) for row in rows))
        for (method, stage), rows in (
            (key, list(own)) for key, own in groupby(rows_of(answer), key=lambda row: (row["method"], row["stage"]))
        )
    ]
    still = [f"{one.name} ({one.group})" for one in curves if not one.moves]
    says = [_best_words(method, [one for one in curves if one.group == method]) for method in sorted({c.group for c in curves})]
    if still:
        says.append(f"Moved within {max(STEPS):g} bar either way these change nothing: {', '.join(still)}.")
    rows = [(one.group, one.name, *(f"{share_text(missed)} / {share_text(failed)}" for _, failed, missed in _few(one)))
            for one in curves if one.moves]  # fmt: skip
    moved = [_signed(moved) if moved else "as ruled" for moved, _, _ in _few(curves[0])] if curves else []
    key = ("One limit moved, the others as ruled. A ring: as ruled. Dots: moved by "
           f"{', '.join(f'{step:g}' for step in STEPS if step > 0)} bar either way (a leak: bar a minute); figures: how far at "
           "the ends.")  # fmt: skip
    drawn = Curves(tuple(curves), "healthy trains failed", "faults missed", key, " ".join(says))
    table = table_of(("method", "limit of stage", *moved), rows)
    return ReportSection("limit-curve", "What moving one limit trades", tuple(says), drawings_of(drawn), table,
                         f"Missed / healthy failed. {SHARES}")  # fmt: skip


def _few(curve: Curve) -> tuple[tuple[float, float, float], ...]:
    """Every second step, so that a table has room."""
    return curve.points[::2]


def _best_words(method: str, curves: list[Curve]) -> str:
    """What can be had without failing more healthy trains than now."""
    still = next(point for point in curves[0].points if point[0] == 0)
    same = [(point[2], point[0], one.name) for one in curves for point in one.points if point[1] <= still[1]]
    missed, moved, name = min(same)
    now = f"{method}: as ruled {share_text(still[2])} of faults are missed and {share_text(still[1])} of healthy trains fail"
    if missed >= still[2]:
        return f"{now}; no single limit moved misses fewer without failing more."
    return f"{now}; {name} moved by {_signed(moved)} misses {share_text(missed)} without failing more of those drawn."


def _signed(moved_bar: float) -> str:
    return f"{moved_bar:+g} bar".replace("-", MINUS)


def _worst(answer: StudyAnswer) -> ReportSection:
    rows = rows_of(answer)
    drawn = [BarRow(f"{row['job']}, {row['method']}", (_share(row["missed"]), _share(row["false_alarms"]))) for row in rows]
    first, last = rows[0], rows[-1]
    says = [f"Most is missed of {first['job']} by {first['method']}: {share_text(first['missed'])}; least of {last['job']} by "
            f"{last['method']}: {share_text(last['missed'])}."]  # fmt: skip
    if len(rows) > WORST:
        says.append(f"Drawn are the worst {WORST} of {len(rows)}.")
    table = table_of(("train", "method", "drawn tests", "missed", "healthy failed"), [
        (row["job"], row["method"], f"{row['tests']:,}", share_text(row["missed"]), share_text(row["false_alarms"]))
        for row in rows
    ])  # fmt: skip
    bars = Bars(("faults missed", "healthy trains failed"), tuple(drawn[:WORST]), "Worst first. A long bar is bad.", says[0])
    return ReportSection("worst-formations", "Worst formations", tuple(says), drawings_of(bars), table, SHARES)


def _share(share: float | None) -> Bar | None:
    return None if share is None else Bar(share, share_text(share))


def _season(answer: StudyAnswer) -> ReportSection:
    rows = [{**row, "weather": name_in_words(row["weather"])} for row in rows_of(answer)]
    weathers = sorted({row["weather"] for row in rows})
    drawn = [BarRow(row["weather"], (_share(row["missed"]), _share(row["false_alarms"])), row["method"]) for row in rows]
    says = ["The study has one sort of weather: it says nothing of the season."]
    if len(weathers) > 1:
        says = [_season_words(method, list(own)) for method, own in groupby(rows, key=lambda row: row["method"])]
    table = table_of(("method", "weather", "drawn tests", "missed", "healthy failed"), [
        (row["method"], row["weather"], f"{row['tests']:,}", share_text(row["missed"]), share_text(row["false_alarms"]))
        for row in rows
    ])  # fmt: skip
    bars = Bars(("faults missed", "healthy trains failed"), tuple(drawn), "By method and weather. A long bar is bad.",
                " ".join(says))  # fmt: skip
    return ReportSection("season", "Effect of the season", tuple(says), drawings_of(bars), table, SHARES)


def _season_words(method: str, rows: list[Row]) -> str:
    by_missed = sorted(rows, key=lambda row: (row["missed"], row["weather"]))
    least, most = by_missed[0], by_missed[-1]
    between = most["missed"] - least["missed"]
    alarms = [row["false_alarms"] for row in rows if row["false_alarms"] is not None]
    failed = f"; {_between(min(alarms), max(alarms))} of healthy trains fail" if alarms else ""
    if between == 0:
        return f"{method}: as much is missed in every weather{failed}."
    points = "less than 0.1" if between < 0.001 else f"{between * 100:.1f}"
    return f"{method}: most is missed in {most['weather']}, least in {least['weather']}, {points} in 100 between them{failed}."


def _between(least: float, most: float) -> str:
    return share_text(most) if least == most else f"{share_text(least)} to {share_text(most)}"


def _counts(answer: StudyAnswer) -> Pairs:
    said = answer.study
    settings, limits = said["settings"], said["study"]["limits"]
    vehicles = [len(one["vehicles"]) for one in settings]
    return (
        ("drawn tests", f"{said['scenarios']:,}"), ("parts worked out", f"{answer.parts} of {said['parts']}"),
        ("trains", f"{len({one['job'] for one in settings})}, of {_from_to(vehicles)} vehicles"),
        ("methods", ", ".join(dict.fromkeys(one["method"] for one in settings))),
        ("weather", ", ".join(_weather_words(said["study"]["weather"])) or "as the drawn tests say"),
        ("drawn tests of each fault, degree and place", str(said["study"]["draws"])),
        ("of every two faults at once", str(said["study"]["pairs"])),
        ("limits", _limits_words(answer.limits, [one["name"] for one in limits])),
    )  # fmt: skip


def _limits_words(chosen: str, names: list[str]) -> str:
    of = f" (of {', '.join(map(name_in_words, names))})" if len(names) > 1 else ""
    return f"{name_in_words(chosen)}{of}"


def _weather_words(weathers: list[Row]) -> list[str]:
    return [f"{name_in_words(one['name'])} {one['low_c']:g} to {one['high_c']:g} °C" for one in weathers]


def _versions(answer: StudyAnswer) -> Pairs:
    said = answer.study
    settings = said["settings"]
    rules = dict.fromkeys(f"{one['local_rules']}, edition {one['local_rules_edition']}" for one in settings)
    methods = dict.fromkeys(f"{one['method']}, edition {one['method_edition']}" for one in settings)
    drawn = dict.fromkeys(
        f"{one['drawn']}, edition {one['drawn_edition']}{' (invented)' if one['drawn_invented'] else ''}" for one in settings
    )
    return (("study", f"{said['name']}, edition {said['edition']}"), ("Headstock", said["headstock"]),
            ("study and code", said["key"]), ("local rules", "; ".join(rules)), ("methods", "; ".join(methods)),
            ("drawn from", "; ".join(drawn)))  # fmt: skip


def _not_covered(said: dict[str, Any]) -> tuple[str, ...]:
    healthy = _healthy_tests(said)
    found = [*ALWAYS_OUT]
    if said["study"]["pairs"] == 0:
        found.append("Two faults at once.")
    if said["study"]["faults"]:
        found.append(f"Faults other than: {', '.join(said['study']['faults'])}.")
    if any(one["drawn_invented"] for one in said["settings"]):
        found.append(
            "How often faults occur: the list is invented, and so are shares weighted by it; read the order, not the figure."
        )
    found.append(
        f"Rare false alarms: {healthy} healthy tests of each train by each method, so one of them counts {1 / healthy:.1%}."
    )
    return tuple(found)


def _healthy_tests(said: dict[str, Any]) -> int:
    """Healthy drawn tests of a train by a method: in each weather as many as there are draws."""
    return int(said["study"]["draws"]) * max(1, len(said["study"]["weather"]))


def _from_to(counts: list[int]) -> str:
    return str(min(counts)) if min(counts) == max(counts) else f"{min(counts)} to {max(counts)}"
