"""Who saw or did what, as an entry of the chain: with what was done it can be recorded in one commit."""

from __future__ import annotations

import uuid
from collections.abc import Mapping
from datetime import datetime
from typing import Any

from headstock.usecases.accounts_port import Trace
from headstock.usecases.record_terms import terms_of
from headstock.usecases.records_port import Draft


def trace_draft(trace: Trace, more: Mapping[str, Any] | None = None) -> Draft:
    """The entry of a trace. Its words begin with a mark each, so that looking for a unit or a person finds no traces."""
    body = {
        "who": trace.who,
        "act": trace.act,
        "on": trace.on,
        "address": trace.address,
        "outcome": trace.outcome,
        **(more or {}),
    }
    terms = ["kind:audit", f"account:{trace.who}", f"act:{trace.act}", f"outcome:{trace.outcome}"]
    terms += [f"on:{trace.on}"] if trace.on else []
    return Draft("audit", f"audit:{uuid.uuid4().hex}", datetime.now().isoformat(" ", "seconds"), terms_of(terms), body)
