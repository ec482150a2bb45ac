"""Where in the files a value of the canonical form stands, as precisely as can be told."""

from dataclasses import dataclass, field

from speccomp.compare.canonical import Canonical
from speccomp.compare.paths import Path
from speccomp.findings import Span
from speccomp.source.project import Sources
from speccomp.source.tree import Path as FilePath
from speccomp.source.tree import Tree

# What a field of the model is called in the files, where that is another word.
_CALLED: dict[str, tuple[FilePath, ...]] = {
    "actions": (("do",),),
    "equipment": (("with",),),
    "records": (("record",),),
    "requirement": (("value",), ("accept",)),
    "temperature": (("at",), ("to",)),
    "time": (("for",), ("time",)),
    "rate": (("at",),),
    "name": (("what",), ("name",)),
    "condition": (("when",),),
    "cures": (("cure",),),
    "dry_at": (("dry", "at"),),
    "dry_for": (("dry", "for"),),
    "final_at": (("final", "at"),),
    "final_for": (("final", "for"),),
    "storage_temperature": (("storage", "temperature"),),
    "storage_humidity": (("storage", "humidity"),),
    "storage_note": (("storage", "note"),),
    "turn_over": (("storage", "turn_over"),),
    "source_title": (("source", "title"),),
    "source_date": (("source", "date"),),
    "shop_temperature": (("shop", "temperature"),),
    "shop_humidity": (("shop", "humidity"),),
    "partner_first": (("first",),),
    "validated_temperature": (("validated",),),
    "validated_time": (("validated",),),
    "validated_rate": (("validated",),),
}
_WRAPPERS = ("hold", "ramp")


@dataclass(slots=True)
class Places:
    """
    Looks up the places of one revision.

    The model knows the place of each object; with the trees of its files, a field of an object
    is found there too.
    """

    form: Canonical
    sources: Sources | None = None
    _paths: dict[str, dict[Span, FilePath]] = field(default_factory=dict)

    def span(self, path: Path) -> Span | None:
        """Return the place of a value, or of the nearest one around it; None for none."""
        for length in range(len(path), -1, -1):
            span = self.form.spans.get(path[:length])
            if span is not None:
                rest = [part for part in path[length:] if isinstance(part, str)]
                return self._inside(span, rest) or span
        return None

    def _inside(self, span: Span, rest: list[str]) -> Span | None:
        """Return the place of a field of the object at a place; None where the tree is missing."""
        tree = self.sources.trees.get(span.file) if self.sources else None
        start = self._file_path(tree, span) if tree else None
        if tree is None or start is None or not rest:
            return None
        for offered in _CALLED.get(rest[0], ((rest[0],),)):
            for wrapper in ((), *((name,) for name in _WRAPPERS)):
                wanted = (*start, *wrapper, *offered)
                if wanted in tree.nodes:
                    return tree.nodes[wanted].value
        return None

    def _file_path(self, tree: Tree, span: Span) -> FilePath | None:
        """Return the path in the file of the object that the model places there."""
        known = self._paths.get(tree.file)
        if known is None:
            known = {}
            for path, node in reversed(tree.nodes.items()):
                known[node.value] = path
                if node.key is not None:
                    known[node.key] = path
            self._paths[tree.file] = known
        found = known.get(span)
        # A step and a document are placed at their id.
        return found[:-1] if found and found[-1] in ("id", "process") else found
