#include <algorithm>

#include <fmt/format.h>

#include "present/trial.hpp"
#include "present/words.hpp"

namespace oddgrist::present {
namespace {

constexpr std::size_t page_columns = 84;
constexpr double least_dose_l = 0.0002;  // what a kitchen syringe of 1 mL can still measure

void paragraph(std::string& text, std::string_view words) {
  for (const std::string& line : wrapped(words, page_columns)) text += line + "\n";
}

std::string ruled(std::string_view title) {
  const std::string line = "--- " + std::string(title) + " ";
  return line + std::string(page_columns - std::min(columns(line), page_columns), '-') + "\n";
}

std::string three_digits(double value) {
  return value < 1000.0 ? fmt::format("{:.3g}", value) : fmt::format("{:.0f}", value);
}
std::string millilitres(double litres) { return three_digits(1000.0 * litres) + " mL"; }

void taster_page(std::string& text, const TrialPlan& plan, const Trial& trial) {
  text += ruled("For the tasters");
  paragraph(
      text,
      fmt::format(
          "{} glasses, one of them plain beer. Taste in the order of the letters, water in between; write before you "
          "talk. Nobody who has seen the other page tastes.",
          trial.letters.size()));
  text += "\n";
  for (char letter : trial.letters) {
    text += fmt::format("  {}   what it tastes of ______________________________   like it (0 to 5) ____\n", letter);
  }
  text += "\n";
  paragraph(text,
            fmt::format("The glass I would drink a pint of: ____      Day ____________   Order number {}", plan.seed));
  paragraph(text, "Alcohol adds up over a row of glasses: sip, nobody drives, nobody under age.");
}

std::string bottle_words(science::BottleVerdict verdict) {
  switch (verdict) {
    case science::BottleVerdict::sound: return "sound";
    case science::BottleVerdict::near_limit: return "near limit";
    case science::BottleVerdict::refuse: return "TOO MUCH";
  }
  return "";
}

void table(std::string& text, const TrialPlan& plan, const Trial& trial) {
  const bool food = plan.food_kg_per_l > 0.0;
  text +=
      fmt::format("glass  in the glass  in the batch{}  gravity   % vol  later CO2  if bottled at once, at {:.0f} °C\n",
                  food ? "    steep" : "", trial_bottle_c);
  for (const TrialGlass& glass : trial.glasses) {
    text += fmt::format(
        "  {}    {:>12}  {:>12}{}    {:.4f}  {:>6.2f}  {:>5.2f} vol  {:.1f} bar, {}\n", glass.letter,
        glass.dose_l > 0.0 ? millilitres(glass.dose_l) : "nothing",
        glass.dose_l > 0.0 ? millilitres(glass.batch_dose_l) : "-",
        food ? fmt::format("  {:>7}", glass.dose_l > 0.0 ? three_digits(1000.0 * glass.food_kg) + " g" : "-") : "",
        glass.gravity_sg, glass.abv_percent, glass.later_volumes, glass.bottle_gauge_bar, bottle_words(glass.verdict));
  }
}

void pouring_page(std::string& text, const TrialPlan& plan, const Trial& trial, const Units& units) {
  const double batch_l = process::liquid_volume_l(plan.beer, 20.0);
  text += '\f';
  text += ruled("Key, for the one who pours: keep it from the tasters");
  paragraph(text,
            fmt::format("{} of flat beer in each glass, at one temperature; then the dose, stirred. The batch is {}.",
                        units.volume(plan.glass_l * litre), units.volume(batch_l * litre)));
  text += "\n";
  table(text, plan, trial);
  text += "\n";
  const TrialGlass& smallest = trial.glasses[1];
  const TrialGlass& largest = trial.glasses.back();
  if (smallest.dose_l < least_dose_l) {
    paragraph(text,
              "The smallest dose is less than a syringe measures: thin the liquor with nine parts of water and give "
              "ten times the dose.");
  }
  if (largest.later_volumes >= 0.05) {
    const bool burst = largest.verdict == science::BottleVerdict::refuse;
    paragraph(text, fmt::format("! Pressure: the sugar of a dose ferments again, up to {:.2f} volumes on top of "
                                "{:.1f}. Dose in the fermenter "
                                "and wait for two equal gravity readings 3 days apart before bottling{}.",
                                largest.later_volumes, plan.carbonation_volumes,
                                burst ? "; dosed at bottling the largest dose is more than a beer bottle bears" : ""));
  }
  if (largest.fat_mg_per_l > 1.0) {
    paragraph(text, fmt::format("! Fat: up to {:.0f} mg/L with the largest dose; watch the head of each glass.",
                                largest.fat_mg_per_l));
  }
}

void verdict(std::string& text, const TrialPlan& plan, const Trial& trial, const std::string& picks,
             const Units& units) {
  const TrialGlass* liked = picked_glass(trial, picks);
  if (liked == nullptr) return;
  text += '\n';
  text += ruled("For the batch");
  if (!(liked->dose_l > 0.0)) {
    paragraph(text, fmt::format("Glass {} is the plain beer: leave it out.", liked->letter));
    return;
  }
  std::string dose =
      fmt::format("Glass {}: dose {} of the liquor, {} on the scale", liked->letter,
                  units.volume(liked->batch_dose_l * litre), units.mass(liked->batch_dose_kg * kilogram));
  if (liked->food_kg > 0.0) dose += fmt::format(" (steep {} of {})", units.mass(liked->food_kg * kilogram), plan.food);
  paragraph(
      text,
      dose + fmt::format(
                 ". Gravity becomes {}, alcohol {:.2f} % vol ({:+.2f}); {:.1f} g/L of its sugar can ferment, worth "
                 "{:.2f} volumes.",
                 units.gravity(liked->gravity_sg * specific_gravity), liked->abv_percent, liked->abv_rise,
                 liked->sugar_g_per_l, liked->later_volumes));
  if (picks.size() > 1) paragraph(text, "It is the middle one of the glasses picked, by dose.");
  paragraph(text, "Dose half first, taste, then the rest: it cannot be taken out again.");
}

}  // namespace

std::string trial_text(const TrialPlan& plan, const Trial& trial, const std::string& picks, bool us_units_first) {
  std::string text;
  if (trial.glasses.size() < 2) return text;
  const Units units(us_units_first);
  taster_page(text, plan, trial);
  pouring_page(text, plan, trial, units);
  verdict(text, plan, trial, picks, units);
  return text;
}

}  // namespace oddgrist::present
