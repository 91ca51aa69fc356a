"""Roles of those who may sign in, and what each may do: one declared table, asked before every act."""

from __future__ import annotations

from typing import Final, Literal, get_args

Role = Literal["crew", "instructor", "supervisor", "administrator"]
ROLES: Final[tuple[Role, ...]] = get_args(Role)

_EVERYBODY: Final[tuple[Role, ...]] = ROLES
_TEACHING: Final[tuple[Role, ...]] = ("instructor", "supervisor", "administrator")
_LEADING: Final[tuple[Role, ...]] = ("supervisor", "administrator")
_ALONE: Final[tuple[Role, ...]] = ("administrator",)

ACTS: Final[dict[str, tuple[Role, ...]]] = {
    "look": _EVERYBODY,
    "see jobs": _EVERYBODY,
    "see the fleet": _EVERYBODY,
    "test the brake": _EVERYBODY,
    "file a test": _EVERYBODY,
    "log a touch": _EVERYBODY,
    "note a defect": _EVERYBODY,
    "note an isolation": _EVERYBODY,
    "sit exercises": _EVERYBODY,
    "see own competence": _EVERYBODY,
    "change own password": _EVERYBODY,
    "see records": _EVERYBODY,
    "print a certificate": _EVERYBODY,
    "verify records": _EVERYBODY,
    "plan jobs": _TEACHING,
    "issue a sheet": _TEACHING,
    "investigate": _TEACHING,
    "correct an entry": _TEACHING,
    "set exercises": _TEACHING,
    "set a paper": _TEACHING,
    "see everybody's competence": _TEACHING,
    "sign somebody off": ("instructor", "supervisor"),
    "change the fleet": _LEADING,
    "export records": _LEADING,
    "see who saw and did what": _LEADING,
    "manage accounts": _ALONE,
    "back up records": _ALONE,
}
"""Each act and who may do it. Who administers accounts signs nobody off: who may do what on the ground is not theirs to say."""


def may(role: Role, act: str) -> bool:
    """Whether a role may do an act. Raises KeyError for an act that is not in the table: nothing is allowed by a slip."""
    return role in ACTS[act]


def acts_of(role: Role) -> tuple[str, ...]:
    """Everything that a role may do."""
    return tuple(act for act, roles in ACTS.items() if role in roles)
