#include "present/mash_answer.hpp"

#include <algorithm>

#include "science/attenuation.hpp"

namespace oddgrist::present {
namespace {

using compose::Addition;
using compose::Supply;
using process::MashGrain;

const larder::Ingredient* ingredient_of(const compose::Brief& brief, const std::string& id) {
  for (const auto* supplies : {&brief.given, &brief.have}) {
    for (const Supply& supply : *supplies) {
      if (supply.ingredient.id == id) return &supply.ingredient;
    }
  }
  return nullptr;
}

// Salts and acids go into the mash water; they are no grain.
bool is_grain(const Addition& addition) {
  return addition.route == compose::Route::mash && addition.kind != larder::IngredientKind::salt &&
         addition.kind != larder::IngredientKind::acid;
}

std::vector<MashGrain> grains_of(const compose::Brief& brief, const compose::Proposal& proposal) {
  std::vector<MashGrain> grains;
  for (const Addition& addition : proposal.additions) {
    const larder::Ingredient* ingredient = is_grain(addition) ? ingredient_of(brief, addition.ingredient_id) : nullptr;
    if (ingredient != nullptr) grains.push_back({*ingredient, addition.amount.in(kilogram)});
  }
  return grains;
}

// The mixture at the end of a step of the forecast.
process::Mixture<double> mixture_after(const compose::Proposal& proposal, std::string_view step) {
  auto trace = proposal.forecast.trace;
  if (trace.empty()) trace = process::forecast(proposal.plan, process::Trace::on).trace;
  for (const auto& moment : trace) {
    if (moment.step == step) return moment.after;
  }
  return {};
}

}  // namespace

std::optional<process::MashSetting> mash_setting_of(const compose::Brief& brief, const compose::Proposal& proposal) {
  process::MashSetting setting = process::mash_setting(brief.kit, proposal.plan);
  if (!(setting.grist_kg > 0.0)) return std::nullopt;
  return setting;
}

MashAnswerVerdict mash_answer(const compose::Brief& brief, const compose::Proposal& proposal,
                              const process::MashSetting& setting, bool cooling_measured) {
  process::MashCourseVerdict verdict = process::mash_course(setting);
  if (!verdict.course) return {std::nullopt, std::move(verdict.refusal), std::move(verdict.remedy)};
  MashAnswer answer;
  answer.setting = setting;
  answer.course = std::move(*verdict.course);
  answer.cooling_measured = cooling_measured;
  const auto grains = grains_of(brief, proposal);
  answer.diastatic_power_wk = process::mash_diastatic_power_wk(grains).value_or(0.0);
  answer.enzymes = science::diastatic_power_verdict(answer.diastatic_power_wk);
  answer.conversion = process::mash_conversion(answer.course, answer.diastatic_power_wk, 1.0);
  const science::MashConversion& usual = answer.conversion.usual;
  if (usual.status != science::MashStatus::ok) {
    return {std::nullopt, "the kinetics of the mash cannot be run: " + usual.reason, "Change the rests"};
  }
  const process::Mixture<double> mash = mixture_after(proposal, "rest");
  answer.acidity = process::mash_acidity(mash, grains);
  answer.forecast_rest_c = proposal.charge.rest_temperature_c;
  answer.forecast_mash_ph = proposal.forecast.mash_ph;
  answer.empirical_limit =
      science::mash_fermentable_share(answer.forecast_rest_c) / process::real_per_apparent_attenuation;
  answer.forecast_wort_limit = process::attenuation_limit_of_wort(mash);
  answer.kinetic_limit = science::mash_apparent_attenuation_limit(usual.moments.back());
  if (const auto& least = answer.conversion.least; least && least->status == science::MashStatus::ok) {
    answer.kinetic_limit_least = science::mash_apparent_attenuation_limit(least->moments.back());
  }
  return {std::move(answer), "", ""};
}

}  // namespace oddgrist::present
