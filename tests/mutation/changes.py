"""Every small fault that can be put into a module: a comparison turned, a sum made a difference, a number moved."""

from __future__ import annotations

import ast
from collections.abc import Callable, Iterator
from dataclasses import dataclass

COMPARISONS: dict[type[ast.cmpop], type[ast.cmpop]] = {
    ast.Lt: ast.LtE,
    ast.LtE: ast.Lt,
    ast.Gt: ast.GtE,
    ast.GtE: ast.Gt,
    ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq,
    ast.Is: ast.IsNot,
    ast.IsNot: ast.Is,
    ast.In: ast.NotIn,
    ast.NotIn: ast.In,
}
SUMS: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.Div,
    ast.Div: ast.Mult,
    ast.Pow: ast.Mult,
    ast.Mod: ast.Mult,
    ast.FloorDiv: ast.Mult,
    ast.BitOr: ast.BitAnd,
    ast.BitAnd: ast.BitOr,
}
SWAPPED = {"min": "max", "max": "min", "minimum": "maximum", "maximum": "minimum", "any": "all", "all": "any"}
SWAPPED |= {"sin": "cos", "cos": "sin", "floor": "ceil", "ceil": "floor"}


@dataclass(frozen=True)
class Change:
    """One fault: the module's file, where it stands, what was and what is put in its place."""

    path: str
    line: int
    column: int
    number: int
    was: str
    becomes: str

    def __str__(self) -> str:
        return f"{self.path}:{self.line}:{self.column}  {self.was}  ->  {self.becomes}"


Edit = Callable[[], None]


class _Finder(ast.NodeVisitor):
    """Collects, in the order of the text, each place with the edit that spoils it."""

    def __init__(self) -> None:
        self.found: list[tuple[ast.AST, str, str, Edit]] = []

    def _add(self, node: ast.AST, was: str, becomes: str, edit: Edit) -> None:
        self.found.append((node, was, becomes, edit))

    def visit_FunctionDef(self, node: ast.FunctionDef) -> None:
        # Decorators and annotations are not what the tests are asked about.
        for default in [*node.args.defaults, *filter(None, node.args.kw_defaults)]:
            self.visit(default)
        for statement in node.body:
            self.visit(statement)

    def visit_keyword(self, node: ast.keyword) -> None:
        # That a record is built by keywords alone forbids a way of calling it, which nobody uses: no test can tell.
        if node.arg != "kw_only":
            self.visit(node.value)

    def visit_AnnAssign(self, node: ast.AnnAssign) -> None:
        if node.value is not None:
            self.visit(node.value)

    def visit_If(self, node: ast.If) -> None:
        if isinstance(node.test, ast.Name) and node.test.id == "TYPE_CHECKING":
            return
        self._turned(node)
        self.generic_visit(node)

    def visit_IfExp(self, node: ast.IfExp) -> None:
        self._turned(node)
        self.generic_visit(node)

    def visit_While(self, node: ast.While) -> None:
        self.generic_visit(node)

    def _turned(self, node: ast.If | ast.IfExp) -> None:
        test = node.test
        if isinstance(test, ast.Compare):
            return  # turning the comparison is tried there
        self._add(test, ast.unparse(test), f"not ({ast.unparse(test)})", lambda: _set(node, "test", _not(test)))

    def visit_Compare(self, node: ast.Compare) -> None:
        for at, operator in enumerate(node.ops):
            other = COMPARISONS[type(operator)]()
            was, becomes = ast.unparse(node), _with(node, node.ops, at, other)
            self._add(node, was, becomes, _put(node.ops, at, other))
        self.generic_visit(node)

    def visit_BinOp(self, node: ast.BinOp) -> None:
        texts = isinstance(node.left, ast.JoinedStr) or isinstance(node.right, ast.JoinedStr)
        texts = texts or any(
            isinstance(side, ast.Constant) and isinstance(side.value, str) for side in (node.left, node.right)
        )
        if not texts and type(node.op) in SUMS:
            self._operator(node, SUMS[type(node.op)]())
        self.generic_visit(node)

    def visit_AugAssign(self, node: ast.AugAssign) -> None:
        if type(node.op) in SUMS:
            self._operator(node, SUMS[type(node.op)]())
        self.generic_visit(node)

    def visit_BoolOp(self, node: ast.BoolOp) -> None:
        self._operator(node, ast.Or() if isinstance(node.op, ast.And) else ast.And())
        self.generic_visit(node)

    def _operator(self, node: ast.BinOp | ast.AugAssign | ast.BoolOp, other: ast.AST) -> None:
        kept = node.op
        was = ast.unparse(node)
        _set(node, "op", other)
        becomes = ast.unparse(node)
        _set(node, "op", kept)
        self._add(node, was, becomes, lambda: _set(node, "op", other))

    def visit_UnaryOp(self, node: ast.UnaryOp) -> None:
        if isinstance(node.op, ast.USub) and not isinstance(node.operand, ast.Constant):
            self._add(node, ast.unparse(node), ast.unparse(node.operand), lambda: _set(node, "op", ast.UAdd()))
        self.generic_visit(node)

    def visit_Constant(self, node: ast.Constant) -> None:
        value = node.value
        if isinstance(value, bool):
            self._add(node, str(value), str(not value), lambda: _set(node, "value", not value))
        elif isinstance(value, int | float):
            other = value + 1 if isinstance(value, int) else (value * 1.25 if value else 1.0)
            self._add(node, str(value), str(other), lambda: _set(node, "value", other))

    def visit_JoinedStr(self, node: ast.JoinedStr) -> None:
        """What is said in words is held by reading it, not by this."""

    def visit_Raise(self, node: ast.Raise) -> None:
        """The same."""

    def visit_Call(self, node: ast.Call) -> None:
        name = node.func
        if isinstance(name, ast.Name) and name.id in SWAPPED:
            other = SWAPPED[name.id]
            self._add(node, name.id, other, lambda: _set(name, "id", other))
        elif isinstance(name, ast.Attribute) and name.attr in SWAPPED:
            other = SWAPPED[name.attr]
            self._add(node, name.attr, other, lambda: _set(name, "attr", other))
        self.generic_visit(node)

    def visit_Continue(self, node: ast.Continue) -> None:
        self._add(node, "continue", "break", lambda: _become(node, ast.Break))

    def visit_Break(self, node: ast.Break) -> None:
        self._add(node, "break", "continue", lambda: _become(node, ast.Continue))


def _set(node: ast.AST, field: str, value: object) -> None:
    setattr(node, field, value)


def _become(node: ast.AST, kind: type[ast.AST]) -> None:
    node.__class__ = kind


def _put(row: list[ast.cmpop], at: int, other: ast.cmpop) -> Edit:
    return lambda: row.__setitem__(at, other)


def _not(test: ast.expr) -> ast.expr:
    return ast.copy_location(ast.UnaryOp(op=ast.Not(), operand=test), test)


def _with(node: ast.AST, row: list[ast.cmpop], at: int, other: ast.cmpop) -> str:
    kept = row[at]
    row[at] = other
    text = ast.unparse(node)
    row[at] = kept
    return text


def changes(path: str, text: str) -> Iterator[Change]:
    """All the faults of one module, in the order of its text."""
    finder = _Finder()
    finder.visit(ast.parse(text))
    for number, (node, was, becomes, _edit) in enumerate(finder.found):
        yield Change(path, node.lineno, node.col_offset + 1, number, was[:70], becomes[:70])  # type: ignore[attr-defined]


def spoilt(text: str, number: int) -> ast.Module:
    """The module's tree with fault ``number`` in it, ready to be compiled."""
    tree = ast.parse(text)
    finder = _Finder()
    finder.visit(tree)
    finder.found[number][3]()
    return ast.fix_missing_locations(tree)
