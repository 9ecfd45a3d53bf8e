#!/bin/sh
# Every factor of the table of units against units(1).
# use: test_units.sh PATH-OF-TEST_UNITS
set -u
if ! command -v units >/dev/null 2>&1; then
    echo "units(1) is not installed; it is needed as the outside judge"
    exit 1
fi
list=$(mktemp) || exit 2
trap 'rm -f "$list"' EXIT
"$1" --list >"$list" || exit 1
bad=0
count=0
tab=$(printf '\t')
while IFS="$tab" read -r name factor offset check SI; do
    count=$((count + 1))
    if [ "$check" = degC ]; then
        # two points fix the line
        for number in 0 100; do
            want=$(LC_ALL=C units -t -o '%.12g' "tempC($number)" K)
            LC_ALL=C awk -v n="$number" -v f="$factor" -v o="$offset" -v w="$want" \
                'BEGIN { d = n * f + o - w; exit !(d < 1e-9 && d > -1e-9) }' ||
                { echo "$name: $number gives not $want K"; bad=1; }
        done
        continue
    fi
    want=$(LC_ALL=C units -t -o '%.12g' "$check" "$SI")
    LC_ALL=C awk -v f="$factor" -v w="$want" \
        'BEGIN { if (w + 0 == 0) exit 1; d = f / w - 1; exit !(d < 2e-8 && d > -2e-8) }' ||
        { echo "$name: factor $factor, units says $want"; bad=1; }
done <"$list"
if [ "$count" -lt 40 ]; then
    echo "only $count units listed"
    bad=1
fi
exit "$bad"
