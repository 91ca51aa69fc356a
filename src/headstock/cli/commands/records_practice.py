"""``records sitting``, ``paper``, ``sign-off``, ``person``, ``audit``: who practised, who is in date, what an auditor sees."""

from __future__ import annotations

from dataclasses import asdict
from datetime import date
from pathlib import Path

from headstock.base.errors import Fault, InputError
from headstock.base.nearest import nearest_of
from headstock.cli.reply import NO, YES, print_json
from headstock.usecases.answers_as_data.receipt import body_lines, receipt, receipt_line
from headstock.usecases.auditor_view import AuditorView, auditor_view
from headstock.usecases.competence_now import NOT_MAY, PersonNow, person_now
from headstock.usecases.moments import day_s
from headstock.usecases.people_on_record import PeopleNow, people_now
from headstock.usecases.record_practice import (
    DRILL_CAUTION,
    CompetenceGiven,
    PaperGiven,
    SittingGiven,
    competence_to_file,
    paper_to_file,
    sitting_to_file,
)
from headstock.usecases.standing_caution import STANDING_CAUTION
from headstock.wiring import fleet_from, open_records


def roles_of(people: list[str]) -> tuple[tuple[str, str], ...]:
    """NAME=ROLE of each, split; what lacks a part is refused with the rest."""
    return tuple((name.strip(), role.strip()) for name, _, role in (one.partition("=") for one in people))


def run_practice(given: SittingGiven | PaperGiven | CompetenceGiven, database: str | None, as_json: bool,
                 fleet: Path | None = None) -> int:  # fmt: skip
    """Record one of the three."""
    records = open_records(database)
    if isinstance(given, SittingGiven):
        draft = sitting_to_file(given)
    elif isinstance(given, PaperGiven):
        draft = paper_to_file(given)
    else:
        draft = competence_to_file(given, records, fleet_from(fleet).types)
    (filed,) = records.append([draft])
    if as_json:
        print_json(receipt(filed))
    else:
        print(receipt_line(filed))
        print("\n".join(body_lines(filed.draft)))
        print(NOT_MAY if isinstance(given, CompetenceGiven) else DRILL_CAUTION)
        print(f"Not so? It stays; say so: headstock records note correction WHY --who NAME --about {filed.code}")
    return YES


def points_of(text: str) -> tuple[int, int]:
    """`17/20` as two numbers. Raises InputError."""
    got, _, of = text.partition("/")
    if not (got.strip().isdecimal() and of.strip().isdecimal()):
        raise InputError(Fault("points not understood", path="--points", found=text, expected="POINTS/ALL, such as 17/20"))
    return int(got), int(of)


def run_person(name: str, day: str, database: str | None, as_json: bool) -> int:
    """How somebody stands; 1 where nothing is in date."""
    if day:
        day_s(day, "--day")
    records, on = open_records(database), date.fromisoformat(day) if day else date.today()
    now = person_now(name, records, on)
    if as_json:
        print_json(_person_json(now))
    else:
        _print_person(now, "" if now.is_on_record else _nearest_name(name, people_now(records, on)))
    return YES if any(one.state == "in date" for one in now.competences) else NO


def _person_json(now: PersonNow) -> dict[str, object]:
    held = [{"code": one.filed.code, "state": one.state, "left_days": one.left_days, **one.filed.draft.body}
            for one in now.competences]  # fmt: skip
    papers = [{"code": paper.code, **paper.draft.body} for paper in now.papers]
    return {"person": now.person, "competences": held, "tests_lately": now.tests_lately,
            "sittings_lately": now.sittings_lately, "papers": papers}  # fmt: skip


def _nearest_name(name: str, people: PeopleNow) -> str:
    near = nearest_of(name, [line.person for line in people.lines])
    return f" Nearest name on record: {near}." if near else ""


def _print_person(now: PersonNow, nearest: str) -> None:
    print(f"Caution: {STANDING_CAUTION}")
    if not now.competences:
        print(f"No sign-off of {now.person} is on record.{nearest}")
    for one in now.competences:
        left = f", {one.left_days} days left" if one.state == "in date" else ""
        print(f"{one.filed.code}  {one.state}{left}: {one.filed.draft.body['text']} ({one.filed.draft.body['who']})")
    for paper in now.papers:
        print(f"{paper.code}  paper: {paper.draft.body['text']}")
    print(f"In the last half year: {_count(now.tests_lately, 'test')}, {_count(now.sittings_lately, 'sitting')}.")
    print(NOT_MAY)


def _count(number: int, word: str) -> str:
    return f"{number} {word}{'' if number == 1 else 's'}"


def run_audit(from_day: str, to_day: str, database: str | None, as_json: bool) -> int:
    """Print what an auditor looks at; 1 where something was altered."""
    for option, day in (("--from", from_day), ("--to", to_day)):
        if day:
            day_s(day, option)
    records = open_records(database)
    view = auditor_view(records, records.verify(), from_day, to_day)
    if as_json:
        print_json(_audit_json(view))
    else:
        _print_audit(view)
    return NO if view.verdict.fault else YES


def _audit_json(view: AuditorView) -> dict[str, object]:
    looks = [{"code": look.filed.code, "entry": look.filed.seq, "at": look.filed.draft.at, "kind": look.filed.draft.kind,
              "why": look.why} for look in view.looks]  # fmt: skip
    return {"verdict": asdict(view.verdict), "kinds": dict(view.kinds), "tests": dict(view.tests),
            "keys": [{"entry": key.seq, "public_key": key.draft.body["public_key"]} for key in view.keys],
            "refused_sign_ins": view.refused_sign_ins, "looks": looks, "is_cut": view.is_cut}  # fmt: skip


def _print_audit(view: AuditorView) -> None:
    print(f"Altered: {view.verdict.fault}." if view.verdict.fault else
          f"Nothing was altered, removed or re-ordered: {view.verdict.entries} entries.")  # fmt: skip
    for key in view.keys:
        print(f"Key {key.draft.body['public_key'][:16]}, entry {key.seq}, {key.draft.at}")
    print(f"Entries: {', '.join(f'{number} {kind}' for kind, number in view.kinds) or 'none'}")
    print(f"Tests: {'; '.join(f'{number} {state}' for state, number in view.tests) or 'none'}")
    print(f"Refused sign-ins: {view.refused_sign_ins}")
    for look in view.looks:
        print(f"  {look.filed.code}  {look.filed.draft.at}  {look.filed.draft.kind} {look.filed.seq}: {look.why}")
    if view.is_cut:
        print("There is more than could be looked at: name fewer days with --from and --to.")
