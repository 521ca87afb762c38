#include "cli/answered.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "cli/own_larder_told.hpp"
#include "cli/patience.hpp"
#include "compose/alternatives.hpp"
#include "files/answer_json.hpp"
#include "files/brief_file.hpp"
#include "present/recipe.hpp"

namespace oddgrist::cli {
namespace {

// The others that `compose --others` shows, and the cautions of the one that was chosen.
void take_others(const compose::Brief& brief, std::size_t chosen, compose::Answer& answer) {
  auto others =
      compose::alternatives_of(brief, answer, {.most = static_cast<int>(std::min<std::size_t>(chosen, 5))}).others;
  for (std::size_t i = 0; i < others.size(); ++i) {
    if (i + 1 == chosen) answer.cautions = others[i].cautions;
    answer.proposals.push_back(std::move(others[i].proposal));
  }
}

}  // namespace

int with_proposal(const std::string& brief_path, const std::string& units, int number, const OutputOptions& output,
                  const std::function<int(const AnsweredBrief&)>& go, const LearnedOptions& learning) {
  tell_of_own_larder(files::read_own_larder());
  auto read = files::read_brief_file(brief_path);
  if (!read) return fail(output, read.problems());
  compose::Brief& brief = read.value();
  if (!units.empty()) brief.us_units_first = units == "us";
  const auto learned = put_learned(learning, brief);
  if (!learned) return fail(output, learned.problems());
  compose::Answer answer = [&] {
    const Patience patience("composing", output.json);
    return compose::compose(brief);
  }();
  if (answer.outcome == compose::Outcome::refused || answer.proposals.empty()) {
    const int code = answer.outcome == compose::Outcome::refused ? refused_unsafe : wishes_missed;
    if (output.json) return emit(output, files::json_text(files::answer_json(brief, answer)), code);
    complain(present::recipe_text(brief, answer));
    return code;
  }
  const std::size_t chosen = static_cast<std::size_t>(number) - 1;
  if (chosen > 0) take_others(brief, chosen, answer);
  if (chosen >= answer.proposals.size()) {
    return fail_usage(output.json, fmt::format("--proposal {}: there are only {}", number, answer.proposals.size()),
                      "oddgrist compose --others 5 shows them all");
  }
  return go({brief, answer, answer.proposals[chosen],
             answer.outcome == compose::Outcome::met ? all_well : wishes_missed, learned.value()});
}

}  // namespace oddgrist::cli
