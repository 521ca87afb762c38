// The entries of a gyle's log as JSON and back: docs/schema/entry.schema.json. Reading never throws and reports every problem with its
// field; `place` says in which line of which file the entry stood.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "files/answer_json.hpp"
#include "files/instant_text.hpp"
#include "files/problem.hpp"
#include "gyle/event.hpp"

namespace oddgrist::files {

// Raised when an older program could not make sense of what is written. Every older version stays readable.
inline constexpr int event_version = 1;
// A brief or a note of more than this is refused.
inline constexpr std::size_t longest_event_text = std::size_t{256} << 10;

// {"version": 1, "key": ..., "at": ..., "kind": ..., "mends": ..., "body": {...}}; "mends" is left out if it is empty.
Json entry_json(const gyle::Entry& entry);
Result<gyle::Entry> entry_from_json(const Json& json, const Place& place);
Result<gyle::Entry> entry_from_text(std::string_view text, const std::string& path);

// The two halves, for whoever keeps kind and body apart.
std::string_view event_kind(const gyle::What& what);
Json event_body_json(const gyle::What& what);
Result<gyle::What> event_from_body(std::string_view kind, int version, const Json& body, const Place& place);

std::string_view stage_word(gyle::Stage stage);
std::optional<gyle::Stage> stage_of(std::string_view word);
std::string_view sight_word(gyle::Sight sight);
std::optional<gyle::Sight> sight_of(std::string_view word);
// The base unit of a sight, as JSON names it: "L", "SG", "°Bx", "°C", "pH", "bar", "kg", "of 10".
std::string_view sight_unit(gyle::Sight sight);

// 1 to 200 visible ASCII characters without spaces.
bool is_key(std::string_view key);

// The name a brief gives itself; empty if it has none or is no TOML. Does not look at anything else in it.
std::string name_in_brief(std::string_view brief_text);

}  // namespace oddgrist::files
