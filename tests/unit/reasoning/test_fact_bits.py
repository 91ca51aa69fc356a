"""Named values as bits, and back."""

from __future__ import annotations

from headstock.reasoning.constraint import place_key
from headstock.reasoning.fact_bits import FactBits, NamedState, ones_of
from tests.unit.reasoning.toy import KEEPER, WORKER, toy_domain


def test_a_state_of_bits_reads_as_the_named_values_it_was_made_from() -> None:
    domain = toy_domain()
    bits = FactBits(domain)
    view = NamedState(bits, bits.start(domain))
    assert dict(view) == {**domain.start, place_key(WORKER): "yard", place_key(KEEPER): "yard"}
    assert len(view) == len(dict(view))


def test_every_variable_has_bits_of_its_own() -> None:
    bits = FactBits(toy_domain())
    wholes = list(bits.whole.values())
    assert sum(wholes) == (1 << len(bits.bit)) - 1
    assert len(set(bits.bit.values())) == len(bits.bit)


def test_a_view_says_which_variables_were_read() -> None:
    domain = toy_domain()
    bits = FactBits(domain)
    view = NamedState(bits, bits.start(domain))
    assert view["door"] == "shut"
    assert view.read == bits.whole["door"]


def test_facts_of_a_mask_are_the_facts_it_was_made_of() -> None:
    bits = FactBits(toy_domain())
    facts = (("door", "open"), ("lamp", "lit"))
    assert bits.facts(bits.mask(facts)) == facts
    assert list(ones_of(0b101)) == [1, 4]
