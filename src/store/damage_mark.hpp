// That a store was found damaged: a file `-damaged` beside it, so that every program that opens the store knows it, whichever found it.
// It goes when a check finds the store sound again or a backup is restored. Internal to src/store; others ask `noted_damage`.
#pragma once

#include <string>

#include "store/connection.hpp"

namespace oddgrist::store {

// Where nobody may write there is no mark; nobody writes into the store there either.
void mark_damaged(const std::string& path, const std::string& what);
void unmark_damaged(const std::string& path);
// The mark goes with the file it speaks of.
void move_damage_mark(const std::string& from, const std::string& to);
// Throws Refused if there is a mark: what is written now could hide what was lost.
void refuse_if_damaged(const std::string& path);

}  // namespace oddgrist::store
