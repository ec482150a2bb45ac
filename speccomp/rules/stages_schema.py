"""Manual pages of the rules that are reported while files are compared with their schemas."""

from collections.abc import Mapping

from speccomp.rules.rule import pages

PAGES: Mapping[str, str] = pages(
    {
        "schema.unknown-kind": """
            A file does not say what it is.

            Why: a definition, a card, a plant file and a step block are told by one key each.
            Source: own rule of the file format.
            Bad: a file that starts with `title` and has none of the keys process, material, plant
                and block
            Good: a file that starts with `process: PD-117`
            """,
        "schema.unread": """
            A file has so many faults of form that the rest of them is not told.

            Why: nobody reads a hundred messages; mostly the first one explains the others.
            Source: own rule of the file format.
            Bad: a file with hundreds of keys that are not known
            Good: the same file without them
            """,
        "schema.unknown-key": """
            A key is not known in its place.

            Why: a mistyped key would be passed over, and what it says with it.
            Source: the schemas of the file format.
            Bad:
                depratment: Quality
            Good:
                department: Quality
            """,
        "schema.missing-key": """
            A key is missing that its place needs.

            Why: a document without number, date or author is no controlled document.
            Source: the schemas of the file format; ISO 9001:2015, 7.5.2 a, for the title block.
            Bad:
                author: {name: R. Example}
            Good:
                author: {name: R. Example, role: manufacturing-engineer}
            """,
        "schema.not-one-of": """
            A value is none of those that are possible.

            Why: an operation that is not known cannot be checked.
            Source: the schemas of the file format.
            Bad:
                phase: serial
            Good:
                phase: production
            """,
        "schema.wrong-type": """
            A text stands where a list or mapping is expected, or the other way round.

            Why: what it means would be a guess.
            Source: the schemas of the file format.
            Bad:
                parts: TH-8
            Good:
                parts:
                  - {number: TH-8, name: Tubular heater, drawing: D-4410 rev 3}
            """,
        "schema.empty": """
            A field is empty, or holds less than it needs.

            Why: mostly something was to be filled in and was forgotten.
            Source: the schemas of the file format.
            Bad:
                purpose: ""
            Good:
                purpose: Close the end of the sheath.
            """,
        "schema.out-of-bounds": """
            A number lies outside what is possible for its field.

            Why: a number of that size is a slip of the finger.
            Source: the schemas of the file format.
            Bad:
                batch: {parts: 0, loss: 8 %}
            Good:
                batch: {parts: 12, loss: 8 %}
            """,
        "schema.malformed": """
            A text does not have the form that its field needs.

            Why: dates, ids and periods are compared and sorted by their form.
            Source: the schemas of the file format; ISO 8601-1 for dates.
            Bad:
                date: 2 March 2026
            Good:
                date: 2026-03-02
            """,
        "schema.misplaced-key": """
            A key stands at an operation or a type of equipment that it is not for.

            Why: mostly the operation is wrong, and the checks would look at the wrong work.
            Source: the schemas of the file format.
            Bad:
                steps:
                  - id: look
                    operation: inspect
                    do: Look at the seal of each part.
                    look_for: [{what: seal, accept: No crack}]
                    keep: 2 years
            Good:
                steps:
                  - id: keep-sample
                    operation: retain-sample
                    material: powder
                    do: Fill the sample jar.
                    with: [bench-scale]
                    keep: 2 years
                    limits: {amount: 100 ± 10 g}
                  - id: look
                    operation: inspect
                    do: Look at the seal of each part.
                    look_for: [{what: seal, accept: No crack}]
            """,
    }
)
