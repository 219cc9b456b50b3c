"""The local page's server, asked by what is no page of the study's. 5 seconds."""

import re
import socket
from collections.abc import Iterator
from http.client import HTTPConnection
from urllib.parse import urlencode

import psutil
import pytest
from double_study.agreements.reader import REFERENCE
from double_study.app.server import LOOPBACK, MOST_BYTES, served
from shared.commands import complaint

ASKED = {"hand": "K752.AJ64.83.T92", "auction": "1D 1S"}


class Server:
    """The page served, and what may be asked of it with and without the key."""

    def __init__(self, address: str) -> None:
        self.place, self.key = address.removeprefix("http://").split("/?token=")

    def asked(
        self, place: str, method: str = "GET", body: str = "", **headers: str
    ) -> tuple[int, str, dict[str, str]]:
        """Return the status of an answer, what it says and its headers."""
        connection = HTTPConnection(self.place, timeout=60)
        named = {name.replace("_", "-"): value for name, value in headers.items()}
        connection.request(method, place, body.encode(), named)
        answer = connection.getresponse()
        said = answer.read().decode()
        connection.close()
        return answer.status, said, dict(answer.headers)


@pytest.fixture(scope="module")
def server() -> Iterator[Server]:
    with served(REFERENCE) as (address, _):
        yield Server(address)


def test_no_other_machine_can_reach_it(server: Server) -> None:
    port = int(server.place.split(":")[1])
    listening = [c for c in psutil.Process().net_connections("inet") if c.status == "LISTEN"]
    assert [each.laddr.ip for each in listening if each.laddr.port == port] == [LOOPBACK]


def test_with_the_key_there_is_a_page_that_loads_nothing(server: Server) -> None:
    status, page, headers = server.asked(f"/?token={server.key}")
    assert status == 200
    assert page.startswith("<!doctype html>")
    assert not re.findall(r'(?:src|href)="(?!data:|#)', page)
    assert "://" not in page
    policy = headers["Content-Security-Policy"]
    assert "default-src 'none'" in policy
    assert "unsafe" not in policy
    assert headers["Cache-Control"] == "no-store"
    again = server.asked(f"/?token={server.key}")[2]["Content-Security-Policy"]
    assert again != policy


def test_without_the_key_there_is_nothing(server: Server) -> None:
    body = urlencode(ASKED)
    for token in ("", "0" * 32, server.key[:-1], "é"):
        assert server.asked(f"/?{urlencode({'token': token})}")[0] == 403
        assert server.asked("/ask", "POST", body, X_Key=token)[0] == 403
    assert server.asked(f"/ask?token={server.key}", "POST", body)[0] == 403
    status, said, _ = server.asked("/ask", "POST", body, X_Key=server.key)
    assert (status, "by the responder" in said) == (200, True)


def test_a_name_that_is_made_to_lead_here_gets_nothing(server: Server) -> None:
    for host in ("elsewhere.example", "127.0.0.1.elsewhere.example", "10.0.0.1", "localhost"):
        assert server.asked(f"/?token={server.key}", Host=host)[0] == 403
        assert server.asked("/ask", "POST", urlencode(ASKED), X_Key=server.key, Host=host)[0] == 403


@pytest.mark.parametrize("place", ["", "/templates", "/static", "/..", "/%2e%2e", "/etc"])
def test_a_name_of_a_file_gets_none(place: str, server: Server) -> None:
    for name in ("/page.py", "/page.js", "/etc/passwd", "/../server.py", "/~", "/\\", "/%00"):
        for asked in (place + name, f"{place}{name}?token={server.key}"):
            assert server.asked(asked)[0] == 404
            assert server.asked(asked, "POST", "", X_Key=server.key)[0] == 404


def test_other_methods_and_long_forms_are_refused(server: Server) -> None:
    for method in ("PUT", "DELETE", "OPTIONS", "PATCH"):
        assert server.asked("/ask", method, X_Key=server.key)[0] == 501
    long = "hand=" + "A" * MOST_BYTES
    assert server.asked("/ask", "POST", long, X_Key=server.key)[0] == 413


def test_what_is_no_request_does_no_harm(server: Server) -> None:
    host, port = server.place.split(":")
    for said in (b"\0\xff", b"GET", b"GET / HTTP/9.9", b"POST /ask HTTP/1.1"):
        with socket.create_connection((host, int(port)), 10) as sent:
            sent.sendall(said + b"\r\n\r\n")
            sent.shutdown(socket.SHUT_WR)
            assert b" 200 " not in sent.recv(1000)
    assert server.asked(f"/?token={server.key}")[0] == 200


def test_a_port_at_which_something_else_is_served_is_not_shown() -> None:
    with socket.create_server((LOOPBACK, 0)) as other:
        port = other.getsockname()[1]
        line = complaint(f"explore --port {port} --no-browser")
    assert line.startswith(f"double-study: --port {port}: ")
    assert line.endswith("; allowed: a port that no other program uses\n")
