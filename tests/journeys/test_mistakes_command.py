"""`headstock mistakes` as people take it."""

from __future__ import annotations

from pathlib import Path

from headstock.local_rules.mistake_plausibility import DEMONSTRATION
from tests.journeys.commands import answer_of, headstock
from tests.journeys.test_command_line import DEMO, SECOND


def test_what_nobody_notices_stands_first_with_the_cautions(tmp_path: Path) -> None:
    done = headstock("mistakes", DEMO, "--top", "3", at=tmp_path)
    assert done.returncode == 0, done.stderr
    said = " ".join(done.stdout.split())
    assert "Caution: A planning and training aid" in said
    assert "a mistake that is not listed here is not ruled out" in said
    assert "no error rates are published for this work" in said
    assert "shunter: ask for the road — left out" in said
    assert "Looks on which most rests:" in said
    assert "Looks to add" in said
    assert list(tmp_path.iterdir()) == [], "nothing is written"


def test_the_answer_as_json_holds_every_single_mistake_and_is_the_same_again(tmp_path: Path) -> None:
    value = answer_of("mistakes", DEMO, at=tmp_path)
    assert value == answer_of("mistakes", DEMO, at=tmp_path)
    assert value["counts"]["all"] == len(value["mistakes"]) > 1000
    assert sum(value["counts"][key] for key in ("noticed", "latent", "unseen", "harmless")) == len(value["mistakes"])
    for row in value["mistakes"]:
        assert (row["noticed"] is not None) == (row["verdict"] == "noticed")
        assert bool(row["left_wrong"]) == (row["verdict"] == "latent")
        assert row["words"]


def test_pairs_on_all_cores_give_those_that_hide_each_other(tmp_path: Path) -> None:
    pairs = answer_of("mistakes", SECOND, "--pairs", "--plausible", "3", "--top", "5", at=tmp_path)["pairs"]
    assert pairs["run"] > 100
    assert 0 < len(pairs["worst"]) <= 5
    assert all(len(row["mistakes"]) == 2 and row["noticed"] is None for row in pairs["worst"])
    number = pairs["mistakes"]
    assert pairs["run"] + pairs["settled_without_running"] + pairs["of_one_line"] == number * (number - 1) // 2


def test_own_ranks_of_plausibility_are_named(tmp_path: Path) -> None:
    text = (
        DEMONSTRATION.read_text(encoding="utf-8")
        .replace("name: demonstration", "name: ours")
        .replace("left_out: 3", "left_out: 1")
    )
    (tmp_path / "ours.yaml").write_text(text, encoding="utf-8")
    value = answer_of("mistakes", DEMO, "--plausibility", "ours.yaml", at=tmp_path)
    assert value["plausibility"]["name"] == "ours"
    left_out = [row["mistakes"][0] for row in value["mistakes"] if row["mistakes"][0]["kind"] == "left out"]
    assert {row["plausibility"] for row in left_out} == {1}


def test_a_job_without_an_order_of_work_has_no_mistakes_and_says_why(tmp_path: Path) -> None:
    text = SECOND.read_text(encoding="utf-8").replace('boards_placed_by: {"508": guard}\n', "")
    (tmp_path / "job.yaml").write_text(text, encoding="utf-8")
    value = answer_of("mistakes", "job.yaml", at=tmp_path, status=1)
    assert value["reasons"] == ["nothing in this job gives: not-to-be-moved board of 508 off"]
    assert "mistakes" not in value
    assert "No order of work:" in headstock("mistakes", "job.yaml", at=tmp_path).stdout
