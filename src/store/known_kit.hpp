// What the gyles kept in a store teach about a kit.
#pragma once

#include <string>
#include <vector>

#include "gyle/learn.hpp"
#include "store/store.hpp"

namespace oddgrist::store {

struct KnownKit {
  gyle::KitKnowledge knowledge;
  std::vector<std::string> gyles;           // all on this kit, in the order they were begun
  std::vector<std::string> told;            // those with readings; KitKnowledge::strange counts in these
  std::vector<std::string> left_out;        // those whose log or brief cannot be read
  std::vector<gyle::UsefulReading> useful;  // of the last of them brewed again
};

// Empty if no gyle was brewed on a kit of that name. `until`: a gyle; only those begun before it count.
[[nodiscard]] Result<KnownKit> known_kit(const Store& store, const std::string& name, const std::string& until = {});

struct KitUse {
  std::string name;
  int gyles = 0;
};
// Kits with gyles, and those only stated; by name.
[[nodiscard]] Result<std::vector<KitUse>> kits_in_use(const Store& store);

}  // namespace oddgrist::store
