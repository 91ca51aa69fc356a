"""Jobs with couplers whose order of work is not planned: an answer with its reasons for every two types, never a traceback."""

from __future__ import annotations

from itertools import product
from pathlib import Path

import pytest

from headstock.equipment.library import load_fleet
from headstock.usecases.assemble import assemble
from headstock.usecases.job_file import load_job
from tests.cases.jobs import DEMO

FLEET = load_fleet()
KNUCKLES = {("tarn", "tarn"), ("tarn", "fell"), ("fell", "tarn"), ("fell", "fell")}


def job_of(first: str, second: str, folder: Path) -> Path:
    """The demonstration job with units of two other types, everything standing as left."""
    text = DEMO.read_text(encoding="utf-8").replace('"217", type: tarn', f'"217", type: {first}')
    text = text.replace('"226", type: tarn', f'"226", type: {second}').split("as_left:")[0]
    path = folder / "job.yaml"
    path.write_text(text.replace("driven_from: 217/2", "driven_from: 217/1"), encoding="utf-8")
    return path


@pytest.mark.parametrize(("first", "second"), list(product(FLEET.types, repeat=2)))
def test_every_two_types_are_answered(first: str, second: str, tmp_path: Path) -> None:
    made = assemble(load_job(job_of(first, second, tmp_path)), FLEET)
    if (first, second) in KNUCKLES:
        assert made.outside == ()
    else:
        assert made.outside or made.refusals
        assert made.task is None


def test_a_rigid_knuckle_with_a_drop_head_is_not_planned_as_two_drop_heads(tmp_path: Path) -> None:
    made = assemble(load_job(job_of("fell", "crag", tmp_path)), FLEET)
    assert made.join.answer == "yes"
    assert "(drop-head knuckle with rigid knuckle) is not part of this edition" in made.outside[0]
