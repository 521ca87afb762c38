// The log as it is kept: one line an entry, in the order it was written.
//
// Streams and the kinds of entry in them (docs/store.md, docs/schema/entry.schema.json):
//   gyle/<id>    started reached reading added missed lost changed note struck    (gyle::What)
//   larder       took-in used counted opened best-before struck                   (StockWhat)
//   kit/<name>   stated struck                                                    (process::Kit)
//   brief/<id>   brief proposal note struck                                       (BriefWhat)
//   round/<id>   part sheet closed struck, or any word with any JSON object        (files::Json; kept_round)
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "compose/recipe.hpp"
#include "files/answer_json.hpp"
#include "files/problem.hpp"
#include "gyle/event.hpp"
#include "process/kit.hpp"
#include "store/stock.hpp"

namespace oddgrist::store {

struct Line {
  std::string stream;
  std::string key;  // made by the writer, unlike any other in the whole store (files::is_key); fresh_key() makes one
  std::string kind;
  int version = 1;  // of the body
  Instant at{};     // when it happened, by the writer's clock
  std::string mends;
  std::string body;  // a JSON object
  friend bool operator==(const Line&, const Line&) = default;
};

struct Logged {
  std::int64_t id = 0;  // 1, 2, 3, ... over all streams, without a gap
  Line line;
  friend bool operator==(const Logged&, const Logged&) = default;
};

// A brief as it was read, under the name it gives itself.
struct KeptBrief {
  std::string name;
  std::string text;
};
// What came of it.
struct KeptProposal {
  std::string name;
  compose::Recipe recipe;
};
using BriefWhat = std::variant<KeptBrief, KeptProposal, gyle::Note, gyle::Struck>;
using KitWhat = std::variant<process::Kit, gyle::Struck>;

// What a line means; files::Json for a round.
using Meaning = std::variant<gyle::What, StockWhat, KitWhat, BriefWhat, files::Json>;

// Which of the five, and the part after the slash; nothing if it is no stream.
enum class StreamSort { gyle, larder, kit, brief, round };
struct StreamName {
  StreamSort sort = StreamSort::larder;
  std::string rest;
};
std::optional<StreamName> stream_name(std::string_view stream);

// Checks a line whole and brings its body into the one form in which it is compared and kept. Problems name fields ("body.value").
struct Understood {
  Line line;
  Meaning meaning;
};
files::Result<Understood> understand(Line line, const files::Place& place);

// A line of typed content; the body is in its kept form.
Line line_of(std::string_view gyle_id, const gyle::Entry& entry);
Line line_of(const StockEntry& entry);
Line line_of(const process::Kit& kit, std::string_view key, Instant at);
Line line_of(std::string_view brief_id, const BriefWhat& what, std::string_view key, Instant at);

// Text in it that a search should find; empty: none.
std::string searchable_text(const Meaning& meaning);

// What decides whether an entry holds; in the order of writing.
struct Mending {
  std::string key;
  std::string mends;
  bool strike = false;
};
// The numbers of those in force, each in the place of what it mends: a delivery corrected after the stock was counted still came before
// the count. The last word on an entry holds, unless it is a strike; a correction that was struck out corrects nothing. It is the rule of
// gyle::holding, for every stream.
std::vector<std::size_t> in_force(const std::vector<Mending>& entries);

// 128 random bits.
std::string fresh_key();

}  // namespace oddgrist::store
