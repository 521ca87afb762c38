// The [[water]] entries of a brief: what the water report says.
#pragma once

#include <string>
#include <vector>

#include "compose/brief.hpp"
#include "files/toml_reader.hpp"

namespace oddgrist::files {

std::vector<compose::Water> read_waters(const std::vector<const toml::table*>& entries, const std::string& file,
                                        Problems& problems);

}  // namespace oddgrist::files
