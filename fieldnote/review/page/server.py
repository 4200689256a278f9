"""The page, served on this machine only. In: an application and a guard. Out: a server that answers one browser until stopped.

Limits are small because the page is: heads of 16 kB, bodies of 64 kB, and a connection that says nothing is closed. Slow or
half-open connections cost no thread, so that they cannot keep the page from answering.
"""

import gc
import logging
import socket
from collections.abc import Callable
from typing import Any

from fieldnote.errors import MachineLacks

HOST = "127.0.0.1"


class Server:
    """Listens at once, so that the port is known before the application is made; answers when it is run."""

    def __init__(self, port: int = 0) -> None:
        try:
            self._socket = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
            self._socket.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            self._socket.bind((HOST, port))
            self._socket.listen(128)
        except OSError as problem:
            raise MachineLacks("FN-406", path=f"port {port}", reason=problem.strerror or problem) from None
        self.port: int = self._socket.getsockname()[1]
        self._open: dict[int, Any] = {}  # what the server's loop waits for; emptied, the loop ends
        self._server: Any = None

    def prepare(self, application: Callable[..., Any], patience: int = 20) -> None:
        """Take the application. `patience` is how many seconds a silent connection is kept."""
        import waitress

        logging.getLogger("waitress.queue").setLevel(logging.ERROR)  # that a picture waits is nothing to tell a person
        self._server = waitress.create_server(
            application,
            map=self._open,
            sockets=[self._socket],
            threads=12,
            connection_limit=300,
            channel_timeout=patience,
            cleanup_interval=min(5, patience),
            max_request_header_size=16_384,
            max_request_body_size=65_536,
            clear_untrusted_proxy_headers=False,
            ident=None,
        )
        self._server.channel_class = _channel()

    def run(self) -> None:
        """Answer until `stop` or an interrupt.

        What was read before stays as long as the page: to search it for garbage would hold up every tenth answer for 0.1 s.
        """
        gc.freeze()
        try:
            self._server.run()
        finally:
            gc.unfreeze()
            self._server.task_dispatcher.shutdown(timeout=1)
            self._socket.close()

    def stop(self) -> None:
        """Stop answering, from any thread; what is being answered is finished."""
        self._server.trigger.pull_trigger(self._open.clear)


def _channel() -> Any:
    """A channel that refuses bodies in chunks: no form of a browser is sent so, and a second length could hide a request."""
    from waitress.channel import HTTPChannel
    from waitress.parser import HTTPRequestParser, TransferEncodingNotImplemented

    class Parser(HTTPRequestParser):  # type: ignore[misc]
        def parse_header(self, head: bytes) -> None:
            super().parse_header(head)
            if self.chunked:
                raise TransferEncodingNotImplemented("Bodies in chunks are not taken.")

    class Channel(HTTPChannel):  # type: ignore[misc]
        parser_class = Parser

    return Channel
