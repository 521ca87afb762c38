#include "store/store.hpp"

#include "gyle/state.hpp"
#include "sample.hpp"
#include "store/kept_round.hpp"

namespace oddgrist::store {
namespace {

class StoreTest : public StoreFolder {};

const StockLine* line_for(const std::vector<StockLine>& stock, const std::string& ingredient) {
  for (const StockLine& line : stock) {
    if (line.ingredient == ingredient) return &line;
  }
  return nullptr;
}

double kg_of(const Store& store, const std::string& ingredient) {
  const auto stock = must(store.stock());
  const StockLine* line = line_for(stock, ingredient);
  return line == nullptr ? -1e9 : line->kg;
}

TEST_F(StoreTest, KeepsWhatItIsGiven) {
  {
    Store store = new_store(path("a/b/store.db"));
    fill(store);
  }
  const Store store = must(Store::open(path("a/b/store.db"), Mode::read));
  const auto log = must(store.gyle("g1"));
  ASSERT_EQ(log.size(), 6U);
  EXPECT_EQ(std::get<gyle::Started>(log[0].what).recipe, std::get<gyle::Started>(started("x").what).recipe);
  EXPECT_EQ(std::get<gyle::Reading>(log[2].what).value, 20.25);
  EXPECT_EQ(log[2].at, moment(2));
  EXPECT_EQ(std::get<gyle::Note>(log[4].what).text, "smells of Brötchen and \"smoke\"\n");
  EXPECT_EQ(log[5].mends, "g1-r1");
  const auto page = must(store.gyles({}));
  ASSERT_EQ(page.lines.size(), 1U);
  const GyleLine& line = page.lines[0];
  EXPECT_EQ(line.name, "Harvest ale");
  EXPECT_EQ(line.brief, "The Saltmarsh Round");
  EXPECT_EQ(line.kit, "shed kettle");
  EXPECT_EQ(line.stage, gyle::Stage::mash);
  EXPECT_EQ(line.entries, 6);
  EXPECT_EQ(line.changed_at, moment(5));
  EXPECT_EQ(must(store.kits()).at(0).kit.name, "shed kettle");
  EXPECT_EQ(must(store.briefs()).at(0).name, "The Saltmarsh Round");
  EXPECT_EQ(must(store.brief("saltmarsh")).proposals.size(), 1U);
  EXPECT_TRUE(must(store.check()).sound());
  EXPECT_FALSE(store.gyle("g2"));
}

TEST_F(StoreTest, TheSameKeyTwiceWritesOnce) {
  Store store = new_store(path("s.db"));
  add(store, "g", {started("start")});
  const std::vector<gyle::Entry> two = {reading("r1"), reading("r2")};
  const auto first = must(store.append_to_gyle("g", two));
  const auto again = must(store.append_to_gyle("g", two));
  EXPECT_EQ(first.written, 2U);
  EXPECT_EQ(again.written, 0U);
  EXPECT_EQ(first.ids, again.ids);
  const std::int64_t last = must(store.last_id());
  // Another value under the same key is refused, and what came with it too.
  const auto other = store.append_to_gyle("g", std::vector<gyle::Entry>{reading("r3"), reading("r1", 30.0)});
  ASSERT_FALSE(other);
  EXPECT_EQ(other.problems().front().field, "entries[1].key");
  EXPECT_EQ(must(store.last_id()), last);
  // A start sent twice takes its stock once.
  must(store.append_to_gyle("g", std::vector<gyle::Entry>{started("start")}));
  EXPECT_EQ(kg_of(store, "pale-malt"), -2.0);
}

TEST_F(StoreTest, RefusesWhatMakesNoSense) {
  Store store = new_store(path("s.db"));
  const auto refused = [&](const Line& line, const std::string& field) {
    const auto result = store.append(std::vector<Line>{line});
    ASSERT_FALSE(result) << line.body;
    EXPECT_EQ(result.problems().front().field, "entries[0]" + field) << words_of(result.problems());
    EXPECT_FALSE(result.problems().front().remedy.empty());
  };
  refused({"gyle/g", "k", "note", 1, moment(0), "", R"({"text":"x"})"}, "");
  add(store, "g", {started("start")});
  const std::int64_t last = must(store.last_id());
  refused({"gyle/g", "k", "note", 1, moment(0), "", R"({"text":""})"}, ".body.text");
  refused({"gyle/g", "k", "note", 2, moment(0), "", R"({"text":"x"})"}, ".version");
  refused({"gyle/g", "k k", "note", 1, moment(0), "", R"({"text":"x"})"}, ".key");
  refused({"gyle/g", "stock/9", "note", 1, moment(0), "", R"({"text":"x"})"}, ".key");
  refused({"gyle/g", "k", "note", 1, moment(0), "nobody", R"({"text":"x"})"}, ".mends");
  refused({"gyle/g", "k", "struck", 1, moment(0), "", R"({"why":"x"})"}, ".mends");
  refused({"gyle/g", "k", "note", 1, moment(-60 * 24 * 365 * 80), "", R"({"text":"x"})"}, ".at");
  refused({"gyle/g", "k", "reading", 1, moment(0), "", R"({"sight":"gravity","stage":"boil","value":1050})"},
          ".body.value");
  refused({"gyle/g", "k", "brewed", 1, moment(0), "", "{}"}, ".kind");
  refused({"gyle/", "k", "note", 1, moment(0), "", R"({"text":"x"})"}, ".stream");
  refused({"gyle/a/b", "k", "note", 1, moment(0), "", R"({"text":"x"})"}, ".stream");
  refused({"cellar", "k", "note", 1, moment(0), "", R"({"text":"x"})"}, ".stream");
  refused({"kit/a", "k", "stated", 1, moment(0), "", R"({"name":"b","mash_method":"sparged"})"}, ".body.name");
  refused({"round/a", "k", "drawn", 1, moment(0), "", "[1]"}, ".body");
  refused({"round/a", "k", "drawn", 1, moment(0), "", "{"}, ".");
  EXPECT_FALSE(store.append_to_gyle("g", std::vector<gyle::Entry>{started("again")}));
  EXPECT_FALSE(store.append_to_gyle("g", std::vector<gyle::Entry>{{"bad", moment(0), "", gyle::Note{"\xC3("}}}));
  EXPECT_EQ(must(store.last_id()), last);
}

TEST_F(StoreTest, StartingAGyleTakesItsIngredientsOutOfStock) {
  Store store = new_store(path("s.db"));
  fill(store);
  EXPECT_DOUBLE_EQ(kg_of(store, "pale-malt"), 3.0);
  EXPECT_DOUBLE_EQ(kg_of(store, "home-hops"), 0.055);
  EXPECT_DOUBLE_EQ(kg_of(store, "ale-yeast"), 0.0115);
  EXPECT_EQ(kg_of(store, "water"), -1e9);
  const auto stock = must(store.stock());
  EXPECT_EQ(line_for(stock, "pale-malt")->opened_on, Day(std::chrono::year(2026) / 11 / 1));
  EXPECT_EQ(line_for(stock, "pale-malt")->best_before, Day(std::chrono::year(2027) / 3 / 31));
  // More than there is: written all the same, and asked about.
  const auto second = must(store.append_to_gyle("g2", std::vector<gyle::Entry>{started("g2-start", 4.0)}));
  ASSERT_EQ(second.shortfalls.size(), 1U);
  EXPECT_EQ(second.shortfalls[0].ingredient, "pale-malt");
  EXPECT_DOUBLE_EQ(second.shortfalls[0].left_kg, -1.0);
  EXPECT_TRUE(second.shortfalls[0].ever_in);
  add(store, "g2", {{"g2-added", moment(9), "", gyle::Added{{"quince", compose::Recipe::Into::fermenter, 0.0, 0.5}}}});
  EXPECT_DOUBLE_EQ(kg_of(store, "quince"), -0.5);
  add(store, "g2",
      {{"g2-missed", moment(10), "", gyle::Missed{{"pale-malt", compose::Recipe::Into::grist, 0.0, 1.5}}}});
  EXPECT_DOUBLE_EQ(kg_of(store, "pale-malt"), 0.5);
  EXPECT_TRUE(must(store.check()).sound());
}

TEST_F(StoreTest, MendingAGyleMendsTheStockInItsPlace) {
  Store store = new_store(path("s.db"));
  fill(store);
  // Counted after the start: a correction of the start must not be reckoned on top of the count.
  must(store.append_to_larder(std::vector<StockEntry>{{"count-2", moment(20), "", Counted{"pale-malt", 2.9}}}));
  gyle::Entry corrected = started("g1-start-2", 2.5);
  corrected.mends = "g1-start";
  add(store, "g1", {corrected});
  EXPECT_DOUBLE_EQ(kg_of(store, "pale-malt"), 2.9);
  // Not counted since: it follows the correction. So does striking it out, and striking that out.
  EXPECT_DOUBLE_EQ(kg_of(store, "ale-yeast"), 0.0115);
  add(store, "g1", {{"no", moment(30), "g1-start-2", gyle::Struck{"never brewed"}}});
  // The first start holds again.
  EXPECT_DOUBLE_EQ(kg_of(store, "ale-yeast"), 0.0115);
  add(store, "g1", {{"none", moment(31), "g1-start", gyle::Struck{"nothing was brewed"}}});
  EXPECT_DOUBLE_EQ(kg_of(store, "ale-yeast"), 0.023);
  EXPECT_DOUBLE_EQ(kg_of(store, "pale-malt"), 2.9);
  add(store, "g1", {{"yes", moment(32), "none", gyle::Struck{"it was, though"}}});
  EXPECT_DOUBLE_EQ(kg_of(store, "ale-yeast"), 0.0115);
  EXPECT_TRUE(must(store.check()).sound());
}

TEST_F(StoreTest, WhatTheBrewerMendsByHandStays) {
  Store store = new_store(path("s.db"));
  fill(store);
  std::string key;
  for (const Logged& entry : must(store.entries("larder"))) {
    if (entry.line.kind == "used" && entry.line.body.find("pale-malt") != std::string::npos) key = entry.line.key;
  }
  must(store.append_to_larder(std::vector<StockEntry>{{"hand", moment(8), key, Used{"pale-malt", 1.8, "g1", ""}}}));
  EXPECT_DOUBLE_EQ(kg_of(store, "pale-malt"), 3.2);
  gyle::Entry corrected = started("g1-start-2", 2.5);
  corrected.mends = "g1-start";
  add(store, "g1", {corrected});
  EXPECT_DOUBLE_EQ(kg_of(store, "pale-malt"), 3.2);
  EXPECT_TRUE(must(store.check()).sound());
}

TEST_F(StoreTest, StockEntriesAreMended) {
  Store store = new_store(path("s.db"));
  must(store.append_to_larder(std::vector<StockEntry>{{"a", moment(0), "", TookIn{"honey", 5.0, {}, ""}},
                                                      {"b", moment(1), "", Used{"honey", 1.0, "", ""}},
                                                      {"c", moment(2), "", Counted{"honey", 3.5}}}));
  must(store.append_to_larder(
      std::vector<StockEntry>{{"d", moment(3), "a", TookIn{"honey", 4.0, {}, "misread the label"}}}));
  EXPECT_DOUBLE_EQ(kg_of(store, "honey"), 3.5);
  must(store.append_to_larder(std::vector<StockEntry>{{"e", moment(4), "c", gyle::Struck{""}}}));
  EXPECT_DOUBLE_EQ(kg_of(store, "honey"), 3.0);
  must(store.append_to_larder(std::vector<StockEntry>{{"f", moment(5), "d", TookIn{"heather-honey", 4.0, {}, ""}}}));
  EXPECT_DOUBLE_EQ(kg_of(store, "honey"), -1.0);
  EXPECT_DOUBLE_EQ(kg_of(store, "heather-honey"), 4.0);
  must(store.append_to_larder(std::vector<StockEntry>{{"g", moment(6), "b", gyle::Struck{""}}}));
  EXPECT_EQ(kg_of(store, "honey"), -1e9) << "nothing that holds speaks of it";
  must(store.append_to_larder(std::vector<StockEntry>{{"h", moment(7), "g", gyle::Struck{"it was used after all"}}}));
  EXPECT_DOUBLE_EQ(kg_of(store, "honey"), -1.0);
  EXPECT_TRUE(must(store.check()).sound());
}

TEST_F(StoreTest, ListsFilterAndPage) {
  Store store = new_store(path("s.db"));
  for (int i = 0; i < 12; ++i)
    add(store, fmt::format("g{}", i), {started(fmt::format("s{}", i), 1.0, fmt::format("Ale number {}", i))});
  add(store, "g3", {{"boil", moment(1), "", gyle::Reached{gyle::Stage::boil}}});
  EXPECT_EQ(must(store.gyles({})).lines.front().id, "g3");
  EXPECT_EQ(must(store.gyles({"", gyle::Stage::boil, 0, 50})).all, 1);
  EXPECT_EQ(must(store.gyles({"NUMBER 1", {}, 0, 50})).all, 3);
  EXPECT_EQ(must(store.gyles({"100%", {}, 0, 50})).all, 0);
  const auto page = must(store.gyles({"", {}, 10, 5}));
  EXPECT_EQ(page.all, 12);
  EXPECT_EQ(page.lines.size(), 2U);
  // The stage goes back when the entry that said so is struck out, and agrees with the gyle's own reading of its log.
  add(store, "g3",
      {{"mash", moment(2), "", gyle::Reached{gyle::Stage::mash}}, {"u", moment(3), "mash", gyle::Struck{""}}});
  EXPECT_EQ(must(store.gyles({"number 3", {}, 0, 50})).lines.at(0).stage, gyle::Stage::boil);
  EXPECT_EQ(gyle::holding(must(store.gyle("g3")), nullptr).size(), 2U);
}

TEST_F(StoreTest, FindsWords) {
  Store store = new_store(path("s.db"));
  fill(store);
  const auto found = must(store.search("brotch smoke"));
  ASSERT_EQ(found.size(), 1U) << "accents do not count, and the beginning of a word is enough";
  EXPECT_EQ(found[0].entry.line.key, "g1-note");
  EXPECT_TRUE(found[0].holds);
  add(store, "g1", {{"better", moment(6), "g1-note", gyle::Note{"smells of smoke"}}});
  EXPECT_EQ(must(store.search("Brötchen")).at(0).holds, false);
  EXPECT_TRUE(must(store.search("\" OR NEAR( * -")).empty());
  EXPECT_TRUE(must(store.search("   ")).empty());
}

TEST_F(StoreTest, SaysWhatChanged) {
  Store store = new_store(path("s.db"));
  Store other = must(Store::open(path("s.db"), Mode::read));
  fill(store);
  const std::int64_t before = must(other.last_id());
  add(store, "g1", {reading("new-1"), reading("new-2")});
  const auto changes = must(other.changes_since(before));
  ASSERT_EQ(changes.size(), 2U);
  EXPECT_EQ(changes[0].id, before + 1);
  EXPECT_EQ(changes[1].line.key, "new-2");
  EXPECT_EQ(must(other.changes_since(0, 3)).size(), 3U);
  EXPECT_EQ(must(other.entries("round/autumn")).at(0).line.body, R"({"a":[1,2],"z":1})");
}

TEST_F(StoreTest, ARoundIsWhatItsLastEntriesSay) {
  Store store = new_store(path("s.db"));
  const auto write = [&](const char* round, const char* key, const char* kind, const char* mends, const char* body) {
    must(store.append(std::vector<Line>{{round, key, kind, 1, moment(1), mends, body}}));
  };
  EXPECT_TRUE(must(store.rounds()).empty());
  write("round/autumn", "a", "part", "", R"({"part": "name", "value": "Autumn"})");
  write("round/winter", "b", "part", "", R"({"part": "name", "value": "Winter"})");
  write("round/autumn", "c", "part", "", R"({"part": "guests", "value": "Nell"})");
  write("round/autumn", "d", "sheet", "", R"({"judge": "Nell", "marks": {"K7": {"": 6}}})");
  write("round/autumn", "e", "closed", "", "{}");
  write("round/autumn", "f", "struck", "e", R"({"why": "one sheet was missing"})");
  write("round/autumn", "g", "part", "", R"({"part": "guests", "value": null})");
  write("round/autumn", "h", "from-a-newer-program", "", R"({"x": 1})");
  EXPECT_EQ(must(store.rounds()), (std::vector<std::string>{"autumn", "winter"}));
  const KeptRound autumn = must(kept_round(store, "autumn"));
  EXPECT_EQ(autumn.parts.size(), 1U);
  EXPECT_EQ(autumn.parts.at("name"), "Autumn");
  EXPECT_EQ(autumn.sheets.at("Nell").dump(), R"({"K7":{"":6}})");
  EXPECT_FALSE(autumn.closed) << "the closing was struck out";
  EXPECT_EQ(autumn.entries, 7);
  EXPECT_EQ(must(kept_round(store, "spring")).entries, 0);
}

TEST_F(StoreTest, DefaultPlace) {
  ::setenv("ODDGRIST_STORE", "/x/y.db", 1);
  EXPECT_EQ(default_store_path(), "/x/y.db");
  ::unsetenv("ODDGRIST_STORE");
  ::setenv("XDG_DATA_HOME", "/data", 1);
  EXPECT_EQ(default_store_path(), "/data/oddgrist/store.db");
  ::setenv("XDG_DATA_HOME", "relative", 1);
  ::setenv("HOME", "/brewer", 1);
  EXPECT_EQ(default_store_path(), "/brewer/.local/share/oddgrist/store.db");
  ::unsetenv("XDG_DATA_HOME");
}

}  // namespace
}  // namespace oddgrist::store
