"""The rules of verifying, stated a second time from what is promised (verify.h, README) and from nothing
in src: what each scan is answered, and what the whole answer is. Slow and plain. With it a harness of
seven joints that has every kind of them, and a short way to write scans down:

    4H          the sticker's scan code          ~4H         the bare tag, typed by hand
    foreign:4H  of another unit                  bad:4H      with a wrong check character
    skip:3      the word skip, with a reason     text:...    as it stands
"""

import collections
import re

import common

CODE = "AB7U0042"
FOREIGN = "AB7U0043"
REASON = "no access"

# Joints in both directions of `after`: 1 comes after one that is listed later, 2 and 3 after one that is
# listed before. 3 has one sticker, 5 and 6 go on a new part, 7 has no room for stickers.
DESCRIPTION = """\
harness: AB7
title: A bench of its own
unit: "0042"
components:
  - {id: B1, name: pump}
  - {id: B2, name: valve}
  - {id: B4, name: sensor}
  - {id: B7, name: heater}
  - {id: R5, name: motor, fate: replace}
connectors:
  - {id: X1, name: pump power, mates: B1, family: 11 mm, after: [X4]}
  - {id: X2, name: valve coil, mates: B2, family: 22 mm, after: [X1]}
  - {id: X3, name: cover catch, kind: clip, sides: 1, after: [X2]}
  - {id: X4, name: sensor, mates: B4, family: 44 mm}
  - {id: X5, name: motor power, mates: R5, family: 55 mm}
  - {id: X6, name: motor encoder, mates: R5, family: 66 mm, after: [X5]}
  - {id: X7, name: heater, mates: B7, family: 77 mm, tag: paper}
  - {id: C8, name: left cover, kind: clip, tag: none, after: [X1]}
"""
Joint = collections.namedtuple("Joint", "number sides replaced paper after")
JOINTS = [Joint(1, 2, False, False, [4]), Joint(2, 2, False, False, [1]),
          Joint(3, 1, False, False, [2]), Joint(4, 2, False, False, []),
          Joint(5, 2, True, False, []), Joint(6, 2, True, False, [5]),
          Joint(7, 2, False, True, [])]
UNNUMBERED = ["C8"]


def code_of(tag, harness=CODE):
    return tag + harness + common.check_character(tag + harness)


def line_of(word):
    """What a scanner or a person sends for a word of the short notation."""
    kind, _, rest = word.rpartition(":")
    if word.startswith("text:"):
        return word[len("text:"):]
    if kind == "foreign":
        return code_of(rest, FOREIGN)
    if kind == "bad":
        return code_of(rest)[:-1] + ("0" if code_of(rest)[-1] != "0" else "1")
    if kind == "skip":
        return f"skip {rest} {REASON}"
    return word[1:] if word.startswith("~") else code_of(word)


def read_scan(text):
    """(kind, number, side, harness code): the first word's last run of letters and digits. Two scans on
    a line are neither."""
    def read(word):
        runs = re.findall(r"[A-Za-z0-9]+", word)
        run = runs[-1].upper() if runs else ""
        tag = re.match(r"([1-9][0-9]{0,4})([HMX])", run)
        if not tag:
            return None
        number, side, rest = int(tag[1]), tag[2], run[tag.end():]
        if rest == "":
            return ("tag", number, side, None) if len(runs) == 1 else None
        if not re.fullmatch(r"[A-Z][A-Z0-9]{1,11}[A-Z0-9]", rest):
            return None
        if common.check_character(run[:-1]) != run[-1]:
            return None
        return "code", number, side, rest[:-1]

    words = text.split()
    first = read(words[0])
    others = [read(word) for word in words[1:]]
    if first and any(other and (other[0] == "code" or first[0] == "tag") for other in others):
        return None
    return first


class Promise:
    """One verification: feed(), skip(), then document()."""

    def __init__(self, stage, typed=False, joints=None, harness=CODE, unnumbered=None):
        self.stage, self.typed_allowed, self.code = stage, typed, harness
        self.joints = {joint.number: joint for joint in (JOINTS if joints is None else joints)}
        self.unnumbered = UNNUMBERED if unnumbered is None else unnumbered
        self.made, self.typed, self.skipped, self.wrong = set(), set(), {}, []
        self.pending = None     # (number, side, whether it was typed)

    def asked(self):
        """The numbers that the stage asks for."""
        return [joint.number for joint in self.joints.values()
                if self.stage != "swap" or joint.replaced]

    def places(self, joint):
        """The sides that have a place at this stage."""
        if self.stage == "swap":
            return "XM" if joint.replaced else ""
        if joint.sides == 1:
            return "H"
        return "HX" if joint.replaced and self.stage in ("tag", "unplug") else "HM"

    def feed(self, text):
        scan = read_scan(text)
        joint = self.joints.get(scan[1]) if scan else None
        if scan is None or (scan[0] == "tag" and not self.typed_allowed and
                            not (joint and joint.paper)):
            return "misread"
        kind, number, side, harness = scan
        if kind == "code" and harness != self.code:
            verdict = "foreign"
        elif joint is None:
            verdict = "unknown"
        elif self.stage == "reconnect" and side == "X" and joint.replaced:
            verdict = "old-part"
        elif side not in self.places(joint):
            verdict = "unknown"
        elif self.stage == "unplug" or joint.sides == 1:
            return self.whole(joint, "done", kind == "tag")
        else:
            return self.half(joint, side, kind == "tag")
        self.pending = None
        return verdict

    def half(self, joint, side, typed):
        first = self.places(joint)[0]
        if self.pending is None or (self.pending[1] == first) == (side == first):
            verdict = "half" if self.pending is None else "same-side"
            self.pending = (joint.number, side, typed)
            return verdict
        number, other, was_typed = self.pending
        self.pending = None
        if number == joint.number:
            return self.whole(joint, "mated", typed or was_typed)
        self.open(number)
        self.open(joint.number)
        pair = [f"{number}{other}", f"{joint.number}{side}"]
        if side == first:
            pair.reverse()
        if pair not in self.wrong:
            self.wrong.append(pair)
        return "wrong-mate"

    def whole(self, joint, verdict, typed):
        self.pending = None
        if joint.number in self.made:
            return "repeat"
        held_up = self.holds_up(joint)
        if held_up and self.stage != "unplug":
            return "out-of-order"
        self.made.add(joint.number)
        self.skipped.pop(joint.number, None)
        if typed:
            self.typed.add(joint.number)
        self.wrong = [pair for pair in self.wrong
                      if not all(int(tag[:-1]) in self.made for tag in pair)]
        return "out-of-order" if held_up else verdict

    def holds_up(self, joint):
        """The joints that should have come first."""
        if self.stage == "reconnect":
            return [number for number in joint.after if number not in self.made]
        if self.stage == "unplug":
            return [other.number for other in self.joints.values() if joint.number in other.after
                    and other.number not in self.made and other.number not in self.skipped]
        return []

    def open(self, number):
        if number not in self.made:
            return
        self.made.discard(number)
        self.typed.discard(number)
        for other in self.joints.values():
            if self.stage == "reconnect" and number in other.after:
                self.open(other.number)

    def skip(self, number):
        if number in self.asked() and number not in self.made:
            self.skipped[number] = REASON

    def take(self, word):
        """A word of the short notation; the verdict, or None for what is no scan."""
        if word.startswith("skip:"):
            self.skip(int(word[len("skip:"):]))
            return None
        return self.feed(line_of(word))

    def ok(self):
        if not self.joints:
            return False
        if self.stage == "unplug":
            return all(number in self.made or number in self.skipped for number in self.joints)
        return (all(number in self.made for number in self.asked()) and self.pending is None
                and not self.wrong)

    def document(self):
        """The JSON document, but its events."""
        asked = sorted(self.asked())
        return {"code": self.code, "stage": self.stage, "ok": self.ok(),
                "mated": [number for number in asked if number in self.made],
                "missing": [number for number in asked if number not in self.made],
                "wrong": self.wrong,
                "skipped": [{"number": number, "reason": reason}
                            for number, reason in sorted(self.skipped.items())],
                "unnumbered": self.unnumbered, "typed": len(self.typed)}


def event(line, text, verdict):
    """A scan as the JSON document has it. A scan that was misread has a tag where it is one that was
    typed and does not count."""
    scan = read_scan(text)
    return {"line": line, "scan": text, "tag": f"{scan[1]}{scan[2]}" if scan else None,
            "verdict": verdict}
