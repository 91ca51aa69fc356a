"""A type under load: heavier by what it carries, pressed harder only where it senses the load, turning parts as before."""

from __future__ import annotations

import pytest

from headstock.equipment.library import load_fleet
from headstock.equipment.loads import LOADS, lacking_under, under_load

FLEET = load_fleet()


@pytest.mark.parametrize("name", sorted(FLEET.types))
def test_mass_grows_by_the_payload_and_what_turns_stays(name: str) -> None:
    empty = FLEET.find(name)
    assert under_load(empty, "working order") is empty
    masses = [under_load(empty, load).mass_kg for load in LOADS]
    assert masses == sorted(set(masses))
    for vehicle, loaded in zip(empty.vehicles, under_load(empty, "exceptional").vehicles, strict=True):
        assert vehicle.payload is not None and loaded.mass_t == pytest.approx(vehicle.mass_t + vehicle.payload.exceptional_t)
        assert vehicle.rotating_mass_share is not None and loaded.rotating_mass_share is not None
        assert loaded.rotating_mass_share * loaded.mass_t == pytest.approx(vehicle.rotating_mass_share * vehicle.mass_t)


def test_a_brake_that_senses_the_load_is_pressed_between_its_points_and_one_that_does_not_is_not() -> None:
    tarn, fell = FLEET.find("tarn"), FLEET.find("fell")
    # Between [0, 1] and [10.1, 1.18] at 5.9 t: 1 + 0.18 x 5.9 / 10.1.
    laden = under_load(tarn, "laden").vehicles[0].friction_brake
    assert laden is not None and laden.pressed_kn == pytest.approx(188 * (1 + 0.18 * 5.9 / 10.1))
    assert laden.braked_weight_t == pytest.approx(50 * (1 + 0.18 * 5.9 / 10.1))
    before, after = fell.vehicles[0].friction_brake, under_load(fell, "exceptional").vehicles[0].friction_brake
    assert before == after


def test_beyond_its_last_point_a_brake_is_pressed_no_harder() -> None:
    tarn = FLEET.find("tarn")
    first = tarn.vehicles[0]
    assert first.payload is not None
    heavy = first.model_copy(update={"payload": first.payload.model_copy(update={"exceptional_t": 30.0})})
    brake = under_load(tarn.model_copy(update={"vehicles": (heavy,)}), "exceptional").vehicles[0].friction_brake
    assert brake is not None and brake.pressed_kn == pytest.approx(188 * 1.18)


def test_what_is_not_stated_is_named_and_working_order_needs_nothing() -> None:
    tarn = FLEET.find("tarn")
    bare = tarn.model_copy(update={"vehicles": tuple(one.model_copy(update={"payload": None}) for one in tarn.vehicles)})
    assert lacking_under("working order", [bare]) == ()
    assert lacking_under("laden", [bare, bare]) == tuple(f"not stated for type tarn: payload of vehicle {n}" for n in "1234")
