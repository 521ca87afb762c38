#include "cli/own_larder_told.hpp"

#include <fmt/format.h>

#include "cli/output.hpp"

namespace oddgrist::cli {

void tell_of_own_larder(const files::OwnLarder& own) {
  for (const files::Problem& problem : own.problems)
    complain(fmt::format("{} It is left out.", files::problem_line(problem)));
}

}  // namespace oddgrist::cli
