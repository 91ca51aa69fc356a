"""Jobs that differ from the demo ones in how something is found, or in what is joined: written once for a whole test run."""

from __future__ import annotations

import tempfile
from pathlib import Path

from headstock.usecases.job_file import JOBS_FOLDER
from tests.cases.jobs import ALONE, DEMO, MADE, STUCK
from tests.cases.two_units import two_units

_FOLDER = Path(tempfile.mkdtemp(prefix="hs-other-jobs-"))
BY_AIR = {ALONE, MADE, STUCK}
"""Jobs that are planned with the air engine asked: without it they are refused."""


def found_otherwise(job: Path, name: str, *lines: str) -> Path:
    """A job with some devices found otherwise; ``lines`` go under ``as_left``, which is the last entry of these files."""
    keys = tuple(line.partition(":")[0].strip() + ":" for line in lines)
    text = job.read_text(encoding="utf-8")
    kept = [line for line in text.splitlines() if not line.strip().startswith(keys)]
    path = _FOLDER / f"{name}.yaml"
    path.write_text("\n".join([*kept, *(f"  {line}" for line in lines), ""]), encoding="utf-8")
    if job in BY_AIR:
        BY_AIR.add(path)
    return path


def of_two(first: str, second: str, ends: str, name: str, left: str = "", by_air: bool = False, work: str = "attach") -> Path:
    """Two units joined (or parted) at the given ends, as in "2-1"."""
    near, far = ends.split("-")
    path = _FOLDER / f"{name}.yaml"
    path.write_text(two_units(work, first, second, (near, far), left=left), encoding="utf-8")
    if by_air:
        BY_AIR.add(path)
    return path


RESCUE = JOBS_FOLDER / "demo-rescue.yaml"
PIN_OUT = found_otherwise(DEMO, "pin-out", "226/1.coupler.pin: out")
BUFFERS_OUT = found_otherwise(DEMO, "buffers-out", "226/1.buffers: out")
GANGWAY_OPEN = found_otherwise(DEMO, "gangway-open", "226/1.gangway: open")
HOSE_HANGS = found_otherwise(DEMO, "hose-hangs", "226/2.brake_pipe_hose: hanging")
JUMPER_HANGS = found_otherwise(DEMO, "jumper-hangs", "226/2.jumper: hanging")
COCK_OPEN = found_otherwise(DEMO, "cock-open", "226/2.brake_pipe_cock: open")
COVER_ON = found_otherwise(ALONE, "cover-on", "604/1.coupler.cover: fitted")
HEAD_BACK = found_otherwise(ALONE, "head-back", "604/1.electrical_head: locked back")
SCREWS = of_two("moss", "moss", "2-1", "screws", "226/1.coupler: hanging")
