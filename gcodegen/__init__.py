"""Convert a plain lathe chuck so that four set screws push it true."""

__version__ = "0.1.0"
