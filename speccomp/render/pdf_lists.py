"""Put the text of list items that run on in one line inside the items, in a PDF's structure."""

from typing import Any

Element = dict[str, Any]


def gather_items(elements: list[Any]) -> None:
    """
    Move what stands between the items of a list into the item before it (ISO 32000-1, 14.8.4.3.3).

    The renderer leaves the text of an item beside it where items run on in one line.
    """
    for element in elements:
        if isinstance(element, dict) and element.get("S") == "/L":
            _gather(elements, element)


def _gather(elements: list[Any], found: Element) -> None:
    body: Element | None = None
    body_reference = b""
    kept = []
    for reference in found["K"]:
        child = _element(elements, reference)
        if child is not None and child["S"] in ("/LI", "/Caption"):
            kept.append(reference)
            body_reference = _body_of(elements, child)
            body = _element(elements, body_reference)
        elif child is not None and body is not None:
            body["K"].append(reference)
            child["P"] = body_reference
        else:
            kept.append(reference)
    found["K"][:] = kept


def _body_of(elements: list[Any], item: Element) -> bytes:
    """Return the reference of the last body of an item, or nothing."""
    for reference in reversed(item.get("K", [])):
        child = _element(elements, reference)
        if child is not None and child["S"] == "/LBody":
            return bytes(reference)
    return b""


def _element(elements: list[Any], reference: object) -> Element | None:
    if not isinstance(reference, bytes) or not reference:
        return None
    found = elements[int(reference.split()[0])]
    return found if isinstance(found, dict) and "S" in found else None
