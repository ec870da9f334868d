"""Coldmark: the field mechanic's tool."""

__version__ = "0.1.0"
