"""Every catalogue job by rules in feet, psi and miles an hour: no metre, bar or kilometre an hour in anything people read."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from pathlib import Path

import pytest

from headstock.compute.kept_runs import KeptRuns
from headstock.equipment.library import load_fleet
from headstock.local_rules.rules import BUILT_IN, load_local_rules
from headstock.local_rules.spoken import pressure_at_least, pressure_left, speed_at_most
from headstock.reasoning.step import Step
from headstock.sheets.card_content import cards_of
from headstock.sheets.compose import sheet_of
from headstock.usecases.job_file import JOBS_FOLDER, PLACES_FOLDER
from headstock.usecases.plan_job import JobPlan, plan_job
from headstock.usecases.stop_job import stop_job
from tests.cases.catalogue import JOBS, CatalogueJob

METRIC = re.compile(r"\d ?(?:m|mm|cm|km|km/h|kmh|bar|mbar|kPa|metres?)\b(?! of the| a )", re.IGNORECASE)
"""A figure with a metric length, speed or pressure. Forces [kN] and masses [t] have no other unit in local rules."""
FEET = (BUILT_IN / "lanthorn-reach.yaml").read_text(encoding="utf-8")
ALONE = ("driver_alone: {value: []", "driver_alone: {value: [automatic coupler]")
TRIES = """couple_tries:
  from_one_cab: {value: 2, source: demo}
  from_the_other_cab: {value: 1, source: demo}
  of_the_release: {value: 2, source: demo}
"""
OTHERS = tuple(CatalogueJob(name, True, 0.0, 0.0) for name in ("demo-rescue", "part-made-attach", "failed-release"))


def plan_in_feet(job: CatalogueJob, folder: Path) -> JobPlan:
    text = job.path(folder).read_text(encoding="utf-8")
    return plan_text(text, folder, job.by_air, "type: gale" in text)


def plan_text(text: str, folder: Path, by_air: bool, alone: bool) -> JobPlan:
    assert "couple_tries" not in FEET and ALONE[0] in FEET and "local_rules: wending-vale" in text
    rules = FEET + TRIES if not alone else FEET.replace(*ALONE) + TRIES
    (folder / "rules.yaml").write_text(rules, encoding="utf-8")
    path = folder / "in-feet.yaml"
    path.write_text(text.replace("local_rules: wending-vale", "local_rules: rules.yaml"), encoding="utf-8")
    return plan_job(path, load_fleet(), KeptRuns() if by_air else None)


def words_of(step: Step) -> Iterator[str]:
    yield from (step.key, step.brief, step.caution, *(one.words for one in step.said))


def texts_in(value: object) -> Iterator[str]:
    """Every text in a value, however deep."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, (list, tuple)):
        for part in value:
            yield from texts_in(part)
    elif is_dataclass(value):
        for field in fields(value):
            if field.name not in ("marks", "sources"):
                yield from texts_in(getattr(value, field.name))


def metric_in(texts: Iterator[str]) -> list[str]:
    return sorted({text for text in texts if METRIC.search(text)})


@pytest.mark.parametrize("job", (*JOBS, *OTHERS), ids=lambda job: f"{job.name}-{'air' if job.by_air else 'brakes'}")
def test_no_metric_unit_in_any_words(job: CatalogueJob, tmp_path: Path) -> None:
    plan = plan_in_feet(job, tmp_path)
    assert plan.answer == "yes" and plan.order is not None, plan.reasons
    said = [text for step in plan.order.steps for text in words_of(step)] + [why.words() for why in plan.because]
    assert metric_in(iter(said)) == []
    assert plan.domain is not None
    assert metric_in(text for step in plan.domain.steps for text in words_of(step)) == [], "those not taken too"
    assert metric_in(texts_in(sheet_of(plan))) == []
    assert metric_in(texts_in(cards_of(plan))) == []
    stopped = stop_job(plan, len(plan.order.steps) // 2)
    assert metric_in(iter([*stopped.notes, *(text for step in stopped.steps for text in words_of(step))])) == []


def test_waiting_for_air_and_a_road_too_short_are_said_in_psi_and_feet_too(tmp_path: Path) -> None:
    text = (JOBS_FOLDER / "failed-release.yaml").read_text(encoding="utf-8")
    assert "tries: 2" in text
    low = plan_text(
        text.replace("tries: 2", "tries: 1").replace("latch: frozen", "latch: free").rstrip() + "\n  main_reservoir_bar: 5.2\n",
        tmp_path,
        True,
        True,
    )
    assert low.order is not None and low.domain is not None, low.reasons
    said = [text for step in low.domain.steps for text in words_of(step)]
    assert any(text.startswith("wait until the main reservoir gauge reads 88 psi") for text in said)
    place = (PLACES_FOLDER / "harrow-ings-3.yaml").read_text(encoding="utf-8")
    (tmp_path / "short.yaml").write_text(place.replace("usable_length_m: 240", "usable_length_m: 150"), encoding="utf-8")
    text = (JOBS_FOLDER / "demo-attach.yaml").read_text(encoding="utf-8").replace("place: harrow-ings-3", "place: short.yaml")
    short = plan_text(text, tmp_path, False, False)
    assert [reason for reason in short.reasons if " ft" in reason] and metric_in(iter(short.reasons)) == []


def test_a_figure_in_metres_bar_or_kilometres_an_hour_is_found() -> None:
    assert metric_in(iter(["Couple at 3 km/h at most", "to 6.0 bar", "stop 3 m off", "2 psi", "10 ft", "1 min", "45 s"])) == [
        "Couple at 3 km/h at most", "stop 3 m off", "to 6.0 bar"]  # fmt: skip


@pytest.mark.outside(source="NIST SP 811, 2008", clause="B.8: 1 mile = 1609.344 m, 1 psi = 6894.757 Pa", status="from memory")
def test_what_must_not_be_passed_is_rounded_to_the_safe_side() -> None:
    assert speed_at_most(3, "mph") == "1.8 mph" and 3 / 1.609344 > 1.8
    assert speed_at_most(1.609344 * 2, "mph") == "2 mph" and speed_at_most(3, "km/h") == "3 km/h"
    assert pressure_at_least(6.0, "psi") == "88 psi" and 6e5 / 6894.757 > 87.0
    assert pressure_at_least(6.0, "bar") == "6 bar" and pressure_at_least(6.01, "bar", 1) == "6.1 bar"
    assert pressure_left(6.09, "bar") == "6 bar" and pressure_left(6.0, "psi") == "87 psi"


def test_speeds_go_with_lengths_where_the_rules_are_silent_about_them() -> None:
    feet = load_local_rules(BUILT_IN / "lanthorn-reach.yaml")
    silent = feet.model_copy(update={"speed_unit": None})
    assert silent.speed_words(8) == feet.speed_words(8) == "4.9 mph"
    assert feet.model_copy(update={"speed_unit": "km/h"}).speed_words(8) == "8 km/h"
