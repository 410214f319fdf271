"""Exchanges the code of functions that are loaded already, so that nothing needs to be imported again for a fault."""

from __future__ import annotations

import ast
import gc
import sys
from collections.abc import Iterable
from pathlib import Path
from types import CodeType, FunctionType

from tests.mutation.changes import Change

ROOT = Path(__file__).resolve().parents[2]
WIRE = "__a_test_came_by__"
Place = tuple[str, int, str]  # file, line and name
Loaded = dict[Place, list[FunctionType]]


def module_of(change: Change) -> str:
    """Return the name under which the fault's file is imported."""
    return change.path.removesuffix(".py").removesuffix("/__init__").replace("/", ".")


def loaded() -> Loaded:
    """Return the program's functions as they are in memory, by where they stand."""
    found: Loaded = {}
    for one in gc.get_objects():
        if isinstance(one, FunctionType) and "/gcodegen/" in one.__code__.co_filename:
            found.setdefault(_place(one.__code__), []).append(one)
    return found


def put(path: str, tree: ast.Module, functions: Loaded) -> None:
    """Give the functions of a file the code of this tree, wherever it differs from the file's own."""
    file = str(ROOT / path)
    sound = _codes(compile(Path(file).read_text(encoding="utf-8"), file, "exec"))
    for code in _codes(compile(tree, file, "exec")) - sound:
        for function in functions.get(_place(code), ()):
            function.__code__ = code


def work_out_again(change: Change, tree: ast.Module) -> None:
    """Work out the tables of a module again with the fault in one of them, and hand them to all that took them.

    What other modules made of them when they were loaded stays as it was, so an unnoticed fault says nothing yet.
    """
    module = sys.modules[module_of(change)]
    kinds = (ast.Assign, ast.AnnAssign)
    again = [s for s in tree.body if isinstance(s, kinds) and (s.end_lineno or 0) >= change.line]
    before = dict(vars(module))
    exec(compile(ast.Module(again, []), str(ROOT / change.path), "exec"), vars(module))
    for name, value in dict(vars(module)).items():
        if value is not before.get(name):
            for other in list(sys.modules.values()):
                if other is not None and getattr(other, "__dict__", {}).get(name) is before.get(name):
                    setattr(other, name, value)


def inside_a_function(change: Change) -> bool:
    """Whether the fault stands in a function's body: not in a table, a default or a class's own lines."""
    tree = ast.parse((ROOT / change.path).read_text(encoding="utf-8"))
    return any(_holds(function, change) for function in _functions(tree))


def wired(path: str, faults: Iterable[tuple[int, Change]]) -> ast.Module:
    """Return a file's tree with a wire before the statement of each fault, told by the fault's number.

    The head of every function has a wire that tells the file.
    """
    tree = ast.parse((ROOT / path).read_text(encoding="utf-8"))
    functions = _functions(tree)
    for number, change in faults:
        for function in functions:
            if _holds(function, change):
                body, at = _innermost(function, change)
                body.insert(at, _wire(number, body[at]))
    for function in functions:
        function.body.insert(0, _wire(path, function.body[0]))
    return ast.fix_missing_locations(tree)


def _wire(says: int | str, before: ast.stmt) -> ast.stmt:
    return ast.copy_location(ast.parse(f"{WIRE}({says!r})").body[0], before)


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


def _holds(function: ast.FunctionDef, change: Change) -> bool:
    return any(_covers(statement, change) for statement in function.body)


def _covers(node: ast.AST, change: Change) -> bool:
    at = (change.line, change.column - 1)
    begins = (getattr(node, "lineno", 0), getattr(node, "col_offset", 0))
    ends = (getattr(node, "end_lineno", 0), getattr(node, "end_col_offset", 0))
    return begins <= at < ends and not _is_wire(node)


def _innermost(function: ast.FunctionDef, change: Change) -> tuple[list[ast.stmt], int]:
    """Return the body in which the fault's own statement stands, and its place there."""
    body, at = function.body, next(i for i, s in enumerate(function.body) if _covers(s, change))
    while True:
        deeper = [
            (inner, i) for inner in _bodies(body[at]) for i, statement in enumerate(inner) if _covers(statement, change)
        ]
        if not deeper:
            return body, at
        body, at = deeper[0]


def _bodies(statement: ast.stmt) -> list[list[ast.stmt]]:
    parts: list[ast.AST] = [statement, *getattr(statement, "handlers", ()), *getattr(statement, "cases", ())]
    return [b for part in parts for name in ("body", "orelse", "finalbody") if (b := getattr(part, name, None))]


def _is_wire(statement: ast.AST) -> bool:
    call = getattr(statement, "value", None)
    return isinstance(call, ast.Call) and isinstance(call.func, ast.Name) and call.func.id == WIRE


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
