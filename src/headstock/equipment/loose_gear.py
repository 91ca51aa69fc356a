"""What a unit carries loose for joining and protecting: screw couplings, adapters, scotches, lamps, poles."""

from __future__ import annotations

from typing import Literal

from pydantic import BaseModel, ConfigDict, Field, model_validator

from headstock.devices.coupler import CouplerKind, fits_form
from headstock.devices.registry import KINDS

FACE_FORMS = tuple(sorted({kind.face_form for kind in KINDS.values() if isinstance(kind, CouplerKind) and kind.face_form}))
"""How the faces of an adapter are written: kinds of coupler, with their pattern where they have one."""


class LooseGear(BaseModel):
    """One thing carried loose: what it is, where it is stowed; an adapter's two faces, what it bridges [mm]; rated pull [kN]."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    kind: Literal["screw coupling", "adapter", "scotches", "portable red lamp", "portable white lamp", "coupling pole"] = Field(
        description="what it is"
    )
    stowed: str = Field(min_length=3, description="where it is kept, in words")
    rated_pull_kn: float | None = Field(
        default=None, gt=0, le=4000, description="rated pull [kN]; needed for a screw coupling and an adapter"
    )
    faces: tuple[str, str] | None = Field(
        default=None,
        description="the two faces that an adapter joins, and only an adapter: `hook and screw` for a hook, `knuckle A`, "
        "`automatic coupler L`, with contour or face",
    )
    bridges_mm: float | None = Field(
        default=None, ge=0, le=500, description="greatest difference of heights that an adapter takes [mm], and only an adapter"
    )
    source: str = Field(description="key in `sources`")

    @model_validator(mode="after")
    def _says_what_it_must(self) -> LooseGear:
        wrong = []
        if self.kind == "adapter" and self.faces is None:
            wrong.append("an adapter must say which two coupler faces it joins (faces)")
        if self.kind == "adapter" and self.bridges_mm is None:
            wrong.append("an adapter must say which difference of heights it takes (bridges_mm)")
        if self.kind != "adapter" and (self.faces is not None or self.bridges_mm is not None):
            wrong.append(f"a {self.kind} has no faces and no bridges_mm")
        if self.kind in ("screw coupling", "adapter") and self.rated_pull_kn is None:
            wrong.append(f"the {self.kind} must state its rated_pull_kn")
        wrong += [f"{face} is no face: write {', '.join(FACE_FORMS)}" for face in self.faces or () if not _is_face(face)]
        if wrong:
            raise ValueError("; ".join(wrong))
        return self


def _is_face(words: str) -> bool:
    return any(fits_form(words, form) for form in FACE_FORMS)
