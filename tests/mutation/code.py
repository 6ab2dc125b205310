"""Single-point mistakes in Python source, by its syntax tree.

Left alone: docstrings and other text, what is logged and what errors say, annotations but for the
limits in `Meta(...)`, decorators, `__all__`, assertions, `if TYPE_CHECKING`.
"""

import ast
import copy
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from tests.mutation.mutant import Mutant, Step

__all__ = ["code_mutants", "enum_members", "mutated"]

Enums = Mapping[str, Sequence[str]]

_COMPARISONS: dict[type[ast.cmpop], tuple[type[ast.cmpop], ...]] = {
    ast.Lt: (ast.LtE, ast.GtE),
    ast.LtE: (ast.Lt, ast.Gt),
    ast.Gt: (ast.GtE, ast.LtE),
    ast.GtE: (ast.Gt, ast.Lt),
    ast.Eq: (ast.NotEq,),
    ast.NotEq: (ast.Eq,),
    ast.Is: (ast.IsNot,),
    ast.IsNot: (ast.Is,),
    ast.In: (ast.NotIn,),
    ast.NotIn: (ast.In,),
}
_ARITHMETIC: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.Div,
    ast.Div: ast.Mult,
    ast.FloorDiv: ast.Mult,
    ast.Mod: ast.FloorDiv,
    ast.Pow: ast.Mult,
    ast.BitOr: ast.BitAnd,
    ast.BitAnd: ast.BitOr,
    ast.BitXor: ast.BitOr,
    ast.LShift: ast.RShift,
    ast.RShift: ast.LShift,
}
_TWINS = {"min": "max", "max": "min", "any": "all", "all": "any"}
_LOGS = {"_log", "logging"}
_NOT_IN_CLASSES = ("Enum", "Flag")


def enum_members(sources: Sequence[Path]) -> dict[str, tuple[str, ...]]:
    """The members of every enumeration in some files, by the name of its class."""
    found = {}
    for path in sources:
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ClassDef) and _is_enum(node):
                names = [
                    target.id
                    for statement in node.body
                    if isinstance(statement, ast.Assign)
                    for target in statement.targets
                    if isinstance(target, ast.Name)
                ]
                found[node.name] = tuple(names)
    return found


def code_mutants(source: str, file: str, wing: str, enums: Enums) -> list[Mutant]:
    """Every mutant of a module."""
    finder = _Finder(file, wing, source.splitlines(), enums)
    finder.block(ast.parse(source).body, (), "body")
    return finder.found


def mutated(source: str, mutant: Mutant) -> ast.Module:
    """The module with the one change."""
    tree = ast.parse(source)
    parent: ast.AST = tree
    for step in mutant.path[:-1]:
        parent = _child(parent, step)
    field, index = mutant.path[-1]
    old = _child(parent, mutant.path[-1])
    statement = ast.parse(mutant.after).body[0]
    new: ast.AST = statement
    if isinstance(old, ast.expr):
        assert isinstance(statement, ast.Expr)
        new = statement.value
    for node in ast.walk(new):
        ast.copy_location(node, old)
    if index is None:
        setattr(parent, field, new)
    else:
        getattr(parent, field)[index] = new
    return tree


def _child(node: ast.AST, step: Step) -> ast.AST:
    field, index = step
    value = getattr(node, field)
    found = value if index is None else value[index]
    assert isinstance(found, ast.AST)
    return found


def _is_enum(node: ast.ClassDef) -> bool:
    return any(ast.unparse(base).endswith(_NOT_IN_CLASSES) for base in node.bases)


class _Finder:
    """Walks a module, statement by statement, and collects what may be changed."""

    def __init__(self, file: str, wing: str, lines: list[str], enums: Enums) -> None:
        self.found: list[Mutant] = []
        self._file, self._wing, self._text, self._enums = file, wing, lines, enums
        self._seen: Counter[tuple[str, ...]] = Counter()
        # Of the statement at hand:
        self._scope: tuple[str, ...] = ()
        self._line = 0
        self._lines: tuple[int, int] | None = None
        self._names: frozenset[str] = frozenset()
        self._only_members = False  # of what an error carries, its code alone is looked at

    # --- statements --------------------------------------------------------------------------

    def block(
        self,
        body: Sequence[ast.stmt],
        path: tuple[Step, ...],
        field: str,
        *,
        inside: bool = False,
    ) -> None:
        for index, statement in enumerate(body):
            self._statement(statement, (*path, (field, index)), inside)

    def _statement(self, node: ast.stmt, path: tuple[Step, ...], inside: bool) -> None:
        match node:
            case ast.FunctionDef() | ast.AsyncFunctionDef() | ast.ClassDef():
                self._definition(node, path)
                return
            case ast.Import() | ast.ImportFrom() | ast.Assert() | ast.Global() | ast.Nonlocal():
                return
            case ast.If(test=ast.Name(id="TYPE_CHECKING")):
                return
            case ast.Expr(value=ast.Constant()):
                return
            case ast.Assign(targets=[ast.Name(id="__all__" | "__slots__")]):
                return
        self._at(node, inside)
        if inside:
            self._dropped(node, path)
        for field, value in ast.iter_fields(node):
            if field in ("body", "orelse", "finalbody", "handlers", "cases"):
                continue
            if isinstance(node, ast.AnnAssign) and field == "annotation":
                self._limits(value, (*path, (field, None)))
                continue
            self._only_members = isinstance(node, ast.Raise)
            self._value(value, path, field)
            self._only_members = False
        for field in ("body", "orelse", "finalbody"):
            self.block(getattr(node, field, []), path, field, inside=inside)
        for index, handler in enumerate(getattr(node, "handlers", [])):
            self.block(handler.body, (*path, ("handlers", index)), "body", inside=inside)
        for index, case in enumerate(getattr(node, "cases", [])):
            below = (*path, ("cases", index))
            # Whoever runs the `match` tries its cases.
            self._line = case.pattern.lineno
            self._lines = (node.lineno, node.lineno) if inside else None
            for field in ("pattern", "guard"):
                self._value(getattr(case, field), below, field)
            if case.guard is not None:
                self._negated(case.guard, (*below, ("guard", None)))
            self.block(case.body, below, "body", inside=inside)

    def _definition(
        self, node: ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef, path: tuple[Step, ...]
    ) -> None:
        outer, self._scope = self._scope, (*self._scope, node.name)
        if isinstance(node, ast.ClassDef):
            self.block(node.body, path, "body")
        else:
            # A default is worked out at import and seen by whoever runs the function.
            self._line, self._names = node.lineno, frozenset()
            self._lines = (node.body[0].lineno, node.end_lineno or node.lineno)
            for field in ("defaults", "kw_defaults"):
                for index, default in enumerate(getattr(node.args, field)):
                    if default is not None:
                        below = (*path, ("args", None), (field, index))
                        self._expression(default, below)
            self.block(node.body, path, "body", inside=True)
        self._scope = outer

    def _at(self, node: ast.stmt, inside: bool) -> None:
        """The statement that what follows belongs to, without the blocks in it."""
        self._line = node.lineno
        body = getattr(node, "body", None) or getattr(node, "cases", None)
        if body and not isinstance(node, ast.Expr):
            first = body[0].pattern if isinstance(body[0], ast.match_case) else body[0]
            last = max(node.lineno, first.lineno - 1)
        else:
            last = node.end_lineno or node.lineno
        self._lines = (node.lineno, last) if inside else None
        self._names = frozenset() if inside else _bound(node)

    def _dropped(self, node: ast.stmt, path: tuple[Step, ...]) -> None:
        match node:
            case ast.Expr(value=ast.Call() as call) if not _is_log(call):
                self._add(node, "pass", "statement dropped", path)
            case ast.AugAssign() | ast.Continue() | ast.Raise() | ast.Delete():
                self._add(node, "pass", "statement dropped", path)
            case ast.Break():
                self._add(node, "continue", "break becomes continue", path)
            case ast.Assign(targets=[ast.Attribute() | ast.Subscript()]):
                self._add(node, "pass", "statement dropped", path)
            case ast.If(test=test) | ast.While(test=test):
                self._negated(test, (*path, ("test", None)))

    def _limits(self, node: ast.expr, path: tuple[Step, ...]) -> None:
        """The limits that an annotation carries, as in `Annotated[int, Meta(ge=0)]`."""
        for field, value in ast.iter_fields(node):
            below = value if isinstance(value, list) else [value]
            for index, child in enumerate(below):
                if isinstance(child, ast.expr):
                    step = (field, index if isinstance(value, list) else None)
                    if isinstance(child, ast.Call) and ast.unparse(child.func).endswith("Meta"):
                        self._expression(child, (*path, step))
                    else:
                        self._limits(child, (*path, step))

    # --- expressions -------------------------------------------------------------------------

    def _value(self, value: object, path: tuple[Step, ...], field: str) -> None:
        """What a field holds: an expression, several, or what has expressions in it."""
        below = value if isinstance(value, list) else [value]
        for index, child in enumerate(below):
            step: Step = (field, index if isinstance(value, list) else None)
            if isinstance(child, ast.expr):
                self._expression(child, (*path, step))
            elif isinstance(child, ast.AST):
                for name, inner in ast.iter_fields(child):
                    self._value(inner, (*path, step), name)

    def _expression(self, node: ast.expr, path: tuple[Step, ...]) -> None:
        if isinstance(node, ast.Call) and (_is_log(node) or _is_for_types(node)):
            return
        if isinstance(node, ast.BinOp) and isinstance(node.op, ast.BitOr) and self._lines is None:
            return  # alternatives of a type
        for after, operator in self._changes(node):
            if not self._only_members or operator == "another member":
                self._add(node, after, operator, path)
        for field, value in ast.iter_fields(node):
            if field != "annotation":
                self._value(value, path, field)

    def _changes(self, node: ast.expr) -> Iterator[tuple[str, str]]:
        """What may stand in the place of an expression, and what that is called."""
        match node:
            case ast.Compare(ops=ops):
                for index, op in enumerate(ops):
                    for other in _COMPARISONS[type(op)]:
                        changed = copy.deepcopy(node)
                        changed.ops[index] = other()
                        yield ast.unparse(changed), "comparison"
            case ast.BoolOp(op=op, values=values):
                swapped = ast.Or() if isinstance(op, ast.And) else ast.And()
                yield ast.unparse(ast.BoolOp(swapped, values)), "and/or"
            case ast.BinOp(left=left, op=op, right=right) if not _is_text(left, right):
                twin = _ARITHMETIC.get(type(op))
                if twin is not None and not _is_type(right):
                    yield ast.unparse(ast.BinOp(left, twin(), right)), "arithmetic"
                yield ast.unparse(left), "operand dropped"
            case ast.UnaryOp(op=ast.Not() | ast.USub(), operand=operand):
                yield ast.unparse(operand), "sign or not dropped"
            case ast.IfExp(test=test, body=body, orelse=orelse):
                yield ast.unparse(ast.IfExp(_not(test), body, orelse)), "condition negated"
            case ast.Constant(value=bool() as value):
                yield str(not value), "constant"
            case ast.Constant(value=int() as value):
                yield str(value + 1), "constant"
            case ast.Constant(value=float() as value):
                yield repr(value * 1.1 if value else 1.0), "constant"
            case ast.Call(func=ast.Name(id="Decimal"), args=[ast.Constant(value=str())]):
                yield f"Decimal('1.1') * {ast.unparse(node)}", "constant"
            case ast.Call(func=ast.Name(id=name), args=args, keywords=keywords) if name in _TWINS:
                yield (
                    ast.unparse(ast.Call(ast.Name(_TWINS[name]), args, keywords)),
                    "min/max/any/all",
                )
            case ast.Attribute(value=ast.Name(id=owner), attr=attr, ctx=ast.Load()):
                members = self._enums.get(owner, ())
                if attr in members and len(members) > 1:
                    next_one = members[(members.index(attr) + 1) % len(members)]
                    yield f"{owner}.{next_one}", "another member"

    def _negated(self, test: ast.expr, path: tuple[Step, ...]) -> None:
        if not isinstance(test, ast.Compare | ast.UnaryOp):  # those are turned round by themselves
            self._add(test, ast.unparse(_not(test)), "condition negated", path)

    def _add(self, node: ast.AST, after: str, operator: str, path: tuple[Step, ...]) -> None:
        before, scope = ast.unparse(node), ".".join(self._scope)
        if isinstance(node, ast.stmt):
            before = before.partition("\n")[0]
        statement = self._text[self._line - 1].strip()
        alike = (scope, statement, operator, before, after)
        self.found.append(
            Mutant(
                self._file, self._wing, self._line, scope, statement, operator, before, after,
                self._seen[alike], path, self._lines, self._names,
            )
        )  # fmt: skip
        self._seen[alike] += 1


def _bound(node: ast.stmt) -> frozenset[str]:
    """The names that a statement outside of functions gives a value to."""
    stored = (n for n in ast.walk(node) if isinstance(getattr(n, "ctx", None), ast.Store))
    return frozenset(n.id for n in stored if isinstance(n, ast.Name))


def _not(test: ast.expr) -> ast.expr:
    return ast.UnaryOp(ast.Not(), test)


def _is_log(call: ast.Call) -> bool:
    root = call.func
    while isinstance(root, ast.Attribute):
        root = root.value
    return isinstance(root, ast.Name) and root.id in _LOGS


def _is_for_types(call: ast.Call) -> bool:
    return isinstance(call.func, ast.Name) and call.func.id in {"TypeVar", "cast", "NewType"}


def _is_type(node: ast.expr) -> bool:
    """`A | B` of two types stands in `isinstance`; `A & B` would be no Python."""
    return isinstance(node, ast.Name) and node.id.strip("_")[:2].istitle()


def _is_text(*operands: ast.expr) -> bool:
    """Text put together, or alternatives of a type."""
    return any(
        isinstance(o, ast.JoinedStr)
        or (isinstance(o, ast.Constant) and (isinstance(o.value, str | bytes) or o.value is None))
        for o in operands
    )
