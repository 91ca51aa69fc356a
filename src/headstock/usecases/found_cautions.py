"""What stands otherwise as found and no step of the order mends: cautions for the sheet, the terminal and JSON alike."""

from __future__ import annotations

from collections.abc import Mapping

from headstock.capability.automatic_couple import AIR, AUTOMATIC, LOCK, WIRES
from headstock.devices.parking_brake import ParkingBrakeSpec
from headstock.formation.train import Train
from headstock.formation.train_air import brake_places
from headstock.procedures.rescued import Rescued
from headstock.procedures.task import AttachTask


def isolated_brakes(train: Train, values: Mapping[str, str]) -> tuple[str, ...]:
    """Vehicles whose brake is isolated."""
    return tuple(at.where for at in brake_places(train) if values.get(at.key()) == "isolated")


def isolated_words(train: Train, values: Mapping[str, str]) -> tuple[str, ...]:
    """Why the air is not asked whether a full application holds: it would be reckoned with every brake in use."""
    found = isolated_brakes(train, values)
    return (f"brake of {', '.join(found)} isolated: a full application is not taken to hold",) if found else ()


def couple_words(task: AttachTask) -> tuple[str, ...]:
    """What is so of a couple found part made, and the first thing never to do with it."""
    couple = task.couple
    if couple is None or task.rescued is not None:
        return ()
    facts, last = {LOCK: couple.locked, AIR: couple.air, WIRES: couple.wires}, "parting" if task.parts else "joining"
    said = ", ".join(f"{name}" if so else f"not {name}" for name, so in facts.items())
    never = [state.never[0] for state in AUTOMATIC.states if state.is_so == facts and state.key.startswith(last)]
    return (f"Couple as found: {said}.", *never)


def found_cautions(task: AttachTask) -> tuple[str, ...]:
    """A couple part made, brakes isolated and compressors dead, as the job says they are found."""
    cautions = [*couple_words(task)]
    cautions += [
        f"Brake of {where} found isolated: it does not brake, and a test of the pipe does not show it."
        for where in isolated_brakes(task.train, task.as_found)
    ]
    cautions += [
        f"Compressor of {at.where} found dead: its air comes from elsewhere, slowly, and runs out."
        for at, spec in task.train.devices()
        if spec.kind == "main reservoir" and task.as_found.get(at.key()) == "dead"
    ]
    if task.rescue is not None:
        cautions.append("As joined: " + " ".join(f"{text[0].upper()}{text[1:].rstrip('.')}." for text in task.way.restrictions))
    return (*cautions, *(_springs_of_the_dead(task) if task.rescued is None else _springs_as_said(task.rescued)))


def _springs_as_said(rescued: Rescued) -> tuple[str, ...]:
    """Springs that a rescue released by hand: what is set again here, and what has no parking brake when all is done."""
    again, left = (", ".join(at.where for at in places) for places in (rescued.set_again, rescued.left_released))
    said = [f"Springs of {again} found released by hand: they hold nothing before each of them is set again."] if again else []
    if left:
        said.append(f"Springs of {left} stay released by hand: no parking brake there. Labelled, told to whoever moves it next.")
    if rescued.scotches is not None:
        said.append(f"Scotches stay at {rescued.scotches.at.where} (carried by {rescued.scotches.carried_by}).")
    return tuple(said)


def _springs_of_the_dead(task: AttachTask) -> tuple[str, ...]:
    """Where a unit without air is left standing: its springs may have been released by hand when it was fetched."""
    if not task.parts:
        return ()
    dead = {at.unit for at, spec in task.train.devices()
            if spec.kind == "main reservoir" and task.as_found.get(at.key()) == "dead"}  # fmt: skip
    return tuple(
        f"Springs of {at.unit} may have been released by hand when it was fetched: then they hold nothing, whatever its cab "
        "shows. Ask, look at each vehicle."
        for at, spec in task.train.devices()
        if isinstance(spec, ParkingBrakeSpec) and spec.released_by_hand is not None and at.unit in dead
    )
