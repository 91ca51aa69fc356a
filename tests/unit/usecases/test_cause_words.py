"""Causes, degrees and readings in the words and the unit that people use."""

from __future__ import annotations

from pathlib import Path

import pytest

from headstock.base.errors import InputError
from headstock.brake_test.causes import Cause
from headstock.brake_test.stage_readings import ReadingPlace
from headstock.cli.commands import blind_spots as command
from headstock.compute.kept_runs import KeptRuns
from headstock.equipment.library import load_fleet
from headstock.local_rules.drawn_tests import FAULT_KINDS, SEVERITY_OF
from headstock.local_rules.rules import BUILT_IN as RULES
from headstock.usecases.cause_words import DEGREES, WORDS, cause_in_words, degree_in_words, place_in_words, read_in_words
from headstock.usecases.test_signatures import signatures_of_job
from tests.cases.drawn_trains import task_of
from tests.cases.jobs import DEMO
from tests.cases.stored_readings import signatures_of

CHARGED = ReadingPlace("rear charged", "Charged, rear", "rear", "charged_at_least_bar", 4.688435, False)
LEAK = ReadingPlace("tight", "Leak, front", "front", "leak_at_most_bar_per_min", 0.344738, False)
COUNTED = ReadingPlace("counted", "Applied, counted", "rear", "applied_share_at_least", 1.0, True)


def test_every_kind_has_words_and_every_kind_with_degrees_has_a_figure() -> None:
    assert set(WORDS) == set(FAULT_KINDS) and set(DEGREES) == set(SEVERITY_OF)


def test_no_two_faults_of_a_train_have_the_same_words() -> None:
    causes = {one.cause.without_degree for one in task_of(12, "full-count").singles}
    words = {cause_in_words(cause) for cause in causes}
    assert len(words) == len(causes)
    assert "brake pipe cock of 217/2 shut" in words and "compressor of 226 dead" in words
    assert "hand brake of 2172 on" in words and "brake valve of 229/1 feeds" in words
    assert not any("_" in word or "." in word for word in words)


def test_pressures_are_said_in_the_unit_of_the_rules() -> None:
    """68 and 5 psi of the second rules; 0.8 bar are 11.6 psi (1 psi = 6894.757 Pa)."""
    assert place_in_words(CHARGED, "psi") == "Charged, rear: 68.0 psi or more"
    assert place_in_words(LEAK, "psi") == "Leak, front: 5.0 psi a minute or less"
    assert place_in_words(COUNTED, "psi") == "Applied, counted: share 1 or more"
    assert read_in_words(CHARGED, 4.5, "psi") == "Charged, rear: 65.3 psi (68.0 psi or more)"
    assert read_in_words(COUNTED, 7 / 8, "bar") == "Applied, counted: 0.88 (share 1 or more)"
    assert degree_in_words("pipe leaks", 0.8, "psi") == "11.6 psi a minute"
    assert degree_in_words("pipe leaks", 0.8, "bar") == "0.8 bar a minute"
    assert degree_in_words("gauge off", -0.3, "psi") == "-4.35 psi"
    assert degree_in_words("cylinder leaks", 4.0, "psi") == "4 mm²"
    assert cause_in_words(Cause("pipe blocked", "217/2 and 226/1", 0.1)) == "brake pipe blocked between 217/2 and 226/1"


def test_blind_spots_by_rules_in_psi_are_in_psi_throughout(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    text = DEMO.read_text(encoding="utf-8").replace("local_rules: wending-vale", "local_rules: lanthorn-reach")
    (tmp_path / "job.yaml").write_text(text, encoding="utf-8")
    stored = signatures_of(8, "rear-application").readings
    monkeypatch.setattr(command, "signature_blocks", lambda: lambda task: (stored,))
    assert command.run_blind_spots(tmp_path / "job.yaml", None, None, None, 12, False, None) == 1
    said = capsys.readouterr().out
    assert "68.0 psi or more" in said and "A limit moved, in psi" in said and " bar" not in said.replace("bar of", "")
    assert (RULES / "lanthorn-reach.yaml").is_file()


def test_a_job_without_an_order_of_work_has_no_test(tmp_path: Path) -> None:
    (tmp_path / "job.yaml").write_text(DEMO.read_text(encoding="utf-8").replace("type: tarn", "type: beck"), encoding="utf-8")
    with pytest.raises(InputError):
        signatures_of_job(tmp_path / "job.yaml", load_fleet(), KeptRuns(), lambda task: ())
