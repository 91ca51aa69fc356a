"""For notebooks and scripts: the questions of the trade as functions whose answers draw themselves.

``import headstock as hs`` offers these names without loading anything until the first of them is used. Every answer has
``answer``, ``reasons``, ``data`` (the value that the command line gives with ``--json``) and ``result`` (what the question's
module answered, with its types), prints itself as plain text, and shows itself in a notebook with drawings and tables.
No answer is leave to move or to go between: the person in charge decides, after looking.
"""

from headstock.base.errors import HeadstockError, InputError
from headstock.notebook.brake_tests import BlindSpots, Forecast, Found, Judged, blind_spots, find, forecast, judge
from headstock.notebook.given import Fleet, Job, load_fleet, load_job
from headstock.notebook.orders import Check, Mistakes, Plan, check, mistakes, plan
from headstock.notebook.reconstruction import Reconstructed, reconstruct
from headstock.notebook.shown import Answer, Lines, Picture, Table
from headstock.notebook.trains import Can, Due, Join, JoinTable, can, due, join, table

__all__ = [
    "Answer",
    "BlindSpots",
    "Can",
    "Check",
    "Due",
    "Fleet",
    "Forecast",
    "Found",
    "HeadstockError",
    "InputError",
    "Job",
    "Join",
    "JoinTable",
    "Judged",
    "Lines",
    "Mistakes",
    "Picture",
    "Plan",
    "Reconstructed",
    "Table",
    "blind_spots",
    "can",
    "check",
    "due",
    "find",
    "forecast",
    "join",
    "judge",
    "load_fleet",
    "load_job",
    "mistakes",
    "plan",
    "reconstruct",
    "table",
]
