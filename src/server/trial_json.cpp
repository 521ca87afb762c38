#include "server/trial_json.hpp"

namespace oddgrist::server {
namespace {

using files::Json;

Json glass_json(const present::TrialGlass& glass) {
  constexpr std::string_view verdicts[] = {"sound", "near-limit", "refuse"};
  return Json{{"letter", std::string(1, glass.letter)},
              {"dose_ml", 1000.0 * glass.dose_l},
              {"batch_dose_ml", 1000.0 * glass.batch_dose_l},
              {"batch_dose_g", 1000.0 * glass.batch_dose_kg},
              {"steep_g", 1000.0 * glass.food_kg},
              {"gravity_sg", glass.gravity_sg},
              {"gravity_rise", glass.gravity_rise},
              {"abv_percent", glass.abv_percent},
              {"abv_rise_percent", glass.abv_rise},
              {"fermentable_sugar_g_per_l", glass.sugar_g_per_l},
              {"later_volumes", glass.later_volumes},
              {"fat_mg_per_l", glass.fat_mg_per_l},
              {"bottle_gauge_bar", glass.bottle_gauge_bar},
              {"bottle", verdicts[static_cast<std::size_t>(glass.verdict)]}};
}

Json reading_json(const process::Mixture<double>& liquid) {
  return Json{{"gravity_sg", process::apparent_gravity_sg(liquid)},
              {"abv_percent", process::alcohol_by_volume_percent(liquid)}};
}

}  // namespace

Json trial_json(const present::TrialPlan& plan, const present::Trial& trial, const std::string& picks) {
  Json glasses = Json::array();
  for (const present::TrialGlass& glass : trial.glasses) glasses.push_back(glass_json(glass));
  Json document{{"glass_ml", 1000.0 * plan.glass_l},
                {"batch_l", process::liquid_volume_l(plan.beer, 20.0)},
                {"seed", plan.seed},
                {"order", trial.letters},
                {"beer", reading_json(plan.beer)},
                {"liquor", reading_json(plan.liquor)},
                {"bottle_c", present::trial_bottle_c},
                {"glasses", std::move(glasses)}};
  if (const auto* liked = present::picked_glass(trial, picks)) document["picked"] = glass_json(*liked);
  return document;
}

}  // namespace oddgrist::server
