"""Shows the judge a sound answer, written by hand, and then the same with one thing wrong: each must be found, and nothing in the sound one."""

import copy
import sys
import tempfile
from pathlib import Path

import cures
import judge
import run
from brief import Brief

BRIEF = """# expect: met
# within: ibu 20 40
name = "By hand"
[kit]
kettle = "16 L"
fermenter = "14 L"
boil-off = "2 L/h"
grain-holds = "0.8 L/kg"
kettle-loss = "0.5 L"
kettle-weight = "4 kg"
[want]
volume = "10 L"
alcohol = "4.8 %"
[[have]]
item = "pale ale malt"
amount = "5 kg"
[[have]]
item = "Golding"
alpha = "5 %"
[[have]]
item = "ale yeast"
"""


def addition(name, kind, grams, step, **more):
    return {"ingredient": name, "id": name, "kind": kind, "amount": grams, "unit": "g", "step": step, "given": False, **more}


def estimate(value):
    return {"value": value, "low": value, "high": value}


# 2.3 kg at 310 points and 75 % give 480 points in 10.5 L: 1.046. 35 g at 5 % for an hour: 36 IBU by the formula of 1997.
ANSWER = {
    "outcome": "met", "clashes": [], "cautions": [], "sheet": [],
    "proposals": [{
        "forecast": {"original_gravity_sg": estimate(1.046), "final_gravity_sg": estimate(1.011), "abv_percent": estimate(4.75),
                     "bitterness_ibu": estimate(35.0), "colour_ebc": estimate(9.0), "fermenter_volume_l": estimate(10.0)},
        "additions": [addition("pale ale malt", "malt", 2300, "mash"), addition("crystal malt", "malt", 60, "mash"),
                      addition("Golding", "hop", 35, "boil", minutes_before_boil_end=60),
                      addition("neutral ale yeast, dried", "yeast", 9, "fermenter")],
        "waters": [{"water": "tap", "mash_l": 13.7, "sparge_or_top_up_l": 0.0}], "yeast": "neutral ale yeast, dried",
        "rest_temperature_c": 66.0,
        "run_sheet": {"liquor_l": 13.7, "mash_liquor_l": 13.7, "strike_temperature_c": 69.5, "mash_volume_hot_l": 15.4,
                      "pre_boil_volume_l": 12.7, "pre_boil_volume_hot_l": 13.2, "pre_boil_gravity_sg": 1.039,
                      "post_boil_volume_l": 10.7, "post_boil_volume_hot_l": 11.1, "post_boil_gravity_sg": 1.046,
                      "liquor_mg_per_l": {}},
    }],
}
RUN = {"code": 0, "text": "What comes out\n  - volume 10.0 L, wished 9.8 to 10.2 L: yes\n  - body: assumed\n", "sheet": "", "mash code": 0}


def forecast(answer, key, value):
    answer["proposals"][0]["forecast"][key] = estimate(value)


def add(answer, *what, **more):
    answer["proposals"][0]["additions"].append(addition(*what, **more))


def amount(answer, index, grams):
    answer["proposals"][0]["additions"][index]["amount"] = grams


def sheet(answer, key, value):
    answer["proposals"][0]["run_sheet"][key] = value


# code: what is done to (answer, run)
WRONGS = {
    "no-yeast": lambda a, r: amount(a, 3, 0), "little-yeast": lambda a, r: amount(a, 3, 0.9),
    "share-roast": lambda a, r: add(a, "roasted barley", "malt", 900, "mash"),
    "share-crystal": lambda a, r: amount(a, 1, 1200),
    "share-sugar": lambda a, r: add(a, "white sugar", "sugar", 1500, "boil", minutes_before_boil_end=10),
    "no-enzymes": lambda a, r: add(a, "flaked maize", "adjunct", 3000, "mash"),
    "mash-thick": lambda a, r: sheet(a, "mash_liquor_l", 3.0), "strike-hot": lambda a, r: sheet(a, "strike_temperature_c", 120.0),
    "strike-off": lambda a, r: sheet(a, "strike_temperature_c", 65.0),
    "water-balance": lambda a, r: a["proposals"][0]["waters"][0].update(mash_l=19.0),
    "kettle": lambda a, r: sheet(a, "pre_boil_volume_hot_l", 16.2), "fermenter": lambda a, r: forecast(a, "fermenter_volume_l", 13.9),
    "gravity": lambda a, r: amount(a, 0, 1200), "efficiency": lambda a, r: sheet(a, "pre_boil_gravity_sg", 1.056),
    "attenuation": lambda a, r: forecast(a, "final_gravity_sg", 1.003), "alcohol": lambda a, r: forecast(a, "abv_percent", 6.0),
    "bitterness": lambda a, r: forecast(a, "bitterness_ibu", 80.0), "ibu-most": lambda a, r: forecast(a, "bitterness_ibu", 200.0),
    "bitterness-unwished": lambda a, r: forecast(a, "bitterness_ibu", 60.0),
    "hops-left-out": lambda a, r: forecast(a, "bitterness_ibu", 2.0), "hop-mass": lambda a, r: amount(a, 2, 150),
    "colour": lambda a, r: forecast(a, "colour_ebc", 80.0), "hop-water": lambda a, r: (amount(a, 0, 0), amount(a, 1, 0)),
    "dose-met": lambda a, r: add(a, "chilli, dried", "food", 500, "boil"), "dose": lambda a, r: add(a, "chilli, dried", "food", 15, "boil"),
    "met-yet-missed": lambda a, r: forecast(a, "fermenter_volume_l", 9.0),
    "met-yet-clash": lambda a, r: a["clashes"].append({"wishes": ["x"], "least_change": "", "cures": []}),
    "exit-code": lambda a, r: r.update(code=3), "mash-refuses": lambda a, r: r.update({"mash code": 65}),
    "nearest-without-clash": lambda a, r: (a.update(outcome="nearest"), r.update(code=3)),
    "lines": lambda a, r: (forecast(a, "fermenter_volume_l", 9.0), a.update(outcome="nearest"), r.update(code=3)),
    "assumed-unsaid": lambda a, r: r.update(text=""), "within-ibu": lambda a, r: forecast(a, "bitterness_ibu", 19.0),
    "says-not-done": lambda a, r: (amount(a, 0, 0), amount(a, 1, 0), r.update(text="strike at 70 °C")),
    "expect-met": lambda a, r: a.update(outcome="nearest"), "crash": lambda a, r: r.update(code=134),
}


def main():
    faults = []
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "by-hand.toml"
        path.write_text(BRIEF, encoding="utf-8")
        brief = Brief(path)
        sound = judge.judge(brief, ANSWER, RUN)[1]
        faults += [f"the sound answer: {finding}" for finding in sound]
        for code, spoil in WRONGS.items():
            answer, seen = copy.deepcopy(ANSWER), dict(RUN)
            spoil(answer, seen)
            if code not in {found for found, _ in judge.judge(brief, answer, seen)[1]}:
                faults.append(f"{code} was not found")
        change = {"words": "", "changes": [{"key": "have[2].amount", "from": "", "to": "80 g"}]}
        if cures.applied(brief.document, change)["have"][1]["amount"] != "80 g":
            faults.append("a cure was not applied where it points")
        failing = lambda program, *words: (3, "", "")
        clash = {"outcome": "nearest", "clashes": [{"wishes": ["x"], "least_change": "y", "cures": [change]}]}
        if [code for code, _ in cures.tried("", brief, clash, failing)] != ["cure-fails"]:
            faults.append("a cure that does not cure was not found")
    if run.drawn_against([("made-0001", "met", [("dose", "")])], {"gravity=2"}) != ({"dose": 1}, {"gravity": 0}):
        faults.append("the counts of the drawn briefs were not held against the list")
    for fault in faults:
        print(fault)
    print(f"{len(WRONGS) + 4} checks, {len(faults)} faults")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
