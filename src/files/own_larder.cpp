#include "files/own_larder.hpp"

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <set>
#include <sstream>

#include "files/text_file.hpp"
#include "larder/catalogue.hpp"

namespace oddgrist::files {
namespace {

namespace fs = std::filesystem;

constexpr std::size_t most_entries = 1000;

std::string variable(const char* name) {
  const char* value = std::getenv(name);
  return value == nullptr ? "" : value;
}

// A plain file name. What other letters become is told apart by a number made of the name (FNV-1a).
std::string file_name_for(const std::string& name) {
  const std::string folded = larder::folded_name(name);
  std::string plain;
  bool same = true;
  std::uint32_t number = 2166136261u;
  for (const char letter : folded.substr(0, 200)) {
    const bool kept = (letter >= 'a' && letter <= 'z') || (letter >= '0' && letter <= '9');
    plain += kept ? letter : '-';
    same = same && (kept || letter == ' ');
    number = (number ^ static_cast<unsigned char>(letter)) * 16777619u;
  }
  plain.resize(std::min<std::size_t>(plain.size(), 60));
  return same && plain.size() < 60 ? plain + ".toml" : fmt::format("{}-{:08x}.toml", plain, number);
}

Problem folder_problem(const std::string& folder, std::string what, Trouble trouble) {
  return {Place{folder, 0, 0}, "", std::move(what), "Check its rights, or set ODDGRIST_LARDER to another folder",
          trouble};
}

std::vector<std::string> files_of(const std::string& folder, Problems& problems) {
  std::vector<std::string> paths;
  std::error_code error;
  if (folder.empty() || !fs::exists(folder, error)) return paths;
  for (fs::directory_iterator entry(folder, error), end; !error && entry != end; entry.increment(error))
    if (entry->path().extension() == ".toml") paths.push_back(entry->path().string());
  if (error) problems.push_back(folder_problem(folder, "cannot be read: " + error.message(), Trouble::cannot_open));
  std::sort(paths.begin(), paths.end());
  if (paths.size() > most_entries) {
    problems.push_back(
        folder_problem(folder, fmt::format("holds more than {} entries", most_entries), Trouble::bad_content));
    paths.resize(most_entries);
  }
  return paths;
}

void read_entry(const std::string& path, OwnLarder& larder) {
  const auto text = read_text_file(path);
  const auto items = text ? read_own_text(text.value(), path) : Result<std::vector<Item>>(text.problems());
  if (!items) {
    larder.problems.insert(larder.problems.end(), items.problems().begin(), items.problems().end());
    return;
  }
  for (const Item& item : items.value()) larder.entries.push_back(OwnEntry{item.name, item.reading.ingredient, path});
}

// One [[item]] as a text of its own.
std::string entry_text(const toml::table& entry) {
  toml::table root;
  root.insert("item", toml::array{entry});
  std::ostringstream text;
  text << root << '\n';
  return text.str();
}

const toml::array* items_in(const toml::table& root) { return root["item"].as_array(); }

// The catalogue's names stay what they are: a brief of last year must not change its meaning.
void refuse_known_names(const std::vector<Item>& items, Problems& problems) {
  for (const Item& item : items)
    if (const larder::Ingredient* known = larder::catalogue().find(item.name))
      problems.push_back(Problem{item.place, "item.name",
                                 fmt::format("\"{}\" is a name of the catalogue's own {}", item.name, known->name),
                                 "Give it a name that tells them apart, such as the maker's"});
}

}  // namespace

std::string own_larder_folder() {
  if (std::string named = variable("ODDGRIST_LARDER"); !named.empty()) return named;
  if (const std::string data = variable("XDG_DATA_HOME"); data.starts_with('/')) return data + "/oddgrist/larder";
  if (const std::string home = variable("HOME"); !home.empty()) return home + "/.local/share/oddgrist/larder";
  return "";
}

OwnLarder read_own_larder() {
  OwnLarder larder;
  for (const std::string& path : files_of(own_larder_folder(), larder.problems)) read_entry(path, larder);
  std::stable_sort(larder.entries.begin(), larder.entries.end(), [](const OwnEntry& a, const OwnEntry& b) {
    return larder::folded_name(a.name) < larder::folded_name(b.name);
  });
  return larder;
}

const OwnEntry* find_own(const OwnLarder& larder, std::string_view name) {
  const std::string folded = larder::folded_name(name);
  const auto found = std::find_if(larder.entries.begin(), larder.entries.end(), [&](const OwnEntry& entry) {
    return larder::folded_name(entry.name) == folded || entry.ingredient.id == name;
  });
  return found == larder.entries.end() ? nullptr : &*found;
}

Result<std::vector<std::string>> add_to_own_larder(const std::string& path) {
  const auto text = read_text_file(path);
  if (!text) return text.problems();
  const auto items = read_own_text(text.value(), path);
  if (!items) return items.problems();
  Problems problems;
  refuse_known_names(items.value(), problems);
  const auto root = parse_toml(text.value(), path, problems);
  if (!root || !problems.empty()) return problems;
  const std::string folder = own_larder_folder();
  std::error_code error;
  if (folder.empty()) return folder_problem("own larder", "there is no folder for it", Trouble::cannot_write);
  fs::create_directories(folder, error);
  if (error) return folder_problem(folder, "cannot be made: " + error.message(), Trouble::cannot_write);
  std::vector<std::string> names;
  for (const toml::node& node : *items_in(*root)) {
    const std::string& name = items.value()[names.size()].name;
    if (auto problem = write_text_file(folder + '/' + file_name_for(name), entry_text(*node.as_table())))
      return *problem;
    names.push_back(name);
  }
  return names;
}

Result<std::string> drop_from_own_larder(const std::string& name) {
  const OwnLarder larder = read_own_larder();
  const OwnEntry* entry = find_own(larder, name);
  Problems ignored;
  const std::vector<std::string> paths = files_of(own_larder_folder(), ignored);
  const auto file = std::find_if(paths.begin(), paths.end(), [&](const std::string& path) {
    const fs::path file_path(path);
    return file_path.filename() == name || file_path.stem() == name || file_path.filename() == file_name_for(name);
  });
  if (entry == nullptr && file == paths.end()) {
    std::vector<std::string> names;
    for (const OwnEntry& own : larder.entries) names.push_back(own.name);
    const std::string near = nearest_word(name, names);
    return Problem{Place{own_larder_folder(), 0, 0}, "", fmt::format("there is no \"{}\" in your own larder", name),
                   near.empty() ? "oddgrist larder own lists what is" : fmt::format("Did you mean \"{}\"?", near)};
  }
  const std::string path = entry != nullptr ? entry->path : *file;
  std::error_code error;
  if (!fs::remove(path, error) || error)
    return folder_problem(path, "cannot be taken out: " + error.message(), Trouble::cannot_write);
  return entry != nullptr ? entry->name : fs::path(path).stem().string();
}

void add_own_larder(OwnItems& items) {
  for (OwnEntry& entry : read_own_larder().entries)
    items.emplace(larder::folded_name(entry.name), std::move(entry.ingredient));
}

std::string with_own_entries(std::string_view brief_text) {
  std::string whole(brief_text);
  Problems ignored;
  const auto root = parse_toml(brief_text, "brief", ignored);
  const OwnLarder larder = read_own_larder();
  if (!root || larder.entries.empty()) return whole;
  std::set<std::string> defined, written;
  const auto for_each = [&](std::string_view list, std::string_view key, const auto& what) {
    if (const toml::array* entries = (*root)[list].as_array())
      for (const toml::node& node : *entries)
        if (const toml::table* table = node.as_table())
          if (const auto name = (*table)[key].value_exact<std::string>()) what(*name);
  };
  for_each("item", "name", [&](const std::string& name) { defined.insert(larder::folded_name(name)); });
  const auto write_out = [&](const std::string& name) {
    const OwnEntry* own = find_own(larder, name);
    if (own == nullptr || defined.contains(larder::folded_name(name)) || !written.insert(own->path).second) return;
    if (const auto text = read_text_file(own->path)) whole += "\n\n" + text.value();
  };
  for_each("given", "item", write_out);
  for_each("have", "item", write_out);
  return whole;
}

}  // namespace oddgrist::files
