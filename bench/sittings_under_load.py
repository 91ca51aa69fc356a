"""Sittings played at once on one server: how late updates reach a client, and what the server takes of a core.

``python -m bench.sittings_under_load [SITTINGS] [SECONDS]``: 60 and 20 if not given, four clients each at twenty updates
a second, the air running. Loopback only.
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
from websockets.asyncio.client import connect

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
            ages_ms, updates = asyncio.run(_listen(address, codes, seconds))
            share = (_cpu_s(server.pid) - before_s) / seconds
        finally:
            server.terminate()
            server.wait(10)
    ages, each = np.array(ages_ms), updates / seconds / (sittings * len(ROLES))
    print(f"{sittings} sittings, {len(ROLES)} clients each: {each:.1f} updates a second and client")
    half, late = np.percentile(ages, 50), np.percentile(ages, 99)
    print(f"time between updates: p50 {half:.0f} ms, p99 {late:.0f} ms; 50 ms if all were on time")
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


async def _listen(address: str, codes: list[str], seconds: float) -> tuple[list[float], int]:
    found: list[float] = []
    where = address.replace("http", "ws", 1)
    clients = (_client(f"{where}/sittings/{code}/live?role={role}", seconds, found) for code in codes for role in ROLES)
    return found, sum(await asyncio.gather(*clients))


async def _client(url: str, seconds: float, ages_ms: list[float]) -> int:
    count = 0
    async with connect(url, compression=None) as socket:
        json.loads(await socket.recv())
        last_s = time.perf_counter()
        until_s = last_s + seconds
        while last_s < until_s:
            json.loads(await socket.recv())
            now_s = time.perf_counter()
            ages_ms.append((now_s - last_s) * 1000.0)
            last_s, count = now_s, count + 1
    return count


def _cpu_s(pid: int) -> float:
    fields = Path(f"/proc/{pid}/stat").read_text(encoding="ascii").rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


if __name__ == "__main__":
    main(*(kind(text) for kind, text in zip((int, float), sys.argv[1:], strict=False)))
