"""`bandcheck dashboard` serves the screens, says where and to whom, and ends in plain words."""

import json
import signal
import socket
import threading
import urllib.request
import webbrowser

import pytest
import waitress
from cli_run import process, refused, run

NO_DASH = """
import json, sys
import bandcheck.cli.dashboard
from bandcheck.cli.main import exit_status
exit_status(["dashboard", "--help"])
print(json.dumps([name for name in ("dash", "flask", "waitress") if name in sys.modules]))
"""

NO_ADDRESS = ("", "192.0.2.1", "a" * 300, "\0", "127.0.0.1:80")  # RFC 5737 keeps 192.0.2.0/24 free


@pytest.fixture
def served():
    """Starts the command and reads the address that it says."""
    started = []

    def serve(*arguments):
        server = process("dashboard", "--port", "0", *arguments)
        started.append(server)
        line = server.stdout.readline()
        assert line.startswith("bandcheck dashboard: http://"), (line, server.stderr.read())
        return server, line.split()[2]

    yield serve
    for server in started:
        server.kill()
        server.communicate()


@pytest.fixture
def stand_in(monkeypatch):
    """Has the command make a server that ends at once; gives what it was made with."""
    made = {}

    class Server:
        def run(self):
            made["ran"] = True

    def create_server(_application, **settings):
        made.update(settings)
        return Server()

    monkeypatch.setattr(waitress, "create_server", create_server)
    return made


@pytest.mark.parametrize("end", [signal.SIGINT, signal.SIGTERM])
def test_it_serves_until_it_is_interrupted(served, end):
    server, address = served()
    assert address.startswith("http://127.0.0.1:")
    with urllib.request.urlopen(f"{address}healthz", timeout=30) as answer:
        assert (answer.status, answer.read()) == (200, b"OK")
        assert "Server" not in answer.headers
    server.send_signal(end)
    _, errors = server.communicate(timeout=30)
    assert (server.returncode, errors) == (130, "bandcheck: interrupted\n")


def test_it_warns_when_others_can_reach_it(served):
    server, address = served("--host", "0.0.0.0")
    assert address.startswith("http://0.0.0.0:")
    line = server.stderr.readline()
    assert line.startswith("bandcheck: warning: reachable by others: there is no password")


@pytest.mark.parametrize("host", ["127.0.0.1", "127.0.0.2", "localhost"])
def test_it_does_not_warn_on_the_machine_itself(stand_in, host):
    result = run("dashboard", "--port", 0, "--host", host)
    assert (result.exit_code, result.stderr) == (130, "bandcheck: interrupted\n")
    assert (stand_in["threads"], stand_in["ran"]) == (8, True)


@pytest.mark.parametrize(
    ("host", "opened"), [("127.0.0.1", "http://127.0.0.1"), ("0.0.0.0", "http://127.0.0.1")],
)
def test_it_opens_the_browser_only_when_asked(stand_in, monkeypatch, host, opened):
    asked, done = [], threading.Event()
    monkeypatch.setattr(webbrowser, "open", lambda url: (asked.append(url), done.set()) and True)
    run("dashboard", "--port", 0, "--host", host)
    assert not done.is_set()
    told = run("dashboard", "--port", 0, "--host", host, "--open").stdout.split()[2]
    assert done.wait(30)
    assert asked == [f"{opened}:{told.rsplit(':')[-1]}"]


def test_a_busy_port_is_refused_with_another():
    with socket.create_server(("127.0.0.1", 0)) as busy:
        port = busy.getsockname()[1]
        line = refused("dashboard", "--port", port)
    assert f"--port: {port} is in use already; choose another, such as --port" in line


def test_a_port_that_is_closed_to_the_user_is_refused(monkeypatch):
    def closed(*_place, **_settings):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(socket, "create_server", closed)
    assert "--port: 80 is not open to this user" in refused("dashboard", "--port", 80)


@pytest.mark.parametrize("host", NO_ADDRESS)
def test_what_is_no_address_of_this_machine_is_refused(host):
    assert "is not accepted; an address of this machine" in refused("dashboard", "--host", host)


@pytest.mark.parametrize("port", ["-1", "65536", "80.5", "http", "9" * 5000])
def test_what_is_no_port_is_refused(port):
    assert "a whole number from 0 to 65535" in refused("dashboard", "--port", port)


def test_its_libraries_are_imported_only_when_it_serves():
    with process(code=NO_DASH) as started:
        output = started.stdout.read()
    assert json.loads(output.splitlines()[-1]) == []
    assert "gunicorn --workers 4 --limit-request-line 0 'dashboard.app:create_server()'" in output
