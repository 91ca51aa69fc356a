"""Faults of fields: all at once, each with its line, in plain words."""

import enum
from dataclasses import dataclass
from typing import Annotated, Any, Literal

import pytest
from pydantic import BaseModel, ConfigDict, Discriminator, Field, Tag, create_model, field_validator, model_validator

from headstock.base.documents import document_from_text, load_as
from headstock.base.errors import ContentError, Fault


class Strict(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class Hose(Strict):
    kind: Literal["hose"]
    length_m: float = Field(gt=0)
    hose: str | None = None


class EndCock(Strict):
    kind: Literal["end-cock"]
    shut: bool


class End(Strict):
    devices: tuple[Annotated[Hose | EndCock, Field(discriminator="kind")], ...]


class Unit(Strict):
    name: str
    ends: dict[str, End]
    seats: int = 0
    mass_kg: float | None = None

    @field_validator("name")
    @classmethod
    def _name_is_free(cls, name: str) -> str:
        if name == "taken":
            raise ValueError("this name is taken")
        return name


def faults_of(text: str, model: type[BaseModel] = Unit) -> tuple[Fault, ...]:
    with pytest.raises(ContentError) as caught:
        load_as(document_from_text(text, "demo.yaml"), model)
    for fault in caught.value.faults:
        assert not any(word in fault.text().lower() for word in ("pydantic", "http", "input should", "value error"))
    return caught.value.faults


def fault_of_field(kind: Any, value: str) -> Fault:
    model = create_model("Model", __config__=ConfigDict(extra="forbid"), a=(kind, ...))
    (fault,) = faults_of(f"a: {value}\n", model)
    assert (fault.line, fault.path.split("[")[0].split(".")[0]) == (1, "a")
    return fault


FIVE_FAULTS = """\
name: 217
seets: 80
mass_kg: "3,5"
ends:
  "1":
    devices:
      - kind: hose
      - kind: hosse
        length_m: 0.9
      - kind: end-cock
        shut: yes
"""


def test_all_faults_of_a_file_come_at_once_each_with_its_line_and_path() -> None:
    assert [fault.text() for fault in faults_of(FIVE_FAULTS)] == [
        "wrong kind of value @ demo.yaml:1 name: found 217, expected text; put it in quotes",
        "unknown field @ demo.yaml:2 seets: found 'seets', expected seats; nearest seats",
        "wrong kind of value @ demo.yaml:3 mass_kg: found '3,5', expected a number; nearest 3.5",
        "missing field @ demo.yaml:7 ends.1.devices[0].length_m: found nothing, expected a number",
        "not one of the choices @ demo.yaml:8 ends.1.devices[1].kind: found 'hosse', "
        "expected one of hose or end-cock; nearest hose",
        "wrong kind of value @ demo.yaml:11 ends.1.devices[2].shut: found 'yes', expected true or false; nearest true",
    ]


def test_a_good_file_becomes_its_model() -> None:
    text = "name: '217'\nends: {'1': {devices: [{kind: hose, length_m: 1}, {kind: end-cock, shut: true}]}}\n"
    unit = load_as(document_from_text(text, "demo.yaml"), Unit)
    assert unit.ends["1"].devices == (Hose(kind="hose", length_m=1.0), EndCock(kind="end-cock", shut=True))


def test_a_tag_that_is_also_a_field_does_not_lead_astray() -> None:
    faults = faults_of("name: a\nends:\n  '1':\n    devices:\n      - kind: hose\n        length_m: 1\n        hose: 5\n")
    assert [(fault.path, fault.line) for fault in faults] == [("ends.1.devices[0].hose", 7)]
    faults = faults_of("name: a\nends:\n  '1':\n    devices:\n      - kind: hose\n        hose: x\n")
    assert [(fault.path, fault.line) for fault in faults] == [("ends.1.devices[0].length_m", 5)]


def test_a_device_without_its_kind_is_told_the_kinds() -> None:
    (fault,) = faults_of("name: a\nends: {'1': {devices: [{shut: true}]}}\n")
    assert (fault.what, fault.path) == ("missing field", "ends.1.devices[0].kind")
    assert fault.expected == "one of hose or end-cock"


def test_an_own_refusal_of_a_field_keeps_its_words() -> None:
    (fault,) = faults_of("name: taken\nends: {}\n")
    assert fault.text() == "this name is taken @ demo.yaml:1 name: found 'taken'"


def test_an_own_refusal_of_a_whole_group_keeps_its_words_and_place() -> None:
    class Pair(Strict):
        low: float
        high: float

        @model_validator(mode="after")
        def _in_order(self) -> "Pair":
            if self.low > self.high:
                raise ValueError("low lies above high")
            return self

    class Holder(Strict):
        pairs: list[Pair]

    (fault,) = faults_of("pairs:\n  - {low: 1, high: 2}\n  - {low: 3, high: 2}\n", Holder)
    assert fault.text() == "low lies above high @ demo.yaml:3 pairs[1]"


class Colour(enum.Enum):
    RED = "red"
    GREEN = "green"


@dataclass(frozen=True)
class Plain:
    __pydantic_config__ = ConfigDict(extra="forbid")

    length_m: float


@pytest.mark.parametrize(
    ("kind", "value", "expected", "nearest"),
    [
        (str, "217", "text; put it in quotes", None),
        (str, "true", "text; put it in quotes", None),
        (str, "[a]", "text", None),
        (str, "null", "text", None),
        (int, "'42'", "a whole number", "42"),
        (int, "42.0", "a whole number", "42"),
        (int, "1.5", "a whole number", None),
        (int, "true", "a whole number", None),
        (float, "1.2.3", "a number", None),
        (float, "'3.5'", "a number", "3.5"),
        (float, "false", "a number", None),
        (bool, "on", "true or false", "true"),
        (bool, "no", "true or false", "false"),
        (bool, "1", "true or false", "true"),
        (bool, "maybe", "true or false", None),
        (list[str], "a", "a list", None),
        (tuple[str, ...], "{b: 1}", "a list", None),
        (dict[str, str], "[b]", "a group of names and values", None),
        (End, "b", "a group of names and values", None),
        (Plain, "b", "a group of names and values", None),
        (Literal["red", "green"], "rde", "one of red or green", "red"),
        (Colour, "gren", "one of red or green", "green"),
        (Literal["red"], "7", "red", None),
        (Annotated[float, Field(gt=0)], "0", "more than 0", None),
        (Annotated[float, Field(ge=0.5)], "0", "at least 0.5", None),
        (Annotated[int, Field(lt=5)], "5", "less than 5", None),
        (Annotated[int, Field(le=5)], "6", "at most 5", None),
        (Annotated[str, Field(min_length=1)], "''", "at least 1 character", None),
        (Annotated[str, Field(max_length=3)], "abcd", "at most 3 characters", None),
        (Annotated[list[int], Field(min_length=2)], "[1]", "at least 2 in the list", None),
        (Annotated[list[int], Field(max_length=1)], "[1, 2]", "at most 1 in the list", None),
        (Annotated[str, Field(pattern="^[a-z]+$")], "A1", "text of the form ^[a-z]+$", None),
        (float | str | None, "[1]", "a number or text", None),
    ],
)
def test_each_kind_of_wrong_value_has_its_plain_words(kind: Any, value: str, expected: str, nearest: str | None) -> None:
    fault = fault_of_field(kind, value)
    assert (fault.expected, fault.nearest) == (expected, nearest)


def test_a_list_too_short_for_its_places_names_the_missing_one() -> None:
    fault = fault_of_field(tuple[float, str], "[1]")
    assert (fault.what, fault.path, fault.expected) == ("missing item", "a[1]", "text")


def test_an_unknown_field_inside_a_dataclass_is_told_the_names() -> None:
    missing, unknown = faults_of("a:\n  lenght_m: 1\n", create_model("Model", a=(Plain, ...)))
    assert (missing.what, missing.path) == ("missing field", "a.length_m")
    assert (unknown.path, unknown.line) == ("a.lenght_m", 2)


def test_a_union_told_apart_by_a_function_still_gives_the_path() -> None:
    def which(value: Any) -> str:
        return "many" if isinstance(value, list) else "one"

    kind = Annotated[Annotated[Hose, Tag("one")] | Annotated[list[Hose], Tag("many")], Discriminator(which)]
    fault = fault_of_field(kind, "[{kind: hose, length_m: -1}]")
    assert (fault.path, fault.expected) == ("a[0].length_m", "more than 0")


def test_fields_known_by_another_name_are_called_by_it() -> None:
    class Aliased(Strict):
        of: int = Field(alias="from")

    faults = faults_of("form: 1\n", Aliased)
    assert [(fault.path, fault.nearest) for fault in faults] == [("from", None), ("form", "from")]


def test_what_was_found_is_cut_at_60_characters() -> None:
    fault = fault_of_field(int, "x" * 500)
    assert len(fault.found or "") == 60
    fault = fault_of_field(int, "[" + "1, " * 500 + "]")
    assert fault.found == "a list of 500"


def test_a_name_in_the_path_with_odd_characters_is_quoted() -> None:
    faults = faults_of("name: a\nends: {'north end': 1}\n")
    assert faults[0].path == "ends.'north end'"


def test_past_a_hundred_faults_the_rest_is_counted() -> None:
    model = create_model("Model", a=(list[int], ...))
    faults = faults_of("a: [" + "x, " * 5000 + "]", model)
    assert len(faults) == 101
    assert faults[-1].what == "and 4900 more faults"
