"""Statements of a sitting."""

from headstock.exchange.xapi import sitting_statements
from headstock.practice.marking import Mark

MARK = Mark(True, False, True, (), ("line 3",), (), (), (), (), ())


def test_each_person_has_one_and_it_stays_the_same() -> None:
    people = {"driver": "M. Iden", "shunter": "", "guard": "P. Oad"}
    made = [sitting_statements("https://depot.example", "ABCDE", "Attach", "2026-01-01T10:00:00+00:00", people, MARK, 61.4)
            for _ in range(2)]  # fmt: skip
    assert made[0] == made[1] and [one["actor"]["account"]["name"] for one in made[0]] == ["M. Iden", "P. Oad"]
    assert len({one["id"] for one in made[0]}) == 2
    assert made[0][0]["result"]["success"] is True and made[0][0]["result"]["duration"] == "PT61S"
