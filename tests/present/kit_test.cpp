// What is learned of a kit, in words.
#include <gtest/gtest.h>

#include "../gyle/brewers.hpp"
#include "present/gyle.hpp"
#include "present/kit.hpp"

namespace oddgrist::present {
namespace {

using namespace gyle;

bool holds(const std::string& text, std::string_view words) { return text.find(words) != std::string::npos; }

KitStory story_after(int days) {
  hidden::Brewer brewer(hidden::planned().brief, hidden::planned().recipe, 3);
  KitKnowledge knowledge;
  KitStory story{"pot", {}, {}, {}, {}, {}, {}};
  for (int i = 0; i < days; ++i) {
    const auto day = brewer.brew();
    const State state = day.state();
    learn(knowledge, {day.brief, &state});
    story.gyles.push_back("g" + std::to_string(i + 1));
    story.useful = useful_readings(*day.brief, state, knowledge);
  }
  story.told = story.gyles;
  story.figures = figures_of(knowledge);
  return story;
}

void expect_narrow(const std::string& text) {
  std::size_t begin = 0;
  for (std::size_t end = text.find('\n'); end != std::string::npos; begin = end + 1, end = text.find('\n', begin))
    EXPECT_LE(columns(text.substr(begin, end - begin)), gyle_columns) << text.substr(begin, end - begin);
}

TEST(KitText, SaysWhatIsLearnedAndWhatToReadNext) {
  KitStory story = story_after(3);
  story.strange = {"g2"};
  story.figures[1].let_go = 2;
  const std::string text = kit_text(story);
  for (const char* part :
       {"learned from 3 gyles (g1, g2 and g3)", "boil-off\n  stated   2", " L/h to ", "% narrower, from 3 gyles",
        "nothing yet", "let go 2 times", "Did not fit what was known before: g2", "Most is learned next from the "})
    EXPECT_TRUE(holds(text, part)) << part << " in\n" << text;
  EXPECT_FALSE(holds(text, "nan"));
  expect_narrow(text);
}

TEST(KitText, SaysWhatToDoWhereNothingIsKnown) {
  const std::string nobody = kit_text({"pot", {}, {}, {}, {}, {}, {}});
  EXPECT_TRUE(holds(nobody, "No gyle was brewed on \"pot\""));
  const std::string silent = kit_text({"pot", {"one"}, {}, {}, {"lost"}, {}, {}});
  EXPECT_TRUE(holds(silent, "none with a reading"));
  EXPECT_TRUE(holds(silent, "cannot be read: lost"));
  expect_narrow(nobody + silent);
}

TEST(KitText, ARecipeSaysWhatItWasReckonedWith) {
  const std::string none = learned_text("pot", {});
  EXPECT_TRUE(holds(none, "Nothing is learned of \"pot\" yet"));
  auto figures = story_after(2).figures;
  std::erase_if(figures, [](const LearnedFigure& each) { return each.gyles == 0; });
  const std::string some = learned_text("pot", figures);
  EXPECT_TRUE(holds(some, "boil-off: "));
  EXPECT_TRUE(holds(some, " instead of "));
  EXPECT_TRUE(holds(some, "from 2 gyles"));
  expect_narrow(none + some);
}

}  // namespace
}  // namespace oddgrist::present
