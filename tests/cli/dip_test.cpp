// A dip of the kettle becomes the litres that its marks say.
#include <nlohmann/json.hpp>

#include "program.hpp"

namespace oddgrist::test {
namespace {

using Json = nlohmann::json;

class Dip : public ::testing::Test {
 protected:
  void SetUp() override {
    write_text(marks_, "[[mark]]\nheight = 10\nvolume = \"6 L\"\n[[mark]]\nheight = 30\nvolume = \"20 L\"\n");
    ASSERT_EQ(gyle({"start", "harvest", "examples/saltmarsh-round.toml"}).exit_code, 0);
  }
  [[nodiscard]] ProgramRun gyle(std::vector<std::string> words) const {
    words.insert(words.begin(), "gyle");
    words.insert(words.end(), {"--store", scratch_ / "g.db", "--json"});
    return oddgrist(words);
  }
  const Scratch scratch_;
  const std::string marks_ = scratch_ / "kettle.toml";
};

TEST_F(Dip, IsWrittenAsLitres) {
  const ProgramRun run = gyle({"reading", "harvest", "dip", "20", "--marks", marks_, "--stage", "before-boil",
                               "--temperature", "64 °C", "--give-or-take", "0.5 L"});
  ASSERT_EQ(run.exit_code, 0) << run.err;
  const Json entry = Json::parse(gyle({"log", "harvest"}).out)["entries"].back();
  EXPECT_EQ(entry["kind"], "reading");
  EXPECT_EQ(entry["body"]["sight"], "volume");
  EXPECT_NEAR(entry["body"]["value"].get<double>(), 13.0, 1e-9);
  EXPECT_NEAR(entry["body"]["deviation"].get<double>(), 0.5, 1e-9);
  EXPECT_EQ(gyle({"now", "harvest"}).exit_code, 0);
}

TEST_F(Dip, NeedsMarksThatReachSoFar) {
  const auto refused = [&](const std::vector<std::string>& words, int exit_code, const std::string& what) {
    const ProgramRun run = gyle(words);
    EXPECT_EQ(run.exit_code, exit_code) << run.err;
    EXPECT_NE((run.out + run.err).find(what), std::string::npos) << run.out << run.err;
  };
  refused({"reading", "harvest", "dip", "20"}, 2, "--marks");
  refused({"reading", "harvest", "dip", "31", "--marks", marks_}, 2, "from 10 to 30");
  refused({"reading", "harvest", "dip", "high", "--marks", marks_}, 2, "not a number");
  refused({"reading", "harvest", "dip", "--marks", marks_}, 2, "missing");
  refused({"reading", "harvest", "volume", "13 L", "--marks", marks_}, 2, "--marks goes with");
  refused({"now", "harvest", "--marks", marks_}, 2, "--marks goes with");
  refused({"reading", "harvest", "dip", "20", "--marks", scratch_ / "none.toml"}, 66, "none.toml");
  write_text(marks_, "[[mark]]\nheight = 10\nvolume = \"6 L\"\n");
  refused({"reading", "harvest", "dip", "10", "--marks", marks_}, 65, "fewer than two");
  EXPECT_EQ(Json::parse(gyle({"log", "harvest"}).out)["entries"].size(), 1u) << "nothing was written";
}

}  // namespace
}  // namespace oddgrist::test
