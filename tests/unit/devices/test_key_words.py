"""Keys of devices in words."""

import pytest

from headstock.devices.key_words import device_in_words


@pytest.mark.parametrize(("key", "words"), [
    ("217/2.brake_pipe_cock", "brake pipe cock of 217/2"), ("2171.coupler.head", "coupler head of 2171"), ("217", "217"),
])  # fmt: skip
def test_a_key_is_said_as_people_say_it(key: str, words: str) -> None:
    assert device_in_words(key) == words
