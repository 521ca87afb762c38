// Does a label agree with itself, and if not, which single misprint would explain it?
#include <algorithm>
#include <cmath>
#include <utility>

#include <fmt/format.h>

#include "larder/packet.hpp"
#include "larder/packet_figures.hpp"
#include "quantity/number.hpp"
#include "science/label_energy.hpp"

namespace oddgrist::larder {
namespace {

bool is_us(const PacketLabel& label) { return label.panel == Panel::us_per_serving; }

// Fibre need not be declared in the EU, yet it carries energy. A food without a fibre line is allowed up to 10 g of it
// (Regulation (EC) 1924/2006 lets a food from 6 g boast of "high fibre", so it would hardly be left out beyond that).
constexpr double undeclared_fibre_g = 10.0;

struct Interval {
  double low = 0.0, printed = 0.0, high = 0.0;
};

Interval figure_interval(const PacketLabel& label, std::string_view name, const std::optional<double>& value) {
  if (!value) return {};
  const double half = rounding_half_g(label, name, *value);
  return {std::max(0.0, *value - half), *value, *value + half};
}

struct Grams {
  Interval fat, carbohydrate, polyols, protein, fibre, acid, ethanol;
};

Grams grams_of(const PacketLabel& label) {
  Grams grams{figure_interval(label, "fat", label.fat_g),
              figure_interval(label, "carbohydrate", label.carbohydrate_g),
              figure_interval(label, "polyols", label.polyols_g),
              figure_interval(label, "protein", label.protein_g),
              figure_interval(label, "fibre", label.fibre_g),
              figure_interval(label, "organic-acid", label.organic_acid_g),
              {}};
  const double ethanol_g = label_ethanol_g(label);
  const double ethanol_half_g = label.alcohol_percent ? 0.05 * 0.789 * label_basis_g(label) / 100.0 : 0.0;
  grams.ethanol = {std::max(0.0, ethanol_g - ethanol_half_g), ethanol_g, ethanol_g + ethanol_half_g};
  return grams;
}

double eu_energy(const Grams& grams, double Interval::*end, double Interval::*polyol_end,
                 const science::EnergyFactors& factors) {
  science::EnergyCarriers<double> carriers;
  carriers.polyols =
      std::min(grams.polyols.*polyol_end, grams.carbohydrate.*end);  // part of it: the more polyol, the less energy
  carriers.carbohydrate = grams.carbohydrate.*end - carriers.polyols;
  carriers.protein = grams.protein.*end;
  carriers.fat = grams.fat.*end;
  carriers.fibre = grams.fibre.*end;
  carriers.organic_acids = grams.acid.*end;
  carriers.alcohol = grams.ethanol.*end;
  return science::label_energy(carriers, factors);
}

EnergyCheck eu_allowed(const PacketLabel& label, const science::EnergyFactors& factors) {
  EnergyCheck check;
  check.done = label.fat_g && label.carbohydrate_g && label.protein_g;
  if (!check.done) return check;
  const Grams grams = grams_of(label);
  check.low = eu_energy(grams, &Interval::low, &Interval::high, factors);
  check.high = eu_energy(grams, &Interval::high, &Interval::low, factors);
  check.computed = eu_energy(grams, &Interval::printed, &Interval::printed, factors);
  if (!label.fibre_g) {
    const double declared =
        *label.fat_g + *label.carbohydrate_g + *label.protein_g + label.water_g.value_or(0.0) + label_ethanol_g(label);
    check.high += factors.fibre * std::clamp(label_basis_g(label) - declared, 0.0, undeclared_fibre_g);
  }
  return check;
}

// Upper end: the general factors on total carbohydrate. Lower end: all fibre insoluble and polyols at the lowest factor
// (mannitol).
EnergyCheck us_allowed(const PacketLabel& label) {
  EnergyCheck check;
  check.done = label.fat_g && label.carbohydrate_g && label.protein_g;
  if (!check.done) return check;
  const Grams grams = grams_of(label);
  const double polyols = label.polyols_g ? grams.polyols.high : 0.0,
               alcohol_kcal_per_g = science::energy_factors_eu_kcal.alcohol;
  check.high = science::label_energy_us_kcal(grams.carbohydrate.high, grams.protein.high, grams.fat.high) +
               alcohol_kcal_per_g * grams.ethanol.high;
  const double digestible = std::max(0.0, grams.carbohydrate.low - grams.fibre.high - polyols);
  check.low = science::label_energy_us_kcal(digestible, grams.protein.low, grams.fat.low) +
              alcohol_kcal_per_g * grams.ethanol.low +
              science::mannitol_kcal_per_g * std::min(polyols, grams.carbohydrate.low);
  check.computed = science::label_energy_us_kcal(*label.carbohydrate_g, *label.protein_g, *label.fat_g) +
                   alcohol_kcal_per_g * label_ethanol_g(label);
  return check;
}

struct Contradiction {
  std::string figure, message;
  double severity = 0.0;  // relative size; above 0.1 it is wrong beyond doubt
};

void judge_energy(const PacketLabel& label, const std::optional<double>& stated, const EnergyCheck& allowed,
                  std::string_view figure, std::string_view unit, std::vector<Contradiction>& found) {
  if (!stated || !allowed.done) return;
  const double half = energy_rounding_half(label, *stated);
  const double off = std::max({0.0, allowed.low - (*stated + half), (*stated - half) - allowed.high});
  if (off <= 0.0) return;
  found.push_back({std::string(figure),
                   fmt::format("The energy line says {:g} {}, but the other figures come to {:.0f} (between {:.0f} and "
                               "{:.0f} once rounding is allowed for).",
                               *stated, unit, allowed.computed, allowed.low, allowed.high),
                   off / std::max(1.0, allowed.computed)});
}

double declared_sum_g(const PacketLabel& label) {
  double sum = label_ethanol_g(label) + label_salt_g(label).value_or(0.0);
  for (const std::optional<double>& value :
       {label.fat_g, label.carbohydrate_g, label.protein_g, label.organic_acid_g, label.water_g})
    sum += value.value_or(0.0);
  return is_us(label) ? sum : sum + label.fibre_g.value_or(0.0);
}

double sum_slack_g(const PacketLabel& label) {
  double slack = 0.0;
  for (const LabelFigure& figure : label_figures)
    if (label.*figure.value && figure.unit == "g") slack += rounding_half_g(label, figure.name, *(label.*figure.value));
  return slack;
}

std::vector<Contradiction> contradictions(const PacketLabel& label) {
  std::vector<Contradiction> found;
  const double basis_g = label_basis_g(label);
  for (const LabelFigure& figure : label_figures) {
    const std::optional<double>& value = label.*figure.value;
    if (!value) continue;
    if (!std::isfinite(*value) || *value < 0.0)
      found.push_back({std::string(figure.name), fmt::format("{} cannot be {:g}.", figure.name, *value), 1.0});
    else if (figure.unit == "g" && basis_g > 0.0 && *value > basis_g + 0.5)
      found.push_back(
          {std::string(figure.name),
           fmt::format("{} {:g} g is more than the {:g} g the panel stands for.", figure.name, *value, basis_g), 1.0});
  }
  if (!found.empty()) return found;
  if (label.carbohydrate_g) {
    const double part = label.sugars_g.value_or(0.0) + label.polyols_g.value_or(0.0) +
                        (is_us(label) ? label.fibre_g.value_or(0.0) : 0.0);
    if (part > *label.carbohydrate_g + sum_slack_g(label))
      found.push_back({"sugars",
                       fmt::format("Sugars and what else belongs to the carbohydrate come to {:g} g, more than the "
                                   "carbohydrate itself ({:g} g).",
                                   part, *label.carbohydrate_g),
                       1.0});
    else if (label.sugars_g && *label.sugars_g > *label.carbohydrate_g + 0.5)
      found.push_back({"sugars",
                       fmt::format("Sugars {:g} g are more than the carbohydrate {:g} g they are part of.",
                                   *label.sugars_g, *label.carbohydrate_g),
                       1.0});
  }
  const double sum_g = declared_sum_g(label);
  if (basis_g > 0.0 && sum_g > basis_g + sum_slack_g(label))
    found.push_back({"label", fmt::format("The figures add up to {:g} g in {:g} g of food.", sum_g, basis_g), 1.0});
  judge_energy(label, label.energy_kj, energy_kj_allowed(label), "energy-kj", "kJ", found);
  judge_energy(label, label.energy_kcal, energy_kcal_allowed(label), "energy-kcal", "kcal", found);
  const double kcal_ratio =
      label.energy_kj && label.energy_kcal && *label.energy_kcal > 20.0 ? *label.energy_kj / *label.energy_kcal : 4.184;
  if (kcal_ratio < 3.8 ||
      kcal_ratio > 4.5)  // the factors of Annex XIV give ratios from 4.0 (fibre) to 4.33 (organic acid)
    found.push_back({"energy-kj",
                     fmt::format("{:g} kJ and {:g} kcal cannot both be right: a kilocalorie is about 4.2 kJ.",
                                 *label.energy_kj, *label.energy_kcal),
                     1.0});
  return found;
}

enum class Slip { swapped_lines, fibre, decimal_point, swapped_digits, one_digit };

constexpr std::string_view slip_words[] = {
    "the two lines have changed places", "on this kind of panel its fibre is counted the other way",
    "the decimal point or a nought has slipped", "two digits have changed places", "one digit is off"};

struct Remedy {
  Slip slip = Slip::one_digit;
  std::string figure;
  double was = 0.0, intended = 0.0;
  std::string_view unit;
};

std::vector<std::pair<Slip, double>> readings_of(double value) {
  std::vector<std::pair<Slip, double>> readings;
  for (const double factor : {0.1, 10.0, 0.01, 100.0, 0.001, 1000.0})
    readings.emplace_back(Slip::decimal_point, value * factor);
  const std::string digits = fmt::format("{:g}", value);
  const auto is_digit = [](char letter) { return letter >= '0' && letter <= '9'; };
  for (std::size_t i = 0; i + 1 < digits.size(); ++i) {
    std::size_t j = i + 1;
    if (digits[j] == '.' && j + 1 < digits.size()) ++j;
    if (!is_digit(digits[i]) || !is_digit(digits[j]) || digits[i] == digits[j]) continue;
    std::string swapped = digits;
    std::swap(swapped[i], swapped[j]);
    readings.emplace_back(Slip::swapped_digits, number_of_digits(swapped));
  }
  for (std::size_t i = 0; i < digits.size(); ++i)
    for (char other = '0'; is_digit(digits[i]) && other <= '9'; ++other) {
      std::string changed = digits;
      changed[i] = other;
      if (other != digits[i]) readings.emplace_back(Slip::one_digit, number_of_digits(changed));
    }
  return readings;
}

// How far the energy lines are from the sum: among readings that all pass, the nearest is the likeliest.
double energy_distance(const PacketLabel& label) {
  const EnergyCheck kj = energy_kj_allowed(label), kcal = energy_kcal_allowed(label);
  double distance = 0.0;
  if (label.energy_kj && kj.done) distance += std::abs(*label.energy_kj - kj.computed);
  if (label.energy_kcal && kcal.done) distance += 4.184 * std::abs(*label.energy_kcal - kcal.computed);
  return distance;
}

std::vector<Remedy> swapped_line_remedies(const PacketLabel& label) {
  static constexpr std::pair<std::size_t, std::size_t> pairs[] = {{0, 1}, {3, 4}, {2, 3}, {2, 7}, {3, 7}, {5, 7}};
  std::vector<Remedy> remedies;
  for (const auto& [first, second] : pairs) {
    PacketLabel other = label;
    std::optional<double>&one = other.*label_figures[first].value, &two = other.*label_figures[second].value;
    if (!one || !two) continue;
    std::swap(one, two);
    if (!contradictions(other).empty()) continue;
    remedies.push_back(
        {Slip::swapped_lines, std::string(label_figures[first].name), *two, *one, label_figures[first].unit});
    remedies.push_back(
        {Slip::swapped_lines, std::string(label_figures[second].name), *one, *two, label_figures[second].unit});
    return remedies;
  }
  return remedies;
}

// The kcal typed on the kJ line (or the other way about) where only one line was typed.
std::optional<Remedy> wrong_unit_remedy(const PacketLabel& label) {
  if (label.energy_kj.has_value() == label.energy_kcal.has_value()) return std::nullopt;
  PacketLabel other = label;
  std::swap(other.energy_kj, other.energy_kcal);
  if (!contradictions(other).empty()) return std::nullopt;
  if (label.energy_kj)
    return Remedy{Slip::swapped_lines, "energy-kj", *label.energy_kj, std::round(energy_kj_allowed(label).computed),
                  "kJ"};
  return Remedy{Slip::swapped_lines, "energy-kcal", *label.energy_kcal, std::round(energy_kcal_allowed(label).computed),
                "kcal"};
}

// Total carbohydrate typed on an EU panel, which leaves the fibre out, or net carbohydrate on a US one, which takes it
// in: common enough to come before any misprint.
std::optional<Remedy> fibre_remedy(const PacketLabel& label) {
  if (!label.carbohydrate_g || !label.fibre_g || !(*label.fibre_g > 0.0)) return std::nullopt;
  PacketLabel other = label;
  const double intended =
      is_us(label) ? *label.carbohydrate_g + *label.fibre_g : *label.carbohydrate_g - *label.fibre_g;
  other.carbohydrate_g = std::round(100.0 * intended) / 100.0;
  if (*other.carbohydrate_g < 0.0 || !contradictions(other).empty()) return std::nullopt;
  return Remedy{Slip::fibre, "carbohydrate", *label.carbohydrate_g, *other.carbohydrate_g, "g"};
}

std::vector<Remedy> single_figure_remedies(const PacketLabel& label) {
  std::vector<Remedy> remedies;
  for (const LabelFigure& figure : label_figures) {
    if (!(label.*figure.value) || !std::isfinite(*(label.*figure.value))) continue;
    const double was = *(label.*figure.value);
    std::optional<Remedy> best;
    double best_distance = 0.0;
    for (const auto& [slip, reading] : readings_of(was)) {
      PacketLabel other = label;
      other.*figure.value = reading;
      if (!contradictions(other).empty()) continue;
      const double distance = energy_distance(other);
      if (best && (slip > best->slip || (slip == best->slip && distance >= best_distance))) continue;
      best = Remedy{slip, std::string(figure.name), was, reading, figure.unit};
      best_distance = distance;
    }
    if (best) remedies.push_back(*best);
  }
  return remedies;
}

std::vector<Remedy> remedies_for(const PacketLabel& label) {
  std::vector<Remedy> remedies = swapped_line_remedies(label);
  if (!remedies.empty()) return remedies;
  if (const auto remedy = wrong_unit_remedy(label)) return {*remedy};
  if (const auto remedy = fibre_remedy(label)) return {*remedy};
  remedies = single_figure_remedies(label);
  if (remedies.empty()) return remedies;
  const Slip likeliest = std::min_element(remedies.begin(), remedies.end(), [](const Remedy& a, const Remedy& b) {
                           return a.slip < b.slip;
                         })->slip;
  std::erase_if(remedies, [&](const Remedy& remedy) { return remedy.slip > likeliest; });
  return remedies;
}

}  // namespace

EnergyCheck energy_kj_allowed(const PacketLabel& label) {
  return is_us(label) ? EnergyCheck{} : eu_allowed(label, science::energy_factors_eu_kj);
}

EnergyCheck energy_kcal_allowed(const PacketLabel& label) {
  return is_us(label) ? us_allowed(label) : eu_allowed(label, science::energy_factors_eu_kcal);
}

std::vector<Finding> check_label(const PacketLabel& label) {
  std::vector<Finding> findings;
  const std::vector<Contradiction> found = contradictions(label);
  bool wrong = false;
  for (const Contradiction& one : found) {
    wrong = wrong || one.severity > 0.1;
    findings.push_back({one.severity > 0.1 ? FindingSeverity::wrong : FindingSeverity::doubtful, one.figure,
                        one.message, std::nullopt});
  }
  if (found.empty()) return findings;
  const std::vector<Remedy> remedies = remedies_for(label);
  const bool one_answer = remedies.size() == 1 || (!remedies.empty() && remedies.front().slip == Slip::swapped_lines);
  for (const Remedy& remedy : remedies)
    findings.push_back({wrong && one_answer ? FindingSeverity::wrong : FindingSeverity::doubtful, remedy.figure,
                        fmt::format("{} {:g} {} {}: {:g} would make the label add up ({}).", remedy.figure, remedy.was,
                                    remedy.unit, one_answer ? "looks mistyped" : "may be mistyped", remedy.intended,
                                    slip_words[static_cast<std::size_t>(remedy.slip)]),
                        remedy.intended});
  if (remedies.empty())
    findings.push_back({FindingSeverity::note, "label",
                        "No single misprint explains it; compare every line with the packet again.", std::nullopt});
  return findings;
}

}  // namespace oddgrist::larder
