"""Where the service answers: on its own machine alone, or under a public name behind a proxy that ends TLS."""

import re
from collections.abc import Collection

import msgspec

_PUBLIC_NAME = re.compile(r"https://([a-z0-9](?:[a-z0-9.-]{0,251}[a-z0-9])?)(?::([1-9][0-9]{0,4}))?/?")


class Address(msgspec.Struct, frozen=True):
    """names: under which it answers, as a Host header has them, without the port. origin: `https://…` of a public name;
    "" on its own machine. proxies: addresses from which a proxy may speak for others."""

    names: frozenset[str]
    origin: str = ""
    proxies: frozenset[str] = frozenset()

    @property
    def is_public(self) -> bool:
        """Whether others than those at this machine can reach it, so that they log in."""
        return bool(self.origin)

    def origin_for(self, host: str) -> str:
        """How addresses of the service begin. host: under which it is asked on its own machine, with the port."""
        return self.origin or f"http://{host}"


LOOPBACK = Address(frozenset(("localhost", "127.0.0.1", "[::1]")))
LOOPBACK_ADDRESSES = ("127.0.0.1", "::1")


class AddressRefused(Exception):
    """An address at which the service does not answer; says why."""


def public_address(name: str, proxies: Collection[str] = LOOPBACK_ADDRESSES) -> Address:
    """The address of a public name, `https://cars.example.org`. Raises AddressRefused."""
    found = _PUBLIC_NAME.fullmatch(name.casefold())
    if found is None:
        raise AddressRefused(f"`{name[:80]}`: expected a public name such as https://cars.example.org, without a path")
    host, port = found.groups()
    origin = f"https://{host}" if port in (None, "443") else f"https://{host}:{port}"
    return Address(frozenset((host,)), origin, frozenset(proxies))
