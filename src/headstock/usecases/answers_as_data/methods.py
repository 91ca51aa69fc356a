"""Test methods as plain values."""

from __future__ import annotations

from headstock.brake_test.forecast_reading import not_forecast_because
from headstock.local_rules.test_method import BrakeTestMethod


def method_as_json(name: str, method: BrakeTestMethod) -> dict[str, object]:
    """A method in short."""
    return {
        "method": name, "name": method.name, "edition": method.edition, "for_use": method.for_use, "tests": method.tests,
        "brake": method.brake, "for_stock": list(method.for_stock), "for_release": list(method.for_release),
        "not_planned_because": method.not_planned_because, "not_forecast_because": not_forecast_because(method),
        "stages": [stage.key for stage in method.stages],
    }  # fmt: skip
