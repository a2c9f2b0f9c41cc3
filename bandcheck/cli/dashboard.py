"""`bandcheck dashboard`: serve the screens to a browser."""

import errno
import ipaddress
import socket
import threading
from collections.abc import Callable
from typing import Any

import click

from bandcheck.cli.commands import PlainCommand
from bandcheck.cli.screen import note, say
from bandcheck.cli.values import whole

__all__ = ["command"]

_PORT = 8360
_THREADS = 8
_HIGHEST_PORT = 65_535
_LARGEST_REQUEST_BYTES = 66_000_000
"""A frame that is measured; the pages themselves refuse anything else that is as large."""

_NO_PASSWORD = (
    "reachable by others: there is no password, so anybody on this network can use it; "
    "leave --host out to keep it to this machine"
)

_EXAMPLE = """
bandcheck dashboard --open
gunicorn --workers 4 --limit-request-line 0 'dashboard.app:create_server()'
"""


@click.command("dashboard", cls=PlainCommand, example=_EXAMPLE)
@click.option(
    "--host", default="127.0.0.1", metavar="HOST", show_default=True,
    help="Address to serve at; 0.0.0.0: to everybody on the network, such as a phone on set.",
)
@click.option(
    "--port", default=str(_PORT), type=whole("PORT", at_least=0, at_most=_HIGHEST_PORT),
    metavar="PORT", show_default=True, help="Port to serve at; 0: any that is free.",
)
@click.option("--open", "open_it", is_flag=True, help="Open the dashboard in the browser.")
def command(host: str, port: int, open_it: bool) -> None:
    """Serve the dashboard until it is interrupted (Ctrl-C).

    It keeps nothing between two requests: for many users, install bandcheck[deploy] and let
    several workers serve the same pages, as the second example does.
    """
    with _listening(host, port) as listening:
        address, bound = listening.getsockname()[:2]
        serve = _server(listening)
        say(f"bandcheck dashboard: http://{_in_url(address)}:{bound}/  (Ctrl-C ends it)")
        if not ipaddress.ip_address(address).is_loopback:
            note(f"bandcheck: warning: {_NO_PASSWORD}")
        if open_it:
            _open(f"http://{_in_url(_own(address))}:{bound}/")
        serve()
    raise KeyboardInterrupt


def _listening(host: str, port: int) -> socket.socket:
    """Socket that listens already, so that whoever is told the address finds somebody there.

    Raises
    ------
    click.UsageError
        The address cannot be had.
    """
    try:
        family, *_, place = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)[0]
        return socket.create_server(place, family=family)
    except (OSError, ValueError) as error:  # ValueError: a name that no network could have
        raise click.UsageError(_refusal(host, port, error)) from error


def _server(listening: socket.socket) -> Callable[[], None]:
    """What serves the screens until it is interrupted; its libraries are slow to import."""
    import logging

    from waitress import create_server, wasyncore

    from dashboard.app import create_app

    logging.getLogger("waitress.queue").setLevel(logging.ERROR)  # it tells of every short wait
    connections: dict[int, Any] = {}
    server = create_server(
        create_app().server, map=connections, sockets=[listening], threads=_THREADS, ident=None,
        max_request_body_size=_LARGEST_REQUEST_BYTES,
        inbuf_overflow=_LARGEST_REQUEST_BYTES,  # in memory alone: a picture goes to no file
    )

    def serve() -> None:
        server.run()  # returns when it is interrupted
        wasyncore.close_all(connections, ignore_all=True)

    return serve


def _refusal(host: str, port: int, error: Exception) -> str:
    number = getattr(error, "errno", None)
    if number == errno.EADDRINUSE:
        other = port + 1 if port < _HIGHEST_PORT else _PORT
        return f"--port: {port} is in use already; choose another, such as --port {other}"
    if number == errno.EACCES:
        return f"--port: {port} is not open to this user; choose one of 1024 or above"
    return f"--host: '{host}' is not accepted; an address of this machine, such as 127.0.0.1"


def _own(address: str) -> str:
    """Address under which this machine reaches what listens on all its addresses."""
    parsed = ipaddress.ip_address(address)
    if not parsed.is_unspecified:
        return address
    return "::1" if parsed.version == 6 else "127.0.0.1"


def _in_url(address: str) -> str:
    return f"[{address}]" if ":" in address else address


def _open(url: str) -> None:
    """Ask for a browser, without waiting for one that takes over the terminal."""
    import webbrowser

    def ask() -> None:
        if not webbrowser.open(url):
            note(f"bandcheck: no browser could be opened; open {url} in one")

    threading.Thread(target=ask, daemon=True).start()
