"""A brief as the judge reads it: its own small reader of quantities, written from docs/file-format.md."""

import re
import tomllib

MASS_G = {"g": 1.0, "kg": 1000.0, "mg": 0.001, "oz": 28.349523, "lb": 453.59237, "t": 1e6}
VOLUME_L = {"L": 1.0, "l": 1.0, "mL": 0.001, "ml": 0.001, "hL": 100.0, "US gal": 3.785412, "imp gal": 4.54609,
            "US qt": 0.946353, "imp qt": 1.136523, "US pt": 0.473176, "imp pt": 0.568261,
            "US fl oz": 0.0295735, "imp fl oz": 0.0284131}
MINUTES = {"s": 1 / 60, "min": 1.0, "h": 60.0, "day": 1440.0, "days": 1440.0}
PART = re.compile(r"\s*(-?[0-9]+(?:\.[0-9]+)?)\s*([A-Za-z°%/]+(?: (?:gal|qt|pt|fl oz)(?:/h)?)?)")


def total(text, table):
    """"2 lb 10 oz" as one number on the scale of the table."""
    found = PART.findall(str(text))
    if not found:
        raise ValueError(f"no quantity: {text!r}")
    return sum(float(number) * table[unit.strip()] for number, unit in found)


def mass_g(text):
    return total(text, MASS_G)


def volume_l(text):
    return total(text, VOLUME_L)


def minutes(text):
    return total(text, MINUTES)


def number(text):
    return float(re.match(r"\s*(-?[0-9.]+)", str(text))[1])


def temperature_c(text):
    value = number(text)
    return (value - 32.0) / 1.8 if "F" in str(text) else value


def plato_to_sg(plato):
    """Published polynomial in common use (Lincoln's approximation)."""
    return 1.0 + plato / (258.6 - 227.1 * plato / 258.2)


def sg_to_plato(sg):
    return -616.868 + 1111.14 * sg - 630.272 * sg**2 + 135.997 * sg**3


def gravity(text):
    return plato_to_sg(number(text)) if "P" in str(text) else number(text)


def colour_ebc(text):
    return number(text) * (1.97 if "SRM" in str(text) else 1.0)


# key: (reader, a little to either side)
WISHES = {
    "volume": (volume_l, None), "alcohol": (number, 0.2), "original-gravity": (gravity, 0.002),
    "final-gravity": (gravity, 0.002), "bitterness": (number, 2.0), "colour": (colour_ebc, 2.0),
    "mash-ph": (number, 0.05), "calcium": (number, 10.0), "magnesium": (number, 10.0), "sodium": (number, 10.0),
    "chloride": (number, 10.0), "sulphate": (number, 10.0),
}


def wished(key, value):
    reader, around = WISHES[key]
    if isinstance(value, str) and " to " in value:
        low, high = value.split(" to ")
        unit = re.sub(r"^[0-9.\s]+", "", high)
        value = [low if re.search(r"[A-Za-z%°]", low) else f"{low} {unit}", high]
    if isinstance(value, list):
        return reader(value[0]), reader(value[1])
    middle = reader(value)
    beside = 0.02 * middle if around is None else around
    return middle - beside, middle + beside


class Brief:
    def __init__(self, path):
        self.path = path
        self.text = path.read_text(encoding="utf-8")
        self.document = tomllib.loads(self.text)
        self.notes = re.findall(r"^# ([a-z-]+): (.+)$", self.text, re.MULTILINE)
        self.want = self.document.get("want", {})
        kit = self.document.get("kit", {})
        self.kit = kit
        litres = self.wishes().get("volume", (10.0, 10.0))[1] if isinstance(self.want.get("volume"), (str, list)) else 10.0
        # What the brief does not state, the program takes from a usual kit; the judge allows whatever such a kit may have.
        self.kettle_l = volume_l(kit["kettle"]) if "kettle" in kit else None
        self.fermenter_l = volume_l(kit["fermenter"]) if "fermenter" in kit else None
        self.boil_min = minutes(kit.get("boil", "60 min"))
        self.boil_off_l_h = self.figure("boil-off", lambda text: volume_l(re.sub(r"/h$", "", text.strip())),
                                        (0.05 * litres, 0.25 * litres + 2.0))
        self.grain_holds = self.figure("grain-holds", number, (0.4, 1.2))
        self.hops_hold = self.figure("hops-hold", number, (2.0, 10.0))
        self.kettle_loss_l = self.figure("kettle-loss", volume_l, (0.0, 0.05 * litres + 0.5))
        self.kettle_kg = self.figure("kettle-weight", lambda text: mass_g(text) / 1000, (0.5, 0.4 * litres + 4.0))
        self.room_c = temperature_c(kit.get("room", "20 °C"))

    def figure(self, key, reader, usual):
        """(low, high) of a figure of the kit: twice the same where it is stated."""
        return (reader(self.kit[key]),) * 2 if key in self.kit else usual

    def note(self, key, default=None):
        return next((value for name, value in self.notes if name == key), default)

    def all_notes(self, key):
        return [value for name, value in self.notes if name == key]

    def wishes(self):
        return {key: wished(key, value) for key, value in self.want.items() if key in WISHES}

    def entries(self):
        return self.document.get("given", []) + self.document.get("have", [])

    def demanded_g(self, name):
        """What must go in of a given thing, at least."""
        for entry in self.document.get("given", []):
            if entry["item"].lower() != name.lower():
                continue
            use = str(entry.get("use", "all"))
            amount = mass_g(entry["amount"])
            if use == "all":
                return amount
            if use.startswith("at least"):
                return mass_g(use[8:])
            if " to " in use:
                return mass_g(use.split(" to ")[0])
            return 0.0
        return 0.0

    def house_has(self, words):
        return any(re.search(words, entry["item"], re.IGNORECASE) for entry in self.entries())
