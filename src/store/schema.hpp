// The tables, and how a file of an earlier version becomes one of this. Internal to src/store.
#pragma once

#include <string>

#include "store/connection.hpp"

namespace oddgrist::store {

inline constexpr int schema_version = 2;
// "ODGR": tells a store from any other SQLite file.
inline constexpr std::int64_t application_id = 0x4F444752;

// What a file that was opened turns out to be.
enum class Nature { store, older_store, newer_store, blank, foreign };
Nature nature_of(Connection& connection);

// From blank or older to this version, in one transaction. Entries are never touched; the lists are made anew. `stop_at` is for tests of
// the migrations.
void bring_up_to_date(Connection& connection, int stop_at = schema_version);

// Tables of the lists in "main" or, for a check that compares the two, in "temp".
std::string list_tables(const std::string& where);

}  // namespace oddgrist::store
