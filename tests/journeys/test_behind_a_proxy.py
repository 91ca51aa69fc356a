"""The proxy of the page on serving a depot, run as it stands there: encrypted, its own word on addresses, live connections."""

from __future__ import annotations

import http.client
import json
import re
import shutil
import socket
import ssl
import subprocess
import threading
import time
from collections.abc import Iterator
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import pytest

from tests.cases.tls import new_key, write_certificate, write_key
from tests.promises.tree import ROOT

NGINX = shutil.which("nginx") or shutil.which("nginx", path="/usr/sbin")
pytestmark = pytest.mark.skipif(NGINX is None, reason="nginx is not here: the proxy of the page is not tried")


class Behind(BaseHTTPRequestHandler):
    """Stands for Headstock: says what it was told."""

    protocol_version = "HTTP/1.1"

    def do_GET(self) -> None:
        if self.headers.get("Upgrade"):
            self.send_response(101)
            for name, value in (("Upgrade", "websocket"), ("Connection", "Upgrade")):
                self.send_header(name, value)
            self.end_headers()
            self.wfile.write(self.rfile.readline().upper())
            self.close_connection = True
            return
        content = json.dumps({"peer": self.client_address[0], **dict(self.headers)}).encode()
        self.send_response(200)
        self.send_header("Content-Length", str(len(content)))
        self.end_headers()
        self.wfile.write(content)

    def log_message(self, *_: object) -> None:
        """Nothing is printed."""


def _free_port() -> int:
    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        return int(one.getsockname()[1])


def _config(folder: Path, ports: dict[str, int]) -> str:
    page = (ROOT / "docs" / "how-to" / "serve-a-depot.md").read_text(encoding="utf-8")
    block = re.search(r"```nginx\n(.*?)```", page, re.DOTALL)
    assert block is not None
    said = re.sub(r"\n +listen \[::\].*", "", block[1])
    for old, new in ((":8000", f":{ports['behind']}"), ("listen 80;", f"listen 127.0.0.1:{ports['plain']};"),
                     ("listen 443 ", f"listen 127.0.0.1:{ports['tls']} "), ("/etc/ssl/depot.pem", str(folder / "depot.pem")),
                     ("/etc/ssl/private/depot-key.pem", str(folder / "depot-key.pem"))):  # fmt: skip
        assert old in said, old
        said = said.replace(old, new)
    kinds = ("client_body", "proxy", "fastcgi", "uwsgi", "scgi")
    places = "".join(f"{kind}_temp_path {folder / kind};\n" for kind in kinds)
    head = f"daemon off;\npid {folder}/pid;\nerror_log {folder}/error.log;\nevents {{}}\n"
    return f"{head}http {{\naccess_log off;\n{places}{said}}}\n"


@pytest.fixture
def ports(tmp_path: Path) -> Iterator[dict[str, int]]:
    key = new_key()
    write_certificate(tmp_path / "depot.pem", key)
    write_key(tmp_path / "depot-key.pem", key)
    behind = ThreadingHTTPServer(("127.0.0.1", 0), Behind)
    threading.Thread(target=behind.serve_forever, daemon=True).start()
    ports = {"behind": behind.server_port, "plain": _free_port(), "tls": _free_port()}
    (tmp_path / "nginx.conf").write_text(_config(tmp_path, ports), encoding="utf-8")
    words = [str(NGINX), "-p", str(tmp_path), "-c", str(tmp_path / "nginx.conf"), "-e", str(tmp_path / "error.log")]
    running = subprocess.Popen(words, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True)
    for _ in range(200):
        if running.poll() is not None:
            pytest.fail((running.stdout.read() if running.stdout else "") + (tmp_path / "error.log").read_text(encoding="utf-8"))
        with socket.socket() as one:
            if one.connect_ex(("127.0.0.1", ports["tls"])) == 0:
                break
        time.sleep(0.05)
    yield ports
    running.terminate()
    running.communicate(timeout=20)
    behind.shutdown()
    behind.server_close()


def _context(tmp_path: Path) -> ssl.SSLContext:
    return ssl.create_default_context(cafile=str(tmp_path / "depot.pem"))


def test_the_proxy_encrypts_and_a_browser_s_own_word_on_its_address_is_thrown_away(ports: dict[str, int], tmp_path: Path) -> None:
    asked = http.client.HTTPSConnection("localhost", ports["tls"], context=_context(tmp_path), timeout=20)
    claims = {"X-Forwarded-For": "198.51.100.1", "Forwarded": "for=198.51.100.1", "X-Forwarded-Host": "evil.example",
              "X-Forwarded-Proto": "http"}  # fmt: skip
    asked.request("GET", "/records", headers=claims)
    answer = asked.getresponse()
    said = json.loads(answer.read())
    assert answer.headers["Strict-Transport-Security"] == "max-age=31536000"
    assert (said["X-Forwarded-For"], said["X-Forwarded-Proto"], said["Host"]) == ("127.0.0.1", "https", "localhost")
    assert "198.51.100.1" not in str(said) and "evil.example" not in str(said)
    asked.close()


def test_plain_requests_are_sent_to_the_encrypted_way(ports: dict[str, int]) -> None:
    asked = http.client.HTTPConnection("127.0.0.1", ports["plain"], timeout=20)
    asked.request("GET", "/jobs?x=1", headers={"Host": "depot.example"})
    answer = asked.getresponse()
    answer.read()
    assert (answer.status, answer.headers["Location"]) == (301, "https://depot.example/jobs?x=1")
    asked.close()


def test_a_live_connection_goes_through(ports: dict[str, int], tmp_path: Path) -> None:
    plain = socket.create_connection(("localhost", ports["tls"]), timeout=20)
    with _context(tmp_path).wrap_socket(plain, server_hostname="localhost") as live:
        live.sendall(b"GET /live HTTP/1.1\r\nHost: localhost\r\nUpgrade: websocket\r\nConnection: Upgrade\r\n\r\nping\n")
        got = b""
        while not got.endswith(b"PING\n"):
            more = live.recv(4096)
            assert more, got
            got += more
    assert b"101" in got.splitlines()[0]
