"""Which claim of the product a marked check speaks for, and why its tolerances are what they are where neither the check nor
its figures say it: by where it stands, the longest beginning counts.
"""

from __future__ import annotations

from headstock.usecases.not_validated import AIR, CAN, JOIN, ORDER, RECORDS, TEST

CLAIM_OF = {
    "tests/accuracy/": AIR,
    "tests/accuracy/test_impact_by_scipy": CAN,
    "tests/accuracy/test_motion_by_scipy": CAN,
    "tests/cases/": ORDER,
    "tests/cases/test_couplings": JOIN,
    "tests/cases/test_judged_faults": TEST,
    "tests/cases/test_logic_tables": TEST,
    "tests/cases/test_research_judged": TEST,
    "tests/promises/test_notebook": RECORDS,
    "tests/published/test_air_": AIR,
    "tests/published/test_brake_test_limits": TEST,
    "tests/published/test_conversion_model": CAN,
    "tests/published/test_curves": JOIN,
    "tests/published/test_distributor_windows": AIR,
    "tests/published/test_facts_of_the_trade": ORDER,
    "tests/published/test_friction_and_adhesion": CAN,
    "tests/published/test_impacts": CAN,
    "tests/published/test_joinability_table": JOIN,
    "tests/published/test_parking_on_a_gradient": CAN,
    "tests/published/test_slow_falls": AIR,
    "tests/published/test_stopping_distances": CAN,
    "tests/published/test_stored_air": AIR,
    "tests/unit/base/": RECORDS,
    "tests/unit/brake_test/": TEST,
    "tests/unit/capability/": CAN,
    "tests/unit/capability/test_couple_signs": ORDER,
    "tests/unit/exchange/": RECORDS,
    "tests/unit/formation/": JOIN,
    "tests/unit/formation/test_air_network": AIR,
    "tests/unit/local_rules/": TEST,
    "tests/unit/physics/test_curve_throw": JOIN,
    "tests/unit/practice/": ORDER,
    "tests/unit/reasoning/": TEST,
    "tests/unit/records/": RECORDS,
    "tests/unit/sheets/": RECORDS,
    "tests/unit/usecases/": TEST,
    "tests/unit/usecases/test_can_job": CAN,
}


WHY = {
    "tests/accuracy/": "room for cells and steps of the solver",
    "tests/accuracy/test_air_examples": "agreed for comparing air engines",
    "tests/cases/test_independent_planner": "costs in the file are whole numbers, one off for each step",
    "tests/unit/": "figures are rounded, or a march goes by steps",
}


def claim_of(nodeid: str) -> str | None:
    """The claim of a test; None where this list knows none, and then it must be told here."""
    return _longest(CLAIM_OF, nodeid)


def why_of(nodeid: str) -> str | None:
    """Why tolerances of a test are as they are; None where this list does not say it."""
    return _longest(WHY, nodeid)


def _longest(table: dict[str, str], nodeid: str) -> str | None:
    fitting = [beginning for beginning in table if nodeid.startswith(beginning)]
    return table[max(fitting, key=len)] if fitting else None
