"""The words of the program, as far as a rule can hold them: no phrase that was replaced, no sentence too
long, no sentence pieced together, and every text in its place. The rules are those of Simplified
Technical English (ASD-STE100: 20 words in an instruction, 25 in a description)."""

import pathlib
import re
import unittest

import common
import texts

# What is not said any more, and what is said instead.
REPLACED = {
    r"plugs? into|goes onto|\bonto\b": "mates with",
    r"would go (on|into) each other": "would also fit",
    r"might go (on|into)": "could fit elsewhere",
    r"which way round|\bTurned:|\bturned\b  ": "facing",
    r"\bmake [%\d]\S* first": "after 13",
    r"lock\s+or\s+tag": "lock and warning label",
    r"is\s+given\s+nothing": "needs a value",
    r"means nothing to": "has no option",
    r"where to write": "no output file given",
    r"run out\b(?! of)": "expired",
    r"no way to": "cannot reach",
    r"look after": "check",
    r"numbers left out|is taken for|are taken for": "easily confused",
    r"shown to be": "resolved",
    r"made safe": "confirmed safe",
    r"wrong\s+mate\s+was\s+met": "no wrong mate recorded",
    r"(high|wide)\s+pages": "portrait, landscape",
    r"unasked": "without asking",
    r"until\s+they\s+are\s+out": "until all are printed",
    r"isolate what can": "make the machine safe first",
    r"nobody has said": "not described",
}

VERBS = """add ask bring build call cancel change check choose clean close compare connect continue copy
    correct count cut delete describe divide do draw find fix follow get give go hang hold keep leave
    let list load lock look make measure mend move name open place plug press print prove pull put read
    release remove repeat replace restore run save scan seat see send set shorten show start stick
    stop swap switch take tell test tick try turn type undo unplug use wait watch write""".split()
INSTRUCTION = re.compile(rf"^(?:(?:If|When|Where|Before|After|Until|First|Then|Now|Do not|Never)\b"
                         rf".*?[ ,])?(?:{'|'.join(VERBS)})\b", re.I)
MOST_INSTRUCTION, MOST_DESCRIPTION = 20, 25

# What only looks like words: markup, SQL and formats of files, by the file that writes them.
NO_WORDS = re.compile(
    r"^(src/draw/(svg|svg_content|pdf|pdf_content|pdf_fonts|pdf_objects|fonts|png)\.c"
    r"|src/job/(db_sqlite.*|mark_v1|chain)\.c|src/site/(style|html)\.c|src/label/qr\.c"
    r"|src/trade/colour\.c|src/print/(ipp|find)\.c|src/packaging/.*)$")

# Words of file formats, which never change.
FORMATS = {("src/tags/register.c", " retired"), ("src/site/site.h", "loomtag harness map")}

# Calls that make something for a person to read.
SHOWN = re.compile(r"^(lt_text_(add|printf)|lt_arena_printf|lt_print_clean|printf|puts|fputs|fprintf"
                   r"|snprintf|lt_(error|read_error|warning|note|hint|usage_error)"
                   r"|lt_document_(add|item)|lt_flow_(paragraph|line)|lt_live_(add|say|put))$")


def readable():
    return [literal for literal in texts.texts() if not NO_WORDS.match(str(literal.path))]


def pages():
    """The texts that are no part of the program."""
    for path in [pathlib.Path(common.ROOT, "README.md"),
                 *sorted(pathlib.Path(common.ROOT, "src", "packaging").glob("loomtag*.[157]*")),
                 *sorted(pathlib.Path(common.ROOT, "samples").glob("*.yaml")),
                 *sorted(pathlib.Path(common.ROOT, "layouts").glob("*.yaml"))]:
        yield path, common.text(path)


def sentences(text):
    """Each with its values as one word."""
    text = texts.VALUE.sub("X", text)
    for sentence in re.split(r"(?<=[.!?])[\s”\"]+|[;:]\s+|\n+", text):
        words = re.findall(r"[^\s/]*\w[^\s/]*", sentence)
        yield sentence.strip(), len(words)


def stands_alone(text):
    """Whether a text may be added to others: a sentence or an item of its own, or what parts the
    values of a list."""
    return (not texts.has_words(text) or text.startswith("<")
            or re.match(r" ?[A-Z%].*[.?:]\s*$", text, re.S) is not None
            or re.match(r", [a-z]+\s\S*%", text) is not None
            or re.match(r"%[^ ]+ mm, $", text) is not None)


def is_piece(literal):
    """Whether it leans on what stands before it or behind it."""
    macro = any(re.fullmatch(r"[A-Z_]+", side or "")
                for side in ((literal.before or [""])[-1], literal.after))
    leans = re.match(r"[,;.]? [A-Za-z]|, ", literal.text) or re.search(r"[A-Za-z,] $", literal.text)
    return bool(leans and texts.has_words(literal.text) and not macro
                and not stands_alone(literal.text) and "hint: " not in literal.text
                and (str(literal.path), literal.text) not in FORMATS)


def is_half(before, literal, behind):
    """Whether it is nothing, or an ending, chosen instead of words: "" or "s" beside a ":"."""
    if literal.text in ("s", "es", "y", "ies"):
        return literal.before[-1:] in (["?"], [":"])
    if literal.text != "" or literal.before[-1:] not in (["?"], [":"]):
        return False
    other = before if literal.before[-1] == ":" and before and before.after == ":" else \
        behind if literal.after == ":" and behind else None
    return (other is not None and not stands_alone(other.text)
            and (str(other.path), other.text) not in FORMATS)


def where(literal):
    return f"{literal.path}:{literal.line}: {literal.text!r}"


class Words(unittest.TestCase):
    maxDiff = None

    def test_no_phrase_that_was_replaced(self):
        found = []
        for pattern, instead in REPLACED.items():
            banned = re.compile(pattern, re.I)
            found += [f"{where(literal)}: say {instead!r}" for literal in readable()
                      if banned.search(literal.text)]
            found += [f"{path}: {match.group(0)!r}: say {instead!r}" for path, text in pages()
                      for match in banned.finditer(" ".join(text.split()))]
        self.assertEqual(found, [])

    def test_no_sentence_is_too_long(self):
        found, instructions = [], 0
        for literal in readable():
            for sentence, count in sentences(literal.text):
                instruction = literal.kind == "hint" or INSTRUCTION.match(sentence) is not None
                instructions += instruction
                if count > (MOST_INSTRUCTION if instruction else MOST_DESCRIPTION):
                    found.append(f"{literal.path}:{literal.line}: {count} words: {sentence}")
        self.assertGreater(instructions, 200)
        self.assertEqual(found, [])

    def test_no_sentence_is_pieced_together(self):
        found = []
        for path in texts.sources():
            if NO_WORDS.match(str(path)):
                continue
            literals = texts.literals(path)
            for before, literal, behind in zip([None] + literals, literals, literals[1:] + [None]):
                if SHOWN.match(literal.call) and (
                        is_piece(literal) or is_half(before, literal, behind)):
                    found.append(where(literal))
        self.assertEqual(found, [])

    def test_papers_and_screens_take_their_texts_from_words(self):
        found = [where(literal) for literal in readable()
                 if literal.room in ("checklist", "live", "map", "page", "record", "site")
                 and literal.call not in texts.DIAGNOSTICS and "<" not in literal.text
                 and (str(literal.path), literal.text) not in FORMATS
                 and re.search(r"[A-Za-z]{2,}\W* \W*[A-Za-z]{2,}",
                               texts.VALUE.sub("", literal.text))]
        self.assertEqual(found, [])
