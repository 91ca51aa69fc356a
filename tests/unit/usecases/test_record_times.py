"""Times in readings: what cannot be one is a fault with its place."""

import pytest

from headstock.base.documents import document_from_text
from headstock.usecases.record_times import RecordTimes


@pytest.mark.parametrize(
    "text", ["2026-02-30 10:05", "0000-01-01 10:05", "2026-13-01 10:05:00", "٢٠٢٦-٠١-٠١ 10:05", "24:00", "1:05"]
)
def test_a_time_on_a_day_that_no_calendar_has_is_a_fault(text: str) -> None:
    times = RecordTimes(document_from_text(f'time: "{text}"\n', "readings.yaml"), {})
    assert times.seconds(text, ("time",), None) == (0.0, 1.0)
    (fault,) = times.faults
    assert (fault.what, fault.line) == ("time not understood", 1)


def test_good_times_have_none() -> None:
    times = RecordTimes(document_from_text("time: a\n", "readings.yaml"), {})
    assert times.seconds("2026-02-28 10:05", ("time",), None)[1] == 60.0
    assert times.seconds("2026-02-28T10:05:07", ("time",), None)[1] == 1.0
    assert times.faults == []
