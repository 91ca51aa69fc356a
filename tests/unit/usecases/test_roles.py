"""What each role may do: the declared table, and that nothing is allowed by a slip."""

from __future__ import annotations

import pytest

from headstock.usecases.roles import ACTS, ROLES, acts_of, may


def test_the_table_is_what_was_agreed() -> None:
    """Written a second time, by role: a change has to be meant."""
    crew = {"look", "see jobs", "see the fleet", "test the brake", "file a test", "log a touch", "note a defect",
            "note an isolation", "sit exercises", "see own competence", "change own password", "see records",
            "print a certificate", "verify records"}  # fmt: skip
    teaching = {"plan jobs", "issue a sheet", "investigate", "correct an entry", "set exercises", "set a paper",
                "see everybody's competence"}  # fmt: skip
    leading = {"change the fleet", "export records", "see who saw and did what"}
    assert set(acts_of("crew")) == crew
    assert set(acts_of("instructor")) == crew | teaching | {"sign somebody off"}
    assert set(acts_of("supervisor")) == crew | teaching | leading | {"sign somebody off"}
    assert set(acts_of("administrator")) == crew | teaching | leading | {"manage accounts", "back up records"}


def test_only_who_administers_keeps_accounts() -> None:
    assert [role for role in ROLES if may(role, "manage accounts")] == ["administrator"]


def test_an_act_that_is_not_in_the_table_is_an_error_and_not_a_yes() -> None:
    with pytest.raises(KeyError):
        may("administrator", "sell the train")
    assert all(roles for roles in ACTS.values())
