"""JSON that was kept: its values, or one kind of error whatever became of it."""

import pytest

from headstock.base.kept_json import kept_json


def test_values_come_back() -> None:
    assert kept_json('{"a": [1, null, "ä"]}') == kept_json('{"a": [1, null, "ä"]}'.encode()) == {"a": [1, None, "ä"]}


@pytest.mark.parametrize("text", ["", "{", "[" * 100_000, '{"a":' * 100_000, b"\xff", b'{"a": "\xc3"}'])
def test_whatever_is_none_is_told_in_one_way(text: str | bytes) -> None:
    with pytest.raises(ValueError):
        kept_json(text)
