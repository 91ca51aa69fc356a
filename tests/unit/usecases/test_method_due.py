"""The job's method held against the test that is due: what it answers, what only besides it, what is not decided."""

from __future__ import annotations

from pathlib import Path

import pytest

from headstock.equipment.library import load_fleet
from headstock.local_rules.events import STRICTNESS
from headstock.local_rules.method_answers import answers
from headstock.local_rules.test_method import built_in_methods, load_test_method
from headstock.local_rules.triggers import BUILT_IN
from headstock.sheets.compose import sheet_of
from headstock.usecases.assemble import assemble
from headstock.usecases.job_file import load_job
from headstock.usecases.method_due import MethodDue, method_due
from headstock.usecases.plan_job import plan_job
from tests.cases.jobs import DEMO, PART, SECOND, planned

FLEET = load_fleet()
METHODS = {name: load_test_method(path) for name, path in built_in_methods().items()}
WENDING = (BUILT_IN / "wending-vale.yaml").read_text(encoding="utf-8")
RULES = Path(__file__).parents[3] / "src/headstock/local_rules/rules/wending-vale.yaml"


def due_of(job: Path) -> MethodDue:
    papers = load_job(job)
    return method_due(papers, assemble(papers, FLEET).task)


def changed(folder: Path, job: Path = DEMO, triggers: str = WENDING, method: str = "rear-application", left: str = "") -> Path:
    text = job.read_text(encoding="utf-8").replace("local_rules: wending-vale", "local_rules: rules.yaml")
    rules = RULES.read_text(encoding="utf-8")
    assert "triggers: wending-vale" in rules and "method: rear-application" in text
    (folder / "rules.yaml").write_text(rules.replace("triggers: wending-vale", "triggers: set.yaml"), encoding="utf-8")
    (folder / "set.yaml").write_text(triggers, encoding="utf-8")
    path = folder / "job.yaml"
    path.write_text(text.replace("method: rear-application", f"method: {method}") + left, encoding="utf-8")
    return path


@pytest.mark.outside(
    source="49 CFR 232.205, 232.209, 232.211", clause="Class I looks at every car's brake; Class III at the rear's alone",
    status="from memory",
)  # fmt: skip
def test_a_test_of_the_rear_does_not_stand_for_one_of_every_vehicle_but_the_other_way_round_it_does() -> None:
    rear, count = METHODS["rear-application"], METHODS["full-count"]
    assert answers(rear, "continuity") and answers(rear, "cab") and not answers(rear, "full")
    assert answers(count, "full") and answers(count, "continuity") and answers(count, "cab")


def test_wires_and_running_are_answered_by_their_own_methods_alone_and_leakage_by_none() -> None:
    for test, names in (("wires", {"wires"}), ("running", {"running"})):
        assert {name for name, method in METHODS.items() if answers(method, test)} == names  # type: ignore[arg-type]
    assert not any(answers(METHODS["leak-by-drop"], test) for test in (*STRICTNESS, "wires", "running") if test != "none")
    assert not answers(METHODS["full-count"], "full", "each portion")


def test_the_pipe_is_answered_the_wires_only_besides_and_running_comes_later() -> None:
    due = due_of(DEMO)
    assert [(line.test, line.answered) for line in due.lines] == [("continuity", True), ("running", False), ("wires", False)]
    assert [line.test for line in due.lacking] == ["wires"]
    assert due.only_if() == "Only if made as well before it leaves: test of the through wires (see back)."
    assert due.lines[2].methods == ("wires",)
    assert due.missing == ("added_tested",)
    assert due_of(SECOND).only_if() == "", "no jumper there"


def test_with_a_brake_isolated_every_vehicle_is_due_and_the_rear_is_not_enough(tmp_path: Path) -> None:
    due = due_of(changed(tmp_path, left="  2262.automatic_brake: isolated\n"))
    (full,) = [line for line in due.lacking if line.test == "full"]
    assert full.methods == ("full-count",) and full.why == ("Which vehicles brake, and how many: only a look at each shows it.",)
    said = full.words(due.method)
    assert "Not answered by rear application" in said and "Methods that do: full-count." in said
    assert "continuity" not in [line.test for line in due.lines], "answered with the stricter one"


def test_a_set_that_asks_for_every_vehicle_changes_the_answer(tmp_path: Path) -> None:
    """Planted the other way: with the set's own words the same job's method is enough."""
    strict = WENDING.replace("attached in the middle], test: continuity, source: demo,\n     words: \"Something",
                             "attached in the middle], test: full, source: demo,\n     words: \"Something")  # fmt: skip
    assert strict != WENDING
    assert "full" in [line.test for line in due_of(changed(tmp_path, SECOND, strict)).lacking]
    assert due_of(changed(tmp_path, SECOND)).lacking == ()


def test_a_parting_has_its_own_event_seen_from_the_train_that_leaves(tmp_path: Path) -> None:
    due = due_of(PART)
    assert due.lines[0].why == ("Something was taken off, at the rear too: the new rear must answer.",)
    front = PART.read_text(encoding="utf-8").replace("leaves_from: 217/1", "leaves_from: 217/2")
    (tmp_path / "front.yaml").write_text(front, encoding="utf-8")
    silent = WENDING.replace("after: [detached at front, ", "after: [")
    assert silent != WENDING
    with pytest.raises(Exception, match="detached at front"):
        due_of(changed(tmp_path, tmp_path / "front.yaml", silent))
    assert due_of(changed(tmp_path, PART, silent)).lines[0].test == "continuity"


def test_a_method_that_no_order_can_have_is_refused_with_those_that_one_can(tmp_path: Path) -> None:
    answer = plan_job(changed(tmp_path, method="leak-by-drop"), FLEET)
    assert answer.answer == "no"
    assert any("due after this job: continuity test" in reason and "rear-application" in reason for reason in answer.reasons)


def test_the_sheet_says_it_on_both_sides() -> None:
    made = sheet_of(planned(DEMO))
    assert made.cautions[-1] == due_of(DEMO).only_if()
    assert made.tests_due == due_of(DEMO).words()
    assert any(line.startswith("Due: running test") for line in made.tests_due)
    assert not any("Only if made" in caution for caution in sheet_of(planned(SECOND)).cautions)
