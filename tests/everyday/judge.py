"""Reads an answer and judges it as an experienced brewer would. Shares no code and no table with the program.

Each check yields (code, words). README.md lists the codes.
"""

import re

import trade
from brief import sg_to_plato

IN_WORT = {"mash", "boil", "flame-out"}


class Recipe:
    """One proposal of an answer, sorted the way the checks need it."""

    def __init__(self, brief, proposal):
        self.brief = brief
        self.proposal = proposal
        self.additions = proposal["additions"]
        self.sheet = proposal["run_sheet"]
        self.value = {key: each["value"] for key, each in proposal["forecast"].items() if isinstance(each, dict)}
        self.og = self.value["original_gravity_sg"]
        self.fg = self.value["final_gravity_sg"]
        self.volume_l = max(self.value["fermenter_volume_l"], 1e-6)
        self.grains = [a for a in self.of("malt", "adjunct") if a["step"] == "mash"]
        self.grist_kg = sum(a["amount"] for a in self.grains) / 1000
        self.waters_l = sum(value for water in proposal.get("waters", []) for key, value in water.items()
                            if key.endswith("_l"))
        self.waters_l = max(self.waters_l, self.sheet["liquor_l"])

    def of(self, *kinds):
        return [a for a in self.additions if a["kind"] in kinds and a["amount"] > 0]

    def points(self):
        """Gravity points (per kg in 1 L) by class: grain, extract, sugar, body, food low, food high, late."""
        points = dict.fromkeys(["grain", "extract", "sugar", "body", "food low", "food high", "late"], 0.0)
        for a in self.additions:
            kg = a["amount"] / 1000
            if a["kind"] in ("malt", "adjunct"):
                line = trade.row(trade.GRAINS, a["ingredient"])
                key = "grain" if a["step"] == "mash" else "food high"
                points[key] += kg * line[2]
            elif a["kind"] == "sugar":
                line = trade.row(trade.SUGARS, a["ingredient"])
                points["late" if a["step"] not in IN_WORT else line[1]] += kg * line[2]
            elif a["kind"] == "food":
                line = trade.row(trade.FOODS, a["ingredient"])
                if a["step"] in IN_WORT:
                    points["food low"] += kg * 384 * line[1] / 100
                    points["food high"] += kg * 384 * line[2] / 100
                elif a["step"] == "fermenter":
                    points["late"] += kg * 384 * line[2] / 100
        return points


def class_of(addition):
    return trade.row(trade.GRAINS, addition["ingredient"])[1]


def demanded(recipe, additions):
    return sum(min(a["amount"], recipe.brief.demanded_g(a["ingredient"])) for a in additions if a["given"])


def shares(recipe, text):
    if recipe.grist_kg > 0.02:
        for kind, most in trade.SHARE_MOST.items():
            members = [a for a in recipe.grains if class_of(a) == kind]
            share = sum(a["amount"] for a in members) / 1000 / recipe.grist_kg
            by_order = demanded(recipe, members) >= 0.9 * sum(a["amount"] for a in members)
            if share > most and not (by_order and re.search(r"usual|practice", text)):
                yield f"share-{kind}", f"{share:.0%} of the grist is {kind}"
    points = recipe.points()
    whole = sum(points[key] for key in ("grain", "extract", "sugar", "body", "food low")) or 1.0
    malt_there = recipe.brief.house_has(r"malt(?!odextrin)|extract|malz")
    sugars = [a for a in recipe.of("sugar") if trade.row(trade.SUGARS, a["ingredient"])[1] == "sugar"]
    by_order = demanded(recipe, sugars) >= 0.9 * sum(a["amount"] for a in sugars)
    if malt_there and points["sugar"] / whole > trade.SUGAR_MOST and not by_order:
        yield "share-sugar", f"{points['sugar'] / whole:.0%} of the extract is sugar though there is malt"


def mash(recipe, text):
    if recipe.grist_kg < 0.02:
        return
    starch = [a for a in recipe.grains if class_of(a) in ("base", "unmalted", "acid")]
    starch_kg = sum(a["amount"] for a in starch) / 1000
    strength = sum(a["amount"] * trade.row(trade.GRAINS, a["ingredient"])[5] for a in recipe.grains) / 1000
    enzymes_there = any(re.search(r"amylase|enzyme", a["ingredient"]) and "pect" not in a["ingredient"]
                        for a in recipe.additions)
    if starch_kg > 0.05 and strength / starch_kg < trade.ENZYMES_LEAST_LINTNER and not enzymes_there:
        yield "no-enzymes", f"{strength / starch_kg:.0f} °Lintner over the starchy grist"
    thickness = recipe.sheet["mash_liquor_l"] / recipe.grist_kg
    if thickness < trade.THICKEST_L_PER_KG:
        yield "mash-thick", f"{thickness:.2f} L/kg"
    strike, rest = recipe.sheet["strike_temperature_c"], recipe.proposal["rest_temperature_c"]
    if strike > trade.STRIKE_MOST_C:
        yield "strike-hot", f"strike at {strike:.0f} °C"
    low, high = trade.strike_c(recipe.sheet["mash_liquor_l"], recipe.grist_kg, rest, recipe.brief.room_c,
                               recipe.brief.kettle_kg)
    if not low - 1.5 <= strike <= high + 2.0:
        yield "strike-off", f"strike {strike:.1f} °C, by a heat balance {low:.1f} to {high:.1f}"
    if "rest" not in recipe.brief.want and not trade.REST_C[0] <= rest <= trade.REST_C[1]:
        yield "rest", f"rest at {rest:.1f} °C"
    ph = recipe.value.get("mash_ph")
    if ph is not None and starch_kg > 0.3 * recipe.grist_kg and not 4.95 <= ph <= 6.0:
        yield "mash-ph", f"mash pH {ph:.2f}"


def volumes(recipe, text):
    brief, sheet = recipe.brief, recipe.sheet
    displaced = 0.0
    for a in recipe.additions:
        kg = a["amount"] / 1000
        if a["step"] in IN_WORT:
            displaced += kg * {"malt": 0.45, "adjunct": 0.42, "sugar": 0.66, "food": 0.7}.get(a["kind"], 0.0)
    hops_kg = sum(a["amount"] for a in recipe.of("hop") if a["step"] in ("boil", "flame-out")) / 1000
    food_kg = sum(a["amount"] for a in recipe.of("food") if a["step"] in ("boil", "flame-out")) / 1000
    steam_h = brief.boil_min / 60
    least, most = ((brief.kettle_loss_l[end] + brief.hops_hold[end] * hops_kg + brief.grain_holds[end] * recipe.grist_kg
                    + brief.boil_off_l_h[end] * steam_h) for end in (0, 1))
    slack = 0.06 * recipe.volume_l + 1.5 * food_kg + 0.10 * displaced + 0.35 * brief.hops_hold[1] * hops_kg
    slack += min(0.4, 0.04 * recipe.waters_l)
    fruit_kg = sum(a["amount"] for a in recipe.additions if a["kind"] == "food" and a["step"] == "fermenter") / 1000
    low, high = recipe.waters_l + displaced - most - slack, recipe.waters_l + displaced - least + slack + 0.95 * fruit_kg
    if recipe.grist_kg <= 0 and not re.search(r"rolling boil", text, re.IGNORECASE):
        high += brief.boil_off_l_h[1] * steam_h  # it may never have boiled
    if not low <= recipe.volume_l <= high:
        yield "water-balance", f"{recipe.volume_l:.2f} L into the fermenter, by a water balance {low:.2f} to {high:.2f} L"
    for key in ("mash_volume_hot_l", "pre_boil_volume_hot_l", "post_boil_volume_hot_l"):
        if brief.kettle_l and sheet[key] > brief.kettle_l * 1.002:
            yield "kettle", f"{key} {sheet[key]:.1f} L in a kettle of {brief.kettle_l:.1f} L"
            break
    wet = sheet["mash_liquor_l"] + 0.65 * recipe.grist_kg
    if brief.kettle_l and recipe.grist_kg > 0 and wet > brief.kettle_l * 1.03 and brief.kit.get("mash") != "sparge":
        yield "kettle", f"the mash takes {wet:.1f} L in a kettle of {brief.kettle_l:.1f} L"
    if brief.fermenter_l and recipe.volume_l > brief.fermenter_l * 0.98:
        yield "fermenter", f"{recipe.volume_l:.1f} L in a fermenter of {brief.fermenter_l:.1f} L"


def gravity(recipe, text):
    p = recipe.points()
    known = p["extract"] + p["sugar"] + p["body"]
    low = trade.EFFICIENCY[0] * p["grain"] + 0.78 * known + 0.5 * p["food low"]
    high = trade.EFFICIENCY[1] * p["grain"] + 1.03 * known + p["food high"] + 0.85 * p["late"]
    said = 1000 * (recipe.og - 1) * recipe.volume_l
    if not low - 15 <= said <= high + 15:
        yield "gravity", f"{said:.0f} points in the fermenter, by a sum of extract {low:.0f} to {high:.0f}"
    if p["grain"] > 0.9 * (p["grain"] + known + p["food high"]):
        kettle = 1000 * (recipe.sheet["pre_boil_gravity_sg"] - 1) * recipe.sheet["pre_boil_volume_l"] / p["grain"]
        if not trade.KETTLE_EFFICIENCY[0] <= kettle <= trade.KETTLE_EFFICIENCY[1]:
            yield "efficiency", f"{kettle:.0%} of the laboratory yield in the kettle"


def fermentation(recipe, text):
    p = recipe.points()
    whole = sum(p.values()) - p["food low"] or 1.0
    plain = (p["sugar"] + p["late"] + p["food high"]) / whole
    dull = (p["body"] + 0.25 * p["extract"]) / whole
    abv, rise = recipe.value["abv_percent"], recipe.og - recipe.fg
    if recipe.og > 1.012 and p["late"] < 0.05 * whole:
        apparent = rise / (recipe.og - 1)
        weak = recipe.brief.wishes().get("alcohol", (9, 9))[1] < 1.6
        diastatic = re.search(r"saison|diasta|brett", recipe.proposal["yeast"], re.IGNORECASE)
        least = (0.30 if weak else 0.60) * (1 - p["body"] / whole) - 0.02
        most = (0.98 if diastatic else 0.86) * (1 - plain) + 1.25 * plain - 0.1 * dull
        if not least <= apparent <= most + 0.02:
            yield "attenuation", f"apparent attenuation {apparent:.0%}, a brewer expects {least:.0%} to {most:.0%}"
    if p["late"] < 0.02 * whole:
        own = 131.25 * rise * (1 + max(0, recipe.og - 1.06) * 1.2)
        if not own - 0.25 <= abv <= own + 0.75 + 0.06 * own:
            yield "alcohol", f"{abv:.1f} % vol, from the gravities {own:.1f}"
    if whole < 1.5 * recipe.volume_l and abv > 0.1 and recipe.brief.house_has(r"malt|extract|sugar|honey"):
        yield "hop-water", f"an original gravity of {recipe.og:.3f}: that is no beer"


def yeast(recipe, text):
    grams = sum(a["amount"] for a in recipe.of("yeast"))
    plato = max(sg_to_plato(recipe.og), 0.0)
    if grams <= 0:
        yield "no-yeast", "no yeast goes in"
        return
    cells = grams * trade.DRY_YEAST_CELLS_PER_G / (recipe.volume_l * 1000) / max(plato, 3.0)
    if cells < trade.CELLS_LEAST and not re.search(r"liquid|slurry|starter", recipe.proposal["yeast"]):
        yield "little-yeast", f"{cells / 1e6:.2f} million cells per mL and °P"


def hops(recipe, text):
    kettle, low, high = 0.0, 0.0, 0.0
    volume = max(recipe.sheet["post_boil_volume_l"], recipe.volume_l)
    for a in recipe.of("hop"):
        stated = next((e.get("alpha") for e in recipe.brief.entries() if e["item"].lower() in a["ingredient"].lower()),
                      None)
        _, least, most = trade.row(trade.ALPHA, a["ingredient"])
        if stated is not None:
            figures = [float(re.match(r"\s*([0-9.]+)", s)[1]) for s in (stated if isinstance(stated, list) else [stated])]
            least, most = min(figures) * 0.8, max(figures) * 1.05
        if a["step"] == "boil":
            used = trade.utilisation(a.get("minutes_before_boil_end", 0), recipe.og)
            span = (0.6 * used, 1.3 * used + 0.03)
        elif a["step"] == "flame-out":
            span = (0.0, trade.utilisation(25, recipe.og))
        else:
            span = (0.0, 0.01)
        kettle += a["amount"] if a["step"] in ("boil", "flame-out") else 0
        low += least * 10 * a["amount"] * span[0] / volume
        high += most * 10 * a["amount"] * span[1] / volume
    said = recipe.value["bitterness_ibu"]
    if said > trade.IBU_MOST:
        yield "ibu-most", f"{said:.0f} IBU do not dissolve in beer"
    elif not min(0.8 * low, 85) - 4 <= said <= high + 4 + 0.004 * 1000 * 4:
        yield "bitterness", f"{said:.0f} IBU, by a published formula {low:.0f} to {high:.0f}"
    chosen = (sum(a["amount"] for a in recipe.of("hop")) - demanded(recipe, recipe.of("hop"))) / recipe.volume_l
    bitter = recipe.brief.wishes().get("bitterness", (0, 0))[1] > 50
    if chosen > (trade.HOPS_MOST_G_L_BITTER if bitter else trade.HOPS_MOST_G_L):
        yield "hop-mass", f"{chosen:.0f} g of hops chosen for each litre"
    if "bitterness" not in recipe.brief.want and recipe.og > 1.02:
        ratio = said / (1000 * (recipe.og - 1))
        malty = recipe.brief.house_has(r"malt|extract|malz")
        if ratio > 1.2:
            yield "bitterness-unwished", f"{said:.0f} IBU at {recipe.og:.3f}, and no bitterness was wished"
        elif ratio < 0.12 and malty and recipe.brief.house_has(hop_words()):
            yield "hops-left-out", f"{said:.0f} IBU at {recipe.og:.3f} with hops in the house"


def hop_words():
    return (r"\bhops?\b|saaz|golding|fuggle|magnum|cascade|challenger|perle|tettnang|hallertau|hersbruck|spalt|centennial|chinook|"
            r"northern brewer|northdown|willamette|target|cluster|first gold")


def colour(recipe, text):
    low = high = 0.0
    for a in recipe.additions:
        kg = a["amount"] / 1000
        if a["kind"] in ("malt", "adjunct") and a["step"] == "mash":
            line = trade.row(trade.GRAINS, a["ingredient"])
            low, high = low + kg * line[3], high + kg * line[4]
        elif a["kind"] == "sugar":
            line = trade.row(trade.SUGARS, a["ingredient"])
            low, high = low + kg * line[3], high + kg * line[4] * (5 if "dark" in a["ingredient"] else 1)
        elif a["kind"] == "food":
            high += kg * 120
    per = 2.20462 * 3.785412 / 1.97 / max(recipe.sheet["post_boil_volume_l"], recipe.volume_l)
    least, most = 0.55 * trade.colour_ebc(low * per) - 3, 1.7 * trade.colour_ebc(high * per) + 5
    said = recipe.value["colour_ebc"]
    if not least <= said <= most:
        yield "colour", f"{said:.0f} EBC, by a sum of the malts {least:.0f} to {most:.0f}"


def doses(recipe, outcome):
    by_name = {}
    for a in recipe.additions:
        if a["kind"] in ("food", "salt", "acid", "adjunct", "fining"):
            by_name[a["ingredient"]] = by_name.get(a["ingredient"], 0.0) + a["amount"]
    for name, grams in by_name.items():
        line = next((d for d in trade.DOSES if re.search(d[0], name, re.IGNORECASE)), None)
        per_litre = grams / recipe.volume_l
        if line is None:
            continue
        if per_litre > line[2] and outcome == "met":
            yield "dose-met", f"{per_litre:.1f} g/L of {name}, and the answer is Met"
        elif per_litre > line[1] * 1.15 and grams > recipe.brief.demanded_g(name) * 1.05:
            yield "dose", f"{per_litre:.2f} g/L of {name} chosen, usual is up to {line[1]:g}"


FIGURE = {"volume": "fermenter_volume_l", "alcohol": "abv_percent", "original-gravity": "original_gravity_sg",
          "final-gravity": "final_gravity_sg", "bitterness": "bitterness_ibu", "colour": "colour_ebc",
          "mash-ph": "mash_ph"}
ROUNDING = {"volume": 0.006, "alcohol": 0.02, "original-gravity": 0.0002, "final-gravity": 0.0002, "bitterness": 0.3,
            "colour": 0.3, "mash-ph": 0.01}


def wishes_missed(recipe):
    missed = []
    for key, (low, high) in recipe.brief.wishes().items():
        value = recipe.value.get(FIGURE.get(key, "")) if key in FIGURE else recipe.sheet["liquor_mg_per_l"].get(key)
        slack = ROUNDING.get(key, 1.0) + (0.001 * high if key == "volume" else 0.0)
        if value is not None and not low - slack <= value <= high + slack:
            missed.append(key)
    return missed


def status(recipe, answer, text, code):
    outcome = answer["outcome"]
    said_no = re.findall(r"^  - .*?(?=^  - |^\S|\Z)", text.split("What comes out")[-1].split("What holds it")[0],
                         re.MULTILINE | re.DOTALL)
    said_no = [line for line in said_no if re.search(r":\s+NO\b", line)]
    missed = wishes_missed(recipe)
    if code != {"met": 0, "nearest": 3, "refused": 4}.get(outcome, 0):
        yield "exit-code", f"{outcome}, but exit code {code}"
    if outcome == "met" and (said_no or missed):
        yield "met-yet-missed", f"Met, but missed: {', '.join(missed) or said_no[0].strip()}"
    if outcome == "met" and answer["clashes"]:
        yield "met-yet-clash", "Met with a clash"
    if outcome == "nearest" and not answer["clashes"]:
        yield "nearest-without-clash", "Nearest, and nothing says what clashes"
    if missed and not said_no:
        yield "lines", f"{', '.join(missed)} missed, but every line of the answer says yes"


UNMASHED = r"\bstrike\b|\bthe bag\b|\bmash\b(?! pH)|for the mash|(?<!hopped )\bgrain\b"


def words(recipe, text, sheet_text):
    whole = text.split("Mind\n")[0].replace(recipe.brief.document.get("name", "\0"), "") + sheet_text
    whole = re.sub(r"on one kettle and a bag|no mash|nothing to mash|without a mash", "", whole)
    if recipe.grist_kg <= 0:
        found = re.search(UNMASHED, whole)
        if found:
            yield "says-not-done", f"nothing is mashed, yet it says \"{found[0]}\""
    if re.search(r"(strike|rest|water\.)[^\n]{0,20}(?<![\d.])0 °C", whole):
        yield "says-not-done", "a temperature of 0 °C"
    if re.search(r"^\s*0 g ", text, re.MULTILINE):
        yield "says-not-done", "0 g of something goes in"
    if not recipe.of("hop") and re.search(r"stir in the hops|hops, also spent", whole, re.IGNORECASE):
        yield "says-not-done", "no hops go in, yet it speaks of them"
    if {"alcohol", "bitterness", "final-gravity"} - set(recipe.brief.want) and "assumed" not in text:
        yield "assumed-unsaid", "a wish was not stated, and no line says what was assumed"


def within(recipe):
    keys = {"og": "original_gravity_sg", "fg": "final_gravity_sg", "abv": "abv_percent", "ibu": "bitterness_ibu",
            "ebc": "colour_ebc"}
    for line in recipe.brief.all_notes("within"):
        key, low, high = line.split()
        value = recipe.value[keys[key]]
        if not float(low) <= value <= float(high):
            yield f"within-{key}", f"{key} {value:g}, a brewer expects {low} to {high}"
    late = recipe.brief.note("late-hops")
    if late:
        grams = sum(a["amount"] for a in recipe.of("hop"))
        after = sum(a["amount"] for a in recipe.of("hop")
                    if a["step"] != "boil" or a.get("minutes_before_boil_end", 0) <= 15)
        if after < float(late) * grams:
            yield "late-hops", f"{after:.0f} g of {grams:.0f} g of an aroma hop go in late"
    uses = recipe.brief.note("uses")
    if uses and not any(uses in a["ingredient"].lower() for a in recipe.additions):
        yield "uses", f"no {uses} in the recipe"


def fruit_after_transfer(recipe, sheet):
    """The reading when the wort goes to the fermenter is that of before the fruit."""
    if recipe.brief.note("fruit-after-transfer") is None:
        return
    p = recipe.points()
    for line in sheet:
        if not line["action"].lower().startswith("transfer"):
            continue
        for each in line["expected"]:
            if each["unit"] == "SG":
                kettle = recipe.sheet["post_boil_gravity_sg"]
                if abs(each["value"] - kettle) > 0.0012 and p["late"] > 0:
                    yield "fruit-reading", f"transfer should read {each['value']:.4f}, the kettle {kettle:.4f}"


CHECKS = [shares, mash, volumes, gravity, fermentation, yeast, hops, colour]


def judged_recipe(brief, answer, run):
    recipe = Recipe(brief, answer["proposals"][0])
    findings = []
    for check in CHECKS:
        findings += check(recipe, run["text"] + run["sheet"])
    findings += doses(recipe, answer["outcome"])
    findings += status(recipe, answer, run["text"], run["code"])
    findings += words(recipe, run["text"], run["sheet"])
    findings += within(recipe)
    findings += fruit_after_transfer(recipe, answer.get("sheet", []))
    if recipe.grist_kg > 0 and run["mash code"] not in (0, 3):
        findings.append(("mash-refuses", f"`mash` refuses the plan with exit code {run['mash code']}"))
    return findings


def expectations(brief, outcome, run):
    expect = brief.note("expect", "beer")
    if expect == "met" and outcome != "met":
        yield "expect-met", f"a brewer makes this easily; the answer is {outcome}"
    if expect == "beer" and outcome not in ("met", "nearest", "none"):
        yield "expect-beer", f"the answer is {outcome}"
    if expect == "impossible" and outcome not in ("nearest", "none", "error"):
        yield "expect-impossible", f"this cannot be done; the answer is {outcome}"
    if expect == "unsafe" and outcome not in ("refused", "nearest", "none"):
        yield "unsafe-met", f"unsafe or undrinkable; the answer is {outcome}"
    if expect == "refused" and outcome != "refused":
        yield "unsafe-met" if outcome == "met" else "expect-refused", f"must be refused; the answer is {outcome}"
    if expect == "error" and outcome != "error":
        yield "expect-error", f"the file is wrong; the answer is {outcome}"
    if expect == "unknown" and "not known here" not in run["text"]:
        yield "unknown-unsaid", "nothing says that the food is not known here and was not checked"
    for pattern in brief.all_notes("says"):
        if not re.search(pattern, run["text"], re.IGNORECASE):
            yield "says", f"the answer does not say \"{pattern}\""
    for pattern in brief.all_notes("never"):
        if found := re.search(pattern, run["text"], re.IGNORECASE):
            yield "never", f"the answer says \"{found[0]}\""
    for pattern in brief.all_notes("sheet-says"):
        if not re.search(pattern, run["sheet"], re.IGNORECASE):
            yield "sheet-says", f"the sheet does not say \"{pattern}\""
    for pattern in brief.all_notes("sheet-never"):
        if found := re.search(pattern, run["sheet"], re.IGNORECASE):
            yield "sheet-never", f"the sheet says \"{found[0]}\""


def judge(brief, answer, run):
    """`answer` is the JSON of the answer or of problems; `run` holds exit codes and the texts."""
    if run["code"] not in (0, 3, 4, 65):
        return "crash", [("crash", f"exit code {run['code']}")]
    if "outcome" not in answer:
        findings = list(expectations(brief, "error", run))
        if run["code"] != 65 or not answer.get("problems"):
            findings.append(("exit-code", f"problems, but exit code {run['code']}"))
        return "error", findings
    outcome = answer["outcome"]
    if outcome == "refused" or not answer["proposals"]:
        findings = list(expectations(brief, outcome if outcome == "refused" else "none", run))
        if outcome == "met":
            findings.append(("met-yet-missed", "Met without a recipe"))
        if outcome == "nearest" and not answer["clashes"]:
            findings.append(("nearest-without-clash", "no recipe, and nothing says what clashes"))
        return outcome, findings
    return outcome, list(expectations(brief, outcome, run)) + judged_recipe(brief, answer, run)
