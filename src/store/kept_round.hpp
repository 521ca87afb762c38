// A round among several brewers as its log has it. What a part means is known to whoever writes it; here only what holds now.
//
// Entries of a stream round/<id>:
//   part     {"part": its name, "value": any JSON; null: there is no such part any more}    the last of each part holds
//   sheet    {"judge": ..., "marks": {...}}                                                 the last of each judge holds
//   closed   {}                                                                             all sheets are in
//   struck   as everywhere
#pragma once

#include <map>
#include <string>
#include <vector>

#include "store/store.hpp"

namespace oddgrist::store {

struct KeptRound {
  std::map<std::string, files::Json> parts;
  std::map<std::string, files::Json> sheets;  // marks, by judge
  bool closed = false;
  std::int64_t entries = 0;
  Instant changed_at{};
};

// Empty if there is no such round.
[[nodiscard]] Result<KeptRound> kept_round(const Store& store, const std::string& id);

// What is wrong with the body of such an entry; fields are named from `path`.
[[nodiscard]] files::Problems problems_in_round_entry(const Line& line, const std::string& path);

}  // namespace oddgrist::store
