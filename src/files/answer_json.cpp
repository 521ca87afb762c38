#include "files/answer_json.hpp"

#include <cmath>

#include "compose/cautions.hpp"
#include "compose/restraint.hpp"
#include "files/kit_json.hpp"
#include "files/names.hpp"
#include "larder/composition.hpp"
#include "process/forecast.hpp"
#include "science/swatch.hpp"

namespace oddgrist::files {
namespace {

using compose::Estimate;
using process::Forecast;
using process::Mixture;
using process::Moment;

// Figures are rounded to what a reader could ever use, so that the same brief gives the same bytes on another machine.
double rounded(double value, int decimals) {
  const double scale = std::pow(10.0, decimals);
  const double result = std::round(value * scale) / scale;
  return result == 0.0 ? 0.0 : result;  // never "-0.0"
}

Json estimate_json(const Estimate& estimate, int decimals) {
  return Json{{"value", rounded(estimate.value, decimals)},
              {"low", rounded(estimate.low, decimals)},
              {"high", rounded(estimate.high, decimals)}};
}

Json additions_json(const std::vector<compose::Addition>& additions) {
  Json list = Json::array();
  for (const compose::Addition& addition : additions) {
    Json entry{{"ingredient", addition.ingredient},
               {"id", addition.ingredient_id},
               {"kind", kind_name(addition.kind)},
               {"amount", rounded(addition.amount.in(gram), 3)},
               {"unit", "g"},
               {"step", route_name(addition.route)},
               {"given", addition.given}};
    if (addition.route == compose::Route::boil)
      entry["minutes_before_boil_end"] = rounded(addition.minutes_before_boil_end, 2);
    list.push_back(std::move(entry));
  }
  return list;
}

Json ions_json(const Forecast<double>& forecast) {
  Json ions = Json::object();
  for (std::size_t i = 0; i < process::liquor_ions.size(); ++i) {
    const std::size_t component = larder::index(process::liquor_ions[i]);
    ions[std::string(larder::component_names[component])] = rounded(forecast.liquor_ions_mg_per_l[i], 2);
  }
  return ions;
}

Json waters_json(const std::vector<compose::Pouring>& waters) {
  Json list = Json::array();
  for (const compose::Pouring& pouring : waters) {
    list.push_back(Json{{"water", pouring.water},
                        {"mash_l", rounded(pouring.mash.in(litre), 3)},
                        {"sparge_or_top_up_l", rounded(pouring.sparge_or_top_up.in(litre), 3)}});
  }
  return list;
}

// What the run sheet asks the brewer to measure out and to look for.
Json run_sheet_json(const Forecast<double>& forecast) {
  return Json{{"liquor_l", rounded(forecast.liquor_l, 3)},
              {"mash_liquor_l", rounded(forecast.mash_liquor_l, 3)},
              {"strike_temperature_c", rounded(forecast.strike_temperature_c, 2)},
              {"mash_volume_hot_l", rounded(forecast.mash_volume_hot_l, 3)},
              {"pre_boil_volume_l", rounded(forecast.pre_boil_volume_l, 3)},
              {"pre_boil_volume_hot_l", rounded(forecast.pre_boil_volume_hot_l, 3)},
              {"pre_boil_gravity_sg", rounded(forecast.pre_boil_gravity_sg, 5)},
              {"post_boil_volume_l", rounded(forecast.post_boil_volume_l, 3)},
              {"post_boil_volume_hot_l", rounded(forecast.post_boil_volume_hot_l, 3)},
              {"post_boil_gravity_sg", rounded(forecast.post_boil_gravity_sg, 5)},
              {"packaged_volume_l", rounded(forecast.packaged_volume_l, 3)},
              {"liquor_mg_per_l", ions_json(forecast)},
              {"liquor_alkalinity_meq_per_l", rounded(forecast.liquor_alkalinity_meq_per_l, 3)},
              {"fat_mg_per_l", rounded(forecast.fat_mg_per_l, 2)},
              {"priming_sucrose_g", rounded(forecast.priming_sucrose_g, 2)}};
}

// The components that are there at all: more than a tenth of a milligram.
Json mixture_json(const Mixture<double>& mixture) {
  Json masses = Json::object();
  for (std::size_t i = 0; i < larder::component_count; ++i) {
    if (std::abs(mixture.mass_kg[i]) > 1e-7)
      masses[std::string(larder::component_names[i])] = rounded(1000.0 * mixture.mass_kg[i], 4);
  }
  return masses;
}

Json trace_json(const std::vector<Moment<double>>& trace) {
  Json list = Json::array();
  for (const Moment<double>& moment : trace) {
    Json removed = Json::array();
    for (const process::Removed<double>& stream : moment.removed) {
      removed.push_back(Json{{"where", stream.where}, {"mass_g", mixture_json(stream.mixture)}});
    }
    list.push_back(Json{{"step", moment.step},
                        {"temperature_c", rounded(moment.after.temperature_c, 2)},
                        {"removed", std::move(removed)},
                        {"mass_g", mixture_json(moment.after)}});
  }
  return list;
}

Json bindings_json(const std::vector<compose::Binding>& bindings) {
  Json list = Json::array();
  for (const compose::Binding& binding : bindings)
    list.push_back(Json{{"what", binding.what}, {"effect", binding.effect}});
  return list;
}

Json purchases_json(const std::vector<compose::Purchase>& purchases) {
  Json list = Json::array();
  for (const compose::Purchase& purchase : purchases) {
    list.push_back(Json{{"ingredient", purchase.ingredient},
                        {"needed_g", rounded(purchase.needed.in(gram), 3)},
                        {"packets", purchase.packets},
                        {"packet_g", rounded(purchase.packet.in(gram), 3)}});
  }
  return list;
}

// What each food carries into the packaged beer, and how loud it is there.
Json oddments_json(const std::vector<compose::Oddment>& oddments) {
  Json list = Json::array();
  for (const compose::Oddment& oddment : oddments) {
    Json carried = Json::array();
    for (const compose::Carried& each : oddment.carried) {
      Json entry{{"what", compose::carried_name(each.what)},
                 {"mg_per_l", estimate_json(each.mg_per_l, 2)},
                 {"threshold_mg_per_l", rounded(each.threshold_mg_per_l, 1)},
                 {"loudness", compose::loudness_name(each.loudness)},
                 {"source", each.source}};
      if (each.most_for_a_hint) entry["most_for_a_hint_g"] = rounded(each.most_for_a_hint->in(gram), 2);
      carried.push_back(std::move(entry));
    }
    Json entry{{"ingredient", oddment.ingredient},
               {"id", oddment.ingredient_id},
               {"step", route_name(oddment.route)},
               {"amount_g", rounded(oddment.amount.in(gram), 3)},
               {"carried", std::move(carried)},
               {"alcohol_g_per_l", rounded(oddment.alcohol_g_per_l, 3)},
               {"abv_rise_percent", rounded(oddment.abv_rise_percent, 3)},
               {"colour_rise_ebc", rounded(oddment.colour_rise_ebc, 2)},
               {"volume_rise_l", rounded(oddment.volume_rise_l, 3)}};
    if (oddment.most_for_a_hint) entry["most_for_a_hint_g"] = rounded(oddment.most_for_a_hint->in(gram), 2);
    list.push_back(std::move(entry));
  }
  return list;
}

Json cautions_json(const std::vector<compose::Caution>& cautions) {
  Json list = Json::array();
  for (const compose::Caution& caution : cautions) {
    list.push_back(
        Json{{"severity", severity_name(caution.severity)}, {"text", caution.text}, {"source", caution.source}});
  }
  return list;
}

// `proposal`: where it stands among the proposals, 1 being the first of all.
Json alternatives_json(const compose::Alternatives& alternatives) {
  Json others = Json::array();
  for (std::size_t i = 0; i < alternatives.others.size(); ++i) {
    const compose::Alternative& other = alternatives.others[i];
    others.push_back(Json{{"proposal", i + 2},
                          {"differs", other.proposal.name},
                          {"points_more", rounded(other.points_more, 6)},
                          {"character_steps", rounded(other.character_steps, 3)},
                          {"ingredient_steps", rounded(other.ingredient_steps, 3)},
                          {"gains", other.gains},
                          {"gives_up", other.gives_up},
                          {"cautions", cautions_json(other.cautions)}});
  }
  return Json{{"allowed_points", alternatives.allowance},
              {"tried", alternatives.tried},
              {"kept_wishes", alternatives.kept_wishes},
              {"why_so_few", compose::why_so_few(alternatives)},
              {"others", std::move(others)}};
}

Json reasons_json(const compose::Reasons& reasons) {
  Json one_more = Json::array(), left_out = Json::array();
  for (const compose::OneMore& more : reasons.one_more) {
    Json entry{{"ingredient", more.ingredient}, {"id", more.ingredient_id}, {"step", route_name(more.route)}};
    if (more.route == compose::Route::boil) entry["minutes_before_boil_end"] = rounded(more.minutes_before_boil_end, 2);
    entry["more_g"] = rounded(1000.0 * more.step_kg, 3);
    entry["original_gravity_sg"] = rounded(more.original_gravity_sg, 7);
    entry["final_gravity_sg"] = rounded(more.final_gravity_sg, 7);
    entry["abv_percent"] = rounded(more.abv_percent, 5);
    entry["bitterness_ibu"] = rounded(more.bitterness_ibu, 4);
    entry["colour_ebc"] = rounded(more.colour_ebc, 4);
    entry["mash_ph"] = rounded(more.mash_ph, 5);
    entry["volume_l"] = rounded(more.volume_l, 5);
    entry["points"] = rounded(more.points, 6);
    entry["hurts"] = more.hurts;
    one_more.push_back(std::move(entry));
  }
  for (const compose::LeftOut& out : reasons.left_out) {
    left_out.push_back(Json{{"ingredient", out.ingredient},
                            {"id", out.ingredient_id},
                            {"cause", compose::cause_name(out.cause)},
                            {"reason", out.reason},
                            {"tried_g", rounded(1000.0 * out.tried_kg, 3)},
                            {"points", rounded(out.points, 6)},
                            {"checked", out.checked}});
  }
  return Json{{"one_more", std::move(one_more)}, {"left_out", std::move(left_out)}};
}

Json problem_json(const Problem& problem) {
  Json entry{{"file", problem.place.file}};
  if (problem.place.line > 0) {
    entry["line"] = problem.place.line;
    entry["column"] = problem.place.column;
  }
  if (!problem.field.empty()) entry["field"] = problem.field;
  entry["what"] = problem.what;
  entry["remedy"] = problem.remedy;
  return entry;
}

}  // namespace

Json proposal_json(const compose::Brief& brief, const compose::Proposal& proposal, bool traced) {
  Json entry{{"name", proposal.name}};
  entry["forecast"] = Json{{"original_gravity_sg", estimate_json(proposal.original_gravity_sg, 5)},
                           {"final_gravity_sg", estimate_json(proposal.final_gravity_sg, 5)},
                           {"abv_percent", estimate_json(proposal.abv_percent, 3)},
                           {"bitterness_ibu", estimate_json(proposal.bitterness_ibu, 2)},
                           {"colour_ebc", estimate_json(proposal.colour_ebc, 2)},
                           {"fermenter_volume_l", estimate_json(proposal.fermenter_volume_l, 3)}};
  // Without a mash there is none.
  constexpr double glass_cm = 5.0;
  entry["forecast"]["bitterness_kinetic_ibu"] = rounded(proposal.forecast.bitterness_kinetic_ibu, 1);
  entry["forecast"]["colour_srgb"] = science::beer_swatch(proposal.forecast.colour_ebc, glass_cm).hex();
  if (proposal.mash_ph.value > 0.0) entry["forecast"]["mash_ph"] = estimate_json(proposal.mash_ph, 3);
  entry["additions"] = additions_json(proposal.additions);
  entry["unknown_foods"] = compose::unknown_foods(brief, proposal);
  entry["purchases"] = purchases_json(proposal.purchases);
  entry["waters"] = waters_json(proposal.waters);
  entry["yeast"] = proposal.yeast.name;
  entry["rest_temperature_c"] = rounded(proposal.charge.rest_temperature_c, 2);
  entry["ferment_temperature_c"] = rounded(brief.ferment_at.in(celsius), 2);
  entry["run_sheet"] = run_sheet_json(proposal.forecast);
  entry["character"] = character_json(compose::character_of(brief, proposal));
  entry["cost"] = rounded(compose::cost_of(brief, proposal), 2);
  entry["loss"] = rounded(proposal.loss, 9);
  entry["bound"] = rounded(proposal.bound, 9);
  entry["bound_gap"] = rounded(proposal.bound_gap, 9);
  entry["linearisations"] = proposal.linearisations;
  entry["bindings"] = bindings_json(proposal.bindings);
  entry["oddments"] = oddments_json(compose::oddments_of(brief, proposal));
  if (!traced) {
    entry["trace"] = Json::array();
    return entry;
  }
  const auto& known = proposal.forecast.trace;
  entry["trace"] = trace_json(
      known.empty() && !proposal.plan.steps.empty() ? forecast(proposal.plan, process::Trace::on).trace : known);
  return entry;
}

Json character_json(const compose::Character& character) {
  Json traits = Json::array();
  for (const compose::Trait& trait : character.traits) {
    const compose::AxisWords words = compose::axis_words(trait.axis);
    traits.push_back(Json{{"axis", words.name},
                          {"value", rounded(trait.value, 4)},
                          {"unit", words.unit},
                          {"steps", rounded(trait.steps, 3)},
                          {"share", rounded(trait.share, 3)},
                          {"word", trait.word},
                          {"low_end", words.low_end},
                          {"high_end", words.high_end},
                          {"made_of", words.made_of},
                          {"source", words.source}});
  }
  return Json{
      {"words", compose::character_words(character)}, {"traits", std::move(traits)}, {"tastes", character.tastes}};
}

Json answer_json(const compose::Brief& brief, const compose::Answer& answer, const AnswerExtras& extras) {
  Json document{{"name", brief.name}, {"brief", brief.file}, {"outcome", outcome_name(answer.outcome)}};
  document["proposals"] = Json::array();
  const bool refused = answer.outcome == compose::Outcome::refused;
  // A refused brief gets no recipe, whatever proposals stand in the answer.
  if (!refused) {
    for (const compose::Proposal& proposal : answer.proposals)
      document["proposals"].push_back(proposal_json(brief, proposal, extras.traces));
  }
  if (!refused && extras.alternatives != nullptr) {
    for (const compose::Alternative& other : extras.alternatives->others)
      document["proposals"].push_back(proposal_json(brief, other.proposal, extras.traces));
    document["side_by_side"] = alternatives_json(*extras.alternatives);
  }
  if (!refused && extras.steady != nullptr) {
    document["steady"] = Json{{"changed", extras.steady->changed},
                              {"chance_before", rounded(extras.steady->before.all, 3)},
                              {"chance", rounded(extras.steady->now.all, 3)},
                              {"tried", extras.steady->tried}};
  }
  if (!refused && extras.learned != nullptr) document["learned"] = learned_json(*extras.learned);
  if (!refused && extras.reasons != nullptr) document["why"] = reasons_json(*extras.reasons);
  document["clashes"] = Json::array();
  for (const compose::Clash& clash : answer.clashes) {
    document["clashes"].push_back(Json{{"wishes", clash.wishes}, {"least_change", clash.least_change}});
  }
  document["cautions"] = cautions_json(answer.cautions);
  return document;
}

Json problems_json(const Problems& problems) {
  Json list = Json::array();
  for (const Problem& problem : problems) list.push_back(problem_json(problem));
  return Json{{"problems", std::move(list)}};
}

std::string json_text(const Json& json) { return json.dump(2, ' ', false, Json::error_handler_t::replace) + '\n'; }

}  // namespace oddgrist::files
