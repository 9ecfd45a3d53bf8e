#!/bin/sh
# Every broken file of tests/bad is refused with exit status 3 and exactly the expected lines; every
# command that reads a case or a run refuses it, too, and prints nothing else.
# use: test_bad_cases.sh PATH-OF-NOXWASH
set -u
noxwash=$1
case $noxwash in /*) ;; *) noxwash=$(pwd)/$noxwash ;; esac
cd "$(dirname "$0")/../bad" || exit 2
got=$(mktemp) || exit 2
out=$(mktemp) || exit 2
trap 'rm -f "$got" "$out"' EXIT
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
    for command in "estimate --quick" "estimate --resolved" "report" "remedies" "size --vent 1mg/min" \
        "sweep --csv --vary after.standing=1,2min" "blend --weak-acid 5wt% --next-bottle" \
        "balance" "fit --unknown source.decomposed=10:60%" \
        "fit --plan --unknown source.decomposed=10:60%"; do
        # shellcheck disable=SC2086
        "$noxwash" $command "$file" >"$out" 2>"$got"
        status=$?
        if [ "$status" -ne 3 ] || [ -s "$out" ] || [ ! -s "$got" ]; then
            echo "$file: '$command' ended with $status, not 3, or printed: $(head -c 200 "$out" "$got")"
            bad=1
        fi
    done
done
# an empty folder proves nothing
if [ "$count" -lt 20 ]; then
    echo "only $count broken files found"
    bad=1
fi
exit "$bad"
