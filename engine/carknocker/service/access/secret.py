"""Secrets that open the service to somebody, and what is kept of them."""

import hashlib
import secrets


def secret() -> str:
    """A new one: 256 random bits, as text for an address or a cookie."""
    return secrets.token_urlsafe(32)


def digest_of(said: str) -> str:
    """What is kept of it. A secret of 256 random bits needs no slower digest."""
    return hashlib.sha256(said.encode("utf-8")).hexdigest()
