"""A plain text instruction in lines: numbers, bullets and columns taken off, the role found, headings set apart."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final, Literal

from headstock.base.documents import printable_text, read_text
from headstock.base.errors import ContentError, Fault, NotationError
from headstock.base.located import shown
from headstock.base.nearest import nearest_of
from headstock.usecases.trade_words import TradeWords

MOST_LINES: Final = 2000
LONGEST_LINE: Final = 1000
_HEADING = re.compile(r"\s*headstock\s*:")
_NUMBER = re.compile(r"\s*(?:\(?\d+(?:\.\d+)*[.)]|\(?\d+\)|[-*•–]|step \d+[.:)]?)\s+", re.IGNORECASE)
_COLUMN_NUMBER = re.compile(r"\s*\d+\s*(?:\||\t)\s*")
_RULE = re.compile(r"[\s|:=_*~+-]+")
_SPOKEN = re.compile(r"(?P<who>[^\W\d_][^:|\t.;]{0,40}?)\s*(?:[:|\t]|\s[-–—]\s|\s{2,})\s*(?P<does>\S.*)")
_SEVERAL = re.compile(r"\s*(?:,|&|\+|/|\band\b|\bor\b)\s*")

Kind = Literal["step", "heading", "remark", "loose"]


@dataclass(frozen=True, slots=True)
class WrittenLine:
    """One line with its place in the file; ``role`` is "" where none is written.

    A ``loose`` line has neither number nor role in a text whose lines are numbered: most likely a heading.
    """

    number: int
    raw: str
    text: str
    role: str = ""
    kind: Kind = "step"


def is_plain_text(path: Path) -> bool:
    """Whether a file is to be read as plain text: `*.txt`, or one that does not begin as a file of Headstock does.

    A file called YAML is never plain text: there a missing heading is a slip. Raises FileError for one not readable.
    """
    suffix = path.suffix.lower()
    if suffix in (".yaml", ".yml"):
        return False
    text = read_text(path).removeprefix("\ufeff")
    lines = (line for line in text.splitlines() if line.strip() and not line.lstrip().startswith("#"))
    return suffix == ".txt" or _HEADING.match(next(lines, "")) is None


def written_lines(path: Path, words: TradeWords, vocabulary: frozenset[str]) -> tuple[WrittenLine, ...]:
    """The lines of a plain text instruction. Raises InputError with every fault of the file.

    ``vocabulary`` holds small-letter words that the job's steps use: such a word before a colon is no role.
    """
    name = str(path)
    rows = printable_text(read_text(path), name).split("\n")
    _check_size(rows, name)
    reader = _Reader(words, vocabulary, name)
    lines = reader.lines(rows)
    if reader.faults:
        raise ContentError(
            reader.faults, cure="Begin each line with one role of the crew and a colon, or add the word to the trade words."
        )
    if not any(line.kind in ("step", "loose") for line in lines):
        expected = "one line for each step, such as 'Shunter: ask for the road'"
        raise NotationError(
            Fault("the instruction has no line", name, found="nothing but blank lines and headings", expected=expected),
            cure="Write who does what, one step a line, in the order in which it is done.",
        )
    return lines


def _check_size(rows: Sequence[str], name: str) -> None:
    if len(rows) > MOST_LINES:
        raise NotationError(Fault("too many lines", name, found=str(len(rows)), expected=f"at most {MOST_LINES}"))
    for number, row in enumerate(rows, start=1):
        if len(row) > LONGEST_LINE:
            expected = f"at most {LONGEST_LINE} letters in a line"
            raise NotationError(Fault("line too long", name, number, found=str(len(row)), expected=expected))


class _Reader:
    def __init__(self, words: TradeWords, vocabulary: frozenset[str], name: str) -> None:
        self.roles: Mapping[str, str] = {way.casefold(): role for role, ways in words.roles.items() for way in (role, *ways)}
        self.remarks = {word.casefold() for word in words.remarks}
        self.vocabulary = vocabulary
        self.name = name
        self.faults: list[Fault] = []
        longest_first = sorted((way for way in self.roles if len(way) > 1), key=len, reverse=True)
        ways = "|".join(map(re.escape, longest_first))
        self.leading = re.compile(rf"(?:the\s+)?(?P<who>{ways})\b(?!['’])\s*(?:[:|–—-]\s*)?(?P<does>.+)", re.IGNORECASE)

    def lines(self, rows: Sequence[str]) -> tuple[WrittenLine, ...]:
        is_numbered = [self._is_numbered(row) for row in rows]
        counts = 2 * sum(is_numbered) >= sum(bool(row.strip()) for row in rows)
        found: list[WrittenLine] = []
        for number, row in enumerate(rows, start=1):
            if not row.strip():
                continue
            if self._continues(row, number, found, is_numbered):
                last = found[-1]
                found[-1] = WrittenLine(last.number, last.raw, f"{last.text} {row.strip()}", last.role, last.kind)
                continue
            following = next((later for later in rows[number:] if later.strip()), "")
            line = self._line(number, row, following)
            if line.kind == "step" and not line.role and counts and not is_numbered[number - 1]:
                line = replace(line, kind="loose")
            found.append(line)
        return tuple(found)

    @staticmethod
    def _is_numbered(row: str) -> bool:
        return bool(_NUMBER.match(row) or _COLUMN_NUMBER.match(row.lstrip("| ")))

    def _continues(self, row: str, number: int, found: Sequence[WrittenLine], is_numbered: Sequence[bool]) -> bool:
        """An indented row without a number or role goes on from the numbered one straight above it."""
        if not found or not row[0].isspace() or is_numbered[number - 1] or number < 2 or found[-1].kind != "step":
            return False
        above = is_numbered[found[-1].number - 1]
        return above and self._role_of(row.strip())[0] == "" and not row.strip().startswith("#")

    def _line(self, number: int, row: str, following: str) -> WrittenLine:
        stripped = row.strip()
        text = _without_number(stripped)
        before_colon = text.partition(":")[0].strip().casefold()
        if before_colon in self.remarks and ":" in text:
            return WrittenLine(number, stripped, text, kind="remark")
        if stripped.startswith("#") or _RULE.fullmatch(stripped) or _is_table_head(stripped, following):
            return WrittenLine(number, stripped, text, kind="heading")
        if self._names_two_roles(number, text):
            return WrittenLine(number, stripped, text)
        role, does = self._role_of(text)
        if not does.strip(" .:") or text.endswith(":") or _is_shouted(text):
            return WrittenLine(number, stripped, text, kind="heading")
        if not role:
            self._judge_unknown_role(number, text)
        return WrittenLine(number, stripped, does.strip(" |\t"), role)

    def _role_of(self, text: str) -> tuple[str, str]:
        """The role that a line begins with and the rest; "" where it begins with none."""
        spoken = _SPOKEN.fullmatch(text)
        if spoken is not None:
            role = self.roles.get(spoken["who"].casefold().removeprefix("the ").strip())
            if role is not None:
                return role, spoken["does"]
        leading = self.leading.fullmatch(text)
        return (self.roles[leading["who"].casefold()], leading["does"]) if leading is not None else ("", text)

    def _names_two_roles(self, number: int, text: str) -> bool:
        who = re.split(r"[:|\t]", text, maxsplit=1)[0].strip()
        parts = [part.removeprefix("the ") for part in _SEVERAL.split(who.casefold()) if part]
        if who == text or len(parts) < 2 or not all(part in self.roles for part in parts):
            return False
        self.faults.append(Fault("two roles on one line", self.name, number, found=shown(who), expected="a line for each"))
        return True

    def _judge_unknown_role(self, number: int, text: str) -> None:
        """One or two words before a colon, none of which the steps use, can only be somebody."""
        spoken = re.fullmatch(r"(?P<who>[^\W\d_]+(?:[ -][^\W\d_]+)?)\s*[:|\t]\s*\S.*", text)
        if spoken is None or any(word in self.vocabulary for word in re.findall(r"[^\W\d_]+", spoken["who"].casefold())):
            return
        roles = dict.fromkeys(self.roles.values())
        fault = Fault("unknown role", self.name, number, found=shown(spoken["who"]), expected=", ".join(roles),
                      nearest=nearest_of(spoken["who"], roles))  # fmt: skip
        self.faults.append(fault)


def _without_number(text: str) -> str:
    text = text.removeprefix("|").strip().removesuffix("|").strip() if text.startswith("|") else text
    column = _COLUMN_NUMBER.match(text)
    number = column or _NUMBER.match(text)
    return text[number.end() :].strip() if number is not None else text


def _is_shouted(text: str) -> bool:
    letters = [sign for sign in text if sign.isalpha()]
    return len(letters) > 3 and text.isupper() and not any(sign.isdigit() for sign in text)


def _is_table_head(row: str, following: str) -> bool:
    """A row of a table over a row of dashes."""
    return "|" in row and "-" in following and _RULE.fullmatch(following.strip()) is not None and "|" in following
