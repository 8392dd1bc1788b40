"""The preview's server: one port on this machine, until it is interrupted."""

import socket
from collections.abc import Callable
from pathlib import Path

import uvicorn

from benchleaf.edge.preview.app import Preview
from benchleaf.edge.preview.session import Session
from benchleaf.render.theme import THEMES, find, load

LOOPBACK = "127.0.0.1"
# Pages that wait for news are let go at once.
_LAST_SECONDS = 1
_QUEUE = 64


def listen(host: str, port: int) -> socket.socket:
    """A socket that listens at the address; port 0 takes a free one. Raises OSError where it can't be had.

    Who comes before the server has started waits in its queue, instead of being turned away.
    """
    bound = socket.socket(socket.AF_INET6 if ":" in host else socket.AF_INET)
    bound.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        bound.bind((host, port))
        bound.listen(_QUEUE)
    except OSError:
        bound.close()
        raise
    return bound


def serve(root: Path, bound: socket.socket, theme: str, today: Callable[[], str]) -> None:
    """Serve until interrupted. Raises ThemeFault, and KeyboardInterrupt at its end."""
    look = load(find(theme, root / THEMES))
    host = bound.getsockname()[0]
    names = [LOOPBACK, "localhost"] if host == LOOPBACK else [host]
    preview = Preview(Session(root, look, today), look, root / "procedures")
    config = uvicorn.Config(
        preview.application(names),
        log_level="error",
        lifespan="on",
        timeout_graceful_shutdown=_LAST_SECONDS,
        server_header=False,
    )
    with bound:
        _Server(config, preview).run(sockets=[bound])


class _Server(uvicorn.Server):
    """Tells the pages that wait for news that there will be none, or they would hold up the end."""

    def __init__(self, config: uvicorn.Config, preview: Preview) -> None:
        super().__init__(config)
        self._preview = preview

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        """See `uvicorn.Server`."""
        await self._preview.end()
        await super().shutdown(sockets)
