"""
Make the pictures of the README from the demo, with the PDF tools and Chromium.

    .venv/bin/python .ci/pictures.py
"""

import html
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
PICTURES = ROOT / "specs_demo" / "pictures"
DEFINITION = "specs_demo/definitions/PD-117-cartridge-heater.yaml"
SHOWN = "Liquid to weigh"
WRONG = ("specs_demo/wrong/wrong-unit.yaml", "specs_demo/wrong/mix-without-end.yaml")
CHROMIUM = (
    "chromium",
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--hide-scrollbars",
    "--force-device-scale-factor=2",
)
PAGE = """<!doctype html><meta charset="utf-8"><style>
body {{ margin: 0; padding: 16px 20px; background: #fbfbf9; color: #1c2733; }}
pre {{ font: 13px/1.45 "DejaVu Sans Mono", monospace; margin: 0; white-space: pre-wrap; }}
</style><pre>{}</pre>"""


def speccomp(*words: str) -> str:
    """Run a command in the project folder and return what it printed."""
    run = subprocess.run(
        [sys.executable, "-m", "speccomp", *words],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    return run.stdout


def picture_of_a_page(folder: Path) -> None:
    """Take the page of the work instruction that holds the shown words."""
    speccomp("compile", DEFINITION, "--format", "pdf", "--out", str(folder))
    (pdf,) = folder.glob("*/*/work-instruction.pdf")
    text = subprocess.run(
        ["pdftotext", "-layout", pdf, "-"], capture_output=True, text=True, check=True
    ).stdout
    pages = text.split("\f")
    number = next(i for i, page in enumerate(pages, start=1) if SHOWN in page)
    target = PICTURES / "work-instruction"
    words = ["-r", "80", "-png", "-f", str(number), "-l", str(number), "-singlefile"]
    subprocess.run(["pdftoppm", *words, pdf, target], check=True)


def picture_of_findings(folder: Path) -> None:
    """Take what the check of two wrong definitions prints."""
    shown = speccomp("check", *WRONG)
    page = folder / "finding.html"
    page.write_text(PAGE.format(html.escape("$ speccomp check …\n" + shown)), encoding="utf-8")
    height = 60 + 19 * (shown.count("\n") + 2)
    size = f"--window-size=980,{height}"
    target = f"--screenshot={PICTURES / 'finding.png'}"
    subprocess.run([*CHROMIUM, size, target, page.as_uri()], check=True, capture_output=True)


def main() -> None:
    """Make all pictures."""
    PICTURES.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        picture_of_a_page(folder)
        picture_of_findings(folder)


if __name__ == "__main__":
    main()
