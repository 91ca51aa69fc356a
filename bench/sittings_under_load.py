"""Sittings played at once on one server: how old updates are when they reach a client, and what the server takes of a core.

``python -m bench.sittings_under_load [SITTINGS] [SECONDS]``: 60 and 20 if not given, four clients each at twenty updates
a second, the air running and the brake of every train applied and released while it is measured. Loopback only. The age of
an update: when it has been received and read, less the moment that its clock shows; clocks of sitting and bench are laid on
one another by the promptest update of the sitting, so what even that one was late (a millisecond or so) is not in it.
"""

from __future__ import annotations

import asyncio
import json
import os
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from urllib.parse import urlencode
from urllib.request import Request, urlopen

import numpy as np
from numpy.typing import NDArray
from websockets.asyncio.client import connect

Floats = NDArray[np.float64]
ROOT = Path(__file__).parent.parent
ROLES = ("driver", "shunter", "guard", "")


def main(sittings: int = 60, seconds: float = 20.0) -> None:
    """Start a server, sit, print."""
    with tempfile.TemporaryDirectory(prefix="hs-bench-") as folder:
        environment = {**os.environ, "HEADSTOCK_DATA": folder, "PYTHONPATH": str(ROOT / "src")}
        command = [sys.executable, "-m", "headstock", "serve", "--port", "0"]
        server = subprocess.Popen(command, stdout=subprocess.PIPE, text=True, env=environment)
        try:
            assert server.stdout is not None
            address = server.stdout.readline().split()[3].rstrip("/")
            codes = [_begin(address) for _ in range(sittings)]
            before_s = _cpu_s(server.pid)
            ages_ms, gaps_ms = asyncio.run(_listen(address, codes, seconds))
            share = (_cpu_s(server.pid) - before_s) / seconds
        finally:
            server.terminate()
            server.wait(10)
    each = gaps_ms.size / seconds / (sittings * len(ROLES))
    print(f"{sittings} sittings, {len(ROLES)} clients each: {each:.1f} updates a second and client")
    for what, found in (("age of an update", ages_ms), ("time between updates (50 ms if all were on time)", gaps_ms)):
        half, late, last = np.percentile(found, (50, 99, 100))
        print(f"{what}: p50 {half:.1f} ms, p99 {late:.1f} ms, longest {last:.0f} ms")
    own_s = resource.getrusage(resource.RUSAGE_SELF).ru_utime
    print(f"server: {share:.2f} of a core; load of this machine {os.getloadavg()[0]:.1f}, this bench {own_s:.0f} s of it")


def _begin(address: str) -> str:
    with urlopen(Request(f"{address}/exercises/attach-by-heart/set", method="POST", data=b"")) as answer:
        code = answer.url.split("/")[-2]
    for role in ROLES[:3]:
        _post(f"{address}/sittings/{code}/take", role=role, person=role)
    _post(f"{address}/sittings/{code}/clock", do="go", rate="1")
    _post(f"{address}/sittings/{code}/role/driver", kind="turned", key="217/2.brake_valve", value="running")
    return code


def _post(url: str, **fields: str) -> None:
    with urlopen(Request(url, method="POST", data=urlencode(fields).encode())):
        pass


async def _listen(address: str, codes: list[str], seconds: float) -> tuple[Floats, Floats]:
    """Ages of updates, and times between two of one client [ms]."""
    where = address.replace("http", "ws", 1)
    ages, gaps = [], []
    moving = asyncio.create_task(asyncio.to_thread(_move, address, codes, seconds))
    for one in await asyncio.gather(*(_sitting(f"{where}/sittings/{code}/live?role=", seconds) for code in codes)):
        late_s = np.concatenate([received - shown for received, shown in one])
        ages.append(late_s - late_s.min())
        gaps += [np.diff(received) for received, _ in one]
    await moving
    return np.concatenate(ages) * 1000.0, np.concatenate(gaps) * 1000.0


def _move(address: str, codes: list[str], seconds: float) -> None:
    """Each driver applies the brake at his time, and releases it."""
    for value in ("full", "running"):
        for code in codes:
            _post(f"{address}/sittings/{code}/role/driver", kind="turned", key="217/2.brake_valve", value=value)
            time.sleep(seconds / 2 / (len(codes) + 1))


async def _sitting(url: str, seconds: float) -> list[tuple[Floats, Floats]]:
    return await asyncio.gather(*(_client(f"{url}{role}", seconds) for role in ROLES))


async def _client(url: str, seconds: float) -> tuple[Floats, Floats]:
    """When updates were received, and what their clocks showed [s]."""
    found = []
    async with connect(url, compression=None) as socket:
        await socket.recv()
        until_s = time.perf_counter() + seconds
        while not found or found[-1][0] < until_s:
            update = json.loads(await socket.recv())
            found.append((time.perf_counter(), update["t"]))
    received_s, shown_s = np.array(found).T
    return received_s, shown_s


def _cpu_s(pid: int) -> float:
    fields = Path(f"/proc/{pid}/stat").read_text(encoding="ascii").rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


if __name__ == "__main__":
    main(*(kind(text) for kind, text in zip((int, float), sys.argv[1:], strict=False)))
