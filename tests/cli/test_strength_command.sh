#!/bin/sh
# The strength command from outside: figures, warnings, and every way of asking wrongly.
# usage: test_strength_command.sh PROGRAM
set -u
program=$(cd "$(dirname "$1")" && pwd)/$(basename "$1") || exit 1
command=strength
. "$(dirname "$0")/common.sh"
cd "$work" || exit 1

# ------------------------------------------------------------------------------ figures
run 0 --density '1.1150 g/cm3' --temperature '20 degC' # CRC Handbook 2021: 20 wt%, 3.539 mol/L
has 'nitric acid 20.0 wt% HNO3'
has 'in a litre 3.54 mol, 223 g, at 20.0 degC'
has 'here it is a printed table'
has 'Orange or brown: dissolved NO2 reads as acid'
has 'Blue or green: nitrous acid reads as acid'
# by hand: 21 wt% of solute, a 21st of it peroxide: 1/rho = (20/1121.4 + 1/1077.1)/21 of it,
# 4.2 kg/m3 above 1115.0, at 6.33 kg/m3 for 1 wt% of acid
has 'Left-over peroxide reads as acid: 1 wt% of it as 0.7 wt% here'
has 'regulated in many places'
has 'Brown fumes (NO2) injure the lungs'
run 0 --density '1.2990 g/cm3' --temperature '35 degC'
has 'glass -0.0005 g/cm3' # 25e-6 * 15 K * 1.299
has 'would have given 48.2 wt% in place of 51.1 wt%: too weak'
has '1.3167 g/cm3 at 20.0 degC'
run 0 --density '1.2990 g/cm3' --temperature '10 degC'
has 'too strong'
run 0 --density '1.2990 g/cm3' --temperature '35 degC' --nitrous-acid '1 wt%'
has 'would have given 48.2 wt% in place of 51.1 wt% (before anything is taken off): too weak'
run 0 --density '1.2990 g/cm3' --temperature '35 degC' --glass none
has 'taken as the true density'
run 0 --baume 42 --modulus 145 --temperature '15.5556 degC'
has 'as specific gravity 1.4078, scale 60/60 F' # published: not 1.42
run 0 --gravity 1.30 --scale '60/60 F' --temperature '15.5556 degC'
has 'as density 1.2987 g/cm3' # 1.30 * 0.99902
run 0 --gravity 1.30 --scale 20/20 --temperature '20 degC'
has 'as density 1.2977 g/cm3' # 1.30 * 0.99821
run 0 --gravity 1.30 --scale 15/4 --temperature '15 degC'
has 'as density 1.3000 g/cm3' # 1.30 * 0.999975
run 0 --density '0.9985 g/cm3' --temperature '20 degC'
has 'cannot tell this liquid from one without nitric acid'
run 0 --density '1.4350 g/cm3' --temperature '20 degC'
has 'remembered data only: confirm it in print, or titrate'
run 0 --density '1.40 g/cm3' --temperature '20 degC' --dissolved-NO2 '1 wt%'
has '1.00 wt%, by 0.0048 +- 0.001 g/cm3 for 1 wt%'
run 0 --density '1.10 g/cm3' --temperature '20 degC' --nitrous-acid '0.2 mol/L'
has 'nitrous acid 0.85 wt%' # 0.2 * 47.013 / 1100
run 0 --density '1.10 g/cm3' --temperature '20 degC' --left-over-peroxide '1 wt%'
has 'peroxide 1.00 wt%'

# titration, by hand: 0.5 mol/L * 20 mL / 5 mL = 2.000 mol/L; 2.5 * 0.02 * 10 / 5 = 0.100 mol/L
set -- --sample '5 mL' --alkali '20 mL' --alkali-strength '0.5 mol/L' \
    --permanganate '10 mL' --permanganate-strength '0.02 mol/L'
run 0 "$@" --permanganate-finds 'nitrous acid'
has 'all acid, by alkali 2 mol/L'
has 'of it nitrous acid 0.1 mol/L'
has 'in a litre 1.90 mol, 120 g, at 20.0 degC'
run 0 "$@" --permanganate-finds peroxide --permanganate-sample '10 mL' --json
/usr/bin/python3 - out <<'PYTHON' || fail "titration as JSON"
import json, sys
t = json.load(open(sys.argv[1]))["titration"]
assert abs(t["H2O2_mol_L"] - 0.05) < 1e-9 and t["HNO2_mol_L"] == 0, t
assert abs(t["HNO3_mol_L"] - 2.0) < 1e-9, t
# CRC Handbook 2021: 2.03 mol/L is 12 wt%, 1.851 mol/L 11 wt%, linear between; the peroxide
# (0.05 mol/L, 1.7 g/L) makes the liquid 0.6 g/L heavier: 0.0006 of 11.8
assert abs(t["HNO3_wt_pct"] - (11 + (2.0 - 1.851) / 0.179)) < 0.02, t
# 1 % of 2 mol/L, at 1 wt% for 0.179 mol/L: 0.1117 wt% 95 times of 100
assert abs(t["HNO3_wt_pct_standard_error"] * 1.96 / (0.02 / 0.179) - 1) < 0.02, t
PYTHON
titration="$*"
run 0 --density '1.0660 g/cm3' --temperature '20 degC' --sample '5 mL' --alkali '20.3 mL' \
    --alkali-strength '0.5 mol/L' # both say 12 wt%
has 'they agree'
! grep -q 'Titration is the better way' out || fail "advises what was done"
run 0 --density '1.0900 g/cm3' --temperature '20 degC' --sample '5 mL' --alkali '20.3 mL' \
    --alkali-strength '0.5 mol/L'
has 'the density reads more acid than the titration found'
run 0 --density '1.0500 g/cm3' --temperature '20 degC' --sample '5 mL' --alkali '20.3 mL' \
    --alkali-strength '0.5 mol/L'
has 'the density reads less acid than the titration found'

# errors as kg/m3: 0.001 * 998.2/1.96; and 0.2 degrees of 145/(145 - Be): 0.2 * rho/109 / 1.96
error_is() {
    sed -n 's/.*"density_standard_error_kg_m3": *\([0-9.e-]*\).*/\1/p' out |
        awk -v want="$1" '{ d = $1 / want - 1; good = d < 1e-3 && d > -1e-3 } END { exit !good }' ||
        fail "the error of the reading is not $1"
}
run 0 --gravity 1.33 --scale 20/20 --temperature '20 degC' --json
error_is 0.50929
run 0 --baume 36 --modulus 145 --temperature '15.5556 degC' --json
error_is 1.24415 # rho = 1.33028 * 999.016

# ------------------------------------------------------------------------ there and back
for wt in 0.5 3 10 27.5 40 55 68 80; do
    for t in 0 15 20 35 60; do
        run 0 --strength "$wt wt%" --temperature "$t degC" --json
        /usr/bin/python3 - out >ask <<'PYTHON'
import json, sys
r = json.load(open(sys.argv[1]))["result"]
for option, key in (("--density", "hydrometer_20C_g_cm3"), ("--gravity", "gravity_20_4"),
                    ("--gravity", "gravity_20_20"), ("--gravity", "gravity_15_4"),
                    ("--gravity", "gravity_60_60F"), ("--baume", "baume_145"),
                    ("--baume", "baume_144_3")):
    scale = {"gravity_20_4": "20/4", "gravity_20_20": "20/20", "gravity_15_4": "15/4",
             "gravity_60_60F": "60/60 F"}.get(key, "")
    modulus = {"baume_145": "145", "baume_144_3": "144.3"}.get(key, "")
    print("%s|%.9f%s|%s|%s" % (option, r[key], " g/cm3" if option == "--density" else "",
                               scale, modulus))
PYTHON
        while IFS='|' read -r option number scale modulus; do
            case $number in -*) continue ;; esac # hot and weak: lighter than the Baume zero
            run 0 "$option" "$number" ${scale:+--scale "$scale"} ${modulus:+--modulus "$modulus"} \
                --temperature "$t degC" --json
            sed -n 's/.*"HNO3_wt_pct": *\([0-9.e-]*\).*/\1/p' out | awk -v want="$wt" '
                { d = $1 - want; good = d < 1e-6 && d > -1e-6 } END { exit !good }' ||
                fail "$wt wt% at $t degC through $option $number $scale $modulus"
        done <ask
    done
done

# the chart: every row of it as the CRC Handbook has it at 20 degC
run 0 --chart
has '20 | 1.1199 1.1176 1.1150 1.1122 1.1092 1.1026 | 3.539 223.0'
[ "$(awk 'length > 79' out | wc -l)" -eq 0 ] || fail "the chart is too wide"
run 0 --chart --json
/usr/bin/python3 -m json.tool out >/dev/null || fail "the chart's JSON"

# ------------------------------------------------------------------------------ refusals
T='--temperature'
refuse 2 "a reading is wanted: --density, --gravity with --scale, --baume with --modulus, or \
--sample and --alkali; see noxwash strength --help"
refuse 2 "--density: the unit is missing; accepted: g/cm3, g/mL, kg/m3" --density 1.3 $T '20 degC'
refuse 2 "--density: nitric acid weighs between 0.95 and 1.55 g/cm3; is the unit right?" \
    --density '1.3 kg/m3' $T '20 degC'
refuse 2 "--temperature: the temperature of the liquid is missing; 5 K of error is up to 1 wt%" \
    --density '1.3 g/cm3'
refuse 2 "--temperature: the unit is missing; accepted: degC, °C, K" --density '1.3 g/cm3' $T 20
refuse 2 "--density: give one reading: density, gravity or baume" \
    --density '1.3 g/cm3' --baume 36 $T '20 degC'
refuse 2 "--scale: a density in g/cm3 needs none; is the reading a specific gravity or degrees \
Baume?" --density '1.3 g/cm3' --scale 20/4 $T '20 degC'
refuse 2 "--hydrometer: the temperature a hydrometer was made for lies between 0 and 40 degC; it \
stands on its paper" --density '1.3 g/cm3' --hydrometer '60 degC' $T '20 degC'
refuse 2 "--gravity: specific gravity says nothing without its scale; give it, as it stands on the \
hydrometer: 20/4, 20/20, 15/4 (degC) or '60/60 F'" --gravity 1.3 $T '20 degC'
refuse 2 "--gravity: a plain number without a unit is wanted" --gravity '1.3 g/cm3' --scale 20/4 \
    $T '20 degC'
refuse 2 "--modulus: a modulus goes with degrees Baume only" --gravity 1.3 --modulus 145 \
    --scale 20/4 $T '20 degC'
for scale in 60/60 20 20/x '60/60 C' / 20/4/4; do
    refuse 2 "--scale: a scale is two temperatures, of the liquid and of the water, 0 to 40 degC: \
such as 20/4, 20/20, 15/4 (degC) or '60/60 F'" --gravity 1.3 --scale "$scale" $T '20 degC'
done
refuse 2 "--baume: degrees Baume say nothing without the modulus; give it: 145 (United States, \
60/60 F), 144.3 (Europe, 15/15), 144 (old Dutch) or 146.78 (Gerlach)" --baume 36 $T '20 degC'
refuse 2 "--modulus: only 145 and 144.3 bring their temperatures with them; give the scale too, \
such as 15/15" --baume 36 --modulus 146.78 $T '20 degC'
refuse 2 "--modulus: a modulus for heavy liquids lies between 140 and 150" --baume 36 \
    --modulus 1.45 $T '20 degC'
refuse 2 "--baume: heavy degrees Baume lie between 0 and 75" --baume 80 --modulus 145 $T '20 degC'
refuse 2 "--hydrometer: the scale already says for which temperature the hydrometer was made" \
    --gravity 1.3 --scale 20/4 --hydrometer '20 degC' $T '20 degC'
refuse 2 "--glass: the unit is missing; accepted: per K" --density '1.3 g/cm3' --glass 25e-6 \
    $T '20 degC'
refuse 2 "--glass: cubic expansion of glass is some '25e-6 per K'; 'none' for an instrument that \
shows the true density" --density '1.3 g/cm3' --glass '25 per K' $T '20 degC'
refuse 2 "--reading-error: an error is 0 or more" --density '1.3 g/cm3' $T '20 degC' \
    --reading-error '-0.001 g/cm3'
refuse 2 "--temperature-error: an error is 0 or more" --density '1.3 g/cm3' $T '20 degC' \
    --temperature-error '-1 K'
refuse 2 "--reading-error: a plain number without a unit is wanted" --gravity 1.3 --scale 20/4 \
    $T '20 degC' --reading-error '0.001 g/cm3'
refuse 2 "--dissolved-NO2: it lies between 0 and 30 wt%" --density '1.3 g/cm3' $T '20 degC' \
    --dissolved-NO2 '40 wt%'
refuse 2 "--nitrous-acid: the unit does not fit; accepted: wt%, mol/L, mmol/L" \
    --density '1.3 g/cm3' $T '20 degC' --nitrous-acid '1 %'
refuse 2 "--left-over-peroxide: the unit '%' does not fit; accepted: wt%, w/v%, mol/L, volumes" \
    --density '1.3 g/cm3' $T '20 degC' --left-over-peroxide '1 %'
refuse 2 "--scale: it goes with a reading: --density, --gravity or --baume" --chart --scale 20/4
refuse 2 "--temperature: the chart has columns for all of them" --chart $T '20 degC'
refuse 2 "--chart, --strength and a reading do not go together; one at a time" --chart \
    --strength '5 wt%'
refuse 2 "--chart, --strength and a reading do not go together; one at a time" \
    --density '1.3 g/cm3' $T '20 degC' --strength '5 wt%'
refuse 2 "--dissolved-NO2, --nitrous-acid and --left-over-peroxide correct a density reading; \
there is none" --sample '5 mL' --dissolved-NO2 '1 wt%'
refuse 2 "--strength: the unit '%' does not fit; accepted: wt%, mol/L, g/L" --strength '20 %'
refuse 2 "--strength: no nitric acid has that strength" --strength '30 mol/L'
refuse 2 "--strength: a strength lies between 0 and 100 wt%" --strength '101 wt%'
refuse 2 "--temperature: the density of nitric acid is known from -10 to 95 degC" \
    --strength '20 wt%' $T '99 degC'
refuse 4 "the density of nitric acid is known from -10 to 95 degC" --density '1.3 g/cm3' $T '99 degC'
refuse 4 "1.4900 g/cm3 is more than 1.4686 g/cm3, acid of 85 wt% at 20.0 degC; above it the curve \
is too flat to read a strength from (1 wt% changes the density by less than 0.003 g/cm3, and \
dissolved NO2 by more): titrate" --density '1.49 g/cm3' --glass none $T '20 degC'
refuse 4 "0.9900 g/cm3 is lighter than the liquid would be without any acid, 0.9982 g/cm3 at 20.0 \
degC, and by more than the errors; look again at the scale of the hydrometer and at the \
temperature" --density '0.99 g/cm3' $T '20 degC'
refuse 4 "the nitrous acid given is more than all the density can hold" --density '1.02 g/cm3' \
    $T '20 degC' --nitrous-acid '20 wt%'
A='--alkali-strength'
refuse 2 "--sample: the volume of the sample is missing, such as '5 mL'" --alkali '20 mL'
refuse 2 "--alkali: the volume of alkali used up is missing, such as '22.4 mL'" --sample '5 mL'
refuse 2 "--alkali-strength: the strength of the alkali is missing, such as '0.5 mol/L'" \
    --sample '5 mL' --alkali '20 mL'
refuse 2 "--sample: it must be more than 0" --sample '0 mL' --alkali '20 mL' $A '0.5 mol/L'
refuse 2 "--permanganate-strength: it says nothing without the volume of permanganate" \
    --sample '5 mL' --alkali '20 mL' $A '0.5 mol/L' --permanganate-strength '0.02 mol/L'
refuse 2 "--permanganate-strength: the strength of the permanganate is missing, such as '0.02 \
mol/L' (mol of KMnO4, a fifth of the normality)" --sample '5 mL' --alkali '20 mL' $A '0.5 mol/L' \
    --permanganate '3 mL'
refuse 2 "--permanganate-finds: permanganate finds 'nitrous acid' or 'peroxide' (a liquid holds \
only one of them for long): say which was in the bottle" --sample '5 mL' --alkali '20 mL' \
    $A '0.5 mol/L' --permanganate '3 mL' --permanganate-strength '0.02 mol/L'
refuse 2 "--titration-error: an error lies between 0 and 50 %" --sample '5 mL' --alkali '20 mL' \
    $A '0.5 mol/L' --titration-error '60 %'
refuse 4 "the permanganate found more nitrous acid than the alkali found acid; one of the two \
titrations, or a strength, is wrong" --sample '5 mL' --alkali '1 mL' $A '0.5 mol/L' \
    --permanganate '30 mL' --permanganate-strength '0.02 mol/L' --permanganate-finds 'nitrous acid'
refuse 4 "no liquid holds that much in its volume; look again at the volumes and the strengths" \
    --sample '5 mL' --alkali '500 mL' $A '0.5 mol/L'

[ "$failures" -eq 0 ]
