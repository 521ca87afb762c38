// The head of a request as it came over the wire, and the rules it has to keep before anything is looked up or a body is read.
#pragma once

#include <cstddef>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "server/exchange.hpp"

namespace oddgrist::server {

struct Head {
  std::string method;                                       // "GET"
  std::string target;                                       // "/api/larder?q=malt", as it came
  std::vector<std::pair<std::string, std::string>> fields;  // names in small letters

  // The value of the first field of that name (small letters); empty if there is none.
  [[nodiscard]] std::string_view field(std::string_view name) const;
  [[nodiscard]] bool has(std::string_view name) const;
  // Of the body; 0 if none is stated. Only for a head that was not refused.
  [[nodiscard]] std::size_t length() const;
};

inline constexpr std::size_t most_head_bytes = std::size_t{16} << 10;  // request line and headers together
inline constexpr std::size_t most_fields = 100;
inline constexpr std::size_t longest_target = 2048;

// Why a head goes no further; nothing if it may. What would change how the rest is read, or ask for a part of an answer, is refused and
// not passed over: Range, Transfer-Encoding, Content-Encoding, Expect, Upgrade and their like. Other headers nobody here reads.
[[nodiscard]] std::optional<Reply> refuse_head(const Head& head, std::size_t largest_body);

struct Target {
  std::string path;                          // decoded, without the query
  std::map<std::string, std::string> query;  // the first of each name
};
// Nothing: it is no path of this server, written soundly ("/api/larder?q=smoked%20malt").
[[nodiscard]] std::optional<Target> read_target(std::string_view target);

}  // namespace oddgrist::server
