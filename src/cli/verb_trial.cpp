#include <memory>
#include <optional>

#include <fmt/format.h>

#include "cli/patience.hpp"
#include "cli/verbs.hpp"
#include "compose/proposal.hpp"
#include "files/answer_json.hpp"
#include "files/brief_file.hpp"
#include "present/recipe.hpp"
#include "present/trial.hpp"
#include "quantity/parse.hpp"
#include "server/trial_json.hpp"

namespace oddgrist::cli {
namespace {

using process::Mixture;

struct TrialOptions {
  std::string brief;
  std::string beer_alcohol = "5 %";
  std::string beer_gravity = "1.012";
  std::string liquor_strength;
  std::string liquor_sugar;
  std::string glass = "100 mL";
  std::string doses = "auto";
  std::string batch;
  std::string pick;
  std::uint64_t seed = 1;
  std::string units;
  OutputOptions output;
};

// What is wrong with an option, and what to write.
struct Complaint {
  std::string what, remedy;
};

// Reads one quantity; false with the complaint said.
template <class Kind>
bool read_option(std::string_view option, std::string_view text, Quantity<Kind> low, Quantity<Kind> high,
                 std::string_view limits, Quantity<Kind>& into, Complaint& complaint) {
  const auto parsed = parse<Kind>(text);
  if (!parsed) {
    complaint = {fmt::format("{} \"{}\": {}", option, text, parsed.error().message), parsed.error().hint};
    return false;
  }
  if (!(parsed.value() >= low) || !(parsed.value() <= high)) {
    complaint = {fmt::format("{} \"{}\" must be {}", option, text, limits), "See oddgrist trial --help"};
    return false;
  }
  into = parsed.value();
  return true;
}

std::string trimmed(std::string_view text) {
  const auto begin = text.find_first_not_of(' ');
  if (begin == std::string_view::npos) return {};
  return std::string(text.substr(begin, text.find_last_not_of(' ') - begin + 1));
}

std::vector<std::string> parts_of(std::string_view list) {
  std::vector<std::string> parts;
  for (std::size_t from = 0; from <= list.size();) {
    const std::size_t comma = std::min(list.find(',', from), list.size());
    parts.push_back(trimmed(list.substr(from, comma - from)));
    from = comma + 1;
  }
  return parts;
}

bool read_doses(const TrialOptions& options, std::optional<double> planned_share, present::TrialPlan& plan,
                Complaint& complaint) {
  if (options.doses == "auto") {
    plan.doses_l = present::usual_doses_l(plan.glass_l, planned_share);
    return true;
  }
  for (const std::string& part : parts_of(options.doses)) {
    Volume dose;
    if (!read_option("--doses", part, 1e-6 * litre, plan.glass_l * litre, "more than nothing and at most a glass", dose,
                     complaint)) {
      return false;
    }
    plan.doses_l.push_back(dose.in(litre));
  }
  if (plan.doses_l.size() <= present::most_trial_doses) return true;
  complaint = {fmt::format("--doses: {} are more than {} glasses", plan.doses_l.size(), present::most_trial_doses),
               "Nobody tastes so many: give five or six"};
  return false;
}

// The liquor the options describe; left as it is when they say nothing of it.
bool read_liquor(const TrialOptions& options, present::TrialPlan& plan, Complaint& complaint) {
  if (options.liquor_strength.empty() && options.liquor_sugar.empty()) return true;
  Fraction strength = 0.0 * percent;
  Concentration sugar = 0.0 * gram_per_litre;
  if (!options.liquor_strength.empty() &&
      !read_option("--liquor-strength", options.liquor_strength, 0.0 * percent, 96.0 * percent,
                   "from 0 % to 96 % by volume", strength, complaint)) {
    return false;
  }
  if (!options.liquor_sugar.empty() &&
      !read_option("--liquor-sugar", options.liquor_sugar, 0.0 * gram_per_litre, 900.0 * gram_per_litre,
                   "from 0 g/L to 900 g/L", sugar, complaint)) {
    return false;
  }
  const auto liquor = present::sweet_liquor(strength.in(ratio), sugar.in(gram_per_litre) / 1000.0);
  if (!liquor) {
    complaint = {"--liquor-strength and --liquor-sugar: so much alcohol and sugar do not go into a litre",
                 "Lower one of them"};
    return false;
  }
  plan.liquor = *liquor;
  plan.food_kg_per_l = 0.0;
  return true;
}

bool read_beer(const TrialOptions& options, present::TrialPlan& plan, Complaint& complaint) {
  Fraction alcohol;
  Gravity gravity;
  if (!read_option("--beer-alcohol", options.beer_alcohol, 0.0 * percent, 20.0 * percent, "from 0 % to 20 % by volume",
                   alcohol, complaint) ||
      !read_option("--beer-gravity", options.beer_gravity, 0.980 * specific_gravity, 1.100 * specific_gravity,
                   "from 0.980 to 1.100", gravity, complaint)) {
    return false;
  }
  const auto beer = present::beer_that_reads(alcohol.in(ratio), gravity.in(specific_gravity));
  if (!beer) {
    complaint = {"--beer-alcohol and --beer-gravity: no beer reads so", "Take the final gravity, read flat at 20 °C"};
    return false;
  }
  plan.beer = *beer;
  return true;
}

bool read_batch(const TrialOptions& options, present::TrialPlan& plan, Complaint& complaint) {
  if (options.batch.empty() && !options.brief.empty()) return true;
  Volume batch = 10.0 * litre;
  if (!options.batch.empty() &&
      !read_option("--batch", options.batch, 0.1 * litre, 5000.0 * litre, "from 0.1 L to 5000 L", batch, complaint)) {
    return false;
  }
  const double factor = batch.in(litre) / process::liquid_volume_l(plan.beer, 20.0);
  for (double& mass : plan.beer.mass_kg) mass *= factor;
  return true;
}

// The letters of --pick, "C, C, E" or "CCE".
std::string picks_of(const TrialOptions& options) {
  std::string picks;
  for (char c : options.pick) {
    if (c != ',' && c != ' ') picks += (c >= 'a' && c <= 'z') ? static_cast<char>(c - 'a' + 'A') : c;
  }
  return picks;
}

int refuse_usage(const TrialOptions& options, const Complaint& complaint) {
  return fail_usage(options.output.json, complaint.what, complaint.remedy);
}

int finish(const TrialOptions& options, present::TrialPlan& plan, std::optional<double> planned_share, bool us_first) {
  Complaint complaint;
  Volume glass;
  plan.seed = options.seed;
  if (!read_batch(options, plan, complaint) || !read_liquor(options, plan, complaint) ||
      !read_option("--glass", options.glass, 10.0 * millilitre, 1.0 * litre, "from 10 mL to 1 L", glass, complaint)) {
    return refuse_usage(options, complaint);
  }
  plan.glass_l = glass.in(litre);
  if (!(process::liquid_volume_l(plan.liquor, 20.0) > 0.0)) {
    return refuse_usage(
        options, {options.brief.empty() ? "it is not said what is dosed" : "the recipe of the brief doses no infusion",
                  "Add --liquor-strength \"40 %\", and --liquor-sugar \"100 g/L\" if it is sweet"});
  }
  const bool as_planned = options.liquor_strength.empty() && options.liquor_sugar.empty();
  if (!read_doses(options, as_planned ? planned_share : std::nullopt, plan, complaint))
    return refuse_usage(options, complaint);
  const present::Trial trial = present::trial_of(plan);
  if (trial.glasses.empty())
    return refuse_usage(options, {"there is nothing to try", "Check the beer, the liquor and the doses"});
  const std::string picks = picks_of(options);
  if (!picks.empty() && present::picked_glass(trial, picks) == nullptr) {
    return refuse_usage(options, {fmt::format("--pick \"{}\": the glasses are {} to {}", options.pick,
                                              trial.letters.front(), trial.letters.back()),
                                  "Give one letter a taster, for instance --pick \"C, C, E\""});
  }
  const std::string text = options.output.json ? files::json_text(server::trial_json(plan, trial, picks))
                                               : present::trial_text(plan, trial, picks, us_first);
  return emit(options.output, text, all_well);
}

int run_trial(const TrialOptions& options) {
  present::TrialPlan plan;
  if (options.brief.empty()) {
    Complaint complaint;
    if (!read_beer(options, plan, complaint)) return refuse_usage(options, complaint);
    return finish(options, plan, std::nullopt, options.units == "us");
  }
  auto read = files::read_brief_file(options.brief);
  if (!read) return fail(options.output, read.problems());
  compose::Brief& brief = read.value();
  if (!options.units.empty()) brief.us_units_first = options.units == "us";
  const compose::Answer answer = [&] {
    const Patience patience("composing", options.output.json);
    return compose::compose(brief);
  }();
  if (answer.outcome == compose::Outcome::refused || answer.proposals.empty()) {
    const int code = answer.outcome == compose::Outcome::refused ? refused_unsafe : wishes_missed;
    if (options.output.json) return emit(options.output, files::json_text(files::answer_json(brief, answer)), code);
    complain(present::recipe_text(brief, answer));
    return code;
  }
  const auto planned_share = present::take_proposal(brief, answer.proposals.front(), plan);
  return finish(options, plan, planned_share, brief.us_units_first);
}

}  // namespace

void add_trial(CLI::App& app, int& exit_code) {
  auto options = std::make_shared<TrialOptions>();
  CLI::App* verb = app.add_subcommand(
      "trial", "Plan a blind tasting of doses in a glass, and turn the dose that is liked into one for the batch");
  const auto text_option = [&](const std::string& name, std::string& into, const std::string& words, const char* type) {
    verb->add_option(name, into, words)->type_name(type);
  };
  text_option("--beer-brief", options->brief,
              "The beer and the infusion of this brief's recipe; - reads standard input", "BRIEF");
  text_option("--beer-alcohol", options->beer_alcohol, "Without a brief: strength of the beer; otherwise 5 %",
              "PERCENT");
  text_option("--beer-gravity", options->beer_gravity, "Without a brief: its final gravity; otherwise 1.012",
              "GRAVITY");
  text_option("--liquor-strength", options->liquor_strength,
              "Strength by volume of what is dosed, if not the brief's infusion", "PERCENT");
  text_option("--liquor-sugar", options->liquor_sugar, "Sugar in what is dosed, as in 150 g/L", "SUGAR");
  text_option("--glass", options->glass, "Beer in a glass; otherwise 100 mL", "VOLUME");
  text_option("--doses", options->doses, "auto, or the doses in a glass: \"0.2 mL, 0.5 mL, 1 mL\"", "LIST");
  text_option("--batch", options->batch, "How much beer is to be dosed; otherwise the brief's, or 10 L", "VOLUME");
  text_option("--pick", options->pick,
              "The glass each taster liked best, as in \"C, C, E\"; same seed as when it was poured", "LETTERS");
  verb->add_option("--seed", options->seed, "Number of the order of pouring; otherwise 1")->type_name("N");
  add_units_option(*verb, options->units);
  add_output_options(*verb, options->output);
  add_example(*verb, "oddgrist trial --beer-brief examples/walnut-spirit.toml --seed 7 --pick \"C, C, E\"");
  verb->callback([options, &exit_code] { exit_code = run_trial(*options); });
}

}  // namespace oddgrist::cli
