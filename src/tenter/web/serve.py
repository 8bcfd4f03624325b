"""`./run serve`: bring the database up to date and serve the studio on this machine."""

import argparse
import gc
import getpass
import importlib
import ipaddress
import os
import socket
import sys
import warnings
import webbrowser
from collections.abc import Iterator, Sequence
from contextlib import ExitStack, contextmanager, nullcontext, suppress

from tenter.errors import STOPPED, TenterError
from tenter.language import N_
from tenter.web.start.ending import end_in_order
from tenter.web.start.icon import install_icon
from tenter.web.start.waiting_page import WaitingPage, listening_at, waiting_at

_SECONDS_TO_FINISH = 5  # seconds for what is being answered when the server is stopped; set by judgement


def main(argv: Sequence[str] | None = None) -> None:
    """Serve until stopped; raises `SystemExit` with the code of what went wrong, or `STOPPED` after Ctrl-C."""
    parser = argparse.ArgumentParser(prog="tenter-web", description=("Serve Tenter to the browser on this computer."))
    parser.add_argument("--port", type=int, default=8000, help="Port to listen at (8000).")
    parser.add_argument("--host", default="127.0.0.1", help="This computer's own address to listen at (127.0.0.1).")
    parser.add_argument("--open", action="store_true", help="Open the browser too, and show there how the start goes.")
    parser.add_argument("--icon", action="store_true", help="Put an icon for this into the desktop's menu, and end.")
    said = parser.parse_args(argv)
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "tenter.web.settings")
    try:
        require_own_address(said.host)
        if said.icon:
            sys.stderr.write(f"The icon is in your menu: Tenter ({install_icon()})\n")
        elif said.open:
            open_studio(said.host, said.port)
        else:
            serve(said.host, said.port)
    except TenterError as error:
        sys.stderr.write(f"{error}\n")
        raise SystemExit(error.exit_code) from None
    except KeyboardInterrupt:
        raise SystemExit(STOPPED) from None


def require_own_address(host: str) -> None:
    """Raise `TenterError` for an address at which others than this computer would get the studio's pages, in the clear.

    A name other than `localhost` is not looked up.
    """
    try:
        own = host.lower() == "localhost" or ipaddress.ip_address(host).is_loopback
    except ValueError:
        own = False
    if not own:
        raise TenterError(
            f"Tenter was not started. --host {host!r} would show every page of the studio to the network, unencrypted. "
            "Only this computer’s own address is served (127.0.0.1, ::1 or localhost): leave --host out. To use a "
            "phone, a tablet or a screen, start Tenter and open Studio, Connect a device"
        )


def bring_up_to_date() -> None:
    """Make the tables, or change them to what this version needs."""
    import django
    from django.core.management import call_command

    django.setup()
    call_command("migrate", interactive=False, verbosity=0)


def open_studio(host: str, port: int) -> None:
    """Serve, and open the browser at once, which shows how the start goes; where Tenter runs already, only open it."""
    from tenter.web.server.data_dir import data_dir
    from tenter.web.server.server_lock import port_of_server

    running = port_of_server(data_dir())
    if running is not None:
        webbrowser.open(_page_at(host, running))
        return
    with listening_at(host, port) as listening:
        port = listening.getsockname()[1]
        webbrowser.open(_page_at(host, port))
        serve(host, port, listening)


def _page_at(host: str, port: int) -> str:
    return f"http://[{host}]:{port}/" if ":" in host else f"http://{host}:{port}/"


def serve(host: str, port: int, listening: socket.socket | None = None) -> None:
    """Bring the data up to date and serve at an address; a restore by command is kept away meanwhile.

    listening: a socket at that address, if there is one already; a page says there how the start goes. Raises
    `SystemExit` where the address cannot be listened at.
    """
    end_in_order()
    with ExitStack() as serving_ends:
        with waiting_at(listening) if listening else nullcontext() as page:
            _prepare(serving_ends, port, page)
        gc.freeze()  # what a start has loaded stays: looked through again and again it would hold up a page for 0.1 s
        try:
            _run(host, port, listening)
        finally:
            _shut_the_network()


def _prepare(serving_ends: ExitStack, port: int, page: WaitingPage | None) -> None:
    from tenter import durable
    from tenter.web.server import temporary_files
    from tenter.web.server.data_dir import data_dir
    from tenter.web.server.server_lock import alone, serving

    with suppress(TenterError), alone(data_dir()):  # another server on the same data may be writing there
        temporary_files.forget_all(data_dir())
        durable.forget_halves(data_dir())
    serving_ends.enter_context(serving(data_dir(), port))
    if page:
        page.doing = N_("The studio’s data are brought up to date.")
    bring_up_to_date()
    _ask_for_passphrase()
    if page:
        page.doing = N_("The pages are made ready.")
    serving_ends.enter_context(_measuring_beside())
    importlib.import_module("tenter.web.asgi")


def _ask_for_passphrase() -> None:
    """Take the passphrase that photographs are sealed by, where there is one and somebody to ask; try the one given."""
    from tenter.web.sealing import passphrase, photo_keys

    if photo_keys.asks_at_start() and sys.stdin is not None and sys.stdin.isatty():
        said = getpass.getpass("Passphrase of the photographs (Enter to leave them locked): ")
        if said:
            passphrase.GIVEN.give(said)
    if passphrase.GIVEN:
        photo_keys.sealing_key()


@contextmanager
def _measuring_beside() -> Iterator[None]:
    """Delete what is due, seal anew what is left to be, put what waits in line, and measure beside the server."""
    from tenter.web.devices.kept_certificates import reseal_certificates
    from tenter.web.erasing import by_the_clock, due_erasing
    from tenter.web.pictures import photo_reseal, queue
    from tenter.web.server import clean_disk
    from tenter.web.sweeping import photo_sweep

    photo_sweep.sweep()
    due_erasing.erase_by_itself()
    clean_disk.finish_cleaning()
    reseal_certificates()  # before the key that sealed them goes
    photo_reseal.finish_resealing()
    queue.put_all_in_line()
    consumer = by_the_clock.start_working()
    try:
        yield
    finally:
        consumer.stop()


def _shut_the_network() -> None:
    from tenter.web.devices.listener import LISTENER

    LISTENER.stop()


def _run(host: str, port: int, listening: socket.socket | None) -> None:
    import uvicorn

    # A style sheet is a small file from the disk: that it is read at once, not bit by bit, is meant.
    warnings.filterwarnings("ignore", message="StreamingHttpResponse must consume synchronous iterators")
    sys.stderr.write(f"Tenter is open at {_page_at(host, port)} (stop it with Ctrl+C)\n")
    config = uvicorn.Config(
        "tenter.web.asgi:application",
        host=host,
        port=port,
        log_config=None,  # as the settings say
        timeout_graceful_shutdown=_SECONDS_TO_FINISH,
        server_header=False,
    )
    server = uvicorn.Server(config)
    server.run([listening] if listening else None)
    if not server.started:
        raise SystemExit(1)
