// How much of a thing a litre of beer takes: by taste, and before it harms.
#pragma once

#include <optional>
#include <string>

namespace oddgrist::larder {

// In grams of it as weighed, whenever it is added. Absent figures are not known: that says nothing about safety.
struct Dose {
  std::optional<double> threshold_g_per_l;  // below it hardly anybody notices it
  double usual_low_g_per_l = 0.0, usual_high_g_per_l = 0.0;
  std::optional<double> most_by_taste_g_per_l;   // above it most people would not finish the glass
  std::optional<double> most_by_safety_g_per_l;  // above it a person could be harmed: no recipe goes there
  std::string harm;                              // what it would do above that, for people
  std::string source, safety_source;
};

enum class DoseVerdict { hardly_noticed, less_than_usual, usual, more_than_usual, too_much_by_taste, unsafe };

// A dose at a limit is still within it.
inline DoseVerdict judge_dose(const Dose& dose, double g_per_l) {
  if (dose.most_by_safety_g_per_l && !(g_per_l <= *dose.most_by_safety_g_per_l)) return DoseVerdict::unsafe;
  if (dose.most_by_taste_g_per_l && !(g_per_l <= *dose.most_by_taste_g_per_l)) return DoseVerdict::too_much_by_taste;
  if (!(g_per_l <= dose.usual_high_g_per_l)) return DoseVerdict::more_than_usual;
  if (g_per_l >= dose.usual_low_g_per_l) return DoseVerdict::usual;
  if (g_per_l >= dose.threshold_g_per_l.value_or(0.0)) return DoseVerdict::less_than_usual;
  return DoseVerdict::hardly_noticed;
}

}  // namespace oddgrist::larder
