"""Mistakes of the trade, in words of our own, and where the model shows each: common practice, no source.

``SHOWN`` rows name the mistakes of a job that show it (one, or two together) and what must become of them: the verdict, by
what it is noticed, a rule that is broken. ``JUDGED`` names those that another part of the program tells, with the test that
shows it. The others wait for a job kind or a device that does not exist yet, or are not modelled, each with the reason.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from tests.cases.jobs import DEMO, PART, SCREW, SECOND
from tests.cases.other_jobs import (
    BUFFERS_OUT,
    COCK_OPEN,
    COVER_ON,
    GANGWAY_OPEN,
    HEAD_BACK,
    HOSE_HANGS,
    JUMPER_HANGS,
    PIN_OUT,
    RESCUE,
    SCREWS,
)

WAITS, NOT_MODELLED = "waits", "not modelled"


@dataclass(frozen=True)
class Shown:
    """What becomes of a mistake: job, (kind, step, past, how, further lines) of each, verdict, by what noticed, rule broken."""

    mistakes: tuple[tuple[str, str, str, str, int], ...]
    verdict: str
    means: str = ""
    rule: str = ""
    job: Path = DEMO


def one(kind: str, step: str, past: str = "", how: str = "", more: int = 0) -> tuple[tuple[str, str, str, str, int], ...]:
    """One mistake."""
    return ((kind, step, past, how, more),)


_COCK_A, _COCK_B = r"^open the brake pipe cock of 217/2", r"^open the brake pipe cock of 226/1"
_REAR = r"^test, rear charged"
SHOWN: dict[int, tuple[str, Shown]] = {
    1: ("the job is not agreed", Shown(one("left out", r"^agree the job"), "noticed", "word")),
    3: ("nobody asked for the road", Shown(one("left out", r"^ask for the road"), "unseen", rule="road-and-plan")),
    4: ("the portion is not secured",
        Shown(one("left out", r"^screw on the hand brake of 2312@1"), "noticed", "look", "", SECOND)),
    5: ("the portion stands on its air alone",
        Shown(one("left out", r"^put on the parking brake of 217, cab 217/2$@2"), "noticed", "look")),
    6: ("the hold is never proved", Shown(one("left out", r"^watch 226"), "unseen", rule="hold-proved")),
    7: ("the hold is proved with the air brake still on",
        Shown(one("left out", r"^unlock the brake valve, cab 226/2", more=3), "unseen", rule="hold-proved")),
    8: ("the standing cab is not shut", Shown(one("left out", r"lock the brake valve from empty, cab 226/2"), "noticed", "hand",
                                             "between-still")),
    13: ("the keeper is left out", Shown(one("left out", r"^put the pin keeper"), "noticed", "look")),
    15: ("both knuckles shut", Shown(one("left out", r"^open the knuckle"), "noticed", "look")),
    20: ("the last stop of the approach is left out",
         Shown(one("left out", r"^draw up, stop 0.6 m off"), "noticed", "sight")),
    21: ("nobody looks on both sides", Shown(one("left out", r"^look at both sides of the joint, 2 m off"), "harmless")),
    23: ("touched and not coupled", Shown(one("half done", r"^couple ", how="sign not won"), "noticed", "look")),
    24: ("the pull is left out", Shown(one("left out", r"^pull lightly"), "noticed", "look")),
    26: ("in between without protection",
         Shown(one("too early", r"^go between, coupled", r"^assure .* coupled"), "unseen", rule="between-protected")),
    28: ("protection given back by somebody still between",
         Shown((("left out", r"^come out@1", "", "", 0),), "unseen", rule="movement-clear", job=DEMO)),
    33: ("the brake pipe hoses are not joined",
         Shown(one("left out", r"^join the brake pipe hoses"), "noticed", "noise", "live-hose")),
    37: ("the cock of the moving portion stays shut", Shown(one("left out", _COCK_A), "noticed", "look")),
    38: ("the cock of the standing portion stays shut", Shown(one("left out", _COCK_B), "noticed", "look")),
    39: ("both cocks stay shut: all looks healthy, but for the rear gauge",
         Shown(one("left out", _COCK_A) + one("left out", _COCK_B), "noticed", "look")),
    42: ("a main reservoir cock stays shut",
         Shown(one("left out", r"^open the main reservoir pipe cock of 226/1"), "latent")),
    45: ("the jumper is forgotten", Shown(one("left out", r"^take the jumper", more=3), "noticed", "trial")),
    46: ("the jumper is in and not latched", Shown(one("left out", r"^latch the jumper"), "noticed", "look")),
    49: ("a jumper handled with its supply on",
         Shown(one("left out", r"^switch the electric supply of 217 off"), "noticed", "hand", "jumper-dead")),
    51: ("tested before the pipe is charged", Shown(one("left out", r"^test, charged"), "noticed", "look")),
    52: ("the rear gauge is not read", Shown(one("half done", _REAR, how="not really looked"), "harmless")),
    53: ("another gauge is read, a shut cock behind it: found late",
         Shown(one("left out", _COCK_B) + one("half done", _REAR, how="not really looked"), "noticed", "look")),
    54: ("continuity tried one way only",
         Shown(one("left out", r"^test, rear applied"), "noticed", "look")),
    55: ("a cock opened only when the rear gauge was to be read", Shown(one("too late", _COCK_A, _REAR), "noticed", "look")),
    59: ("springs of a dead unit not released", Shown(one("left out", r"^release the springs of 2264"), "latent", "",
                                                        "scotches-last", RESCUE)),
    61: ("a hand brake left on", Shown(one("left out", r"^take off the hand brake of 2312$", more=1), "latent", job=SECOND)),
    62: ("all hand brakes off but one",
         Shown(one("left out", r"^take off the hand brake of 5082", more=1), "latent", job=SECOND)),
    63: ("a tail lamp left lit inside the train", Shown(one("left out", r"^put out the red lamp of 226/1"), "latent")),
    64: ("no tail lamp at the rear", Shown(one("left out", r"^light the red lamp of 226/2"), "noticed", "look")),
    9: ("a cover left on the face", Shown(one("left out", r"^take the coupler cover of 604/1 off"), "noticed", "look",
                                          job=COVER_ON)),
    10: ("a scotch left in place", Shown(one("left out", r"^take the scotches away from 2264"), "latent", job=RESCUE)),
    12: ("a support pin not fully home", Shown(one("half done", r"^push the head pin", how="sign not won"), "noticed", "look",
                                               job=PIN_OUT)),
    14: ("the buffers of one end not set", Shown(one("left out", r"^set the buffers of 226/1"), "noticed", "look",
                                                 job=BUFFERS_OUT)),
    19: ("an electrical head left locked back",
         Shown(one("left out", r"^let the electrical head of 604/1 free"), "noticed", "hand", job=HEAD_BACK)),
    30: ("the screw hung on the nose of the hook",
         Shown(one("half done", r"^turn the screw", how="the first of it only"), "noticed", "look", job=SCREW)),
    31: ("the screw not tightened", Shown(one("left out", r"^turn the screw"), "noticed", "look", job=SCREW)),
    32: ("the other screw left swinging", Shown(one("left out", r"^hang the screw of 226/1"), "noticed", "look",
                                                "ends-dressed", SCREWS)),
    43: ("the cock of an outer end open", Shown(one("left out", r"^shut the brake pipe cock of 226/2"), "noticed", "noise",
                                                job=COCK_OPEN)),
    44: ("a loose hose not on its dummy", Shown(one("left out", r"^put the brake pipe hose of 226/2"), "noticed", "look",
                                                job=HOSE_HANGS)),
    48: ("the outer jumper not in its dummy", Shown(one("left out", r"^put the jumper of 226/2"), "noticed", "look",
                                                    job=JUMPER_HANGS)),
    65: ("a gangway door left open", Shown(one("left out", r"^shut the gangway door"), "noticed", "look", job=GANGWAY_OPEN)),
    69: ("a brake of the portion that stays left off: its indicator shows it",
         Shown(one("left out", r"^put on the parking brake of 226"), "noticed", "look", job=PART)),
    70: ("one cock shut, the other not: the portion that leaves blows", Shown(
        one("left out", r"^shut the joined brake pipe cock of 217/2"), "noticed", "noise", "live-hose", PART)),
    71: ("drawn away on the jumper", Shown(one("left out", r"^unlatch the jumper", more=1), "latent", "", "drawn-apart", PART)),
}  # fmt: skip

JUDGED: dict[int, tuple[str, str]] = {
    2: ("how much is to be joined is not said", "test_heads_of_unlike_contacts_are_not_to_be_mated_and_joinability_says_so"),
    11: ("a scotch taken away too early", "test_scotches_taken_away_too_early_are_named"),
    16: ("an adapter's pin not home", "test_an_adapters_pin_that_is_not_home_is_named"),
    17: ("the wrong adapter", "test_an_adapter_that_fits_another_face_is_not_taken"),
    18: ("electrical heads not cut out", "test_a_head_left_free_where_it_is_not_used_is_named"),
    22: ("no horn, no warning", "test_a_driver_alone_who_sounds_no_horn_is_named"),
    27: ("going in on somebody else's protection", "test_going_in_on_anothers_protection_is_named"),
    29: ("somebody with no work there walks through the gap", "test_somebody_who_walks_through_the_gap_is_named"),
    34: ("hoses of two pipes joined to one another", "test_hoses_of_two_pipes_joined_to_one_another_are_named"),
    35: ("a seal missing", "test_a_missing_seal_is_met_by_the_readings_or_is_not_as_the_method_says"),
    36: ("a hose with a kink or ice in it", "test_a_kinked_hose_is_met_by_the_rear_gauge_at_its_time"),
    40: ("a cock shut after the test", "test_a_cock_shut_after_the_test_voids_it_and_a_new_one_is_due"),
    50: ("the loop not ended", "test_loops_through_an_open_head_are_named"),
    56: ("no test after parting in the middle", "test_a_test_is_due_after_parting_in_the_middle"),
    57: ("a brake that does not work is not counted", "test_an_isolated_brake_passes_the_test_and_is_said_elsewhere"),
    58: ("brakes bled instead of the cock found", "test_bleeding_is_no_step_and_the_shut_cock_is_still_named"),
    66: ("order of units not told to the train", "test_what_is_told_afterwards_has_the_order_of_units_and_isolated_brakes"),
    67: ("an isolation not written down", "test_what_is_told_afterwards_has_the_order_of_units_and_isolated_brakes"),
    68: ("a running test that another brake hides", "test_a_running_test_says_what_hides_it"),
    72: ("drawn away without the stop", "test_drawing_away_without_the_stop_is_named"),
    74: ("the portion that leaves is not tested", "test_the_leaving_portion_not_tested_is_named"),
    75: ("the cab left on a leaking brake", "test_a_cab_left_on_air_alone_is_named"),
}

OTHERS: dict[int, tuple[str, str, str]] = {
    25: ("pulled too hard", NOT_MODELLED, "force is no state: it is worked out elsewhere"),
    41: ("a cock opened with a jerk", NOT_MODELLED, "how fast a hand moves is no state"),
    47: ("the jumper in the other socket", NOT_MODELLED, "an end has one socket in the model"),
    60: ("a brake released by hand not put back", WAITS, "the unit after its rescue is no job yet; the sheet asks for the log"),
    73: ("the loop not ended after parting", WAITS, "loop ends are devices of a part-made couple alone"),
    76: ("figures copied from last time", NOT_MODELLED, "the sheet has room for readings, and nobody reads them back"),
    77: ("too few people, tired, in heavy rain", NOT_MODELLED, "a condition, not a mistake: it makes others likelier"),
}  # fmt: skip
