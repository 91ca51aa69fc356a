"""A device by its key in the words of the trade."""

from __future__ import annotations


def device_in_words(key: str) -> str:
    """``217/2.brake_pipe_cock`` as ``brake pipe cock of 217/2``; a key without a place as it stands."""
    where, _, device = key.partition(".")
    return f"{device.replace('_', ' ').replace('.', ' ')} of {where}" if device else where
