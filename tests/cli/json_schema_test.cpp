// Real output of every --json command against the schemas of docs/schema, judged by an outside validator (python3-jsonschema).
#include <nlohmann/json.hpp>

#include "program.hpp"

namespace oddgrist::test {
namespace {

constexpr int checked_and_fits = 0;
constexpr int checked_and_does_not_fit = 1;

int validate(const std::string& document, const std::string& schema, std::string* complaints = nullptr) {
  const Scratch scratch;
  write_text(scratch / "document.json", document);
  const ProgramRun result =
      run("python3", {"tests/cli/validate.py", "docs/schema/" + schema + ".schema.json"}, scratch / "document.json");
  if (complaints != nullptr) *complaints = result.err;
  return result.exit_code;
}

void expect_fits(const std::string& schema, const std::vector<std::string>& arguments, int exit_code) {
  const ProgramRun result = oddgrist(arguments);
  EXPECT_EQ(result.exit_code, exit_code) << testing::PrintToString(arguments) << result.out.substr(0, 2000)
                                         << result.err;
  EXPECT_EQ(result.err, "");
  std::string complaints;
  EXPECT_EQ(validate(result.out, schema, &complaints), checked_and_fits)
      << complaints << testing::PrintToString(arguments);
}

TEST(JsonSchema, ValidatorCanSayNo) {
  EXPECT_EQ(validate("{\"problems\": [{\"file\": \"a\", \"what\": \"b\", \"remedy\": \"c\"}]}", "problem"),
            checked_and_fits);
  EXPECT_EQ(validate("{\"problems\": []}", "problem"), checked_and_does_not_fit);
  EXPECT_EQ(
      validate("{\"problems\": [{\"file\": \"a\", \"line\": 0, \"column\": 1, \"what\": \"b\", \"remedy\": \"c\"}]}",
               "problem"),
      checked_and_does_not_fit);
  EXPECT_EQ(validate("{\"name\": \"\", \"brief\": \"\", \"outcome\": \"refused\", \"proposals\": [], \"clashes\": [], "
                     "\"cautions\": []}",
                     "answer"),
            checked_and_does_not_fit)
      << "a refusal without a reason";
}

TEST(JsonSchema, Convert) {
  expect_fits("convert", {"convert", "2.5 US gal", "--json"}, 0);
  expect_fits("convert", {"convert", "1.050", "--to", "°P", "--json"}, 0);
}

TEST(JsonSchema, Larder) {
  expect_fits("larder", {"larder", "--json"}, 0);
  expect_fits("larder", {"larder", "smoked", "wheat", "malt", "--json"}, 0);
  expect_fits("larder", {"larder", "plutonium", "--json"}, 1);
}

TEST(JsonSchema, Packet) {
  expect_fits("packet", {"packet", "examples/saltmarsh-round.toml", "--json"}, 0);
  expect_fits("packet", {"packet", "examples/kernels.toml", "--json"}, 4);
}

TEST(JsonSchema, Doubt) {
  expect_fits("doubt", {"doubt", "examples/saltmarsh-round.toml", "--json"}, 0);
  expect_fits("answer", {"doubt", "examples/kernels.toml", "--json"}, 4);
}

TEST(JsonSchema, ComposeWithOthersAndWhy) {
  expect_fits("answer", {"compose", "examples/lemon.toml", "--others", "4", "--why", "--json"}, 0);
  expect_fits("answer", {"compose", "examples/stove-top-5l.toml", "--others", "1", "--json"}, 0);
  expect_fits("answer", {"compose", "examples/kernels.toml", "--others", "3", "--why", "--json"}, 4);
  expect_fits("answer", {"sheet", "examples/lemon.toml", "--proposal", "2", "--json"}, 0);
  expect_fits("problem", {"compose", "examples/lemon.toml", "--others", "9", "--json"}, 2);
  const auto others =
      nlohmann::json::parse(oddgrist({"compose", "examples/lemon.toml", "--others", "2", "--json"}).out);
  const auto sheet = nlohmann::json::parse(oddgrist({"sheet", "examples/lemon.toml", "--proposal", "3", "--json"}).out);
  EXPECT_EQ(sheet.at("proposals").at(0).at("additions"), others.at("proposals").at(2).at("additions"));
}

TEST(JsonSchema, Trial) {
  expect_fits("trial", {"trial", "--beer-brief", "examples/walnut-spirit.toml", "--pick", "B", "--json"}, 0);
  expect_fits("trial", {"trial", "--liquor-strength", "40 %", "--doses", "0.2 mL, 1 mL", "--json"}, 0);
  expect_fits("answer", {"trial", "--beer-brief", "examples/kernels.toml", "--json"}, 4);
  expect_fits("problem", {"trial", "--liquor-strength", "120 %", "--json"}, 2);
}

TEST(JsonSchema, Water) {
  expect_fits("water", {"water", "examples/waters/hard-well.toml", "--json"}, 0);
  expect_fits("water", {"water", "examples/waters/blend.toml", "--json"}, 0);
  expect_fits("water", {"water", "examples/saltmarsh-round.toml", "--json"}, 0);
  expect_fits("water", {"water", "examples/waters/sulphur-slip.toml", "--json"}, 65);
  expect_fits("problem", {"water", "examples/quince.toml", "--json"}, 65);
}

TEST(JsonSchema, Mash) {
  const std::string brief = "examples/saltmarsh-round.toml";
  const std::vector<std::string> two_rests = {"--rest", "52 °C 15 min", "--rest", "65 °C 60 min"};
  expect_fits("mash", {"mash", brief, "--json"}, 0);
  for (const std::string step : {"infusion", "decoction", "direct"}) {
    std::vector<std::string> arguments = {"mash", brief, "--json", "--step", step, "--power", "2.5 kW"};
    arguments.insert(arguments.end(), two_rests.begin(), two_rests.end());
    expect_fits("mash", arguments, 0);
  }
  expect_fits("answer", {"mash", "examples/kernels.toml", "--json"}, 4);
  expect_fits("problem", {"mash", brief, "--json", "--rest", "95 °C 60 min"}, 65);
  expect_fits("problem", {"mash", brief, "--json", "--rest", "warm"}, 2);
}

TEST(JsonSchema, Ferment) {
  expect_fits("ferment", {"ferment", "examples/saltmarsh-round.toml", "--room-m3", "12", "--json"}, 0);
  expect_fits("ferment", {"ferment", "examples/quince.toml", "--json"}, 0);
  expect_fits("answer", {"ferment", "examples/kernels.toml", "--json"}, 4);
}

TEST(JsonSchema, WatchFits) {
  const std::string readings = "examples/readings/harvest-ale.csv";
  for (const char* now : {"2026-11-02T18:00", "2026-11-08T09:00", "2027-05-01T09:00"}) {
    expect_fits("watch", {"watch", "examples/saltmarsh-round.toml", readings, "--now", now, "--json"}, 0);
  }
  expect_fits("answer", {"watch", "examples/kernels.toml", readings, "--json"}, 4);
}

TEST(JsonSchema, GasFits) {
  const std::vector<std::string> times = {"--began", "2026-11-24T18:00", "--now", "2026-11-25T12:00", "--json"};
  const auto with = [&](std::vector<std::string> more) {
    more.insert(more.begin(), "gas");
    more.insert(more.end(), times.begin(), times.end());
    return more;
  };
  expect_fits("gas", with({"--read", "2026-11-25T12:00 0.5 bar at 4 °C"}), 0);
  expect_fits("gas", with({"--high", "0.2 bar"}), 0);
  expect_fits("gas", with({"--rating", "2 bar"}), 4);
}

TEST(JsonSchema, Carbonate) {
  expect_fits("carbonate", {"carbonate", "examples/saltmarsh-round.toml", "--json"}, 0);
  expect_fits("carbonate", {"carbonate", "--beer", "9.5 L", "--high", "40 psi", "--json"}, 0);
  expect_fits("carbonate", {"carbonate", "--beer", "9.5 L", "--volumes", "4 vol", "--rating", "3 bar", "--json"}, 4);
  expect_fits("problem", {"carbonate", "--json"}, 2);
}

TEST(JsonSchema, Gyle) {
  const Scratch scratch;
  const std::string file = scratch / "g.db";
  const auto fits = [&](std::vector<std::string> words, int code) {
    words.insert(words.begin(), "gyle");
    words.insert(words.end(), {"--store", file, "--json"});
    expect_fits(code == 0 ? "gyle" : "problem", words, code);
  };
  fits({"start", "harvest", "examples/saltmarsh-round.toml"}, 0);
  fits({"reach", "harvest", "before-boil"}, 0);
  fits({"reading", "harvest", "volume", "13.0 L"}, 0);
  fits({"reading", "harvest", "gravity", "1.120", "--stage", "before-boil"}, 0);
  fits({"now", "harvest"}, 0);
  fits({"replan", "harvest"}, 0);
  fits({"reach", "harvest", "boil"}, 0);
  fits({"lost", "harvest", "1.5 L", "--give-or-take", "0.3 L"}, 0);
  fits({"replan", "harvest", "--take", "1"}, 0);
  fits({"note", "harvest", "thin and too bitter"}, 0);
  fits({"after", "harvest"}, 0);
  fits({"after", "harvest", "--brief", scratch / "again.toml"}, 0);
  fits({"after", "harvest", "--brief", scratch / "again.toml"}, 74);
  fits({"list", "--brief", scratch / "other.toml"}, 2);
  EXPECT_NE(file_text(scratch / "again.toml").find("the tasting says"), std::string::npos);
  expect_fits("answer", {"compose", scratch / "again.toml", "--json"},
              oddgrist({"compose", scratch / "again.toml"}).exit_code);
  fits({"log", "harvest"}, 0);
  fits({"list"}, 0);
  fits({"reading", "harvest", "gravity", "heavy"}, 2);
  fits({"now", "nobody"}, 66);
}

TEST(JsonSchema, KitAndWhatItTeaches) {
  const Scratch scratch;
  const std::string file = scratch / "k.db", brief = "examples/saltmarsh-round.toml", name = "one kettle and a bag";
  const auto write = [&](std::vector<std::string> words) {
    words.insert(words.begin(), "gyle");
    words.insert(words.end(), {"--store", file});
    EXPECT_EQ(oddgrist(words).exit_code, 0) << testing::PrintToString(words);
  };
  expect_fits("problem", {"kit", "--store", file, "--json"}, 66);
  for (const std::string gyle : {"first", "second"}) {
    write({"start", gyle, brief});
    if (gyle == "first") expect_fits("kit", {"kit", name, "--store", file, "--json"}, 0);
    write({"reading", gyle, "volume", "12.1 L", "--stage", "before-boil"});
    write({"reading", gyle, "volume", "9.5 L", "--stage", "after-boil"});
    write({"reading", gyle, "gravity", "1.058", "--stage", "fermenter"});
  }
  expect_fits("kit", {"kit", "--store", file, "--json"}, 0);
  expect_fits("kit", {"kit", name, "--store", file, "--json"}, 0);
  expect_fits("kit", {"kit", "nobody's", "--store", file, "--json"}, 1);
  expect_fits("doubt", {"doubt", brief, "--learned", "--store", file, "--json"}, 0);
  const auto kit = nlohmann::json::parse(oddgrist({"kit", name, "--store", file, "--json"}).out);
  EXPECT_EQ(kit.at("told_by").size(), 2u);
  EXPECT_FALSE(kit.at("read_next").empty());
  const ProgramRun composed = oddgrist({"compose", brief, "--learned", "--store", file, "--json"});
  expect_fits("answer", {"compose", brief, "--learned", "--store", file, "--json"}, composed.exit_code);
  const auto learned = nlohmann::json::parse(composed.out).at("learned");
  const auto boil_off =
      std::find_if(learned.begin(), learned.end(), [](const auto& each) { return each.at("figure") == "boil-off"; });
  ASSERT_NE(boil_off, learned.end());
  EXPECT_EQ(boil_off->at("gyles"), 2);
  EXPECT_GT(boil_off->at("learned").at("value"), boil_off->at("stated").at("value"));
  EXPECT_NE(oddgrist({"compose", brief, "--learned", "--store", file}).out.find("from 2 gyles"), std::string::npos);
  const auto taught = oddgrist({"kit", name, "--store", file}).out;
  write({"start", "third", brief, "--learned"});
  expect_fits("gyle", {"gyle", "now", "third", "--learned", "--store", file, "--json"}, 0);
  expect_fits("gyle", {"gyle", "replan", "third", "--learned", "--store", file, "--json"}, 0);
  expect_fits("problem", {"gyle", "log", "third", "--learned", "--store", file, "--json"}, 2);
  const std::string after_start = oddgrist({"kit", name, "--store", file}).out;
  EXPECT_EQ(after_start.substr(after_start.find("boil-off"), 120), taught.substr(taught.find("boil-off"), 120))
      << "a recipe reckoned with what was learned teaches nothing by itself";
  const auto foretold = [&](std::vector<std::string> words) {
    words.insert(words.end(), {"--store", file, "--json"});
    return nlohmann::json::parse(oddgrist(words).out).at("before").at("fermenter-volume").at("value").get<double>();
  };
  constexpr double wished = 10.0;  // L, as the brief says
  EXPECT_NEAR(foretold({"gyle", "now", "third", "--learned"}), wished, 0.3);
  EXPECT_EQ(foretold({"gyle", "now", "third"}), foretold({"gyle", "now", "third", "--learned"}))
      << "a gyle keeps that it was begun so";
  write({"start", "fourth", brief});
  EXPECT_GT(std::abs(foretold({"gyle", "now", "fourth", "--learned"}) - wished),
            std::abs(foretold({"gyle", "now", "fourth"}) - wished));
}

TEST(JsonSchema, Store) {
  const Scratch scratch;
  const std::string file = scratch / "s.db";
  expect_fits("store", {"store", "import", "examples/store/saltmarsh.jsonl", "--store", file, "--json"}, 0);
  expect_fits("store", {"store", "check", "--store", file, "--json"}, 0);
  expect_fits("store", {"store", "backup", scratch / "b.db", "--store", file, "--json"}, 0);
  expect_fits("store", {"store", "restore", scratch / "b.db", "--store", file, "--json"}, 0);
  expect_fits("store", {"store", "export", scratch / "e.jsonl", "--store", file, "--json"}, 0);
  expect_fits("problem", {"store", "export", scratch / "e.jsonl", "--store", file, "--json"}, 74);
  expect_fits("problem", {"store", "check", "--store", scratch / "none.db", "--json"}, 66);
  expect_fits("problem", {"store", "restore", "README.md", "--store", file, "--json"}, 72);
  expect_fits("problem", {"store", "backup", "--json"}, 2);
  const std::string exported = file_text(scratch / "e.jsonl");
  EXPECT_EQ(exported, file_text(std::filesystem::path(ODDGRIST_SOURCE_DIR) / "examples/store/saltmarsh.jsonl"));
  std::istringstream lines(exported);
  for (std::string line; std::getline(lines, line);) {
    std::string complaints;
    EXPECT_EQ(validate(line, "entry", &complaints), checked_and_fits) << complaints << line.substr(0, 300);
  }
}

TEST(JsonSchema, Problems) {
  expect_fits("problem", {"compose", "no-such-file.toml", "--json"}, 66);
  expect_fits("problem", {"sheet", "tests", "--json"}, 66);
  expect_fits("problem", {"packet", "tests/cli/validate.py", "--json"}, 65);
  expect_fits("problem", {"brew", "--json"}, 2);
  expect_fits("problem", {"convert", "10 gal", "--json"}, 2);
  for (const auto& brief : files_in("tests/cli/bad", ".toml")) {
    const ProgramRun result = oddgrist({"compose", brief.string(), "--json"});
    if (result.exit_code != 65) continue;
    std::string complaints;
    EXPECT_EQ(validate(result.out, "problem", &complaints), checked_and_fits) << complaints << brief;
  }
}

class ExampleAnswer : public testing::TestWithParam<std::filesystem::path> {};

// Every example is answered: met, or nearest with the clashes named, and refused only where something is unsafe.
TEST_P(ExampleAnswer, FitsItsSchema) {
  for (const std::string verb : {"compose", "sheet"}) {
    const ProgramRun result = oddgrist({verb, GetParam().string(), "--json"});
    std::string complaints;
    ASSERT_EQ(validate(result.out, "answer", &complaints), checked_and_fits)
        << complaints << result.out.substr(0, 2000);
    const auto document = nlohmann::json::parse(result.out);
    const std::string outcome = document.at("outcome");
    EXPECT_EQ(result.exit_code, outcome == "met" ? 0 : outcome == "nearest" ? 3 : 4);
    EXPECT_EQ(outcome == "refused", GetParam().stem() == "kernels");
    EXPECT_EQ(document.contains("sheet"), verb == "sheet" && outcome != "refused");
    EXPECT_EQ(oddgrist({verb, GetParam().string(), "--json"}).out, result.out)
        << "the same brief must give the same answer";
  }
}

std::string example_name(const testing::TestParamInfo<std::filesystem::path>& which) {
  std::string name = which.param.stem().string();
  std::replace(name.begin(), name.end(), '-', '_');
  return name;
}

INSTANTIATE_TEST_SUITE_P(Examples, ExampleAnswer, testing::ValuesIn(files_in("examples", ".toml")), example_name);

}  // namespace
}  // namespace oddgrist::test
