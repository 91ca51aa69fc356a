"""Texts spoilt at random, reproducibly: what a slip of the hand, a broken disk or somebody hostile makes of a file."""

from __future__ import annotations

import random
import re
from collections.abc import Callable, Sequence

FIGURES = ("0", "-1", "1e309", "-1e309", ".nan", ".inf", "1e-320", "99999999999999999999", "0x10", "1_000")
TIMES = ("24:60:61", "2026-02-30", "00:00:00")
MARKS = (
    "'",
    '"',
    "|",
    ">",
    "&a",
    "*a",
    "<<: *a",
    "!!python/name:os.system",
    "!!binary x",
    "!!set {a}",
    "? a",
    "- a",
    "a: b",
    "# a",
)
SIGNS = (
    "# a",
    "%YAML 2.0",
    "---",
    "...",
    "\t",
    "\0",
    "\u2028",
    "\u202e",
    "\ufeff",
    "\ud800",
    "[" * 200,
    "{a: " * 200,
    "- " * 300,
)
WORDS = (
    "",
    "null",
    "~",
    "[]",
    "{}",
    "[[[]]]",
    "true",
    "no",
    "é" * 300,
    "x" * 5000,
    "<script>alert(1)</script>",
    "=1+1",
    "${HOME}",
)
PATHS = (
    "../../../../etc/passwd",
    "/dev/zero",
    "/dev/stdin",
    "C:\\con",
    "a.yaml\n",
    "217/1",
    "217/2.brake_pipe_cock",
    "1/2/3",
    ".",
    "/",
)
NASTY = (*FIGURES, *TIMES, *MARKS, *SIGNS, *WORDS, *PATHS)
NUMBER = re.compile(r"-?\d+(?:\.\d+)?")
SCALAR = re.compile(r"(?<=: )[^\n{\[][^\n,}\]]*")
Change = Callable[[random.Random, str, Sequence[str]], str]


def _span(chance: random.Random, text: str, longest: int = 80) -> tuple[int, int]:
    begins = chance.randrange(len(text) + 1)
    return begins, min(len(text), begins + chance.randrange(1, longest))


def _cut(chance: random.Random, text: str, _: Sequence[str]) -> str:
    begins, ends = _span(chance, text)
    return text[:begins] + text[ends:]


def _twice(chance: random.Random, text: str, _: Sequence[str]) -> str:
    begins, ends = _span(chance, text)
    return text[:ends] + text[begins:]


def _ends_early(chance: random.Random, text: str, _: Sequence[str]) -> str:
    return text[: chance.randrange(len(text) + 1)]


def _put_in(chance: random.Random, text: str, _: Sequence[str]) -> str:
    here = chance.randrange(len(text) + 1)
    return text[:here] + chance.choice(NASTY) + text[here:]


def _other_scalar(chance: random.Random, text: str, _: Sequence[str]) -> str:
    return _instead(chance, text, SCALAR, chance.choice(NASTY))


def _other_number(chance: random.Random, text: str, _: Sequence[str]) -> str:
    return _instead(
        chance, text, NUMBER, chance.choice((*NASTY[6:14], str(chance.uniform(-1e4, 1e4)), str(chance.randrange(100))))
    )


def _instead(chance: random.Random, text: str, what: re.Pattern[str], word: str) -> str:
    found = list(what.finditer(text))
    if not found:
        return text
    here = chance.choice(found)
    return text[: here.start()] + word + text[here.end() :]


def _lines_changed(chance: random.Random, text: str, _: Sequence[str]) -> str:
    lines = text.split("\n")
    one, other = chance.randrange(len(lines)), chance.randrange(len(lines))
    lines[one], lines[other] = lines[other], lines[one]
    return "\n".join(lines)


def _moved_in(chance: random.Random, text: str, _: Sequence[str]) -> str:
    lines = text.split("\n")
    one = chance.randrange(len(lines))
    lines[one] = " " * chance.randrange(1, 4) + lines[one] if chance.random() < 0.5 else lines[one].lstrip()
    return "\n".join(lines)


def _of_another(chance: random.Random, text: str, others: Sequence[str]) -> str:
    other = chance.choice(others)
    begins, ends = _span(chance, other, 400)
    here = chance.randrange(len(text) + 1)
    return text[:here] + other[begins:ends] + text[here:]


CHANGES: tuple[Change, ...] = (_cut, _twice, _ends_early, _put_in, _other_scalar, _other_scalar, _other_number, _other_number,
                               _lines_changed, _moved_in, _of_another)  # fmt: skip


def spoilt(seed: int, texts: Sequence[str], others: Sequence[str]) -> bytes:
    """One of the texts, changed one to four times; now and then with bytes that are no text."""
    chance = random.Random(seed)
    text = chance.choice(texts)
    for _ in range(chance.randrange(1, 5)):
        text = chance.choice(CHANGES)(chance, text, others)
    content = text.encode("utf-8", "surrogatepass")
    if chance.random() < 0.05 and content:
        here = chance.randrange(len(content))
        content = content[:here] + chance.randbytes(chance.randrange(1, 6)) + content[here + 1 :]
    return content
