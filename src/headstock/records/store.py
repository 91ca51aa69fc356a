"""The records: appended in one durable commit, each key once, found by code, key, number and words."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, select

from headstock.base.errors import Fault, InputError, StorageError
from headstock.records.canonical import canonical
from headstock.records.chain import Link, Row, chain_verdict, filed_of, hash_of, plain_code, row_after
from headstock.records.database import bring_up_to_date, data_folder, engine_for, told
from headstock.records.finding import NO_SIGN, findable, rarity, search_statement
from headstock.records.key_chain import continues, key_draft, signed_words
from headstock.records.signing import KEY_FILE, PublicKey, Signer, load_signer
from headstock.records.tables import ENTRY, HEAD, MENTION
from headstock.records.writing import Pen, writing, writing_beside
from headstock.usecases.records_port import ChainVerdict, Draft, Filed, Search

COLUMNS = tuple(ENTRY.c[name] for name in Row._fields)


class StoredRecords:
    """Records in a database. ``folder`` holds the signing key; ``database`` is a file or an address."""

    def __init__(self, database: str = "", folder: Path | None = None) -> None:
        self.folder = folder or data_folder()
        self._signer: Signer | None = None
        self._seen = ("", "")
        with told(str(self.folder)):
            self.folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        self.engine, self.where = engine_for(database or str(self.folder / "records.db"))
        with told(self.where):
            bring_up_to_date(self.engine, self.where)

    @property
    def signer(self) -> Signer:
        """The key of the data folder, made on first use."""
        if self._signer is None:
            with told(str(self.folder)):
                self._signer = load_signer(self.folder)
        return self._signer

    @property
    def own_key(self) -> PublicKey:
        """The public part of the key that is here. Raises InputError where there is none; none is made for looking."""
        self.must_have_key()
        return self.signer.public

    def must_have_key(self) -> None:
        """Raises InputError where no signing key is."""
        if not (self.folder / KEY_FILE).exists():
            fault = Fault("no signing key here", str(self.folder), expected="the public key of the records")
            raise InputError(fault, cure="Give it: --public-key FILE.")

    def forget_key(self) -> None:
        """The key file was changed: read it again when it is needed."""
        self._signer = None

    def close(self) -> None:
        """Let go of the database."""
        self.engine.dispose()

    def append(self, drafts: Sequence[Draft]) -> tuple[Filed, ...]:
        """Record all or none in one commit; a key that is there already adds nothing."""
        if not drafts:
            return ()
        with told(self.where), writing(self.engine) as pen:
            filed = self._append(pen, drafts)
        last = max(filed, key=lambda entry: entry.seq)
        self._seen = (last.hash, last.recorded_at) if last.is_new else self._seen
        return filed

    def append_beside(self, drafts: Sequence[Draft], beside: Callable[[Connection], None]) -> tuple[Filed, ...]:
        """Record entries and do something to other tables in one commit: both or, where ``beside`` raises, neither."""
        with told(self.where), writing_beside(self.engine) as (pen, connection):
            filed = self._append(pen, drafts)
            beside(connection)
        return filed

    def _append(self, pen: Pen, drafts: Sequence[Draft]) -> tuple[Filed, ...]:
        link, last_at = self.following(pen)
        known = {row.key: filed_of(row) for row in pen.known([draft.key for draft in drafts if NO_SIGN not in draft.key])}
        new = _new_ones(drafts, known)
        filed = self.add(pen, link, last_at, new) if new else {}
        return tuple(filed.get(draft.key) or known[draft.key] for draft in drafts)

    def add(self, pen: Pen, link: Link, last_at: str, drafts: Sequence[Draft]) -> dict[str, Filed]:
        """Chain, sign and insert new entries; returns them by key."""
        now = datetime.now(UTC)
        stamp = now.isoformat(timespec="milliseconds")
        behind_s = max(0, round((datetime.fromisoformat(last_at) - now).total_seconds())) if last_at else 0
        rows, all_drafts = [], [*([] if link.seq else [key_draft(self.signer.public, stamp[:19].replace("T", " "))]), *drafts]
        for draft in all_drafts:
            rows.append(row_after(link, draft, stamp, behind_s))
            link = Link(rows[-1].seq, rows[-1].hash)
        rows[-1] = rows[-1]._replace(signature=self.signer.sign(signed_words(rows[-1].hash)).hex())
        pen.put(rows, (sorted(set(draft.terms)) for draft in all_drafts))
        return {row.key: Filed(row.seq, row.code, row.hash, row.signature, stamp, behind_s, draft, True)
                for row, draft in zip(rows, all_drafts, strict=True)}  # fmt: skip

    def following(self, pen: Pen) -> tuple[Link, str]:
        """What the next entry hangs on. Raises StorageError where the end was altered or signed by another key."""
        link = pen.head()
        if link.seq == 0:
            return link, ""
        if link.hash == self._seen[0]:  # nobody wrote since this very writer did
            return link, self._seen[1]
        text = pen.text_of(link.seq)
        said = json.loads(text) if hash_of(text) == link.hash else {}
        if not said or not self._is_ours(link, said):
            raise StorageError(
                f"nothing may be added: the last entry was altered, or signed by another key @ {self.where}", where=self.where,
                why=f"The key here is {self.signer.public.hex[:16]}.",
                cure="Run headstock records verify; bring the key of these records, or end the change of key that was begun.",
            )  # fmt: skip
        return link, str(said["recorded_at"])

    def _is_ours(self, link: Link, said: dict[str, Any]) -> bool:
        """Whether the key here may continue; where it was changed by another program, the new one is read."""
        if continues(said, link.hash, link.signature, self.signer.public):
            return True
        self._signer = None
        return continues(said, link.hash, link.signature, self.signer.public)

    def named(self, name: str) -> Filed | None:
        """The entry with this number, key or short code (as typed)."""
        if NO_SIGN in name:
            return None
        wanted = ENTRY.c.seq == int(name) if name.isdecimal() and len(name) < 12 else ENTRY.c.key == name
        with told(self.where), self.engine.connect() as connection:
            for by in (wanted, ENTRY.c.code == plain_code(name)):
                row = connection.execute(select(*COLUMNS).where(by).limit(1)).first()
                if row is not None:
                    return filed_of(Row(*row))
        return None

    def search(self, wanted: Search) -> tuple[Filed, ...]:
        """Entries, newest first."""
        possible = findable(wanted)
        if possible is None:
            return ()
        with told(self.where), self.engine.connect() as connection:
            statement = search_statement(possible, COLUMNS, lambda word: rarity(connection, word))
            return tuple(filed_of(Row._make(row)) for row in connection.execute(statement))

    def rows(self, connection: Connection) -> Iterator[Row]:
        """All entries as stored, in their order."""
        with connection.execute(select(*COLUMNS).order_by(ENTRY.c.seq).execution_options(yield_per=2000)) as found:
            for some in found.partitions():
                yield from map(Row._make, some)

    def every(self) -> Iterator[Filed]:
        """All entries in their order, as of one moment."""
        with told(self.where), self.snapshot() as connection:
            for row in self.rows(connection):
                yield filed_of(row)

    def snapshot(self) -> Connection:
        """A connection that sees one moment only."""
        connection = self.engine.connect()
        if self.engine.dialect.name == "postgresql":
            connection = connection.execution_options(isolation_level="REPEATABLE READ")
        return connection

    def unsafe_because(self) -> str:
        """Why what is acknowledged may yet be lost; "" where the database syncs each commit."""
        if self.engine.dialect.name != "postgresql":
            return ""
        with told(self.where), self.engine.connect() as connection:
            is_off = connection.exec_driver_sql("SHOW fsync").scalar() == "off"
        return (
            "this PostgreSQL does not sync (fsync = off): what was acknowledged is lost when its computer stops" if is_off else ""
        )

    def verify(self, key: PublicKey | None = None, tell: Callable[[int], None] | None = None) -> ChainVerdict:
        """Whether every entry is as it was written, by the key of this folder or by one that one trusts.

        ``tell`` hears now and then how many entries have been looked at.
        """
        with told(self.where), self.snapshot() as connection:
            seq, digest, signature = connection.execute(select(HEAD.c.seq, HEAD.c.hash, HEAD.c.signature)).one()
            sums: dict[int, int] = {}
            mentions = select(MENTION.c.term, MENTION.c.seq).execution_options(yield_per=5000)
            for some in connection.execute(mentions).partitions():
                for term, at in some:
                    sums[at] = sums.get(at, 0) + hash(term)
            if seq == 0 and key is None and not sums:
                return ChainVerdict(0, "")
            return chain_verdict(lambda: _telling(self.rows(connection), tell), key or self.own_key, Link(seq, digest, signature),
                                 lambda at: sums.get(at, 0))  # fmt: skip


A_FEW = 500
"""How often whoever waits for a verdict hears of it."""


def _telling(rows: Iterator[Row], tell: Callable[[int], None] | None) -> Iterator[Row]:
    """The rows, counted aloud."""
    for number, row in enumerate(rows, start=1):
        if tell is not None and number % A_FEW == 0:
            tell(number)
        yield row


def _new_ones(drafts: Sequence[Draft], known: dict[str, Filed]) -> list[Draft]:
    """Those that are not on record yet, each key once. Raises InputError for a key that holds something else."""
    new: dict[str, Draft] = {}
    for draft in drafts:
        _must_fit(draft)
        there = known[draft.key].draft if draft.key in known else new.setdefault(draft.key, draft)
        if there is not draft:
            _must_be_same(there, draft)
    return list(new.values())


def _must_fit(draft: Draft) -> None:
    if any(NO_SIGN in word for word in (draft.kind, draft.key, draft.at, *draft.terms)):
        fault = Fault("a sign that is none in it (NUL)", path="key, or a name", found=draft.key[:40], expected="text")
        raise InputError(fault, cure="Nothing was recorded. Send it without that sign.")


def _must_be_same(filed: Draft, draft: Draft) -> None:
    same = canonical([filed.kind, filed.at, sorted(set(filed.terms)), dict(filed.body)])
    if same != canonical([draft.kind, draft.at, sorted(set(draft.terms)), dict(draft.body)]):
        fault = Fault("this key already holds something else", path="key", found=draft.key, expected="a key of its own")
        raise InputError(fault, cure="Send it with a new key; to correct an entry, add a correction.")
