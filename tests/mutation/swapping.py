"""Puts a fault into functions that are loaded already, so that nothing needs to be imported again for it."""

from __future__ import annotations

import ast
import gc
from pathlib import Path
from types import CodeType, FunctionType

from tests.mutation.changes import Change, changes, spoilt

ROOT = Path(__file__).resolve().parents[2]
Place = tuple[str, int, str]  # file, line and name


def _functions(tree: ast.Module) -> list[ast.FunctionDef]:
    """Return the functions and methods that stand in no other function."""
    found: list[ast.FunctionDef] = []
    within: list[ast.AST] = [tree]
    while within:
        for node in ast.iter_child_nodes(within.pop()):
            if isinstance(node, ast.FunctionDef):
                found.append(node)
            elif isinstance(node, ast.ClassDef | ast.If):
                within.append(node)
    return found


def inside_a_function(change: Change) -> bool:
    """Whether the fault stands in a function's body: not in a table, a default or a class's own lines."""
    tree = ast.parse((ROOT / change.path).read_text(encoding="utf-8"))
    at = (change.line, change.column - 1)
    return any(
        (body[0].lineno, body[0].col_offset) <= at <= (body[-1].end_lineno or 0, body[-1].end_col_offset or 0)
        for body in (function.body for function in _functions(tree))
    )


def loaded() -> dict[Place, list[FunctionType]]:
    """Return the program's functions as they are in memory, by where they stand."""
    found: dict[Place, list[FunctionType]] = {}
    for one in gc.get_objects():
        if isinstance(one, FunctionType) and "/gcodegen/" in one.__code__.co_filename:
            found.setdefault(_place(one.__code__), []).append(one)
    return found


def put(change: Change, functions: dict[Place, list[FunctionType]]) -> bool:
    """Exchange the code of the function in which the fault stands; whether one was found."""
    file = ROOT / change.path
    text = file.read_text(encoding="utf-8")
    sound = _codes(compile(text, str(file), "exec"))
    done = False
    for code in _codes(compile(spoilt(text, change.number), str(file), "exec")):
        if code not in sound:
            for function in functions.get(_place(code), ()):
                function.__code__ = code
                done = True
    return done


def _codes(module: CodeType) -> set[CodeType]:
    """Return the code of functions and methods that stand in no other function."""
    found: set[CodeType] = set()
    within = [module]
    while within:
        for one in within.pop().co_consts:
            if isinstance(one, CodeType):
                is_class = not one.co_flags & 0x0001  # no optimized locals: the body of a class
                (within.append if is_class else found.add)(one)
    return found


def _place(code: CodeType) -> Place:
    return code.co_filename, code.co_firstlineno, code.co_name


__all__ = ["changes", "inside_a_function", "loaded", "put"]
