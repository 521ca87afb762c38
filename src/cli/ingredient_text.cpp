#include "cli/ingredient_text.hpp"

#include <algorithm>
#include <vector>

#include <fmt/format.h>

#include "files/names.hpp"
#include "larder/allergen_names.hpp"
#include "larder/catalogue.hpp"
#include "larder/class_names.hpp"
#include "present/words.hpp"

namespace oddgrist::cli {
namespace {

using larder::Ingredient;

std::string percent_range(double low, double high) {
  if (high - low < 0.0005) return fmt::format("{} %", present::number(100.0 * high, 1));
  return fmt::format("{} to {} %", present::number(100.0 * low, 1), present::number(100.0 * high, 1));
}

std::string spread_words(const larder::Spread& spread) {
  // Shares are stored as fractions; a figure that can exceed 1 is in its own unit.
  if (spread.high <= 1.0) return fmt::format("{}: {}", spread.figure, percent_range(spread.low, spread.high));
  return fmt::format("{}: {} to {}", spread.figure, present::number(spread.low, 2), present::number(spread.high, 2));
}

std::string composition_words(const larder::Composition& composition) {
  std::vector<std::size_t> order;
  for (std::size_t i = 0; i < larder::component_count; ++i) {
    if (composition.mass_fraction[i] > 0.0) order.push_back(i);
  }
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    return composition.mass_fraction[a] > composition.mass_fraction[b];
  });
  std::string out;
  for (const std::size_t i : order) {
    const double grams = 1000.0 * composition.mass_fraction[i];
    out += fmt::format("{}{} {} g", out.empty() ? "" : ", ", larder::component_names[i],
                       grams >= 100.0 ? fmt::format("{:.0f}", grams) : fmt::format("{:.3g}", grams));
  }
  return out;
}

std::string range_words(double low, double high, int decimals, std::string_view unit) {
  return fmt::format("{} to {} {}", present::number(low, decimals), present::number(high, decimals), unit);
}

std::string malt_words(const larder::MaltTraits& malt) {
  std::string out = fmt::format(
      "{}; at most {} % of the grist; diastatic power {} WK. ", malt.needs_mash ? "to be mashed" : "needs no mash",
      present::number(100.0 * malt.most_share_of_grist, 0), present::number(malt.diastatic_power_wk, 0));
  if (malt.gelatinisation_high_c > 0.0)
    out += fmt::format("Its starch opens at {}. ",
                       range_words(malt.gelatinisation_low_c, malt.gelatinisation_high_c, 0, "°C"));
  if (malt.protein_percent > 0.0)
    out += fmt::format("Protein {} % of the dry matter. ", present::number(malt.protein_percent, 1));
  return out;
}

std::string hop_words(const larder::HopTraits& hop) {
  std::string out = fmt::format("alpha acid {}{}. ", percent_range(hop.alpha_low, hop.alpha_high),
                                hop.home_dried ? ", dried at home" : "");
  if (hop.beta_high > 0.0)
    out +=
        fmt::format("Beta acid {}, cohumulone {} of the alpha acid, oil {}. ",
                    percent_range(hop.beta_low, hop.beta_high), percent_range(hop.cohumulone_low, hop.cohumulone_high),
                    range_words(0.1 * hop.oil_low_ml_per_kg, 0.1 * hop.oil_high_ml_per_kg, 1, "mL in 100 g"));
  if (hop.use != larder::HopUse::unknown)
    out += fmt::format("For {}. ", hop.use == larder::HopUse::both    ? std::string_view("bitterness and aroma")
                                   : hop.use == larder::HopUse::aroma ? std::string_view("aroma")
                                                                      : std::string_view("bitterness"));
  if (hop.keeping != larder::Keeping::unknown)
    out += fmt::format("Keeps: {}. ", larder::word_for(larder::keeping_words, hop.keeping));
  return out;
}

std::string yeast_words(const larder::YeastTraits& yeast) {
  const auto share = [](double value) { return percent_range(value, value); };
  std::string out =
      fmt::format("{} to {} °C; up to {} % vol; eats {} of the maltose, {} of the maltotriose, {} of the dextrin. ",
                  present::number(yeast.temperature_low_c, 1), present::number(yeast.temperature_high_c, 1),
                  present::number(yeast.tolerance_abv_percent, 1), share(yeast.maltose_uptake),
                  share(yeast.maltotriose_uptake), share(yeast.dextrin_uptake));
  if (yeast.attenuation_high > 0.0)
    out += fmt::format("Attenuation {}. ", percent_range(yeast.attenuation_low, yeast.attenuation_high));
  if (yeast.flocculation != larder::Flocculation::unknown)
    out += fmt::format("Settles: {}. ", larder::word_for(larder::flocculation_words, yeast.flocculation));
  if (yeast.phenolic) out += "Clove or spice of its own. ";
  if (yeast.diastatic) out += "Diastatic. ";
  return out;
}

std::string use_words(const Ingredient& ingredient) {
  if (ingredient.malt) return malt_words(*ingredient.malt);
  if (ingredient.hop) return hop_words(*ingredient.hop);
  if (ingredient.yeast) return yeast_words(*ingredient.yeast);
  if (const auto& culture = ingredient.bacterium)
    return fmt::format("{}, {}, down to pH {}; slowed by more than {} IBU. ",
                       range_words(culture->temperature_low_c, culture->temperature_high_c, 0, "°C"),
                       range_words(culture->hours_low, culture->hours_high, 0, "h"),
                       range_words(culture->ph_low, culture->ph_high, 1, ""), present::number(culture->most_ibu, 0));
  if (const auto& enzyme = ingredient.enzyme)
    return fmt::format("acts on {} at {}, gone above {} °C{}. ", larder::word_for(larder::enzyme_words, enzyme->target),
                       range_words(enzyme->temperature_low_c, enzyme->temperature_high_c, 0, "°C"),
                       present::number(enzyme->destroyed_above_c, 0),
                       enzyme->acts_in_fermenter ? "; goes on in the fermenter" : "");
  return "";
}

std::string grams(double g_per_l) { return fmt::format("{:.3g} g/L", g_per_l); }

std::string dose_words(const larder::Dose& dose) {
  std::string out = fmt::format("usually {:.3g} to {}", dose.usual_low_g_per_l, grams(dose.usual_high_g_per_l));
  if (dose.threshold_g_per_l) out += fmt::format(", hardly noticed below {}", grams(*dose.threshold_g_per_l));
  if (dose.most_by_taste_g_per_l) out += fmt::format(", at most {} by taste", grams(*dose.most_by_taste_g_per_l));
  return fmt::format("{} ({})", out, dose.source);
}

template <class List, class ToWords>
std::string listed(const List& list, ToWords to_words) {
  std::string out;
  for (const auto& entry : list) out += fmt::format("{}{}", out.empty() ? "" : ", ", to_words(entry));
  return out;
}

}  // namespace

std::string labelled_paragraph(std::string_view label, std::string_view text) {
  constexpr std::size_t indent = 16;
  constexpr std::size_t width = 80;
  std::string out;
  for (const std::string& line : present::wrapped(text, width - indent)) {
    out += present::padded(out.empty() ? label : "", indent) + line + '\n';
  }
  return out;
}

std::string ingredient_line(const Ingredient& ingredient) {
  std::string figure;
  if (ingredient.hop) {
    figure = "alpha acid " + percent_range(ingredient.hop->alpha_low, ingredient.hop->alpha_high);
  } else if (const double extract = larder::extract_of(ingredient.composition); extract > 0.005 && !ingredient.yeast) {
    figure = "extract " + percent_range(extract, extract);
  }
  std::string line =
      present::padded(ingredient.name, 34) + ' ' + present::padded(files::kind_name(ingredient.kind), 8) + figure;
  line.erase(line.find_last_not_of(' ') + 1);
  return line;
}

std::string ingredient_text(const Ingredient& ingredient) {
  std::string out = fmt::format("{} ({})\n", ingredient.name, files::kind_name(ingredient.kind));
  const auto same = [](const std::string& text) { return text; };
  if (!ingredient.also_called.empty()) out += labelled_paragraph("also called", listed(ingredient.also_called, same));
  out += labelled_paragraph("one kilogram", composition_words(ingredient.composition));
  if (const std::string use = use_words(ingredient); !use.empty()) out += labelled_paragraph("in use", use);
  if (!ingredient.brings.empty()) out += labelled_paragraph("brings", ingredient.brings);
  if (!ingredient.mind.empty()) out += labelled_paragraph("mind", ingredient.mind);
  if (const auto& dose = ingredient.dose) {
    out += labelled_paragraph("dose", dose_words(*dose));
    if (dose->most_by_safety_g_per_l)
      out += labelled_paragraph("never above", fmt::format("{}: {} ({})", grams(*dose->most_by_safety_g_per_l),
                                                           dose->harm, dose->safety_source));
  }
  if (ingredient.pectin)
    out += labelled_paragraph("pectin", percent_range(ingredient.pectin->low, ingredient.pectin->high));
  for (const larder::Spread& spread : ingredient.spreads) {
    const bool said_below = spread.source == ingredient.source;
    out += labelled_paragraph(
        "uncertain", said_below ? spread_words(spread) : fmt::format("{} ({})", spread_words(spread), spread.source));
  }
  if (!ingredient.allergens.empty())
    out += labelled_paragraph("allergens", listed(ingredient.allergens, larder::words_for));
  if (!ingredient.preservatives.empty())
    out += labelled_paragraph("preservatives", listed(ingredient.preservatives, files::preservative_name));
  if (!ingredient.declared_ingredients.empty()) out += labelled_paragraph("declared", ingredient.declared_ingredients);
  if (!ingredient.source.empty()) out += labelled_paragraph("source", ingredient.source);
  return out;
}

}  // namespace oddgrist::cli
