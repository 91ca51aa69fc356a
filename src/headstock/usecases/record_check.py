"""A record held against its method, rules and train: what cannot be meant is refused, every fault with its line."""

from __future__ import annotations

from headstock.base.errors import ContentError, Fault
from headstock.base.located import Document, DocumentPath, path_text
from headstock.base.nearest import nearest_of
from headstock.brake_test.impossible import BAR_OF
from headstock.brake_test.test_record import Asked, Entry
from headstock.brake_test.touches import Touch
from headstock.local_rules.method_stage import End, Reads, Stage
from headstock.local_rules.rules import LocalRules
from headstock.local_rules.test_method import BrakeTestMethod
from headstock.usecases.readings_file import ReadingLine, ReadingsFile
from headstock.usecases.record_times import RecordTimes
from headstock.usecases.record_units import UNITS_OF, in_own_unit
from headstock.usecases.tested_train import TrainOfTest

CURE = "Nothing was judged. Mend the record; ask whoever wrote it rather than guess."


class RecordCheck:
    """Reads the lines of a record and gathers faults; ``finish`` raises them all."""

    def __init__(
        self, document: Document, given: ReadingsFile, method: BrakeTestMethod, rules: LocalRules, train: TrainOfTest
    ) -> None:
        self.document, self.given, self.method, self.rules, self.train = document, given, method, rules, train
        self.times = RecordTimes(document, given.clocks)
        self.stages = {stage.key: stage for stage in method.stages}
        if given.rules_edition != rules.edition:
            self.fault(f"the readers had another edition of {rules.name}", ("rules_edition",), given.rules_edition, rules.edition)
        if given.units and train.units and given.units not in (train.units, train.units[::-1]):
            self.fault("the readings belong to another train", ("units",), " ".join(given.units), " ".join(train.units))

    def fault(self, what: str, path: DocumentPath, found: str | None, expected: str, nearest: str | None = None) -> None:
        """Note a fault."""
        line = self.document.line_of(path)
        self.times.faults.append(Fault(what, self.document.name, line, path_text(path), found, expected, nearest))

    def began_s(self) -> float | None:
        """Clock time from which a recorder counts."""
        began = self.given.recorder.began if self.given.recorder is not None else None
        return None if began is None else RecordTimes(self.document, {}).seconds(began, ("recorder", "began"), None)[0]

    def stage(self, number: int, line: ReadingLine) -> Stage | None:
        """The stage of a line."""
        return self.stages.get(line.stage)

    def entry(self, number: int, line: ReadingLine) -> Entry:
        """A line as an entry."""
        path: DocumentPath = ("readings", number)
        when_s, within_s = self.times.seconds(line.time, (*path, "time"), line.clock)
        stage = self.stages.get(line.stage)
        if stage is None:
            self.fault("no such stage in the method", (*path, "stage"), line.stage, ", ".join(self.stages),
                       nearest_of(line.stage, self.stages))  # fmt: skip
            return Entry(line.stage, line.who, "front", when_s)
        at = line.at or stage.at
        self._check_cab(line, at, path)
        reads: Reads = line.gauge or (stage.reading.reads if stage.reading is not None else "brake pipe")
        self._check_figure(line, stage, reads, path)
        value = in_own_unit(line.shows, line.unit) if line.shows is not None and line.unit else None
        before = in_own_unit(line.before, line.unit) if line.before is not None and line.unit else None
        return Entry(
            line.stage, line.who, at, when_s, reads, value, line.shows, line.unit or "", line.seen, line.of, before,
            line.stayed_s, within_s, self.document.line_of(path),
        )  # fmt: skip

    def _check_cab(self, line: ReadingLine, at: End, path: DocumentPath) -> None:
        if line.cab is None:
            return
        if self.train.cabs is None:
            self.fault("a cab is named, but the train's cabs are not known", (*path, "cab"), line.cab, "a job, or no cab")
        elif line.cab != self.train.cabs[at]:
            self.fault(f"not the cab at the {at} of this train: the readings cannot belong to it", (*path, "cab"), line.cab,
                       self.train.cabs[at])  # fmt: skip

    def _check_figure(self, line: ReadingLine, stage: Stage, reads: Reads, path: DocumentPath) -> None:
        """A figure with the right unit where the stage reads one; true or false where a lamp or bell is looked at."""
        if stage.reading is None:
            if line.shows is not None or line.seen is not None:
                self.fault(f"nothing is read in the stage {stage.key}", path, None, "a line without shows and seen")
            return
        units = UNITS_OF[reads]
        if not units and line.seen is None:
            self.fault(f"the {reads} is seen or heard, or not", path, "nothing", "seen: true or seen: false")
        if units and line.shows is None and self.given.recorder is None:
            self.fault("no figure", path, "nothing", "shows and unit")
        if line.shows is not None and line.unit not in units:
            self.fault(f"wrong unit for the {reads}", (*path, "unit"), line.unit or "nothing", " or ".join(units) or "no figure")
        is_gauge = line.unit in BAR_OF or line.unit == "brakes"
        if is_gauge and line.shows is not None and line.shows < 0:
            self.fault("a figure below nothing", (*path, "shows"), f"{line.shows:g}", "0 or more")

    def earlier_s(self) -> float | None:
        """When an application before this test was released."""
        said = self.given.earlier_released
        return None if said is None else self.times.seconds(said, ("earlier_released",), self._first_clock())[0]

    def _first_clock(self) -> str | None:
        return self.given.readings[0].clock

    def touches(self) -> tuple[Touch, ...]:
        """The touch log."""
        found = []
        exempt = [entry.name for entry in self.method.exempt_touches]
        for number, line in enumerate(self.given.touches):
            path: DocumentPath = ("touches", number)
            when_s, _ = self.times.seconds(line.time, (*path, "time"), line.clock)
            if self.train.known and line.device not in self.train.known:
                self.fault("no such device in this train", (*path, "device"), line.device, "a device by its key",
                           nearest_of(line.device, self.train.known))  # fmt: skip
            if line.part_of and line.part_of not in exempt:
                self.fault("not a touch of the method", (*path, "part_of"), line.part_of, ", ".join(exempt) or "none",
                           nearest_of(line.part_of, exempt))  # fmt: skip
            found.append(Touch(when_s, line.device, line.who, line.part_of, self.document.line_of(path)))
        return tuple(found)

    def asked(self) -> tuple[Asked, ...]:
        """Answers to "touched since?"."""
        found = []
        for number, line in enumerate(self.given.touched_since):
            path: DocumentPath = ("touched_since", number)
            when_s, _ = self.times.seconds(line.time, (*path, "time"), line.clock)
            found.append(Asked(when_s, line.at, line.who, line.touched, self.document.line_of(path)))
        return tuple(found)

    def finish(self, entries: tuple[Entry, ...]) -> None:
        """Raise every fault, in the order of the lines."""
        self.times.check_order([(entry.when_s, entry.within_s) for entry in entries], "readings")
        self._check_stages(entries)
        if self.times.faults:
            raise ContentError(sorted(self.times.faults, key=lambda fault: fault.line or 0), cure=CURE)

    def _check_stages(self, entries: tuple[Entry, ...]) -> None:
        """Stages in the method's order, and none that is read left out before one that was done."""
        order = {key: place for place, key in enumerate(self.stages)}
        known = [(number, entry) for number, entry in enumerate(entries) if entry.stage in order]
        last = -1
        for number, entry in known:
            place = order[entry.stage]
            if place < last:
                self.fault("stage out of order", ("readings", number, "stage"), entry.stage, "stages in the method's order")
            between = [stage.key for stage in self.method.stages[max(last, -1) + 1 : place] if stage.reading is not None]
            if between:
                self.fault(f"missing stage before {entry.stage}", ("readings", number), "nothing", f"a line for {between[0]}")
            last = max(last, place)
