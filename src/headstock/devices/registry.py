"""All kinds of devices, found by looking: a new kind is one new module with a ``KIND``."""

from __future__ import annotations

import importlib
import pkgutil
from functools import reduce
from operator import or_
from typing import TYPE_CHECKING, Annotated, Any

from pydantic import Field

import headstock.devices as package
from headstock.devices.kind import DeviceKind, DeviceSpec


def _found() -> dict[str, DeviceKind]:
    kinds: dict[str, DeviceKind] = {}
    for module in sorted(info.name for info in pkgutil.iter_modules(package.__path__)):
        if module == "registry":
            continue
        kind = getattr(importlib.import_module(f"{package.__name__}.{module}"), "KIND", None)
        if kind is not None:
            kinds[kind.name] = kind
    return kinds


KINDS: dict[str, DeviceKind] = _found()

if TYPE_CHECKING:
    AnyDeviceSpec = DeviceSpec
else:
    _union = reduce(or_, (kind.Spec for kind in KINDS.values()))
    AnyDeviceSpec = Annotated[_union, Field(discriminator="kind")]


def kind_of(spec: Any) -> DeviceKind:
    """The kind to which a device's data belong."""
    return KINDS[spec.kind]
