"""A recorder's trace explained: which states of the train fit it, which do not, with a plot of each."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from headstock.notebook.given import Fleet, fleet_of
from headstock.notebook.shown import Answer, Lines, Part, Picture, Table
from headstock.sheets.record_page import drawn_candidates, plot_of
from headstock.sheets.record_plot import record_svg
from headstock.usecases.answers_as_data.reconstruct import reconstructed_as_json
from headstock.usecases.job_file import file_named
from headstock.usecases.readings_file import READINGS_FOLDER
from headstock.usecases.reconstruct_record import NOT_WHAT_HAPPENED, RecordAsked, RecordSearched, reconstruct_record
from headstock.usecases.reconstruct_words import assumptions_in_words, causes_in_words, off_in_words, summary_in_words
from headstock.wiring import air_engine, many_runs, read_recorder


@dataclass(frozen=True, repr=False)
class Reconstructed(Answer):
    """What explains a recorder's trace and what does not; never what happened."""

    result: RecordSearched

    @property
    def title(self) -> str:
        """The record's title."""
        return f"{self.result.judged.title}, reconstructed"

    @property
    def answer(self) -> str:
        """``explained`` or ``not explained``."""
        return "explained" if self.result.result.is_explained else "not explained"

    @property
    def cautions(self) -> tuple[str, ...]:
        """Also that it is no account of what happened."""
        return (*super().cautions, NOT_WHAT_HAPPENED)

    @property
    def data(self) -> dict[str, Any]:
        """As ``headstock reconstruct --json``: pressures and what they are off in bar, times in s."""
        return reconstructed_as_json(self.result)

    @property
    def plots(self) -> tuple[Picture, ...]:
        """Record and reckoning one over the other: the best that explain, the nearest that do not."""
        numbered = drawn_candidates(self.result)
        return tuple(
            Picture(f"{number}: {causes_in_words(one.fit.tried.causes)}", record_svg(plot_of(self.result, number, one)))
            for number, one in numbered
        )

    def parts(self) -> Iterator[Part]:
        """What explains it, every candidate by falling odds, the plots, what was assumed."""
        found, unit = self.result, self.result.judged.record.rules.pressure_unit
        channels = found.model.recorded.channels
        yield Lines("", (summary_in_words(found), *found.notes))
        rows = tuple(
            (str(number), causes_in_words(one.fit.tried.causes), "yes" if one.explains else "no", f"{one.odds:.3f}",
             off_in_words(one, channels, unit))
            for number, one in enumerate(found.result.candidates, start=1)
        )  # fmt: skip
        yield Table("What was fitted", ("", "tried", "explains", "odds", "off by"), rows)
        yield from self.plots
        yield Lines("Assumed", assumptions_in_words(found))


def reconstruct(
    readings: Path | str, fleet: Fleet | Path | str | None = None, *, moved: Sequence[str] = (), drawn: Path | str | None = None
) -> Reconstructed:
    """Which states of the train explain what a recorder kept, and which do not. ``readings``: a file, or a built-in one.

    ``moved``: what was moved when instead of the test's moves, each as ``"10:04:30 217/1.brake_valve=empty"``. ``drawn``: a file
    of one's own ranges and plausibilities. Pressures in bar, times in s. Raises InputError for a record that cannot be meant or
    has no recorder. Source: the gas flow and brake laws of the explanation of the air; plausibilities by the file that the
    answer names, nobody has counted.
    """
    path = file_named("readings", str(readings), READINGS_FOLDER)
    asked = RecordAsked(path, tuple(moved), Path(drawn) if drawn is not None else None)
    return Reconstructed(reconstruct_record(asked, fleet_of(fleet), air_engine(), many_runs, read_recorder))
