"""What a document names: faults without a file are told where the name stands, others in their own file."""

from __future__ import annotations

from headstock.base.documents import document_from_text
from headstock.base.errors import Fault, InputError
from headstock.base.named import Named


def test_every_fault_is_kept_where_it_belongs() -> None:
    named = Named(document_from_text("jobs:\n  - one\n  - two\n", "study.yaml"))

    def refused(fault: Fault) -> None:
        raise InputError(fault)

    assert named.read("one", ("jobs", 0), lambda: 3) == 3 and not named.faults
    assert named.read("two", ("jobs", 1), lambda: refused(Fault("no such job"))) is None
    named.read("two", ("jobs", 1), lambda: refused(Fault("torn", "other.yaml", 7, "ends", "x")))
    first, second = named.faults
    assert (first.file, first.line, first.path, first.found) == ("study.yaml", 3, "jobs[1]", "two")
    assert (second.file, second.line, second.path, second.found) == ("other.yaml", 7, "ends", "x")
