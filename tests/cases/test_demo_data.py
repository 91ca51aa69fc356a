"""Invented data stays in the demo, facts of the trade stay out of it."""

from __future__ import annotations

import re

from headstock.equipment.library import load_fleet
from headstock.local_rules.rules import BUILT_IN, load_local_rules


def test_facts_of_the_trade_are_not_in_the_demo_data() -> None:
    text = "\n".join(path.read_text(encoding="utf-8") for path in sorted(BUILT_IN.parent.parent.rglob("*.yaml")))
    assert not re.search(r"\d ?(psi|ft)\b|\b5\.2\b", text), "the second rules speak in psi and feet; no file has figures in them"


def test_demo_types_and_rules_say_that_they_are_invented() -> None:
    assert all(unit_type.invented for unit_type in load_fleet().types.values())
    assert all(load_local_rules(path).invented for path in BUILT_IN.glob("*.yaml"))
