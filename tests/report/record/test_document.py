"""The record as a document: what is in it and in which order, that words stay words, and that it is the same again."""

from __future__ import annotations

import re
from html.parser import HTMLParser

import pytest

from ladderfe.report.record.inputs import inputs_of

#: Larger is not sent by mail from a workshop.
MOST_BYTES = 1_500_000
ORDER = [
    "Record of a chassis check", "The chassis", "What was measured and what is assumed", "Loads and cases",
    "Along the rails", "The rails unrolled", "The frame, case by case", "What governs", "Twist", "Hand calculation",
    "Self-check", "Cautions", "What was not checked", "Inputs in full", "Versions and sums",
]  # fmt: skip
EVIL = "</script><script>alert(1)</script><img src=x onerror=alert(2)> \" ' & {{ 7 * 7 }} `code`"


class Elements(HTMLParser):
    """Elements with their attributes, and the text outside of scripts and styles."""

    def __init__(self, text):
        super().__init__(convert_charrefs=True)
        self.found, self.words, self.inside = [], [], ""
        self.feed(text)
        self.close()

    def handle_starttag(self, tag, attrs):
        self.found.append((tag, dict(attrs)))
        self.inside = tag

    def handle_endtag(self, tag):
        self.inside = ""

    def handle_data(self, data):
        if self.inside not in ("script", "style"):
            self.words.append(data)

    def count(self, tag):
        return sum(t == tag for t, _ in self.found)


@pytest.fixture(scope="module")
def plain_record(record_maker, plain_file):
    return record_maker(plain_file, None)


def test_chapters_in_their_order(demo_record):
    """As a reader goes through it; the file is small enough to be sent."""
    text = demo_record.read_text(encoding="utf-8")
    heads = re.findall(r'<p class="kind">(.*?)</p>|<h2><span class="no">\d+</span> (.*?)</h2>', text)
    told = [a or b for a, b in heads]
    places = [next(k for k, t in enumerate(told) if t.startswith(name)) for name in ORDER]
    assert places == sorted(places)
    assert len(text.encode()) < MOST_BYTES


def test_what_the_text_pages_say_is_in_it(plain_record, plain_findings):
    """Governing number, every case with its source, every proof, every caution."""
    from ladderfe.report.cautions import CAUTIONS

    words = " ".join(" ".join(Elements(plain_record).words).split()).replace("\u00a0", " ")
    assert f"{100 * plain_findings.utilisations[0].ratio:.1f} %" in words
    for case in plain_findings.solution.cases[1:]:
        assert case.name in words
        assert case.about in words
    for proof in plain_findings.proofs:
        assert proof.what in words
    for caution in CAUTIONS:
        assert caution[:60] in words
    for step in ("Sprung weight on the front axle", "Section modulus, top face", "Moment at the rear end"):
        assert step in words


def test_without_readings_it_says_so(plain_record):
    """No readings: ASSUMED, on the sheet and in its chapter, and no unrolled rails."""
    assert plain_record.count("No thickness was read") == 2
    assert 'id="unrolled"' not in plain_record


def test_no_verdicts(plain_record):
    """Numbers against limits; the words of others in the inputs aside."""
    words = " ".join(Elements(plain_record).words).lower()
    assert not re.findall(r"\b(safe|unsafe|roadworthy|pass(?:es|ed)?|fail(?:s|ed)?|legal|approved vehicle)\b", words)


def test_the_same_inputs_give_the_same_bytes(plain_record, record_maker, plain_file):
    """Apart from the date."""
    assert record_maker(plain_file, None) == plain_record


def test_words_of_the_files_stay_words(record_maker, plain_file, tmp_path):
    """Title, condition, names of crossmembers and cases, and notes of readings with HTML in them: the elements of the
    record are the same as with plain words, and no attribute runs anything."""
    import json

    def written(name, words):
        text = plain_file.read_text(encoding="utf-8")
        toml = json.dumps(words, ensure_ascii=False)
        text = text.replace('"Test frame for closed forms"', toml).replace('"loads chosen, not weighed"', toml)
        text = text.replace('name = "second"', f"name = {toml}").replace('name = "front axle bounce"', f"name = {toml}")
        text += f'\n[[mounts]]\nname = {toml}\non = "left rail"\nstation = 2000\n'
        chassis = tmp_path / f"{name}.toml"
        chassis.write_text(text, encoding="utf-8")
        cell = '"' + words.replace('"', '""') + '"'
        readings = tmp_path / f"{name}.csv"
        rows = [f"left;1500;bottom;1,9;;;{cell}", f"left;1500;top;;;;{cell}", f"right;1500;bottom;suspect;;;{cell}"]
        readings.write_text("\n".join(["side;station;wall;reading;to;rim;note", *rows]) + "\n", encoding="utf-8")
        return record_maker(chassis, readings, measured_by=words, gauge=words)

    evil, plain = written("a", EVIL), written("b", "plain words")
    found, wanted = Elements(evil), Elements(plain)
    for tag in ("script", "style", "img", "a", "iframe", "b"):
        assert found.count(tag) == wanted.count(tag), tag
    assert not [(t, k) for t, attrs in found.found for k in attrs if k.startswith("on")]
    shown = " ".join(" ".join(found.words).split())
    assert "alert(2)> \" ' & {{ 7 * 7 }}" in shown
    files, _ = inputs_of(evil, "page")
    assert [f.data for f in files] == [(tmp_path / n).read_bytes() for n in ("a.toml", "a.csv")]


def test_nothing_outside_is_named(demo_record):
    """No address but the name spaces of SVG, and a policy that forbids the rest."""
    text = demo_record.read_text(encoding="utf-8")
    assert set(re.findall(r"https?://[^\s\"'<)]+", text)) <= {
        "http://www.w3.org/2000/svg", "http://www.w3.org/1999/xlink",
    }  # fmt: skip
    assert "default-src 'none'" in text
    assert not re.search(r"@import|url\((?!#)", text)
