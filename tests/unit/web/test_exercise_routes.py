"""Routes of exercises: who sees what is hidden, and from where live figures may be asked."""

import re
from typing import Any, cast

import pytest
from starlette.testclient import TestClient
from starlette.websockets import WebSocketDisconnect

from headstock.usecases.roles import Role, may
from headstock.web.visitor import Visitor


def _as(client: TestClient, role: Role, name: str = "K. Ray") -> TestClient:
    """The same application, asked by somebody of a role."""
    app: Any = client.app
    app.state.may = lambda visitor, act: may(visitor.role, act)

    async def signed_in(scope: Any, receive: Any, send: Any) -> None:
        scope["state"] = {**scope.get("state", {}), "visitor": Visitor(name, role)}
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


def _at_a_gauge(client: TestClient, name: str) -> tuple[str, Any]:
    """The address of a driver's page at a stage with a gauge, and the sitting."""
    code = str(client.post(f"/exercises/{name}/set").url).split("/")[-2]
    app: Any = client.app
    live = app.state.sittings.named(code)
    live.act({"kind": "took", "role": "driver", "person": "M. Iden"})
    step = next(step for step in live.exercise.order if step.key.startswith("test, front fallen"))
    live.act({"kind": "walked", "role": "driver", "place": step.place})
    live.act({"kind": "did", "role": "driver", "step": step.key})
    return f"/sittings/{code}/role/driver", live


@pytest.mark.parametrize(("name", "unit", "most"), [("attach-plain", "bar", 12), ("second-plain", "psi", 174)])
def test_gauges_are_shown_and_read_in_the_unit_of_the_local_rules(
    client: TestClient, name: str, unit: str, most: int
) -> None:  # fmt: skip
    here, live = _at_a_gauge(client, name)
    text = client.get(here).text
    assert f"What did you read? [{unit}]" in text and f'max="{most}"' in text
    shown = re.search(r'id="gauge-0">([\d.]+)</span> (\w+)', text)
    assert shown is not None and shown[2] == unit and "." in shown[1]
    wrong = client.post(here, data={"kind": "ended", "calls": "good", "read": "nan"})
    assert f"no figure of a gauge @ read: found nan, expected {unit}, 0 to {most}" in wrong.text and live.sitting.doing
    client.post(here, data={"kind": "ended", "calls": "good", "read": shown[1].replace(".", ",")})
    assert not live.sitting.doing and not [note for note in live.sitting.unsafe if "says to have read" in note.text]


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


def test_of_those_signed_in_whoever_plays_a_role_acts_for_it_and_the_others_look_on(client: TestClient) -> None:
    code = _sitting(client)
    driver, shunter = _as(client, "crew", "M. Iden"), _as(client, "crew", "J. Tolk")
    trainer, page = _as(client, "instructor", "K. Ray"), f"/sittings/{code}/role/driver"
    taken = driver.post(f"/sittings/{code}/take", data={"role": "driver", "person": "Somebody Else"})
    assert taken.status_code == 200 and "What you can do here" in taken.text
    app: Any = client.app
    live = app.state.sittings.named(code)
    assert live.sitting.people["driver"] == "M. Iden", "under the name of whoever is signed in"
    for other in (shunter, trainer):
        looked = other.get(page)
        assert "You look on." in looked.text and 'name="kind"' not in looked.text
        done = other.post(page, data={"kind": "stopped"})
        assert done.status_code == 403 and "others look on" in done.text
    refused = shunter.post(f"/sittings/{code}/take", data={"role": "driver", "person": "J. Tolk"})
    assert refused.status_code == 403 and "is played by M. Iden" in refused.text
    assert live.sitting.people["driver"] == "M. Iden" and not any(note.kind == "stopped" for note in live.sitting.notes)
    given = trainer.post(f"/sittings/{code}/take", data={"role": "driver", "person": "J. Tolk"}, follow_redirects=False)
    assert given.status_code == 303 and live.sitting.people["driver"] == "J. Tolk"
    assert shunter.post(page, data={"kind": "stopped"}, follow_redirects=False).status_code == 303
    assert driver.post(page, data={"kind": "stopped"}).status_code == 403


def test_what_is_hidden_is_listed_for_those_alone_who_set_exercises(client: TestClient) -> None:
    assert "lets nothing by" in _as(client, "instructor").get("/exercises").text
    crew = _as(client, "crew").get("/exercises").text
    assert "lets nothing by" not in crew and "Set one" not in crew and "Join one" in crew
    assert "Trainer" not in _as(client, "crew").get(f"/sittings/{_sitting(client)}").text


def test_a_call_to_stop_is_on_every_page_and_a_find_on_the_own_one(client: TestClient) -> None:
    code = _sitting(client)
    pages = {role: f"/sittings/{code}/role/{role}" for role in ("shunter", "driver")}
    found = client.post(pages["shunter"], data={"kind": "declared", "key": "217/2.red_lamp"}).text
    assert "Said: it is not right: red lamp of 217/2" in found
    assert "not right: red lamp of 217/2<" not in client.get(pages["driver"]).text
    assert "stop called" in client.post(pages["shunter"], data={"kind": "stopped"}).text
    assert "The shunter: stop called" in client.get(pages["driver"]).text


def test_who_waits_for_an_answer_stands_before_what_can_be_done(client: TestClient) -> None:
    code = str(client.post("/exercises/attach-by-heart/set").url).split("/")[-2]
    for role, person in (("shunter", "J. Tolk"), ("driver", "M. Iden")):
        client.post(f"/sittings/{code}/take", data={"role": role, "person": person})
    page = f"/sittings/{code}/role/driver"
    before = client.get(page).text
    assert before.index("What you can do here") < before.index("tap what you heard")
    client.post(f"/sittings/{code}/role/shunter", data={"kind": "did", "step": "call to 2 m"})
    after = client.get(page).text
    assert after.index("tap what you heard") < after.index("<b>Heard</b>") < after.index("What you can do here")


def test_something_is_planted_by_what_stands_how(client: TestClient) -> None:
    code = _sitting(client)
    assert "217/2.red_lamp=lit" in client.get(f"/sittings/{code}/trainer").text
    client.post(f"/sittings/{code}/plant", data={"what": "217/2.red_lamp=lit"})
    app: Any = client.app
    assert app.state.sittings.named(code).sitting.state["217/2.red_lamp"] == "lit"


def test_a_sitting_on_record_names_its_people_in_words_and_each_trace_has_its_own_line(client: TestClient) -> None:
    code = _sitting(client)
    client.post(f"/sittings/{code}/take", data={"role": "shunter", "person": "J. Tolk"})
    app: Any = client.app
    live = app.state.sittings.named(code)
    live.hold(False)
    later_s = live.wall() + 60.0
    live.wall = lambda: later_s
    live.tick()
    client.post(f"/sittings/{code}/end")
    talk = client.get(f"/sittings/{code}/talk-through").text
    assert talk.count('class="key"') == talk.count("<polyline") >= 2
    filed = client.post(f"/sittings/{code}/record", data={"led_by": "K. Ray"}).text
    assert "<dd>J. Tolk, shunter</dd>" in filed and "{&#39;" not in filed
