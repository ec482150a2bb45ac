"""Run the command line with `python -m speccomp`."""

from speccomp.cli.start import start

start()
