#include "files/brief_file.hpp"

#include <filesystem>
#include <numeric>
#include <regex>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "files/text_file.hpp"
#include "larder/catalogue.hpp"

namespace oddgrist::files {
namespace {

namespace fs = std::filesystem;
using compose::Brief;
using compose::Measure;
using larder::Component;

const fs::path source_folder = ODDGRIST_SOURCE_DIR;

std::string said(const Problems& problems) {
  std::string lines;
  for (const Problem& problem : problems) lines += problem_line(problem) + '\n';
  return lines;
}

const compose::Wish* wish(const Brief& brief, Measure measure) {
  for (const compose::Wish& one : brief.wishes) {
    if (one.measure == measure) return &one;
  }
  return nullptr;
}

double sum_of_fractions(const larder::Ingredient& ingredient) {
  const auto& fractions = ingredient.composition.mass_fraction;
  return std::accumulate(fractions.begin(), fractions.end(), 0.0);
}

const std::string frame = "[want]\nvolume = \"10 L\"\n[[have]]\nitem = \"neutral ale yeast\"\n";

TEST(BriefFile, EveryExampleCanBeRead) {
  int count = 0;
  for (const auto& entry : fs::directory_iterator(source_folder / "examples")) {
    if (!entry.is_regular_file()) continue;  // water reports have a folder of their own
    const auto brief = read_brief_file(entry.path().string());
    EXPECT_TRUE(brief) << (brief ? "" : said(brief.problems()));
    ++count;
  }
  EXPECT_GE(count, 6);
}

TEST(BriefFile, SaltmarshSaysWhatTheFileSays) {
  const auto read = read_brief_file((source_folder / "examples/saltmarsh-round.toml").string());
  ASSERT_TRUE(read) << said(read.problems());
  const Brief& brief = read.value();
  EXPECT_EQ(brief.name, "Saltmarsh harvest ale");
  EXPECT_DOUBLE_EQ(brief.kit.kettle.in(litre), 16.0);
  EXPECT_DOUBLE_EQ(brief.kit.boil_off.in(litre_per_hour), 2.2);
  EXPECT_EQ(brief.kit.mash_method, process::MashMethod::full_volume_bag);
  ASSERT_EQ(brief.given.size(), 3U);
  EXPECT_EQ(brief.given[0].ingredient.id, "smoked-wheat-malt");
  EXPECT_EQ(brief.given[0].must->sense, compose::Must::Sense::all);
  EXPECT_DOUBLE_EQ(brief.given[0].must->low.in(gram), 350.0);
  EXPECT_DOUBLE_EQ(brief.given[1].ingredient.hop->alpha_low, 0.03);
  EXPECT_DOUBLE_EQ(brief.given[1].ingredient.hop->alpha_high, 0.08);
  EXPECT_TRUE(brief.given[1].ingredient.hop->home_dried);
  EXPECT_EQ(brief.given[2].must->sense, compose::Must::Sense::between);
  EXPECT_DOUBLE_EQ(brief.given[2].must->low.in(gram), 20.0);
  EXPECT_DOUBLE_EQ(brief.given[2].must->high.in(gram), 60.0);
  EXPECT_EQ(brief.given[2].route, compose::Route::infusion);
  EXPECT_EQ(brief.have.size(), 11U);
  EXPECT_EQ(brief.most_hops, 2);
  ASSERT_NE(wish(brief, Measure::volume), nullptr);
  EXPECT_NEAR(wish(brief, Measure::volume)->low, 9.8, 1e-12);  // one value means 2 % to either side
  EXPECT_NEAR(wish(brief, Measure::volume)->high, 10.2, 1e-12);
  EXPECT_NEAR(wish(brief, Measure::alcohol)->low, 5.8, 1e-12);
  EXPECT_NEAR(wish(brief, Measure::final_gravity)->high, 1.016, 1e-12);
}

// Hand count: want.volume stands in line 2, its value begins in column 10.
TEST(BriefFile, PlacesAreLinesAndColumnsOfTheFile) {
  const auto read = read_brief_text(frame, "b.toml");
  ASSERT_TRUE(read) << said(read.problems());
  EXPECT_EQ(read.value().wishes[0].place.line, 2);
  EXPECT_EQ(read.value().wishes[0].place.column, 10);
  EXPECT_EQ(read.value().have[0].place.line, 3);
}

TEST(BriefFile, UsUnitsAreReadAsWhatTheyAre) {
  const auto read = read_brief_text("[kit]\nkettle = \"5 US gal\"\nroom = \"68 °F\"\n" + frame, "b.toml");
  ASSERT_TRUE(read) << said(read.problems());
  EXPECT_NEAR(read.value().kit.kettle.in(litre), 18.92705892, 1e-9);  // 5 x 231 cubic inches
  EXPECT_NEAR(read.value().kit.room.in(celsius), 20.0, 1e-9);
}

TEST(BriefFile, ARangeMayBeWrittenInWords) {
  const auto read = read_brief_text(
      "[want]\nvolume = \"10 L\"\nalcohol = \"5.8 to 6.2 %\"\n[[have]]\nitem = \"ale yeast\"\n", "b.toml");
  ASSERT_TRUE(read) << said(read.problems());
  EXPECT_NEAR(wish(read.value(), Measure::alcohol)->low, 5.8, 1e-12);
  EXPECT_NEAR(wish(read.value(), Measure::alcohol)->high, 6.2, 1e-12);
}

// 61.017 mg of bicarbonate and 50.04 mg of calcium carbonate are one milliequivalent (atomic weights of IUPAC 2021, abridged).
TEST(BriefFile, WaterReportsBecomeIons) {
  const auto read =
      read_brief_text(frame +
                          "[[water]]\nname = \"tap\"\ncalcium = \"80 mg/L\"\nbicarbonate = \"122.034 mg/L\"\n"
                          "[[water]]\nname = \"well\"\namount = \"10 L\"\nalkalinity-as-caco3 = \"100.09 mg/L\"\n",
                      "b.toml");
  ASSERT_TRUE(read) << said(read.problems());
  ASSERT_EQ(read.value().waters.size(), 2U);
  EXPECT_DOUBLE_EQ(read.value().waters[0].ions.calcium_mg_per_l, 80.0);
  EXPECT_NEAR(read.value().waters[0].ions.alkalinity_meq_per_l, 2.0, 2e-4);
  EXPECT_NEAR(read.value().waters[1].ions.alkalinity_meq_per_l, 2.0, 2e-4);
  EXPECT_DOUBLE_EQ(read.value().waters[1].amount->in(litre), 10.0);
}

TEST(BriefFile, MashPhAndIonsAreWishes) {
  const auto read = read_brief_text(
      "[want]\nvolume = \"10 L\"\nmash-ph = [5.2, 5.5]\nsulphate = \"100 mg/L\"\n"
      "[[have]]\nitem = \"ale yeast\"\n",
      "b.toml");
  ASSERT_TRUE(read) << said(read.problems());
  EXPECT_DOUBLE_EQ(wish(read.value(), Measure::mash_ph)->low, 5.2);
  EXPECT_DOUBLE_EQ(wish(read.value(), Measure::mash_ph)->high, 5.5);
  EXPECT_DOUBLE_EQ(wish(read.value(), Measure::sulphate)->low, 90.0);
  EXPECT_DOUBLE_EQ(wish(read.value(), Measure::sulphate)->high, 110.0);
}

TEST(BriefFile, WeightsReachTheirWish) {
  const auto read = read_brief_text(
      "[want]\nvolume = \"10 L\"\nalcohol = \"5 %\"\nmatters = { alcohol = 3 }\n[[have]]\nitem = \"ale yeast\"\n",
      "b.toml");
  ASSERT_TRUE(read) << said(read.problems());
  EXPECT_EQ(wish(read.value(), Measure::alcohol)->weight, 3.0);
  EXPECT_EQ(wish(read.value(), Measure::volume)->weight, 1.0);
}

TEST(BriefFile, OverridesKeepTheMassesAWhole) {
  const std::string text = frame +
                           "[[have]]\nitem = \"Munich malt\"\nextract = \"75 %\"\ncolour = \"22 EBC\"\n"
                           "[[have]]\nitem = \"Golding\"\nalpha = \"6 %\"\n";
  const auto read = read_brief_text(text, "b.toml");
  ASSERT_TRUE(read) << said(read.problems());
  const larder::Ingredient& malt = read.value().have[1].ingredient;
  EXPECT_NEAR(sum_of_fractions(malt), 1.0, 1e-9);
  EXPECT_NEAR(larder::extract_of(malt.composition), 0.75, 1e-9);
  const larder::Ingredient& hop = read.value().have[2].ingredient;
  EXPECT_NEAR(sum_of_fractions(hop), 1.0, 1e-9);
  EXPECT_NEAR(hop.composition[Component::alpha_acid], 0.06, 1e-12);
}

TEST(BriefFile, OwnItemComesBeforeTheCatalogue) {
  const std::string text =
      frame +
      "[[item]]\nname = \"honey\"\ndeclared = \"honey\"\n[item.packet]\nper = \"100 g\"\nfat = \"0 g\"\n"
      "carbohydrate = \"81 g\"\nsugars = \"80 g\"\nprotein = \"0.3 g\"\n[[given]]\nitem = \"honey\"\namount = \"1 "
      "kg\"\n";
  const auto read = read_brief_text(text, "b.toml");
  ASSERT_TRUE(read) << said(read.problems());
  EXPECT_EQ(read.value().given[0].ingredient.declared_ingredients, "honey");
}

TEST(BriefFile, AllProblemsComeAtOnceAndInOrder) {
  const auto read =
      read_brief_text("[kit]\nkettle = 16\nboil_off = \"2 L/h\"\n[want]\nvolume = \"10 gal\"\n", "b.toml");
  ASSERT_FALSE(read);
  ASSERT_EQ(read.problems().size(), 3U) << said(read.problems());
  EXPECT_EQ(read.problems()[0].place.line, 2);
  EXPECT_EQ(read.problems()[1].place.line, 3);
  EXPECT_EQ(read.problems()[2].place.line, 5);
}

// Every TOML block of the format's page is a brief, or part of one.
TEST(BriefFile, EveryBlockOfTheDocsCanBeRead) {
  const auto page = read_text_file((source_folder / "docs/file-format.md").string());
  ASSERT_TRUE(page);
  const std::string& text = page.value();
  static const std::regex block("```toml\n([^`]*)```");
  int count = 0;
  for (std::sregex_iterator it(text.begin(), text.end(), block), end; it != end; ++it) {
    std::string brief_text = (*it)[1];
    if (brief_text.find("[want]") == std::string::npos) brief_text += "\n[want]\nvolume = \"10 L\"\n";
    if (brief_text.find("yeast") == std::string::npos) brief_text += "\n[[have]]\nitem = \"neutral ale yeast\"\n";
    const auto brief = read_brief_text(brief_text, "docs/file-format.md");
    EXPECT_TRUE(brief) << (brief ? "" : said(brief.problems())) << brief_text;
    ++count;
  }
  EXPECT_GE(count, 5);
}

// Whatever one does to a brief, reading it ends in a brief or in problems that each say something.
RC_GTEST_PROP(BriefFileProperty, AnyDamageEndsInWords, ()) {
  static const std::string whole = read_text_file((source_folder / "examples/saltmarsh-round.toml").string()).value();
  // What a slip of the hand leaves: mostly still text, often still TOML. Bytes that are no text have tests of their own.
  static const std::string letters = "0123456789-.,%\"=[]{}#\n aegilmnortuLk";
  std::string text = whole;
  const int cuts = *rc::gen::inRange(1, 5);
  for (int i = 0; i < cuts; ++i) {
    const std::size_t at = *rc::gen::inRange<std::size_t>(0, text.size());
    const std::size_t length = *rc::gen::inRange<std::size_t>(0, 12);
    text.replace(at, length, *rc::gen::container<std::string>(rc::gen::elementOf(letters)));
  }
  const auto read = read_brief_text(text, "damaged.toml");
  if (read) return;
  RC_ASSERT(!read.problems().empty());
  for (const Problem& problem : read.problems()) {
    RC_ASSERT(!problem.what.empty());
    RC_ASSERT(problem.place.file == "damaged.toml");
  }
}

// Hops lose alpha acid in store: the range drops, and the low end faster than the high one.
TEST(BriefFile, OldHopsAreWeakerAndLessCertain) {
  const auto with = [](const std::string& more) {
    const auto read =
        read_brief_text(frame + "[[have]]\nitem = \"Northern Brewer\"\nalpha = \"9 %\"\n" + more, "b.toml");
    EXPECT_TRUE(read) << (read ? "" : said(read.problems()));
    return read.value().have.back().ingredient.hop.value();
  };
  const auto fresh = with(""), old = with("aged = \"300 days\"\nkept-at = \"18 °C\"\n"),
             cold = with("aged = \"300 days\"\nkept-at = \"-18 °C\"\n");
  EXPECT_LT(old.alpha_high, fresh.alpha_low);
  EXPECT_GT(old.alpha_high - old.alpha_low, fresh.alpha_high - fresh.alpha_low);
  EXPECT_GT(cold.alpha_low, old.alpha_low);
}

TEST(BriefFile, AltitudeSetsTheBoilingPoint) {
  const auto read = read_brief_text("[kit]\naltitude = \"2000 m\"\nhot-stand = \"20 min\"\n" + frame, "b.toml");
  ASSERT_TRUE(read) << said(read.problems());
  // 2000 m: 795 hPa (ICAO standard atmosphere), where water boils at 93.3 C (steam tables); both from memory.
  EXPECT_NEAR(read.value().kit.boiling_point.in(celsius), 93.3, 0.1);
  EXPECT_NEAR(read.value().kit.hot_stand.in(minute), 20.0, 1e-9);
  EXPECT_FALSE(read_brief_text("[kit]\naltitude = \"2000 m\"\nboiling-point = \"95 °C\"\n" + frame, "b.toml"));
}

}  // namespace
}  // namespace oddgrist::files
