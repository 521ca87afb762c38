// The [[given]] and [[have]] entries of a brief.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "compose/brief.hpp"
#include "files/toml_reader.hpp"

namespace oddgrist::files {

// The brewer's own [[item]] definitions by folded name. An empty one was defined, but wrongly, and has been reported already.
using OwnItems = std::map<std::string, std::optional<larder::Ingredient>>;

enum class SupplySense { given, have };

std::vector<compose::Supply> read_supplies(const std::vector<const toml::table*>& entries, SupplySense sense,
                                           const std::string& file, const OwnItems& own, Problems& problems);

}  // namespace oddgrist::files
