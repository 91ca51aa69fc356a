"""Studies of mistakes: jobs known by number and planned by whoever is asked, refused above their budget, unknown names listed."""

from __future__ import annotations

import pickle
import re
import subprocess
import sys
from pathlib import Path

import pytest

from headstock.base.errors import InputError
from headstock.equipment.library import load_fleet
from headstock.local_rules.rules import BUILT_IN as RULES_FOLDER
from headstock.usecases.fleet_mistakes import APART, MistakeRow
from headstock.usecases.job_mistakes import job_mistakes
from headstock.usecases.mistake_study_file import load_mistake_study, pairs_of
from headstock.usecases.study_of import study_of
from tests.cases.studies import MISTAKES, engine, mistakes_of, written

GALE = """headstock: job 1
title: Attach one to the other
invented: true
work: attach
units: [{name: A1, type: gale}, {name: B2, type: gale}]
joints: [{ends: [A1/2, B2/1], make: true}]
moving: {units: [A1], driven_from: A1/2}
controls_afterwards: A1/1
leaves_from: A1/1
crew: {driver: a, shunter: b, guard: c}
place: harrow-ings-3
local_rules: wending-vale
method: rear-application
"""
"""The job of the first part, written by hand."""


@pytest.fixture(scope="module")
def rows(tmp_path_factory: pytest.TempPathFactory) -> list[MistakeRow]:
    return mistakes_of(tmp_path_factory.mktemp("study")).rows(0, engine())


def test_a_part_says_what_the_mistakes_of_its_job_written_by_hand_say(rows: list[MistakeRow], tmp_path: Path) -> None:
    job = tmp_path / "job.yaml"
    job.write_text(GALE, encoding="utf-8")
    found = job_mistakes(job, load_fleet(), engine())
    kinds = ("left out", "half done", "wrong end")
    by_hand = [one for one in found.outcomes if one.mistake.kind in kinds]
    expected = sorted((one.mistake.line + 1, one.mistake.kind, one.verdict, tuple(sorted({b.key for b in one.broken})),
                       one.noticing.line if one.noticing else 0) for one in by_hand)  # fmt: skip
    said = sorted((row.line or 0, row.kind or "", row.verdict or "", row.broken, row.noticed_line or 0) for row in rows)
    assert said == expected and len(said) > 100
    assert {row.verdict for row in rows} == {"noticed", "harmless", "unseen", "latent"}


def test_rows_hang_together(rows: list[MistakeRow]) -> None:
    assert [row.number for row in rows] == list(range(len(rows)))
    for row in rows:
        assert (row.noticed_line is not None) == (row.verdict == "noticed")
        assert bool(row.left) == (row.verdict == "latent")
        assert bool(row.broken) == bool(row.hurts) == (row.broken_line is not None)
        assert row.verdict != "harmless" or not row.broken
        assert row.line is not None and row.first is not None and 1 <= row.first <= row.line <= row.lines
        assert row.noticed_line is None or row.first <= row.noticed_line <= row.lines + 1
        assert row.plausibility in (1, 2, 3)


def test_the_parking_brake_of_the_finished_train_not_taken_off_is_seen_by_nobody(rows: list[MistakeRow]) -> None:
    left_on = [row for row in rows if row.kind == "left out" and row.step.startswith("take off the parking brake of A1")]
    latent = [row for row in left_on if row.verdict == "latent"]
    assert latent and all("parking brake of A1 off" in row.left and row.noticed_line is None for row in latent)


def test_a_pair_that_cannot_be_joined_is_one_row_with_every_reason(tmp_path: Path) -> None:
    study = mistakes_of(tmp_path)
    (row,) = study.rows(1, engine())
    assert row.number == APART and row.answer == "no" and row.kind is None and len(row.reasons) > 1
    assert study.jobs[1].folder == Path("pair=beck-2_with_wold-1/local_rules=wending-vale")


def test_the_same_comes_from_a_copy_sent_elsewhere_and_the_key_from_another_process(
    rows: list[MistakeRow], tmp_path: Path
) -> None:
    study = mistakes_of(tmp_path)
    copy = pickle.loads(pickle.dumps(study))
    assert copy.rows(0, engine()) == rows and copy.key == study.key
    told = "from pathlib import Path; from tests.cases.studies import mistakes_of; import sys; "
    told += "print(mistakes_of(Path(sys.argv[1])).key)"
    other = subprocess.run([sys.executable, "-c", told, str(tmp_path)], capture_output=True, text=True, check=True,
                           env={"PYTHONPATH": ":".join(sys.path), "PYTHONHASHSEED": "7"})  # fmt: skip
    assert other.stdout.strip() == study.key


def test_the_key_holds_what_the_results_hang_on_and_not_the_budget(tmp_path: Path) -> None:
    plain = mistakes_of(tmp_path).key
    others = [MISTAKES.replace("[wending-vale]", "[lanthorn-reach]"), MISTAKES.replace(", wrong end", ""),
              MISTAKES.replace("gale/2, gale/1", "gale/1, gale/1"), MISTAKES + "crew: [driver, guard]\n"]  # fmt: skip
    assert len({plain, *(mistakes_of(tmp_path, text).key for text in others)}) == 5
    assert mistakes_of(tmp_path, MISTAKES.replace("most_jobs: 2", "most_jobs: 9")).key == plain


def test_the_key_is_another_where_local_rules_of_the_same_name_say_something_else(tmp_path: Path) -> None:
    text = (RULES_FOLDER / "wending-vale.yaml").read_text(encoding="utf-8")
    keys = set()
    for edition in ("8", "9"):
        changed = re.sub(r"^edition: .*", f'edition: "{edition}"', text, count=1, flags=re.MULTILINE)
        assert f'edition: "{edition}"' in changed
        (tmp_path / "own.yaml").write_text(changed, encoding="utf-8")
        keys.add(mistakes_of(tmp_path, MISTAKES.replace("[wending-vale]", "[own.yaml]")).key)
    assert len(keys) == 2


def test_a_study_above_its_budget_is_refused_with_its_size(tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"2 jobs \(2 pairs, 1 local rules\)") as caught:
        mistakes_of(tmp_path, MISTAKES.replace("most_jobs: 2", "most_jobs: 1"))
    assert caught.value.faults[0].line == 10 and mistakes_of(tmp_path).parts == 2


def test_all_unknown_names_at_once_each_with_its_line_and_the_nearest(tmp_path: Path) -> None:
    text = MISTAKES.replace("[wending-vale]", "[wending-vail]").replace("half done", "half don").replace("ings-3", "ings-4")
    text = text.replace("rear-application", "rear-aplication")
    with pytest.raises(InputError) as caught:
        load_mistake_study(written(tmp_path, text))
    said = {(fault.line, fault.nearest) for fault in caught.value.faults}
    assert said == {(6, "wending-vale"), (7, "harrow-ings-3"), (8, "rear-application"), (9, "half done")}
    with pytest.raises(InputError) as caught:
        mistakes_of(tmp_path, MISTAKES.replace("gale/2, gale/1", "gail/2, gael/1"))
    assert [(fault.line, fault.nearest) for fault in caught.value.faults] == [(5, "gale/2"), (5, "gale/1")]


@pytest.mark.parametrize(("before", "after", "says"), [
    ("[beck/2, wold/1]", "[gale/2, gale/1]", "the same twice"), ("[wending-vale]", "[wending-vale, wending-vale]", "same twice"),
    ("most_jobs: 2", "most_jobs: 2\ndraws: 4", "draws"), ("most_jobs: 2", "most_jobs: 0", "most_jobs"),
])  # fmt: skip
def test_what_cannot_be_meant_is_refused(tmp_path: Path, before: str, after: str, says: str) -> None:
    assert before in MISTAKES
    with pytest.raises(InputError, match=says):
        mistakes_of(tmp_path, MISTAKES.replace(before, after, 1))


def test_without_pairs_every_two_types_of_the_fleet_come_together(tmp_path: Path) -> None:
    fleet = load_fleet()
    text = MISTAKES.replace("pairs: [[gale/2, gale/1], [beck/2, wold/1]]\n", "").replace("most_jobs: 2", "most_jobs: 64")
    pairs = pairs_of(load_mistake_study(written(tmp_path, text)), fleet)
    assert len(set(pairs)) == len(fleet.types) ** 2 == mistakes_of(tmp_path, text).parts
    demo = study_of("demo-mistakes", fleet, engine())
    assert demo.kind == "mistakes" and demo.parts == 2 * len(fleet.types) ** 2 and demo.file.invented
