#!/bin/sh
# The estimate command from outside: exit codes, the account, what may and may not be printed.
# usage: test_estimate_command.sh PROGRAM
set -u
program=$(cd "$(dirname "$1")" && pwd)/$(basename "$1") || exit 1
command=estimate
. "$(dirname "$0")/common.sh"

# expect CODE ARGUMENTS...: run it in the work folder; its output is left in out and err
expect() {
    wanted=$1
    shift
    (cd "$work" && "$program" "$@" >out 2>err)
    got=$?
    [ "$got" -eq "$wanted" ] || fail "'$*' ended with $got, not $wanted: $(head -c 300 "$work/err")"
}

# words no output may hold
refuse_words() {
    for word in nan inf safe; do
        ! grep -qiw -e "$word" -e "-$word" "$work/out" || fail "'$word' in the output of $1"
    done
}

printf 'source:\n  kind: acid vapour\n  acid made: 0.6\n' >"$work/bad.yaml"

expect 2
expect 2 nonsense
expect 2 estimate
expect 2 estimate --nonsense "$cases/still.yaml"
expect 2 estimate --series
expect 2 estimate --json=yes "$cases/still.yaml"
expect 2 estimate "$cases/still.yaml" "$cases/still.yaml"
expect 2 new nonsense
expect 2 new metal --table
expect 2 constants nonsense
[ -s "$work/err" ] || fail "a wrong key is not explained"
[ ! -s "$work/out" ] || fail "diagnosis on standard output"
expect 6 estimate missing.yaml
expect 3 estimate bad.yaml
grep -q '^bad.yaml:[0-9]*:[0-9]*: ' "$work/err" || fail "a fault without its place"
expect 6 estimate --quick --series no-such-folder/x.csv "$cases/still.yaml"
expect 0 --version
expect 0 --help
expect 0 help estimate
expect 0 constants
refuse_words constants
expect 0 constants --json
/usr/bin/python3 -m json.tool "$work/out" >/dev/null || fail "constants --json is not JSON"
(cd "$work" && "$program" constants >/dev/full 2>err)
[ $? -eq 6 ] || fail "a full disk goes unnoticed"

for kind in "acid vapour" metal metered; do
    expect 0 new "$kind"
    cp "$work/out" "$work/new.yaml"
    expect 0 estimate --check new.yaml
done
# help fits a window of 80 columns
for word in '' estimate new constants selftest strength blend balance sweep merge remedies size fit report
do
    "$program" $word --help | awk 'length > 80' | grep -q . && fail "a line of '$word --help' is too long"
done

# what the starters offer behind '# ' holds as well
for kind in 'acid vapour' metal metered; do
    expect 0 new "$kind"
    sed 's/^\( *\)# \([a-z]*: \)/\1\2/' "$work/out" >"$work/offered.yaml"
    grep -q '^carrier: ' "$work/offered.yaml" || fail "the starter '$kind' offers no carrier"
    [ "$kind" = metered ] && sed -i '/^  steps:/,/^$/d' "$work/offered.yaml"
    expect 0 estimate --check "$work/offered.yaml"
done
expect 0 new table
cp "$work/out" "$work/table.yaml"
expect 0 new table --table
cp "$work/out" "$work/source.csv"
expect 0 estimate --check table.yaml
expect 0 estimate --resolved "$cases/still.yaml"
cp "$work/out" "$work/resolved.yaml"
expect 0 estimate --check resolved.yaml

for case in "$cases"/*.yaml; do
    expect 0 estimate --why --stats "$case"
    refuse_words "$case"
    cp "$work/out" "$work/text"
    expect 0 estimate --json --quick "$case"
    refuse_words "$case --json"
    /usr/bin/python3 - "$work/out" "$work/text" <<'PYTHON' || fail "$case"
import json, re, sys

def refuse(word):
    raise ValueError(word)

document = json.load(open(sys.argv[1]), parse_constant=refuse)
for key in ("schema", "program", "constants", "case", "result", "stages", "events", "warnings",
            "cautions", "statistics"):
    assert key in document, key
r = document["result"]
gap = r["fed_mol"] - r["held_mol"] - r["escaped_mol"] - r["in_flight_mol"]
assert r["fed_mol"] > 0 and abs(gap) <= 1e-6 * r["fed_mol"], ("account", gap)
for key in ("nitrate_mol", "nitrous_acid_mol", "HOONO_mol", "NO_aq_mol", "NO2_aq_mol"):
    for stage in document["stages"]:
        room = 1e-4 * r["fed_mol"]
        assert -room <= stage[key] <= r["fed_mol"] + stage["nitrate_start_mol"] + room, key
parts = sum(r["escaped_%s_mol" % s] for s in ("NO", "NO2", "HNO2", "HNO3"))
assert abs(parts - r["escaped_mol"]) <= 1e-6 * r["fed_mol"], ("parts", parts)
assert abs(sum(r["why"].values()) - r["escaped_mol"]) <= 1e-6 * r["fed_mol"], "why"

text = open(sys.argv[2]).read()
s = document["statistics"]
assert sum(s["steps_of_order"]) == s["steps"] > 0, s
for words in ("steps                    %d, of order 1 to 5: %s\n"
              % (s["steps"], ", ".join(map(str, s["steps_of_order"]))),
              "tried again        %d: error too large; %d: Newton failed\n"
              % (s["error_test_failures"], s["newton_failures"]),
              "right-hand sides         %d\n" % s["rhs"],
              "Newton iterations        %d\n" % s["newton_iterations"],
              "Jacobians, factors       %d, %d\n" % (s["jacobians"], s["factorisations"])):
    assert words in text, words

# every number of the results has its unit behind it
for heading in ("Where the nitrogen goes", "At the vent", "What the glass has to bear", "What happens when", "Why it escaped",
                "Verdict", "Cautions"):
    assert "\n" + heading + "\n" in text, heading
assert max(map(len, text.splitlines())) <= 80, "a line is too long"
results = " ".join(text[text.index("Where the nitrogen"):text.index("What this rests on")].split())
results = re.sub(r"limit [0-9.e-]+ ppm .*?(?= limit | NO: | Give the hood| more than [0-9]|"
                 r" What the glass)", "", results)
results = re.sub(r"(Bottle|Stage|bottle|stage) [0-9]+", "", results)
unit = (r"(mol/L|mol|mmol|%|vol%|g/cm3|mL/min|mL|mg/min|m3/min|mg|ppm|degC|min|wt%|g|s|h|"
        r"-min mean|mol N|kPa|L/min|m3|mm|cm)")
for found in re.finditer(r"(?<![\w.])(\d+(?:\.\d+)?(?:e-?\d+)?)(?![\w.]*[A-Za-z])(?!\d)", results):
    rest = results[found.end():]
    assert re.match(r"\s?" + unit + r"(?!\w)", rest) or re.match(r"-(min|h) ", rest), \
        ("no unit", results[max(0, found.start() - 30):found.end() + 20])
PYTHON
done

expect 0 estimate --quick --series series.csv "$cases/still.yaml"
/usr/bin/python3 - "$work/series.csv" <<'PYTHON' || fail "the series"
import csv, sys
rows = list(csv.DictReader(open(sys.argv[1])))
assert len(rows) > 20, len(rows)
times = [float(r["time_s"]) for r in rows]
assert times == sorted(times) and times[-1] > 60
assert all("nan" not in v for r in rows for v in r.values() if v)
PYTHON
[ "$(ls "$work" | grep -c 'series.csv')" -eq 1 ] || fail "a temporary file was left behind"

# what stands where a file is to appear is replaced only when it is an ordinary file, and not the case
mkfifo "$work/pipe"
printf 'kept\n' >"$work/target"
ln -s target "$work/link"
cp "$cases/lecture.yaml" "$work/own.yaml"
for name in pipe link; do
    expect 6 estimate --quick --series "$name" own.yaml
    [ "$(cat "$work/err")" = "noxwash: $name: cannot be written: not an ordinary file" ] ||
        fail "--series $name said: $(cat "$work/err")"
done
expect 6 report --quick --out link own.yaml
expect 6 report --quick --out own.yaml own.yaml
expect 6 estimate --quick --series own.yaml own.yaml
[ "$(cat "$work/err")" = "noxwash: own.yaml: cannot be written: this run has read or written that file itself" ] ||
    fail "--series onto the case said: $(cat "$work/err")"
[ -p "$work/pipe" ] && [ -L "$work/link" ] && [ "$(cat "$work/target")" = kept ] &&
    cmp -s "$cases/lecture.yaml" "$work/own.yaml" || fail "something was overwritten"

# a train: a column per stage, a verdict that names one, and what the glass bears
expect 0 estimate "$cases/assay-empty-vessel.yaml"
grep -q '^  *stage 1  *stage 2  *stage 3$' "$work/out" || fail "no column per stage"
grep -q '^  *(bottle)  *(empty)  *(bottle)$' "$work/out" || fail "no kind per stage"
grep -q '^  Which stage is worth changing? ' "$work/out" || fail "no verdict on the stages"
grep -q 'ground joints' "$work/out" || fail "nothing on what joints bear"
grep -q 'When the vessel cools' "$work/out" || fail "nothing on suck-back"
grep -q '^  ! What the cooling vessel draws over, about' "$work/out" || fail "no warning of metal salts"
expect 0 estimate "$cases/still-second-bottle.yaml"
! grep -q '^  ! When the hot vessel cools' "$work/out" || fail "a trap is there, yet it warns"
expect 0 estimate --json "$cases/still-second-bottle.yaml"
/usr/bin/python3 - "$work/out" <<'PYTHON' || fail "the train's document"
import json, sys
document = json.load(open(sys.argv[1]))
glass, stages = document["result"]["glass"], document["stages"]
assert len(stages) == 3 and stages[0]["tip_flow_m3_s"] == 0
assert stages[0]["gauge_Pa"] >= stages[1]["gauge_Pa"] > stages[2]["gauge_Pa"] > 0
assert abs(glass["gauge_peak_Pa"] - stages[0]["gauge_Pa"]) < 1e-6
assert abs(glass["trap_m3"] - 500e-6) < 1e-12 and glass["liquid_at_risk_m3"] > 0
for one in zip(stages, stages[1:]):
    for pool in ("NO", "NO2", "HNO2", "HNO3"):
        left, came = one[0]["left_%s_mol" % pool], one[1]["entered_%s_mol" % pool]
        assert abs(left - came) <= 1e-6 * document["result"]["fed_mol"], pool
assert [c["stage"] for c in document["what_if"]["one_stage_changed"]] == [1, 2, 3]
PYTHON

expect 0 estimate --quick --against "$cases/still-iced.yaml" "$cases/still.yaml"
grep -q '^Against ' "$work/out" || fail "--against prints nothing"
grep -q 'kept as HNO3 .* g .* g ' "$work/out" || fail "--against has no line for what is kept"
refuse_words --against
expect 0 estimate --quick --strict "$cases/lecture.yaml"

[ "$failures" -eq 0 ] && echo "estimate command: all good"
[ "$failures" -eq 0 ]
