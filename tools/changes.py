"""Every single change that `python -m tools.mutants` may make to our code.

A comparison, a sign or a bound is turned, a guard dropped, a number moved. Python is
read as a tree. The pages' scripts are read by their signs: what stands in strings, comments and lines with backquotes stays.
"""

import ast
import re
from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path
from typing import NamedTuple

ROOMS = {
    "calculators": "calculators/**/*.py", "pieces": "pieces/**/*.py", "print": "print/**/*.py", "macros": "macros/**/*.py",
    "scripts": "docs/assets/*.js",
}
TURNED: dict[type, tuple[str, str]] = {  # how it is written, and what it becomes
    ast.Lt: ("<", "<="), ast.LtE: ("<=", "<"), ast.Gt: (">", ">="), ast.GtE: (">=", ">"), ast.Eq: ("==", "!="), ast.NotEq: ("!=", "=="),
    ast.In: ("in", "not in"), ast.NotIn: ("not in", "in"), ast.Is: ("is", "is not"), ast.IsNot: ("is not", "is"),
    ast.Add: ("+", "-"), ast.Sub: ("-", "+"), ast.Mult: ("*", "/"), ast.Div: ("/", "*"), ast.And: ("and", "or"), ast.Or: ("or", "and"),
}
NAMES = {"min": "max", "max": "min", "ceil": "floor", "floor": "ceil", "any": "all", "all": "any"}
SIGNS = {
    "===": "!==", "!==": "===", "<": "<=", "<=": "<", ">": ">=", ">=": ">", "&&": "||", "||": "&&", "+": "-", "-": "+", "*": "/", "/": "*",
    "true": "false", "false": "true", "!": "",
}
OF_A_SCRIPT = re.compile(r"""
      //[^\n]* | /\*.*?\*/ | "(?:\\.|[^"\\\n])*" | '(?:\\.|[^'\\\n])*' | (?<=[(,=:][ ])/(?:\\.|[^/\n\\])+/ | (?<=\()/(?:\\.|[^/\n\\])+/
    | (?<=[ ])(?P<sign>===|!==|<=|>=|<|>|&&|\|\||[-+*/])(?=[ ]) | \b(?P<word>true|false)\b | (?<=[ (!])(?P<not>!)(?=[\w(])
    | (?<![\w.$\#])(?P<number>\d[\d_]*(?:\.\d+)?)(?![\w.]) | \bif[ ]\((?P<guard>[^\n]*)\)[ ](?:return|continue)\b
""", re.X | re.S)


class Change(NamedTuple):
    """Some bytes of a file, and what stands in their place."""

    path: str
    line: int
    statement: tuple[int, int]  # its first and last line: whoever runs any of them may notice
    start: int
    end: int
    new: str
    told: str  # the line with the change in it

    @property
    def room(self) -> str:
        """The part of the project it belongs to."""
        return "scripts" if self.path.startswith("docs/") else self.path.partition("/")[0]

    @property
    def name(self) -> str:
        """The change without its place, which moves."""
        return f"{self.path}: {self.told}"

    def made(self, text: bytes) -> bytes:
        """The file with the change."""
        return text[:self.start] + self.new.encode() + text[self.end:]


def of_file(path: str, text: bytes) -> list[Change]:
    """Every change to one file."""
    if path.endswith(".js"):
        found = [_change(path, text, span, new) for span, new in _of_script(text.decode())]
    else:
        found = [_change(path, text, span, new, lines) for span, new, lines in _of_python(text)]
    return list(dict.fromkeys(found))


def of_rooms(root: Path) -> list[Change]:
    """Every change to everything."""
    paths = sorted({str(path.relative_to(root)) for files in ROOMS.values() for path in root.glob(files)})
    return [change for path in paths for change in of_file(path, (root / path).read_bytes())]


def reads(path: str, text: bytes) -> bool:
    """Whether a file of Python still is one."""
    try:
        return path.endswith(".js") or bool(ast.parse(text).body)
    except SyntaxError:
        return False


def _change(path: str, text: bytes, span: tuple[int, int], new: str, lines: tuple[int, int] | None = None) -> Change:
    start, end = span
    line = text.count(b"\n", 0, start) + 1
    before, old, after = text[text.rfind(b"\n", 0, start) + 1:start], text[start:end], text[end:].partition(b"\n")[0]
    told = b"%s[[%s -> %s]]%s" % (before, b" ".join(old.split()), new.encode(), after)
    return Change(path, line, lines or (line, line), start, end, new, told.decode().strip())


def _of_script(text: str) -> Iterator[tuple[tuple[int, int], str]]:
    quoted = {number for number, line in enumerate(text.split("\n")) if "`" in line}

    def span(start: int, end: int) -> tuple[int, int]:
        return len(text[:start].encode()), len(text[:end].encode())

    at = 0
    while found := OF_A_SCRIPT.search(text, at):
        kind, at = found.lastgroup, found.end()
        if not kind or text.count("\n", 0, found.start()) in quoted:
            continue
        old = found[kind]
        if kind == "guard":
            at = found.start(kind)  # what it holds has its own
            yield span(*found.span(kind)), "false"
        elif kind == "number":
            yield span(*found.span(kind)), _moved(float(old) if "." in old else int(old))
        else:
            yield span(*found.span(kind)), SIGNS[old]


def _of_python(text: bytes) -> Iterator[tuple[tuple[int, int], str, tuple[int, int]]]:
    starts = [0]
    for line in text.splitlines(keepends=True):
        starts.append(starts[-1] + len(line))

    def span(node: ast.expr) -> tuple[int, int]:
        assert node.end_lineno and node.end_col_offset is not None, "what was parsed knows its end"
        return starts[node.lineno - 1] + node.col_offset, starts[node.end_lineno - 1] + node.end_col_offset

    def between(left: ast.expr, right: ast.expr, op: ast.AST) -> Iterator[tuple[tuple[int, int], str]]:
        sign, new = TURNED[type(op)]
        if (at := text.find(sign.encode(), span(left)[1], span(right)[0])) >= 0:
            yield (at, at + len(sign)), new

    def of_node(node: ast.AST) -> Iterator[tuple[tuple[int, int], str]]:
        match node:
            case ast.Compare():
                for op, left, right in zip(node.ops, (node.left, *node.comparators), node.comparators, strict=False):
                    yield from between(left, right, op)
            case ast.BinOp() if type(node.op) in TURNED and not _of_text(node):
                yield from between(node.left, node.right, node.op)
            case ast.BoolOp():
                for left, right in pairwise(node.values):
                    yield from between(left, right, node.op)
            case ast.UnaryOp(op=ast.Not()):
                yield (span(node)[0], span(node)[0] + len("not ")), ""
            case ast.Constant(value=bool()):
                yield span(node), str(not node.value)
            case ast.Constant(value=int() | float() as number):
                yield span(node), _moved(number)
            case ast.Name() if node.id in NAMES:
                yield span(node), NAMES[node.id]
            case ast.If() if isinstance(node.body[0], ast.Raise | ast.Return | ast.Continue) and not node.orelse:
                yield span(node.test), "False"

    for node, lines in _running(ast.parse(text), (1, 1)):
        for where, new in of_node(node):
            yield where, new, lines


def _moved(number: float) -> str:
    """A tenth more; of a small count, one more."""
    if isinstance(number, float):
        return repr(number * 1.1 or 1.0)
    return repr(number + 1 if number < 10 else round(number * 11 / 10))


def _of_text(node: ast.BinOp) -> bool:
    """A place in a folder, or words put together: turned, they only break."""
    return any(isinstance(part, ast.JoinedStr) or (isinstance(part, ast.Constant) and isinstance(part.value, str))
               for part in (node.left, node.right))


def _running(tree: ast.AST, lines: tuple[int, int]) -> Iterator[tuple[ast.AST, tuple[int, int]]]:
    """All that runs, with the lines of its statement: no annotation, nothing that only a type checker reads, no start of a program."""
    if isinstance(tree, ast.If) and ast.unparse(tree.test) in ("TYPE_CHECKING", "__name__ == '__main__'"):
        return
    if isinstance(tree, ast.stmt):
        header = next((part.lineno - 1 for part in getattr(tree, "body", ())), tree.end_lineno or tree.lineno)
        lines = tree.lineno, max(tree.lineno, header)
    yield tree, lines
    for name, part in ast.iter_fields(tree):
        if name not in ("annotation", "returns", "type_params", "decorator_list"):
            for child in part if isinstance(part, list) else [part]:
                if isinstance(child, ast.AST):
                    yield from _running(child, lines)
