// What an ingredient is made of. Everything in the brewing model is one of these components, so an oddment needs no
// special case.
#pragma once

#include <array>
#include <cstddef>
#include <string_view>

namespace oddgrist::larder {

// Masses in kilograms. `starch` is what a mash can still turn into sugar; `protein` is dissolved or dissolvable
// protein, `solids` everything that never dissolves (husk, fibre, hop leaf, insoluble protein); `yeast` is dry yeast.
enum class Component : std::size_t {
  water,
  starch,
  glucose,
  fructose,
  sucrose,
  maltose,
  maltotriose,
  lactose,
  dextrin,
  polyol,
  protein,
  fat,
  solids,
  ethanol,
  carbon_dioxide,
  organic_acid,
  alpha_acid,
  iso_alpha_acid,
  calcium,
  magnesium,
  sodium,
  potassium,
  chloride,
  sulphate,
  ash,
  yeast,
};
inline constexpr std::size_t component_count = 26;

constexpr std::size_t index(Component component) { return static_cast<std::size_t>(component); }

inline constexpr std::array<std::string_view, component_count> component_names = {
    "water",      "starch",         "glucose", "fructose",  "sucrose", "maltose",   "maltotriose",    "lactose",
    "dextrin",    "polyol",         "protein", "fat",       "solids",  "ethanol",   "carbon-dioxide", "organic-acid",
    "alpha-acid", "iso-alpha-acid", "calcium", "magnesium", "sodium",  "potassium", "chloride",       "sulphate",
    "ash",        "yeast"};

// One kilogram of an ingredient as it is weighed.
struct Composition {
  std::array<double, component_count> mass_fraction{};  // kg per kg; sums to 1
  double alkalinity_eq_per_kg = 0.0;                    // equivalents; negative for an acid
  double buffering_eq_per_kg_ph = 0.0;  // what it takes to move its mash by one pH; malts and grains only
  double buffering_ph_eq_per_kg = 0.0;  // that, times its own pH in distilled water
  double colour_load_per_kg = 0.0;      // degrees Lovibond of the laboratory wort, the unit recipe colour adds up in

  double& operator[](Component component) { return mass_fraction[index(component)]; }
  double operator[](Component component) const { return mass_fraction[index(component)]; }
};

}  // namespace oddgrist::larder
