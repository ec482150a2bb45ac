"""Manual pages of the rules about waivers, and about the program itself."""

from collections.abc import Mapping

from speccomp.rules.rule import pages

_FAULT = """
                steps:
                  - id: look
                    operation: inspect
                    do: Look at the seal carefully.
                    look_for: [{what: seal, accept: No crack}]
                waivers:
                  - finding: wording.vague"""
_REST = """
                    why: The floor knows what is meant.
                    by: R. Example"""

PAGES: Mapping[str, str] = pages(
    {
        "waiver.unknown-rule": f"""
            A waiver names a rule that does not exist.

            Why: it covers nothing, and the finding it was meant for is reported.
            Source: own rule of the file format.
            Bad:
                waivers:
                  - finding: wording.vauge
                    at: look{_REST}
                    until: 2027-03-31
            Good:{_FAULT}
                    at: look{_REST}
                    until: 2027-03-31
            """,
        "waiver.pointless": f"""
            A waiver covers no finding.

            Why: the fault is cured, or the waiver names the wrong place; a stale waiver hides the
                next fault of its kind.
            Source: common practice, no source.
            Bad:{_FAULT}
                    at: mix{_REST}
                    until: 2027-03-31
            Good:{_FAULT}
                    at: look{_REST}
                    until: 2027-03-31
            """,
        "waiver.expired": f"""
            A waiver has ended.

            Why: a deviation is accepted for a time, not for ever.
            Source: IATF 16949:2016, 8.5.6.1.1: temporary changes have an end (from memory).
            Bad:{_FAULT}
                    at: look{_REST}
                    until: 2026-03-31
            Good:{_FAULT}
                    at: look{_REST}
                    until: 2027-03-31
            """,
        "waiver.too-long": f"""
            A waiver holds for more than two years after the date of the revision.

            Why: what is accepted for that long is no deviation; it belongs into the process.
            Source: common practice, no source.
            Bad:{_FAULT}
                    at: look{_REST}
                    until: 2036-03-31
            Good:{_FAULT}
                    at: look{_REST}
                    until: 2027-03-31
            """,
        "waiver.not-allowed": f"""
            A waiver is for a rule that cannot be waived.

            Why: a file that cannot be understood stays so, whoever accepts it; and a plant may
                say which findings nobody may accept.
            Source: common practice, no source.
            Bad:
                # plant.yaml
                waiver_policy: {{never: [wording]}}
                # definition.yaml{_FAULT}
                    at: look{_REST}
                    until: 2027-03-31
            Good:
                # plant.yaml
                waiver_policy: {{never: [cure]}}
                # definition.yaml{_FAULT}
                    at: look{_REST}
                    until: 2027-03-31
            """,
        "waiver.not-authorised": f"""
            A waiver comes from a role that the plant does not let waive.

            Why: who carries the risk has to be the one to accept it.
            Source: ISO 9001:2015, 8.7: concessions come from a relevant authority (from memory).
            Bad:
                # plant.yaml
                waiver_policy: {{roles: [quality-engineer]}}
                # definition.yaml{_FAULT}
                    at: look{_REST}
                    until: 2027-03-31
            Good:
                # plant.yaml
                waiver_policy: {{roles: [quality-engineer]}}
                # definition.yaml{_FAULT}
                    at: look{_REST}
                    role: quality-engineer
                    until: 2027-03-31
            """,
        "internal.rule-crashed": """
            A rule of this program failed.

            Why: a check that did not run must not look like one that passed, so nothing can be
                released while it lasts.
            Source: own rule of the program.
            Bad: a rule that divides by the size of an empty batch
            Good: the same rule corrected; report the fault with the files that show it
            """,
    }
)
