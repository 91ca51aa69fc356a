"""Several tests of one train, one after another, as one method: each goes on from where the one before it left the valves.

A stage that only moves a valve to where it already stands is left out. The whole answers what its first test answers.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from headstock.local_rules.each_by_one import each_by_one
from headstock.local_rules.method_stage import Stage
from headstock.local_rules.test_method import BrakeTestMethod, ExemptTouch


def tests_in_a_row(methods: Sequence[BrakeTestMethod]) -> BrakeTestMethod:
    """One method of them all, the limits of the first; stages of the others take the name of what they answer before their own.

    What one commands and another reads is two stages (`each_by_one`).
    Raises ValueError where one does not go on from the one before.
    """
    first, *others = (each_by_one(method) for method in methods)
    if not others:
        return first
    stands = _left_by(first)
    stages, touches = list(first.stages), list(first.exempt_touches)
    for method in others:
        own = tuple(_going_on(method, stands))
        stages += own
        kept = {stage.key for stage in own}
        touches += [_named(touch, method) for touch in method.exempt_touches if _key(method, touch.stage) in kept]
        stands |= _left_by(method)
    sources = {f"{method.tests} {key}": source for method in others for key, source in method.sources.items()}
    value = first.model_dump() | {
        "name": ", then ".join(method.name for method in methods),
        "edition": ", ".join(dict.fromkeys(method.edition for method in methods)),
        "for_use": all(method.for_use for method in methods),
        "for_stock": [stock for stock in first.for_stock if all(stock in method.for_stock for method in others)],
        "sources": {**{key: source.model_dump() for key, source in first.sources.items()},
                    **{key: source.model_dump() for key, source in sources.items()}},
        "exempt_touches": [touch.model_dump() for touch in touches],
        "shows": list(dict.fromkeys(words for method in methods for words in method.shows)),
        "cannot_show": list(dict.fromkeys(words for method in methods for words in method.cannot_show)),
        "stages": [stage.model_dump() for stage in stages],
    }  # fmt: skip
    return BrakeTestMethod.model_validate(value)


def _left_by(method: BrakeTestMethod) -> dict[str, str]:
    return {stage.valve.at: stage.valve.after for stage in method.stages if stage.valve is not None}


def _going_on(method: BrakeTestMethod, left: dict[str, str]) -> Iterator[Stage]:
    stands, begun = dict(left), False
    for stage in method.stages:
        move = stage.valve
        if move is not None and not begun and stands.get(move.at) == move.after and stage.reading is None:
            continue
        if move is not None:
            if stands.get(move.at, move.before) != move.before:
                raise ValueError(f"{method.name} begins with the {move.at} valve at {move.before}, found at {stands[move.at]}")
            stands[move.at] = move.after
        begun = True
        yield stage.model_copy(update={"key": _key(method, stage.key), "source": f"{method.tests} {stage.source}"})


def _key(method: BrakeTestMethod, key: str) -> str:
    return f"{method.tests} {key}"


def _named(touch: ExemptTouch, method: BrakeTestMethod) -> ExemptTouch:
    return touch.model_copy(update={"name": f"{method.tests}: {touch.name}", "stage": _key(method, touch.stage)})
