// Where paired devices are remembered.
#pragma once

#include <string>

namespace oddgrist::cli {

// state: the folder of --state; empty: the usual one. Empty if there is none.
[[nodiscard]] std::string devices_path(const std::string& state);

}  // namespace oddgrist::cli
