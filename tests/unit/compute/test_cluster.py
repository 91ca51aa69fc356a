"""The same parts by a Dask cluster; one that is not there is one clear error."""

from __future__ import annotations

from pathlib import Path

import pytest

from headstock.base.errors import InputError
from headstock.compute.abreast import in_order
from headstock.compute.signature_blocks import code_key
from headstock.compute.study_run import run_study
from headstock.exchange.mistake_parts import mistake_part_content
from headstock.exchange.study_parts import StudyFolder
from tests.cases.studies import engine, mistakes_of

pytest.importorskip("distributed")


def tenfold(number: int) -> int:
    return number * 10


@pytest.mark.filterwarnings("ignore")
def test_pieces_come_in_order_from_a_cluster() -> None:
    from distributed import LocalCluster

    from headstock.compute.cluster import Cluster

    with LocalCluster(n_workers=2, threads_per_worker=1, processes=False, dashboard_address=None) as cluster:
        workers = Cluster(tenfold, cluster.scheduler_address)
        assert workers.count == 2
        assert list(in_order(workers, range(20), lambda *_: None)) == [number * 10 for number in range(20)]


@pytest.mark.filterwarnings("ignore")
def test_mistakes_come_the_same_from_a_cluster_as_from_this_process(tmp_path: Path) -> None:
    from distributed import LocalCluster

    study = mistakes_of(tmp_path)
    with LocalCluster(n_workers=1, threads_per_worker=1, processes=False, dashboard_address=None) as cluster:
        store = StudyFolder(tmp_path / "out", study, code_key(study.rests_on))
        store.open()
        run_study(study, mistake_part_content, store, lambda *_: None, cluster=cluster.scheduler_address)
    for part in range(study.parts):
        (path,) = (tmp_path / "out" / study.folder_of(part)).iterdir()
        assert path.read_bytes() == mistake_part_content(study, study.rows(part, engine()), store.key)


@pytest.mark.filterwarnings("ignore")
@pytest.mark.parametrize("address", ["tcp://127.0.0.1:9", "nonsense"])
def test_where_nobody_answers_is_one_error(address: str, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    from headstock.compute import cluster

    monkeypatch.setattr(cluster, "WAIT_S", 1)
    with pytest.raises(InputError, match="no cluster answers there"):
        cluster.Cluster(tenfold, address)
