"""Manual pages of what the comparison with the previous revision reports."""

from collections.abc import Mapping

from speccomp.rules.rule import pages

_NOTE = """
                revision: C
                change:
                  from: B
                  why: Discs gapped in winter.
                  summary: Longer drying hold."""

PAGES: Mapping[str, str] = pages(
    {
        "revision.class-contradicts": f"""
            The change note makes less of the change than the comparison with the previous
            revision does.

            Why: who approves a change, and whether the process is qualified again, hangs on its
                class; a cure that moves under the word editorial passes nobody who would stop it.
            Source: ISO 9001:2015, 8.5.6: changes are reviewed; 21.A.91 of Regulation (EU) No
                748/2012 lets the class of a change decide who approves it (from memory).
            Bad:{_NOTE}
                  class: editorial
                  previous: ../revisions/PD-117/B.yaml
            Good:{_NOTE}
                  class: requalification
                  previous: ../revisions/PD-117/B.yaml
            """,
        "revision.duplicate": """
            Two files that are checked together have the same number and revision.

            Why: the documents of one would replace those of the other, and nobody could tell
                which of the two a print is of.
            Source: ISO 9001:2015, 7.5.2 a: documents are identified.
            Bad: a copy of a definition beside it, with the same `process` and `revision`
            Good: a copy with a number of its own
            """,
        "revision.previous-differs": f"""
            The file that the change note names as the previous revision is another document or
            another revision.

            Why: compared with the wrong revision, a change looks smaller or larger than it is.
            Source: ISO 9001:2015, 7.5.3.2 c: changes are controlled.
            Bad:{_NOTE}
                  previous: ../revisions/PD-117/A.yaml
            Good:{_NOTE}
                  previous: ../revisions/PD-117/B.yaml
            """,
        "revision.removal-unexplained": f"""
            A limit, or one side of it, was removed since the previous revision, and the change
            note gives no reason for it.

            Why: what was forbidden is now allowed; an approver who does not learn why can only
                guess whether anyone thought about it.
            Source: ISO 9001:2015, 8.5.6: the result of the review of a change is kept, with what
                follows from it.
            Bad:{_NOTE}
                  class: control
                  previous: ../revisions/PD-117/B.yaml
            Good:{_NOTE}
                  class: control
                  previous: ../revisions/PD-117/B.yaml
                  reasons:
                    - {{at: mix/room-temperature, why: The mixing room is air-conditioned now.}}
            """,
        "revision.statement-unmatched": f"""
            The change note gives a reason for something that did not change, or calls a
            replacement like for like that did not happen.

            Why: a statement that fits nothing is mistyped, and the change that it was meant for
                has none.
            Source: own rule of the file format.
            Bad:{_NOTE}
                  reasons:
                    - {{at: mix/rom-temperature, why: The mixing room is air-conditioned now.}}
            Good:{_NOTE}
                  reasons:
                    - {{at: mix/room-temperature, why: The mixing room is air-conditioned now.}}
            """,
        "revision.language-stale": """
            The language of the definition is another one than in the previous revision, and its
            texts are the same.

            Why: the document says that it is in a language in which nobody wrote it.
            Source: IATF 16949:2016, 8.5.1.2: work instructions are in the language of those who
                follow them (from memory).
            Bad:
                language: de
                purpose: Close the end of the sheath.
            Good:
                language: de
                purpose: Das Ende des Mantels verschließen.
            """,
        "revision.previous-unread": f"""
            The file of the previous revision is not there or cannot be read.

            Why: without it nobody can tell whether the class of the change is right. It is a
                warning, because the sources kept with a released revision hold that revision only.
            Source: own rule of the file format.
            Bad:{_NOTE}
                  previous: ../revisions/PD-117/b.yaml
            Good:{_NOTE}
                  previous: ../revisions/PD-117/B.yaml
            """,
    }
)
WARNINGS = frozenset({"revision.previous-unread", "revision.statement-unmatched"})
"""Those that are warnings; the others are errors."""
