"""Choices that several commands offer."""

from enum import Enum


class Format(str, Enum):
    """How an answer is written."""

    TEXT = "text"
    MARKDOWN = "markdown"
    JSON = "json"
    HTML = "html"
