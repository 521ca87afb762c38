// Errors as RFC 9457 problem details. `type` is a path below /problems/ that names the kind; docs/openapi.json lists them. The member
// "problems" holds one entry a mistake: field, what is wrong, what to do.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "files/problem.hpp"
#include "server/exchange.hpp"

namespace oddgrist::server {

// One mistake of the request as a whole.
[[nodiscard]] Reply problem_reply(int status, std::string_view kind, std::string_view what, std::string_view remedy);

// A request that was understood but says something wrong: 422, of the kind `own_kind`. A fault of what is kept (busy, full, damaged, not
// there) is answered as files::fault_of has it, whatever was asked. Lines and columns only if the brewer wrote the text.
enum class Lines { hide, show };
[[nodiscard]] Reply problems_reply(std::string_view own_kind, const files::Problems& problems, Lines lines);

// What the HTTP library refused by itself.
[[nodiscard]] Reply bare_problem(int status);

// 400, and 429 with the time to wait.
[[nodiscard]] Reply bad_request(std::string_view what, std::string_view remedy);
[[nodiscard]] Reply too_many();

// A body of {"entries": [1 to 200 of them]} into `document`, or the refusal.
[[nodiscard]] std::optional<Reply> refuse_entries(const Request& request, files::Json& document);

}  // namespace oddgrist::server
