"""A reconstruction in plain words: what was tried, how far it is off, what was assumed; never what happened."""

from __future__ import annotations

from headstock.brake_test.causes import Cause
from headstock.brake_test.reconstruct import FITS_WITHIN, Candidate
from headstock.brake_test.record_fit import CLOCK_AT_MOST_S
from headstock.brake_test.record_model import APART_S, CLOCK_S, SIGMA_BAR
from headstock.brake_test.recorder import Channel
from headstock.local_rules.limit_figures import PressureUnit, in_unit
from headstock.usecases.cause_words import cause_in_words
from headstock.usecases.reconstruct_record import RecordSearched

DEGREE_OF = {
    "cock part open": "{:.2g} of the bore open", "pipe blocked": "{:.2g} of the bore open", "pipe leaks": "{:.2g} bar a minute",
    "cylinder leaks": "{:.2g} mm2", "lapped valve feeds": "{:.2g} mm2",
}  # fmt: skip
WORTH_NAMING = 0.002
"""Odds below which a candidate stands in the table only [-]."""
NOTHING_EXPLAINS = (
    "Nothing that was tried explains this record. Is it this train, with these moves at these times? If so, something is "
    "otherwise that is not on the list."
)


def causes_in_words(causes: tuple[Cause, ...]) -> str:
    """All causes of a candidate with their degrees."""
    return " and ".join(_cause(cause) for cause in causes) or "nothing wrong"


def _cause(cause: Cause) -> str:
    degree = DEGREE_OF.get(cause.kind, "").format(cause.severity)
    return cause_in_words(cause) + (f" ({degree})" if degree else "")


def channel_in_words(channel: Channel) -> str:
    """Where a column was taken."""
    return f"{channel[1]}, {channel[0]}"


def off_in_words(candidate: Candidate, channels: tuple[Channel, ...], unit: PressureUnit) -> str:
    """How far a candidate is off, channel by channel."""
    fit = candidate.fit
    parts = [
        f"{channel_in_words(channel)} {in_unit(rms, unit):.2f}, at most {in_unit(far, unit):.2f} {unit}"
        for channel, rms, far in zip(channels, fit.rms_bar, fit.farthest_bar, strict=True)
    ]
    return "; ".join(parts)


def summary_in_words(found: RecordSearched) -> str:
    """The answer in a sentence or two."""
    result = found.result
    good = [candidate for candidate in result.candidates if candidate.explains]
    if not good:
        return NOTHING_EXPLAINS
    first = f"Explains the record best: {causes_in_words(good[0].fit.tried.causes)}."
    number = result.candidates.index(good[0]) + 1
    alike = [causes_in_words(one.fit.tried.causes) for one in good if one.alike == number and one.odds >= WORTH_NAMING]
    told = f" This record cannot tell it from: {'; '.join(alike)}." if alike else ""
    others = sum(not one.alike and one.odds >= WORTH_NAMING for one in good) - 1
    more = f" {others} more explain it too, by a trace of their own." if others > 0 else ""
    return first + told + more


def assumptions_in_words(found: RecordSearched) -> tuple[str, ...]:
    """What the numbers rest on."""
    drawn = found.drawn
    invented = ", invented" if drawn.invented else ""
    return (
        f"Plausibilities and ranges: {drawn.name}, edition {drawn.edition}{invented}. {drawn.note}",
        f"Recorder and reckoning together are taken to be off by {SIGMA_BAR:g} bar, moves by {CLOCK_S:g} s (standard "
        f"deviations), the clock by {CLOCK_AT_MOST_S:g} s at most; what is off stays off for {APART_S:g} s.",
        f"Something explains the record if in every channel it is off by no more than {FITS_WITHIN:g} standard errors, root mean "
        "square. Odds are shares among what was tried: plausibility times how well it fits, each figure fitted paid for.",
        "The train's leak, its valve's setting, the pressure before and the clock were fitted with every candidate, within their "
        "ranges. Faults of gauges are not tried: a recorder has none.",
    )


def train_in_words(candidate: Candidate) -> str:
    """Where in its ranges the train was fitted."""
    leak, valve, before, clock = candidate.fit.tried.train
    return (f"fitted: leak {(leak + 1) / 2:.0%} of its range, set pressure {(valve + 1) / 2:.0%}, pressure before "
            f"{(before + 1) / 2:.0%}, clock {clock:+.1f} s")  # fmt: skip
