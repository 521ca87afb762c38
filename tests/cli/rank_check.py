"""An independent judge of `round rank`: reads the round's TOML itself, fits judge plus beer in exact fractions, compares.

Usage: rank_check.py ROUND.toml RANK.json CODES.json. Exit 0: alike; 1: not; 3: could not be checked.
"""

import json
import math
import sys
from fractions import Fraction

try:
    import tomllib
except ImportError:
    print("python3 older than 3.11 has no tomllib, so nothing was checked", file=sys.stderr)
    sys.exit(3)


def solve(matrix, right):
    """Gauss and Jordan, exactly. `right` holds several columns."""
    rows = [list(row) + list(more) for row, more in zip(matrix, right)]
    size = len(rows)
    for column in range(size):
        pivot = next(i for i in range(column, size) if rows[i][column] != 0)
        rows[column], rows[pivot] = rows[pivot], rows[column]
        rows[column] = [value / rows[column][column] for value in rows[column]]
        for i in range(size):
            if i != column and rows[i][column] != 0:
                rows[i] = [a - rows[i][column] * b for a, b in zip(rows[i], rows[column])]
    return [row[size:] for row in rows]


def scores_of(document, code_of):
    """(judge, brewer, score) of every sheet that may count."""
    weights = {c["name"]: Fraction(str(c.get("weight", 1))) for c in document.get("criterion", [])}
    found = {}
    for sheet in document["sheet"]:
        for key, marks in sheet["scores"].items():
            brewer = code_of.get(key, key)
            judge = sheet["judge"]
            if judge == brewer or document["drawn"][brewer] == judge or (judge, brewer) in found:
                continue
            if weights:
                if set(marks) != set(weights):
                    continue
                value = sum(weights[n] * Fraction(str(m)) for n, m in marks.items()) / sum(weights.values())
            else:
                value = Fraction(str(marks))
            found[judge, brewer] = value
    return found


def fit(scores):
    """Effects of judges and beers; beers sum to zero. Also the inverse of the bordered normal equations and the residual variance."""
    judges = sorted({judge for judge, _ in scores})
    beers = sorted({beer for _, beer in scores})
    names = [("judge", j) for j in judges] + [("beer", b) for b in beers]
    place = {name: i for i, name in enumerate(names)}
    size = len(names) + 1
    normal = [[Fraction(0)] * size for _ in range(size)]
    right = [[Fraction(0)] for _ in range(size)]
    for (judge, beer), value in scores.items():
        pair = (place["judge", judge], place["beer", beer])
        for a in pair:
            right[a][0] += value
            for b in pair:
                normal[a][b] += 1
    for beer in beers:
        normal[place["beer", beer]][size - 1] = normal[size - 1][place["beer", beer]] = Fraction(1)
    identity = [[Fraction(int(i == j)) for j in range(size)] for i in range(size)]
    solved = solve(normal, [r + e for r, e in zip(right, identity)])
    effect = [row[0] for row in solved]
    inverse = [row[1:] for row in solved]
    rest = sum((v - effect[place["judge", j]] - effect[place["beer", b]]) ** 2 for (j, b), v in scores.items())
    freedom = len(scores) - len(judges) - len(beers) + 1
    return judges, beers, place, effect, inverse, freedom, rest / freedom


def main():
    with open(sys.argv[1], "rb") as file:
        document = tomllib.load(file)
    with open(sys.argv[2], encoding="utf-8") as file:
        rank = json.load(file)
    with open(sys.argv[3], encoding="utf-8") as file:
        code_of = {entry["code"]: entry["brewer"] for entry in json.load(file)["key"]}
    judges, beers, place, effect, inverse, freedom, variance = fit(scores_of(document, code_of))
    wrong = []

    def compare(what, ours, theirs):
        if abs(float(ours) - theirs) > 1e-9:
            wrong.append(f"{what}: {theirs}, but exactly {float(ours)}")

    compare("freedom", freedom, rank["freedom"])
    compare("scatter", math.sqrt(variance), rank["scatter"])
    level = sum(effect[place["judge", j]] for j in judges) / len(judges)
    if sorted(b["brewer"] for b in rank["beers"]) != beers:
        wrong.append("not the same beers")
    for beer in rank["beers"]:
        mine = place["beer", beer["brewer"]]
        compare(f"ahead of {beer['brewer']}", effect[mine], beer["ahead"])
        compare(f"score of {beer['brewer']}", level + effect[mine], beer["score"])
        compare(f"error of {beer['brewer']}", math.sqrt(variance * inverse[mine][mine]), beer["standard_error"])
    for pair in rank["pairs"]:
        a, b = place["beer", pair["better"]], place["beer", pair["worse"]]
        spread = inverse[a][a] + inverse[b][b] - 2 * inverse[a][b]
        compare(f"error of {pair['better']} less {pair['worse']}", math.sqrt(variance * spread), pair["standard_error"])
    for judge in rank["judges"]:
        compare(f"lean of {judge['judge']}", effect[place["judge", judge["judge"]]] - level, judge["lean"])
    print(*wrong, sep="\n", file=sys.stderr)
    sys.exit(1 if wrong else 0)


main()
