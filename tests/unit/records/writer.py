"""Appends entries and says, each on a line of its own, which were acknowledged: FOLDER FIRST COUNT [BATCH [DATABASE]]."""

from __future__ import annotations

import sys
from pathlib import Path

from headstock.base.errors import StorageError
from headstock.records.store import StoredRecords
from tests.unit.records.drafts import draft


def main(folder: Path, first: int, count: int, batch: int = 1, database: str = "") -> int:
    """0: all acknowledged; 3: the store said why not."""
    try:
        records = StoredRecords(database, folder)
    except StorageError as error:
        print(error.text().replace("\n", " "), file=sys.stderr, flush=True)
        return 3
    print("ready", flush=True)
    for number in range(first, first + count, batch):
        try:
            for filed in records.append([draft(each) for each in range(number, number + batch)]):
                print(filed.draft.key, filed.seq, flush=True)
        except StorageError as error:
            print(error.text().replace("\n", " "), file=sys.stderr, flush=True)
            return 3
    return 0


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1]), *map(int, sys.argv[2:5]), *sys.argv[5:]))
