"""``records verify``, ``check``, ``key``, ``backup``, ``restore``, ``export``: that nothing was altered, and keeping it so."""

from __future__ import annotations

from pathlib import Path

from headstock.base.errors import Fault, InputError
from headstock.cli.reply import NO, YES, print_json
from headstock.usecases.answers_as_data.verdict import verdict_as_json
from headstock.usecases.certificate import NO_PERMISSION
from headstock.wiring import check_writable, export_records, open_records, public_key, public_keys, write_whole

CUT_OFF = "Entries cut off at the end, head and all, are only seen against a code that is kept elsewhere: records show CODE."


def run_verify(key: Path | None, database: str | None, as_json: bool) -> int:
    """0: as it was written; 1: it was altered, and where first."""
    records = open_records(database)
    trusted = public_key(key) if key is not None else None
    verdict = records.verify(trusted)
    said = verdict_as_json(verdict, records)
    unsafe = said["unsafe"]
    if as_json:
        print_json(said)
    elif verdict.fault:
        print(f"Altered: {verdict.fault}.")
        print("Keep the file aside as it is, and compare it with a backup.")
    else:
        end = f", the last is {said['last_code']}" if said["last_code"] else ""
        print(f"Nothing was altered, removed or re-ordered: {verdict.entries} entries{end}.")
        print(CUT_OFF)
    if unsafe and not as_json:
        print(f"Careful: {unsafe}.")
    return NO if verdict.fault else YES


def run_check(line: str, key: Path, as_json: bool) -> int:
    """0: signed by the key; 1: not."""
    from headstock.records.certificates import certificate_content

    said = certificate_content(line, *public_keys(key))
    if as_json:
        print_json({"answer": "no" if said is None else "yes", "certificate": said})
    elif said is None:
        print("Not genuine: this key did not sign it, or it was altered.")
    else:
        print(f"Genuine: {said['code']}, entry {said['entry']}{' (invented)' if said['invented'] else ''}")
        print(f"  units {', '.join(said['units'])}, {said['method']}, {said['began']} to {said['ended']}")
        print(f"  readings: {said['verdict']}; when printed, after entry {said['as_of']}: {said['state']}")
        print(NO_PERMISSION)
    return NO if said is None else YES


def run_key(out: Path, database: str | None, as_json: bool) -> int:
    """Write the public key, and the former ones behind it."""
    from headstock.records.key_change import public_keys_file

    records = open_records(database)
    key = records.signer.public
    write_whole({out: public_keys_file(records)})
    if as_json:
        print_json({"public_key": key.hex, "file": str(out)})
    else:
        print(f"Public key {key.hex[:16]}: {out}")
        print("Give it to whoever verifies. The signing key stays in the data folder: keep a copy of it, safe and apart.")
    return YES


def run_new_key(database: str | None, as_json: bool) -> int:
    """Change the signing key."""
    from headstock.records.key_change import change_key

    records = open_records(database)
    filed, kept = change_key(records)
    if as_json:
        print_json({"public_key": records.own_key.hex, "entry": filed.seq, "code": filed.code, "former_key_file": str(kept)})
    else:
        print(f"From entry {filed.seq + 1} on the key {records.own_key.hex[:16]} signs; what was signed before stays good.")
        print(f"Give out the new public key: headstock records key --out FILE. The former signing key lies in {kept}:")
        print("keep it apart or destroy it, and bring the new one to every computer that writes to these records.")
    return YES


def run_backup(file: Path, database: str | None, as_json: bool) -> int:
    """Write a backup."""
    from headstock.records.lines import back_up

    check_writable({"FILE": file})
    return _told("entries", back_up(open_records(database), file), file, as_json)


def run_restore(file: Path, key: Path | None, database: str | None, as_json: bool) -> int:
    """Add what a backup holds and the records lack."""
    from headstock.records.lines import restore

    records = open_records(database)
    trusted = public_key(key) if key is not None else records.own_key
    return _told("restored", restore(records, file, trusted), file, as_json)


def run_export(file: Path, database: str | None, as_json: bool) -> int:
    """Write all entries in the form that the file's name asks for."""
    if file.suffix == ".jsonl":
        return run_backup(file, database, as_json)
    if file.suffix not in (".csv", ".parquet"):
        expected = ".jsonl, .csv or .parquet"
        raise InputError(Fault("no such form", path="FILE", found=file.suffix or "no ending", expected=expected))
    check_writable({"FILE": file})
    entries = tuple(open_records(database).every())
    export_records(entries, file)
    return _told("entries", len(entries), file, as_json)


def _told(what: str, number: int, file: Path, as_json: bool) -> int:
    if as_json:
        print_json({what: number, "file": str(file)})
    else:
        print(f"{number} {what}: {file}")
    return YES
