#include "cli/devices_path.hpp"

#include <cstdlib>

namespace oddgrist::cli {
namespace {

std::string usual_folder() {
  if (const char* state = std::getenv("XDG_STATE_HOME"); state != nullptr && *state != '\0')
    return std::string(state) + "/oddgrist";
  if (const char* home = std::getenv("HOME"); home != nullptr && *home != '\0')
    return std::string(home) + "/.local/state/oddgrist";
  return {};
}

}  // namespace

std::string devices_path(const std::string& state) {
  const std::string folder = state.empty() ? usual_folder() : state;
  return folder.empty() ? folder : folder + "/devices.json";
}

}  // namespace oddgrist::cli
