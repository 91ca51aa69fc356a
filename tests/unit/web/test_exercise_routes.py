"""Routes of exercises: who sees what is hidden, and from where live figures may be asked."""

from typing import Any, cast

import pytest
from starlette.testclient import TestClient
from starlette.websockets import WebSocketDisconnect

from headstock.usecases.roles import Role, may
from headstock.web.visitor import Visitor


def _as(client: TestClient, role: Role) -> TestClient:
    """The same application, asked by somebody of a role."""
    app: Any = client.app
    app.state.may = lambda visitor, act: may(visitor.role, act)

    async def signed_in(scope: Any, receive: Any, send: Any) -> None:
        scope["state"] = {**scope.get("state", {}), "visitor": Visitor("K. Ray", role)}
        await app(scope, receive, send)

    return TestClient(signed_in, raise_server_exceptions=False)


def _sitting(client: TestClient) -> str:
    return str(client.post("/exercises/attach-plain/set").url).split("/")[-2]


def test_what_is_hidden_is_talked_through_with_everybody_only_when_it_is_over(client: TestClient) -> None:
    code = _sitting(client)
    crew, instructor = _as(client, "crew"), _as(client, "instructor")
    early = crew.get(f"/sittings/{code}/talk-through")
    assert early.status_code == 403 and "when the sitting is over" in early.text
    assert instructor.get(f"/sittings/{code}/talk-through").status_code == 200
    instructor.post(f"/sittings/{code}/end")
    assert crew.get(f"/sittings/{code}/talk-through").status_code == 200


@pytest.mark.parametrize("host", ["elsewhere.example", ""])
def test_live_figures_are_not_given_under_another_name(client: TestClient, host: str) -> None:
    code = _sitting(client)
    with client.websocket_connect(f"/sittings/{code}/live") as socket:
        assert cast(dict[str, Any], socket.receive_json())["over"] is False
    with pytest.raises(WebSocketDisconnect) as closed, client.websocket_connect(f"/sittings/{code}/live", headers={"host": host}):
        pass
    assert closed.value.code == 4403


def _asked_for_the_road(client: TestClient) -> tuple[str, str]:
    """A sitting in which yard control has asked for the road: its code, and what wants it."""
    code = str(client.post("/exercises/attach-road-wanted/set").url).split("/")[-2]
    app: Any = client.app
    live = app.state.sittings.named(code)
    name = live.exercise.movements[0].name
    live.act({"kind": "took", "role": "shunter", "person": "J. Tolk"})
    live.act({"kind": "road asked", "movement": name})
    return code, name


@pytest.mark.parametrize(("gives", "stage"), [("no", "kept"), ("yes", "given")])
def test_yard_control_is_answered_by_whoever_is_in_charge(client: TestClient, gives: str, stage: str) -> None:
    code, name = _asked_for_the_road(client)
    app: Any = client.app
    assert "Give the road" in client.get(f"/sittings/{code}/role/shunter").text
    assert "Give the road" not in client.get(f"/sittings/{code}/role/driver").text
    answer = client.post(f"/sittings/{code}/role/shunter", data={"kind": "road answered", "movement": name, "gives": gives})
    assert answer.status_code == 200 and "Give the road" not in answer.text
    assert app.state.sittings.named(code).sitting.movements[name].stage == stage
    said = {"kept": "the road was kept", "given": "it has the road"}[stage]
    assert f"{name}: <b>{said}" in client.get(f"/sittings/{code}/trainer").text


@pytest.mark.parametrize("kind", ["planted", "overlooked", "road asked", "movement passed", "took", "sung", ""])
def test_a_role_does_only_what_a_role_can_do(client: TestClient, kind: str) -> None:
    code, name = _asked_for_the_road(client)
    answer = client.post(f"/sittings/{code}/role/shunter", data={"kind": kind, "movement": name})
    assert "nothing that a role does" in answer.text
