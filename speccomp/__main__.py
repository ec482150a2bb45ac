"""Run the command line with `python -m speccomp`."""

from speccomp.cli.main import main

main(prog_name="speccomp")
