"""Tell for each heading of a table in a PDF what it is the heading of."""

from collections.abc import Iterator
from typing import Any

from pydyf import Array

Element = dict[str, Any]


def scope_headings(elements: list[Any]) -> None:
    """
    Give the headings of every table their scope (ISO 32000-1, table 349).

    Where headings would outnumber the data, as in a table of one line or of two columns, the first
    cells of the lines are data: a reading device takes such a table for one built of headings.
    """
    for table in elements:
        if isinstance(table, dict) and table.get("S") == "/Table":
            rows = [list(_children(elements, row)) for row in _rows(elements, table)]
            body = [row for row in rows if any(cell["S"] == "/TD" for cell in row)]
            for row in rows:
                scope = "/Row" if row in body else "/Column"
                for cell in row:
                    if cell["S"] == "/TH":
                        cell["A"]["Scope"] = scope
            cells = [cell["S"] for row in rows for cell in row]
            if cells.count("/TH") > cells.count("/TD"):
                heads = next((row for row in rows if row not in body), [])
                for row in body:
                    _without_row_heading(row, heads)


def _without_row_heading(row: list[Element], heads: list[Element]) -> None:
    """Make data of the headings of a line, under the heading of their column."""
    names = {str(cell.get("ID")) for cell in row if cell["S"] == "/TH"}
    for cell, head in zip(row, heads, strict=False):
        headers = cell["A"].get("Headers")
        if cell["S"] == "/TH":
            cell["S"] = "/TD"
            del cell["A"]["Scope"]
            cell["A"]["Headers"] = Array([head["ID"]])
        elif headers is not None:
            headers[:] = [name for name in headers if str(name) not in names]


def _rows(elements: list[Any], element: Element) -> Iterator[Element]:
    for child in _children(elements, element):
        if child["S"] == "/TR":
            yield child
        elif child["S"] in ("/THead", "/TBody", "/TFoot"):
            yield from _rows(elements, child)


def _children(elements: list[Any], element: Element) -> Iterator[Element]:
    for reference in element.get("K", ()):
        if isinstance(reference, bytes):
            child = elements[int(reference.split()[0])]
            if isinstance(child, dict) and "S" in child:
                yield child
