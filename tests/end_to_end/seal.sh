#!/usr/bin/env bash
# A sealed tasting and a draw with guests, from the first command to the verdict, as cooks would type them.
#   seal.sh build/oddplate
# Before close neither the words nor anything of the list of codes may stand in the book, its write-ahead log, or an export.
set -euo pipefail
oddplate=$(realpath "$1")
folder=$(mktemp -d)
reader=""
# shellcheck disable=SC2317  # run by the trap
clean_up() {
    if [ -n "$reader" ]; then kill "$reader" 2>/dev/null || true; fi
    rm -rf "$folder"
}
trap clean_up EXIT
cd "$folder"
export XDG_DATA_HOME="$folder/data"
book="$folder/data/oddplate/book.sqlite"

fail() {
    echo "FAILED: $*" >&2
    exit 1
}
# refused TEXT command...: exit 2, one line on standard error with TEXT in it, nothing on standard output.
refused() {
    local text="$1" code=0
    shift
    "$@" >out.txt 2>err.txt || code=$?
    [ "$code" -eq 2 ] || fail "exit $code of: $*"
    [ ! -s out.txt ] || fail "an answer of a refused command: $*"
    [ "$(wc -l <err.txt)" -eq 1 ] || fail "not one line but: $(cat err.txt)"
    grep -qF -- "$text" err.txt || fail "expected \"$text\", found: $(cat err.txt)"
}
field() { python3 -c 'import json, sys; print(json.load(sys.stdin)[sys.argv[1]])' "$1"; }
rows() { sqlite3 "$book" "SELECT count(*) FROM log WHERE tasting = '$1'"; }
kinds() { sqlite3 "$book" "SELECT group_concat(kind, ' ') FROM (SELECT kind FROM log WHERE tasting = '$1' ORDER BY seq)"; }

cat >plan.json <<'PLAN'
{"title":"Made up","versions":[{"id":"usual","label":"the usual one"},{"id":"new","label":"the new one"}],
 "tasters":6,"spares":0,"rounds":[{"method":"triangle","spots":["edge","centre"],"detect_pd":0.4}]}
PLAN

# ---- a sealed draw
id=$("$oddplate" new plan.json --json | field tasting)
# Somebody else has the book open, so that the write-ahead log stays and can be looked at.
mkfifo hold
sqlite3 "$book" <hold >/dev/null &
reader=$!
exec 9>hold
echo "BEGIN; SELECT count(*) FROM log;" >&9
"$oddplate" draw "$id" --seal --json >drawn.json 2>talk.txt
[ ! -s talk.txt ] || fail "the draw talks: $(cat talk.txt)"
field words <drawn.json >words.txt
read -ra words <words.txt
[ "${#words[@]}" -eq 5 ] || fail "not five words"
refused "exclude each other" "$oddplate" draw "$id" --seal --seed "$(printf '0%.0s' {1..64})"

[ -s "$book-wal" ] || fail "there is no write-ahead log to look at"
cp "$book" book.early
cp "$book-wal" wal.early
"$oddplate" export "$id" early.json >/dev/null
[ "$(field sealed <early.json | field format)" = oddplate.sealed ] || fail "the export carries no box"
python3 -c 'import json; assert "key" not in json.load(open("early.json"))' || fail "the export carries a key"

# ---- before close
before=$(rows "$id")
refused "its five words are needed" "$oddplate" print "$id" --blind-tubs --into papers </dev/null
refused "print with --blind-tubs" "$oddplate" print "$id" --into papers --words words.txt
echo "abacus abacus abacus abacus abacus" >wrong.txt
refused "do not open" "$oddplate" print "$id" --blind-tubs --into papers --words wrong.txt
echo "abacus abacus abakus abacus abacus" >misspelt.txt
refused "word 3" "$oddplate" print "$id" --blind-tubs --into papers --words misspelt.txt
refused "words.none" "$oddplate" print "$id" --blind-tubs --into papers --words words.none
code=$("$oddplate" ballots "$id" --json | python3 -c 'import json, sys; print(json.load(sys.stdin)[0]["sets"][0]["codes"][0])')
refused "its five words are needed" "$oddplate" reveal "$id" --ballot 1 --code "$code" --why "allergy" </dev/null
refused "do not open" "$oddplate" reveal "$id" --ballot 1 --code "$code" --why "allergy" --words wrong.txt
refused "do not open" "$oddplate" judge "$id" --unblind-early "curious" --words wrong.txt
refused "opens after" "$oddplate" key "$id" --words words.txt
refused "opens after" "$oddplate" judge "$id" --words words.txt
[ "$(rows "$id")" -eq "$before" ] || fail "a refused command left a row"
[ ! -e papers ] || fail "a refused command left papers"

"$oddplate" print "$id" --slip --into papers --words words.txt >/dev/null
tr 'a-z ' 'A-Z-' <words.txt | "$oddplate" print "$id" --blind-tubs --into papers --words - >/dev/null
for word in "${words[@]}"; do
    pdftotext papers/sealed/envelope.pdf - | grep -qx "$word" || fail "the envelope lacks a word"
    for page in papers/room/*.pdf papers/kitchen/*.pdf papers/sealed/slip.pdf; do
        if pdftotext "$page" - | grep -qw "${words[*]}"; then fail "the words stand on $page"; fi
    done
done
pdftotext -l 1 papers/sealed/envelope.pdf - | grep -qF "Open only if the words are lost" || fail "the envelope's cover does not say what it is"
[ "$(stat -c %a papers/sealed/envelope.pdf)" = 600 ] || fail "everybody may read the envelope"
letter=$(pdftotext papers/sealed/slip.pdf - | grep -xE '[ADHJKLTXY]' | head -n 1)
"$oddplate" reveal "$id" --ballot 1 --code "$code" --why "allergy" --words words.txt | grep -qE "^$code is (usual|new)\." || fail "no version was told"
"$oddplate" tubs "$id" --row edge --really "$letter=new" --why "cards read" --words words.txt >/dev/null

# On a terminal the words are asked for and do not show.
if command -v script >/dev/null; then
    until_seen() { for _ in $(seq 600); do if "$@" 2>/dev/null; then return 0; fi; sleep 0.1; done; }
    {
        until_seen grep -qF "five words" terminal.txt
        cat words.txt
        until_seen test -s asked/sealed/envelope.pdf
    } | TERM=dumb script -qefc "'$oddplate' print $id --slip --into asked" terminal.txt >/dev/null || fail "typed words: $(cat terminal.txt)"
    [ -s asked/sealed/envelope.pdf ] || fail "the words typed on a terminal did not open anything: $(cat terminal.txt)"
    if grep -qF "${words[*]}" terminal.txt; then fail "the words show while they are typed"; fi
fi

# ---- another machine, close, and the words once
XDG_DATA_HOME="$folder/other" "$oddplate" import early.json >/dev/null
"$oddplate" close "$id" --yes >/dev/null
"$oddplate" export "$id" closed.json >/dev/null
cp "$book" book.late
cp "$book-wal" wal.late
refused "its five words are needed" "$oddplate" judge "$id" </dev/null
refused "do not open" "$oddplate" key "$id" --words wrong.txt
"$oddplate" verify "$id" >verify.txt || fail "a locked tasting does not verify"
XDG_DATA_HOME="$folder/other" "$oddplate" import closed.json >/dev/null
XDG_DATA_HOME="$folder/other" "$oddplate" key "$id" --words words.txt --json >key.other
"$oddplate" key "$id" --words words.txt --json >key.json
cmp key.json key.other || fail "the two machines have two keys"
"$oddplate" judge "$id" --json </dev/null | field verdict | grep -qx unsettled || fail "no verdict"
"$oddplate" verify "$id" --printed "$("$oddplate" verify "$id" --json | field fingerprint | cut -c 1-24)" >/dev/null || fail "it does not verify"
"$oddplate" check >/dev/null || fail "the book is not sound"
[ "$(kinds "$id" | tr ' ' '\n' | grep -c unsealed)" -eq 1 ] || fail "not unsealed once: $(kinds "$id")"
# The draw's balances make all orders alike in number, so what tells is which ballot got which: the key's own text.
sqlite3 "$book" "SELECT body FROM key WHERE tasting = '$id'" >key.txt
look() {
    python3 - "$1" <<'LOOK'
import json, pathlib, re, sys
seen = pathlib.Path(sys.argv[1]).read_bytes().lower()
key = json.load(open("key.txt"))
words = open("words.txt").read().split()
secrets = [key["seed"], key["salt"], '"tubs"', '\\"tubs\\"', json.dumps(key["ballots"][0], separators=(",", ":"))]
secrets += [between.join(words) for between in (" ", "-", "")]
found = [s for s in secrets if s.lower().encode() in seen]
# A word may stand in the file by chance ("title"), two next to each other may not.
found += [a + " " + b for a, b in zip(words, words[1:]) if re.search(rb"\b" + a.encode() + rb"\W+" + b.encode() + rb"\b", seen)]
sys.exit(f"{sys.argv[1]}: {found}" if found else 0)
LOOK
}
for file in book.early wal.early early.json book.late wal.late closed.json; do look "$file" || fail "$file holds what is sealed"; done
# The same look finds it where it may stand: in the log of the book that was opened, in its export, in the words' own file.
"$oddplate" export "$id" opened.json >/dev/null
for file in "$book-wal" opened.json words.txt; do
    if look "$file" 2>/dev/null; then fail "the look finds nothing in $file"; fi
done
echo ".quit" >&9
exec 9>&-
wait "$reader" || true
reader=""

# ---- a draw with guests: the number is there before the first word is said
id=$("$oddplate" new plan.json --json | field tasting)
refused "exclude each other" "$oddplate" draw "$id" --guests --seed "$(printf '0%.0s' {1..64})"
coproc draw { "$oddplate" draw "$id" --guests; }
IFS= read -r -t 60 shown <&"${draw[0]}" || fail "no number was shown before the guests spoke"
# shellcheck disable=SC2154  # the shell sets it
draw_pid=$draw_PID
exec 7<&"${draw[0]}"   # the shell closes its own end when the program is done
[[ "$shown" =~ ([0-9A-F]{4}-){5}[0-9A-F]{4} ]] || fail "no number in: $shown"
number=${BASH_REMATCH[0]}
[ "$(kinds "$id")" = "planned host-committed" ] || fail "the number is not in the log: $(kinds "$id")"
exec 8>&"${draw[1]}"
printf 'Blue gate \r\n6 2 5\n\nnot heard\n' >&8
exec 8>&-
cat <&7 >drawn.txt
wait "$draw_pid" || fail "the draw with guests failed"
grep -qF "2 lines" drawn.txt || fail "the draw does not say what it heard: $(cat drawn.txt)"
[ "$(kinds "$id")" = "planned host-committed drawn" ] || fail "$(kinds "$id")"
"$oddplate" close "$id" --yes >/dev/null
"$oddplate" verify "$id" >verify.txt
host=$(grep -oE "host's part: [0-9a-f]{64}" verify.txt | grep -oE '[0-9a-f]{64}') || fail "the host's part is not shown: $(cat verify.txt)"
hash=$(printf %s "$host" | sha256sum | cut -c 1-24 | tr a-f A-F)
[ "$hash" = "${number//-/}" ] || fail "the number is not the host's part's"
seed=$(printf 'oddplate guests 1\n%s\nBlue gate\n6 2 5' "$host" | sha256sum | cut -d ' ' -f 1)
[ "$(sqlite3 "$book" "SELECT json_extract(body, '\$.seed') FROM key WHERE tasting = '$id'")" = "$seed" ] || fail "the seed is another one"

# Nobody says anything: nothing is drawn. With a seal both go together.
id=$("$oddplate" new plan.json --json | field tasting)
code=0
"$oddplate" draw "$id" --guests --json </dev/null >out.txt 2>err.txt || code=$?
if [ "$code" -ne 2 ] || [ -s out.txt ]; then fail "a draw without a word of the guests: exit $code"; fi
printf 'six\n' | "$oddplate" draw "$id" --guests --seal --json 2>err.txt >drawn.json
grep -qE '([0-9A-F]{4}-){5}[0-9A-F]{4}' err.txt || fail "with --json the number is talk: $(cat err.txt)"
field words <drawn.json >words.txt
"$oddplate" close "$id" --yes >/dev/null
"$oddplate" key "$id" --words words.txt >/dev/null
"$oddplate" verify "$id" >verify.txt || fail "sealed with guests it does not verify: $(cat verify.txt)"
grep -qF "1 time" verify.txt || fail "the number that nothing came of is not told: $(cat verify.txt)"
echo "sealed and drawn with guests: all as promised"
