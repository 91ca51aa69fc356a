"""The load that `can` reckons with: one for every unit, or each unit's own."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from headstock.base.errors import Fault, InputError
from headstock.base.nearest import nearest_of
from headstock.equipment.loads import LOADS, Load, lacking_under
from headstock.formation.train import TrainUnit

USUAL: Load = "working order"
LOAD_FORM = f"{', '.join(LOADS[:-1])} or {LOADS[-1]}, or UNIT:LOAD,... as in 217:laden"


@dataclass(frozen=True, slots=True)
class AskedLoad:
    """A load for every unit, and other ones for units by name."""

    every: Load = USUAL
    by_unit: tuple[tuple[str, Load], ...] = ()

    def of(self, unit: str) -> Load:
        """The load of one unit."""
        return dict(self.by_unit).get(unit, self.every)

    @property
    def is_usual(self) -> bool:
        """Whether every unit is in working order."""
        return self.every == USUAL and all(load == USUAL for _, load in self.by_unit)

    def words(self) -> str:
        """``laden``, or ``217 laden, all others working order``."""
        named = ", ".join(f"{unit} {load}" for unit, load in self.by_unit)
        return f"{named}, all others {self.every}" if named else self.every

    def refuse(self, units: Sequence[TrainUnit]) -> None:
        """Raises InputError for units that are not there and for loads that types do not state."""
        names = [unit.name for unit in units]
        faults = [Fault("unknown unit", path="--load", found=unit, expected=" or ".join(names), nearest=nearest_of(unit, names))
                  for unit, _ in self.by_unit if unit not in names]  # fmt: skip
        lacking = [what for unit in units for what in lacking_under(self.of(unit.name), [unit.unit_type])]
        faults += [Fault(what, path="--load", found=self.words()) for what in dict.fromkeys(lacking)]
        if faults:
            raise InputError(faults, cure="State the payload, or ask without --load.")


IN_WORKING_ORDER = AskedLoad()


def load_from_words(text: str) -> AskedLoad:
    """As somebody writes it. Raises InputError with every fault."""
    if ":" not in text:
        load, faults = _load(text)
        if load is None:
            raise InputError(faults)
        return AskedLoad(load)
    found, wrong = dict[str, Load](), list[Fault]()
    for part in text.split(","):
        unit, _, said = (piece.strip() for piece in part.partition(":"))
        load, faults = _load(said)
        wrong += faults
        if not unit or unit in found:
            wrong.append(Fault("each unit once", path="--load", found=part.strip(), expected=LOAD_FORM))
        elif load is not None:
            found[unit] = load
    if wrong:
        raise InputError(wrong)
    return AskedLoad(USUAL, tuple(found.items()))


def _load(said: str) -> tuple[Load | None, list[Fault]]:
    known = next((one for one in LOADS if one == said.strip()), None)
    fault = Fault("no load", path="--load", found=said, expected=LOAD_FORM, nearest=nearest_of(said, LOADS))
    return known, [] if known is not None else [fault]
