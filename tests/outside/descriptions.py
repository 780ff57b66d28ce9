"""Invented harnesses of random content: ways, names, colours, bundles, replaced parts."""

import random

PARTS = ["winch motor", "tilt sensor", "Drehgeber", "capteur de marée", "датчик глубины",
         "αισθητήρας", "lamp", "hydrophone array, port side, long name", "Ölstandsgeber",
         "pump", "snímač polohy", "heater 2", "łącznik krańcowy"]
PLACES = ["bow", "unter der Luke", "à tribord", "за переборкой", "aft frame 7", "keel"]
COLOURS = ["BK", "BN", "RD", "OG", "YE", "GN", "BU", "VT", "GY", "WH", "PK", "GNYE", "WHRD",
           "BNGN", "black", "blue", "red", "GYPK", "TQ"]
KINDS = ["plug", "plug", "plug", "ring", "spade", "strap"]
FAMILIES = ["round, screw ring", "flat, 6.3 mm tabs", "flat, 2.8 mm tabs", None]


def describe(seed, connectors, bundles=None, base=None, harness=None, replaced=0.3):
    """YAML text. `bundles` is what the layout suits, in mm, or None where any will do; a base is
    given or not, as chance has it, where `base` is None."""
    chance = random.Random(seed)
    code = harness or "".join(chance.choice("ABCDEFGHKLMNPRT") for _ in range(chance.randint(1, 4)))
    code += "" if harness else str(chance.randint(1, 99))
    lines = [f"harness: {code}", f"title: {chance.choice(PARTS)}"]
    if harness is None and chance.random() < 0.5:
        lines.append(f'unit: "{chance.randint(1, 999):04}"')
    if base or base is None and chance.random() < 0.5:
        lines.append(f"base: {base or 'http://bench.local:8080'}")
    lines.append("components:")
    for i in range(connectors):
        fate = ", fate: replace" if chance.random() < replaced else ""
        lines.append(f'  - {{id: M{i}, name: "{chance.choice(PARTS)}", '
                     f"place: {chance.choice(PLACES)}{fate}}}")
    lines.append("connectors:")
    for i in range(connectors):
        lines += connector(chance, i, bundles)
    return "\n".join(lines) + "\n"


def connector(chance, i, bundles):
    ways = chance.choice([1, 2, 3, 4, 5, 8, 12])
    kind = chance.choice(KINDS)
    family = chance.choice(FAMILIES)
    colours = [chance.choice(COLOURS) for _ in range(ways)]
    lines = [f"  - id: X{i + 1}", f'    name: "{chance.choice(PARTS)}"', f"    mates: M{i}",
             f"    kind: {kind}", f"    ways: {ways}",
             "    wires: {" + ", ".join(f"{n + 1}: {c}" for n, c in enumerate(colours)) + "}"]
    if family:
        lines.append(f"    family: {family}")
    if bundles:
        lines.append(f"    bundle: {chance.uniform(*bundles):.2f} mm")
    elif chance.random() < 0.7:
        lines.append(f"    size: {chance.choice(['0.5 mm2', '0.75 mm2', '1.5 mm2', '20 AWG'])}")
    return lines
