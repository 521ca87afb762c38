// Reads a whole store and says what is wrong with it. Internal to src/store.
#pragma once

#include "store/connection.hpp"
#include "store/store.hpp"

namespace oddgrist::store {

enum class CheckLists { yes, no };
// Of a store of this version, or with `no` of an older one. Throws Refused when told to stop.
CheckReport examine(Connection& connection, CheckLists lists, const Progress& progress);

// What a Progress that said stop becomes.
[[noreturn]] void refuse_as_stopped(const std::string& path);

}  // namespace oddgrist::store
