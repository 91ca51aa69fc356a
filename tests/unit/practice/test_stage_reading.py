"""What a stage's reading really is, by methods that count brakes or read a brake cylinder."""

from collections.abc import Callable, Mapping
from dataclasses import replace

import pytest

from headstock.local_rules.test_method import built_in_methods, load_test_method
from headstock.practice.events import Ended
from headstock.practice.exercise import Exercise
from headstock.practice.sitting import Sitting, begun
from headstock.practice.stage_reading import judge_reading, truth_of
from headstock.reasoning.step import Step

Make = Callable[..., Exercise]


def _by(made: Exercise, method: str) -> Exercise:
    """The exercise with another method, whose stages are steps of the guard."""
    found = load_test_method(built_in_methods()[method])
    return replace(made, task=replace(made.task, method=found, rules=made.task.rules.using(found)))


def _with_cylinders(sitting: Sitting, cylinders_bar: Mapping[str, float]) -> Sitting:
    """A stage later, the cylinders of some vehicles at a pressure, all others empty."""
    assert sitting.air is not None
    air, brakes = sitting.air, list(sitting.air.model.air.gear.distributors)
    shows = air.shows_pa.copy()
    for number, vehicle in enumerate(brakes):
        shows[len(air.model.cabs) + number] = air.model.outside_pa + cylinders_bar.get(vehicle, 0.0) * 1e5
    return replace(sitting, t_s=sitting.t_s + 10.0, air=replace(air, t_s=air.t_s + 10.0, shows_pa=shows))


def _truth(sitting: Sitting, key: str) -> tuple[float, bool] | None:
    stage = next(stage for stage in sitting.exercise.task.method.stages if stage.key == key)
    return truth_of(replace(sitting, began_s={key: (0.0, sitting.t_s)}), stage)


def test_the_brake_of_the_last_vehicle_counts_alone_where_the_method_says_so(exercise: Make) -> None:
    sitting = begun(_by(exercise(), "tail-vent"))
    last = _with_cylinders(sitting, {"2264": 3.8})
    assert _truth(last, "rear applied") == (1.0, True) and _truth(last, "rear restored") == (0.0, False)
    others = _with_cylinders(sitting, dict.fromkeys(("2171", "2172", "2173", "2174", "2261", "2262", "2263"), 3.8))
    assert _truth(others, "rear applied") == (0.0, False) and _truth(others, "rear restored") == (1.0, True)


def test_a_cylinder_is_read_on_the_gauge_of_its_own_vehicle(exercise: Make) -> None:
    sitting = begun(_by(exercise(), "electric-apply-hold-release"))
    applied, elsewhere = _with_cylinders(sitting, {"2264": 3.6}), _with_cylinders(sitting, {"2171": 3.6})
    for stands, value in ((applied, 3.6), (elsewhere, 0.0)):
        for key, within in (("applied", value > 3.0), ("released", value < 0.3)):
            truth = _truth(stands, key)
            assert truth is not None and truth[0] == pytest.approx(value) and truth[1] == within


def test_a_share_is_said_as_a_share_and_a_pressure_with_its_unit(exercise: Make) -> None:
    said = {}
    for method, key, vehicle_bar in (("tail-vent", "rear applied", 3.8), ("electric-apply-hold-release", "applied", 1.0)):
        made = _by(exercise(), method)
        step = Step(f"test, {key}", "guard", None, effects=(("brake_test", key),))
        made = replace(made, domain=replace(made.domain, steps=(*made.domain.steps, step)))
        sitting = replace(_with_cylinders(begun(made), {"2264": vehicle_bar}), began_s={key: (0.0, 0.0)})
        said[method] = judge_reading(sitting, step, Ended(sitting.t_s, "guard")).sitting.notes[-1].text
    assert said["tail-vent"] == "Applied, last vehicle: it showed share 1.00, limit share 1 or more"
    assert said["electric-apply-hold-release"].startswith("Applied, cylinder: it showed 1.00 bar, limit ")
    assert said["electric-apply-hold-release"].endswith("bar or more; called within limits")
