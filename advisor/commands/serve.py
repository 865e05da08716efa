"""`advisor serve`: the advisor as a page on this machine."""

from pathlib import Path
from typing import Any

import click

from advisor.commands.common import NamedPath, guarded, own_species
from advisor.reading.problems import printable

PORT = 8317  # not registered with IANA for any service (from memory)
HOST = "127.0.0.1"  # this machine alone, and no option for more
THREADS = 8


@click.command()
@click.argument("folder", type=NamedPath(), default=".", metavar="[FOLDER]")
@click.option(
    "--port",
    type=click.IntRange(0, 65535),
    default=PORT,
    show_default=True,
    help="Port to listen at; 0 takes any free one.",
)
@click.option("--no-open", is_flag=True, help="Do not open the browser.")
@own_species
@guarded
def serve(folder: Path, port: int, no_open: bool, own: Path | None) -> None:
    """Open the advisor as a page in your browser.

    \b
    Example:  advisor serve my-plans

    FOLDER holds your plans, one YAML file each; the current folder if left out. Your own species profiles lie in its
    folder `species`, or where --species says. Only this machine can open the page, and nothing is sent anywhere.
    Ctrl-C ends it.
    """
    import logging
    import threading
    import webbrowser

    if not folder.is_dir():
        raise click.UsageError(
            f"{printable(str(folder))} is no folder. Name the folder that holds your plans."
        )
    if own is not None:
        from advisor.reading.names import profile_files

        profile_files(own)
    listening = _listening(port)
    port = listening.getsockname()[1]
    address = f"http://{HOST}:{port}/"

    from waitress import create_server

    from advisor.serve.app import app_of
    from advisor.serve.security import LARGEST_BODY, LARGEST_LOG

    app = app_of(folder.resolve(), own, port)
    largest = LARGEST_LOG + LARGEST_BODY
    server = create_server(
        app, sockets=[listening], threads=THREADS, ident=None, max_request_body_size=largest
    )
    logging.getLogger("waitress.queue").setLevel(logging.ERROR)  # it would tell of every wait in the terminal
    click.echo(f"The page is at {address}  Ctrl-C ends it.")
    if not no_open:
        threading.Thread(target=webbrowser.open, args=(address,), daemon=True).start()
    server.run()
    click.echo("Ended.")


def _listening(port: int) -> Any:
    """A socket of this machine alone."""
    import os
    import socket

    listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    if os.name == "posix":  # elsewhere the option would share the port with another program
        listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listening.bind((HOST, port))
    except OSError as error:
        listening.close()
        raise click.UsageError(
            f"port {port} cannot be used: {error.strerror}. Is the page running already? "
            f"Try --port {port + 1 if port < 65535 else 0}."
        ) from None
    listening.listen(128)
    return listening
