"""
Put right what the PDF renderer leaves undone in a file's structure, before it is written.

Running headers and footers become artifacts, so that a reading device does not speak them on
every page; headings of tables get their scope; associated files are listed once; the metadata
declares what the file is made for.
"""

from typing import Any, Protocol

from speccomp.render.pdf_lists import gather_items
from speccomp.render.pdf_tables import scope_headings

# PDF/UA-1 (ISO 14289-1, clause 5), and the description of its property that PDF/A-3 asks for
# (ISO 19005-3, 6.6.2.3.2) because it is none of those that XMP itself defines.
_DECLARED = b"""\
<rdf:Description rdf:about="" xmlns:pdfuaid="http://www.aiim.org/pdfua/ns/id/" pdfuaid:part="1"/>
<rdf:Description rdf:about=""
 xmlns:pdfaExtension="http://www.aiim.org/pdfa/ns/extension/"
 xmlns:pdfaSchema="http://www.aiim.org/pdfa/ns/schema#"
 xmlns:pdfaProperty="http://www.aiim.org/pdfa/ns/property#">
<pdfaExtension:schemas><rdf:Bag><rdf:li rdf:parseType="Resource">
<pdfaSchema:schema>PDF/UA identification schema</pdfaSchema:schema>
<pdfaSchema:namespaceURI>http://www.aiim.org/pdfua/ns/id/</pdfaSchema:namespaceURI>
<pdfaSchema:prefix>pdfuaid</pdfaSchema:prefix>
<pdfaSchema:property><rdf:Seq><rdf:li rdf:parseType="Resource">
<pdfaProperty:name>part</pdfaProperty:name>
<pdfaProperty:valueType>Integer</pdfaProperty:valueType>
<pdfaProperty:category>internal</pdfaProperty:category>
<pdfaProperty:description>Part of ISO 14289 the file conforms to</pdfaProperty:description>
</rdf:li></rdf:Seq></pdfaSchema:property>
</rdf:li></rdf:Bag></pdfaExtension:schemas>
</rdf:Description>
"""
_END = b"</rdf:RDF>"


class PdfFile(Protocol):
    """What is needed of a file that the renderer builds."""

    objects: list[Any]
    catalog: dict[str, Any]
    pages: dict[str, Any]


def finish_structure(pdf: PdfFile) -> None:
    """Finish a PDF that is complete but for its trailer."""
    _mark_artifacts(pdf)
    _drop_empty_spans(pdf.objects)
    gather_items(pdf.objects)
    scope_headings(pdf.objects)
    _declare(pdf)
    if "AF" in pdf.catalog:
        pdf.catalog["AF"][:] = dict.fromkeys(pdf.catalog["AF"])


def _drop_empty_spans(elements: list[Any]) -> None:
    """Take spans without content, such as boxes to tick, out of the elements that hold them."""
    empty = {
        f"{number} 0 R".encode()
        for number, element in enumerate(elements)
        if isinstance(element, dict) and element.get("S") == "/Span" and not element.get("K")
    }
    for element in elements:
        if isinstance(element, dict) and "S" in element and isinstance(element.get("K"), list):
            element["K"][:] = [child for child in element["K"] if child not in empty]


def _declare(pdf: PdfFile) -> None:
    """Declare PDF/UA-1 in the XMP metadata."""
    metadata = pdf.objects[int(pdf.catalog["Metadata"].split()[0])].stream
    metadata[:] = [
        part.replace(_END, _DECLARED + _END) if isinstance(part, bytes) else part
        for part in metadata
    ]


def _mark_artifacts(pdf: PdfFile) -> None:
    """Make an artifact of all content whose element stands outside the structure tree."""
    root = _object(pdf, pdf.catalog["StructTreeRoot"])
    inside = _inside_tree(pdf, root)
    numbers = _object(pdf, root["ParentTree"])["Nums"]
    parents = dict(zip(numbers[::2], numbers[1::2], strict=True))
    for reference in pdf.pages["Kids"][::3]:
        page = pdf.objects[reference]
        elements = parents[page["StructParents"]]
        outside = {index for index, element in enumerate(elements) if element not in inside}
        _unmark(pdf.objects[int(page["Contents"].split()[0])].stream, outside)
        for index in outside:
            elements[index] = "null"


def _inside_tree(pdf: PdfFile, root: dict[str, Any]) -> set[bytes]:
    inside: set[bytes] = set()
    waiting = list(root["K"])
    while waiting:
        reference = waiting.pop()
        if isinstance(reference, bytes) and reference not in inside:
            inside.add(reference)
            waiting.extend(_object(pdf, reference).get("K", ()))
    return inside


def _unmark(operations: list[Any], outside: set[int]) -> None:
    """Replace the marks of these content ids by the mark of an artifact."""
    for place, operation in enumerate(operations):
        if isinstance(operation, dict) and operation.get("MCID") in outside:
            operations[place - 1 : place + 2] = ["/Artifact", "", b"BMC"]


def _object(pdf: PdfFile, reference: bytes) -> dict[str, Any]:
    """Return the dictionary that a reference such as `12 0 R` names."""
    found: dict[str, Any] = pdf.objects[int(reference.split()[0])]
    return found
