"""The local page's server, asked by what is no page of the study's. 20 seconds; it needs Voilà."""

import asyncio
import json
import re
from collections.abc import Iterator
from typing import Any
from urllib.error import HTTPError
from urllib.request import HTTPRedirectHandler, Request, build_opener
from uuid import uuid4

import psutil
import pytest
from double_study.agreements.reader import REFERENCE
from double_study.app.server import LOOPBACK, served

pytestmark = pytest.mark.browser

SECONDS = 60  # until an answer that does not come is missed
FILES = [
    *("/page.ipynb", "/voila.json", "/log", "/picture.svg", "/etc/passwd", "/../picture.svg"),
    *("//etc/passwd", "/%2e%2e/picture.svg", "/..%2fpicture.svg", "/~", "/\\", "/%00"),
]
PLACES = [
    *("", "/voila/files", "/files", "/voila/render", "/voila/static", "/voila/labextensions"),
    *("/voila/templates/study/static", "/voila/templates/lab/static", "/voila/api/contents"),
    *("/api/contents", "/voila/api/themes", "/voila/tree", "/lab", "/notebooks", "/edit"),
]


class Stays(HTTPRedirectHandler):
    """An answer that sends the reader on is an answer."""

    def redirect_request(self, *_: object) -> None:
        return None


class Server:
    """The page served, and what may be asked of it with and without the key."""

    def __init__(self, address: str, pid: int) -> None:
        self.base, self.key = address.split("/?token=")
        self.pid = pid

    def asked(
        self, place: str, key: str = "", method: str = "GET", **headers: str
    ) -> tuple[int, str]:
        """The status of an answer, and what it says."""
        headers |= {"Authorization": f"token {key}"} if key else {}
        request = Request(self.base + place, headers=headers, method=method)  # noqa: S310
        try:
            with build_opener(Stays).open(request, timeout=SECONDS) as answer:
                return answer.status, answer.read().decode(errors="replace")
        except HTTPError as error:
            with error:
                return error.code, error.read().decode(errors="replace")


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    with pytest.MonkeyPatch.context() as patch:
        folder = tmp_path_factory.mktemp("here")
        (folder / "picture.svg").write_text("<svg>the user's own</svg>")
        # Where Python would look first for a module that the server needs.
        (folder / "tornado.py").write_text("raise SystemExit('a file of the user was run')")
        # Settings by which anybody, on any machine, would be given the page and the files.
        opened = {"ip": "0.0.0.0", "token": "", "file_allowlist": [".*"]}  # noqa: S104
        (folder / "voila.json").write_text(
            json.dumps({"Voila": opened, "VoilaConfiguration": opened})
        )
        patch.setenv("JUPYTER_CONFIG_PATH", str(folder))
        patch.setenv("PYTHONWARNINGS", "error")
        patch.setenv("MPLBACKEND", "nowhere")
        patch.chdir(folder)
        with served(REFERENCE) as (address, process):
            yield Server(address, process.pid)


@pytest.fixture(scope="module")
def page(server: Server) -> str:
    status, page = server.asked("/", server.key)
    assert status == 200
    return page


@pytest.mark.usefixtures("page")  # by now the kernel listens, too
def test_no_other_machine_can_reach_it(server: Server) -> None:
    process = psutil.Process(server.pid)
    listening = [
        connection.laddr.ip
        for each in [process, *process.children(recursive=True)]
        for connection in each.net_connections("inet")
        if connection.status == psutil.CONN_LISTEN
    ]
    assert len(listening) > 1
    assert set(listening) == {LOOPBACK}


def test_without_the_key_there_is_no_page(server: Server, page: str) -> None:
    for place in ("/", "/?token=", f"/?token={'0' * 32}", "/?template=lab"):
        assert server.asked(place)[0] == 302
    kernel = f"/api/kernels/{kernel_of(page)}"
    for place, method in ((kernel, "GET"), (kernel, "DELETE"), ("/api/kernels", "POST")):
        assert server.asked(place, method=method)[0] in (302, 403, 405)
    with pytest.raises(Exception, match="403"):
        asyncio.run(said_to_kernel(server, kernel_of(page), "", "kernel_info_request", {}))


def test_a_name_that_is_made_to_lead_here_gets_nothing(server: Server) -> None:
    for host in ("elsewhere.example", "127.0.0.1.elsewhere.example", "10.0.0.1"):
        assert server.asked("/", server.key, Host=host)[0] == 403


@pytest.mark.parametrize("place", PLACES)
def test_a_name_of_a_file_gets_none(place: str, server: Server) -> None:
    for name in FILES:
        for key in ("", server.key):
            status, said = server.asked(place + name, key)
            assert status != 200, name
            assert not any(
                text in said for text in ("the user's own", "root:", "nbformat", "Voila")
            )


def test_the_address_chooses_nothing(server: Server) -> None:
    for chosen in ("template=lab", "template=../../x", "theme=dark", "template=nowhere"):
        status, page = server.asked(f"/?{chosen}", server.key)
        assert status == 200
        assert "fonts.googleapis.com" not in page
        assert "#rendered_cells" in page


def kernel_of(page: str) -> str:
    found = re.search(r'"kernelId":\s*"([0-9a-f-]+)"', page)
    assert found
    return found[1]


async def said_to_kernel(
    server: Server, kernel: str, key: str, kind: str, content: dict[str, Any]
) -> list[str]:
    """The kinds of the answers that a message to the kernel gets, as far as a second one's."""
    from tornado.httpclient import HTTPRequest
    from tornado.websocket import websocket_connect

    place = f"{server.base.replace('http', 'ws')}/api/kernels/{kernel}/channels"
    headers = {"Authorization": f"token {key}"} if key else {}
    socket = await websocket_connect(HTTPRequest(place, headers=headers))
    header = {"username": "", "session": "", "version": "5.3", "date": ""}
    for asked, channel in ((kind, "shell"), (kind, "control"), ("comm_info_request", "shell")):
        message: dict[str, Any] = {
            "header": {**header, "msg_id": uuid4().hex, "msg_type": asked},
            "parent_header": {},
            "metadata": {},
            "content": content if asked == kind else {},
            "channel": channel,
        }
        await socket.write_message(json.dumps(message))
    # What the kernel replies and what it publishes come apart, each in its order.
    kinds: list[str] = []
    idle = False
    while not (idle and "comm_info_reply" in kinds):
        answer = await asyncio.wait_for(socket.read_message(), SECONDS)
        assert isinstance(answer, str)
        said = json.loads(answer)
        kinds.append(said["header"]["msg_type"])
        to_the_last = said["parent_header"].get("msg_id") == message["header"]["msg_id"]
        idle |= to_the_last and said["content"].get("execution_state") == "idle"
    socket.close()
    while await socket.read_message() is not None:
        pass
    return kinds


@pytest.mark.parametrize(
    ("kind", "content"),
    [
        ("execute_request", {"code": "print(7)", "silent": False, "allow_stdin": False}),
        ("execute_request", {"code": "", "user_expressions": {"a": "print(7)"}}),
        ("complete_request", {"code": "print", "cursor_pos": 5}),
        ("inspect_request", {"code": "print", "cursor_pos": 5, "detail_level": 1}),
        ("history_request", {"raw": True, "output": True, "hist_access_type": "tail", "n": 9}),
        ("debug_request", {"type": "request", "seq": 1, "command": "debugInfo"}),
    ],
)
def test_nothing_that_a_browser_sends_is_run(
    kind: str, content: dict[str, Any], server: Server, page: str
) -> None:
    kinds = asyncio.run(said_to_kernel(server, kernel_of(page), server.key, kind, content))
    assert set(kinds) == {"status", "comm_info_reply"}


def test_only_widgets_are_spoken_with(server: Server, page: str) -> None:
    content = {"comm_id": "a", "target_name": "os.system", "data": {}}
    kinds = asyncio.run(said_to_kernel(server, kernel_of(page), server.key, "comm_open", content))
    assert "comm_close" in kinds
