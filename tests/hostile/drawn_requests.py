"""Requests drawn at random, reproducibly, for every route: some as a browser sends them, most spoilt in some place."""

from __future__ import annotations

import json
import random
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, get_args
from urllib.parse import quote, urlencode

from fastapi.routing import APIRoute

from headstock.web.application import API, ROUTERS
from headstock.web.routes.exercise import OF_A_ROLE
from tests.hostile.mutations import NASTY, spoilt
from tests.promises.tree import ROOT

TEMPLATES = ROOT / "src" / "headstock" / "web" / "templates"
FIELD = re.compile(r'name="([a-z_0-9:]+)"')
HEAVY = ("/find", "/mistakes", "/forecast", "/plan", "/can", "/table", "/check", ".pdf", "/hand-over", "/stop", "/show/",
         "/look", "/set", "/begin", "/sign-in", "/own-password", "/export", "/verify")  # fmt: skip
"""Asked less often: an answer that has to be worked out takes a second and more."""
KINDS_SENT = ("application/x-www-form-urlencoded", "application/json", "multipart/form-data; boundary=x", "multipart/form-data",
              "text/plain", "application/json; charset=utf-16", "", "\xff")  # fmt: skip
CROOKED_NUMBERS: tuple[Any, ...] = (0, -1, 1, 2, 10**30, 1e308, 0.5, -0.0, 1e-320, True)
CROOKED: tuple[Any, ...] = (None, [], {}, [[]], {"a": 1}, *CROOKED_NUMBERS)
STRANGE_HEADERS = (
    ("host", "["), ("host", ""), ("host", "testserver:99999999"), ("origin", "http://["), ("origin", "null"),
    ("origin", "\xff"), ("content-length", "9" * 5000), ("content-length", "-1"), ("transfer-encoding", "chunked"),
    ("cookie", "theme=\xff; headstock=a; =;;"), ("hx-request", "true"), ("accept", "application/json"), ("accept", "\xff"),
    ("accept-encoding", "gzip;q=x"), ("range", "bytes=9-1"), ("if-modified-since", "\xff"), ("if-none-match", "*"),
    ("content-encoding", "gzip"),
)  # fmt: skip
"""One of them now and then."""


@dataclass(frozen=True, slots=True)
class Drawn:
    """A request."""

    method: str
    path: str
    headers: Mapping[str, str]
    body: bytes


@dataclass
class Known:
    """What is there to be named: values by the name of the field, and texts of files."""

    values: dict[str, list[str]] = field(default_factory=dict)
    texts: dict[str, str] = field(default_factory=dict)

    def of(self, name: str) -> list[str]:
        """Good values for a field."""
        return self.values.get(name, [])


def routes() -> list[APIRoute]:
    """Every route that is asked, those that are quick ten times."""
    found = [route for router in (*ROUTERS, *API) for route in router.routes if isinstance(route, APIRoute)]
    return [route for route in found for _ in range(1 if any(part in route.path for part in HEAVY) else 10)]


def field_names() -> list[str]:
    """Names of fields of any form."""
    some = {name for path in TEMPLATES.glob("*.html") for name in FIELD.findall(path.read_text(encoding="utf-8"))}
    return sorted(some | {"q1", "q2", "crew:driver", "unit_type:0", "unit_name:0", "left:217/1.brake_pipe_cock", "board:217"})


class Drawer:
    """Draws requests, each by its number."""

    def __init__(self, known: Known) -> None:
        self.known, self.routes, self.fields = known, routes(), field_names()
        self.texts = tuple(known.texts.values())

    def draw(self, seed: int) -> Drawn:
        """The request of that number."""
        chance = random.Random(seed)
        route = chance.choice(self.routes)
        method = (
            chance.choice(sorted(route.methods))
            if chance.random() < 0.98
            else chance.choice(("HEAD", "PUT", "DELETE", "OPTIONS"))
        )
        headers = {"origin": "https://testserver"}
        body = b""
        if method not in ("GET", "HEAD", "OPTIONS"):
            kind, body = self._body(chance, route)
            headers["content-type"] = kind
        if chance.random() < 0.06:
            name, value = chance.choice(STRANGE_HEADERS)
            headers[name] = value
        if chance.random() < 0.15:
            headers |= chance.choice(({"accept": "application/json"}, {"hx-request": "true"}))
        return Drawn(method, self._path(chance, route), headers, body)

    def _path(self, chance: random.Random, route: APIRoute) -> str:
        path = route.path
        for name in route.param_convertors:
            word = self._word(chance, f"{route.path}:{name}" if self.known.of(f"{route.path}:{name}") else name, 0.25)
            path = path.replace("{" + name + "}", quote(word, safe=chance.choice(("", "/", "/.%")), errors="replace"))
        asked = [one.name for one in route.dependant.query_params if chance.random() < 0.6]
        asked += [chance.choice(self.fields)] if chance.random() < 0.05 else []
        query = urlencode([(name, self._word(chance, name, 0.4)) for name in asked], errors="replace")
        return f"{path}?{query}" if query else path

    def _word(self, chance: random.Random, name: str, nasty: float) -> str:
        """A value for a field: good ones where some are known, else any."""
        good = self.known.of(name)
        if not good or chance.random() < nasty:
            good = list(NASTY) if chance.random() < 0.7 else [value for some in self.known.values.values() for value in some]
        word = chance.choice(good)
        return word[: chance.randrange(len(word) + 1)] if chance.random() < 0.03 else word

    def _text(self, chance: random.Random, name: str) -> str:
        """A file's text, as it should be or spoilt."""
        text = self.known.texts.get(name) or chance.choice(self.texts)
        if chance.random() < 0.3:
            return text
        return spoilt(chance.randrange(10**9), (text,), self.texts).decode("utf-8", "replace")

    def _body(self, chance: random.Random, route: APIRoute) -> tuple[str, bytes]:
        if chance.random() < 0.05:
            return chance.choice(KINDS_SENT), chance.randbytes(chance.randrange(400))
        model = route.body_field
        if model is not None and "json" in str(getattr(model.field_info, "media_type", "application/json")):
            value = self._value(chance, _schema_of(model), "", {})
            content = json.dumps(value, allow_nan=True, ensure_ascii=chance.random() < 0.5).encode("utf-8", "surrogatepass")
            return "application/json", content if chance.random() < 0.9 else content[: chance.randrange(len(content) + 1)]
        return self._form(chance, route)

    def _form(self, chance: random.Random, route: APIRoute) -> tuple[str, bytes]:
        names = [one.name for one in route.dependant.body_params if chance.random() < 0.9] or chance.sample(self.fields, 12)
        names += chance.sample(self.fields, chance.choice((0, 0, 0, 3)))
        filled = [(name, self._text(chance, "unit type" if "fleet" in route.path else "job") if name in ("text", "file") else
                   self._word(chance, name, 0.25)) for name in names]  # fmt: skip
        if "file" not in names and chance.random() < 0.9:
            return KINDS_SENT[0], urlencode(filled, errors="replace").encode()
        return "multipart/form-data; boundary=x", self._multipart(chance, filled)

    def _multipart(self, chance: random.Random, filled: Sequence[tuple[str, str]]) -> bytes:
        parts = []
        for name, value in filled:
            file = f'; filename="{self._word(chance, "name", 0.5)}"' if name == "file" else ""
            content = value.encode("utf-8", "replace") if chance.random() < 0.9 else chance.randbytes(200)
            head = f'--x\r\nContent-Disposition: form-data; name="{name}"{file}\r\n\r\n'.encode("utf-8", "replace")
            parts.append(head + content + b"\r\n")
        return b"".join(parts) + (b"--x--\r\n" if chance.random() < 0.9 else b"")

    def _value(self, chance: random.Random, schema: Mapping[str, Any], name: str, named: Mapping[str, Any]) -> Any:
        """A value for a part of a body, by the description of its shape."""
        named = schema.get("$defs", named)
        schema = named.get(str(schema.get("$ref", "")).rsplit("/", 1)[-1], schema)
        if chance.random() < 0.04:
            return chance.choice((*CROOKED, "\ud800", "a\0b", chance.choice(NASTY)))
        if "anyOf" in schema:
            return self._value(chance, chance.choice(schema["anyOf"]), name, named)
        if "enum" in schema:
            return chance.choice(schema["enum"])
        made = {"object": self._group, "array": self._list}.get(schema.get("type", ""))
        if made is not None:
            return made(chance, schema, name, named)
        if schema.get("type") in ("integer", "number", "boolean", "null"):
            return None if schema["type"] == "null" else chance.choice(CROOKED_NUMBERS)
        is_text = schema.get("maxLength", 0) >= 100_000
        return self._text(chance, name) if is_text else self._word(chance, name, 0.25)

    def _group(self, chance: random.Random, schema: Mapping[str, Any], name: str, named: Mapping[str, Any]) -> Any:
        if "properties" not in schema:
            if name == "events":
                return {key: self._word(chance, key, 0.15) for key in (*EVENT, *chance.sample(self.fields, 2))}
            names = chance.sample(("job.yaml", "place.yaml", *NASTY), chance.randrange(3))
            return {key: self._text(chance, "job") for key in names}
        needed = schema.get("required", ())
        found = {key: self._value(chance, inner, key, named) for key, inner in schema["properties"].items()
                 if chance.random() < (0.97 if key in needed or key == "job" else 0.3)}  # fmt: skip
        return found | ({chance.choice(("a", "\ud800", "")): 1} if chance.random() < 0.02 else {})

    def _list(self, chance: random.Random, schema: Mapping[str, Any], name: str, named: Mapping[str, Any]) -> Any:
        count = chance.choice((0, 1, 1, 2, 3, 50))
        return [self._value(chance, schema.get("items", {}), name, named) for _ in range(count)]


EVENT = ("key", "test", "what", "at", "who", "stage", "shows", "unit")
"""Fields of an event of a test in hand."""


def _schema_of(model: Any) -> dict[str, Any]:
    from pydantic import TypeAdapter

    found: dict[str, Any] = TypeAdapter(model.field_info.annotation).json_schema()
    return found


def kinds_of_event() -> list[str]:
    """What an event of a test in hand may be."""
    from headstock.usecases.test_events import TestEvent

    return [*OF_A_ROLE, *map(str, get_args(TestEvent.model_fields["what"].annotation))]
