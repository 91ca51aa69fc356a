"""An error that a route answers with a status of its own: nothing of that name, or on record already as something else."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from headstock.base.errors import InputError

SAFE_METHODS = ("GET", "HEAD", "OPTIONS")
"""What is asked so changes nothing, and has no body that is read."""
NOT_THERE, ALREADY_OTHERWISE, NOT_ACCEPTED = 404, 409, 422


class WithStatus(Exception):
    """An error and the status to answer it with."""

    def __init__(self, status: int, error: InputError) -> None:
        super().__init__(error.what)
        self.status, self.error = status, error


@contextmanager
def answered_as(status: int) -> Iterator[None]:
    """Whatever is refused inside is answered with this status."""
    try:
        yield
    except InputError as error:
        raise WithStatus(status, error) from None
