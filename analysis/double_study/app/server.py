"""Serve the page to a browser on this computer only, with Python's own HTTP server.

The page opens only with a key. Its script requests the parts with the same key in a header, which a
page of another site cannot send. Requests are parsed as the fields of a form; they are never run and
never name a file.
"""

import secrets
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from threading import Thread
from urllib.parse import parse_qsl, urlsplit

from double_study.agreements.reader import Agreement
from double_study.app.page import Page
from double_study.errors import InputError

LOOPBACK = "127.0.0.1"
MOST_BYTES = 20_000
"""Bytes of a form: far more than the page ever sends."""
_NO_KEY = "open the page at the address that the command printed, which contains its key"
_HEADERS = {
    "Cache-Control": "no-store",
    "Referrer-Policy": "no-referrer",
    "X-Content-Type-Options": "nosniff",
    "Cross-Origin-Resource-Policy": "same-origin",
}
_POLICY = (
    "default-src 'none'; style-src 'nonce-{0}'; script-src 'nonce-{0}'; connect-src 'self'; img-src data:; "
    "base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)


@contextmanager
def served(agreement: Agreement, port: int | None = None) -> Iterator[tuple[str, Thread]]:
    """Serve the page while the block runs; yield its address, with the key, and the server's thread.

    Raises :class:`InputError` if another program uses ``port``.
    """
    key = secrets.token_hex(16)
    try:
        server = _Server(port or 0, page := Page(agreement), key)
    except OSError as error:
        raise InputError(
            f"--port {port}: {error.strerror}; allowed: a port that no other program uses"
        ) from None
    thread = Thread(target=server.serve_forever, daemon=True)
    thread.start()
    try:
        yield f"http://{LOOPBACK}:{server.server_port}/?token={key}", thread
    finally:
        page.close()
        server.shutdown()
        server.server_close()


class _Server(ThreadingHTTPServer):
    daemon_threads = True

    def __init__(self, port: int, page: Page, key: str) -> None:
        super().__init__((LOOPBACK, port), _Asked)
        self.page, self.key = page, key

    def handle_error(self, *_: object) -> None:
        """Ignore browsers that disconnect before the answer; raise all other errors."""
        if not isinstance(sys.exc_info()[1], ConnectionError):
            super().handle_error(*_)  # type: ignore[arg-type]


class _Asked(BaseHTTPRequestHandler):
    server: _Server
    protocol_version = "HTTP/1.1"
    timeout = 60

    def do_GET(self) -> None:
        place = urlsplit(self.path)
        given = dict(parse_qsl(place.query)).get("token", "")
        if place.path != "/" or not self._admitted(given):
            return self._answer(403 if place.path == "/" else 404, _NO_KEY)
        nonce = secrets.token_hex(16)
        self._answer(200, self.server.page.whole(nonce, self.server.key), _POLICY.format(nonce))

    def do_POST(self) -> None:
        if not self._admitted(self.headers.get("X-Key", "")):
            self.close_connection = True  # with its body unread
            return self._answer(403, _NO_KEY)
        length = self.headers.get("Content-Length", "")
        if not length.isdecimal() or int(length) > MOST_BYTES:
            self.close_connection = True
            return self._answer(413, "the form is too long")
        body = self.rfile.read(int(length)).decode(errors="replace")
        fields = dict(parse_qsl(body, keep_blank_values=True))
        text = self.server.page.part(self.path.removeprefix("/"), fields)
        if text is None:
            return self._answer(404, "no such part")
        self._answer(200, text)

    def _admitted(self, given: str) -> bool:
        """Return whether a request has the key and was sent to the numeric address."""
        # Refuse host names, so that another site cannot reach the page by rebinding its own name.
        here = self.headers.get("Host") == f"{LOOPBACK}:{self.server.server_port}"
        return here and secrets.compare_digest(given.encode(), self.server.key.encode())

    def _answer(self, status: int, text: str, policy: str = "default-src 'none'") -> None:
        body = text.encode()
        self.send_response(status)
        kind = "html" if status == 200 else "plain"
        headers = _HEADERS | {"Content-Type": f"text/{kind}; charset=utf-8"}
        headers |= {"Content-Length": str(len(body)), "Content-Security-Policy": policy}
        for name, value in headers.items():
            self.send_header(name, value)
        self.end_headers()
        self.wfile.write(body)

    def version_string(self) -> str:
        return "double-study"

    def log_message(self, *_: object) -> None:
        """Keep the terminal clean."""
