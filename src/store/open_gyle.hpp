// A gyle taken from the shelf: its log folded under its own brief.
#pragma once

#include <string>
#include <vector>

#include "compose/brief.hpp"
#include "gyle/state.hpp"
#include "store/store.hpp"

namespace oddgrist::store {

struct OpenGyle {
  compose::Brief brief;
  std::vector<gyle::Entry> entries;
  gyle::State state;
};

[[nodiscard]] Result<OpenGyle> open_gyle(const Store& store, const std::string& id);

}  // namespace oddgrist::store
