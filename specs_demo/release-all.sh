#!/bin/sh
# Release the revisions of three documents one after the other, as they were approved over a year,
# into a new archive:  release-all.sh SPECCOMP ARCHIVE
# Everything is invented: the people, the days, the documents.
set -eu

speccomp=$1
SPECCOMP_ARCHIVE=$2
export SPECCOMP_ARCHIVE
here=$(dirname "$0")

# release FILE DAY EFFECTIVE LOTS
release() {
  file="$here/$1"
  "$speccomp" approve "$file" --name "M. Exampleton" --role manufacturing-engineer --at "$2T07:30:00Z"
  "$speccomp" approve "$file" --name "K. Sampleton" --role quality-engineer --at "$2T09:10:00Z"
  "$speccomp" approve "$file" --name "S. Testwell" --role safety-officer --at "$2T10:45:00Z"
  "$speccomp" release "$file" --by "D. Filewright" --effective "$3" --lots "$4" --at "$2T12:00:00Z"
}

release revisions/PD-120/initial.yaml 2026-01-19 2026-01-26 finish-on-old
release revisions/PD-117/A.yaml 2026-02-09 2026-02-16 finish-on-old
release revisions/PD-120/A.yaml 2026-03-30 immediate hold
release revisions/PD-124/A.yaml 2026-04-20 2026-05-04 finish-on-old
release revisions/PD-117/B.yaml 2026-05-26 2026-06-01 hold
release definitions/PD-124-igniter.yaml 2026-07-13 2026-07-20 hold
release definitions/PD-120-braking-resistor.yaml 2026-09-21 2026-09-28 hold
release definitions/PD-117-cartridge-heater.yaml 2026-11-16 2026-12-01 hold
