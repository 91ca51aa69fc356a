"""Jobs with couplers of every two types: a task, or an answer with its reasons, never a traceback."""

from __future__ import annotations

from itertools import product
from pathlib import Path

import pytest

from headstock.equipment.library import load_fleet
from headstock.procedures.coupling import dressed_facts
from headstock.usecases.assemble import assemble
from headstock.usecases.job_file import load_job
from tests.cases.jobs import DEMO

FLEET = load_fleet()
KNUCKLES = {("tarn", "tarn"), ("tarn", "fell"), ("fell", "tarn"), ("fell", "fell"), ("crag", "fell")}
HOOKS = {("moss", "moss"), ("moss", "wold"), ("moss", "tarn"), ("moss", "fell"), ("tarn", "moss"), ("fell", "moss"),
         ("tarn", "wold"), ("fell", "wold")}  # fmt: skip
"""By a screw, over hooks and bare drawhooks. Which couplers can meet by which end is common practice, no source."""


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
    if (first, second) in KNUCKLES | HOOKS:
        assert made.task is not None and made.task.making == ("direct" if (first, second) in KNUCKLES else "screw")
    else:
        assert made.outside or made.refusals
        assert made.task is None


def test_automatic_couplers_that_join_the_pipes_are_refused_where_nobody_can_ask_the_air(tmp_path: Path) -> None:
    made = assemble(load_job(job_of("gale", "gale", tmp_path)), FLEET)
    assert "the air does not say that the moving portion's full application stays on" in made.refusals[0]


def test_a_rigid_knuckle_with_a_drop_head_asks_of_each_what_is_its_own(tmp_path: Path) -> None:
    task = assemble(load_job(job_of("crag", "fell", tmp_path)), FLEET).task
    assert task is not None
    dressed = {key for key, _ in dressed_facts(task)}
    assert {"226/1.coupler.head", "226/1.coupler.pin", "226/1.coupler.keeper", "226/1.buffers"} <= dressed
    assert not any(key.startswith("217/2.coupler") for key in dressed)


def test_a_way_that_is_asked_for_is_taken_and_one_that_is_none_refused_with_its_reason(tmp_path: Path) -> None:
    for way, first, second in (("screw", "tarn", "fell"), ("screw", "gale", "gale"), ("direct", "moss", "moss")):
        path = job_of(first, second, tmp_path)
        path.write_text(path.read_text(encoding="utf-8") + f"way: {way}\n", encoding="utf-8")
        made = assemble(load_job(path), FLEET)
        if first == "tarn":
            assert made.task is not None and made.task.screw is not None and made.task.screw.stowage
        else:
            assert made.task is None and any(reason.startswith(f"{way}: ") for reason in made.refusals)
