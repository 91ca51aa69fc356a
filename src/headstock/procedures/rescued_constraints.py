"""What may never be so while a train that was joined by a rescue is parted, beyond what holds for every parting."""

from __future__ import annotations

from headstock.devices.scene import COUPLE, GAP, proved_key
from headstock.procedures.detach_constraints import DetachConstraints
from headstock.procedures.rescued import Rescued
from headstock.procedures.rescued_work import joined_beside_the_pairs
from headstock.procedures.task import AttachTask
from headstock.reasoning.constraint import Constraint, State


class RescuedConstraints(DetachConstraints):
    """The constraints of parting one train that was joined by a rescue."""

    def __init__(self, task: AttachTask, rescued: Rescued) -> None:
        super().__init__(task)
        self.rescued = rescued
        self.hoses = tuple(key for key, value in joined_beside_the_pairs(task) if value == "on its dummy")

    def all(self) -> tuple[Constraint, ...]:
        """Every constraint, with what it forbids and how breaking it hurts."""
        away = "The portion that was fetched rolls away."
        made = (
            ("springs-set", "springs released by hand hold nothing before each of them is set again", away, self.still_released),
            ("dead-secured", "scotches lie before the springs of a fetched portion are touched, and while its couple is open",
             away, self.unscotched),
            ("adapter-pinned", "no pin of an adapter is drawn before the ends are apart", "The adapter falls.",
             self.adapter_loose),
            ("hoses-off", "no hose of a rescue is joined when the couple is opened", "The hose tears.", self.hose_on),
        )  # fmt: skip
        return (*super().all(), *(Constraint(*row) for row in made))

    def _stands_on_brakes(self, state: State, portion: str) -> bool:
        """Springs released by hand hold nothing."""
        held = super()._stands_on_brakes(state, portion)
        return held and (portion != self.task.standing or not self._released(state))

    def _released(self, state: State) -> list[str]:
        return [key.partition(".")[0] for key, value in self.rescued.springs_act if state[key] != value]

    def still_released(self, state: State) -> str | None:
        """A hold called proved on springs that are released."""
        released = self._released(state)
        if not released or state[proved_key(self.task.standing)] != "proved":
            return None
        return f"the springs of {', '.join(released)} are released by hand"

    def unscotched(self, state: State) -> str | None:
        """Springs set again, or the couple open, with no scotches laid."""
        scotches = self.rescued.scotches
        if scotches is None or state[scotches.key] == "on":
            return None
        touched = any(state[key] == value for key, value in self.rescued.springs_act)
        return f"no scotches lie at {scotches.at.where}" if touched or state[COUPLE] == "apart" else None

    def adapter_loose(self, state: State) -> str | None:
        """Ends together on an adapter whose pins are not home."""
        adapter = self.task.adapter
        if adapter is None or state[GAP] == "apart" or self._is(state, adapter.pinned):
            return None
        return f"the adapter on {adapter.hangs_on} is not pinned with its keeper in"

    def hose_on(self, state: State) -> str | None:
        """The couple open with an adapter's or an inlet's hose still joined."""
        joined = [key for key in self.hoses if state[key] == "joined"]
        return f"{joined[0]} is still joined" if joined and state[COUPLE] == "apart" else None
