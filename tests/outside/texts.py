"""All texts that a person can see, read out of the sources. As a program: prints them by room, each
with its place and where it is shown. As a module: what the checks compare with, by the name of the
text and not by its wording."""

import os
import pathlib
import re
import sys

ROOT = pathlib.Path(os.environ.get("LOOMTAG_ROOT", pathlib.Path(__file__).parents[2]))

TOKEN = re.compile(
    r"""(?P<comment>//[^\n]*|/\*.*?\*/)|(?P<string>(?:u8)?"(?:\\.|[^"\\])*")"""
    r"""|(?P<char>'(?:\\.|[^'\\])*')|(?P<name>[A-Za-z_]\w*)|(?P<blank>\s+)|(?P<other>.)""", re.S)
ESCAPE = re.compile(r"\\(x[0-9A-Fa-f]{1,2}|u[0-9A-Fa-f]{4}|[0-7]{1,3}|.)", re.S)
SIMPLE = {"n": b"\n", "t": b"\t", "r": b"\r", "a": b"\a", "b": b"\b", "0": b"\0"}

# A printf conversion: a value is put in there.
VALUE = re.compile(r"%[-+ #0]*[\d*]*(?:\.[\d*]+)?(?:hh|h|ll|l|z|j|t|L)?[a-zA-Z]")

# The calls whose text goes to stderr, and what it is called there.
DIAGNOSTICS = {
    "lt_error": "error", "lt_read_error": "error", "lt_warning": "warning", "lt_note": "note",
    "lt_hint": "hint", "lt_usage_error": "usage error",
}


def unescaped(inside):
    """The text of a C string literal, given what stands between its quotes."""
    out, at = b"", 0
    for escape in ESCAPE.finditer(inside):
        out += inside[at:escape.start()].encode()
        code = escape.group(1)
        if code[0] == "x":
            out += bytes([int(code[1:], 16)])
        elif code[0] == "u":
            out += chr(int(code[1:], 16)).encode()
        elif code.isdigit():
            out += bytes([int(code, 8)])
        else:
            out += SIMPLE.get(code, code.encode())
        at = escape.end()
    return (out + inside[at:].encode()).decode(errors="replace")


class Literal:
    """A text in a C file: literals that stand side by side are one."""

    def __init__(self, path, line, text, call, before):
        self.path, self.line, self.text = path, line, text
        self.call = call  # the function that it is given to, or "" in a table
        self.before = before  # the tokens before it, the last one last
        self.field = None  # "struct.field" where it stands in a table of texts
        self.index = None  # and the enum name, in an array there
        self.after = None  # the token behind it

    @property
    def room(self):
        parts = self.path.parts
        return parts[1] if parts[0] == "src" else pathlib.Path(parts[-1]).stem

    @property
    def kind(self):
        """Where it is shown."""
        return DIAGNOSTICS.get(self.call) or self.field or self.call or "table"


def literals(path):
    """The texts of one C file in their order, preprocessor lines passed over."""
    source = (ROOT / path).read_text(encoding="utf-8")
    source = re.sub(r"^[ \t]*#[ \t]*include[^\n]*", "", source, flags=re.M)
    found, calls, before, line, pending = [], [], [], 1, None
    table, designator = None, []
    for token in TOKEN.finditer(source):
        text, kind = token.group(0), token.lastgroup
        if kind == "string":
            inside = unescaped(text[text.index('"') + 1:-1])
            if pending is None:
                pending = Literal(path, line, inside, calls[-1] if calls else "", before[-6:])
                if table is not None and designator:
                    pending.field = table + "." + designator[0]
                    if before[-4:-3] == ["["] and before[-2:] == ["]", "="]:
                        pending.index = before[-3]
            else:
                pending.text += inside
        elif kind not in ("blank", "comment"):
            if pending is not None:
                pending.after = text
                found.append(pending)
                pending = None
            if text in "([{":
                last = before[-1] if before else ""
                calls.append(last if text == "(" and re.match(r"[A-Za-z_]", last) else "")
                named = re.match(r"const struct (\w+) (\w+) =$", " ".join(before[-5:]))
                if text == "{" and len(calls) == 1 and named:
                    table = named.group(2)
                elif text == "{" and table is not None:
                    designator.append("")
            elif text in ")]}":
                if calls:
                    calls.pop()
                if text == "}" and not calls:
                    table, designator = None, []
                elif text == "}" and designator and designator[-1] == "":
                    designator.pop()
            elif kind == "name" and table is not None and before[-1:] == ["."] \
                    and len(calls) == 1:
                designator = [text]
            before.append(text)
        line += text.count("\n")
    return found


def sources():
    """The C files of the program."""
    return sorted(path.relative_to(ROOT) for pattern in ("src/*/*.c", "src/*/*.h",
                                                         "include/loomtag/*.h")
                  for path in ROOT.glob(pattern))


def has_words(text):
    """Whether a person could read it: a word of letters, and no bare markup or path."""
    bare = VALUE.sub(" ", text)
    return re.search(r"[A-Za-z]{2}", bare) is not None


def texts():
    """All literals with words in them."""
    return [literal for path in sources() for literal in literals(path)
            if has_words(literal.text)]


_tables = {}


def said(table, field, index=None):
    """What the table of texts `table` (a const struct in src/words) has in `field`; for an array,
    at the enum name `index`."""
    if not _tables:
        for path in sorted((ROOT / "src" / "words").glob("*.c")):
            for literal in literals(path.relative_to(ROOT)):
                if literal.field is not None:
                    _tables[literal.field, literal.index] = literal.text
    return _tables[table + "." + field, index]


def main():
    shown = texts()
    room = None
    for literal in sorted(shown, key=lambda one: (one.room, str(one.path), one.line)):
        if literal.room != room:
            room = literal.room
            print("\n== " + room)
        print("%s:%d  [%s]  %s" % (literal.path, literal.line, literal.kind,
                                   literal.text.replace("\n", "\\n")))
    print("\n%d texts" % len(shown))


if __name__ == "__main__":
    sys.exit(main())
