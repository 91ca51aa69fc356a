"""What may never be so while a portion without air of its own is rescued, beyond what holds for every joining."""

from __future__ import annotations

from headstock.devices.end_cock import hose_key
from headstock.devices.main_reservoir import filled_key
from headstock.devices.scene import AIR_THROUGH, AUTHORITY, COUPLE, GAP, TEST, pipe_key, proved_key
from headstock.procedures.constraints import AttachConstraints
from headstock.procedures.movement import hold_facts
from headstock.procedures.places import cab
from headstock.procedures.rescue import Rescue
from headstock.procedures.task import AttachTask
from headstock.reasoning.constraint import Constraint, State, place_key

HEADS_AND_CABLES = ("electrical head", "jumper")


class RescueConstraints(AttachConstraints):
    """The constraints of one rescue."""

    def __init__(self, task: AttachTask, rescue: Rescue) -> None:
        super().__init__(task)
        self.rescue = rescue
        self.scotched = (rescue.scotches.key, "on")
        self.brakes = tuple(fact for fact in hold_facts(task, task.standing) if fact != self.scotched)
        self.pipe = pipe_key(task.standing)
        self.springs = tuple(key for key, _ in rescue.springs_released)
        self.cylinders = tuple(key for key, _ in rescue.cylinders_out)
        self.answering = tuple(key for key, _ in rescue.brakes_seen_on)
        ends = [device for end in (task.near, task.far) for device in task.train.end_devices(end)]
        self.electric = tuple(at for at, spec in ends if spec.kind in HEADS_AND_CABLES)
        mains = [at for at, spec in ends if spec.kind == "end cock" and spec.pipe == "main reservoir pipe"]
        own = rescue.inlet.cock if rescue.inlet is not None else None
        self.main_cocks = () if rescue.main_joined else tuple(at for at in mains if at != own)

    def all(self) -> tuple[Constraint, ...]:
        """Every constraint, with what it forbids and how breaking it hurts."""
        away, sparks = "The dead portion rolls away.", "Wires of the one work on the other: doors, power or brakes."
        made = (
            ("dead-secured", "scotches and brakes hold the dead portion before anybody changes its brake system", away,
             self.unsecured),
            ("proved-without-air", "a hold proved with air in the cylinders is not proved", away, self.proved_on_air),
            ("held-by-the-test", "springs are released by hand only on the tested brake, applied from the controlling cab", away,
             self.released_early),
            ("scotches-last", "scotches come off last, on the tested brake", away, self.scotches_early),
            ("wires-apart", "no wires are joined in a rescue", sparks, self.wired),
            ("main-reservoirs-apart", "main reservoirs are not joined unless the air says that the live one stays high enough",
             "The live portion loses its own air.", self.main_open),
            ("adapter-pinned", "nothing comes near an adapter, or is joined over it, whose pins have not been seen",
             "The adapter falls, the train parts.", self.adapter_loose),
            ("main-reservoirs-full", "nothing moves on main reservoirs that a dead one has emptied",
             "Springs come on under way; the brake pipe cannot be charged.", self.main_low),
        )  # fmt: skip
        return (*super().all(), *(Constraint(*row) for row in made))

    def _stands_on_brakes(self, state: State, portion: str) -> bool:
        """Springs released by hand hold nothing; scotches are no brake."""
        if portion != self.task.standing:
            return super()._stands_on_brakes(state, portion)
        return self._is(state, self.brakes) and not self._released(state)

    def _stands_proved(self, state: State, portion: str) -> bool:
        """Who goes between relies on the scotches too."""
        scotched = portion != self.task.standing or self._is(state, (self.scotched,))
        return scotched and super()._stands_proved(state, portion)

    def _released(self, state: State) -> list[str]:
        return [key.partition(".")[0] for key in self.springs if state[key] == "released by hand"]

    def _in_hand(self, state: State) -> bool:
        """The whole train on its tested brake, applied from the controlling cab, each brake let out by hand seen on again."""
        applied = state[self.lead] == "full" and state[pipe_key(self.task.standing)] == "drawn"
        joined = state[COUPLE] == "locked" and state[AIR_THROUGH] == "yes"
        there = state[place_key(self.driver)] == cab(self.task.controls)
        answered = all(state[key] == "seen on" for key in self.answering)
        return applied and joined and there and answered and state[TEST] == self.last_stage

    def unsecured(self, state: State) -> str | None:
        """Cylinders or pipe let out of a portion that scotches and brakes do not both hold."""
        touched = any(state[key] == "let out" for key in self.cylinders)
        touched = touched or state[self.pipe] != self.task.as_found[self.pipe]
        if not touched or state[GAP] != "apart":
            return None
        if self._is(state, (self.scotched,)) and self._stands_on_brakes(state, self.task.standing):
            return None
        return f"{self.task.standing} is not secured, and its brake is let out"

    def proved_on_air(self, state: State) -> str | None:
        """The hold called proved while the air brake may hold."""
        if state[proved_key(self.task.standing)] != "proved":
            return None
        airy = [key.partition(".")[0] for key in self.cylinders if state[key] == "may hold air"]
        return f"the air brake of {', '.join(airy)} may be what holds" if airy else None

    def released_early(self, state: State) -> str | None:
        """Springs released with the tested brake not applied from the controlling cab."""
        released = self._released(state)
        if not released or self._in_hand(state):
            return None
        return f"the springs of {', '.join(released)} are released and the tested brake does not hold the train"

    def scotches_early(self, state: State) -> str | None:
        """Scotches off with the ends together, before the tested brake holds and every other hold is off."""
        if state[GAP] == "apart" or self._is(state, (self.scotched,)):
            return None
        if not self._in_hand(state):
            return f"the scotches of {self.task.standing} are off and the tested brake does not hold the train"
        by_air = [key for key, value in self.brakes if state[key] == value and not self.rescue.is_by_hand(key)]
        acting = [key for key in self.springs if state[key] == "acting"]
        return f"the scotches are off before {', '.join((*by_air, *acting))}" if by_air or acting else None

    def wired(self, state: State) -> str | None:
        """An electrical head mated, or a jumper plugged, at the joint."""
        joined = [at.where for at in self.electric if state[at.key()] in ("mated", "entered", "latched")]
        return f"the wires of {' and '.join(joined)} are joined" if joined else None

    def main_open(self, state: State) -> str | None:
        """A main reservoir cock or hose joined without the air's yes."""
        for at in self.main_cocks:
            if state[at.key()] == "open" or state[hose_key(at)] == "joined":
                return f"the main reservoir pipe of {at.where} is joined: {self.rescue.main_words}"
        return None

    def main_low(self, state: State) -> str | None:
        """Called to move while the main reservoirs, joined by the blow, are still low."""
        if not self.rescue.main_waits or state[COUPLE] != "locked" or state[AUTHORITY] == "none":
            return None
        low = state[filled_key(self.task.standing)] != "filled"
        return f"called to move ({state[AUTHORITY]}) with the main reservoirs low" if low else None

    def adapter_loose(self, state: State) -> str | None:
        """Ends together on an adapter not pinned, or a hose joined over one not looked at with the pull taken."""
        adapter = self.task.adapter
        if adapter is None or state[GAP] == "apart":
            return None
        if not self._is(state, adapter.pinned):
            return f"the adapter on {adapter.hangs_on} is not pinned with its keeper in"
        hoses = [at.where for end in (self.task.near, self.task.far) for at, spec in self.task.train.end_devices(end)
                 if spec.kind == "hose" and state[at.key()] == "joined"]  # fmt: skip
        unseen = hoses and not self._is(state, (adapter.proof,))
        return f"the hose of {hoses[0]} is joined over an adapter that nobody looked at with the pull taken" if unseen else None
