"""What is wrong with a text that is not YAML, in words for somebody who never heard of a parser."""

from __future__ import annotations

# First match wins. Left: a piece of what the parser says; right: what is wrong, and what belongs there.
_WORDS: tuple[tuple[str, str, str], ...] = (
    (
        "mapping values are not allowed",
        "a colon where none can stand",
        "quotes around text with ': ' in it, and equal parts equally indented",
    ),
    ("escape", "a backslash sequence inside double quotes that means nothing", "single quotes, or a doubled backslash"),
    ("scanning a quoted scalar", "a quote that is never closed", "a closing quote"),
    ("scanning an alias", "a * where text begins", "the text in quotes"),
    ("scanning an anchor", "a & where text begins", "the text in quotes"),
    ("scanning a tag", "an ! where text begins", "the text in quotes"),
    ("parsing a flow sequence", "a list in [ ] that is not finished or lacks a comma", "commas between items and a ]"),
    ("parsing a flow mapping", "a group in { } that is not finished or lacks a comma", "commas between items and a }"),
    ("parsing a block collection", "a list item that does not line up", "the same indentation for each '-'"),
    ("parsing a block sequence", "a list item that does not line up", "the same indentation for each '-'"),
    (
        "parsing a block mapping",
        "a line that does not line up with those above it",
        "the same indentation for equal parts",
    ),
    ("could not find expected ':'", "a name without its colon", "name: value"),
    ("block scalar", "text after | or > that does not line up", "text indented by spaces, deeper than its name"),
    ("block sequence entries are not allowed", "a '-' where no list item can stand", "the '-' on a line of its own"),
    ("did not find expected <document start>", "a second beginning", "one group of names and values"),
    ("nesting depth", "nested too deep", "at most 40 levels"),
    ("expected node content", "a bracket or comma where none can stand", "the text in quotes"),
    ("expected the node content", "a bracket or comma where none can stand", "the text in quotes"),
    ("directive", "a line beginning with %", "no such line; a text beginning with % in quotes"),
    ("undefined tag handle", "an ! where text begins", "the text in quotes"),
)
_NOT_A_START = {
    "\t": ("a tab used to indent", "spaces"),
    "@": ("an @ where text begins", "the text in quotes"),
    "`": ("a ` where text begins", "the text in quotes"),
    "%": ("a % where text begins", "the text in quotes"),
}


def plain_words(problem: str, context: str, at: str) -> tuple[str, str]:
    """What is wrong, what was expected; `problem` and `context` as the parser says them, `at` the character there."""
    said = f"{problem} {context}"
    if at == "\t" or "start any token" in said or "violates indentation" in said:
        return _NOT_A_START.get(at, ("a character that cannot begin anything", "the text in quotes"))
    for piece, what, expected in _WORDS:
        if piece in said:
            return what, expected
    return "not written as YAML", "lines of the form 'name: value'"
