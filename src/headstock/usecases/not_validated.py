"""What has not been validated, in plain words, by claim; said wherever the validation report is shown."""

from __future__ import annotations

from typing import Final

AIR: Final = "Air in the pipes and the brake gear"
TEST: Final = "The brake test: forecast, judged, searched"
ORDER: Final = "The order of work and the mistakes in it"
CAN: Final = "What the train can do"
JOIN: Final = "What joins what"
RECORDS: Final = "Records, files, papers and units of measure"

CLAIMS: Final[dict[str, tuple[str, ...]]] = {
    AIR: (
        "No pressure was ever compared with one read on a real train. No measured trace of a train was at hand.",
        "Brake gear (distributors, cylinders, reservoirs, compressors, cut-out brakes, parking brakes) was checked by no other "
        "solver: an independent integration stands against the pipes alone. The gear is held to windows and laws.",
        "Most windows for distributors are from memory: nobody here has read the standards.",
        "Air that warms again after a fast fall is left out by the fast engine, which every forecast uses.",
    ),
    TEST: (
        "No forecast was held against a real brake test, and no judgement against that of a person licensed to make it.",
        "How often each fault occurs, and from what healthy trains are drawn, is invented; odds hold for those inputs alone.",
        "Faults that the search names were never looked for on a real train.",
        "Limits of the demonstration's rules are invented. Published ones are examples, most of them of freight trains.",
        "Judging a brake worked by wires and the running test rest on common practice, without a source.",
    ),
    ORDER: (
        "No order of work was carried out with a real train, and no rule book's own order was at hand to compare with.",
        "Most rules of the order, and most mistakes, are common practice: no text was found that says them.",
        "How plausible a mistake is was ranked by hand. Nobody counted mistakes.",
        "Times for steps are allowances of the rules, not measured.",
    ),
    CAN: (
        "No stopping distance, hold or pull was compared with a measured one. Published figures are of other trains.",
        "Masses, forces, draft gear and brake data of the fleet are invented.",
        "Cast iron blocks, dry rails, running resistance and the curve of the braked weight are from memory.",
        "Wheel slide, blocks that grow hot or wet, and leaves on the rail are not worked out.",
    ),
    JOIN: (
        "No pair of real couplers was tried. Heads, patterns and pins are invented; of coupler standards only scopes were read.",
        "Play of bogies, tilt of the track and worn heads are left out of the meeting on a curve.",
    ),
    RECORDS: (
        "Nobody outside has tried to alter the records, or has looked over how they are signed.",
        "Whether an authority would take a certificate of ours as proof was asked of nobody.",
    ),
}  # fmt: skip
"""Each claim of the product, and what stands behind it only by our own word."""

PEOPLE: Final = (
    "Nobody with gloves, in rain or in the dark has tried the pages or the sheets; what is known of them comes from browsers.",
    "No driver, shunter or guard has worked with it, and no trainer has taught with it.",
    "No railway's safety management has assessed it.",
)
"""What was not tried with people, whatever the claim."""
