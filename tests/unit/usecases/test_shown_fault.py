"""The wrong word is cut out of its line."""

import pytest

from headstock.base.errors import Fault
from headstock.usecases.shown_fault import shown_faults

TEXT = "a: 1\n  buffers: shrot\n  x: 2\n  \nb: 1"


@pytest.mark.parametrize(
    ("fault", "parts"),
    [
        (Fault("wrong", line=2, path="ends.buffers", found="'shrot'"), ("buffers: ", "shrot", "")),
        (Fault("unknown field", line=2, path="ends.buffers", found="buffers"), ("", "buffers", ": shrot")),
        (Fault("missing", line=2, path="ends.buffers"), ("buffers: ", "shrot", "")),
        (Fault("on an empty line", line=4, path="b", found="nothing"), ("", "", "")),
        (Fault("elsewhere", line=9), ("", "", "")),
        (Fault("nowhere"), ("", "", "")),
    ],
)
def test_the_wrong_word_is_found(fault: Fault, parts: tuple[str, str, str]) -> None:
    (shown,) = shown_faults(TEXT, (fault,))
    assert (shown.before, shown.wrong, shown.after) == parts
