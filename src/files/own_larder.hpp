// The brewer's own larder: entries written once, each in a file of its own, known to every later brief. A damaged one is told
// of with its place and left out; it never stops anything else.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "files/item_section.hpp"
#include "files/problem.hpp"

namespace oddgrist::files {

struct OwnEntry {
  std::string name;
  larder::Ingredient ingredient;
  std::string path;
};

struct OwnLarder {
  std::vector<OwnEntry> entries;  // by name
  Problems problems;              // of what is left out
};

// $ODDGRIST_LARDER, or ${XDG_DATA_HOME:-~/.local/share}/oddgrist/larder. Empty: there is no place for one.
std::string own_larder_folder();

// Read anew each time: it is small, and another process may have written to it.
OwnLarder read_own_larder();

// The entry of that name, as folded; null if there is none.
const OwnEntry* find_own(const OwnLarder& larder, std::string_view name);

// Every [[item]] of the file, all or none; an entry of the same name is replaced. The names taken in.
Result<std::vector<std::string>> add_to_own_larder(const std::string& path);

// Takes one out; also one that is damaged, by the name of its file. What was taken out.
Result<std::string> drop_from_own_larder(const std::string& name);

// The items of a brief together with those of the own larder; what the brief defines itself comes first.
void add_own_larder(OwnItems& items);

// A brief's text with the own entries that it names written out, so that it means the same when the larder has changed. The
// text itself stays as it is.
std::string with_own_entries(std::string_view brief_text);

}  // namespace oddgrist::files
