"""Lets ``python -m gcodegen`` run the command line."""

from gcodegen.cli import main

main()
