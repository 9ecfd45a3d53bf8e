#!/bin/sh
# The balance command from outside: shipped runs, sums by hand, and every fault of a run file.
# usage: test_balance_command.sh PROGRAM
set -u
program=$(cd "$(dirname "$1")" && pwd)/$(basename "$1") || exit 1
command=balance
. "$(dirname "$0")/common.sh"
cd "$work" || exit 1

# refuse_run MESSAGE: the run on standard input has this one fault, 'run.yaml:' before it
refuse_run() {
    cat >run.yaml
    run 3 run.yaml
    [ ! -s out ] || fail "printed something in spite of: $1"
    [ "$(cat err)" = "run.yaml:$1" ] || fail "wanted '$1', got: $(cat err)"
}

# -------------------------------------------------------------------------- shipped runs
run 0 "$runs/still-closes.yaml"
has 'They agree.'
has 'Closed by least squares:'
has 'Extra yield owed to the scrubber'
has 'EUR per kg HNO3'
has 'Brown fumes (NO2) injure the lungs'
[ "$(awk 'length > 79' out | wc -l)" -eq 0 ] || fail "a line is too long"
run 0 "$runs/still-closes.yaml" --json
# nitric acid by the titration alone: (13.4*0.5 - 2.5*4.7*0.1)/5 mol/L in 154 mL
/usr/bin/python3 - out <<'PYTHON' || fail "the closing run as JSON"
import json, sys
r = json.load(open(sys.argv[1]))["result"]
assert abs(r["scrubber_HNO3_mol"] - (6.7 - 1.175) / 5 * 0.154) < 1e-9, r
assert r["degrees_of_freedom"] == 2 and r["probability"] > 0.05, r
PYTHON
run 3 "$runs/still-impossible.yaml"
has 'Not believed'
has 'available: at least 1.0287 mol N, instead of 0.6000 mol N'
has 'receiver (reading 1): even none at all would not mend it'
has 'scrubber (reading 2): at most 0.2151 mol N, instead of 0.6439 mol N'
has 'or else 150.7 mL of liquid'
hasnt 'Extra yield'
hasnt 'per kg HNO3'
grep -q 'more nitrogen was found than was available; no yield is given' err || fail "no word on it"
run 3 "$runs/still-impossible.yaml" --json
/usr/bin/python3 - out <<'PYTHON' || fail "the impossible run as JSON"
import json, sys
r = json.load(open(sys.argv[1]))["result"]
assert r["believed"] is False and r["receiver_HNO3_mol"] is None, r
PYTHON
run 0 "$runs/still-too-few.yaml"
has 'No: there is no reading more than is needed'
has 'receiver not read'
has 'are in places that were not read'

# ------------------------------------------------------------------------------- by hand
# 100 g of 20 wt% (CRC Handbook 2021: 1.1150) is 0.31740 mol; 5 mL against 20 mL of 0.5 mol/L is
# 2 mol/L, of it 0.1 mol/L nitrous acid: 100 mL are 0.200 mol N and 0.190 mol HNO3.
# Bought: 1 L of 68 wt% (1.4048) holds 0.95526 kg: (20 + 10)/0.95526 = 31.40
cat >hand.yaml <<'YAML'
charge: {material: potassium nitrate, mass: 60.6618 g, error: 2 %}
found:
  - {where: receiver, mass: 100 g, amount error: 1 %, density: 1.1150 g/cm3, temperature: 20 degC}
  - {where: scrubber, volume: 100 mL, sample: 5 mL, alkali: 20 mL, alkali strength: 0.5 mol/L, permanganate: 10 mL, permanganate strength: 0.02 mol/L, permanganate finds: nitrous acid}
cost: {currency: crowns, spent: 3, bought price: 20, delivery: 10, bought volume: 1 L, bought strength: 68 wt%}
YAML
run 0 hand.yaml --json
/usr/bin/python3 - out <<'PYTHON' || fail "by hand"
import json, math, sys
d = json.load(open(sys.argv[1]))
r = d["result"]
assert abs(r["available_mol"] - 0.6) < 1e-5, r
assert abs(r["available_standard_error_mol"] * 1.96 - 0.012) < 1e-6, r
assert abs(r["receiver_HNO3_mol"] - 0.3174) < 1e-4, r
assert abs(r["scrubber_HNO3_mol"] - 0.19) < 1e-9, r
assert abs(r["found_mol"] - 0.5174) < 1e-4, r
assert abs(r["unexplained_mol"] - (0.6 - 0.5174)) < 1e-4, r
assert abs(r["extra_yield_of_scrubber_g"] - 0.19 * 63.012) < 1e-6, r
# 20 wt%: 1 kg/m3 of reading, 0.5 K of 0.54 kg/m3, 0.5 kg/m3 of curve, at 6.33 kg/m3 for 1 wt%;
# and 1 % of the mass
w = math.sqrt(1 + 0.27 ** 2 + 0.5 ** 2) / 6.33 / 20
got = d["readings"][0]["standard_error_mol"] * 1.96 / 0.3174
assert abs(got / math.hypot(w, 0.01) - 1) < 0.02, got
# two errors of 1 % (95 of 100), the titre's and the volume's
assert abs(d["readings"][1]["standard_error_mol"] * 1.96 - 0.2 * math.sqrt(2) * 0.01) < 1e-9, d
assert r["degrees_of_freedom"] == 0 and r["chi_square"] is None, r
PYTHON
run 0 hand.yaml
has 'this run 93.83 crowns per kg HNO3' # 3/(0.5074 * 0.063012)
has 'bought, with delivery 31.40 crowns per kg HNO3'
has 'Extra yield owed to the scrubber: 11.97 g HNO3, 59.9 % of what the receiver holds.'

# by volume the density counts twice: 1 + 0.2*633/1115
cat >volume.yaml <<'YAML'
charge: {nitrogen: 0.6 mol}
found:
  - {where: receiver, volume: 100 mL, density: 1.1150 g/cm3, temperature: 20 degC, reading error: 0.01 g/cm3}
YAML
run 0 volume.yaml --json
/usr/bin/python3 - out <<'PYTHON' || fail "by volume"
import json, math, sys
f = json.load(open(sys.argv[1]))["readings"][0]
assert abs(f["nitrogen_mol"] - 0.35390) < 1e-4, f # 3.539 mol/L, CRC Handbook 2021
w = 10 / 6.33 / 20 * (1 + 0.2 * 633 / 1115)
got = f["standard_error_mol"] * 1.96 / f["nitrogen_mol"]
assert abs(got / math.hypot(w, 0.01) - 1) < 0.02, got
PYTHON

# two readings of one place that cannot both be true; a third one tells which
cat >two.yaml <<'YAML'
charge: {nitrogen: 0.60 mol, error: 1 %}
found:
  - {where: scrubber, nitrogen: 0.20 mol, error: 4 mmol}
  - {where: scrubber, nitrogen: 0.25 mol, error: 4 mmol}
YAML
run 0 two.yaml
has "Readings 1 and 2, both of 'scrubber', cannot both be true: they are 0.0500 mol N apart, and \
their errors allow 0.0057 mol."
has 'it can be told that something is wrong, but not what'
echo '  - {where: scrubber, nitrogen: 0.201 mol, error: 4 mmol}' >>two.yaml
run 0 two.yaml
has 'Most likely wrong: reading 2, scrubber'
# a case brings its own charge
printf 'case: %s\nfound:\n  - {where: bottle, nitrogen: 0.2 mol}\nlog: log.csv\n' \
    "$cases/still.yaml" >with-case.yaml
run 3 with-case.yaml
[ "$(cat err)" = "with-case.yaml:4:6: log 'log.csv' cannot be opened: No such file or directory" ] ||
    fail "a log that is not there: $(cat err)"
printf 'time_min,temperature_degC\n0,21\n10,24\n' >log.csv
run 0 with-case.yaml
has 'available, error assumed 0.6000'
has 'bottle: nitrogen 0.2000 mol N'
has 'Log of temperatures: 2 rows,'
has 'hottest row 24.0 degC'
# without a case there is nothing to hold the log against
sed 's/^case:.*/charge: {nitrogen: 0.6 mol}/' with-case.yaml >without.yaml
run 0 without.yaml
has 'The log of times and temperatures is only used beside a case.'
hasnt 'What the estimate expects'

# the expectation is the estimate's own result
run 0 with-case.yaml --json
"$program" estimate --quick --json "$cases/still.yaml" >estimate.json
/usr/bin/python3 - out estimate.json <<'PYTHON' || fail "what the estimate expects"
import json, sys
e = json.load(open(sys.argv[1]))["expected"]
s = json.load(open(sys.argv[2]))["stages"][0]
held = sum(s[k] for k in ("nitrate_mol", "nitrous_acid_mol", "HOONO_mol", "NO_aq_mol", "NO2_aq_mol"))
# the solver's tolerance is 1e-6
assert e[0]["quantity"] == "held_mol" and abs(e[0]["expected"] / held - 1) < 1e-5, (e[0], held)
assert e[0]["read"] == 0.2 and [x["time_s"] for x in e[1:]] == [0, 600], e
assert abs(e[1]["expected"] - 293.15) < 1e-3, e[1] # the charge is at the room's 20 degC
PYTHON

# prices of the case: 400 g ice at 0.50; 100 mL of 6 wt% (1.0200 g/mL, from memory) is 6.12 g H2O2,
# 20.4 g of 30 wt% at 8.00: 0.3632 for 0.0126 kg; bought 20.00 for 0.68*1.4048 kg: 20.94
cat >priced.yaml <<'YAML'
case:
  source: {kind: acid vapour, acid made: 0.60 mol, decomposed: 35 %, duration: 40 min}
  train:
    - {glass: washing bottle 250 mL, liquid: 100 mL, peroxide: 6 wt%, bath: {kind: ice water, ice: 400 g}}
  prices: {currency: crowns, ice: 0.50 per kg, peroxide: 8 per kg, bought acid: 20 per L}
found:
  - {where: bottle, volume: 100 mL, sample: 5 mL, alkali: 20 mL, alkali strength: 0.5 mol/L}
YAML
run 0 priced.yaml
has "Counted from the case's prices: peroxide as 30 wt% solution, water and ice"
/usr/bin/python3 - out <<'PYTHON' || fail "prices of the case"
import re, sys
text = open(sys.argv[1]).read()
own, bought = (float(x) for x in re.findall(r"([0-9.]+) crowns per kg HNO3", text))
assert abs(own - 0.3632 / (0.2 * 0.063012)) < 0.05, own # density to 0.2 %
assert abs(bought - 20 / (0.68 * 1.4048)) < 0.005 + 0.01, bought # last digit, density to 0.05 %
PYTHON

# ------------------------------------------------------------------------------ refusals
run 2
run 6 missing.yaml
CHARGE='charge: {nitrogen: 0.6 mol}'
FOUND='found: [{where: bottle, nitrogen: 0.2 mol}]'
refuse_run "1:1: 'charge' is missing: the nitrogen that was available, such as 'charge: {nitrogen: \
0.60 mol, error: 1 %}'" <<YAML
$FOUND
YAML
refuse_run "1:1: 'found' is missing: the list of what was found, each with 'where'" <<YAML
$CHARGE
YAML
refuse_run "1:9: a charge is 'nitrogen', or 'material' with 'mass'; one of the two" <<YAML
charge: {error: 1 %}
$FOUND
YAML
refuse_run "1:20: 'material: sugar' is not known; accepted: nitric acid, potassium nitrate, sodium \
nitrate" <<YAML
charge: {material: sugar, mass: 3 g}
$FOUND
YAML
refuse_run "1:20: 'nitrogen: 0 mol' must be more than 0" <<YAML
charge: {nitrogen: 0 mol}
$FOUND
YAML
refuse_run "1:20: 'nitrogen: 0.6': the unit is missing; accepted: mol, mmol" <<YAML
charge: {nitrogen: 0.6}
$FOUND
YAML
refuse_run "3:1: unknown key 'founds'; did you mean 'found'?" <<YAML
$CHARGE
$FOUND
founds: 3
YAML
refuse_run "3:5: one reading to an entry: 'nitrogen'; 'density', 'gravity' or 'baume'; or 'sample' with \
'alkali' (two readings of one place are two entries)" <<YAML
$CHARGE
found:
  - where: bottle
YAML
refuse_run "3:5: 'where' is missing; what was found needs it" <<YAML
$CHARGE
found:
  - nitrogen: 0.2 mol
YAML
refuse_run "3:5: how much liquid was it? give 'volume' or 'mass', one of the two" <<YAML
$CHARGE
found:
  - where: bottle
    density: 1.1 g/cm3
    temperature: 20 degC
YAML
refuse_run "3:5: 'temperature': the temperature of the liquid is missing; 5 K of error is up to 1 wt%" \
    <<YAML
$CHARGE
found:
  - where: bottle
    density: 1.1 g/cm3
    volume: 100 mL
YAML
refuse_run "5:14: 'gravity': specific gravity says nothing without its scale; give it, as it stands on \
the hydrometer: 20/4, 20/20, 15/4 (degC) or '60/60 F'" <<YAML
$CHARGE
found:
  - where: bottle
    volume: 100 mL
    gravity: 1.1
    temperature: 20 degC
YAML
refuse_run "3:5: 'alkali strength': the strength of the alkali is missing, such as '0.5 mol/L'" <<YAML
$CHARGE
found:
  - where: bottle
    volume: 100 mL
    sample: 5 mL
    alkali: 20 mL
YAML
refuse_run "4:11: 'mass': a titration counts in a volume: give 'volume' instead" <<YAML
$CHARGE
found:
  - where: bottle
    mass: 100 g
    sample: 5 mL
    alkali: 20 mL
    alkali strength: 0.5 mol/L
YAML
refuse_run "3:5: 1.4995 g/cm3 is more than 1.4686 g/cm3, acid of 85 wt% at 20.0 degC; above it the \
curve is too flat to read a strength from (1 wt% changes the density by less than 0.003 g/cm3, and \
dissolved NO2 by more): titrate" <<YAML
$CHARGE
found:
  - where: bottle
    volume: 100 mL
    density: 1.4995 g/cm3
    temperature: 20 degC
YAML
refuse_run "3:5: a reading without any error cannot be weighed against others: give 'error' as an \
amount, such as 2 mmol" <<YAML
$CHARGE
found:
  - where: vent
    nitrogen: 0 mol
YAML
refuse_run "3:7: 'spent' is missing; a cost needs it" <<YAML
$CHARGE
$FOUND
cost: {currency: EUR}
YAML
refuse_run "1:7: the case 'nowhere.yaml' cannot be used: cannot be opened: No such file or directory" \
    <<YAML
case: nowhere.yaml
$CHARGE
$FOUND
YAML
refuse_run "1:1: a run holds 'key: value' entries: charge, found" <<YAML
- a list
YAML

[ "$failures" -eq 0 ]
