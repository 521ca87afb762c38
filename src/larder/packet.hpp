// Reading the nutrition panel and the ingredient list of a packet: what the food is made of, and whether the label
// agrees with itself.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "larder/ingredient.hpp"

namespace oddgrist::larder {

enum class Panel {
  eu_per_100_g,    // Regulation (EU) 1169/2011: carbohydrate leaves fibre out, takes polyols in
  eu_per_100_ml,   // the same, for drinks
  us_per_serving,  // 21 CFR 101.9: total carbohydrate takes fibre and polyols in; energy in kcal only; sodium
};

// Figures as printed, in grams per 100 g, per 100 ml or per serving. Leave out what the packet leaves out.
struct PacketLabel {
  std::string name;
  Panel panel = Panel::eu_per_100_g;
  double serving_g = 0.0;         // US panel: the weight of the serving
  double density_kg_per_l = 1.0;  // panels per 100 ml
  std::optional<double> energy_kj, energy_kcal;
  std::optional<double> fat_g, carbohydrate_g, sugars_g, fibre_g, polyols_g, protein_g, organic_acid_g, water_g;
  std::optional<double> salt_g, sodium_mg;
  std::optional<double> alcohol_percent;                // by volume
  std::optional<double> lactose_share, fructose_share;  // of the sugars, 0..1, where you know
  std::string ingredients;                              // the list as printed, with "may contain ..." if it is there
};

enum class FindingSeverity { note, doubtful, wrong };

struct Finding {
  FindingSeverity severity = FindingSeverity::note;
  std::string figure;              // "fat", "energy-kj", ... or "label"
  std::string message;             // for the person
  std::optional<double> intended;  // the likely figure, in the unit of the label
};

// US "major food allergens": 21 U.S.C. 321(qq) as amended by FALCPA 2004 and the FASTER Act 2021.
enum class UsAllergen { milk, egg, fish, crustacean, tree_nut, wheat, peanut, soya, sesame };

struct AllergenReading {
  std::vector<Allergen> contains;     // Regulation (EU) 1169/2011, Annex II
  std::vector<Allergen> may_contain;  // traces, "made in a factory that ..."
  std::vector<UsAllergen> contains_us;
};

struct EnergyCheck {
  double computed = 0.0;         // from the figures as printed
  double low = 0.0, high = 0.0;  // once each figure may be off by its rounding
  bool done = false;             // false: too few figures
};

struct PacketReading {
  Ingredient ingredient;  // one kilogram as it is weighed, even where findings say `wrong`: ask `sound()`
  std::vector<Finding> findings;
  AllergenReading allergens;
  EnergyCheck kj, kcal;  // per 100 g, 100 ml or serving, as the label
  bool sound() const;    // no finding is `wrong`
};

PacketReading read_packet(const PacketLabel& label);

// What the energy line may say if the other figures are right but rounded. EU: Annex XIV factors; US: 21 CFR
// 101.9(c)(1).
EnergyCheck energy_kj_allowed(const PacketLabel& label);
EnergyCheck energy_kcal_allowed(const PacketLabel& label);

// Contradictions within the label; for each single misprint that would explain them all, the likely figure.
std::vector<Finding> check_label(const PacketLabel& label);

AllergenReading allergens_in(std::string_view declared_list);

struct PreservativeReading {
  std::vector<Preservative> kinds;
  double sulphite_mg_per_kg = 0.0, sorbate_mg_per_kg = 0.0,
         benzoate_mg_per_kg = 0.0;    // the most that is usual in such a food
  bool dimethyl_dicarbonate = false;  // E242: gone within hours
};

// By word and by E number (E200-203, 210-219, 220-228, 234, 235, 242, 280-285).
PreservativeReading preservatives_in(std::string_view declared_list, bool is_drink);

}  // namespace oddgrist::larder
