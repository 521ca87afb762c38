#include "larder/packet.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include <fmt/format.h>

#include "larder/catalogue.hpp"
#include "larder/packet_figures.hpp"
#include "larder/phrases.hpp"
#include "science/label_energy.hpp"

namespace oddgrist::larder {
namespace {

constexpr double ethanol_kg_per_l = 0.78924;  // at 20 C, OIML R 22
constexpr std::string_view eu_tolerance_source =
    "printed figure, with the tolerances of the EU Commission guidance of December 2012 (from memory)";
constexpr std::string_view us_tolerance_source = "printed figure, within the 20 % of 21 CFR 101.9(g) (from memory)";

bool mentions(const Words& list, std::initializer_list<std::string_view> phrases) {
  return std::any_of(phrases.begin(), phrases.end(),
                     [&](std::string_view phrase) { return !places_of(words_of(phrase), list).empty(); });
}

// What kinds of sugar a declared ingredient brings, as shares of its sugars. From memory: honey after Codex CXS
// 12-1981, fruit after McCance and Widdowson, syrups after their usual make-up.
struct SugarWord {
  std::string_view phrase;
  double glucose, fructose, sucrose, maltose, lactose;
};

constexpr SugarWord sugar_words[] = {
    {"glucose fructose syrup", 0.55, 0.45, 0, 0, 0},
    {"fructose glucose syrup", 0.45, 0.55, 0, 0, 0},
    {"high fructose corn syrup", 0.45, 0.55, 0, 0, 0},
    {"invert sugar", 0.5, 0.5, 0, 0, 0},
    {"invert sugar syrup", 0.5, 0.5, 0, 0, 0},
    {"inverted sugar", 0.5, 0.5, 0, 0, 0},
    {"glucose syrup", 0.55, 0, 0, 0.45, 0},
    {"corn syrup", 0.55, 0, 0, 0.45, 0},
    {"rice syrup", 0.3, 0, 0, 0.7, 0},
    {"dextrose", 1, 0, 0, 0, 0},
    {"glucose", 1, 0, 0, 0, 0},
    {"grape sugar", 1, 0, 0, 0, 0},
    {"fructose", 0, 1, 0, 0, 0},
    {"malt extract", 0.2, 0, 0, 0.8, 0},
    {"malt syrup", 0.2, 0, 0, 0.8, 0},
    {"maltose", 0, 0, 0, 1, 0},
    {"honey", 0.43, 0.52, 0.05, 0, 0},
    {"agave", 0.2, 0.8, 0, 0, 0},
    {"date", 0.5, 0.5, 0, 0, 0},
    {"raisin", 0.5, 0.5, 0, 0, 0},
    {"maple syrup", 0.02, 0.02, 0.96, 0, 0},
    {"milk sugar", 0, 0, 0, 0, 1},
    {"lactose", 0, 0, 0, 0, 1},
    {"whey", 0, 0, 0, 0, 1},
    {"milk", 0, 0, 0, 0, 1},
    {"milk powder", 0, 0, 0, 0, 1},
    {"yoghurt", 0.1, 0, 0, 0, 0.9},
    {"yogurt", 0.1, 0, 0, 0, 0.9},
    {"cane sugar", 0, 0, 1, 0, 0},
    {"beet sugar", 0, 0, 1, 0, 0},
    {"sugar", 0, 0, 1, 0, 0},
    {"sucrose", 0, 0, 1, 0, 0},
    {"apple", 0.25, 0.55, 0.2, 0, 0},
    {"pear", 0.2, 0.65, 0.15, 0, 0},
    {"grape", 0.5, 0.5, 0, 0, 0},
    {"cherry", 0.55, 0.45, 0, 0, 0},
    {"quince", 0.35, 0.55, 0.1, 0, 0},
    {"orange", 0.25, 0.3, 0.45, 0, 0},
    {"lemon", 0.4, 0.4, 0.2, 0, 0},
    {"banana", 0.3, 0.3, 0.4, 0, 0},
    {"strawberry", 0.42, 0.46, 0.12, 0, 0},
    {"raspberry", 0.45, 0.5, 0.05, 0, 0},
    {"blackberry", 0.47, 0.5, 0.03, 0, 0},
    {"blackcurrant", 0.45, 0.5, 0.05, 0, 0},
    {"plum", 0.37, 0.23, 0.4, 0, 0},
    {"apricot", 0.25, 0.15, 0.6, 0, 0},
    {"mango", 0.1, 0.25, 0.65, 0, 0},
    {"fruit juice", 0.4, 0.45, 0.15, 0, 0},
    {"fruit", 0.4, 0.45, 0.15, 0, 0},
    {"berry", 0.45, 0.5, 0.05, 0, 0},
};

struct SugarSplit {
  std::array<double, component_count> share{};
  std::string basis;
  double doubt = 0.25;  // each share may be off by this much of all sugars
};

// A list goes by weight, heaviest first, but says no amounts: each sugar source is counted at half the one before it.
SugarSplit split_sugars(const PacketLabel& label, const Words& list) {
  struct Place {
    PhrasePlace at;
    const SugarWord* word;
  };
  std::vector<Place> places;
  for (const SugarWord& word : sugar_words)
    for (const PhrasePlace& at : places_of(words_of(word.phrase), list)) places.push_back({at, &word});
  std::vector<Place> whole;  // a longer phrase hides those inside it: "milk sugar" is not "sugar"
  for (const Place& place : places)
    if (std::none_of(places.begin(), places.end(), [&](const Place& other) {
          return other.at.end - other.at.begin > place.at.end - place.at.begin && other.at.begin <= place.at.begin &&
                 place.at.end <= other.at.end;
        }))
      whole.push_back(place);
  std::sort(whole.begin(), whole.end(), [](const Place& a, const Place& b) { return a.at.begin < b.at.begin; });

  SugarSplit split;
  double weight = 1.0, total = 0.0;
  std::string named;
  for (const Place& place : whole) {
    const SugarWord& word = *place.word;
    split.share[index(Component::glucose)] += weight * word.glucose;
    split.share[index(Component::fructose)] += weight * word.fructose;
    split.share[index(Component::sucrose)] += weight * word.sucrose;
    split.share[index(Component::maltose)] += weight * word.maltose;
    split.share[index(Component::lactose)] += weight * word.lactose;
    total += weight;
    weight *= 0.5;
    named += fmt::format("{}{}", named.empty() ? "" : ", ", word.phrase);
  }
  if (total > 0.0) {
    for (double& share : split.share) share /= total;
    split.basis = "sugars divided by the words " + named + " in the ingredient list";
  } else {
    split.share[index(Component::sucrose)] = 1.0;
    split.basis = "sugars taken as sucrose, as no word of the list says otherwise";
    split.doubt = 0.5;
  }
  for (const auto& [hint, component] :
       {std::pair{label.lactose_share, Component::lactose}, std::pair{label.fructose_share, Component::fructose}}) {
    if (!hint) continue;
    const double given = std::clamp(*hint, 0.0, 1.0), before = split.share[index(component)];
    for (double& share : split.share) share *= before < 1.0 ? (1.0 - given) / (1.0 - before) : 0.0;
    split.share[index(component)] = given;
    if (before >= 1.0) split.share[index(Component::sucrose)] += 1.0 - given;
    split.basis += fmt::format("; {} share as given", component_names[index(component)]);
  }
  return split;
}

// How much of the protein goes into hot wort. From memory, weak: nut and seed protein is mostly roasted fast, milk
// protein half stays dissolved, a drink's protein is in solution already.
struct Dissolvable {
  double low, usual, high;
};

Dissolvable dissolvable_protein(const PacketLabel& label, const Words& list) {
  if (label.panel == Panel::eu_per_100_ml) return {0.7, 0.95, 1.0};
  if (mentions(list, {"hazelnut", "almond", "peanut", "walnut", "cashew", "pecan", "pistachio", "nut", "sesame",
                      "tahini", "seed", "cocoa", "coconut"}))
    return {0.05, 0.15, 0.4};
  if (mentions(list, {"milk", "milk powder", "whey", "gelatine", "gelatin", "egg white"})) return {0.3, 0.6, 0.9};
  return {0.05, 0.25, 0.6};
}

// Carbohydrate that is neither sugar nor polyol: starch, unless the list names only sources of dextrin.
double dextrin_share_of_rest(const Words& list) {
  const bool dextrin =
      mentions(list, {"maltodextrin", "dextrin", "glucose syrup", "corn syrup", "rice syrup", "malt extract", "honey"});
  const bool starch = mentions(
      list, {"starch", "flour",     "wheat",  "oat",   "rice",    "maize", "corn", "potato", "barley", "rye",
             "cocoa",  "chocolate", "banana", "bread", "biscuit", "bean",  "pea",  "lentil", "peanut", "chestnut"});
  return !dextrin ? 0.0 : starch ? 0.5 : 1.0;
}

// EU guidance, December 2012, foods other than supplements (from memory), g per 100 g.
double eu_tolerance_g(std::string_view figure, double value) {
  if (figure == "salt") return value < 1.25 ? 0.375 : 0.2 * value;
  if (value < 10.0) return figure == "fat" ? 1.5 : 2.0;
  return value <= 40.0 ? 0.2 * value : 8.0;
}

void keep_tolerances(const PacketLabel& label, double basis_g, Ingredient& ingredient) {
  for (const LabelFigure& figure : label_figures) {
    if (!(label.*figure.value) || figure.unit != "g" || figure.name == "water") continue;
    const double per_100 = 100.0 * *(label.*figure.value) / basis_g;
    const bool us = label.panel == Panel::us_per_serving;
    const double off =
        us ? std::max(0.2 * per_100, 100.0 * rounding_half_g(label, figure.name, *(label.*figure.value)) / basis_g)
           : eu_tolerance_g(figure.name, per_100);
    ingredient.spreads.push_back({std::string(figure.name), std::max(0.0, per_100 - off) / 100.0,
                                  std::min(100.0, per_100 + off) / 100.0,
                                  std::string(us ? us_tolerance_source : eu_tolerance_source)});
  }
}

void add_carbohydrates(const PacketLabel& label, const Words& list, double basis_g, Ingredient& ingredient) {
  Composition& made_of = ingredient.composition;
  const auto share = [&](const std::optional<double>& grams) { return std::max(0.0, grams.value_or(0.0)) / basis_g; };
  const double sugars = share(label.sugars_g), polyols = share(label.polyols_g), fibre = share(label.fibre_g);
  const SugarSplit split = split_sugars(label, list);
  for (const Component sugar :
       {Component::glucose, Component::fructose, Component::sucrose, Component::maltose, Component::lactose}) {
    const double part = split.share[index(sugar)];
    made_of[sugar] = sugars * part;
    if (sugars > 0.0 && part > 0.0)
      ingredient.spreads.push_back({std::string(component_names[index(sugar)]),
                                    sugars * std::max(0.0, part - split.doubt),
                                    sugars * std::min(1.0, part + split.doubt), split.basis});
  }
  made_of[Component::polyol] = polyols;
  const double fibre_within = label.panel == Panel::us_per_serving ? fibre : 0.0;
  const double rest = std::max(0.0, share(label.carbohydrate_g) - sugars - polyols - fibre_within);
  const double dextrin = dextrin_share_of_rest(list);
  made_of[Component::starch] = rest * (1.0 - dextrin);
  made_of[Component::dextrin] = rest * dextrin;
  if (rest > 0.0 && dextrin > 0.0)
    ingredient.spreads.push_back(
        {"starch", 0.0, rest,
         "carbohydrate that is neither sugar nor polyol; whether starch or dextrin is a guess from the list"});
  ingredient.source += split.basis + "; ";
  made_of[Component::solids] += fibre;
}

// What the panel leaves unsaid is water, minerals and the like. A moist food has little else than water to hide; in a
// fat paste it may be either.
void close_with_water(const PacketLabel& label, double basis_g, Ingredient& ingredient) {
  Composition& made_of = ingredient.composition;
  const double total = std::accumulate(made_of.mass_fraction.begin(), made_of.mass_fraction.end(), 0.0);
  if (total >= 1.0) {
    for (double& part : made_of.mass_fraction) part /= total;
    return;
  }
  const double rest = 1.0 - total;
  if (label.water_g) {
    made_of[Component::water] = std::min(rest, std::max(0.0, *label.water_g / basis_g));
    made_of[Component::solids] += rest - made_of[Component::water];
    return;
  }
  const bool fat_paste = made_of[Component::fat] > 0.2;
  made_of[Component::water] = rest * (fat_paste ? 0.5 : 0.95);
  made_of[Component::solids] += rest - made_of[Component::water];
  ingredient.spreads.push_back({"water", fat_paste ? 0.0 : 0.85 * rest, rest,
                                "what the panel leaves to the hundred; water and solids cannot be told apart"});
}

void build_composition(const PacketLabel& label, double basis_g, Ingredient& ingredient) {
  const std::string contains = split_traces(label.ingredients).contains;
  const Words list = words_of(contains.empty() ? label.name : contains);
  Composition& made_of = ingredient.composition;
  add_carbohydrates(label, list, basis_g, ingredient);
  made_of[Component::fat] = std::max(0.0, label.fat_g.value_or(0.0)) / basis_g;
  const double protein = std::max(0.0, label.protein_g.value_or(0.0)) / basis_g;
  const Dissolvable dissolves = dissolvable_protein(label, list);
  made_of[Component::protein] = protein * dissolves.usual;
  made_of[Component::solids] += protein * (1.0 - dissolves.usual);
  if (protein > 0.0)
    ingredient.spreads.push_back({"dissolved-protein", protein * dissolves.low, protein * dissolves.high,
                                  "share of protein that dissolves, from memory, weak"});
  const double salt = std::max(0.0, label_salt_g(label).value_or(0.0)) / basis_g;
  made_of[Component::sodium] = science::label_sodium_from_salt(salt);
  made_of[Component::chloride] = salt - made_of[Component::sodium];
  made_of[Component::ethanol] = label_ethanol_g(label) / basis_g;
  made_of[Component::organic_acid] = std::max(0.0, label.organic_acid_g.value_or(0.0)) / basis_g;
  made_of.alkalinity_eq_per_kg =
      -10.0 * made_of[Component::organic_acid];  // fruit acids give 9.9 to 12.7 equivalents per kg at pH 5.4
  close_with_water(label, basis_g, ingredient);
  keep_tolerances(label, basis_g, ingredient);
  ingredient.source += "water and minerals by difference; colour is not on a label and counts as none";
}

void note_preservatives(const PacketLabel& label, PacketReading& reading) {
  const PreservativeReading found = preservatives_in(label.ingredients, label.panel == Panel::eu_per_100_ml);
  Ingredient& ingredient = reading.ingredient;
  ingredient.preservatives = found.kinds;
  ingredient.sulphite_mg_per_kg = found.sulphite_mg_per_kg;
  ingredient.sorbate_mg_per_kg = found.sorbate_mg_per_kg;
  ingredient.benzoate_mg_per_kg = found.benzoate_mg_per_kg;
  if (found.dimethyl_dicarbonate)
    reading.findings.push_back(
        {FindingSeverity::note,
         "ingredients",
         "Dimethyl dicarbonate (E242) is gone a few hours after bottling and does not hinder yeast.",
         {}});
}

std::string id_from(const std::string& name) {
  std::string id = folded_name(name);
  std::replace(id.begin(), id.end(), ' ', '-');
  return id.empty() ? "packet" : id;
}

}  // namespace

double label_basis_g(const PacketLabel& label) {
  switch (label.panel) {
    case Panel::eu_per_100_g: return 100.0;
    case Panel::eu_per_100_ml: return 100.0 * label.density_kg_per_l;
    case Panel::us_per_serving: return label.serving_g;
  }
  return 100.0;
}

double rounding_half_g(const PacketLabel& label, std::string_view figure, double value) {
  if (label.panel == Panel::us_per_serving) return figure == "fat" && value < 5.0 && value > 0.0 ? 0.25 : 0.5;
  const auto whole = [](double number) { return std::abs(number - std::round(number)) < 1e-6; };
  return whole(value) ? 0.5 : whole(10.0 * value) ? 0.05 : 0.005;
}

double energy_rounding_half(const PacketLabel& label, double value) {
  if (label.panel != Panel::us_per_serving) return 0.5;
  return value <= 50.0 ? 2.5 : 5.0;
}

std::optional<double> label_salt_g(const PacketLabel& label) {
  if (label.salt_g) return label.salt_g;
  if (label.sodium_mg) return science::label_salt_from_sodium(*label.sodium_mg / 1000.0);
  return std::nullopt;
}

double label_ethanol_g(const PacketLabel& label) {
  return label.alcohol_percent.value_or(0.0) / 100.0 * ethanol_kg_per_l * label_basis_g(label) / label.density_kg_per_l;
}

bool PacketReading::sound() const {
  return std::none_of(findings.begin(), findings.end(),
                      [](const Finding& one) { return one.severity == FindingSeverity::wrong; });
}

namespace {

// A food that the catalogue has under this very name keeps its dose whatever its packet says, and where no list of
// ingredients is typed, at least the allergens such a food has.
void keep_what_is_known_of_it(const PacketLabel& label, PacketReading& reading) {
  const Ingredient* known = catalogue().find(label.name);
  if (known == nullptr) return;
  reading.ingredient.dose = known->dose;
  if (!label.ingredients.empty()) return;
  std::vector<Allergen>& contains = reading.allergens.contains;
  contains.insert(contains.end(), known->allergens.begin(), known->allergens.end());
  std::sort(contains.begin(), contains.end());
  contains.erase(std::unique(contains.begin(), contains.end()), contains.end());
}

}  // namespace

PacketReading read_packet(const PacketLabel& label) {
  PacketReading reading;
  reading.findings = check_label(label);
  reading.kj = energy_kj_allowed(label);
  reading.kcal = energy_kcal_allowed(label);
  Ingredient& ingredient = reading.ingredient;
  ingredient.name = label.name;
  ingredient.id = id_from(label.name);
  ingredient.kind = IngredientKind::food;
  ingredient.declared_ingredients = label.ingredients;
  ingredient.source = "nutrition label as typed; ";
  double basis_g = label_basis_g(label);
  if (!(basis_g > 0.0)) {
    reading.findings.push_back(
        {FindingSeverity::wrong,
         "serving",
         "The weight of the serving is missing: without it the figures say nothing per kilogram.",
         {}});
    basis_g = 100.0;
  }
  build_composition(label, basis_g, ingredient);
  reading.allergens = allergens_in(label.name + ". " + label.ingredients);
  keep_what_is_known_of_it(label, reading);
  ingredient.allergens = reading.allergens.contains;
  note_preservatives(label, reading);
  if (!reading.kj.done && !reading.kcal.done)
    reading.findings.push_back(
        {FindingSeverity::note,
         "label",
         "Fat, carbohydrate and protein are not all given, so the energy line could not be checked.",
         {}});
  if (!label.sugars_g && label.carbohydrate_g.value_or(0.0) > 0.0)
    reading.findings.push_back(
        {FindingSeverity::doubtful,
         "sugars",
         "Sugars are not given: all carbohydrate is counted as starch, which ferments only if mashed.",
         {}});
  return reading;
}

}  // namespace oddgrist::larder
