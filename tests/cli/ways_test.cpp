// One brief for each way of brewing: the recipe is brewed that way, and no line of its sheet speaks of what is not done.
#include <algorithm>
#include <string>
#include <vector>

#include <gtest/gtest.h>

#include "compose/proposal.hpp"
#include "files/brief_file.hpp"
#include "present/recipe.hpp"
#include "present/run_sheet.hpp"
#include "process/way.hpp"

namespace oddgrist {
namespace {

using process::Way;

struct Case {
  const char* file;
  Way way;
  std::vector<const char*> said;    // somewhere on the sheet
  std::vector<const char*> unsaid;  // nowhere on the sheet, nor in the recipe
};

const std::vector<const char*> of_grain = {"mash", "the bag", "strike", "rest at", "grain", "lumps", "squeeze"};
const std::vector<const char*> of_boiling = {"Rolling boil", "to go", "Flame out", "flame-out", "before boiling"};

std::vector<const char*> with(std::vector<const char*> words, const std::vector<const char*>& more) {
  words.insert(words.end(), more.begin(), more.end());
  return words;
}

const std::vector<Case>& cases() {
  static const std::vector<Case> all = {
      {"malt-extract", Way::extract, {"Heat off, stir in until dissolved", "Rolling boil"}, with(of_grain, {"Top up"})},
      {"steeped-grain", Way::steep, {"let the grain steep", "Lift the bag"}, {"mash", "lumps", "rest at"}},
      {"part-mash", Way::part_mash, {"mash water", "Lift the bag", "stir in until dissolved"}, {"Top up with"}},
      {"part-boil", Way::part_boil, {"Boil ", "of water for the fermenter", "Top up with"}, of_grain},
      {"strong-wort", Way::diluted, {"Lift the bag", "cold water fit to drink"}, {"boiled, cooled water"}},
      {"no-boil", Way::no_boil, {"must not boil", "Hold it there"}, of_boiling},
      {"no-malt", Way::no_malt, {"honey", "Rolling boil"}, of_grain},
      {"sparged-keg", Way::sparge, {"Rinse the grain", "Dry hops", "Rack into the keg"}, {"Prime", "the bag,", "cap."}},
      {"late-fruit", Way::bag, {"it cannot be read"}, {"Top up with", "Dry hops"}},
      {"one-litre", Way::bag, {"Lift the bag"}, {"Dry hops"}},
      {"large", Way::sparge, {"Rinse the grain"}, {"Lift the bag"}},
  };
  return all;
}

compose::Brief brief_of(const char* file) {
  const auto read = files::read_brief_file(std::string(ODDGRIST_SOURCE_DIR "/examples/ways/") + file + ".toml");
  if (!read) throw std::runtime_error(std::string(file) + ": " + read.problems().front().what);
  return read.value();
}

std::string actions_of(const std::vector<present::SheetLine>& lines) {
  std::string text;
  for (const auto& line : lines) text += line.clock + " " + line.action + "\n";
  return text;
}

// What stands between the first two headings of a recipe: amounts and water.
std::string what_goes_in(const std::string& recipe) {
  const auto from = recipe.find("What goes in");
  return recipe.substr(from, recipe.find("What comes out") - from);
}

class EveryWay : public testing::TestWithParam<Case> {};
INSTANTIATE_TEST_SUITE_P(Ways, EveryWay, testing::ValuesIn(cases()), [](const auto& each) {
  std::string name = each.param.file;
  std::replace(name.begin(), name.end(), '-', '_');
  return name;
});

TEST_P(EveryWay, IsBrewedThatWayAndSaysNothingElse) {
  const Case& here = GetParam();
  const compose::Brief brief = brief_of(here.file);
  const compose::Answer answer = compose::compose(brief);
  EXPECT_EQ(answer.outcome, compose::Outcome::met);
  const compose::Proposal& proposal = answer.proposals.at(0);
  EXPECT_EQ(process::row_of(proposal.way.way).id, process::row_of(here.way).id);
  EXPECT_TRUE(proposal.forecast.impossible.empty());
  const std::string sheet = actions_of(present::run_sheet(brief, proposal));
  for (const char* words : here.said) EXPECT_NE(sheet.find(words), std::string::npos) << words << "\n" << sheet;
  for (const char* words : here.unsaid) EXPECT_EQ(sheet.find(words), std::string::npos) << words << "\n" << sheet;
  const std::string recipe = what_goes_in(present::recipe_text(brief, answer));
  for (const char* words : here.unsaid) EXPECT_EQ(recipe.find(words), std::string::npos) << words << "\n" << recipe;
}

// Nothing is poured into a kettle that cannot hold it, and the water of the sheet is the water of the recipe.
TEST_P(EveryWay, FitsItsKettleAndAddsUp) {
  const compose::Brief brief = brief_of(GetParam().file);
  const compose::Proposal proposal = compose::compose(brief).proposals.at(0);
  const double room_l = brief.kit.kettle.in(litre) * (1.0 - brief.kit.kettle_headspace.in(ratio));
  EXPECT_LE(proposal.forecast.pre_boil_volume_hot_l, 1.01 * room_l);
  double poured_l = 0.0, fermenter_l = 0.0;
  for (const compose::Pouring& water : proposal.waters) {
    poured_l += (water.mash + water.sparge_or_top_up + water.fermenter).in(litre);
    fermenter_l += water.fermenter.in(litre);
    if (proposal.way.mashing == process::Mashing::none) EXPECT_DOUBLE_EQ(water.mash.in(litre), 0.0);
  }
  EXPECT_NEAR(poured_l, proposal.forecast.liquor_l, 0.01 * poured_l);
  EXPECT_NEAR(fermenter_l, proposal.forecast.fermenter_water_l, 1e-3);
}

TEST(Ways, AReadingOfTheWortIsThatBeforeTheFruit) {
  const compose::Brief brief = brief_of("late-fruit");
  const compose::Proposal proposal = compose::compose(brief).proposals.at(0);
  for (const auto& line : present::run_sheet(brief, proposal)) {
    if (line.stage != gyle::Stage::fermenter || line.expected.size() != 2 || line.phase != present::Phase::chill)
      continue;
    EXPECT_DOUBLE_EQ(line.expected[1].value, proposal.forecast.wort_gravity_sg);
    EXPECT_GT(std::abs(proposal.forecast.wort_gravity_sg - proposal.forecast.original_gravity_sg), 0.0005);
    return;
  }
  FAIL() << "no reading at the transfer";
}

// Ordinary grists, 1.045 to 1.060, 10 to 25 L. Into the kettle, of the laboratory extract: 70 to 80 % from a bag, 80 to 88 % sparged.
// Common practice, no source.
TEST(Ways, AnOrdinaryKitGivesWhatKitsGive) {
  for (const double litres : {10.0, 18.0, 25.0}) {
    for (const double sg : {1.045, 1.060}) {
      for (const char* mash : {"bag", "sparge"}) {
        const auto read = files::read_brief_text(
            fmt::format("[kit]\nmash = \"{}\"\n[want]\nvolume = \"{} L\"\noriginal-gravity = {}\n[[have]]\nitem = "
                        "\"pale ale malt\"\n[[have]]\nitem = \"neutral ale yeast\"\n",
                        mash, litres, sg),
            "b.toml");
        ASSERT_TRUE(static_cast<bool>(read));
        const compose::Proposal proposal = compose::compose(read.value()).proposals.at(0);
        // Pale ale malt: 81 % of the dry matter, 3.5 % moisture.
        const double laboratory_kg = 0.81 * 0.965 * proposal.forecast.grist_kg;
        double kettle_kg = 0.0;
        for (const auto& moment : proposal.forecast.trace) {
          if (moment.step == "drain") kettle_kg = process::extract_kg(moment.after);
        }
        const double efficiency = kettle_kg / laboratory_kg;
        const bool bag = std::string(mash) == "bag";
        EXPECT_GT(efficiency, bag ? 0.70 : 0.80) << mash << " " << litres << " " << sg;
        EXPECT_LT(efficiency, bag ? 0.80 : 0.88) << mash << " " << litres << " " << sg;
      }
    }
  }
}

}  // namespace
}  // namespace oddgrist
