// A bench trial: doses of an infusion in glasses of the beer, tasted blind, and what the dose that is liked means for the batch.
#include <optional>

#include <fmt/format.h>

#include "compose/proposal.hpp"
#include "files/json_reader.hpp"
#include "present/trial.hpp"
#include "server/asked.hpp"
#include "server/problem_details.hpp"
#include "server/routes.hpp"
#include "server/trial_json.hpp"

namespace oddgrist::server {
namespace {

using files::JsonReader;

constexpr std::string_view wrong = "trial";

void read_batch(JsonReader& reader, std::optional<double> otherwise_l, present::TrialPlan& plan) {
  auto batch_l = reader.number_if_any("batch_l", 0.1, 5000.0, "litres from 0.1 to 5000");
  if (!batch_l) batch_l = otherwise_l;
  if (!batch_l) return;
  const double there_l = process::liquid_volume_l(plan.beer, 20.0);
  if (!(there_l > 0.0)) return;
  for (double& mass : plan.beer.mass_kg) mass *= *batch_l / there_l;
}

void read_beer(JsonReader& reader, present::TrialPlan& plan) {
  JsonReader beer = reader.object("beer");
  const double abv = beer.number("abv_percent", 0.0, 20.0, "% by volume from 0 to 20");
  const double gravity = beer.number("gravity_sg", 0.980, 1.100, "a gravity from 0.980 to 1.100");
  beer.report_unknown_keys();
  const auto read = present::beer_that_reads(abv / 100.0, gravity);
  if (read)
    plan.beer = *read;
  else
    reader.report("beer", "no beer reads so", "Take the final gravity, read flat at 20 °C");
}

void read_liquor(JsonReader& reader, present::TrialPlan& plan) {
  JsonReader liquor = reader.object("liquor");
  const double strength = liquor.number_if_any("strength_percent", 0.0, 96.0, "% by volume from 0 to 96").value_or(0.0);
  const double sugar = liquor.number_if_any("sugar_g_per_l", 0.0, 900.0, "grams a litre from 0 to 900").value_or(0.0);
  liquor.report_unknown_keys();
  const auto mixed = present::sweet_liquor(strength / 100.0, sugar / 1000.0);
  if (mixed)
    plan.liquor = *mixed;
  else
    reader.report("liquor", "so much alcohol and sugar do not go into a litre", "Lower one of them");
  plan.food_kg_per_l = 0.0;
}

void read_doses(const Json& document, JsonReader& reader, std::optional<double> planned_share,
                present::TrialPlan& plan) {
  plan.glass_l = reader.number_if_any("glass_ml", 10.0, 1000.0, "millilitres from 10 to 1000").value_or(100.0) / 1000.0;
  if (!document.contains("doses_ml")) {
    plan.doses_l = present::usual_doses_l(plan.glass_l, planned_share);
    return;
  }
  const auto& doses = reader.list("doses_ml", present::most_trial_doses);
  for (std::size_t i = 0; i < doses.size(); ++i) {
    const double dose_l = doses[i].is_number() ? doses[i].get<double>() / 1000.0 : 0.0;
    if (dose_l > 0.0 && dose_l <= plan.glass_l)
      plan.doses_l.push_back(dose_l);
    else
      reader.report("doses_ml", fmt::format("dose {} is not above 0 and at most a glass", i + 1),
                    "Send millilitres, such as 0.5");
  }
}

// The proposal that is meant, or why there is none.
struct Meant {
  std::shared_ptr<const Answered> answered;
  std::size_t number = 1;
  Reply refusal;
};

Meant meant_by(Service& service, const Json& document) {
  Meant meant;
  BriefQuestion question = question_in(service, document);
  if (!question.asked) return {nullptr, 1, std::move(question.refusal)};
  meant.number = question.proposal;
  const auto answered = service.briefs.answer_numbered(*question.asked);
  if (!answered) return {nullptr, 1, problems_reply("brief", answered.problems(), Lines::hide)};
  const compose::Answer& answer = answered.value()->answer;
  if (answer.outcome == compose::Outcome::refused || meant.number < 1 || meant.number > answered.value()->ways()) {
    return {
        nullptr, 1,
        problem_reply(422, "no-such-proposal", fmt::format("there are {} proposals to try", answered.value()->ways()),
                      "Count them from 1; a refused brief has none")};
  }
  meant.answered = answered.value();
  return meant;
}

}  // namespace

Reply answer_trial(Service& service, const Request& request) {
  if (request.content_type != "application/json") return bare_problem(415);
  if (!service.solves.allow(request.peer)) return too_many();
  const Json document = Json::parse(request.body, nullptr, false);
  if (!document.is_object() || document.contains("brief") == document.contains("beer")) {
    return bad_request("the body has not one of \"brief\" and \"beer\"",
                       "Send the brief, or {\"beer\": {\"abv_percent\": 5, \"gravity_sg\": 1.012}, \"liquor\": {...}}");
  }
  present::TrialPlan plan;
  files::Problems problems;
  JsonReader reader(document, "", files::Place{}, problems);
  std::optional<double> planned_share;
  if (document.contains("brief")) {
    Meant meant = meant_by(service, document);
    if (meant.answered == nullptr) return meant.refusal;
    planned_share =
        present::take_proposal(meant.answered->brief, meant.answered->only(meant.number).proposals.front(), plan);
    for (const char* known : {"brief", "proposal", "id", "learned"}) reader.take(known);
  } else {
    read_beer(reader, plan);
  }
  const bool own_liquor = document.contains("liquor");
  if (own_liquor) read_liquor(reader, plan);
  if (!own_liquor && !planned_share)
    reader.report("liquor", "it is not said what is dosed, and no infusion is in the recipe",
                  "Say how strong it is and how sweet");
  read_batch(reader, document.contains("brief") ? std::optional<double>() : std::optional<double>(10.0), plan);
  read_doses(document, reader, own_liquor ? std::nullopt : planned_share, plan);
  if (document.contains("seed"))
    plan.seed = static_cast<std::uint64_t>(reader.whole("seed", 0, 1'000'000'000, "a whole number from 0"));
  const std::string picks = reader.text("picks", 200, JsonReader::Blank::allowed);
  reader.report_unknown_keys();
  if (!problems.empty()) return problems_reply(wrong, problems, Lines::hide);
  const present::Trial trial = present::trial_of(plan);
  if (trial.glasses.empty())
    return problem_reply(422, wrong, "there is nothing to try", "Check the beer, what is dosed and the doses");
  if (!picks.empty() && present::picked_glass(trial, picks) == nullptr) {
    return problem_reply(422, wrong,
                         fmt::format("the glasses are {} to {}", trial.letters.front(), trial.letters.back()),
                         "Send one capital letter a taster, such as \"CCE\"");
  }
  return json_reply(trial_json(plan, trial, picks));
}

}  // namespace oddgrist::server
