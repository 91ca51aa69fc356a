"""From where the validation says a fault is to where it stands in the file."""

from headstock.base.document_paths import path_in, value_at

DEVICE = {"kind": "hose", "hose": {"hose": 5, "length_m": 5}}


def test_tags_that_are_not_in_the_file_are_left_out() -> None:
    assert path_in({"a": [{"b": 1}]}, ("a", 0, "tag", "b"), 1, False) == ("a", 0, "b")


def test_where_two_readings_end_at_the_given_value_the_one_that_drops_least_wins() -> None:
    assert path_in({"hose": 5, "x": {"hose": 5}}, ("x", "hose"), 5, False) == ("x", "hose")
    assert path_in(DEVICE, ("hose", "hose"), 5, False) == ("hose", "hose")


def test_the_reading_that_ends_at_the_given_value_wins_over_the_longer_one() -> None:
    assert path_in(DEVICE, ("hose", "hose"), DEVICE["hose"], False) == ("hose",)


def test_a_missing_name_hangs_on_the_group_that_lacks_it() -> None:
    assert path_in(DEVICE, ("hose", "shut"), DEVICE, True) == ("shut",)
    assert path_in(DEVICE, ("hose", "shut"), DEVICE["hose"], True) == ("hose", "shut")


def test_true_is_not_taken_for_one() -> None:
    assert path_in({"a": {"b": 1}, "b": True}, ("a", "b"), True, False) == ("b",)
    assert value_at({"a": [1]}, ("a", 0)) == 1
    assert value_at({"a": [1]}, ("a", 1)) is value_at({}, ("b",))
