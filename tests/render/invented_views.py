"""
Views of an invented plant and an invented process, as the document builders would make them.

All names, numbers and values are made up for the tests.
"""

import struct
import zlib
from dataclasses import replace

from speccomp.documents.views import (
    COLUMNS,
    Approval,
    CautionView,
    CharacteristicView,
    ControlPlan,
    ControlRow,
    ImageView,
    ReactionView,
    StepView,
    Table,
    TitleBlock,
    WorkInstruction,
)
from speccomp.render.pdf import Attachment

SOURCES = (
    Attachment("pd-117.yaml", "process: PD-117\ntitle: Naht · é\n".encode(), "application/yaml"),
    Attachment("materials/zircon.yaml", b"material: zircon\n", "application/yaml", "Material card"),
    Attachment("meaning.json", b'{"number":"PD-117"}', "application/json", "", "Data"),
)

TITLE = TitleBlock(
    owner="Invented Heater Works",
    site="Northfield (invented scenario)",
    number="PD-117",
    title="Seal the cold end of a 500 W cartridge heater",
    document_type="Work instruction",
    revision="C",
    date="2026-03-02",
    status="Draft",
    creator="R. Example",
    creator_role="Manufacturing engineer",
    approvals=(
        Approval("Process engineering", "", ""),
        Approval("Quality", "Q. Sample", "2026-03-01"),
        Approval("Safety", "", ""),
    ),
    department="Process engineering",
    contact="Extension 214",
    language="en",
    paper="A4",
    draft=True,
    footer_note=(
        "A print is not controlled: compare its number and revision with the register before use."
    ),
)

DUST = CautionView(
    "silica-dust",
    "warning",
    "WARNING",
    "The powder holds respirable crystalline silica.",
    "Breathing the dust over a long time damages the lungs and can cause cancer.",
    "Switch on the extraction before you open the container. Never sweep dry, never blow with air.",
    ("Half mask with P3 filter", "Safety goggles"),
)
ALKALINE = CautionView(
    "alkaline-liquid",
    "warning",
    "WARNING",
    "The liquid is strongly alkaline.",
    "It burns skin and can blind an eye.",
    "Wear goggles and gloves. Rinse a splash with water for 15 minutes and call for help.",
    ("Safety goggles", "Nitrile gloves"),
)
STEAM = CautionView(
    "steam",
    "danger",
    "DANGER",
    "Water that boils inside the seal bursts it.",
    "Hot fragments will injure eyes and face.",
    "Do not raise the oven above the drying temperature before the drying hold has ended.",
    (),
)
HOT = CautionView(
    "hot-parts",
    "caution",
    "CAUTION",
    "Parts and trays come out of the oven hot.",
    "They burn bare skin.",
    "Wear heat gloves until the parts have cooled to below 45 °C.",
    ("Heat gloves",),
)
SHELF = CautionView(
    "closed-containers",
    "notice",
    "NOTICE",
    "The liquid takes up carbon dioxide from the air.",
    "It gels, and the batch sets soft.",
    "Close the container at once after weighing.",
    (),
)

STOP = ReactionView(
    "stop-and-call",
    "Stop and call",
    (
        "Stop the work and leave everything where it is.",
        "Mark the batch “on hold” with the time.",
        "Call the shift lead; go on only when the shift lead says so in the batch record.",
    ),
    "Shift lead",
)
DISCARD = ReactionView(
    "discard-batch",
    "Discard the batch",
    (
        "Put the mixed material into the waste pail. Never thin it, never mix it again.",
        "Check all parts filled since the last good check.",
        "Clean bowl and tools, then begin again at step 3.",
    ),
    "Shift lead",
)


def _item(number, name, requirement, **other):
    fields = {
        "id": f"c-{number}",
        "number": number,
        "name": name,
        "requirement": requirement,
        "judged": False,
        "product": False,
        "special": "",
        "special_title": "",
        "technique": "Bench scale (S-12)",
        "sample": "1",
        "frequency": "each batch",
        "reaction": "Stop and call",
        "responsible": "Operator",
        "record": "Batch record",
        "inherited": frozenset({"record", "responsible"}),
    }
    return CharacteristicView(**(fields | other))


def _step(number, ident, title, operation, **other):
    fields = {
        "number": number,
        "id": ident,
        "title": title,
        "operation": operation,
        "responsible": "Operator",
        "cautions": (),
        "actions": (),
        "equipment": (),
        "gear": (),
        "characteristics": (),
        "facts": (),
        "why": "",
        "note": "",
        "if_not": (),
        "records": (),
        "images": (),
    }
    return StepView(**(fields | other))


def png(width=320, height=160):
    """Return a small picture: a grey step wedge."""
    rows = b"".join(
        b"\0" + bytes(255 - 200 * (x * 8 // width) // 8 for x in range(width))
        for _ in range(height)
    )

    def chunk(kind, data):
        return (
            struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
        )

    head = struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0)
    body = chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(rows, 9)) + chunk(b"IEND", b"")
    return b"\x89PNG\r\n\x1a\n" + body


FILL_LEVEL = b"""<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 360 130"
 width="360" height="130">
<rect x="20" y="40" width="320" height="60" fill="none" stroke="#17212b" stroke-width="3"/>
<rect x="24" y="44" width="60" height="52" fill="#9aa7b1"/>
<path d="M84 44 q 14 26 0 52" fill="#9aa7b1"/>
<path d="M20 25 h64" stroke="#17212b" stroke-width="2"/>
<text x="100" y="28" font-family="serif" font-size="16">5 mm paste</text></svg>"""


STEPS = (
    _step(
        "1",
        "condition",
        "Bring the materials to shop temperature",
        "Condition",
        actions=(
            "Put powder and liquid beside the mixer the evening before.",
            "Measure the temperature of the liquid in its container.",
        ),
        equipment=("Contact thermometer (T-4)",),
        characteristics=(
            _item(
                "1.1", "liquid temperature", "18 to 26 °C", technique="Contact thermometer (T-4)"
            ),
        ),
        why="A cold liquid is thick and wets the powder badly.",
        if_not=(STOP,),
    ),
    _step(
        "2",
        "reblend",
        "Re-blend the powder",
        "Re-blend",
        cautions=(DUST,),
        actions=("Close the lid.", "Turn the container end over end."),
        characteristics=(
            _item(
                "2.1",
                "turns",
                "at least 20",
                technique="Count aloud",
                record="",
                inherited=frozenset(),
            ),
        ),
        why="Fines settle in storage; an unblended scoop sets at its own speed.",
        if_not=(STOP,),
    ),
    _step(
        "3",
        "weigh-powder",
        "Weigh the powder",
        "Weigh",
        cautions=(DUST,),
        actions=(
            "Set the clean, dry mixing bowl on the scale and press **Tare**.",
            "Weigh the powder into the bowl.",
            "Write mass and lot number into the batch record.",
        ),
        equipment=("Bench scale (S-12)",),
        gear=("Half mask with P3 filter", "Safety goggles"),
        characteristics=(_item("3.1", "powder mass", "400 ± 4 g"),),
        facts=("Powder first, then liquid.",),
        why="Powder goes in first; dry pockets form when it lands on liquid.",
        if_not=(STOP,),
        records=("Batch record",),
    ),
    _step(
        "4",
        "weigh-liquid",
        "Weigh the liquid",
        "Weigh",
        cautions=(ALKALINE, SHELF),
        actions=("Stir the liquid and look for gel or crystals.", "Weigh it onto the powder."),
        equipment=("Bench scale (S-12)",),
        characteristics=(
            _item(
                "4.1",
                "liquid to 100 parts of powder",
                "26.0 ± 0.5 parts by weight",
                special="M",
                special_title="Main function",
                frequency="each mix",
            ),
            _item(
                "4.2",
                "look of the liquid",
                "Clear, no gel, **no crystals** on the wall",
                judged=True,
                technique="Look",
            ),
        ),
        if_not=(STOP,),
        records=("Batch record",),
    ),
    _step(
        "5",
        "mix",
        "Mix",
        "Mix",
        cautions=(ALKALINE,),
        actions=(
            "Start the mixer at the slow speed and note the time: **the pot life begins**.",
            "Scrape the wall once after one minute, with the mixer stopped.",
            "Mix until the paste is smooth.",
        ),
        equipment=("Planetary mixer (M-2)", "Stop watch"),
        characteristics=(
            _item("5.1", "mixing time", "3 to 5 min", technique="Stop watch"),
            _item(
                "5.2", "speed", "60 ± 10 rpm", technique="Tachometer (G-31)", frequency="each shift"
            ),
            _item(
                "5.3",
                "consistency",
                "Smooth, no dry lumps, like thick cream",
                judged=True,
                technique="Look",
                reaction="Discard the batch",
            ),
        ),
        facts=("Pot life 40 min at 23 °C.",),
        why="Slow mixing keeps air out. Water added for ease costs strength.",
        note="The paste looks dry for the first minute. See [the weighing](#step-weigh-liquid).",
        if_not=(STOP, DISCARD),
        records=("Batch record",),
        images=(
            ImageView(
                "images/paste.png",
                "image/png",
                png(),
                "Grey scale from thin to thick",
                "Too thin on the left, right on the right",
            ),
        ),
    ),
    _step(
        "6",
        "fill",
        "Fill the cold end",
        "Apply",
        cautions=(ALKALINE,),
        actions=(
            "Draw the paste into a 20 mL syringe.",
            "Fill from the bottom up, with the tip under the surface.",
            "Tap the tray ten times and top up to the rim.",
        ),
        equipment=("Syringe 20 mL",),
        characteristics=(
            _item(
                "6.1",
                "fill level below the rim",
                "at most 0.5 mm",
                product=True,
                technique="Depth gauge (G-7)",
                sample="5",
                frequency="every 50 parts",
            ),
            _item("6.2", "time since mixing", "at most 35 min", technique="Stop watch"),
        ),
        if_not=(DISCARD,),
        images=(
            ImageView(
                "images/fill.svg",
                "image/svg+xml",
                FILL_LEVEL,
                "Cut through the sheath with paste up to the line",
                "Paste up to the line, no gap",
            ),
        ),
    ),
    _step(
        "7",
        "cure",
        "Dry and cure in the oven",
        "Cure",
        cautions=(STEAM, HOT),
        actions=(
            "Leave the parts standing at shop temperature.",
            "Put the tray into the middle of the oven and start programme 4.",
            "Sign the oven log at the start and at the end.",
        ),
        equipment=("Oven 2 (O-2)",),
        characteristics=(
            _item("7.1", "standing time", "18 to 24 h", technique="Clock"),
            _item(
                "7.2",
                "oven temperature, drying hold",
                "82 ± 5 °C",
                special="M",
                special_title="Main function",
                technique="Oven recorder (O-2)",
                record="Oven log",
                frequency="each cure run",
            ),
            _item(
                "7.3",
                "time of drying hold",
                "4 to 5 h",
                technique="Oven recorder (O-2)",
                record="Oven log",
            ),
            _item(
                "7.4", "ramp", "at most 1 K/min", technique="Oven recorder (O-2)", record="Oven log"
            ),
        ),
        facts=("Leave it uncovered.", "Water boils at 99.2 °C here (240 m)."),
        why=(
            "No steam may form inside the body: "
            "all free water has to leave before the part passes the boiling point."
        ),
        if_not=(STOP,),
        records=("Oven log",),
    ),
    _step(
        "8",
        "inspect",
        "Inspect the seal",
        "Inspect",
        cautions=(HOT,),
        actions=("Let the parts cool on the tray.", "Look at every seal under the bench lamp."),
        equipment=("Bench lamp",),
        characteristics=(
            _item(
                "8.1",
                "seal",
                "No crack, no blister, no gap at the sheath",
                judged=True,
                product=True,
                technique="Look, bench lamp",
                sample="100 %",
                frequency="each lot",
            ),
            _item(
                "8.2",
                "insulation resistance at 500 V",
                "at least 50 MΩ",
                product=True,
                special="S",
                special_title="Safety",
                technique="Insulation tester (E-9)",
                sample="5",
                frequency="each lot",
                reaction="Stop and call",
            ),
        ),
        if_not=(STOP,),
        records=("Inspection record",),
    ),
    _step(
        "9",
        "clean",
        "Clean up",
        "Clean",
        cautions=(DUST,),
        actions=("Wipe the bench wet.", "Put set waste into the marked pail."),
    ),
)

HISTORY = Table(
    ("Revision", "Date", "What changed", "Why"),
    (
        ("C", "2026-03-02", "Longer drying hold", "Discs gapped at the edge in winter"),
        ("B", "2025-06-20", "Second scale added", ""),
        ("A", "2025-01-14", "First issue", ""),
    ),
)
WAIVED = Table(
    ("Finding", "At", "What it says", "Why it is accepted"),
    (
        (
            "weigh.coarse-scale",
            "weigh-liquid",
            "104 g on a scale with ± 0.2 g error uses 38 % of the limit of ± 0.5 parts",
            "New scale ordered; until then two persons read the scale.",
        ),
    ),
)
LEGEND = "M = Main function; S = Safety; * from the plant’s control defaults"


def instruction(**title):
    """Return the work instruction, with some fields of the title block changed."""
    return WorkInstruction(
        title_block=replace(TITLE, **title),
        purpose=(
            "Close the cold end so that *moisture* cannot reach the filling.\n\n"
            "The seal also holds the lead wires."
        ),
        scope=(
            "All 500 W cartridge heaters with a sheath of 12 mm. "
            "**Not** for heaters with a ceramic plug."
        ),
        parts=Table(
            ("Part", "Name", "Drawing", "Fill volume", "Thickest section"),
            (("CH-500-12", "Cartridge heater 500 W", "D-4410 rev 3", "6.2 ± 0.4 cm³", "9 mm"),),
            numeric=(3, 4),
        ),
        materials=Table(
            ("Material", "Called here", "Form", "Store at", "Shelf life", "Pot life", "Sheet"),
            (
                (
                    "Invented zircon powder Z",
                    "powder",
                    "powder",
                    "10 to 30 °C, at most 60 % RH. Keep dry.",
                    "12 months",
                    "",
                    "safety data sheet 2025-11-03",
                ),
                (
                    "Invented potassium silicate K",
                    "liquid",
                    "liquid",
                    "5 to 30 °C",
                    "6 months; 1 month once opened",
                    "40 min at 23 °C",
                    "safety data sheet 2025-10-12",
                ),
            ),
        ),
        ratio="By weight: 100 Invented zircon powder Z to 26.0 ± 0.5 Invented potassium silicate K",
        equipment=Table(
            ("Equipment", "What it can do", "Calibration due"),
            (
                (
                    "Bench scale (S-12)",
                    "up to 2000 g, readability 0.1 g, permissible error ± 0.2 g",
                    "2026-09-30",
                ),
                ("Planetary mixer (M-2)", "range 200 to 1500 g, speed 30 to 120 rpm", ""),
                (
                    "Oven 2 (O-2)",
                    "range 40 to 250 °C, control ± 2 K, non-uniformity ± 3 K",
                    "2026-06-30",
                ),
            ),
        ),
        gear=("Safety goggles", "Nitrile gloves", "Half mask with P3 filter", "Heat gloves"),
        standing_note=(
            "These are the usual cautions of the trade. They do not replace the maker’s safety "
            "data sheet, the plant’s own rules, local codes or licensed practice. Where they "
            "differ, the stricter one counts."
        ),
        cautions=(ALKALINE,),
        steps=STEPS,
        acceptance=Table(
            ("No.", "Characteristic", "Special", "Accept", "Sample", "Frequency"),
            tuple(
                (c.number, c.name, c.special, c.requirement, c.sample, c.frequency)
                for s in STEPS
                for c in s.characteristics
                if c.product
            ),
        ),
        records=Table(
            ("Record", "Keep for", "Where"),
            (("Batch record", "10 years", "Quality office"), ("Oven log", "10 years", "Oven room")),
        ),
        references=Table(("Document", "Edition", "Title", "Issuer"), ()),
        history=HISTORY,
        waived=WAIVED,
        legend=LEGEND,
    )


def plan(**title):
    """Return the control plan of the same steps."""
    block = replace(TITLE, document_type="Control plan", **title)
    return ControlPlan(
        title_block=block,
        header=(
            ("Phase", "production"),
            ("Part numbers", "CH-500-12"),
            ("Part names", "Cartridge heater 500 W"),
            ("Drawing, change level", "D-4410 rev 3"),
            ("Customer", "internal"),
        ),
        columns=COLUMNS,
        rows=tuple(
            ControlRow(s.number, s.id, s.title, "; ".join(s.equipment), c)
            for s in STEPS
            for c in s.characteristics
        ),
        reactions=(STOP, DISCARD),
        steps_without_control=("9 Clean up",),
        history=HISTORY,
        waived=Table(WAIVED.columns, ()),
        legend=LEGEND,
    )
