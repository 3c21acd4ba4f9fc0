"""Workings: figures derived from readings, each with its worked line."""

from carknocker.workings.model import Candidate, Missing, OutOfRange, Readings, Share, Worked, Working
from carknocker.workings.registry import WORKINGS

__all__ = ["WORKINGS", "Candidate", "Missing", "OutOfRange", "Readings", "Share", "Worked", "Working"]
