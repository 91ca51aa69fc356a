"""Questions on a study's results, asked of the Parquet files by DuckDB: it reads nothing but that folder, and writes nothing."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import pyarrow as pa

from headstock.base.errors import Fault, InputError
from headstock.base.nearest import nearest_of
from headstock.exchange.study_parts import KEY, MANIFEST, manifest_of
from headstock.exchange.study_sql import SQL
from headstock.local_rules.limit_figures import is_at_most, is_pressure
from headstock.usecases.blind_spots_of_job import STEPS
from headstock.usecases.study_file import LIMITS_NAME
from headstock.usecases.study_questions import READY, Kind, StudyAnswer, kind_said, name_in_words

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

PARTS: Final = {"drawn tests": "job=*/method=*/weather=*/part-*.parquet", "mistakes": "pair=*/local_rules=*/part-*.parquet"}
"""Where parts lie, by kind of study."""
VIEWS: Final = ("scenarios", "settings", "readings")


def study_kind(folder: Path) -> Kind:
    """Of which kind a study's results are. Raises InputError."""
    return kind_said(_manifest(folder))


def ask_ready(folder: Path, question: str, limits: str | None, top: int) -> StudyAnswer:
    """A ready question. Raises InputError for one that there is not, and as ``ask_sql``."""
    kind = kind_said(_manifest(folder))
    known = {one.name: one for one in READY if one.about == kind}
    if question not in known:
        fault = Fault(
            f"no such question on a study of {kind}",
            found=question,
            expected=", ".join(known),
            nearest=nearest_of(question, known),
        )
        raise InputError(fault, cure="Name one of these, or ask your own with --sql.")
    return _asked(folder, SQL[question], known[question].title, known[question].note, limits, top)


def ask_sql(folder: Path, sql: str, limits: str | None, top: int) -> StudyAnswer:
    """One SELECT of one's own. Raises InputError for anything else, and for a folder that is not one study's whole parts."""
    return _asked(folder, sql, "Asked in SQL", f"Tables: {', '.join(VIEWS)}.", limits, top)


def _manifest(folder: Path) -> dict[str, Any]:
    said = manifest_of(folder)
    if said is None:
        fault = Fault(
            "no results of a study", str(folder), found=f"no {MANIFEST}", expected="a folder that headstock study wrote"
        )
        raise InputError(fault, cure="Name the folder given with --out.")
    with _as_it_was_written(folder):
        names, _ = _limit_names(said), PARTS[kind_said(said)]
    if not all(re.fullmatch(LIMITS_NAME, name) for name in names):
        raise _changed(folder, "study.limits", ", ".join(names))
    return said


def _changed(folder: Path, path: str, found: str) -> InputError:
    fault = Fault("not a manifest of a study", str(folder / MANIFEST), path=path, found=found)
    return InputError(fault, cure="Take the results from whoever wrote them anew: this file was changed.")


@contextmanager
def _as_it_was_written(folder: Path) -> Iterator[None]:
    """Whatever a manifest lacks, or has in another shape than the parts, is told as a change. Raises InputError."""
    try:
        yield
    except (KeyError, TypeError, ValueError, AttributeError, OverflowError, pa.ArrowException, _duckdb().Error) as error:
        raise _changed(folder, "", f"{type(error).__name__}: {str(error)[:80]}") from None


def _limit_names(said: dict[str, Any]) -> list[str]:
    return [str(one["name"]) for one in said["study"].get("limits", ())]


def _limits(said: dict[str, Any], limits: str | None) -> str:
    """The set of limits asked about; "" where the study has none."""
    names = _limit_names(said)
    if not names and limits is None:
        return ""
    in_words = {name_in_words(name): name for name in names}
    chosen = in_words.get(limits, limits) if limits else names[0]
    if chosen not in names:
        fault = Fault("no such set of limits", path="--limits", found=chosen, expected=", ".join(names) or "none: leave it out",
                      nearest=nearest_of(chosen, names))  # fmt: skip
        raise InputError(fault, cure="Name one that the study has.")
    return chosen


def _asked(folder: Path, sql: str, title: str, note: str, limits: str | None, top: int) -> StudyAnswer:
    said = _manifest(folder)
    chosen = _limits(said, limits)
    duckdb = _duckdb()
    with duckdb.connect(":memory:") as base:
        parts = _open(base, folder, said, chosen)
        _check(duckdb, sql)
        try:
            found = base.execute(sql)
            rows = found.fetchmany(top + 1)
        except duckdb.Error as error:
            raise _not_understood(str(error)) from None
        columns = tuple(one[0] for one in found.description or ())
    return StudyAnswer(title, note, columns, tuple(rows[:top]), len(rows) > top, said, parts, chosen)


def _duckdb() -> Any:
    try:
        import duckdb
    except ModuleNotFoundError:
        fault = Fault("DuckDB is not installed", expected="headstock[study]")
        raise InputError(
            fault, cure="Install headstock[study]; the results can be read by any Parquet reader meanwhile."
        ) from None
    return duckdb


def _open(base: DuckDBPyConnection, folder: Path, said: dict[str, Any], limits: str) -> int:
    """The views; how many parts there are. Raises InputError where a part is another study's, or there is none."""
    lie = PARTS[kind_said(said)]
    parts = str(folder.resolve() / lie)
    if not any(folder.glob(lie)):
        raise InputError(Fault("no part of the study is worked out yet", str(folder)), cure="Go on with headstock study.")
    quoted = parts.replace("'", "''")
    try:
        keys = base.execute(
            f"select decode(value), count(*) from parquet_kv_metadata('{quoted}') where decode(key) = '{KEY}' group by all"
        ).fetchall()
        base.execute(f"create view scenarios as select * from read_parquet('{quoted}', hive_partitioning = true, "
                     "hive_types_autocast = false)")  # fmt: skip
    except _duckdb().Error as error:
        fault = Fault("a part cannot be read", str(folder), found=str(error).splitlines()[0])
        raise InputError(fault, cure="Let headstock study go on: what is not whole is worked out again.") from None
    if [key for key, _ in keys] != [said["key"]]:
        fault = Fault(
            "parts of another study, or of other code, lie among these", str(folder), expected="parts of one study alone"
        )
        raise InputError(fault, cure="Take them out.")
    with _as_it_was_written(folder):
        _make_tables(base, said, limits)
    root = str(folder.resolve()).replace("'", "''")
    base.execute(f"set allowed_directories = ['{root}']")
    base.execute("set enable_external_access = false")
    base.execute("set lock_configuration = true")
    return int(keys[0][1])


def _make_tables(base: DuckDBPyConnection, said: dict[str, Any], limits: str) -> None:
    """What a question asks: the scenarios with the verdict by a set of limits, and what the folder says of itself."""
    fails = f', "fails_{limits}" as fails' if limits else ""
    base.execute(f"create view asked as select *{fails} from scenarios")
    for name, rows in _tables(said).items():
        base.register(f"{name}_given", pa.Table.from_pylist(rows))
        base.execute(f"create table {name} as select * from {name}_given")
        base.unregister(f"{name}_given")


def _tables(said: dict[str, Any]) -> dict[str, list[dict[str, Any]]]:
    """What a folder says of itself, as tables."""
    found: dict[str, list[dict[str, Any]]] = {"settings": said["settings"]}
    if "readings" in said:
        found["readings"] = [
            {**one, "sign": 1 if is_at_most(one["limit"]) else -1, "is_pressure": is_pressure(one["limit"])}
            for one in said["readings"]
        ]
        found["steps"] = [{"moved_bar": one} for one in STEPS]
    return found


def _check(duckdb: Any, sql: str) -> None:
    """One SELECT, which changes nothing."""
    try:
        kinds = [one.type.name for one in duckdb.extract_statements(sql)]
    except duckdb.Error as error:
        raise _not_understood(str(error)) from None
    if kinds != ["SELECT"]:
        fault = Fault("not a question", path="--sql", found=" and ".join(kinds).lower() or "nothing", expected="one SELECT")
        raise InputError(fault, cure="Ask one SELECT at a time; nothing can be changed.")


def _not_understood(said: str) -> InputError:
    fault = Fault("SQL not understood", path="--sql", found=" ".join(said.split())[:300], expected="one SELECT of DuckDB")
    return InputError(fault, cure=f"Tables: {', '.join(VIEWS)}; DESCRIBE NAME shows the columns of one.")
