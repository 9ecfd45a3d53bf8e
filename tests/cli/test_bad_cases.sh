#!/bin/sh
# Every broken file of tests/bad is refused with exit status 3 and exactly the expected lines.
# use: test_bad_cases.sh PATH-OF-NOXWASH
set -u
noxwash=$1
case $noxwash in /*) ;; *) noxwash=$(pwd)/$noxwash ;; esac
cd "$(dirname "$0")/../bad" || exit 2
got=$(mktemp) || exit 2
trap 'rm -f "$got"' EXIT
bad=0
count=0
for file in *.yaml *.json; do
    count=$((count + 1))
    "$noxwash" estimate --check "$file" >/dev/null 2>"$got"
    status=$?
    if [ "$status" -ne 3 ]; then
        echo "$file: exit status $status, not 3"
        bad=1
    fi
    if ! diff -u "$file.expect" "$got"; then
        echo "$file: the messages differ"
        bad=1
    fi
done
# an empty folder proves nothing
if [ "$count" -lt 20 ]; then
    echo "only $count broken files found"
    bad=1
fi
exit "$bad"
