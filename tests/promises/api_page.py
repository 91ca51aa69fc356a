"""The page of the API, made from the description that the server gives (OpenAPI), so that it cannot fall behind.

``python -m tests.promises.api_page`` writes it; a test compares.
"""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from tests.promises.tree import ROOT

PAGE = ROOT / "docs" / "reference" / "api.md"
HEAD = """# API

> Headstock is a planning and training aid. The railway's own rule book, the infrastructure manager's instructions, the
> maintainer's documents and the person in charge on the ground come first. An answer is no permission to move, and the
> built-in data are invented.

`headstock serve` answers the questions of the command line as JSON under `/api/v1`: the same use cases, the same answers as
with `--json`, the same words for what is wrong. `/api/openapi.json` describes it for programs. Bodies are JSON of at most 2
MB with their length in the header; a job is sent as the text of its file (`job`) or meant by its code on the book (`code`);
files that it names beside itself go into `files` by name, others must be built in, and no name may lead to a folder.
Answers are kept: the same question again is answered at once. Two questions are worked out at a time; what takes longer
than 45 s, or comes when twelve are waiting, is answered with 503, goes on or not as it says, and may be asked again.

What records something takes a key of your own making in the header `Idempotency-Key`: the same key with the same content
adds nothing and is answered with the entry that is there, with other content it is refused with 409.

```sh
curl -s localhost:8000/api/v1/join -H 'Content-Type: application/json' -d '{"first": "beck/1", "second": "tarn/1"}'
```

"""


def description(data: Path) -> dict[str, Any]:
    """What the server says of itself, on empty records in a folder."""
    from headstock.usecases.serving import Serving
    from headstock.web.application import make_app

    app = make_app(Serving(database=str(data / "records.db")))
    found: dict[str, Any] = app.openapi()
    return found


def page(data: Path) -> str:
    """The whole page."""
    return HEAD + "\n".join(_lines(description(data)))


def _lines(api: dict[str, Any]) -> Iterator[str]:
    from headstock.web.api.shapes import STATUSES

    yield "## Errors\n\nOne shape, with a list of every fault:\n"
    yield from _table(api["components"]["schemas"]["ErrorSaid"], api, asks=False)
    yield "\nEach of `faults`:\n"
    yield from _table(api["components"]["schemas"]["FaultSaid"], api, asks=False)
    yield "\n| status | when |\n|---|---|"
    yield from (f"| {status} | {words} |" for status, words in STATUSES.items())
    for path, calls in api["paths"].items():
        for method, call in calls.items():
            yield from _call(method.upper(), path, call, api)


def _call(method: str, path: str, call: dict[str, Any], api: dict[str, Any]) -> Iterator[str]:
    yield f"\n## {method} {path}\n\n{call['description']} Answered {call['responses']['200']['description']}.\n"
    given = [(one["name"], one["in"], one["schema"], one.get("description", "")) for one in call.get("parameters", ())]
    if given:
        yield "| given in the address or header | type | what |\n|---|---|---|"
        yield from (f"| `{name}` ({where}) | {_type(schema, api)} | {words} |" for name, where, schema, words in given)
        yield ""
    if "requestBody" in call:
        yield from _table(_meant(call["requestBody"]["content"]["application/json"]["schema"], api), api)


def _table(schema: dict[str, Any], api: dict[str, Any], asks: bool = True) -> Iterator[str]:
    required = schema.get("required", ())
    yield "| key | type | what |\n|---|---|---|"
    for name, one in schema["properties"].items():
        must = ", must be given" if asks and name in required else ""
        default = f"; {one['default']!r} if not given" if one.get("default") not in (None, [], {}, "") else ""
        yield f"| `{name}` | {_type(one, api)} | {one.get('description', '')}{must}{default} |"


def _type(schema: dict[str, Any], api: dict[str, Any]) -> str:
    schema = _meant(schema, api)
    if "anyOf" in schema:
        return " or ".join(_type(one, api) for one in schema["anyOf"] if one.get("type") != "null")
    if "enum" in schema:
        return " or ".join(f"`{one}`" for one in schema["enum"])
    kind = {"string": "text", "integer": "whole number", "number": "number", "boolean": "true or false", "array": "list",
            "object": "text by name"}.get(schema.get("type", ""), "object")  # fmt: skip
    low, high = schema.get("minimum"), schema.get("maximum")
    return f"{kind}, {low:g} to {high:g}" if low is not None and high is not None else kind


def _meant(schema: dict[str, Any], api: dict[str, Any]) -> dict[str, Any]:
    name = schema.get("$ref", "").rpartition("/")[2]
    found: dict[str, Any] = api["components"]["schemas"][name] if name else schema
    return found


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as folder:
        PAGE.write_text(page(Path(folder)) + "\n", encoding="utf-8")
