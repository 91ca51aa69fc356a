"""From the answer for two ends to the content of their sheet: the words, both ends as they must stand, what the rules add."""

from __future__ import annotations

from dataclasses import dataclass

from headstock.base.sources import Source
from headstock.devices.marks import Mark
from headstock.formation.end_drawing import end_marks
from headstock.formation.ends_to_join import devices_of, end_words, has_knuckle, stands_to_join
from headstock.formation.join_way import TypeEnd
from headstock.formation.wires import BOTH_SIDES
from headstock.local_rules.rules import LocalRules
from headstock.sheets.pair_words import PairWords, WordBlock, pair_words
from headstock.sheets.setting import plain_name
from headstock.usecases.join_ends import PairAnswer
from headstock.usecases.place_cautions import place_cautions
from headstock.usecases.standing_caution import STANDING_CAUTION

NO_ORDER = "This sheet is no order of work: who does what, and when, comes from the plan of the job."


@dataclass(frozen=True, slots=True)
class EndDrawn:
    """An end as it must stand before the two are joined."""

    title: str
    caption: str
    marks: tuple[Mark, ...]


@dataclass(frozen=True, slots=True)
class PairContent:
    """A whole sheet for two ends; ``mentioned`` are blocks of the second column, the answer's own stand in ``words``."""

    title: str
    invented: str
    rules_line: str
    unit_line: str
    cautions: tuple[str, ...]
    words: PairWords
    ends: tuple[EndDrawn, ...]
    ends_note: str
    afterwards: WordBlock | None
    wires_note: str
    sources: tuple[str, ...]
    footer: str


def pair_sheet_name(answer: PairAnswer) -> str:
    """File name of a pair's sheet: both ends' letters and figures."""
    return f"{plain_name('pair', '-with-'.join(end.name for end in answer.ends))}.pdf"


def pair_content(answer: PairAnswer) -> PairContent:
    """Everything that stands on the sheet of a pair."""
    join, rules, place = answer.join, answer.rules, answer.track.place
    types = {end.unit_type.type: end.unit_type for end in answer.ends}
    cautions = (STANDING_CAUTION, *rules.cautions.value, *(place_cautions(place) if place is not None else ()), NO_ORDER)
    return PairContent(
        title=f"{join.first} with {join.second}",
        invented=answer.invented,
        rules_line=f"Local rules: {rules.name}, edition {rules.edition} · {answer.track.words}",
        unit_line="Unit data: " + ", ".join(f"{unit.type} issue {unit.issue}" for unit in types.values()),
        cautions=cautions,
        words=pair_words(join, join.first, join.second),
        ends=(_drawn(answer.ends[0], answer, False), _drawn(answer.ends[1], answer, True)),
        ends_note=_knuckle_note(answer),
        afterwards=None if join.answer == "no" else WordBlock("Told and entered afterwards", _afterwards(rules), boxed=True),
        wires_note=BOTH_SIDES if any(all(match.patterns) for match in join.wires) else "",
        sources=tuple(dict.fromkeys([
            *(_source_line("Local rules", source) for source in rules.sources.values()),
            *(_source_line(f"Unit data {name}", source) for name, unit in types.items() for source in unit.sources.values()),
            *_declarations(answer)])),
        footer=f"{rules.name}, edition {rules.edition}. {answer.invented}".strip(),
    )  # fmt: skip


def _afterwards(rules: LocalRules) -> tuple[str, ...]:
    """The rules' lines with a blank where a job would fill in."""
    return tuple(line.filled(None if line.asks_value else "") for line in rules.tell_afterwards.value)


def _drawn(end: TypeEnd, answer: PairAnswer, opens_knuckle: bool) -> EndDrawn:
    state = stands_to_join(end, answer.join.best, opens_knuckle)
    how = "as it is left" if answer.join.answer == "no" else "ready to be joined"
    return EndDrawn(f"{end.name}, {how}", end_words(end, state), end_marks(devices_of(end), state))


def _knuckle_note(answer: PairAnswer) -> str:
    """Of two knuckles one is opened; which one hangs on what moves, so the drawing may be the other way round."""
    if answer.join.answer == "no" or answer.join.best.name != "direct" or not has_knuckle(answer.ends[0]):
        return ""
    opened = answer.rules.opens_knuckle_of.value
    return f"One knuckle is opened: that of the {opened} (local rules). Drawn as if {answer.ends[1].name} were on it."


def _declarations(answer: PairAnswer) -> list[str]:
    """Documents that declare these two types to work together."""
    names = {end.unit_type.type for end in answer.ends}
    return [f"Declared by {unit.type}: with {d.with_type} at {d.level}, {d.document}."
            for unit in (end.unit_type for end in answer.ends) for d in unit.declared
            if {unit.type, d.with_type} == names]  # fmt: skip


def _source_line(of: str, source: Source) -> str:
    edition = "" if source.edition == "none" else f", edition {source.edition}"
    status = "" if source.text.startswith(source.status) else f" ({source.status})"
    return f"{of}: {source.text}{edition}{status}."
