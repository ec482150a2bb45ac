"""Manual pages of the rules that are reported while files are read."""

from collections.abc import Mapping

from speccomp.rules.rule import pages

PAGES: Mapping[str, str] = pages(
    {
        "source.not-found": """
            A file that is named does not exist.

            Why: a definition without its plant file or a card cannot be checked.
            Source: own rule of the file format.
            Bad:
                plant: plnat.yaml
            Good:
                plant: plant.yaml
            """,
        "source.not-readable": """
            A file that is named is a folder, or may not be read.

            Why: what cannot be read cannot be checked.
            Source: own rule of the file format.
            Bad:
                plant: .
            Good:
                plant: plant.yaml
            """,
        "source.outside-project": """
            A file lies outside the project folder.

            Why: the archive keeps the project folder; a file from elsewhere would be missing from
                it, and another user would read another file.
            Source: own rule of the file format.
            Bad:
                plant: /common/plant.yaml
            Good:
                plant: plant.yaml
            """,
        "source.backslash": """
            A path is written with backslashes.

            Why: it would mean a file on one kind of computer and none on the others.
            Source: own rule of the file format.
            Bad:
                plant: '.\\plant.yaml'
            Good:
                plant: ./plant.yaml
            """,
        "source.too-large": """
            A file is larger than what is read of one.

            Why: a definition of that size is no text that somebody wrote; the bound keeps a wrong
                file from filling the memory.
            Source: own rule of the file format.
            Bad: a process definition of two million bytes
            Good: several definitions, or step blocks, of some hundred lines each
            """,
        "source.too-many-files": """
            A definition draws in more files than are read for one.

            Why: the bound keeps a wrong reference from reading a whole disk.
            Source: own rule of the file format.
            Bad: a process definition with 250 material cards
            Good: a process definition with the cards of its materials
            """,
        "source.encoding": """
            A file is not UTF-8, or holds a character that does not show what it is.

            Why: `±` and `°` turn into other signs in other encodings; a hidden character makes
                two texts look the same that are not.
            Source: The Unicode Standard, UTF-8; hidden characters: own rule of the file format.
            Bad: a file saved as Windows-1252, in which `±` is the byte 0xB1
            Good: the same file saved as UTF-8
            """,
        "source.empty": """
            A file holds no entries.

            Why: mostly it was not saved.
            Source: own rule of the file format.
            Bad: a process definition of comments only
            Good: a process definition that starts with `process: PD-117`
            """,
        "source.not-a-mapping": """
            A file is a list or one piece of text, not keys with values.

            Why: each kind of file is told by the keys at its top.
            Source: own rule of the file format.
            Bad: a process definition that starts with `- process`
            Good: a process definition that starts with `process: PD-117`
            """,
        "source.multiple-documents": """
            A file holds more than one YAML document.

            Why: only one of them could be read, and nobody would see which.
            Source: YAML 1.2, chapter 9; that a file holds one is an own rule of the file format.
            Bad:
                contact: Process engineering
                ---
                department: Quality
            Good:
                contact: Process engineering
                department: Quality
            """,
        "source.syntax": """
            A line cannot be read as YAML.

            Why: what a line means must not depend on a guess.
            Source: YAML 1.2.
            Bad:
                contact: "Process engineering
            Good:
                contact: "Process engineering, extension 214"
            """,
        "source.comment-in-text": """
            A `#` in a text turns the rest of the line into a comment.

            Why: the rest of the sentence is missing from the document, and nobody sees it.
            Source: YAML 1.2, 6.6: comments.
            Bad:
                contact: Process engineering #214
            Good:
                contact: "Process engineering #214"
            """,
        "source.duplicate-key": """
            A key is given twice in the same place.

            Why: one of the two values would win, and nobody would see which.
            Source: YAML 1.2, 3.2.1.3: the keys of a mapping are unique.
            Bad:
                contact: Process engineering
                contact: Quality
            Good:
                contact: Process engineering
                department: Quality
            """,
        "source.complex-key": """
            A list, a mapping or an alias stands where a key is expected.

            Why: keys are names; mostly a text that begins with a bracket lacks its quotes.
            Source: own rule of the file format.
            Bad:
                [contact]: Process engineering
            Good:
                contact: Process engineering
            """,
        "source.merge-key": """
            A key `<<` merges other entries in.

            Why: what a step holds has to be seen where it stands.
            Source: own rule of the file format.
            Bad:
                parts:
                  - &heater {number: TH-8, name: Tubular heater, drawing: D-1 rev 1}
                  - {<<: *heater, number: TH-9}
            Good:
                parts:
                  - {number: TH-8, name: Tubular heater, drawing: D-1 rev 1}
                  - {number: TH-9, name: Tubular heater, drawing: D-1 rev 1}
            """,
        "source.tag": """
            A value carries a YAML tag.

            Why: tags can run code in other readers; what a value means is said by the schema.
            Source: own rule of the file format.
            Bad:
                contact: !str Process engineering
            Good:
                contact: Process engineering
            """,
        "source.undefined-alias": """
            An alias repeats something that nothing before it marks.

            Why: mostly a text that begins with `*` lacks its quotes.
            Source: YAML 1.2, 7.1: alias nodes.
            Bad:
                contact: *engineering
            Good:
                contact: "*engineering"
            """,
        "source.alias-bomb": """
            Aliases repeat so much that the file has no end, or grows beyond what is read.

            Why: a few lines could fill the memory.
            Source: own rule of the file format.
            Bad:
                parts: &all [*all]
            Good:
                parts:
                  - {number: TH-8, name: Tubular heater, drawing: D-1 rev 1}
            """,
        "source.too-deep": """
            Lists and mappings stand too deep inside one another.

            Why: no file of a plant needs it; mostly a text of brackets lacks its quotes.
            Source: own rule of the file format.
            Bad:
                scope: [[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[
                  ]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]
            Good:
                scope: all
            """,
        "source.unread": """
            A file has so many faults that the rest of it was not read.

            Why: nobody reads a hundred messages; mostly the first one explains the others.
            Source: own rule of the file format.
            Bad: a file with hundreds of keys given twice
            Good: the same file with each key once
            """,
        "source.block-nesting": """
            A step block uses another step block.

            Why: a reader would have to open a chain of files to see what is done.
            Source: own rule of the file format.
            Bad:
                # roll.yaml
                steps:
                  - {id: again, use: roll.yaml}
                # definition.yaml
                steps:
                  - {id: roll, use: roll.yaml, set: {material: powder}}
            Good:
                steps:
                  - {id: roll, use: roll.yaml, set: {material: powder}}
            """,
        "source.image": """
            A picture is no PNG, JPEG or SVG, is too large, or needs something from elsewhere.

            Why: a document must look the same in ten years, on a computer without a network.
            Source: ISO 19005-3 (PDF/A-3): nothing outside the file is needed.
            Bad:
                steps:
                  - id: look
                    operation: inspect
                    do: Look at the seal of each part.
                    look_for: [{what: seal, accept: No crack}]
                    images: [{file: plant.yaml, alt: A sound seal}]
            Good:
                steps:
                  - id: look
                    operation: inspect
                    do: Look at the seal of each part.
                    look_for: [{what: seal, accept: No crack}]
                    images: [{file: seal.svg, alt: A sound seal}]
            """,
    }
)
