"""Serving the pages until somebody stops it."""

from __future__ import annotations

import socket
import sys

import uvicorn
from starlette.types import ASGIApp

from headstock.base.errors import Fault, InputError
from headstock.base.lasting import make_lasting
from headstock.usecases.listening import listening_refusals, listening_remarks
from headstock.usecases.serving import Serving
from headstock.web.application import make_app
from headstock.wiring import accounts_of, open_records, tls_files

TURN_S = 0.0005
"""How long a thread that reckons keeps the others waiting [s]: with Python's own 5 ms a plan in the making held up every page."""
MOST_HEARD = 1000
"""The longest message of a live page [bytes]: they listen, and say nothing."""
WHERE_IT_SAYS = "See docs/how-to/serve-a-depot.md."


def serve(serving: Serving) -> int:
    """Listen until stopped; prints the address on one line first. Raises InputError, StorageError."""
    tls = tls_files(serving.certificate, serving.key)
    records = open_records(serving.database)
    has_accounts = accounts_of(records).has_administrator() if serving.signs_in else False
    refused = listening_refusals(serving.host, tls, serving.behind_proxy, has_accounts)
    if refused:
        records.close()
        raise InputError([Fault(reason) for reason in refused], what="not served", cure=WHERE_IT_SAYS)
    for remark in listening_remarks(serving.host, tls):
        print(f"Remark: {remark}.", file=sys.stderr)
    app = make_app(serving, records)
    make_lasting()
    sys.setswitchinterval(TURN_S)
    app.state.sittings.on_planned = make_lasting
    listener = _listener(serving)
    scheme = "https" if serving.certificate else "http"
    host, port = listener.getsockname()[:2]
    print(f"Headstock is at {scheme}://{f'[{host}]' if ':' in host else host}:{port}/  (stop it with Ctrl-C)", flush=True)
    uvicorn.Server(settings_of(app, serving)).run(sockets=[listener])
    print("stopped", file=sys.stderr)
    return 0


def settings_of(app: ASGIApp, serving: Serving) -> uvicorn.Config:
    """How the server runs; where a request comes from is taken from nobody but a proxy on this computer."""
    return uvicorn.Config(
        app, log_level="warning", ws="websockets-sansio", ws_per_message_deflate=False, ws_max_size=MOST_HEARD,
        server_header=False, timeout_graceful_shutdown=1, ssl_certfile=serving.certificate, ssl_keyfile=serving.key,
        proxy_headers=serving.behind_proxy, forwarded_allow_ips="127.0.0.1,::1",
    )  # fmt: skip


def _listener(serving: Serving) -> socket.socket:
    """A socket at the address. Raises InputError where it is taken or not ours."""
    try:
        family = socket.AF_INET6 if ":" in serving.host else socket.AF_INET
        return socket.create_server((serving.host, serving.port), family=family)
    except OSError as error:
        fault = Fault("cannot listen there", found=f"{serving.host}:{serving.port}, {error.strerror}", expected="a free port")
        raise InputError(fault, cure="Name another with --port, or --port 0 for any.") from None
