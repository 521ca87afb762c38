#include "server/head.hpp"

#include <algorithm>
#include <array>
#include <charconv>

#include "server/problem_details.hpp"

namespace oddgrist::server {
namespace {

constexpr std::array<std::string_view, 3> methods{"GET", "HEAD", "POST"};

// Two of one of these could be understood in two ways.
constexpr std::array<std::string_view, 10> once_only{
    "host",   "content-length", "content-type",  "content-encoding", "origin",
    "cookie", "sec-fetch-site", "if-none-match", "authorization",    "range"};

struct Unused {
  std::string_view name;
  int status;
};
constexpr std::array<Unused, 9> unused{{{"range", 416},
                                        {"if-range", 416},
                                        {"content-range", 416},
                                        {"transfer-encoding", 411},
                                        {"content-encoding", 415},
                                        {"expect", 417},
                                        {"upgrade", 400},
                                        {"trailer", 400},
                                        {"http2-settings", 400}}};

std::optional<std::size_t> number_in(std::string_view digits) {
  std::size_t number = 0;
  const char* const end = digits.data() + digits.size();
  const auto [read, error] = std::from_chars(digits.data(), end, number);
  if (digits.empty() || error != std::errc{} || read != end) return std::nullopt;
  return number;
}

std::optional<int> wrong_with_body(const Head& head, std::size_t largest_body) {
  if (!head.has("content-length")) return head.method == "POST" ? std::optional<int>(411) : std::nullopt;
  const std::string_view stated = head.field("content-length");
  if (stated.empty() || !std::all_of(stated.begin(), stated.end(), [](char c) { return c >= '0' && c <= '9'; }))
    return 400;
  const auto length = number_in(stated);
  if (!length || *length > largest_body) return 413;
  if (*length > 0 && head.method != "POST") return 400;
  return std::nullopt;
}

int value_of_hex(char c) {
  if (c >= '0' && c <= '9') return c - '0';
  if (c >= 'a' && c <= 'f') return c - 'a' + 10;
  if (c >= 'A' && c <= 'F') return c - 'A' + 10;
  return -1;
}

// Percent signs undone; nothing if one is not followed by two digits, or if what comes out is a control character.
std::optional<std::string> decoded(std::string_view text, bool plus_is_space) {
  std::string plain;
  for (std::size_t i = 0; i < text.size(); ++i) {
    char c = text[i];
    if (c == '+' && plus_is_space) c = ' ';
    if (c == '%') {
      if (text.size() - i < 3) return std::nullopt;
      const int high = value_of_hex(text[i + 1]), low = value_of_hex(text[i + 2]);
      if (high < 0 || low < 0) return std::nullopt;
      c = static_cast<char>(16 * high + low);
      i += 2;
    }
    const auto byte = static_cast<unsigned char>(c);
    if (byte < 0x20 || byte == 0x7f) return std::nullopt;
    plain += c;
  }
  return plain;
}

}  // namespace

std::string_view Head::field(std::string_view name) const {
  for (const auto& [known, value] : fields) {
    if (known == name) return value;
  }
  return {};
}

bool Head::has(std::string_view name) const {
  return std::any_of(fields.begin(), fields.end(), [&](const auto& field) { return field.first == name; });
}

std::size_t Head::length() const { return number_in(field("content-length")).value_or(0); }

std::optional<Reply> refuse_head(const Head& head, std::size_t largest_body) {
  if (std::find(methods.begin(), methods.end(), head.method) == methods.end()) {
    Reply reply = bare_problem(405);
    reply.headers.emplace_back("Allow", "GET, HEAD, POST");
    return reply;
  }
  if (head.fields.size() > most_fields) return bare_problem(431);
  if (head.target.size() > longest_target) return bare_problem(414);
  for (const Unused& header : unused) {
    if (head.has(header.name)) return bare_problem(header.status);
  }
  for (const std::string_view name : once_only) {
    const auto times =
        std::count_if(head.fields.begin(), head.fields.end(), [&](const auto& field) { return field.first == name; });
    if (times > 1) return bare_problem(400);
  }
  if (const auto status = wrong_with_body(head, largest_body)) return bare_problem(*status);
  return std::nullopt;
}

std::optional<Target> read_target(std::string_view target) {
  if (!target.starts_with('/') || target.find('#') != std::string_view::npos) return std::nullopt;
  const auto mark = target.find('?');
  auto path = decoded(target.substr(0, mark), false);
  if (!path) return std::nullopt;
  Target read{std::move(*path), {}};
  std::string_view rest = mark == std::string_view::npos ? std::string_view() : target.substr(mark + 1);
  while (!rest.empty()) {
    const auto end = std::min(rest.find('&'), rest.size());
    const std::string_view pair = rest.substr(0, end);
    rest.remove_prefix(std::min(end + 1, rest.size()));
    if (pair.empty()) continue;
    const auto equals = std::min(pair.find('='), pair.size());
    auto name = decoded(pair.substr(0, equals), true);
    auto value = decoded(pair.substr(std::min(equals + 1, pair.size())), true);
    if (!name || !value) return std::nullopt;
    read.query.emplace(std::move(*name), std::move(*value));
  }
  return read;
}

}  // namespace oddgrist::server
