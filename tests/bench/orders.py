"""Descriptions whose joints wait for each other in a given shape, and scans that make all of them in
a right order. Usage: orders.py describe SHAPE COUNT
                      orders.py scans SHAPE COUNT TAGS    (TAGS: what tags --json wrote)

SHAPE is chain (each after the one before), dense (each after the 20 before), hub (half before one
joint, half after it) or layered (layers of 100 with a joint between); with "-none" the joints
between, of chain and dense every tenth, have no number."""

import heapq
import json
import sys

LAYER = 100
DENSE = 20
SPARSE = 10


def between(shape, count):
    """The joints, from 0, that hold the others apart, or lie among them."""
    if shape == "hub":
        return {count // 2}
    if shape == "layered":
        return set(range(LAYER, count, LAYER + 1))
    return set(range(SPARSE - 1, count, SPARSE))


def befores(shape, count):
    """For each joint those that its `after` names."""
    if shape == "chain":
        return [list(range(max(at - 1, 0), at)) for at in range(count)]
    if shape == "dense":
        return [list(range(max(at - DENSE, 0), at)) for at in range(count)]
    named = []
    start, last = 0, None
    joints = between(shape, count)
    for at in range(count):
        if at in joints:
            named.append(list(range(start, at)))
            start, last = at + 1, at
        else:
            named.append([] if last is None else [last])
    return named


def describe(shape, count, numberless):
    named = befores(shape, count)
    without = between(shape, count) if numberless else set()
    print("harness: ORD\nconnectors:")
    for at in range(count):
        after = ", ".join(f"X{before + 1}" for before in named[at])
        print(f"  - {{id: X{at + 1}, family: round {at + 1}"
              + (f", after: [{after}]" if after else "")
              + (", tag: none" if at in without else "") + "}")


def scans(shape, count, path):
    """Of what can be made next, what was unplugged last."""
    with open(path, encoding="utf-8") as file:
        codes = {tag["connector"]: tag["codes"] for tag in json.load(file)["tags"]}
    named = befores(shape, count)
    waiting = [[] for _ in range(count)]
    for at, before in enumerate(named):
        for other in before:
            waiting[other].append(at)
    blocked = [len(before) for before in named]
    ready = [-at for at in range(count) if not blocked[at]]
    heapq.heapify(ready)
    while ready:
        made = -heapq.heappop(ready)
        for code in codes.get(f"X{made + 1}", {}).values():
            print(code)
        for other in waiting[made]:
            blocked[other] -= 1
            if not blocked[other]:
                heapq.heappush(ready, -other)


def main(what, kind, count, *paths):
    shape, _, numberless = kind.partition("-")
    if what == "describe":
        describe(shape, int(count), numberless == "none")
    else:
        scans(shape, int(count), *paths)


if __name__ == "__main__":
    main(*sys.argv[1:])
