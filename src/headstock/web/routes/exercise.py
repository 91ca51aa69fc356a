"""Exercises: set one, join it with a short code, sit it, talk it through."""

from __future__ import annotations

import asyncio
import contextlib
from math import nan
from typing import Annotated, Any

from fastapi import APIRouter, Form, HTTPException, Request, Response, WebSocket, WebSocketDisconnect
from fastapi.responses import RedirectResponse

from headstock.base.errors import Fault, HeadstockError, InputError, StorageError
from headstock.local_rules.limit_figures import PressureUnit, bar_from, in_unit
from headstock.practice.events import MOST_READ_BAR
from headstock.practice.marking import mark_of
from headstock.practice.role_view import view_of
from headstock.practice.talk_through import talk_through_of
from headstock.practice.trainers_sheet import sheet_of
from headstock.usecases.exercise_file import read_exercise, ready_exercises
from headstock.usecases.file_sitting import sitting_key
from headstock.usecases.live_sitting import LiveSitting
from headstock.usecases.record_practice import DRILL_CAUTION
from headstock.usecases.record_terms import name_key
from headstock.usecases.sittings import Sittings
from headstock.web.asked import RecordsOf
from headstock.web.guards import is_known_host, is_own_origin
from headstock.web.live_sessions import NOT_NOW, LiveSessions
from headstock.web.people_seen import sees
from headstock.web.replies import is_part, page
from headstock.web.signing_in import token_of, visitor_of_socket
from headstock.web.sitting_board import SittingBoards
from headstock.web.sitting_ends import ends_seen
from headstock.web.visitor import needs, visitor_of

router = APIRouter(include_in_schema=False)
NOTED = ("saw", "noticed", "did", "heard", "found", "false find")
OF_A_ROLE = ("walked", "did", "ended", "heard", "turned", "declared", "stopped", "road answered")
Code = str
Word = Annotated[str, Form(max_length=40)]


def _sittings(request: Request | WebSocket) -> Sittings:
    found: Sittings = request.app.state.sittings
    return found


@router.get("/exercises", dependencies=[needs("sit exercises")])
def exercises(request: Request) -> Response:
    """Joining one by its code; ready exercises, which say what is hidden, for those alone who set them."""
    log, ready = _sittings(request).log, {name: read_exercise(path) for name, path in ready_exercises().items()}
    lately = [kept for code in log.codes()[:20] if (kept := log.kept(code)) is not None]
    return page(
        request, "exercises.html", ready=ready, lately=lately, may_set=sees(request, "set exercises"), drill=DRILL_CAUTION
    )


@router.post("/exercises/{name}/set", dependencies=[needs("set exercises")])
def set_one(request: Request, name: str) -> Response:
    """A new sitting."""
    return RedirectResponse(f"/sittings/{_sittings(request).begin(name).code}/trainer", 303)


@router.get("/sittings/join", dependencies=[needs("sit exercises")])
def join(request: Request, code: str = "") -> Response:
    """To a sitting by its code."""
    return RedirectResponse(f"/sittings/{_sittings(request).named(code).code}", 303)


@router.get("/sittings/{code}", dependencies=[needs("sit exercises")])
def choose(request: Request, code: Code) -> Response:
    """Choose a role, or look on."""
    live = _sittings(request).named(code)
    return page(request, "sitting.html", live=live, sitting=live.tick(), may_set=sees(request, "set exercises"))


@router.post("/sittings/{code}/take", dependencies=[needs("sit exercises")])
def take(
    request: Request,
    code: Code,
    role: Word,
    person: Annotated[str, Form(min_length=1, max_length=40)],
) -> Response:
    """Take a role: of those signed in each for themselves, and a trainer for anybody."""
    live = _sittings(request).named(code)
    if visitor_of(request).name and not sees(request, "set exercises"):
        person = visitor_of(request).name
        if live.sitting.is_played(role) and not _plays(request, live, role):
            raise HTTPException(
                403, f"the {role} is played by {live.sitting.people[role]}; the trainer can give it to somebody else"
            )
    live.act({"kind": "took", "role": role, "person": person})
    return RedirectResponse(f"/sittings/{live.code}/role/{role}", 303)


@router.get("/sittings/{code}/role/{role}", dependencies=[needs("sit exercises")])
def role_page(request: Request, code: Code, role: str) -> Response:
    """A role's page."""
    return _role_page(request, _sittings(request).named(code), role)


def _role_page(request: Request, live: LiveSitting, role: str, error: HeadstockError | None = None) -> Response:
    sitting = live.tick()
    if role not in live.exercise.roles:
        raise InputError(Fault("no such role", found=role, expected=", ".join(live.exercise.roles)))
    notes = [note for note in sitting.notes if (note.role == role and note.kind in NOTED) or note.kind == "stopped"][-4:]
    template = "role_part.html" if is_part(request) else "role.html"
    return page(request, template, live=live, view=view_of(sitting, role), sitting=sitting, notes=notes, error=error,
                ends=ends_seen(sitting, role), plays=_plays(request, live, role))  # fmt: skip


def _plays(request: Request, live: LiveSitting, role: str) -> bool:
    """Whether a visitor acts for a role: of those signed in only whoever took it. The others look on."""
    own = visitor_of(request).name
    return not own or name_key(own) == name_key(live.sitting.people.get(role) or "")


@router.post("/sittings/{code}/role/{role}", dependencies=[needs("sit exercises")])
async def act(request: Request, code: Code, role: str) -> Response:
    """Something a role does."""
    form = await request.form()
    live = await asyncio.to_thread(_sittings(request).named, code)
    if role in live.exercise.roles and not _plays(request, live, role):
        raise HTTPException(403, f"whoever plays the {role} acts for it; others look on")
    sent, unit = {key: str(value) for key, value in form.items()}, live.exercise.task.rules.pressure_unit
    try:
        await asyncio.to_thread(live.act, _event_of(role, sent, unit))
    except HeadstockError as error:
        if error.exit_status != 2:
            raise
        return await asyncio.to_thread(_role_page, request, live, role, error)
    if is_part(request):
        return await asyncio.to_thread(_role_page, request, live, role)
    return RedirectResponse(f"/sittings/{live.code}/role/{role}", 303)


def _event_of(role: str, form: dict[str, str], unit: PressureUnit) -> dict[str, Any]:
    """A form's fields as an event of a role; what was read is in the unit of the local rules."""
    kind = form.get("kind", "")
    if kind not in OF_A_ROLE:
        raise InputError(Fault("nothing that a role does", path="kind", found=kind, expected=", ".join(OF_A_ROLE)))
    data: dict[str, Any] = {key: value for key, value in form.items() if key not in ("read", "calls")}
    if kind == "ended":
        data["read_bar"] = _read_bar(form.get("read", "").strip(), unit)
        data["calls_it_good"] = form.get("calls", "good") == "good"
    if kind == "road answered":
        data["gives"] = form.get("gives") == "yes"
    return {**data, "role": role}


def _read_bar(text: str, unit: PressureUnit) -> float | None:
    """What somebody read off a gauge [bar]. Raises InputError for what is no figure."""
    try:
        value = float(text.replace(",", ".")) if text else None
    except ValueError:
        value = nan
    if value is not None and not 0.0 <= value <= in_unit(MOST_READ_BAR, unit):
        raise InputError(Fault("no figure of a gauge", path="read", found=text,
                               expected=f"{unit}, 0 to {in_unit(MOST_READ_BAR, unit):.0f}"))  # fmt: skip
    return bar_from(value, unit) if value is not None else None


@router.get("/sittings/{code}/trainer", dependencies=[needs("set exercises")])
def trainer(request: Request, code: Code) -> Response:
    """The trainer's sheet."""
    live = _sittings(request).named(code)
    sitting = live.tick()
    template = "trainer_part.html" if is_part(request) else "trainer.html"
    return page(request, template, live=live, sitting=sitting, sheet=sheet_of(sitting), mark=mark_of(sitting))


@router.post("/sittings/{code}/clock", dependencies=[needs("set exercises")])
def clock(
    request: Request, code: Code, do: Annotated[str, Form(pattern="^(hold|go)$")], rate: Annotated[float, Form(ge=1, le=60)] = 1.0
) -> Response:
    """Hold the clock, or let it go on."""
    live = _sittings(request).named(code)
    live.run_at(rate)
    live.hold(do == "hold")
    return RedirectResponse(f"/sittings/{live.code}/trainer", 303)


@router.post("/sittings/{code}/plant", dependencies=[needs("set exercises")])
def plant(request: Request, code: Code, what: Annotated[str, Form(max_length=130)]) -> Response:
    """Let something stand otherwise, as in "217/2.red_lamp=lit"; nobody is told."""
    live = _sittings(request).named(code)
    key, _, value = what.partition("=")
    live.act({"kind": "planted", "key": key, "value": value})
    return RedirectResponse(f"/sittings/{live.code}/trainer", 303)


@router.post("/sittings/{code}/end", dependencies=[needs("set exercises")])
def end(request: Request, code: Code) -> Response:
    """The sitting is over."""
    live = _sittings(request).named(code)
    live.act({"kind": "stopped"})
    return RedirectResponse(f"/sittings/{live.code}/talk-through", 303)


@router.post("/sittings/{code}/back", dependencies=[needs("set exercises")])
def back(request: Request, code: Code, until_s: Annotated[float, Form(ge=0, le=1e6)]) -> Response:
    """Go on from an earlier moment, as a new sitting."""
    return RedirectResponse(f"/sittings/{_sittings(request).branch(code, until_s).code}/trainer", 303)


@router.get("/sittings/{code}/watch", dependencies=[needs("sit exercises")])
def watch(request: Request, code: Code) -> Response:
    """For onlookers and a projector: who does what, nothing hidden shown."""
    live = _sittings(request).named(code)
    sitting = live.tick()
    template = "watch_part.html" if is_part(request) else "watch.html"
    return page(request, template, live=live, sitting=sitting, notes=_seen_by_all(sitting.notes)[-12:])


def _seen_by_all(notes: Any) -> list[Any]:
    return [note for note in notes if note.kind in ("did", "went", "began", "heard", "stopped")]


@router.get("/sittings/{code}/talk-through", dependencies=[needs("sit exercises")])
def talk_through(request: Request, code: Code, records: RecordsOf) -> Response:
    """Afterwards: the timeline, the marks, the traces; where it stands on record. While it goes on, for trainers alone."""
    live = _sittings(request).named(code)
    sitting, kept = live.tick(), _sittings(request).log.kept(live.code)
    if not sitting.is_over and not sees(request, "set exercises"):
        raise HTTPException(403, "the talk-through shows what is hidden; it is there for everybody when the sitting is over")
    on_record = records.named(sitting_key(live.code, kept.began)) if kept is not None else None
    return page(request, "talk_through.html", live=live, sitting=sitting, mark=mark_of(sitting), talk=talk_through_of(sitting),
                began=kept.began if kept is not None else "", on_record=on_record, drill=DRILL_CAUTION,
                may_record=sees(request, "set exercises"))  # fmt: skip


@router.websocket("/sittings/{code}/live")
async def live_updates(socket: WebSocket, code: Code, role: str = "") -> None:
    """Twenty times a second what gauges and clock show; when something happened, the number of the change."""
    try:
        visitor = await asyncio.to_thread(visitor_of_socket, socket)
    except StorageError:
        await socket.close(NOT_NOW)
        return
    is_from_here = is_known_host(socket) and is_own_origin(socket)
    if not is_from_here or visitor is None or not socket.app.state.may(visitor, "sit exercises"):
        await socket.close(4403)
        return
    await socket.accept()
    try:
        live = await asyncio.to_thread(_sittings(socket).named, code)
    except HeadstockError:
        await socket.close(4404)
        return
    hears = asyncio.create_task(_hear(socket))
    try:
        with contextlib.suppress(WebSocketDisconnect, RuntimeError):
            await _send_updates(socket, live, role)
    finally:
        hears.cancel()


async def _hear(socket: WebSocket) -> None:
    """Throw away what a page says: while a message waits the server reads on no further, not even that it is over."""
    with contextlib.suppress(RuntimeError):
        while (await socket.receive())["type"] != "websocket.disconnect":
            pass


async def _send_updates(socket: WebSocket, live: LiveSitting, role: str) -> None:
    """Until the page is left, or the session ends with which it was opened. An update goes at least once a second."""
    boards: SittingBoards = socket.app.state.sitting_boards
    sessions: LiveSessions = socket.app.state.live_sessions
    with boards.looked_at(live) as board, sessions.watched(token_of(socket)) as watched:
        async for text in board.updates(role):
            if watched.close_with:
                await socket.close(watched.close_with)
                return
            await socket.send_text(text)
