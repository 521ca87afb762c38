"""Briefs drawn by chance, from a fixed seed: what ordinary people might write. Each is possible or not as chance has it; the judge asks only
that the answer be a beer, or a plain no."""

import random

SEED = 20261201
BASE = ["pale ale malt", "pilsner malt", "Vienna malt", "Munich malt", "mild ale malt", "wheat malt", "dark Munich malt"]
CRYSTAL = ["crystal malt, pale", "crystal malt, medium", "crystal malt, dark", "crystal rye malt", "dextrin malt"]
ROAST = ["roasted barley", "chocolate malt", "black malt", "pale chocolate malt"]
SPECIAL = ["biscuit malt", "amber malt", "brown malt", "melanoidin malt", "acidulated malt", "smoked wheat malt", "rye malt"]
FLAKES = ["flaked oats", "flaked barley", "flaked maize", "flaked wheat", "raw wheat", "flaked rye", "torrefied wheat"]
SUGARS = ["white sugar", "honey", "glucose", "dark muscovado sugar", "maple syrup", "black treacle", "lactose"]
EXTRACTS = ["dried malt extract", "liquid malt extract", "amber dried malt extract", "dark liquid malt extract"]
HOPS = ["Fuggle", "Golding", "Saaz", "Cascade", "Magnum", "Perle", "Tettnang", "Challenger", "Centennial", "Chinook",
        "Northern Brewer", "Hersbrucker", "Willamette", "First Gold", "home-dried hops"]
YEASTS = ["ale yeast", "English ale yeast", "Belgian ale yeast", "wheat beer yeast", "lager yeast, dried", "kveik", "saison yeast"]
# name, usual grams in a litre, routes
ODD = [("coffee", 8, ["infusion", "flame-out"]), ("cocoa nibs", 8, ["infusion"]), ("coriander seed", 1, ["boil"]),
       ("dried orange peel", 1, ["boil"]), ("fresh ginger", 6, ["boil"]), ("juniper berries", 1, ["boil"]),
       ("raspberries", 150, ["fermenter"]), ("sour cherries", 150, ["fermenter"]), ("strawberries", 150, ["fermenter"]),
       ("quince jelly", 30, ["boil", "fermenter"]), ("marmalade", 30, ["boil"]), ("peanut butter", 4, ["infusion"]),
       ("hazelnut paste", 4, ["infusion"]), ("dark chocolate", 6, ["infusion", "boil"]), ("stale bread", 40, ["mash"]),
       ("pumpkin", 100, ["mash"]), ("apple juice", 150, ["fermenter"]), ("dates", 25, ["boil"]), ("tea", 3, ["flame-out"]),
       ("vanilla pods", 0.4, ["infusion"]), ("dried chilli", 0.2, ["infusion", "boil"]), ("elderflowers", 4, ["flame-out"]),
       ("table salt", 0.8, ["boil"]), ("oak chips", 2, ["fermenter"]), ("banana", 60, ["fermenter"])]


def plain(value, digits=3):
    return f"{float(f'{value:.{digits}g}'):g}"


def mass(random_, grams):
    """The same amount as different people write it."""
    way = random_.random()
    if way < 0.12 and grams > 450:
        return f"{grams / 453.592:.2f} lb"
    if way < 0.2:
        return f"{grams / 28.3495:.2f} oz"
    if grams >= 1000:
        return f"{plain(grams / 1000)} kg"
    return f"{plain(max(grams, 0.1))} g"


def volume(random_, litres):
    way = random_.random()
    if way < 0.12:
        return f"{litres / 3.785412:.2f} US gal"
    if way < 0.18:
        return f"{litres / 4.54609:.2f} imp gal"
    return f"{litres:.4g} L"


def entry(section, item, amount=None, **more):
    lines = [f"[[{section}]]", f'item = "{item}"']
    if amount is not None:
        lines.append(f'amount = "{amount}"')
    return lines + [f'{key} = "{value}"' for key, value in more.items()]


def kit_lines(random_, litres):
    times = random_.choice([1.3, 1.6, 1.6, 1.8, 2.2])
    lines = ["[kit]", f'kettle = "{volume(random_, litres * times)}"']
    scale = litres / 10
    lines += [f'boil-off = "{plain(max(0.3, 1.6 * scale ** 0.75), 2)} L/h"', f'kettle-loss = "{plain(0.4 * scale, 2)} L"',
              f'fermenter-loss = "{plain(0.4 * scale, 2)} L"', f'kettle-weight = "{plain(3 * scale ** 0.8, 2)} kg"']
    if random_.random() < 0.25:
        lines += ['mash = "sparge"', f'sparge = "{plain(0.4 * litres)} L"']
    if random_.random() < 0.1:
        lines += ['hot-stand = "20 min"', 'hot-stand-at = "80 °C"']
    return lines


def wish_lines(random_, litres, abv, way):
    lines = ["[want]", f'volume = "{volume(random_, litres)}"']
    if random_.random() < 0.75:
        lines.append(f'alcohol = ["{max(abv - 0.3, 0.2):.1f} %", "{abv + 0.3:.1f} %"]')
    else:
        lines.append(f'original-gravity = "{1 + abv * 0.0095:.3f}"')
    if way != "sugar" and random_.random() < 0.75:
        ibu = random_.uniform(10, 25 + 5 * abv)
        lines.append(f'bitterness = ["{ibu - 4:.0f} IBU", "{ibu + 4:.0f} IBU"]')
    return lines


def things(random_, litres, abv, way):
    """Malts and what stands in for them, enough for the strength wished or, one time in ten, not quite."""
    need_g = litres * abv * 48 * random_.choice([1.6, 1.6, 1.6, 1.3, 0.7])
    lines = []
    if way in ("grain", "part"):
        for item in random_.sample(BASE, random_.choice([1, 1, 2])):
            lines += entry("have", item, mass(random_, need_g * (0.5 if way == "part" else 1.0)))
        if random_.random() < 0.6:
            lines += entry("have", random_.choice(CRYSTAL), mass(random_, need_g * 0.12))
        if random_.random() < 0.3:
            lines += entry("have", random_.choice(ROAST), mass(random_, need_g * 0.08))
        if random_.random() < 0.3:
            lines += entry("given" if random_.random() < 0.5 else "have", random_.choice(SPECIAL), mass(random_, need_g * 0.08))
        if random_.random() < 0.3:
            lines += entry("have", random_.choice(FLAKES), mass(random_, need_g * 0.2))
    if way in ("extract", "part", "steep"):
        lines += entry("have", random_.choice(EXTRACTS), mass(random_, need_g * (0.4 if way == "part" else 0.85)))
    if way == "steep":
        lines += entry("have", random_.choice(CRYSTAL), mass(random_, need_g * 0.1))
    if way == "sugar":
        lines += entry("have", random_.choice(["honey", "white sugar", "maple syrup"]), mass(random_, need_g))
    elif random_.random() < 0.25:
        lines += entry("have", random_.choice(SUGARS), mass(random_, need_g * 0.3))
    return lines


def one(number):
    random_ = random.Random(SEED * 10000 + number)
    litres = random_.choice([1, 4, 5, 8, 10, 10, 10, 12, 15, 20, 20, 23, 40, 50, 200, 1000, 2000])
    abv = random_.choice([0.5, 2.5, 3.5, 4, 4.5, 4.5, 5, 5, 5, 5.5, 6, 6.5, 7, 8, 9, 10, 12])
    way = random_.choices(["grain", "extract", "steep", "part", "sugar"], [60, 12, 10, 10, 8])[0]
    lines = [f'name = "Draw {number}"']
    if litres != 10 or random_.random() < 0.5:
        lines += kit_lines(random_, litres)
    lines += wish_lines(random_, litres, abv, way)
    lines += things(random_, litres, abv, way)
    if way != "sugar" or random_.random() < 0.3:
        for item in random_.sample(HOPS, random_.choice([1, 1, 2, 2, 3])):
            section = "given" if random_.random() < 0.12 else "have"
            lines += entry(section, item, mass(random_, litres * random_.choice([2, 4, 5, 8]) * (0.3 if section == "given" else 1)))
    for item, usual, routes in random_.sample(ODD, random_.choices([0, 1, 2], [45, 45, 10])[0]):
        grams = usual * litres * random_.uniform(0.4, 1.3)
        more = {"route": random_.choice(routes)}
        if random_.random() < 0.5:
            more["use"] = f"{mass(random_, grams * 0.3)} to {mass(random_, grams)}" if grams > 5 else "all"
        lines += entry("given", item, mass(random_, grams * 1.05), **more)
    lines += entry("have", random_.choice(YEASTS), mass(random_, max(5, litres * abv * 0.22)))
    return "\n".join(lines) + "\n"


def written(folder, count):
    paths = []
    for number in range(count):
        path = folder / f"made-{number:04}.toml"
        path.write_text(one(number), encoding="utf-8")
        paths.append(path)
    return paths
