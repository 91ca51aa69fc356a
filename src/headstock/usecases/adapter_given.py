"""The adapter of a job: which one, on whose coupler it is hung, what meets it, whether it needs a hose of its own."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from headstock.devices.adapter import Adapter
from headstock.devices.kind import At
from headstock.devices.knuckle import Knuckle
from headstock.devices.registry import kind_of
from headstock.formation.join_way import type_end
from headstock.formation.joinability import TypeEnd, Way
from headstock.formation.train import Train, UnitEnd
from headstock.formation.way_adapter import adapter_used


def adapter_in_job(train: Train, way: Way) -> Adapter | None:
    """The adapter that is used; None where the ends are joined without one, or none is carried."""
    if way.name != "adapter":
        return None
    joint = train.joint_to_make
    ends = {str(end): type_end(train, end) for end in (joint.first, joint.second)}
    first, second = ends.values()
    found = adapter_used((first, second))
    if found is None:
        return None
    carrier, gear = found
    hangs = _hung_by_hand(ends, gear.faces or ("", ""))
    near, far = (joint.first, joint.second) if str(joint.first) == hangs else (joint.second, joint.first)
    devices = dict(train.unit(near.unit).end_spec(near.end).devices)
    has_hose = needs_own_hose(train, way)
    meets, spec = At(far.unit, "coupler", far.end), ends[str(far)].coupler
    return Adapter(
        at=At(carrier.name.partition("/")[0], "adapter"), stowage=gear.stowed, hangs_on=hangs, meets=str(far),
        bare=_bare(near, ends[hangs]), closes=_closes(meets, spec), sign=getattr(spec, "coupled_sign", "") or spec.lock_sign,
        has_hose=has_hose, on_a_hook=_is_hook_face(gear.faces or (), ends[hangs]),
        hose=At(near.unit, "brake_pipe_hose", near.end) if has_hose and "brake_pipe_hose" in devices else None,
        cock=At(near.unit, "brake_pipe_cock", near.end) if has_hose and "brake_pipe_cock" in devices else None,
    )  # fmt: skip


def needs_own_hose(train: Train, way: Way) -> bool:
    """Whether one of the ends has a port for its brake pipe, so that the adapter brings a hose to it."""
    joint = train.joint_to_make
    ends = [train.unit(end.unit).end_spec(end.end).devices for end in (joint.first, joint.second)]
    return way.name == "adapter" and any("brake_pipe_hose" not in devices for devices in ends)


def _hung_by_hand(ends: Mapping[str, TypeEnd], faces: tuple[str, ...]) -> str:
    """The end whose face does not couple by itself: a hook. Where both do, the first that is no automatic coupler."""
    for name, end in ends.items():
        if any(face.is_hook and face.words in faces for face in end.faces) and _other_fits(ends, name, faces):
            return name
    return next((name for name, end in ends.items() if end.coupler.kind != "automatic coupler"), next(iter(ends)))


def _other_fits(ends: Mapping[str, TypeEnd], name: str, faces: tuple[str, ...]) -> bool:
    other = next(end for key, end in ends.items() if key != name)
    return any(face.couples_by_itself and face.words in faces for face in other.faces)


def _is_hook_face(faces: tuple[str, ...], end: TypeEnd) -> bool:
    return any(face.is_hook and face.words in faces for face in end.faces)


def _bare(end: UnitEnd, typed: TypeEnd) -> tuple[tuple[str, str], ...]:
    """The coupler ready to take the adapter: its hook bare."""
    return kind_of(typed.coupler).before_touching(At(end.unit, "coupler", end.end), typed.coupler, "screw")


def _closes(at: At, spec: Any) -> tuple[tuple[str, str], ...]:
    """What the blow does to the coupler that meets the adapter."""
    kind = kind_of(spec)
    return kind.closes(at) if isinstance(kind, Knuckle) else kind.end_state(at, spec, "joint", True)
