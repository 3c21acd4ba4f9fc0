"""Choices that several commands offer."""

from enum import StrEnum


class Format(StrEnum):
    """How an answer is written."""

    TEXT = "text"
    MARKDOWN = "markdown"
    JSON = "json"
    HTML = "html"
    PDF = "pdf"


class End(StrEnum):
    """An end of a car."""

    A = "A"
    B = "B"
