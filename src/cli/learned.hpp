// --learned and --store of the verbs that compose: the brief on the kit as its gyles have taught it.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include <CLI/CLI.hpp>

#include "compose/brief.hpp"
#include "files/problem.hpp"
#include "gyle/learn.hpp"

namespace oddgrist::cli {

struct LearnedOptions {
  bool asked = false;
  std::string store;
};
void add_store_option(CLI::App& verb, std::string& store);
void add_learned_options(CLI::App& verb, LearnedOptions& options);

// Puts what is learned into the brief and returns what that was. Empty if it was not asked for. `until`: a gyle; only those begun before it
// count.
[[nodiscard]] files::Result<std::vector<gyle::LearnedFigure>> put_learned(const LearnedOptions& options,
                                                                          compose::Brief& brief,
                                                                          const std::string& until = {});

}  // namespace oddgrist::cli
