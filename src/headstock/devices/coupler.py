"""What every kind of coupler offers: the faces by which it takes another, and why it joins nothing in operation."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, ClassVar

from headstock.devices.kind import DeviceKind


@dataclass(frozen=True, slots=True)
class Face:
    """One way a coupler takes something: words as on an adapter, whether it couples by itself, whether it is a hook.

    ``takes_buff``: it may be pushed on. ``is_en_16019``: the standard latch face, for which EN 15020 has a rescue coupler.
    """

    words: str
    couples_by_itself: bool = True
    is_hook: bool = False
    takes_buff: bool = True
    is_en_16019: bool = False


class CouplerKind(DeviceKind):
    """A coupler: an end has one. What its faces can take decides how the end can be joined."""

    face_form: ClassVar[str] = ""
    """How a face of this kind is written on an adapter; a last word ``X`` stands for a pattern. "" if it takes none."""

    def faces(self, spec: Any) -> tuple[Face, ...]:
        """Its faces, the one used first in front."""
        return ()

    def workshop_only(self, spec: Any) -> str:
        """Why it joins nothing in operation; "" where it does."""
        return ""


def fits_form(face: str, form: str) -> bool:
    """Whether an adapter's face is written in a kind's form."""
    if form.endswith(" X"):
        return face.startswith(form[:-1]) and bool(face[len(form) - 1 :].strip())
    return bool(form) and face == form
