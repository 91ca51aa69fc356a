"""Loading: every fault of a file at once, each with its line; sources listed; one shape for every error."""

from __future__ import annotations

from typing import Literal

import pytest
from pydantic import BaseModel, ConfigDict, Field

from headstock.base.documents import document_from_text
from headstock.base.errors import ContentError, Fault, HeaderError, InputError
from headstock.base.loading import load_as
from headstock.base.sources import Entry, Source, missing_source_keys


class Part(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")
    colour: Literal["red", "yellow"]
    length_m: float = Field(gt=0)


class Thing(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")
    name: str
    count: int
    parts: tuple[Part, ...]
    limit: Entry[float] | None = None
    sources: dict[str, Source] = {}


GOOD = "headstock: thing 1\nname: a\ncount: 2\nparts:\n  - {colour: red, length_m: 1.5}\n"


def load(text: str) -> Thing:
    return load_as(document_from_text(text, "thing.yaml"), Thing, "thing")


def test_a_good_file_loads() -> None:
    assert load(GOOD).parts[0].length_m == 1.5


def test_five_faults_are_told_at_once_each_with_its_line() -> None:
    text = "headstock: thing 1\nname: 7\nparts:\n  - {colour: rad, length_m: -1}\nnmae: x\n"
    with pytest.raises(ContentError) as caught:
        load(text)
    faults = {(fault.line, fault.path) for fault in caught.value.faults}
    assert {(2, "name"), (4, "parts[0].colour"), (4, "parts[0].length_m"), (5, "nmae")} <= faults
    assert len(caught.value.faults) == 5
    said = caught.value.text()
    assert "put it in quotes" in said
    assert "nearest red" in said
    assert "pydantic" not in said


@pytest.mark.parametrize("first", ["colour: a", "headstock: other 1", "headstock: thing 2", "headstock: 1", "headstock: [thing]"])
def test_a_wrong_first_line_is_refused(first: str) -> None:
    with pytest.raises(HeaderError) as caught:
        load(GOOD.replace("headstock: thing 1", first))
    assert "thing 1" in caught.value.text()


def test_a_source_that_is_not_listed_is_found() -> None:
    thing = load(GOOD + "limit: {value: 1.0, source: demo}\n")
    result = missing_source_keys(thing, thing.sources)
    assert not result.is_complete
    assert result.missing[0][1] == "demo"


def test_every_error_has_one_shape() -> None:
    value = InputError(Fault("what", "f", 3, "a.b", "x", "y", "z"), cure="do this").as_json()["error"]
    assert set(value) == {"code", "message", "where", "why", "cure", "faults"}
    assert value["faults"][0]["line"] == 3
    assert Fault("what", "f", 3, "a.b", "x", "y", "z").text() == "what @ f:3 a.b: found x, expected y; nearest z"
