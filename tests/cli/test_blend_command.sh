#!/bin/sh
# The blend command from outside: figures worked by hand, warnings, and every way of asking wrongly.
# usage: test_blend_command.sh PROGRAM
set -u
program=$(cd "$(dirname "$1")" && pwd)/$(basename "$1") || exit 1
command=blend
. "$(dirname "$0")/common.sh"
cd "$work" || exit 1

# ------------------------------------------------------------------------------- mixing
# 100 g of 50 wt% and 100 g of water: 25 wt%; 76.34 + 100.18 mL become 174.35 mL (1.1471 g/cm3)
run 0 --part '100 g, 50 wt% acid, 20 degC' --part '100 g, water, 20 degC'
has 'acid 25.00 wt% HNO3'
has 'mass 200.0 g'
has 'volume 174.4 mL at 20 degC; the parts by themselves are 176.5 mL, 2.2 mL more: volumes do not'
has 'Acid into water, never water into acid: begin with the weakest (the one without acid), stir,'
has 'regulated in many places'
has 'Brown fumes (NO2) injure the lungs'
# the same by volume: 100 g of 50 wt% are 76.336 mL
run 0 --part '76.336 mL, 50 wt% acid, 20 degC' --part '100 g, water, 20 degC' --json
/usr/bin/python3 - out <<'PYTHON' || fail "mixing by volume"
import json, sys
d = json.load(open(sys.argv[1]))
assert d["schema"] == "noxwash-blend-1" and d["task"] == "mix"
assert abs(d["result"]["HNO3_wt_pct"] - 25.0) < 0.01, d
assert abs(d["parts"][0]["mass_g"] - 100.0) < 0.01, d
assert len(d["cautions"]) > 0
PYTHON
# one litre of 68 wt% (1.4048 g/cm3, printed) to 10 wt%: 955.3 g HNO3 in 9552.6 g: 8148 g of water
run 0 --part '1 L, 68 wt% acid' --target '10 wt% acid' --json
/usr/bin/python3 - out <<'PYTHON' || fail "diluting"
import json, sys
d = json.load(open(sys.argv[1]))
assert abs(d["parts"][1]["mass_g"] - 1404.8 * 5.8) < 1, d
assert d["parts"][1]["added_to_dilute"] and abs(d["result"]["HNO3_wt_pct"] - 10) < 1e-9
PYTHON
run 0 --part '1 L, 68 wt% acid' --target '10 wt%' --make '500 mL'
has 'volume 500.0 mL at 20 degC'
has 'acid 10.00 wt% HNO3, 1.673 mol/L' # CRC Handbook 2021
run 0 --part '1 L, 68 wt% acid' --target '1.673 mol/L' --make '1 kg'
has 'acid 10.00 wt% HNO3'
has 'mass 1000 g'
run 0 --part '100 mL, 30 wt% peroxide' --target '6 wt% peroxide'
has 'peroxide 6.00 wt% H2O2'
has 'Peroxide above 12 wt% is among the parts'
has 'never close it'
hasnt 'Acid into water'
run 0 --part '1 kg, 10 wt% acid' --target '10 wt%'
hasnt 'to dilute'
run 0 --part '500 mL, 95 wt% acid, 40 degC' --part '200 mL, water, 60 degC'
has 'it would boil'
has 'Poured at once it would boil and spit'
run 0 --part '200 g, ice' --part '100 mL, 40 wt% acid, 20 degC'
has 'ice left'
has 'far colder than ice'
run 0 --part '100 g, 5 wt% acid, 3 wt% peroxide, 10 degC' --part '100 g, 5 wt% acid, 10 degC'
has 'peroxide 1.50 wt% H2O2'
hasnt 'Acid into water' # equally strong

# ------------------------------------------------------------------- acid with peroxide
# never above 12 wt% H2O2 in any part, whatever the order, the water beside it and the spelling:
# 110 volumes are 30 wt%, 13 w/v% 12.45 wt%, 3.8 mol/L 12.38 wt%
apart() {
    part=$1
    strength=$2
    shift 2
    refuse 4 "part $part holds $strength wt% H2O2, and there is acid in the mixture: acid is not planned \
together with peroxide above 12 wt%, in any order (it can heat up, boil and burst the vessel). Dilute the \
peroxide with water first, by itself, to 12 wt% or less, and let it cool" "$@"
}
apart 2 60 --part '100 mL, 65 wt% acid' --part '100 mL, 60 wt% peroxide'
apart 1 60 --part '100 mL, 60 wt% peroxide' --part '100 mL, 65 wt% acid'
apart 3 60 --part '5 L, water' --part '1 g, 1 wt% acid' --part '1 g, 60 wt% peroxide' --json
apart 2 30.01 --part '100 mL, 65 wt% acid' --part '1 mL, 110 volumes peroxide' \
    --target '0.1 wt% peroxide' --make '1 L'
apart 2 12.45 --part '1 L, 1 wt% acid' --part '1 mL, 13 w/v% peroxide'
apart 2 12.38 --part '1 L, 1 wt% acid' --part '1 mL, 3.8 mol/L peroxide'
apart 1 12.1 --part '1 L, 1 wt% acid, 12.1 wt% peroxide'
# at 12 wt% or less it is planned; strong acid is to be diluted by itself first
run 0 --part '100 mL, 65 wt% acid' --part '100 mL, 12 wt% peroxide'
has 'Acid of 65 wt% HNO3 is to meet peroxide: dilute the acid first, into water, by itself, to 40 wt% or'
hasnt 'pour the strongest'
run 0 --part '100 mL, 40 wt% acid' --part '100 mL, 12 wt% peroxide'
hasnt 'is to meet peroxide'
has 'pour the strongest (40 wt% HNO3) in last'
# peroxide alone is diluted: so the 12 wt% are made
run 0 --part '100 mL, 60 wt% peroxide' --target '12 wt%'
has 'dilute it with water, by itself; acid meets it only afterwards, at 12 wt% or less'

# ------------------------------------------------------------------------------ peroxide
# 30 wt% is 33.4 w/v%, 9.81 mol/L, 110 volumes; 30 w/v% is 8.82 mol/L (300/34.014), 98.8 volumes
run 0 --peroxide '30 %'
has 'grams in 100 g (wt%) 30.00 33.38 9.813 333.8 110.0 1.1126'
has 'grams in 100 mL (w/v%) 27.23 30.00 8.820 300.0 98.8 1.1016'
has 'the second holds 10 % less peroxide'
run 0 --peroxide '3 wt%'
has '3.00 3.03 0.890 30.3 10.0 1.0093' # "3 % = 10 volumes", common practice
run 0 --peroxide '100 volumes'
# 100/11.207 = 8.923 mol/L, times 34.014 = 303.5 g/L, of 1102.8 g/L (27.5 wt% has 1.1027)
has '27.52 30.35 8.923 303.5 100.0 1.1028'
run 0 --peroxide '30 %' --json
/usr/bin/python3 - out <<'PYTHON' || fail "peroxide as JSON"
import json, sys
m = json.load(open(sys.argv[1]))["meanings"]
assert [r["meaning"] for r in m] == ["wt%", "w/v%"] and abs(m[1]["H2O2_g_L"] - 300) < 1e-6, m
PYTHON

# --------------------------------------------------------------------------- next bottle
still=$cases/still.yaml
run 0 --next-bottle "$still" --weak-acid '6.7 wt%' --target '10 wt%' --json
/usr/bin/python3 - out <<'PYTHON' || fail "next bottle"
import json, sys
d = json.load(open(sys.argv[1]))
rows = d["rows"]
assert [r["weak_acid_mL"] for r in rows] == [0, 37.5, 75, 112.5, 150], rows
assert rows[0]["start_wt_pct"] == 0 and abs(rows[4]["start_wt_pct"] - 6.7) < 1e-9
for a, b in zip(rows, rows[1:]):
    assert b["end_wt_pct"] > a["end_wt_pct"] and b["kept_mol"] < a["kept_mol"], (a, b)
    # grams in the bottle are what was there and what was caught
for r in rows:
    w, rho = r["start_wt_pct"] / 100, None
    assert r["bottle_HNO3_g"] > r["kept_mol"] * 63.012 - 1e-6
at = d["at_target"]
assert d["target_met"] and 10 <= at["end_wt_pct"] < 10.02, at
PYTHON
# by hand: 150 mL of 6.7 wt% (1.0353 g/cm3, between printed 1.0314 and 1.0370) bring 10.40 g
# the first row is the estimate of the case itself
"$program" estimate --quick --json "$still" >estimate.json
/usr/bin/python3 - out estimate.json <<'PYTHON' || fail "next bottle against estimate"
import json, sys
rows = json.load(open(sys.argv[1]))["rows"]
r = json.load(open(sys.argv[2]))["result"]
assert abs(rows[0]["kept_mol"] / r["kept_mol"] - 1) < 1e-9
assert abs(rows[0]["escaped_mol"] / r["escaped_mol"] - 1) < 1e-9
brought = rows[4]["bottle_HNO3_g"] - rows[4]["kept_mol"] * 63.012
assert abs(brought - 150 * 1.0353 * 0.067) < 0.02, brought
PYTHON
run 0 --next-bottle "$still" --weak-acid '6.7 wt%' --target '30 wt%'
has '30 wt% is not reached: filled with the weak acid alone the bottle ends at'
run 0 --next-bottle "$still" --weak-acid '6.7 wt%' --target '5 wt%'
has '5 wt% is reached with water alone'
has 'is taken to hold no nitrous acid'

# a bottle with peroxide takes weak acid at 12 wt% H2O2 and not above
for strength in 12 12.5 34.9; do
    sed "s/peroxide: .*/peroxide: $strength wt%/" "$cases/still-peroxide.yaml" >strong.yaml
    grep -q "peroxide: $strength wt%" strong.yaml || fail "the case has no peroxide to change"
    if [ "$strength" = 12 ]; then
        run 0 --next-bottle strong.yaml --weak-acid '6.7 wt%'
    else
        refuse 4 "strong.yaml: bottle 1 is charged with $strength wt% H2O2: acid is not planned together \
with peroxide above 12 wt% (it can heat up, boil and burst the vessel). Charge the bottle with 12 wt% or \
less, or without peroxide" --next-bottle strong.yaml --weak-acid '6.7 wt%' --target '8 wt%'
    fi
done
# an estimate of such a charge may be an account of what was done: it warns
sed 's/peroxide: .*/peroxide: 20 wt%\n    acid: 5 wt%/' "$cases/still-peroxide.yaml" >charged.yaml
"$program" estimate --quick charged.yaml >out 2>err || fail "estimate of acid with peroxide: $(cat err)"
has 'Acid is in the same charge: never bring acid and peroxide of this strength together; dilute the'
sed -i '/acid: 5 wt%/d' charged.yaml
"$program" estimate --quick charged.yaml >out 2>err || fail "estimate of peroxide: $(cat err)"
has 'above 12 wt% it can boil up by itself; use less.'
hasnt 'Acid is in the same charge'

# ------------------------------------------------------------------------------ refusals
P='--part'
whats="--part (mix and dilute), --peroxide (strengths of peroxide) or --next-bottle CASE; see \
noxwash blend --help"
example="'250 mL, 10 wt% acid, 20 degC'"
refuse 2 "say what to do: $whats"
refuse 2 "one task at a time: $whats" --peroxide '3 wt%' $P '1 L, water'
refuse 2 "--make: it does not go with this task; see noxwash blend --help" --peroxide '3 wt%' \
    --make '1 L'
refuse 2 "--target: it does not go with this task; see noxwash blend --help" --peroxide '3 wt%' \
    --target '1 wt%'
refuse 2 "--weak-acid: it does not go with this task; see noxwash blend --help" $P '1 L, water' \
    --weak-acid '3 wt%'
refuse 2 "--stage: it does not go with this task; see noxwash blend --help" $P '1 L, water' \
    --stage 1
refuse 2 "--water-temperature: it does not go with this task; see noxwash blend --help" \
    --peroxide '3 wt%' --water-temperature '5 degC'
for text in '250 mL' '' ',' '250 mL,' '250 mL, , water' '1 L, a, b, c, d, e, f'; do
    [ -n "$text" ] || continue
    refuse 2 "--part: part 1: a part is an amount and what it is, with commas between: such as \
$example" $P "$text"
done
refuse 2 "--part: part 2: say what it is: '10 wt% acid', '6 wt% peroxide', 'water' or 'ice'" \
    $P '1 L, water' $P '250 mL, 20 degC'
refuse 2 "--part: part 1: 'brine': not understood; write such as $example, '1 L, 6 wt% peroxide', \
'500 g, water' or '200 g, ice'" $P '1 L, brine'
refuse 2 "--part: part 1: '10 % acid': the unit '%' does not fit; accepted: wt%, mol/L, g/L" \
    $P '1 L, 10 % acid'
refuse 2 "--part: part 1: '30 %' of peroxide has two meanings: 30 g in 100 g (30 wt%), or 30 g in \
100 mL (30 w/v%, which is 27.2 wt%); look at the label and write wt% or w/v%" \
    $P '1 L, 30 % peroxide'
refuse 2 "--part: part 1: water and ice stand alone; a solution is named by its strength" \
    $P '1 L, water, 10 wt% acid'
refuse 2 "--part: part 1: ice is reckoned at 0 degC; leave its temperature out" \
    $P '100 g, ice, -10 degC'
refuse 2 "--part: part 1: '1 L': weigh ice: give it in g or kg" $P '1 L, ice'
refuse 2 "--part: part 1: acid and peroxide together are more than the whole" \
    $P '1 L, 60 wt% acid, 50 wt% peroxide'
refuse 2 "--part: part 1: the temperature of a part lies between -10 and 95 degC" \
    $P '1 L, water, 99 degC'
refuse 2 "--part: part 1: '1 mol': an amount is a volume or a mass, in mL, L, m3, g, kg or mg" \
    $P '1 mol, water'
refuse 2 "--part: part 1: '0 mL': an amount is more than 0" $P '0 mL, water'
refuse 2 "--target: the parts together hold only 10 wt%; water makes that weaker, not stronger" \
    $P '1 L, 10 wt% acid' --target '20 wt%'
refuse 2 "--target: the parts together hold only 0 wt%; water makes that weaker, not stronger" \
    $P '1 L, water' --target '5 wt% acid'
refuse 2 "--target: say of what: such as '5 wt% acid' or '3 wt% peroxide'" \
    $P '1 L, 10 wt% acid, 3 wt% peroxide' --target '1 wt%'
refuse 2 "--target: it must be more than 0" $P '1 L, 10 wt% acid' --target '0 wt%'
refuse 2 "--target: the unit is missing; accepted: wt%, mol/L, g/L" $P '1 L, 10 wt% acid' \
    --target 5
refuse 2 "--make: an amount is a volume or a mass, in mL, L, m3, g, kg or mg" \
    $P '1 L, 10 wt% acid' --make '5 mol'
refuse 2 "--make: it must be more than 0" $P '1 L, 10 wt% acid' --make '0 L'
refuse 2 "--water-temperature: no water is added without a --target" $P '1 L, 10 wt% acid' \
    --water-temperature '5 degC'
refuse 2 "--water-temperature: it lies between 0 and 95 degC" $P '1 L, 10 wt% acid' \
    --target '5 wt%' --water-temperature '-5 degC'
refuse 4 "the mixture would be below its freezing point; begin with warmer parts" \
    $P '1 L, water, -5 degC'
refuse 2 "--peroxide: the unit is missing; accepted: wt%, w/v%, mol/L, volumes" --peroxide 30
refuse 2 "--peroxide: no peroxide solution has that strength" --peroxide '500 w/v%'
refuse 2 "--peroxide: a strength lies between 0 and 100 wt%" --peroxide '120 wt%'
refuse 2 "--weak-acid: the strength of the weak acid at hand is missing, such as '6.7 wt%'" \
    --next-bottle "$still"
refuse 2 "--weak-acid: weak acid lies between 0 and 40 wt%" --next-bottle "$still" \
    --weak-acid '68 wt%'
refuse 2 "--stage: the train has stages 1 to 1" --next-bottle "$still" --weak-acid '6 wt%' \
    --stage 2
run 6 --next-bottle missing.yaml --weak-acid '6 wt%'
printf 'source:\n  kind: metal\n' >bad.yaml
run 3 --next-bottle bad.yaml --weak-acid '6 wt%'
many=
for i in 1 2 3 4 5 6 7 8 9 10 11 12 13 14 15 16 17; do many="$many --part 1L,water"; done
# shellcheck disable=SC2086
refuse 2 "--part may be given 16 times at most" $many

[ "$failures" -eq 0 ]
