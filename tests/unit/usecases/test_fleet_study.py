"""A fleet study: what is refused, what a number means, how margins and sets of limits come out."""

from __future__ import annotations

from collections.abc import Sequence
from math import isnan
from pathlib import Path

import numpy as np
import pytest

from headstock.base.errors import InputError
from headstock.brake_test import signature_set
from headstock.physics.air_run import AirRun, AirTrace
from headstock.usecases import fleet_study
from headstock.usecases.study_file import load_study, study_path
from tests.cases.studies import SMALL, study_of, written


def still(runs: Sequence[AirRun]) -> list[AirTrace]:
    """Gauges that stand at 5 bar throughout, in place of air."""
    found = []
    for run in runs:
        t_s = np.arange(0.0, run.until_s + 1e-9, run.sample_s)
        found.append(AirTrace(t_s, np.full((len(t_s), len(run.probes)), 601_325.0), 0.0))
    return found


def test_every_unknown_name_is_listed_with_its_line_and_the_nearest(tmp_path: Path) -> None:
    text = SMALL.replace("[demo-attach]", "[demo-atach]").replace("front-both-ways]", "front-both-way]")
    with pytest.raises(InputError) as caught:
        load_study(written(tmp_path, text.replace("cock shut,", "cock shutt,")))
    assert [(fault.line, fault.path, fault.nearest) for fault in caught.value.faults] == [
        (5, "jobs[0]", "demo-attach"), (6, "methods[1]", "front-both-ways"), (7, "faults[0]", "cock shut"),
    ]  # fmt: skip
    with pytest.raises(InputError) as caught:
        load_study(written(tmp_path, SMALL.replace("no rise: 9", "no risen: 9")))
    assert [(fault.line, fault.found, fault.nearest) for fault in caught.value.faults] == [(15, "no risen", "no rise")]


@pytest.mark.parametrize(("before", "after", "says"), [
    ("[demo-attach]", "[demo-attach, demo-attach]", "same name twice"), ("name: summer", "name: winter", "same name twice"),
    ("low_c: 15", "low_c: 36", "wrong way round"), ("{pipe leaks: [", "{cock shut: [0.1], pipe leaks: [", "no severities"),
    ("[0.0001, 3.2]", "[0.0, 3.2]", "more than 0"), ("draws: 20", "draws: 20\nworkers: 2", "workers"),
])  # fmt: skip
def test_what_cannot_be_meant_is_refused(tmp_path: Path, before: str, after: str, says: str) -> None:
    assert before in SMALL
    with pytest.raises(InputError, match=says):
        load_study(written(tmp_path, SMALL.replace(before, after, 1)))


def test_a_method_that_no_fault_of_the_list_belongs_to_is_refused_at_its_line(tmp_path: Path) -> None:
    with pytest.raises(InputError) as caught:
        study_of(tmp_path, SMALL.replace("front-both-ways]", "front-both-ways, electric-apply-hold-release]"))
    assert caught.value.faults[0].path == "methods[2]" and caught.value.faults[0].line == 6


def test_a_study_above_its_own_budget_is_refused_with_its_size(tmp_path: Path) -> None:
    count = study_of(tmp_path).count
    with pytest.raises(InputError, match=f"{count:,} drawn tests"):
        study_of(tmp_path, SMALL.replace("most_scenarios: 5000", f"most_scenarios: {count - 1}"))
    assert study_of(tmp_path, SMALL.replace("most_scenarios: 5000", f"most_scenarios: {count}")).count == count


def test_every_number_once_and_the_same_from_whichever_part(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(signature_set, "BLOCK", 64)
    study = study_of(tmp_path, SMALL.replace("draws: 20", "draws: 4\npairs: 1"))
    rows = [row for part in range(study.parts) for row in study.rows(part, still)]
    assert [row.number for row in rows] == list(range(study.count))
    assert {len(row.signature.faults) for row in rows} == {0, 1, 2}
    assert {row.weight is None for row in rows if len(row.signature.faults) == 2} == {True}
    assert study.rows(3, still) == study.rows(3, still)
    settings = [(one.job, one.method, one.weather) for one in study.settings]
    assert len(set(settings)) == 4 and all(study.setting_of(part) in study.settings for part in range(study.parts))


def test_a_larger_study_has_larger_parts_with_the_same_tests_in_them(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(signature_set, "BLOCK", 64)
    plain = study_of(tmp_path, SMALL.replace("draws: 20", "draws: 4\npairs: 1"))
    rows = [row for part in range(plain.parts) for row in plain.rows(part, still)]
    monkeypatch.setattr(fleet_study, "MOST_PARTS", 10)
    larger = study_of(tmp_path, SMALL.replace("draws: 20", "draws: 4\npairs: 1"))
    settings = len(larger.settings)
    assert plain.parts > 10 + settings and 10 - settings <= larger.parts < 10 + settings
    assert [row for part in range(larger.parts) for row in larger.rows(part, still)] == rows
    assert {larger.folder_of(part) for part in range(larger.parts)} == {plain.folder_of(part) for part in range(plain.parts)}


def test_margins_are_limit_less_reading_and_moved_limits_move_them(tmp_path: Path) -> None:
    study = study_of(tmp_path)
    places = study.settings[0].asked.places
    for row in study.rows(0, still):
        assert row.fails == (any(margin < 0 for margin in row.margins if not isnan(margin)), False)
        for place, reading, margin in zip(places, row.signature.readings, row.margins, strict=True):
            if place.applies:
                sign = -1.0 if place.limit.endswith("at_most_bar") else 1.0
                assert margin == pytest.approx(sign * (reading - place.limit_bar), abs=0.3)  # but for a gauge of its class
    assert any(row.fails[0] for row in study.rows(0, still))


def test_limits_and_ranges_are_in_the_key_and_the_budget_is_not(tmp_path: Path) -> None:
    plain = study_of(tmp_path).key
    others = [SMALL.replace("no rise: 9", "no rise: 8"), SMALL.replace("high_c: 0", "high_c: 1"),
              SMALL.replace("draws: 20", "draws: 21"), SMALL.replace("draws: 20", "draws: 20\nseed: 2")]  # fmt: skip
    keys = [study_of(tmp_path, text).key for text in others]
    assert len({plain, *keys}) == 5
    assert study_of(tmp_path, SMALL.replace("most_scenarios: 5000", "most_scenarios: 6000")).key == plain


def test_a_study_that_comes_along_is_found_by_name() -> None:
    assert load_study(study_path("demo-fleet")).study.invented
    with pytest.raises(InputError, match="nearest demo-fleet"):
        study_path("demo-flet")
