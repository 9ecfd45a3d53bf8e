"""The report from outside: one whole page, nothing fetched, nothing unescaped, nothing left behind.

usage: test_report.py PROGRAM
"""
import html.parser
import json
import os
import pty
import re
import signal
import subprocess
import sys
import tempfile
import time

import html5lib

PROGRAM = os.path.abspath(sys.argv[1])
CASE = """{name}source: {{kind: metered, flow: 0.2 L/min, NO2: 5 %, O2: 19 %, duration: 10 min}}
train:
  - {{glass: washing bottle 250 mL, liquid: 150 mL, peroxide: 1 wt%,
     bath: {{kind: ice water, ice: 300 g}}}}
  - {{glass: washing bottle 250 mL, liquid: 100 mL, acid: 2 wt%}}
after: {{standing: 10 min}}
"""
HEADINGS = ["Verdict", "The train, and what is kept where", "In the course of time",
            "Where the nitrogen goes", "How sure is that",
            "What the glass has to bear", "At the vent", "Why it escaped", "Run sheet", "Cautions", "What this rests on", "Versions",
            "The case in full, for copying"]
CURVES = ["Gas from the source", "At the vent", "Strength: nitric acid in the liquid",
          "Nitrous acid in the liquid", "Peroxide left", "Temperature of the liquid", "Ice left"]
VOID = {"meta", "input", "br"}  # of HTML, as far as the page uses them


class Page(html.parser.HTMLParser):
    """A tree of [tag, attributes, children]; fails where tags do not match."""

    def __init__(self, text):
        super().__init__(convert_charrefs=True)
        self.root = ["", {}, []]
        self.open = [self.root]
        self.feed(text)
        self.close()
        assert len(self.open) == 1, "left open: %s" % [e[0] for e in self.open]

    def handle_starttag(self, tag, attributes):
        names = [name for name, _ in attributes]
        assert len(set(names)) == len(names), ("an attribute twice", tag, names)
        element = [tag, dict(attributes), []]
        self.open[-1][2].append(element)
        if tag not in VOID:
            self.open.append(element)

    def handle_startendtag(self, tag, attributes):
        self.open[-1][2].append([tag, dict(attributes), []])

    def handle_endtag(self, tag):
        assert self.open[-1][0] == tag, ("</%s> meets <%s>" % (tag, self.open[-1][0]))
        self.open.pop()

    def handle_data(self, data):
        self.open[-1][2].append(data)

    def all(self, *tags, under=None):
        for child in (under or self.root)[2]:
            if not isinstance(child, str):
                if child[0] in tags or not tags:
                    yield child
                yield from self.all(*tags, under=child)


def text(element):
    return "".join(c if isinstance(c, str) else text(c) for c in element[2])


def run(*words, code=0, **more):
    more = {"stdout": subprocess.PIPE, "stderr": subprocess.PIPE, "timeout": 600, **more}
    done = subprocess.run([PROGRAM, *words], **more)
    assert done.returncode == code, (words, done.returncode, done.stderr[-600:])
    return done


def write(name, content):
    with open(name, "w", encoding="utf-8") as f:
        f.write(content)


def read(name):
    with open(name, encoding="utf-8") as f:  # fails on what is not UTF-8
        return f.read()


def report(case, *words):
    run("report", case, "--quick", "--out", "page.html", *words)
    return Page(valid(read("page.html")))


def valid(page):
    """The page, when an HTML5 parser finds nothing to mend in it."""
    parser = html5lib.HTMLParser()
    parser.parse(page)
    assert parser.errors == [], parser.errors[:5]
    return page


def check_shape(page):
    headings = [text(h) for h in page.all("h2")]
    assert headings == HEADINGS, headings
    assert [text(t) for t in page.all("figcaption")][-len(CURVES):] == CURVES
    ids = [e[1]["id"] for e in page.all() if "id" in e[1]]
    assert len(set(ids)) == len(ids), ids
    targets = [a[1]["href"] for a in page.all("a")]
    assert targets and all(t[0] == "#" and t[1:] in ids for t in targets), targets


def check_alone(page):
    """Nothing on the page is fetched from elsewhere, and nothing runs."""
    allowed = {"html", "head", "meta", "title", "style", "body", "header", "section", "h1", "h2",
               "h3", "p", "bdi", "strong", "b", "ul", "li", "div", "figure", "figcaption", "table",
               "thead", "tr", "th", "td", "br", "a", "label", "input", "textarea", "pre", "code",
               "svg", "g", "path", "polygon", "rect", "circle", "text", "tspan", "defs", "pattern"}
    for tag, attributes, _ in page.all():
        assert tag in allowed, tag
        for name, value in attributes.items():
            assert not name.startswith("on") and name not in ("src", "srcset", "xlink:href"), name
            assert "//" not in value, (tag, name, value)
            assert "url(" not in value or value == "url(#stripes)", (tag, name, value)
    style = "".join(text(s) for s in page.all("style"))
    for word in ("@import", "url(", "//", "src"):
        assert word not in style, word


def check_titles(page):
    """Every picture has its words."""
    pictures = list(page.all("svg"))
    assert len(pictures) > 4 + len(CURVES)
    for picture in pictures:
        first = picture[2][0]
        assert first[0] == "title" and len(text(first)) > 8, picture[:2]
        assert picture[1].get("role") == "img" or picture[1].get("aria-hidden") == "true"


def curve(page, title):
    for figure in page.all("figure"):
        if text(next(page.all("figcaption", under=figure))) == title:
            return figure, text(next(page.all("title", under=figure)))
    raise AssertionError(title)


def check_figures(page, case):
    """Alt text and bars say what --json says."""
    result = json.loads(run("estimate", "--quick", "--json", case).stdout)
    stages = result["stages"]
    words = curve(page, "Strength: nitric acid in the liquid")[1]
    last = re.findall(r"last ([0-9.]+)", words)
    want = [s["strength_mol_L"] for s in stages]
    assert len(last) == len(want) == 2, words
    for got, true in zip(last, want):  # half a unit of the last printed digit
        assert abs(float(got) - true) <= 0.50001 * 10 ** -len(got.split(".")[1]), (got, true)
    kept = result["result"]["kept_fraction"]
    rows = [r for r in page.all("tr") if text(r).startswith("kept as nitric acid")]
    bar = list(page.all("rect", under=rows[0]))[1]
    assert abs(float(bar[1]["width"]) - 100 * kept) <= 0.005001, (bar, kept)
    # two lines in one figure: other colours and other dashes
    vent, _ = curve(page, "At the vent")
    lines = [p[1] for p in page.all("path", under=vent) if len(p[1]["d"]) > 400]
    assert len(lines) == 2 and lines[0]["stroke"] != lines[1]["stroke"], lines
    assert lines[0].get("stroke-dasharray") != lines[1].get("stroke-dasharray")


def check_sheet(page):
    sheet = next(s for s in page.all("section") if s[1].get("class") == "sheet")
    box = next(d for d in page.all("div", under=sheet) if d[1].get("class") == "box")
    said = text(box)
    for words in ("fumes break through", "everyone leaves first", "close the valve of the source",
                  "lift the inlet tube"):  # gas from a cylinder, no purge, no trap
        assert words in said, said
    inputs = [i[1] for i in page.all("input", under=sheet)]
    assert sum(i["type"] == "checkbox" for i in inputs) >= 6
    assert all(i.get("aria-label") for i in inputs if i["type"] == "text")
    words = text(sheet).replace("\xa0", " ")
    for what in ("150 mL at 0.0", "300 g ice", "2.00 wt% HNO3", "1.00 wt%: ", "hydrometer",
                 "the source has ended"):
        assert what in words, what
    assert not re.search(r"\bsafe\b", text(page.root), re.I)


def check_whole_sentences(page):
    """What was wrapped for the terminal is put together again."""
    for heading in ("Verdict", "What the glass has to bear"):
        section = next(s for s in page.all("section") if text(s).strip().startswith(heading))
        points = [text(p) for p in page.all("p", under=section)]
        assert len(points) > 1, points
        for point in points:
            assert re.match(r"[A-Z(]", point) and point[-1] in ".)", point


def check_case(page, case):
    pre = next(page.all("pre"))
    assert text(pre) == run("estimate", "--resolved", case).stdout.decode(), "case for copying"


def check_hostile():
    names = ["</title><script>alert(1)</script>", "\"quotes\" & 'more' <b onload=x>",
             "x" * 95, "right to left \u05e9\u05dc\u05d5\u05dd", "&lt;not markup&gt;"]
    for name in names:
        write("hostile.yaml", CASE.format(name="name: %s\n" % json.dumps(name)))
        page = report("hostile.yaml")
        check_alone(page)
        check_shape(page)
        check_case(page, "hostile.yaml")
        foreign = [text(b) for b in page.all("bdi")]
        assert foreign[0] == name, (name, foreign)
        assert text(next(page.all("title"))) == "noxwash: " + name
    path = b"a\"><img src=x>'\xff&.yaml"
    write(path, CASE.format(name=""))
    page = report(path)
    check_alone(page)
    assert text(next(page.all("bdi"))) == "a\"><img src=x>'\ufffd&.yaml"


def check_nothing_left():
    os.mkdir("empty")
    os.mkdir("empty/page.html")  # a folder stands where the page should
    write("empty/old.html", "old")
    before = sorted(os.listdir("empty"))
    for out, code, case in (("empty/none/page.html", 6, "case.yaml"),
                            ("empty/page.html", 6, "case.yaml"),
                            ("empty/" + "n" * 1100, 6, "case.yaml"),
                            ("empty/old.html", 3, "bad.yaml")):
        done = run("report", case, "--quick", "--out", out, code=code)
        assert out.encode() in done.stderr or code == 3, done.stderr
        assert sorted(os.listdir("empty")) == before, os.listdir("empty")
    assert read("empty/old.html") == "old"
    with open("/dev/full", "w") as full:
        run("report", "case.yaml", "--quick", code=6, stdout=full)
    job = subprocess.Popen([PROGRAM, "report", "case.yaml", "--sensitivity", "--out",
                            "empty/new.html"], stderr=subprocess.PIPE)
    while job.poll() is None and sorted(os.listdir("empty")) == before:
        time.sleep(0.01)
    job.send_signal(signal.SIGINT)
    job.communicate(timeout=120)
    assert job.returncode == 130, job.returncode
    assert sorted(os.listdir("empty")) == before, os.listdir("empty")


def check_without_gnuplot():
    os.mkdir("bin")
    environment = {"PATH": os.path.abspath("bin")}
    for script, why in ((None, "gnuplot is missing"),
                        ("#!/bin/sh\necho '<svg half'; exit 1\n", "gnuplot failed"),
                        ("#!/bin/sh\nexec /bin/cat\n", "gnuplot drew no picture")):
        if script is not None:
            write("bin/gnuplot", script)
            os.chmod("bin/gnuplot", 0o755)
        done = run("report", "case.yaml", "--quick", "--out", "plain.html", env=environment)
        assert done.stderr.count(b"\n") == 1 and why.encode() in done.stderr, done.stderr
        page = Page(read("plain.html"))
        assert [text(h) for h in page.all("h2")] == HEADINGS
        assert "No curves: " + why in text(page.root)
        assert "<svg half" not in read("plain.html")


def check_strong_peroxide():
    """More than the cautions allow never stands on the sheet without a word."""
    write("strong.yaml", CASE.format(name="").replace("peroxide: 1 wt%", "peroxide: 14 wt%"))
    page = report("strong.yaml")
    assert "above 12\xa0wt%: use less" in text(page.root)
    assert "use less" not in text(report("case.yaml").root)


def check_sensitivity():
    write("short.yaml", """source: {kind: metered, flow: 0.2 L/min, NO2: 5 %, duration: 2 min}
train:
  - {glass: washing bottle 250 mL, liquid: 150 mL}
after: {standing: 0 min}
""")
    page = report("short.yaml", "--sensitivity")
    headings = [text(h) for h in page.all("h2")]
    at = HEADINGS.index("Cautions")
    assert headings == HEADINGS[:at] + ["What moves the answers"] + HEADINGS[at:], headings
    section = next(s for s in page.all("section") if "What moves the answers" in text(s))
    answers = [text(h) for h in page.all("h3", under=section)]
    tables = list(page.all("table", under=section))
    assert len(answers) == len(tables) == 6, answers
    for table in tables:
        assert len(list(page.all("tr", under=table))) > 4
    assert "k2_NO2" in text(section)
    said = json.loads(run("estimate", "--quick", "--sensitivity", "--json",
                          "short.yaml").stdout)["result"]
    sure = next(s for s in page.all("section") if text(s).startswith("\nHow sure is that"))
    row = next(r for r in page.all("tr", under=sure) if text(r).startswith("kept as nitric acid"))
    low = float(text(next(page.all("td", under=row))).split()[0])
    assert abs(low - 100 * said["kept_fraction_low"]) <= 0.50001, (low, said)  # two digits printed


def check_whole():
    """Without --quick: bands about the curves, the hood's air with its limits, and the remedies."""
    write("hood.yaml", CASE.format(name="").replace("train:", "hood: {flow: 10 m3/min}\ntrain:", 1))
    run("report", "hood.yaml", "--out", "page.html")
    page = Page(valid(read("page.html")))
    at = HEADINGS.index("Run sheet")
    headings = [text(h) for h in page.all("h2")]
    want = HEADINGS[:at] + ["What would help", "Run sheet", "What moves the answers"]
    assert headings == want + HEADINGS[at + 1:], headings
    check_alone(page)
    check_titles(page)
    assert "Shaded: nineteen of twenty such runs lie within." in text(page.root)
    got = json.loads(run("estimate", "--json", "hood.yaml").stdout)
    result = got["result"]
    hood, words = curve(page, "In the hood's air")
    words = words.replace("\xa0", " ")
    peak = float(re.search(r"NO2: highest ([0-9.e-]+) ppm", words).group(1))
    assert abs(peak / (result["hood_peak_NO2_ppm"]) - 1) < 0.01, (peak, result)
    for limit in ("NO2: OSHA PEL, ceiling, 5 ppm", "NO2: NIOSH REL, 15-min STEL, 1 ppm"):
        assert limit in text(hood), limit
    # a band holds its line; what is known of the peak of the temperature is what --json says
    banded = [text(t).replace("\xa0", " ") for t in page.all("title")]
    banded = [t for t in banded if "(19 of 20 runs:" in t]
    assert len(banded) == len(CURVES) + 1, len(banded)
    for title in banded:
        told = re.findall(
            r"last (-?[0-9.e-]+) [^(]*\(19 of 20 runs: (-?[0-9.e-]+) to (-?[0-9.e-]+)", title)
        assert told, title
        for last, low, high in told:
            room = 0.06 * abs(float(last)) + 1e-3  # two digits are printed
            assert float(low) - room <= float(last) <= float(high) + room, title
    section = next(s for s in page.all("section") if text(s).strip().startswith("What would help"))
    remedies = json.loads(run("remedies", "--json", "hood.yaml").stdout)
    assert remedies["advice"] in text(section).replace("\xa0", " "), text(section)[:600]
    ran = [r for r in remedies["alone"] if r["ran"]]
    sets = ("best_pair" in remedies) + ("best_triple" in remedies)
    assert len(list(page.all("tr", under=section))) == 2 + len(ran) + sets
    said = text(section).count("More escapes than as it is.")
    assert said >= sum(r["raises_escape"] for r in ran) > 0, said


def check_limits():
    """The hood's air against every limit, as estimate has it; and what was filled in."""
    write("weak.yaml", CASE.format(name="").replace("train:", "hood: {flow: 0.2 m3/min}\ntrain:", 1)
          .replace("glass: washing bottle 250 mL, liquid: 150 mL, ", ""))
    said = " ".join(run("estimate", "--quick", "weak.yaml").stdout.decode().split())
    page = report("weak.yaml")
    table = next(t for t in page.all("table") if text(t).startswith("ofppm"))
    rows = [[text(d).replace("\xa0", " ") for d in page.all("td", under=r)]
            for r in page.all("tr", under=table)][1:]
    assert len(rows) > 8, rows
    for _, ppm, verdict, limit, _ in rows:
        line = "limit %s ppm hood air, %s. %s: " % (ppm, verdict, limit)
        assert line in said, line
    assert len({verdict.split(": ")[1] for _, _, verdict, _, _ in rows}) == 2, rows
    usual = re.search(r"Taken as usual, not given: .*?\.", said).group(0)
    assert usual.endswith("stage 1: washing bottle 250 mL with 150 mL of liquid."), usual
    assert usual in text(next(page.all("header"))).replace("\xa0", " ")
    assert "as usual" not in text(report("case.yaml").root)


def check_nothing_to_draw():
    """No gas: four figures are level at nothing; gnuplot has nothing to say about them."""
    write("still.yaml", """source: {kind: metered, flow: 0.2 L/min, NO2: 0 %, duration: 2 min}
train:
  - {glass: washing bottle 250 mL, liquid: 150 mL}
numerics: {isothermal: yes}
""")
    done = run("report", "still.yaml", "--quick", "--out", "page.html")
    assert done.stderr == b"", done.stderr
    page = Page(read("page.html"))
    drawn = [text(t) for t in page.all("figcaption")]
    assert drawn[3:] == ["Temperature of the liquid"], drawn
    assert text(page.root).count("none to speak of") == 4
    assert "NaN" not in read("page.html") and "nan" not in text(page.root).split()


def check_terminal():
    leader, follower = pty.openpty()
    run("report", "case.yaml", "--quick", code=2, stdout=follower)
    os.close(follower)
    os.close(leader)


def main():
    with tempfile.TemporaryDirectory() as folder:
        os.chdir(folder)
        write("case.yaml", CASE.format(name=""))
        write("bad.yaml", "source: {kind: kettle}\n")
        page = report("case.yaml")
        check_shape(page)
        check_alone(page)
        check_titles(page)
        check_figures(page, "case.yaml")
        check_sheet(page)
        check_whole_sentences(page)
        check_case(page, "case.yaml")
        assert read("page.html") == run("report", "case.yaml", "--quick").stdout.decode()
        check_hostile()
        check_nothing_left()
        check_without_gnuplot()
        check_strong_peroxide()
        check_limits()
        check_sensitivity()
        check_whole()
        check_nothing_to_draw()
        check_terminal()
        os.chdir("/")


main()
print("report: all good")
