"""A method as people work it: what one commands or tries and another reads becomes two stages, each done by one.

No step of an order of work is done by two. The reading keeps its stage's name, its limit and what is waited for.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final, Literal

from headstock.local_rules.method_stage import End, Stage
from headstock.local_rules.test_method import BrakeTestMethod

Command = Literal["apply", "hold", "release"]
COMMANDED: Final[dict[Command, str]] = {"apply": "electric application", "hold": "electric hold", "release": "electric release"}
CABS: Final[dict[End, str]] = {"front": "leading", "rear": "rear"}


def each_by_one(method: BrakeTestMethod) -> BrakeTestMethod:
    """The same method; one in which nobody reads at one end what is done at the other is returned as it is."""
    stages = [part for stage in method.stages for part in _parts(stage)]
    if len(stages) == len(method.stages):
        return method
    commanded = {stage.key: _name(stage) for stage in method.stages if _is_shared(stage)}
    touches = [touch.model_copy(update={"stage": commanded.get(touch.stage, touch.stage)}) for touch in method.exempt_touches]
    return BrakeTestMethod.model_validate(
        method.model_dump()
        | {"stages": [stage.model_dump() for stage in stages], "exempt_touches": [touch.model_dump() for touch in touches]}
    )


def _is_shared(stage: Stage) -> bool:
    return stage.is_wired and stage.reading is not None and stage.reading.at != stage.acts_at


def _name(stage: Stage) -> str:
    return f"{stage.key} commanded" if stage.electric is not None else f"{stage.key} tried"


def _parts(stage: Stage) -> Iterator[Stage]:
    if not _is_shared(stage):
        yield stage
        return
    what = COMMANDED[stage.electric] if stage.electric is not None else f"{stage.wire} tried"
    yield stage.model_copy(update={
        "key": _name(stage), "says": f"{what} from the {CABS[stage.acts_at]} cab", "reading": None, "waits": None, "until": None,
        "said": None, "allowance": "valve" if stage.electric is not None else stage.allowance,
    })  # fmt: skip
    yield stage.model_copy(update={"electric": None, "wire": None, "acts": None})
