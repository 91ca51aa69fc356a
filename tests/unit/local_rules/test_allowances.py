"""The list of time allowances is what the orders of work ask for: none more, none less."""

from __future__ import annotations

from pathlib import Path

import pytest

from headstock.compute.kept_runs import KeptRuns
from headstock.equipment.library import load_fleet
from headstock.local_rules.allowances import ALLOWANCES
from headstock.local_rules.rules import BUILT_IN, LocalRules, load_local_rules
from headstock.local_rules.test_method import BUILT_IN as METHODS
from headstock.local_rules.test_method import load_test_method
from headstock.procedures.work import domain_of
from headstock.usecases.assemble import assemble
from headstock.usecases.job_file import load_job
from tests.cases.jobs import ALONE, DEMO, MADE, PART, SCREW, SECOND, STUCK
from tests.cases.rescues import MAIN, PORT, SAME, job_text


def test_orders_of_work_and_methods_ask_for_exactly_those_of_the_list(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    rules = (BUILT_IN / "wending-vale.yaml").read_text(encoding="utf-8")
    rules = rules.replace("key_kept_by: {value: driver", "key_kept_by: {value: person between")
    (tmp_path / "key.yaml").write_text(rules, encoding="utf-8")
    job = DEMO.read_text(encoding="utf-8").replace("local_rules: wending-vale", "local_rules: key.yaml")
    (tmp_path / "job.yaml").write_text(job, encoding="utf-8")
    alone = ALONE.read_text(encoding="utf-8")
    parted = (
        alone.replace("work: attach", "work: detach")
        .replace("make: true", "part: true")
        .replace("driven_from: 611/2", "driven_from: 611/1")
    )
    (tmp_path / "lock-back.yaml").write_text(parted, encoding="utf-8")
    loose = DEMO.read_text(encoding="utf-8").replace("work: attach", "work: attach\nway: screw")
    (tmp_path / "loose.yaml").write_text(loose, encoding="utf-8")
    low = STUCK.read_text(encoding="utf-8").replace("tries: 2\n  latch: frozen", "tries: 0\n  main_reservoir_bar: 4.5")
    (tmp_path / "low.yaml").write_text(low, encoding="utf-8")
    for name, rescued in (("rescue.yaml", MAIN), ("adapter.yaml", PORT), ("by-hand.yaml", SAME)):
        (tmp_path / name).write_text(job_text(rescued), encoding="utf-8")
    asked: set[str] = set()
    real = LocalRules.allowance_s
    monkeypatch.setattr(LocalRules, "allowance_s", lambda rules, name: asked.add(name) or real(rules, name))
    own = [tmp_path / f"{name}.yaml" for name in ("lock-back", "loose", "job", "low", "rescue", "adapter", "by-hand")]
    for path in (DEMO, SECOND, PART, SCREW, ALONE, MADE, STUCK, *own):
        task = assemble(load_job(path), load_fleet(), KeptRuns()).task
        assert task is not None
        domain_of(task)
    assert asked == set(ALLOWANCES)


def test_built_in_methods_name_allowances_of_the_list_and_built_in_rules_have_them_all() -> None:
    methods = [load_test_method(path) for path in METHODS.glob("*.yaml")]
    assert {stage.allowance for method in methods for stage in method.stages} <= set(ALLOWANCES)
    for path in BUILT_IN.glob("*.yaml"):
        assert set(load_local_rules(path).allowances_s.value) == set(ALLOWANCES)
