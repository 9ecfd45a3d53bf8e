#!/bin/sh
# The packer of constants takes whole records and refuses others, naming line and column.
# usage: test_pack.sh path/to/noxwash (the packer lies next to it)
set -u
pack=$(dirname "$1")/pack
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
failed=0
heading=key,value,unit,low,high,group,known,source,note
good='a,1,m,0.5,2,,memory,"Source, ""quoted""",note'

complain() {
    echo "FAILED: $1"
    failed=1
}

# pack_text PRINTF_FORMAT: leaves status in $status, message in $folder/message
pack_text() {
    rm -rf "$folder/out"
    mkdir "$folder/out"
    # shellcheck disable=SC2059
    printf "$1" >"$folder/constants.csv"
    "$pack" "$folder/constants.csv" "$folder/out" 2>"$folder/message"
    status=$?
}

# refused NAME WHERE PRINTF_FORMAT: exit status 1, the message has WHERE, nothing is written
refused() {
    pack_text "$3"
    [ "$status" -eq 1 ] || complain "$1: exit status $status"
    grep -qF "constants.csv:$2" "$folder/message" ||
        complain "$1: said '$(cat "$folder/message")', wanted $2"
    [ -z "$(ls "$folder/out")" ] || complain "$1: wrote files"
}

taken() {
    pack_text "$2"
    [ "$status" -eq 0 ] || complain "$1: $(cat "$folder/message")"
}

table_has() {
    grep -qF "$2" "$folder/out/parameter_table.c" || complain "$1: table lacks $2"
}

taken 'whole record' "$heading\n$good\n"
table_has 'whole record' '{"a", 1, "m", 0.5, 2, "", NXW_KNOWN_MEMORY, "Source, \"quoted\"", "note"}'
grep -qF 'NXW_P_a,' "$folder/out/parameter_ids.h" || complain 'whole record: no identifier'
taken 'lines ending in CR LF' "$heading\r\n$good\r\n"
table_has 'lines ending in CR LF' '"note"}'
taken 'number with leading zero' "$heading\na,010,m,1,20,,memory,S,\n"
table_has 'number with leading zero' '"a", 10, '
taken 'last line without end' "$heading\n$good"

refused 'no key' '2: key' "$heading\n,1,m,1,1,,memory,S,\n"
refused 'no value' '2: value' "$heading\na,,m,1,1,,memory,S,\n"
refused 'no unit' '2: unit' "$heading\na,1,,1,1,,memory,S,\n"
refused 'blank unit' '2: unit' "$heading\na,1, ,1,1,,memory,S,\n"
refused 'no low end' '2: low' "$heading\na,1,m,,1,,memory,S,\n"
refused 'no high end' '2: high' "$heading\na,1,m,1,,,memory,S,\n"
refused 'no source' '2: source' "$heading\na,1,m,1,1,,memory,,\n"
refused 'not known how' '2: known' "$heading\na,1,m,1,1,,,S,\n"
refused 'known by rumour' '2: known' "$heading\na,1,m,1,1,,rumour,S,\n"
refused 'same key twice' '3: key' "$heading\n$good\n$good\n"
refused 'key with a space' '2: key' "$heading\na b,1,m,1,1,,memory,S,\n"
refused 'not a number' '2: value' "$heading\na,1x,m,1,1,,memory,S,\n"
refused 'NaN' '2: value' "$heading\na,nan,m,1,1,,memory,S,\n"
refused 'too large for a number' '2: value' "$heading\na,1e999,m,1,1,,memory,S,\n"
refused 'infinite range' '2: high' "$heading\na,1,m,1,inf,,memory,S,\n"
refused 'below the range' '2: value' "$heading\na,1,m,2,3,,memory,S,\n"
refused 'above the range' '2: value' "$heading\na,4,m,2,3,,memory,S,\n"
refused 'range upside down' '2: value' "$heading\na,1,m,2,0,,memory,S,\n"
refused 'a field too few' '2: record' "$heading\na,1,m,1,1,,memory,S\n"
refused 'a field too many' '2: record' "$heading\na,1,m,1,1,,memory,S,,\n"
refused 'open quote' '2: record' "$heading\na,1,m,1,1,,memory,\"S,\n"
refused 'field over two lines' '2: source' "$heading\na,1,m,1,1,,memory,\"S\nT\",\n"
refused 'columns exchanged' '1: low' "key,value,unit,high,low,group,known,source,note\n$good\n"
refused 'zero byte' '0: record' "$heading\n$good\n\000b,1,,1,1,,memory,,\n"
refused 'headings only' '1: record' "$heading\n"
refused 'later line' '3: unit' "$heading\n$good\nb,1,,1,1,,memory,S,\n"

[ "$failed" -eq 0 ] && echo "pack takes whole records and refuses the others"
exit "$failed"
