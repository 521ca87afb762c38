// The verb round as a user meets it.
#include <nlohmann/json.hpp>

#include <set>

#include "program.hpp"

namespace oddgrist::test {
namespace {

const std::string autumn = "examples/rounds/saltmarsh-autumn.toml";
const std::string tasting = "examples/rounds/saltmarsh-tasting.toml";

std::string source_text(const std::string& path) {
  return file_text(std::filesystem::path(ODDGRIST_SOURCE_DIR) / path);
}

nlohmann::json fitting_json(const std::vector<std::string>& arguments, int exit_code,
                            const std::string& schema = "round") {
  const ProgramRun result = oddgrist(arguments);
  EXPECT_EQ(result.exit_code, exit_code) << testing::PrintToString(arguments) << result.out.substr(0, 2000)
                                         << result.err;
  EXPECT_EQ(result.err, "");
  const Scratch scratch;
  write_text(scratch / "document.json", result.out);
  const ProgramRun judged =
      run("python3", {"tests/cli/validate.py", "docs/schema/" + schema + ".schema.json"}, scratch / "document.json");
  EXPECT_EQ(judged.exit_code, 0) << judged.err << testing::PrintToString(arguments);
  return nlohmann::json::parse(result.out, nullptr, false);
}

std::string replaced(std::string text, const std::string& from, const std::string& to) {
  const auto at = text.find(from);
  EXPECT_NE(at, std::string::npos) << from;
  return at == std::string::npos ? text : text.replace(at, from.size(), to);
}

TEST(RoundVerb, CheckLooksAtEveryParcelInEveryKit) {
  const auto document = fitting_json({"round", "check", autumn, "--json"}, 0);
  ASSERT_EQ(document.at("parcels").size(), 6U);
  std::size_t looked_at = 0;
  for (const auto& parcel : document.at("parcels")) {
    for (const auto& finding : parcel.at("findings")) looked_at += finding.at("brewers").size();
  }
  EXPECT_EQ(looked_at, 30U) << "each of six parcels for each of five others";
  EXPECT_TRUE(document.at("obstacle").is_null());
  bool nut_barred = false;
  for (const auto& pair : document.at("barred"))
    nut_barred = nut_barred || (pair.at("brewer") == "Bea" && pair.at("giver") == "Ida" &&
                                pair.at("bars").at(0).at("kind") == "allergen");
  EXPECT_TRUE(nut_barred);
}

TEST(RoundVerb, DrawBreaksNoBarAndIsTheSameForEverybody) {
  const auto document = fitting_json({"round", "draw", autumn, "--seed", "7", "--json"}, 0);
  std::set<std::string> brewers, givers;
  std::set<std::pair<std::string, std::string>> pairs;
  for (const auto& pair : document.at("pairs")) {
    brewers.insert(pair.at("brewer"));
    givers.insert(pair.at("giver"));
    pairs.insert({pair.at("brewer").get<std::string>(), pair.at("giver").get<std::string>()});
  }
  EXPECT_EQ(brewers.size(), 6U);
  EXPECT_EQ(givers, brewers);
  EXPECT_FALSE(pairs.contains({"Bea", "Ida"})) << "tree nuts";
  EXPECT_FALSE(pairs.contains({"Cal", "Dot"})) << "drawn in spring";
  for (const auto& [brewer, giver] : pairs) {
    EXPECT_NE(brewer, giver);
    EXPECT_FALSE(pairs.contains({giver, brewer})) << "a straight swap";
  }
  const ProgramRun words = oddgrist({"round", "draw", autumn, "--seed", "7"});
  EXPECT_NE(words.out.find("[drawn]"), std::string::npos);
  EXPECT_NE(words.out.find("Seed 7"), std::string::npos);
  EXPECT_NE(words.out.find("minors"), std::string::npos);
  // The lines it prints go back into the file.
  const Scratch scratch;
  write_text(scratch / "r.toml",
             source_text(autumn) +
                 words.out.substr(words.out.find("[drawn]"),
                                  words.out.find("\n\n", words.out.find("[drawn]")) - words.out.find("[drawn]")) +
                 "\n");
  const auto sheets = fitting_json({"round", "sheets", scratch / "r.toml", "--json"}, 0);
  for (const auto& entry : sheets.at("key"))
    EXPECT_TRUE(pairs.contains({entry.at("brewer").get<std::string>(), entry.at("giver").get<std::string>()}));
}

// Three friends: Bea cannot handle the milk in Cal's parcel and had Dot's before.
std::string stuck_round() {
  return R"([[have]]
item = "pale ale malt"
[[have]]
item = "Golding"
[[have]]
item = "neutral ale yeast"
[[item]]
name = "honeycomb bar"
declared = "sugar, glucose syrup, whole MILK powder"
[item.packet]
per = "100 g"
fat = "0 g"
carbohydrate = "95 g"
sugars = "90 g"
protein = "1 g"
[[member]]
name = "Bea"
cannot-handle = ["milk"]
[[member.parcel]]
item = "honey"
amount = "200 g"
[[member]]
name = "Cal"
[[member.parcel]]
item = "honeycomb bar"
amount = "100 g"
[[member]]
name = "Dot"
[[member.parcel]]
item = "smoked wheat malt"
amount = "250 g"
[[past]]
name = "spring"
[past.brewed]
Bea = "Dot"
)";
}

TEST(RoundVerb, WithoutADrawItSaysWhoStandsInTheWayAndTheLeastCure) {
  const Scratch scratch;
  write_text(scratch / "r.toml", stuck_round());
  const auto document = fitting_json({"round", "draw", scratch / "r.toml", "--seed", "1", "--json"}, 1);
  EXPECT_TRUE(document.at("proven_none"));
  EXPECT_EQ(document.at("obstacle").at("members"), nlohmann::json({"Bea"}));
  ASSERT_EQ(document.at("obstacle").at("cure").size(), 1U);
  EXPECT_EQ(document.at("obstacle").at("cure").at(0).at("bars").at(0).at("kind"), "drawn-before");
  const ProgramRun words = oddgrist({"round", "draw", scratch / "r.toml", "--seed", "1"});
  EXPECT_NE(words.out.find("Bea may not have any parcel"), std::string::npos) << words.out;
  EXPECT_NE(words.out.find("milk"), std::string::npos);
  EXPECT_NE(words.out.find("a second time this season"), std::string::npos);
  write_text(scratch / "r.toml", replaced(stuck_round(), "Bea = \"Dot\"\n", ""));
  EXPECT_EQ(oddgrist({"round", "draw", scratch / "r.toml", "--seed", "1"}).exit_code, 0);
}

TEST(RoundVerb, AnUnsafeParcelGoesToNobody) {
  const Scratch scratch;
  const std::string text =
      replaced(replaced(stuck_round(), "Bea = \"Dot\"\n", ""), "cannot-handle = [\"milk\"]\n", "") +
      "[[item]]\nname = \"kernels\"\ndeclared = \"apricot kernels\"\n[item.packet]\nper = \"100 g\"\nfat = \"45 g\"\n"
      "carbohydrate = \"10 g\"\nsugars = \"5 g\"\nprotein = \"25 g\"\n";
  write_text(scratch / "r.toml", replaced(text, "item = \"smoked wheat malt\"", "item = \"kernels\""));
  const auto document = fitting_json({"round", "check", scratch / "r.toml", "--json"}, 4);
  EXPECT_EQ(document.at("parcels").at(2).at("findings").at(0).at("verdict"), "refused");
  EXPECT_EQ(document.at("obstacle").at("of"), "parcels") << "nobody may take it, which is shorter than who lacks one";
  const auto draw = fitting_json({"round", "draw", scratch / "r.toml", "--seed", "1", "--json"}, 1);
  EXPECT_EQ(draw.at("obstacle").at("members"), nlohmann::json({"Dot"}));
}

TEST(RoundVerb, MoreThanTheKitCanDoIsBarred) {
  const Scratch scratch;
  const std::string small = "[[kit]]\nname = \"saucepan\"\nkettle = \"4 L\"\n";
  write_text(
      scratch / "r.toml",
      replaced(replaced(stuck_round(), "Bea = \"Dot\"\n", ""), "amount = \"250 g\"", "amount = \"3 kg\"") + small);
  const auto document = fitting_json({"round", "check", scratch / "r.toml", "--json"}, 3);
  for (const auto& finding : document.at("parcels").at(2).at("findings"))
    EXPECT_EQ(finding.at("verdict"), "beyond-kit") << finding.dump(1);
}

TEST(RoundVerb, RankIsWhatExactArithmeticSays) {
  const Scratch scratch;
  const ProgramRun rank = oddgrist({"round", "rank", tasting, "--json"});
  EXPECT_EQ(rank.exit_code, 0) << rank.out << rank.err;
  write_text(scratch / "rank.json", rank.out);
  write_text(scratch / "codes.json", oddgrist({"round", "sheets", tasting, "--json"}).out);
  const auto judged = [&] {
    return run("python3", {"tests/cli/rank_check.py", tasting, scratch / "rank.json", scratch / "codes.json"});
  };
  const ProgramRun right = judged();
  EXPECT_EQ(right.exit_code, 0) << right.err;
  // The judge can say no.
  auto document = nlohmann::json::parse(rank.out);
  document["beers"][0]["ahead"] = document["beers"][0]["ahead"].get<double>() + 0.001;
  write_text(scratch / "rank.json", document.dump());
  EXPECT_EQ(judged().exit_code, 1);
  fitting_json({"round", "rank", tasting, "--json"}, 0);
}

TEST(RoundVerb, ASheetOfOnesOwnBeerIsQuestionedAndLeftOut) {
  const Scratch scratch;
  write_text(scratch / "r.toml",
             source_text(tasting) +
                 "\n[[sheet]]\njudge = \"Bea\"\n[sheet.scores]\nBea = { gift = 10, clean = 10, again "
                 "= 10 }\n");
  const auto document = fitting_json({"round", "rank", scratch / "r.toml", "--json"}, 65);
  ASSERT_EQ(document.at("left_out").size(), 1U);
  auto before = fitting_json({"round", "rank", tasting, "--json"}, 0);
  EXPECT_EQ(document.at("beers"), before.at("beers"));
  const ProgramRun words = oddgrist({"round", "rank", scratch / "r.toml"});
  EXPECT_NE(words.out.find("Left out, please ask"), std::string::npos);
}

TEST(RoundVerb, SheetsNameNoBrewerButOnTheKey) {
  const ProgramRun result = oddgrist({"round", "sheets", tasting});
  ASSERT_EQ(result.exit_code, 0) << result.err;
  const std::string pages = result.out.substr(result.out.find('\f'));
  // A name may stand only in the title of its own page.
  for (const std::string name : {"Ida", "Bea", "Cal", "Dot", "Emrys", "Fern"}) {
    std::size_t times = 0;
    for (std::size_t at = pages.find(name); at != std::string::npos; at = pages.find(name, at + 1)) ++times;
    EXPECT_EQ(times, 1U) << name;
  }
}

TEST(RoundVerb, WrongUsageAndWrongFiles) {
  EXPECT_EQ(oddgrist({"round", "mix", autumn}).exit_code, 2);
  EXPECT_EQ(oddgrist({"round", "draw"}).exit_code, 2);
  EXPECT_EQ(oddgrist({"round", "check", autumn, "--seed", "3"}).exit_code, 2);
  for (const std::string seed : {"-1", "18446744073709551616", "1.5", "1e3", "0x10", " 7", "seven", ""})
    EXPECT_EQ(oddgrist({"round", "draw", autumn, "--seed=" + seed}).exit_code, 2) << seed;
  const Scratch scratch;
  write_text(scratch / "r.toml", stuck_round());
  fitting_json({"round", "draw", scratch / "r.toml", "--json"}, 2, "problem");
  fitting_json({"round", "sheets", scratch / "r.toml", "--json"}, 2, "problem");
  fitting_json({"round", "rank", "no-such-file.toml", "--json"}, 66, "problem");
  fitting_json({"round", "rank", "examples/quince.toml", "--json"}, 65, "problem");
  fitting_json({"round", "rank", scratch / "r.toml", "--json"}, 1);
}

}  // namespace
}  // namespace oddgrist::test
