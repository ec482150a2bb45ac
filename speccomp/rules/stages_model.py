"""Manual pages of the rules that are reported while values and names are read."""

from collections.abc import Mapping

from speccomp.rules.rule import pages

_LOOK = """
                steps:
                  - id: look
                    operation: inspect
                    do: Look at the seal of each part."""

PAGES: Mapping[str, str] = pages(
    {
        "value.malformed": f"""
            A value cannot be read: its number, its unit or its tolerance.

            Why: a value that is read wrongly is worse than one that is refused.
            Source: the grammar of values of the file format; units by the SI Brochure and NIST
                SP 811.
            Bad:{_LOOK}
                    limits:
                      seal length: {{value: 80 +- one mm, gauge: caliper}}
            Good:{_LOOK}
                    limits:
                      seal length: {{value: 80 ± 1 mm, gauge: caliper}}
            """,
        "value.no-tolerance": f"""
            A limit is a bare target without tolerance.

            Why: no measurement is exactly 80 mm, so nobody can say whether it passes.
            Source: IATF 16949:2016, Annex A: specification and tolerance.
            Bad:{_LOOK}
                    limits:
                      seal length: {{value: 80 mm, gauge: caliper}}
            Good:{_LOOK}
                    limits:
                      seal length: {{value: 80 ± 1 mm, gauge: caliper}}
            """,
        "value.unknown-kind": f"""
            A limit says it is of a kind that does not exist.

            Why: the kind decides how a value is converted and which gauges fit.
            Source: the kinds of values of the file format.
            Bad:{_LOOK}
                    limits:
                      seal strength: {{value: at least 2 MPa, kind: strength, method: Pull test}}
            Good:{_LOOK}
                    limits:
                      seal strength: {{value: at least 2 MPa, kind: stress, method: Pull test}}
            """,
        "value.no-such-date": """
            A date is on no calendar.

            Why: a waiver until 31 February never ends.
            Source: the Gregorian calendar, as in ISO 8601-1.
            Bad:
                date: 2026-02-31
            Good:
                date: 2026-02-28
            """,
        "reference.duplicate-id": f"""
            Two steps, or two limits of a step, have the same id.

            Why: the id tells moved from changed when two revisions are compared.
            Source: own rule of the file format.
            Bad:{_LOOK}
                    look_for: [{{what: seal, accept: No crack}}, {{what: Seal, accept: No gap}}]
            Good:{_LOOK}
                    look_for: [{{what: seal, accept: No crack}}, {{what: edge, accept: No gap}}]
            """,
        "reference.unknown-material": """
            A name is used that is no material of the definition.

            Why: without its card nothing is known about it, hazards included.
            Source: ISO/TR 10013:2001, 4.5.2: the resources are defined.
            Bad:
                ratio: {by: weight, powder: 100, liqiud: 26 ± 1}
            Good:
                ratio: {by: weight, powder: 100, liquid: 26 ± 1}
            """,
        "reference.unknown-equipment": f"""
            A name is used that is no equipment of the plant file.

            Why: without its figures nobody can tell whether it holds the limits.
            Source: ISO/TR 10013:2001, 4.5.2: the resources are defined.
            Bad:{_LOOK}
                    limits:
                      seal length: {{value: 80 ± 1 mm, gauge: calliper}}
            Good:{_LOOK}
                    limits:
                      seal length: {{value: 80 ± 1 mm, gauge: caliper}}
            """,
        "reference.unknown-reaction": f"""
            A name is used that is no reaction plan of the definition or the plant.

            Why: a reaction plan that does not exist cannot be followed.
            Source: IATF 16949:2016, Annex A: reaction plan.
            Bad:{_LOOK}
                    look_for: [{{what: seal, accept: No crack, reaction: hold-and-cal}}]
            Good:{_LOOK}
                    look_for: [{{what: seal, accept: No crack, reaction: hold-and-call}}]
            """,
        "reference.unknown-record": f"""
            A name is used that is no record of the definition or the plant.

            Why: a form that does not exist cannot be filled in.
            Source: ISO/TR 10013:2001, 4.5.2: records that the work makes are named.
            Bad:{_LOOK}
                    look_for: [{{what: seal, accept: No crack, record: bach-record}}]
            Good:{_LOOK}
                    look_for: [{{what: seal, accept: No crack, record: batch-record}}]
            """,
        "reference.unknown-role": """
            A name is used that is no role of the plant file.

            Why: a role that does not exist can neither check nor approve.
            Source: ISO 9001:2015, 5.3: responsibilities are assigned (from memory).
            Bad:
                author: {name: R. Example, role: engineer}
            Good:
                author: {name: R. Example, role: manufacturing-engineer}
            """,
        "reference.unknown-special-characteristic": f"""
            A name is used that is no class of special characteristics of the plant file.

            Why: the mark of the class could not be printed.
            Source: IATF 16949:2016, 8.3.3.3: special characteristics are marked.
            Bad:{_LOOK}
                    look_for:
                      - {{what: seal, accept: No crack, special: saftey, method: Dye penetrant}}
            Good:{_LOOK}
                    look_for:
                      - {{what: seal, accept: No crack, special: safety, method: Dye penetrant}}
            """,
        "reference.unknown-step": """
            A caution stands before a step that does not exist.

            Why: the caution would be printed nowhere.
            Source: IEC/IEEE 82079-1: safety notes stand before the step concerned (from memory).
            Bad:
                cautions:
                  - topic: hot-oven
                    signal: caution
                    hazard: The oven is hot.
                    consequence: Touching it burns the skin.
                    avoid: Wear heat-resistant gloves.
                    before: [bake]
            Good:
                cautions:
                  - topic: hot-oven
                    signal: caution
                    hazard: The oven is hot.
                    consequence: Touching it burns the skin.
                    avoid: Wear heat-resistant gloves.
                    before: [cure]
            """,
        "reference.unknown-parameter": """
            A definition sets a parameter that the step block does not have.

            Why: mostly the name is mistyped, and the block runs with its default.
            Source: own rule of the file format.
            Bad:
                steps:
                  - {id: roll, use: roll.yaml, set: {material: powder, matreial: powder}}
            Good:
                steps:
                  - {id: roll, use: roll.yaml, set: {material: powder}}
            """,
        "reference.missing-parameter": """
            A step block needs a value that the definition does not set.

            Why: the steps of the block would be printed with a gap.
            Source: own rule of the file format.
            Bad:
                steps:
                  - {id: roll, use: roll.yaml}
            Good:
                steps:
                  - {id: roll, use: roll.yaml, set: {material: powder}}
            """,
        "caution.incomplete": """
            A caution lacks its signal word, hazard, consequence or avoidance.

            Why: people heed a caution when they see what happens and what to do.
            Source: ANSI Z535.6 and IEC/IEEE 82079-1: the parts of a safety message (from memory).
            Bad:
                cautions:
                  - topic: hot-oven
                    signal: caution
                    hazard: The oven is hot.
                    avoid: Wear heat-resistant gloves.
            Good:
                cautions:
                  - topic: hot-oven
                    signal: caution
                    hazard: The oven is hot.
                    consequence: Touching it burns the skin.
                    avoid: Wear heat-resistant gloves.
            """,
        "caution.pack-incomplete": """
            A topic of a plant's own caution pack is new and does not say all it must.

            Why: a caution without a cause, a place or a text warns nobody.
            Source: own rule of the file format.
            Bad:
                # plant.yaml
                caution_packs: [pack.yaml]
                # pack.yaml
                topics:
                  - topic: wire-ends
                    title: Sharp wire ends
                    signal: caution
                    hazard: The wire ends are sharp.
            Good:
                # plant.yaml
                caution_packs: [pack.yaml]
                # pack.yaml
                topics:
                  - topic: wire-ends
                    title: Sharp wire ends
                    signal: caution
                    stands: up front
                    when: [{operation: [pack]}]
                    hazard: The wire ends are sharp.
                    consequence: They cut fingers.
                    avoid: Bend the ends over.
                    source: common practice, no source
            """,
        "caution.pack-loosens": """
            A plant makes a caution weaker than the caution packs before it have it.

            Why: what is built in is the least; where it does not fit, somebody has to say so in a
                waiver, with name and date.
            Source: own rule; the plant's policy says who may waive.
            Bad:
                # plant.yaml
                caution_packs: [pack.yaml]
                # pack.yaml
                topics:
                  - topic: mixer-entangle
                    signal: caution
            Good:
                # plant.yaml
                caution_packs: [pack.yaml]
                # pack.yaml
                topics:
                  - topic: mixer-entangle
                    signal: danger
            """,
    }
)
