"""What a job does to a train, as far as brake tests are due after it: events by name and facts that are then known."""

from __future__ import annotations

from headstock.local_rules.condition import Value
from headstock.local_rules.events import Event
from headstock.procedures.task import AttachTask
from headstock.usecases.found_cautions import isolated_brakes
from headstock.usecases.job_file import JobPapers, events_of


def events_and_facts(papers: JobPapers, task: AttachTask | None) -> tuple[tuple[Event, ...], dict[str, Value]]:
    """Events and facts of a job: its own, and what its train adds where it can be planned."""
    events: list[Event] = [*events_of(papers.job)]
    facts: dict[str, Value] = {} if papers.job.work == "detach" else {"places_joined": 1.0}
    if task is not None:
        if any(near[1].kind in ("jumper", "electrical head") for near, _ in task.mated):
            events.append("jumper or head touched")
        if isolated_brakes(task.train, task.as_found):
            events.append("brake isolated")
    return tuple(events), facts
