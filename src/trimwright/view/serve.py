"""The page served to browsers on this machine, and to nobody else."""

from __future__ import annotations

from html import escape
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from importlib.resources import files
from string import Template
from urllib.parse import unquote, urlsplit

from trimwright.errors import OutputError
from trimwright.view.board import Board, Shown

__all__ = ["HOST", "PORT", "Server"]

HOST = "127.0.0.1"

PORT = 8437
"""Asked for first, so that a page left open finds the next run again."""

PATIENCE = 5.0
"""Seconds after which a waiting page is told that nothing happened: so one that was closed is noticed."""

POLICY = (
    "default-src 'none'; connect-src 'self'; img-src 'self' data:;"
    " style-src 'unsafe-inline'; script-src 'unsafe-inline'"
)
"""A page of ours asks nobody else for anything."""


class Server(ThreadingHTTPServer):
    """A server of what is on the board, on the loopback address alone."""

    daemon_threads = True

    def __init__(self, board: Board, port: int | None = None) -> None:
        """Listens on `port`; None: the usual one, or any that is free. Raises OutputError if the port is taken."""
        self.board = board
        try:
            super().__init__((HOST, PORT if port is None else port), _Reader)
        except OSError as error:
            if port is not None:
                raise OutputError(f"port {port}: {error.strerror or error}; choose another with --port") from None
            super().__init__((HOST, 0), _Reader)

    @property
    def address(self) -> str:
        """What to open in a browser."""
        return f"http://{HOST}:{self.server_port}/"


class _Reader(BaseHTTPRequestHandler):
    """One request of a browser."""

    server: Server

    def do_GET(self) -> None:
        try:
            self._answer()
        except (ConnectionError, TimeoutError):
            self.close_connection = True  # the page was closed or loaded anew

    def _answer(self) -> None:
        # A page from elsewhere could give its own name to this address: it is not answered.
        if (self.headers.get("Host") or "").rpartition(":")[0] not in (HOST, "localhost"):
            return self.send_error(403)
        path, shown = unquote(urlsplit(self.path).path), self.server.board.shown
        name = path.removeprefix("/sheets/").removesuffix(".svg")
        if path == "/news":
            self._tell_news()
        elif path == "/":
            self._send("text/html; charset=utf-8", page_text(shown))
        elif path == f"/sheets/{name}.svg" and name in shown.sheets:
            self._send("image/svg+xml", shown.sheets[name])
        elif path == "/favicon.ico":
            self._send("image/svg+xml", "")  # browsers ask for one unasked
        else:
            self.send_error(404)
        return None

    def _send(self, kind: str, text: str) -> None:
        data = text.encode("utf-8")
        self.send_response(200)
        self._say_headers(kind)
        self.send_header("Content-Length", str(len(data)))
        self.end_headers()
        self.wfile.write(data)

    def _tell_news(self) -> None:
        """Server-sent events (WHATWG HTML, 9.2): what is shown, now and at every change, until the page is closed."""
        self.send_response(200)
        self._say_headers("text/event-stream")
        self.end_headers()
        seen = -1
        while True:
            changes, shown = self.server.board.after(seen, PATIENCE)
            self.wfile.write(f"data: {shown.news}\n\n".encode() if changes != seen else b": nothing new\n\n")
            self.wfile.flush()
            seen = changes

    def _say_headers(self, kind: str) -> None:
        for header, value in {
            "Content-Type": kind,
            "Cache-Control": "no-store",
            "Content-Security-Policy": POLICY,
            "X-Content-Type-Options": "nosniff",
        }.items():
            self.send_header(header, value)

    def log_message(self, format: str, *args: object) -> None:
        """Nothing: what is worth telling is told where the room is made."""


def page_text(shown: Shown) -> str:
    """The page with what follows the file in it; before any room could be made, a bare one that says why."""
    live = Template((files("trimwright.view") / "assets" / "live.html").read_text("utf-8")).substitute(
        number=shown.number
    )
    if shown.page:
        return shown.page.replace("<header>", f"{live}<header>", 1)
    return (
        '<!DOCTYPE html><html lang="en"><head><meta charset="utf-8"><title>trimwright view</title>'
        '<meta name="viewport" content="width=device-width, initial-scale=1"></head>'
        f'<body style="font: 1rem/1.5 system-ui, sans-serif"><h1>There is no room to show yet</h1>{live}'
        f"<noscript><p>{escape(shown.wrong)}</p></noscript></body></html>"
    )
