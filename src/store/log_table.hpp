// Rows of the log. Internal to src/store.
#pragma once

#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "store/connection.hpp"
#include "store/log.hpp"

namespace oddgrist::store {

// The columns that `logged` reads, up to and without WHERE.
extern const std::string logged_columns;
extern const std::string select_logged;
// An entry that is not what was written is damage: it is named, and not passed on; throws Refused.
Logged logged(const Query& query);
// For those who look for damage themselves: what stands there, and whether its checksum fits.
struct AsItStands {
  Logged entry;
  bool sound = false;
};
AsItStands as_it_stands(const Query& query);
std::string damaged_entry_words(const Logged& entry);

// A checksum over all of an entry, its id included: SQLite notices a broken page, not a changed letter.
std::int64_t sum_of(const Logged& entry);

// Adds it as the next entry and returns its id.
std::int64_t write_line(Connection& connection, const Line& line);
std::optional<Logged> find_key(Connection& connection, std::string_view key);
std::int64_t last_id_of(Connection& connection);
// False: a later entry that itself holds mends it, or it is a strike.
bool key_holds(Connection& connection, const std::string& key);

// Every entry of a stream up to the id `last`, as written.
struct Read {
  Logged entry;
  Meaning meaning;
};
std::vector<Read> read_stream(Connection& connection, std::string_view stream, std::int64_t last);
// What is in force in the larder for this ingredient.
std::vector<Read> stock_in_force(Connection& connection, const std::string& ingredient, std::int64_t last);

// Those that hold, each in the place of what it mends.
std::vector<Read> in_force(std::vector<Read> entries);

// An entry that no longer reads as what it was when it was written is damage; throws Refused.
Meaning meaning_of(const Logged& entry);

}  // namespace oddgrist::store
