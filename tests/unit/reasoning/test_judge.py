"""Constraints remembered give the answers that they give when asked."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from headstock.reasoning.constraint import Constraint, State
from headstock.reasoning.fact_bits import FactBits, NamedState
from headstock.reasoning.judge import Judge
from tests.unit.reasoning.toy import toy_domain

DOMAIN = toy_domain()
BITS = FactBits(DOMAIN)


def _short(state: State) -> str | None:
    """Reads the board only when the door stands open."""
    return "lit and open" if state["door"] == "open" and state["board"] == "on" and state["lamp"] == "lit" else None


CONSTRAINTS = (*DOMAIN.constraints, Constraint("short", "never so", "", _short))
VALUES = {key: st.sampled_from(variable.domain) for key, variable in DOMAIN.variables.items()}
PLACES = {"at/worker": st.sampled_from(["yard", "gate", "shed"]), "at/keeper": st.just("gate")}
STATES = st.fixed_dictionaries(VALUES | PLACES)


@given(st.lists(STATES, min_size=1, max_size=12))
def test_what_is_remembered_is_what_would_be_answered(states: list[dict[str, str]]) -> None:
    judge = Judge(CONSTRAINTS, BITS)
    before = BITS.mask(states[0].items())
    standing = judge.all(before)
    for named in states:
        state = BITS.mask(named.items())
        standing = judge.after(state, state ^ before, standing)
        view = NamedState(BITS, state)
        assert standing == sum(1 << number for number, c in enumerate(CONSTRAINTS) if c.broken(view) is not None)
        before = state


def test_why_says_what_the_constraint_says() -> None:
    judge = Judge(CONSTRAINTS, BITS)
    state = BITS.mask({**DOMAIN.start, "at/worker": "shed", "at/keeper": "gate"}.items())
    assert judge.why(0, state) == "the worker is shut in"
