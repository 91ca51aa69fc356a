"""Every worked example in a docstring of physics gives what it says."""

import doctest
import importlib
import pkgutil

import pytest

import headstock.physics

MODULES = [module.name for module in pkgutil.iter_modules(headstock.physics.__path__)]


@pytest.mark.parametrize("name", MODULES)
def test_the_worked_examples_hold(name: str) -> None:
    assert doctest.testmod(importlib.import_module(f"headstock.physics.{name}")).failed == 0
