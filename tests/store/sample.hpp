// A folder for a test's stores, and entries to put into them.
#pragma once

#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <stdexcept>
#include <string>
#include <vector>

#include <fmt/format.h>
#include <gtest/gtest.h>

#include "store/store.hpp"

namespace oddgrist::store {

namespace fs = std::filesystem;
using namespace std::chrono_literals;

class StoreFolder : public testing::Test {
 protected:
  StoreFolder() {
    std::string name = (fs::temp_directory_path() / "oddgrist-store-XXXXXX").string();
    if (::mkdtemp(name.data()) == nullptr) ADD_FAILURE() << "cannot make a folder";
    folder = name;
  }
  ~StoreFolder() override {
    std::error_code ignored;
    fs::remove_all(folder, ignored);
  }
  [[nodiscard]] std::string path(const std::string& name) const { return (folder / name).string(); }
  [[nodiscard]] std::vector<std::string> names() const {
    std::vector<std::string> found;
    for (const auto& one : fs::directory_iterator(folder)) found.push_back(one.path().filename().string());
    std::sort(found.begin(), found.end());
    return found;
  }
  fs::path folder;
};

inline std::string bytes_of(const std::string& path) {
  std::ifstream in(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}
inline void write_bytes(const std::string& path, const std::string& bytes) {
  std::ofstream(path, std::ios::binary | std::ios::trunc) << bytes;
}

inline Instant moment(int minutes) {
  return Instant(std::chrono::sys_days(std::chrono::year(2026) / 11 / 25)) + std::chrono::minutes(minutes);
}

inline std::string words_of(const files::Problems& problems) {
  std::string words;
  for (const auto& problem : problems) words += files::problem_line(problem) + '\n';
  return words;
}

// The value, or a failed test that says why not.
template <class T>
T must(files::Result<T> result) {
  if (!result) throw std::runtime_error(words_of(result.problems()));
  return std::move(result.value());
}

inline gyle::Entry started(const std::string& key, double malt_kg = 2.0, const std::string& name = "Harvest ale") {
  gyle::Started start;
  start.name = name;
  start.brief_text = "name = \"The Saltmarsh Round\"\n";
  start.kit = "shed kettle";
  start.recipe.amounts = {{"pale-malt", compose::Recipe::Into::grist, 0.0, malt_kg},
                          {"home-hops", compose::Recipe::Into::kettle, 60.0, 0.02},
                          {"home-hops", compose::Recipe::Into::flame_out, 0.0, 0.025},
                          {"water", compose::Recipe::Into::mash_liquor, 0.0, 12.0}};
  start.recipe.yeast = "ale-yeast";
  start.recipe.yeast_kg = 0.0115;
  return gyle::Entry{key, moment(0), "", start};
}

inline gyle::Entry reading(const std::string& key, double celsius = 19.5, int minute = 1) {
  gyle::Reading read;
  read.sight = gyle::Sight::temperature;
  read.stage = gyle::Stage::fermenter;
  read.value = celsius;
  return gyle::Entry{key, moment(minute), "", read};
}

inline Store new_store(const std::string& path) { return must(Store::open(path, Mode::create, 200ms)); }

inline void add(Store& store, const std::string& gyle, std::vector<gyle::Entry> entries) {
  must(store.append_to_gyle(gyle, entries));
}

// A little of everything.
inline void fill(Store& store) {
  must(store.append_to_larder(std::vector<StockEntry>{
      {"in-1", moment(-60), "", TookIn{"pale-malt", 5.0, Day(std::chrono::year(2027) / 3 / 31), "sack from the mill"}},
      {"in-2", moment(-59), "", TookIn{"home-hops", 0.1, {}, ""}},
      {"open-1", moment(-58), "", Opened{"pale-malt", Day(std::chrono::year(2026) / 11 / 1)}},
      {"count-1", moment(-57), "", Counted{"ale-yeast", 0.023}}}));
  process::Kit kit;
  kit.name = "shed kettle";
  must(store.state_kit(kit, "kit-1", moment(-50)));
  must(store.keep_brief("saltmarsh", KeptBrief{"The Saltmarsh Round", "name = \"The Saltmarsh Round\"\n"}, "brief-1",
                        moment(-40)));
  must(store.keep_brief("saltmarsh", KeptProposal{"first", std::get<gyle::Started>(started("x").what).recipe},
                        "proposal-1", moment(-39)));
  must(store.append(
      std::vector<Line>{{"round/autumn", "round-1", "drawn", 1, moment(-30), "", R"({"z":1,"a":[1,2]})"}}));
  add(store, "g1",
      {started("g1-start"),
       reading("g1-r1"),
       reading("g1-r2", 20.25, 2),
       {"g1-mash", moment(3), "", gyle::Reached{gyle::Stage::mash}},
       {"g1-note", moment(4), "", gyle::Note{"smells of Brötchen and \"smoke\"\n"}},
       {"g1-strike", moment(5), "g1-r1", gyle::Struck{"thermometer was in the wrong vessel"}}});
}

}  // namespace oddgrist::store
