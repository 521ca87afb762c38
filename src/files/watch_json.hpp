// A fermentation watch as JSON, the same from the verb and from the server (docs/schema/watch.schema.json).
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "files/answer_json.hpp"
#include "gyle/watch.hpp"

namespace oddgrist::files {

struct ContainerName {
  std::string_view name;  // "one-way-glass"
  science::Container container;
};
[[nodiscard]] std::span<const ContainerName> container_names();
[[nodiscard]] std::optional<science::Container> container_named(std::string_view name);

// How a question is put to people: one sentence. The caller brings it, for words for people are made above this room.
using QuestionWords = std::string (*)(std::span<const gyle::TimedReading> readings, const gyle::Question& question);

[[nodiscard]] Json watch_json(const compose::Brief& brief, const compose::Proposal& proposal,
                              std::span<const gyle::TimedReading> readings, const gyle::Watch& watch,
                              QuestionWords words);

}  // namespace oddgrist::files
