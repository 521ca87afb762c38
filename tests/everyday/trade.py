"""What the judge knows of brewing, written down for the suite alone and never read from data/.

Every line is common practice without a source, as a brewer would say it over the counter, unless it names one. The bounds are wider than
good taste: what lies outside is a recipe that an experienced brewer would not weigh.
"""

import math
import re

# Class of an ingredient by the words of its name, first match counts: (pattern, class, extract in points per kg in 1 L (sucrose: 384),
# colour low EBC, colour high EBC, enzymes in degrees Lintner).
GRAINS = [
    (r"chocolate|black|roast|patent|carafa", "roast", 265, 400, 1600, 0),
    (r"acid|sour malt", "acid", 280, 2, 10, 40),
    (r"crystal|caramel|cara", "crystal", 275, 20, 420, 0),
    (r"dextrin|body malt", "crystal", 280, 2, 20, 0),
    (r"brown malt", "amber", 270, 100, 220, 0),
    (r"amber|biscuit|victory", "amber", 275, 35, 130, 5),
    (r"melanoidin|aromatic", "amber", 285, 40, 100, 20),
    (r"flaked|torrefied|torrified|oat flakes|rolled|raw |unmalted|grits|grain,|puffed", "unmalted", 285, 1, 8, 0),
    (r"pilsner|lager malt|pils", "base", 310, 2, 5, 100),
    (r"wheat", "base", 315, 2, 22, 80),
    (r"munich.*dark|dark munich", "base", 300, 18, 35, 20),
    (r"munich", "base", 300, 10, 28, 40),
    (r"vienna", "base", 305, 5, 12, 55),
    (r"smoked|peat", "base", 300, 3, 12, 60),
    (r"rye|spelt|oat|sorghum|millet|buckwheat", "base", 290, 2, 14, 60),
    (r"", "base", 305, 3, 10, 45),
]

# Sugars and extracts: (pattern, class, points, colour low, colour high, share that does not ferment)
SUGARS = [
    (r"malt extract.*dr|dried malt extract|spray", "extract", 370, 5, 70, 0.25),
    (r"malt extract", "extract", 305, 5, 120, 0.25),
    (r"lactose", "body", 370, 0, 2, 1.0),
    (r"maltodextrin", "body", 365, 0, 2, 0.9),
    (r"honey|maple|agave|syrup|treacle|molasses|invert", "sugar", 300, 0, 400, 0.05),
    (r"glucose|dextrose", "sugar", 350, 0, 2, 0.0),
    (r"muscovado|brown|jaggery", "sugar", 370, 2, 250, 0.03),
    (r"", "sugar", 384, 0, 30, 0.0),
]

# Share of fermentable sugar in a food as weighed, per cent: low, high. Unknown foods: nothing to half.
FOODS = [
    (r"juice", 5, 18), (r"raisin|sultana|currant|date|fig|prune|dried apricot", 40, 75), (r"jam|jelly|marmalade", 40, 70),
    (r"spread|squash|chocolate", 0, 60), (r"honey", 25, 45),
    (r"cherr|berr|plum|apple|pear|banana|peach|apricot|quince|mango|pineapple", 2, 20),
    (r"bread|potato|chestnut|pumpkin|rice|pasta", 0, 45), (r"", 0, 50),
]

# Alpha acid by name where the brief states none: per cent, low and high over years and packets.
ALPHA = [
    (r"magnum|target|chinook|herkules|warrior|columbus|nugget|galena|apollo|admiral|pilgrim|polaris", 8, 19),
    (r"centennial|northdown|challenger|northern brewer|perle|first gold|brewer|bramling|progress|cluster|galaxy|citra|simcoe|mosaic", 4, 15),
    (r"home|garden|hedge|wild", 2, 10),
    (r"saaz|tettnang|spalt|hersbruck|halltertau|hallertau|golding|fuggle|styrian|willamette|lublin|cascade|whitbread", 2, 9),
    (r"", 2, 18),
]

# Grams in a litre of beer: what is usual at the most, and what nobody should be told is all well.
DOSES = [
    (r"chilli|chili|cayenne|habanero", 0.5, 2.0), (r"vanilla", 1.0, 3.0), (r"coriander", 2.5, 8.0),
    (r"nutmeg|mace", 0.05, 0.1), (r"clove", 0.1, 0.4), (r"star anise|aniseed|anise", 0.3, 1.0), (r"cardamom", 0.4, 1.5),
    (r"cinnamon|cassia", 0.7, 2.5), (r"pepper", 0.6, 3.0), (r"ginger", 22.0, 45.0), (r"juniper", 3.0, 8.0),
    (r"orange peel|lemon peel|grapefruit peel", 4.0, 10.0), (r"lavender", 0.8, 2.0), (r"rosemary|thyme|sage", 1.0, 3.0),
    (r"\btea\b", 8.0, 20.0), (r"coffee", 14.0, 35.0), (r"elderflower", 8.0, 20.0), (r"spruce|fir tips", 10.0, 25.0),
    (r"cocoa nib", 20.0, 50.0), (r"oak", 5.0, 15.0), (r"table salt|sea salt|^salt$", 1.5, 2.5), (r"baking soda", 0.8, 1.5),
    (r"gypsum", 1.2, 2.5), (r"calcium chloride", 1.0, 2.0), (r"epsom", 0.6, 1.5), (r"chalk|slaked lime", 0.6, 1.5),
    (r"lactic acid 80|lactic acid 88", 6.0, 12.0), (r"phosphoric acid 85", 1.5, 3.0), (r"citric|malic|tartaric", 2.0, 5.0),
    (r"hazelnut|peanut|almond|nut spread|sesame|tahini", 12.0, 40.0), (r"chocolate$|^dark chocolate|^milk chocolate", 20.0, 60.0),
    (r"berr(y|ies)|cherr|plum|fruit|peach|mango", 350.0, 700.0),
]

SHARE_MOST = {"roast": 0.15, "crystal": 0.26, "acid": 0.12, "amber": 0.30, "unmalted": 0.52}  # of the grist by weight
SUGAR_MOST = 0.32  # of the gravity points, where there is malt
HOPS_MOST_G_L = 12.0  # chosen, kettle and fermenter together, for an ordinary beer
HOPS_MOST_G_L_BITTER = 20.0  # where more than 50 IBU are wished
DRY_YEAST_CELLS_PER_G = 10e9  # packets say 5 to 20
CELLS_LEAST = 0.3e6  # in a millilitre for each degree Plato; 0.75 is usual for ale
ENZYMES_LEAST_LINTNER = 28.0
THICKEST_L_PER_KG = 1.95
STRIKE_MOST_C = 81.0
REST_C = (59.5, 73.5)
IBU_MOST = 120.0
EFFICIENCY = (0.50, 0.88)  # mash to fermenter, of the whole extract
KETTLE_EFFICIENCY = (0.55, 0.86)


def row(table, name):
    return next(line for line in table if re.search(line[0], name, re.IGNORECASE))


def utilisation(minutes, sg):
    """Bitterness that reaches the wort, as a share of the alpha acid. G. Tinseth, table and formula of 1997 (from memory)."""
    return 1.65 * 0.000125 ** (sg - 1.0) * (1.0 - math.exp(-0.04 * minutes)) / 4.15


def colour_ebc(mcu):
    """D. Morey's fit of 1995 (from memory), SRM from pounds times Lovibond in a US gallon."""
    return 1.97 * 1.4922 * max(mcu, 0.0) ** 0.6859


def strike_c(liquor_l, grain_kg, rest_c, room_c, kettle_kg):
    """Heat balance: grain takes 0.4 of the heat of as much water, steel 0.12; nobody counts on less than nothing or more than all of it."""
    cool = grain_kg * 0.40
    low = rest_c + cool * (rest_c - room_c) / liquor_l
    high = rest_c + (cool + 0.12 * kettle_kg[1]) * (rest_c - room_c) / liquor_l
    return low, high
