"""The file of a job with two units of Wending Vale, 217 and 226: joined, parted, or one fetched by the other."""

from __future__ import annotations

TEXT = """headstock: job 1
title: {title}
invented: true
work: {work}
units:
  - {{name: "217", type: {first}}}
  - {{name: "226", type: {second}}}
joints:
  - {{ends: [217/{near}, 226/{far}], {word}: true}}
{way}moving: {{units: ["217"], driven_from: 217/{cab}}}
controls_afterwards: 217/{cab}
leaves_from: 217/{cab}
crew: {{driver: M. Iden, shunter: J. Tolk, guard: P. Oad}}
place: {place}
local_rules: wending-vale
method: rear-application
boards_placed_by: {{"217": guard, "226": guard}}
as_left: {{{left}}}
"""


def two_units(
    work: str, first: str, second: str, ends: tuple[str, str] = ("2", "1"), *, title: str = "", way: str = "", left: str = "",
    place: str = "harrow-ings-3", cab: str = "", more: str = "",
) -> str:  # fmt: skip
    """The text of the file; 217 moves, driven from its outer end where no other cab is named."""
    near, far = ends
    return TEXT.format(
        title=title or f"{work} {first} and {second}", work=work, first=first, second=second, near=near, far=far, left=left,
        word="part" if work == "detach" else "make", way=f"way: {way}\n" if way else "", place=place,
        cab=cab or ("1" if near == "2" else "2"),
    ) + more  # fmt: skip
