"""Sends a request to an address that a customer named, and to no other: not to this machine, not into its network."""

from __future__ import annotations

import contextlib
import http.client
import ipaddress
import re
import socket
import ssl
import threading
from collections.abc import Mapping
from dataclasses import dataclass
from urllib.parse import SplitResult, urlsplit

from service.errors import AddressError

_SECONDS = 10.0
_WHOLE_SECONDS = 20.0
"""How long one letter may take in all, however steadily its receiver drips an answer."""
_LABEL = "[A-Za-z0-9]([A-Za-z0-9-]{0,61}[A-Za-z0-9])?"
PUBLIC_ADDRESS = (
    rf"^https://{_LABEL}(\.{_LABEL}){{0,8}}(:([1-9][0-9]{{0,3}}|[1-5][0-9]{{4}}|6[0-4][0-9]{{3}}))?(/[!\"$-~]*)?$"
)
"""What a webhook address on the internet looks like: https, a host name, a port below 65,000, a printable path."""

_ANYWHERE = ipaddress.ip_network("2000::/3")
"""The IPv6 addresses that are given out to the internet (RFC 4291, IANA registry); others lead somewhere local."""
_TRANSLATED = (ipaddress.ip_network("64:ff9b::/96"), ipaddress.ip_network("2002::/16"))
"""IPv6 addresses that stand for an IPv4 address behind a translator (RFC 6052, RFC 3056)."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Target:
    """A web address taken apart; ``path`` with its query."""

    secure: bool
    host: str
    port: int
    path: str


def target(url: str, *, private_allowed: bool) -> Target:
    """Return a web address taken apart.

    Raises
    ------
    AddressError
        If it is no address that letters may go to.
    """
    try:
        parts = urlsplit(url)
        port = parts.port
    except ValueError as error:
        raise AddressError("this is no web address") from error
    if parts.scheme not in ({"https", "http"} if private_allowed else {"https"}):
        raise AddressError("a webhook address starts with https://")
    if not parts.hostname or parts.username is not None or parts.fragment:
        raise AddressError("a webhook address has a host, and neither a user name nor a fragment")
    found = Target(
        secure=parts.scheme == "https",
        host=parts.hostname,
        port=port or (443 if parts.scheme == "https" else 80),
        path=_path(parts),
    )
    if not private_allowed:
        if re.fullmatch(PUBLIC_ADDRESS, url) is None:
            raise AddressError("a webhook address is https://HOST/PATH, without spaces or signs that need quoting")
        try:
            literal = ipaddress.ip_address(found.host)
        except ValueError:
            return found
        if not _public(literal):
            raise AddressError("a webhook address must be reachable from the internet")
    return found


def send(
    to: Target, body: bytes, headers: Mapping[str, str], *, private_allowed: bool, within: float = _WHOLE_SECONDS
) -> int:
    """Post a body and return the status of the answer; redirects are not followed.

    The name is looked up once and the connection goes to the address that was
    judged, so a name that changes its mind in between gains nothing.

    Raises
    ------
    AddressError
        If the name leads to an address that is not public.
    OSError
        If there is no answer.
    """
    address = _judged_address(to, private_allowed=private_allowed)
    connection = _Pinned(to, address)
    hang_up = threading.Timer(within, connection.hang_up)
    hang_up.start()
    try:
        connection.request("POST", to.path, body, dict(headers))
        return connection.getresponse().status
    except http.client.HTTPException as error:
        raise OSError(f"no proper answer: {type(error).__name__}") from error
    finally:
        hang_up.cancel()
        connection.close()


def _judged_address(to: Target, *, private_allowed: bool) -> str:
    try:
        found = socket.getaddrinfo(to.host, to.port, type=socket.SOCK_STREAM)
    except UnicodeError as error:
        raise AddressError("this is no host name") from error
    addresses = [str(entry[4][0]) for entry in found]
    if not private_allowed and not all(_public(ipaddress.ip_address(address)) for address in addresses):
        raise AddressError("the name leads to an address that cannot be reached from the internet")
    return addresses[0]


def _public(address: ipaddress.IPv4Address | ipaddress.IPv6Address) -> bool:
    """Return whether an address is one of the public internet.

    Examples
    --------
    >>> [_public(ipaddress.ip_address(a)) for a in ("93.184.216.34", "10.0.0.1", "::ffff:127.0.0.1", "169.254.169.254")]
    [True, False, False, False]
    """
    if isinstance(address, ipaddress.IPv6Address):
        if address.ipv4_mapped is not None:
            return _public(address.ipv4_mapped)
        if address not in _ANYWHERE or any(address in network for network in _TRANSLATED):
            return False
    return address.is_global and not address.is_multicast


class _Pinned(http.client.HTTPConnection):
    """A connection to one address, under the name that its certificate must bear."""

    def __init__(self, to: Target, address: str) -> None:
        super().__init__(to.host, to.port, timeout=_SECONDS)
        self._to = to
        self._address = address

    def connect(self) -> None:
        """Connect to the address that was judged."""
        self.sock = socket.create_connection((self._address, self._to.port), _SECONDS)
        if self._to.secure:
            line = ssl.create_default_context().wrap_socket(
                self.sock, server_hostname=self._to.host, do_handshake_on_connect=False
            )
            self.sock = line
            line.do_handshake()

    def hang_up(self) -> None:
        """End the connection from another thread; whoever waits for an answer gets an error."""
        line = self.sock
        if line is not None:
            with contextlib.suppress(OSError):
                # A TLS socket's own shutdown would wait for the other side.
                socket.socket.shutdown(line, socket.SHUT_RDWR)


def _path(parts: SplitResult) -> str:
    path = parts.path or "/"
    return f"{path}?{parts.query}" if parts.query else path
