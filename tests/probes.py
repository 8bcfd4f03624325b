"""Which statements of a module run and which way its branches go, told by probes in its code.

Coverage.py asks the interpreter to trace, which before Python 3.12 slows all that runs, Django and NumPy too: the whole
run took half as long again. A probe is one assignment, and stands only in what is measured. What the probes tell is put
in coverage.py's terms, and coverage.py counts and reports it: see `branch_coverage.py`.
"""

import ast
from collections import defaultdict
from collections.abc import Iterable, Iterator

from coverage.config import DEFAULT_EXCLUDE
from coverage.parser import PythonParser

HITS = "__hits__"  # the global of a module whose probe number n writes into place n

Branch = ast.If | ast.For | ast.AsyncFor | ast.While
Arc = tuple[int, int]


class Probed(ast.NodeTransformer):
    """The code of a module with a probe before every statement and at both ends of every branch.

    `lines[n]` are the lines that run where probe n does, `turns[n]` the branch that is taken there: its line, the lines
    of its body, and whether it is the body that follows.
    """

    def __init__(self, source: bytes) -> None:
        self.lines: list[tuple[int, ...]] = []
        self.turns: list[tuple[int, range, bool] | None] = []
        self.tree = ast.fix_missing_locations(self.visit(ast.parse(source)))

    def _probe(self, at: ast.stmt, lines: Iterable[int], turn: tuple[int, range, bool] | None = None) -> ast.stmt:
        place = ast.Subscript(ast.Name(HITS, ast.Load()), ast.Constant(len(self.lines)), ast.Store())
        self.lines.append(tuple(lines))
        self.turns.append(turn)
        return ast.copy_location(ast.Assign([place], ast.Constant(1)), at)

    def generic_visit(self, node: ast.AST) -> ast.AST:
        for name in ("body", "orelse", "finalbody"):
            statements = getattr(node, name, None)
            if isinstance(statements, list):
                setattr(node, name, list(self._with_probes(statements)))
        tried: list[int] = []  # a handler is asked after those before it
        for handler in getattr(node, "handlers", []):
            tried.append(handler.lineno)
            self.visit(handler)
            handler.body.insert(0, self._probe(handler.body[0], tried))
        if isinstance(node, ast.Match):
            raise NotImplementedError("no probe knows of `match` yet: teach `Probed` its cases, or write `if`")
        if isinstance(node, Branch) and not _always(node):
            self._tell_turns(node)
        return node

    def _with_probes(self, statements: list[ast.stmt]) -> Iterator[ast.stmt]:
        for n, statement in enumerate(statements):
            if not _must_lead(n, statement):
                decorators = getattr(statement, "decorator_list", [])
                yield self._probe(statement, [statement.lineno, *(one.lineno for one in decorators)])
            yield self.visit(statement)

    def _tell_turns(self, node: Branch) -> None:
        body = range(node.body[0].lineno, (node.body[-1].end_lineno or 0) + 1)
        node.body.insert(0, self._probe(node.body[0], (), (node.lineno, body, True)))
        node.orelse.insert(0, self._probe(node, (), (node.lineno, body, False)))


def _always(node: Branch) -> bool:
    return isinstance(node, ast.While) and isinstance(node.test, ast.Constant)


def _must_lead(n: int, statement: ast.stmt) -> bool:
    """Tell whether nothing may stand before a statement: a docstring, or what is imported from the future."""
    if isinstance(statement, ast.ImportFrom) and statement.module == "__future__":
        return True
    return n == 0 and isinstance(statement, ast.Expr) and isinstance(statement.value, ast.Constant)


def arcs_of(source: bytes, hits: Iterable[int]) -> set[Arc]:
    """Return coverage.py's arcs of what ran: into every line, and from each branch to where it went."""
    if not source.strip():
        return set()
    parser = PythonParser(text=source.decode("utf-8"), exclude="|".join(DEFAULT_EXCLUDE))
    parser.parse_source()
    follows: dict[int, set[int]] = defaultdict(set)
    for start, end in parser.arcs():
        follows[start].add(end)
    probed, found = Probed(source), set()
    for n in hits:
        found |= {(-1, parser.first_line(line)) for line in probed.lines[n]}
        if turn := probed.turns[n]:
            line, body, into = turn
            found |= {(line, end) for end in follows[line] if (end in body) == into}
    return found
