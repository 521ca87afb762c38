// An answer as JSON for machines. docs/schema/answer.schema.json describes it; amounts of ingredients are always in grams, volumes in
// litres at 20 °C unless the name says hot.
#pragma once

#include <string>
#include <vector>

#include <nlohmann/json.hpp>

#include "compose/alternatives.hpp"
#include "compose/brief.hpp"
#include "compose/proposal.hpp"
#include "compose/reasons.hpp"
#include "compose/robust.hpp"
#include "files/problem.hpp"

namespace oddgrist::gyle {
struct LearnedFigure;
}

namespace oddgrist::files {

using Json = nlohmann::ordered_json;

// The others, where there are any, follow the first among the proposals.
struct AnswerExtras {
  const compose::Alternatives* alternatives = nullptr;
  const compose::Reasons* reasons = nullptr;
  const compose::Steady* steady = nullptr;
  const std::vector<gyle::LearnedFigure>* learned = nullptr;  // of the kit, what the brief was reckoned with
  bool traces =
      true;  // false: what happens to the batch after every step, which takes a forecast to say, is left empty
};
Json answer_json(const compose::Brief& brief, const compose::Answer& answer, const AnswerExtras& extras = {});
Json character_json(const compose::Character& character);
Json proposal_json(const compose::Brief& brief, const compose::Proposal& proposal, bool traced = true);
// {"problems": [...]}; docs/schema/problem.schema.json.
Json problems_json(const Problems& problems);

// Two spaces of indent and a newline at the end. Text that is not valid UTF-8 is mended, never thrown over.
std::string json_text(const Json& json);

}  // namespace oddgrist::files
