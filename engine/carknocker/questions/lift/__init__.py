"""Lifting one end: the figures of the lift sheet."""
