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
has 'ranked by how much less'
hasnt 'longer standing:' # lets more escape
has 'Put in scrubber: 150 mL (150 g) of water at 20.0 degC (assumed)'
has 'would bring 6.2 g as NO to 13.0 g as HNO3. They agree' # 0.2066 mol of 30.006 and 63.012 g/mol
has "The mass of 'scrubber' agrees with what was put in and captured"
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
# what a better arrangement would bring is what the remedies of the case bring
cp out closes.json
"$program" remedies --json "$cases/still.yaml" >remedies.json
/usr/bin/python3 - closes.json remedies.json <<'PYTHON' || fail "what next time would bring"
import json, sys
b, r = (json.load(open(p)) for p in sys.argv[1:])
next_time = b["next_time"]
for key in ("alone", "best_pair", "advice"):
    assert next_time[key] == r[key], key
assert len(next_time["alone"]) == 15
# what is available less what receiver and scrubber hold, 63.012 g/mol
a = b["result"]
out = a["available_mol"] - a["receiver_HNO3_mol"] - a["scrubber_HNO3_mol"]
assert abs(next_time["still_to_be_had_HNO3_g"] - 63.012 * out) < 1e-6, next_time
cost = b["cost"]
# nitrogen found in the scrubber as NO2, 46.005 g/mol (IUPAC); ten for a kilogram
grams = 46.005 * [p for p in b["places"] if p["where"] == "scrubber"][0]["found_mol"]
assert abs(cost["kept_out_of_the_air_NO2_g"] - grams) < 1e-6, (cost, grams)
assert abs(cost["kept_out_of_the_air_worth_currency"] - grams / 100) < 1e-8, cost
assert abs(cost["run_currency_per_L"]
           - cost["run_currency_per_kg_HNO3"] * 1e-3 * cost["strength_g_L"]) < 1e-9, cost
PYTHON
run 0 "$runs/still-closes.yaml" --quick
hasnt 'Next time'
run 3 "$runs/still-impossible.yaml"
has 'Not believed'
has 'available: at least 1.0287 mol N, instead of 0.6000 mol N'
has 'receiver (reading 1): even none at all would not mend it'
has 'scrubber (reading 2): at most 0.2151 mol N, instead of 0.6439 mol N'
has 'or else 150.7 mL of liquid'
hasnt 'Extra yield'
hasnt 'per kg HNO3'
grep -q 'more nitrogen was found than was available; no yield is given' err || fail "no word on it"
# what was found to contradict itself is not called beyond being shown wrong
has 'Only against what was available, and they cannot all be right.'
hasnt 'so none can be shown wrong'
run 3 "$runs/still-impossible.yaml" --json
/usr/bin/python3 - out <<'PYTHON' || fail "the impossible run as JSON"
import json, sys
r = json.load(open(sys.argv[1]))["result"]
assert r["believed"] is False and r["receiver_HNO3_mol"] is None, r
PYTHON
hasnt 'Next time'
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

# A place given as nitrogen is product like any other, counted as nitric acid: 0.40 mol are 25.20 g,
# beside (6.7 - 1.175)/5 mol/L in 154 mL, 10.72 g. 1.00/0.035928 kg = 27.83, below the bought 36.00 for
# 0.95526 kg in a litre of 68 wt%: 37.69. Without the receiver it were 93.26 and dearer.
cat >nitrogen.yaml <<'YAML'
charge: {nitrogen: 0.60 mol, error: 1 %}
put in:
  - {where: bottle 2, liquid: '100 g, 5 wt% acid'}
found:
  - {where: receiver, nitrogen: 0.40 mol, error: 4 mmol}
  - {where: scrubber, volume: 154 mL, sample: 5 mL, alkali: 13.4 mL, alkali strength: 0.5 mol/L, permanganate: 4.7 mL, permanganate strength: 0.1 mol/L, permanganate finds: nitrous acid}
  - {where: flask, volume: 10 mL, density: 1.02 g/cm3, temperature: 20 degC}
cost: {currency: crowns, spent: 1, bought price: 36, bought volume: 1 L, bought strength: 68 wt%, delivery: 0}
YAML
run 0 nitrogen.yaml
has 'this run 27.83 crowns per kg HNO3, 26.59 per L of 68 wt%'
has 'bought, delivery free 37.69 crowns per kg HNO3, 36.00 per L of 68 wt%'
has "The run's acid costs 0.74 times the bought one"
has "Given as nitrogen, and all of it counted as nitric acid: 'receiver'. Nitrous acid among it"
has "Not counted as yield: 'flask'. Product are the places whose name begins with"
hasnt 'was not read: only the acid'
run 0 nitrogen.yaml --json
/usr/bin/python3 - out <<'PYTHON' || fail "a place given as nitrogen"
import json, sys
d = json.load(open(sys.argv[1]))
r, cost = d["result"], d["cost"]
scrubber = (6.7 - 1.175) / 5 * 0.154
# what was put into a bottle that was not read is nowhere: it is not taken off what others hold
assert r["receiver_HNO3_mol"] == 0.4 and abs(r["scrubber_HNO3_mol"] - scrubber) < 1e-9, r
grams = 63.012 * (0.4 + scrubber)
assert abs(cost["counted_HNO3_g"] - grams) < 1e-6, cost
assert abs(cost["run_currency_per_kg_HNO3"] - 1e3 / grams) < 1e-6, cost
# a litre of what was bought costs what was paid for it
assert abs(cost["bought_currency_per_L"] - 36) < 1e-9 and cost["delivery_currency"] == 0, cost
assert abs(cost["strength_g_L"] - 955.26) < 0.5, cost # CRC Handbook 2021: 1.4048
assert [(p["product"], p["by_nitrogen_alone"]) for p in d["places"]] == \
    [(True, True), (True, False), (False, False)], d["places"]
PYTHON
# a density or a titration of the place tells more: then the nitrogen is not averaged in
sed -i 's/^  - {where: flask.*/  - {where: receiver, volume: 30 mL, density: 1.40 g\/cm3, temperature: 20 degC}/' nitrogen.yaml
run 0 nitrogen.yaml
has 'receiver 28.1' # 42.0 g of 66.9 wt% (ICT row: 65 wt% 1.3913, 68 wt% 1.4048)
hasnt 'Given as nitrogen'
# one of the two unread: said, with what it does to the price; no strength, no price of a litre
sed -i '/where: receiver/d; s/, bought price.*/}/' nitrogen.yaml
run 0 nitrogen.yaml
has 'this run 93.26 crowns per kg HNO3'
hasnt 'per L of'
has 'The receiver was not read: only the acid of the scrubber is counted, so a kg costs less than this'

# Metal: 100 g of 40 wt% acid are 0.63480 mol; 12.709 g copper, 0.2 mol, bind two each: 0.2348 left.
cat >metal.yaml <<'YAML'
charge: {acid: 100 g, acid strength: 40 wt%, metal: copper, metal mass: 12.709 g, error: 2 %}
put in:
  - {where: scrubber, liquid: '100 g, 2 wt% acid'}
  - {where: scrubber, liquid: '20 g, 30 wt% peroxide'}
  - {where: trap, liquid: '50 g, water'}
found:
  - {where: scrubber, mass: 124 g, density: 1.0543 g/cm3, temperature: 20 degC}
  - {where: scrubber, volume: 118 mL, sample: 5 mL, alkali: 8 mL, alkali strength: 1 mol/L, permanganate: 10 mL, permanganate strength: 0.02 mol/L, permanganate finds: peroxide}
YAML
run 0 metal.yaml --json
/usr/bin/python3 - out <<'PYTHON' || fail "acid and metal, and what was put in"
import json, sys
d = json.load(open(sys.argv[1]))
r = d["result"]
acid, bound, put_in = 40 / 63.012, 0.4, 2 / 63.012
assert abs(r["bound_by_metal_mol"] - bound) < 1e-4, r
assert abs(r["acid_put_in_mol"] - put_in) < 1e-9, r
assert abs(r["available_mol"] - (acid - bound + put_in)) < 1e-4, r
# 2 % of all the acid, 1 % of what was put in
want = ((0.02 * acid) ** 2 + (0.01 * put_in) ** 2) ** 0.5
assert abs(r["available_standard_error_mol"] * 1.96 - want) < 1e-9, r
scrubber, trap = d["put_in"]
assert abs(scrubber["put_in_kg"] - 0.12) < 1e-12 and abs(scrubber["found_kg"] - 0.124) < 1e-12
assert abs(scrubber["put_in_H2O2_mol"] - 6 / 34.014) < 1e-9, scrubber
assert abs(scrubber["caught_mol"] - (d["places"][0]["found_mol"] - put_in)) < 1e-9, scrubber
# 2.5 * 0.02 mol/L * 10 mL of 5 mL, in 118 mL
assert abs(scrubber["left_H2O2_mol"] - 0.1 * 0.118) < 1e-9, scrubber
# 0.4014 g are 0.324 wt% of 124 g, worth 0.66 wt% of acid for 1 wt% at 10 wt%:
# 5.9 kg/m3 for 1 wt% of acid (CRC Handbook 2021), 3.9 for 1 wt% of peroxide (from memory)
want = 0.124 * 0.00324 * 3.9 / 5.9 / 0.063012
assert abs(scrubber["peroxide_reads_as_mol"] / want - 1) < 0.1, (scrubber, want)
# the titration's 1.6 mol/L in 118 mL, less what was put in
assert abs(r["scrubber_HNO3_mol"] - (0.1888 - put_in)) < 1e-9, r
assert trap["put_in_kg"] == 0.05 and trap["found_kg"] is None, trap
PYTHON
run 0 metal.yaml
has 'less 0.4000 mol N that the copper binds as nitrate'
has 'of it acid put in 0.0317'
has 'Yield, acid put in taken off'
has 'scrubber 9.90 g HNO3 66.9 % of what was available' # 0.15706 of 0.23480 mol
has 'H2O2: 0.1764 mol put in, 0.0118 mol left by titration, 0.1646 mol used.'
has 'Reading 1, a density, reads left-over peroxide as acid'
has 'found 124.0 g, 4.0 g more than put in'
has 'trap: 50.1 mL (50.0 g) of water'
has "Acid and peroxide of 30 wt% went into 'scrubber': never bring acid together with peroxide above"
has '50.0 g in all; not read after the run'
sed -i '7s/124 g/104 g/' metal.yaml
run 0 metal.yaml
has 'That is too little: see below.'
has 'or liquid went that is not told: evaporated'
hasnt 'They agree.'
sed -i '7s/104 g/154 g/' metal.yaml
run 0 metal.yaml
has 'That is too much: see below.'
has 'or something came in that is not told: water with the gas'
# a case of a metal brings its own: 5 g of silver of 107.87 g/mol, half NO2, half NO of a third
cat >silver.yaml <<'YAML'
case:
  source: {kind: metal, metal: silver, mass: 5 g, NO2 share: 50 %, duration: 10 min}
  train: [{glass: washing bottle 250 mL, liquid: 100 mL}]
found: [{where: bottle, nitrogen: 20 mmol}]
YAML
run 0 silver.yaml --quick --json
/usr/bin/python3 - out <<'PYTHON' || fail "a case of a metal"
import json, sys
r = json.load(open(sys.argv[1]))["result"]
assert abs(r["available_mol"] - 5 / 107.87 * (0.5 + 0.5 / 3)) < 1e-9, r
PYTHON

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
cp "$cases/still.yaml" .
printf 'case: still.yaml\nfound:\n  - {where: bottle, nitrogen: 0.2 mol}\nlog: log.csv\n' \
    >with-case.yaml
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
# the solver's tolerance is 1e-5
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
run 0 priced.yaml --quick
has "Spent: counted from the case's prices: peroxide as 30 wt% solution, water and ice"
/usr/bin/python3 - out <<'PYTHON' || fail "prices of the case"
import re, sys
text = open(sys.argv[1]).read()
own, bought = (float(x) for x in re.findall(r"([0-9.]+) crowns per kg HNO3", text))
assert abs(own - 0.3632 / (0.2 * 0.063012)) < 0.05, own # density to 0.2 %
assert abs(bought - 20 / (0.68 * 1.4048)) < 0.005 + 0.01, bought # last digit, density to 0.05 %
PYTHON

# Mass in against mass out. 220 mL of 1.0280 g/cm3 weigh 226.16 g; 149.73 g of water and 0.2093 mol as
# HNO3, 13.19 g, are 162.92 g: 63.24 g too much. Were the volume alone wrong, the nitrogen in it would
# shrink with it: (162.92 - 13.19)/(226.16 - 13.19) of 220 mL, 154.7 mL.
cat >mass.yaml <<'YAML'
charge: {nitrogen: 0.60 mol, error: 1 %}
put in:
  - {where: scrubber, liquid: '150 mL, water'}
found:
  - {where: receiver, mass: 24.0 g, density: 1.4020 g/cm3, temperature: 20 degC}
  - {where: scrubber, volume: 220 mL, density: 1.0280 g/cm3, temperature: 28 degC}
YAML
cannot_be_right() {
    has "Mass of 'scrubber': 226.1 g found, but what was put in and captured makes"
    has '63.2 g too much, and three standard errors are'
    has 'What the run file tells cannot all be right.'
    has 'what was put in: at least 212.9 g, instead of 149.7 g'
    has 'reading 2: at most 154.7 mL of liquid, instead of 220.0 mL'
    has 'or something came in that is not told: water with the gas, liquid drawn over from another'
    has 'Yield and cost rest on amounts that cannot all be right'
    hasnt 'so none can be shown wrong'
    hasnt 'the account closes'
    hasnt 'They agree.'
}
run 0 mass.yaml
cannot_be_right
has 'Yes, and they cannot all be right. Of the nitrogen there is no reading more than is needed'
# nor does it close where the nitrogen does, with or without every place read
sed -i 's/0.60 mol/0.466 mol/' mass.yaml
run 0 mass.yaml
cannot_be_right
has 'the mass of a bottle does not agree (see below): the account does not close.'
sed 's/^put in:/complete: yes\n&/' mass.yaml >complete.yaml
run 0 complete.yaml
cannot_be_right
has 'The nitrogen readings agree; the masses do not.'
run 0 complete.yaml --json
/usr/bin/python3 - out <<'PYTHON' || fail "masses as JSON"
import json, math, sys
d = json.load(open(sys.argv[1]))
r, p = d["result"], d["put_in"][0]
assert r["masses_judged"] == 1 and r["masses_that_cannot_be_right"] == 1, r
assert p["mass_verdict"] == "too much", p
put_in, found, N = 150 * 0.9982, 220 * 1.0280, p["caught_mol"]
assert abs(1e3 * p["mass_most_kg"] - (put_in + 63.012 * N)) < 0.02, p
assert abs(1e3 * p["mass_least_kg"] - (put_in + 30.006 * N)) < 0.02, p
# 1 % of each (95 of 100), the reading's 0.001 g/cm3 of 220 mL, what was caught as HNO3
caught = 63.012 * d["places"][1]["found_standard_error_mol"]
want = math.hypot(0.01 * put_in, 0.01 * found, 0.001 * 220) / 1.96
assert abs(1e3 * p["mass_standard_error_kg"] / math.hypot(want, caught) - 1) < 0.01, (p, want, caught)
PYTHON
# the volume that was meant: the mass agrees, and is said to check something
sed 's/220 mL/155 mL/' mass.yaml >right.yaml
run 0 right.yaml
has "In part. Of the nitrogen there is no reading more than is needed, so none of these can be shown wrong by"
has "The mass of 'scrubber' agrees"
hasnt 'cannot all be right'
# on both sides of three standard errors
for volume in 158 160 170; do
    sed "s/220 mL/$volume mL/" mass.yaml >edge.yaml
    run 0 edge.yaml --json
    /usr/bin/python3 - out <<'PYTHON' || fail "the edge at $volume mL"
import json, sys
p = json.load(open(sys.argv[1]))["put_in"][0]
gap = p["found_kg"] - p["mass_most_kg"]
assert (p["mass_verdict"] == "too much") == (gap > 3 * p["mass_standard_error_kg"]), p
PYTHON
done
# oxygen that peroxide gives off may be missing: 10 g of 10 wt%, 0.0294 mol, 0.47 g
sed "s/'150 mL, water'/'150 mL, 10 wt% peroxide'/" right.yaml >oxygen.yaml
run 0 oxygen.yaml --json
/usr/bin/python3 - out <<'PYTHON' || fail "oxygen of the peroxide"
import json, sys
p = json.load(open(sys.argv[1]))["put_in"][0]
want = p["put_in_kg"] + 0.030006 * p["caught_mol"] - 0.015999 * p["put_in_H2O2_mol"]
assert abs(p["mass_least_kg"] - want) < 1e-6, (p, want)
PYTHON
# water distils into a receiver with the acid
sed "s/where: scrubber, liquid: .*/where: receiver, liquid: '1 mL, water'}/" mass.yaml >distils.yaml
run 0 distils.yaml
has 'Water distils over with the acid: only too little would be told.'
hasnt 'cannot all be right'
# a case says how much: acid of 68 wt% condenses
{
    printf 'case:\n  source: {kind: acid vapour, acid made: 0.6 mol, decomposed: 35 %%, duration: 40 min}\n'
    printf '  train: [{glass: washing bottle 250 mL, liquid: 150 mL}]\n'
    cat distils.yaml
} >condensate.yaml
run 0 condensate.yaml --quick --json
/usr/bin/python3 - out <<'PYTHON' || fail "water with the condensate"
import json, sys
p = json.load(open(sys.argv[1]))["put_in"][0]
assert abs(p["mass_most_kg"] - p["put_in_kg"] - p["caught_mol"] * 0.063012 / 0.68) < 1e-9, p
assert p["mass_verdict"] == "agrees", p
PYTHON
# water that the gas of a table brings counts: 1e-3 mol/s over 1000 s, 18.0 g
printf 'time_s,NO_mol_s,NO2_mol_s,HNO2_mol_s,HNO3_mol_s,O2_mol_s,inert_mol_s,H2O_mol_s\n%s\n%s\n' \
    0,0,1e-5,0,0,1e-5,1e-4,1e-3 1000,0,1e-5,0,0,1e-5,1e-4,1e-3 >steam.csv
{
    printf 'case:\n  source: {kind: table, file: steam.csv}\n'
    printf '  train: [{glass: washing bottle 250 mL, liquid: 150 mL}]\n'
    cat mass.yaml
} >steam.yaml
run 0 steam.yaml --quick
has 'with the 18.0 g of water that the gas brings: 45.2 g too much'

# energy and disposal: amounts of the run at prices of the case, 0.5*0.40 + 0.1*2.00 = 0.40 more
sed 's/bought acid: 20 per L/&, energy: 0.40 per kWh, disposal: 2 per L/' priced.yaml >counted.yaml
cat >>counted.yaml <<'YAML'
cost: {energy: 0.5 kWh, disposed: 100 mL}
YAML
run 0 counted.yaml --quick --json
/usr/bin/python3 - out <<'PYTHON' || fail "energy and disposal"
import json, sys
cost = json.load(open(sys.argv[1]))["cost"]
assert abs(cost["spent_currency"] - (0.3632 + 0.40)) < 0.002, cost # density to 0.5 %
PYTHON
run 0 counted.yaml --quick
has 'labour and glass not counted.'
sed 's/energy: 0.5 kWh/&, spent: 3/' counted.yaml >both.yaml
run 3 both.yaml
grep -q "^both.yaml:[0-9]*:[0-9]*: 'energy': it is counted at a price of the case" err || fail "spent twice"
{ cat priced.yaml; echo 'cost: {disposed: 100 mL}'; } >unpriced.yaml
run 3 unpriced.yaml
grep -q "^unpriced.yaml:8:18: 'disposed': it is counted at a price of" err || fail "no price"

# what was spent is told by the run, the price of bought acid by the case: 20.00 for 0.95526 kg
cat >>priced.yaml <<'YAML'
cost: {spent: 3}
YAML
run 0 priced.yaml --quick
has 'this run 238.05 crowns per kg HNO3' # 3/0.0126024
has 'bought, not delivered 20.94 crowns per kg HNO3'
has "The price of delivery was not given ('delivery') and is not counted."
has "Bought acid: the case's price, as 68 wt%."
has "The scrubber's 12.60 g HNO3 would cost 0.26 crowns to buy."
hasnt 'Spent: counted'

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
refuse_run "1:9: a charge is 'nitrogen', or 'material' with 'mass', or 'acid' with 'acid strength' (and \
'metal' with 'metal mass'); one of the three" <<YAML
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
# a run from a stranger reads no file but those it came with
ln -s "$cases/still.yaml" link.yaml
for name in ../still.yaml "$cases/still.yaml"; do
    refuse_run "1:7: '$name' must be the name of a file beside this one or below, without '..' and \
not absolute" <<YAML
case: $name
$CHARGE
$FOUND
YAML
done
for name in below/.. below/../still.yaml 'below\still.yaml'; do
    refuse_run "1:7: '$name' must be the name of a file beside this one or below, without '..' and \
not absolute" <<YAML
case: $name
$CHARGE
$FOUND
YAML
done
# a part of 300 characters is more than a file's name may have, 5000 more than the program holds
for length in 300 5000; do
    refuse_run "1:7: '$(printf '%080d' 0)' is too long a name, or its folder has one" <<YAML
case: $(printf "%0${length}d" 0)
$CHARGE
$FOUND
YAML
done
refuse_run "1:7: 'link.yaml' is a link that leads out of the folder of this file: put the file \
itself there" <<YAML
case: link.yaml
$CHARGE
$FOUND
YAML
# one from elsewhere is read where whoever starts the program allows it, and nowhere else
printf 'case: %s\n%s\n' "$cases/still.yaml" "$FOUND" >run.yaml
for folder in "$cases" "$cases/elsewhere" . ''; do
    export NOXWASH_READ_FROM="$folder"
    [ "$folder" = "$cases" ] && run 0 run.yaml
    [ "$folder" = "$cases" ] || run 3 run.yaml
done
unset NOXWASH_READ_FROM
mkdir -p below
cp still.yaml below
ln -s below/still.yaml inside.yaml
for name in below/still.yaml inside.yaml; do
    printf 'case: %s\n%s\n' "$name" "$FOUND" >run.yaml
    run 0 run.yaml
done
refuse_run "1:73: 'metal mass': so much copper takes 0.839 mol HNO3 at least, and the acid holds \
0.635 mol: give the metal that was dissolved" <<YAML
charge: {acid: 100 g, acid strength: 40 wt%, metal: copper, metal mass: 20 g}
$FOUND
YAML
refuse_run "1:9: 'acid strength' is missing; an acid needs it" <<YAML
charge: {acid: 100 g}
$FOUND
YAML
refuse_run "1:16: 'acid': an amount is a volume or a mass, such as '60 mL' or '80 g'" <<YAML
charge: {acid: 100 min, acid strength: 40 wt%}
$FOUND
YAML
refuse_run "3:9: 'put in' is a list of at most 16 liquids, each with 'where' and 'liquid'" <<YAML
$CHARGE
$FOUND
put in: 150 mL
YAML
refuse_run "4:31: 'liquid': '30 %' of peroxide has two meanings: 30 g in 100 g (30 wt%), or 30 g in \
100 mL (30 w/v%, which is 27.2 wt%); look at the label and write wt% or w/v%" <<YAML
$CHARGE
$FOUND
put in:
  - {where: scrubber, liquid: '10 mL, 30 % peroxide'}
YAML
refuse_run "4:5: 'where' is missing; what was put in needs it" <<YAML
$CHARGE
$FOUND
put in:
  - {liquid: '10 mL, water'}
YAML
refuse_run "1:1: a run holds 'key: value' entries: charge, found" <<YAML
- a list
YAML

[ "$failures" -eq 0 ]
