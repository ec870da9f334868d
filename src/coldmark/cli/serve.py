"""``coldmark serve``: the pages and the API, from one data folder."""

from __future__ import annotations

import contextlib
import errno
import ipaddress
import json
import os
import secrets
import socket
import sys
from pathlib import Path
from typing import Annotated

import typer

from coldmark.bench.errors import Refused
from coldmark.cli import boot
from coldmark.cli.demo import demo
from coldmark.records.folder import data_folder, demo_mark, secret_key
from coldmark.records.turns import serve_from

# No two that look alike on a screen in the sun.
CODE_LETTERS = "23456789abcdefghjkmnpqrstuvwxyz"


def add_to(app: typer.Typer) -> None:
    """Register the command."""
    app.command("serve")(serve)


def serve(
    host: Annotated[
        str, typer.Option(help="The address to listen on; 0.0.0.0 is all of this machine's.")
    ] = "127.0.0.1",
    port: Annotated[int, typer.Option(min=1, max=65535, help="The port to listen on.")] = 8000,
    cert: Annotated[Path | None, typer.Option(help="The certificate for https, as PEM; phones need one.")] = None,
    key: Annotated[Path | None, typer.Option(help="The certificate's private key, as PEM (PKCS#8).")] = None,
    workers: Annotated[int, typer.Option(min=1, max=64, help="Processes that answer.")] = 1,
    name: Annotated[list[str] | None, typer.Option(help="Another name this machine is called by; may repeat.")] = None,
    with_demo: Annotated[
        bool, typer.Option("--demo", help="Load the invented business first, where nothing is kept; on loopback only.")
    ] = False,
) -> None:
    """Serve the pages and the API from the data folder, after bringing its database up to date."""
    _check_certificate(cert, key)
    folder = data_folder()
    _check_demo(folder, host)
    _check_port(host, port)
    os.environ["COLDMARK_HOSTS"] = ",".join(_names(host, name or []))
    if cert:
        os.environ["COLDMARK_TLS"] = "1"
    serve_from(folder)
    boot.start()
    secret_key(folder)  # made before there are several workers
    _migrate()
    if with_demo and _is_loopback(host):
        demo(if_empty=True)
    os.environ["COLDMARK_START_CODE"] = start_code = _start_code(host)
    _say_where(folder, host, port, secure=cert is not None, start_code=start_code)
    # A fresh process in place of this one: what migrating needed is not carried along while serving.
    os.execv(sys.executable, [sys.executable, "-m", "granian", *_server_arguments(host, port, cert, key, workers)])


def _check_certificate(cert: Path | None, key: Path | None) -> None:
    for option, path, other in (("cert", cert, key), ("key", key, cert)):
        if path is None and other is not None:
            raise Refused("serve.half_certificate", name=option)
        if path is not None and not path.is_file():
            raise Refused("serve.no_such_file", name=option, value=str(path))


def _check_demo(folder: Path, host: str) -> None:
    if demo_mark(folder).exists() and not _is_loopback(host):
        raise Refused("serve.demo_stays_home", name="host", value=host)


def _is_loopback(host: str) -> bool:
    try:
        return host == "localhost" or ipaddress.ip_address(host).is_loopback
    except ValueError:
        return False


def _check_port(host: str, port: int) -> None:
    """Try the address before anything is started, so that a taken port is one sentence and not a log."""
    try:
        family, kind, protocol, _, address = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)[0]
    except socket.gaierror as error:
        raise Refused("serve.no_such_address", name="host", value=host) from error
    with socket.socket(family, kind, protocol) as trial:
        trial.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            trial.bind(address)
        except OSError as error:
            if error.errno == errno.EADDRINUSE:
                raise Refused("serve.port_taken", name="port", value=str(port), host=host) from error
            if error.errno == errno.EACCES:
                raise Refused("serve.port_reserved", name="port", value=str(port)) from error
            raise Refused("serve.no_such_address", name="host", value=host) from error


def _names(host: str, given: list[str]) -> list[str]:
    """The names the server answers to: those given, and this machine's own when it listens beyond loopback."""
    names = [told for told in os.environ.get("COLDMARK_HOSTS", "").split(",") if told] + given
    if _is_loopback(host):
        return names
    if host not in {"0.0.0.0", "::"}:
        return [*names, f"[{host}]" if ":" in host else host]
    here = socket.gethostname()
    names += [here, f"{here}.local"]
    with contextlib.suppress(socket.gaierror):
        names += sorted({str(entry[4][0]) for entry in socket.getaddrinfo(here, None, socket.AF_INET)})
    return [*names, *_outgoing_address()]


def _outgoing_address() -> list[str]:
    """The address other machines see; connecting a datagram socket sends nothing, it only picks the way out."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))
        except OSError:
            return []
        return [str(probe.getsockname()[0])]


def _migrate() -> None:
    from django.db import Error  # heavy, and needed only here

    try:
        boot.migrate()
    except Error as error:
        reason = str(error).strip().splitlines()[0]
        raise Refused("serve.no_database", name="database", value=reason) from error


def _start_code(host: str) -> str:
    """A new code for an empty house that others can reach, to be typed by its first person; else none."""
    from coldmark.records import queries  # Django must be ready first

    alone = _is_loopback(host) and not os.environ["COLDMARK_HOSTS"] and os.environ.get("COLDMARK_PROXY", "") != "1"
    if alone or queries.anybody():
        return ""
    code = "".join(secrets.choice(CODE_LETTERS) for _ in range(8))
    return f"{code[:4]}-{code[4:]}"


def _say_where(folder: Path, host: str, port: int, *, secure: bool, start_code: str) -> None:
    shown = f"[{host}]" if ":" in host else host
    typer.echo(f"Coldmark serves {folder}")
    typer.echo(f"  at       {'https' if secure else 'http'}://{shown}:{port}/")
    with contextlib.suppress(FileNotFoundError):
        sign_in = json.loads(demo_mark(folder).read_text(encoding="utf-8"))
        typer.echo(f"  demo     sign in as {sign_in['name']} with {sign_in['password']}")
    if start_code:
        typer.echo(f"  start    nobody can sign in yet: the first person types the start code {start_code}")
    typer.echo("  stop     Ctrl+C")
    sys.stdout.flush()


def _server_arguments(host: str, port: int, cert: Path | None, key: Path | None, workers: int) -> list[str]:
    arguments = ["--interface", "wsgi", "--host", host, "--port", str(port), "--workers", str(workers)]
    # A handful of threads a process: each keeps its own database connection, and two cores cannot use more.
    arguments += ["--blocking-threads", "4", "--backpressure", "64", "--no-ws", "--respawn-failed-workers"]
    arguments += ["--workers-kill-timeout", "10", "--log-level", "warning"]
    if cert and key:
        arguments += ["--ssl-certificate", str(cert), "--ssl-keyfile", str(key), "--ssl-protocol-min", "tls1.2"]
    return [*arguments, "coldmark.project.serving:application"]
