// The next brief is the last one with what changed written into it.
#include <filesystem>

#include <gtest/gtest.h>

#include "files/brief_file.hpp"
#include "files/changed_brief.hpp"
#include "files/text_file.hpp"

namespace oddgrist::files {
namespace {

compose::Brief read(const std::string& text) {
  auto brief = read_brief_text(text, "brief.toml");
  EXPECT_TRUE(brief) << problem_line(brief.problems().front());
  return brief ? brief.value() : compose::Brief{};
}

std::string changed(const std::string& text, const compose::Brief& after) {
  const auto again = changed_brief_text(text, read(text), after);
  EXPECT_TRUE(again) << problem_line(again.problems().front());
  return again ? again.value() : std::string();
}

std::vector<std::string> examples() {
  std::vector<std::string> paths;
  for (const auto& entry : std::filesystem::directory_iterator(ODDGRIST_SOURCE_DIR "/examples")) {
    if (entry.path().extension() == ".toml" && read_brief_file(entry.path().string()))
      paths.push_back(entry.path().string());
  }
  return paths;
}

TEST(ChangedBrief, StaysAsItIsIfNothingChanged) {
  ASSERT_GT(examples().size(), 3u);
  for (const std::string& path : examples()) {
    const std::string text = read_text_file(path).value();
    EXPECT_EQ(changed(text, read(text)), text) << path;
  }
}

TEST(ChangedBrief, ReadsBackAsWhatWasMeant) {
  for (const std::string& path : examples()) {
    const std::string text = read_text_file(path).value();
    compose::Brief after = read(text);
    after.kit.boil_off = 1.37 * after.kit.boil_off;
    after.kit.conversion = 87.4 * percent;
    after.kit.held_by_grain = 0.812 * litre_per_kilogram;
    after.carbonation_volumes = 2.15;
    for (compose::Wish& wish : after.wishes) {
      const bool writes = wish.measure == compose::Measure::bitterness || wish.measure == compose::Measure::colour;
      if (!writes) continue;
      wish.low *= 0.8;
      wish.high *= 1.1;
    }
    const std::string again = changed(text, after);
    const compose::Brief is = read(again);
    EXPECT_NEAR(is.kit.boil_off.in(litre_per_hour), after.kit.boil_off.in(litre_per_hour), 6e-4) << path;
    EXPECT_NEAR(is.kit.conversion.in(percent), 87.4, 1e-9) << path;
    EXPECT_NEAR(is.kit.held_by_grain.in(litre_per_kilogram), 0.812, 1e-9) << path;
    EXPECT_NEAR(is.carbonation_volumes, 2.15, 1e-9) << path;
    ASSERT_EQ(is.wishes.size(), after.wishes.size());
    for (std::size_t w = 0; w < is.wishes.size(); ++w) {
      EXPECT_NEAR(is.wishes[w].low, after.wishes[w].low, 0.051) << path;
      EXPECT_NEAR(is.wishes[w].high, after.wishes[w].high, 0.051) << path;
      EXPECT_EQ(is.wishes[w].weight, after.wishes[w].weight) << path;
    }
    EXPECT_EQ(is.have.size(), after.have.size());
    EXPECT_EQ(is.kit.boil, after.kit.boil);
    EXPECT_EQ(changed(again, read(again)), again) << path;
  }
}

constexpr const char* bare = R"([want] # für später
volume = "10 L"
bitterness = "25 IBU" # no more
[[given]]
item = "pale ale malt" # so
amount = "2 kg"
[[have]]
item = "neutral ale yeast"
amount = "11.5 g")";

TEST(ChangedBrief, KeepsCommentsAndAddsWhatWasNotThere) {
  compose::Brief after = read(bare);
  after.wishes[1].low = 20.0;
  after.wishes[1].high = 24.0;
  after.carbonation_volumes = 2.0;
  after.kit.boil_off = 3.5 * litre_per_hour;
  after.given[0].must->sense = compose::Must::Sense::between;
  after.given[0].must->low = 1.4 * kilogram;
  const std::string again = changed(bare, after);
  for (const char* part :
       {"[want] # für später\ncarbonation = \"2.00 vol\"\n", "bitterness = [\"20.0 IBU\", \"24.0 IBU\"] # no more",
        "item = \"pale ale malt\" # so", "use = \"1400 g to 2000 g\"", "[kit]\nboil-off = \"3.500 L/h\"\n"})
    EXPECT_NE(again.find(part), std::string::npos) << part << " in\n" << again;
}

TEST(ChangedBrief, WritesIntoTablesHoweverTheyAreWritten) {
  for (const std::string kit : {"kit = { boil = \"70 min\" }\n", "kit.boil = \"70 min\"\n", "kit = {}\n"}) {
    const std::string text = kit + bare;
    compose::Brief after = read(text);
    after.kit.boil_off = 3.5 * litre_per_hour;
    const compose::Brief is = read(changed(text, after));
    EXPECT_NEAR(is.kit.boil_off.in(litre_per_hour), 3.5, 1e-9) << kit;
    EXPECT_EQ(is.kit.boil, after.kit.boil) << kit;
  }
}

TEST(ChangedBrief, RefusesWhatCannotBeRead) {
  compose::Brief after = read(bare);
  after.kit.conversion = 20.0 * percent;  // below what a brief may say
  const auto refused = changed_brief_text(bare, read(bare), after);
  ASSERT_FALSE(refused);
  EXPECT_FALSE(refused.problems().front().remedy.empty());
}

}  // namespace
}  // namespace oddgrist::files
