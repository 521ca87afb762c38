#include "files/event_json.hpp"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "files/json_reader.hpp"

namespace oddgrist::files {
namespace {

gyle::Entry entry_of(gyle::What what) {
  return gyle::Entry{"key-1", Instant(std::chrono::milliseconds(1'795'612'694'123)), "", std::move(what)};
}

std::vector<gyle::What> one_of_each() {
  const compose::Recipe::Amount amount{"home-hops", compose::Recipe::Into::kettle, 12.5, 0.0455};
  gyle::Started started{"Ale", "name = \"x\"\n# \"Brötchen\"\n", {}, "shed"};
  started.recipe = {{amount, {"water:well", compose::Recipe::Into::mash_liquor, 0.0, 12.25}}, "yeast", 0.0115, 66.5};
  gyle::Reading reading{gyle::Sight::gravity, gyle::Stage::before_boil, 1.0456, 0.0005, 21.5, "kettle"};
  return {started,
          gyle::Reached{gyle::Stage::after_boil},
          reading,
          gyle::Added{amount},
          gyle::Missed{amount},
          gyle::Lost{gyle::Stage::boil, 0.75, 0.1},
          gyle::Changed{75.0, 2.2, 60.5, 18.0},
          gyle::Note{"a\nb"},
          gyle::Struck{"no"}};
}

TEST(EventJson, EveryKindComesBackAsItWent) {
  for (const gyle::What& what : one_of_each()) {
    gyle::Entry entry = entry_of(what);
    if (std::holds_alternative<gyle::Struck>(what)) entry.mends = "key-0";
    const std::string text = json_text(entry_json(entry));
    const auto back = entry_from_text(text, "entry.json");
    ASSERT_TRUE(back) << text << problem_line(back.problems().front());
    EXPECT_EQ(json_text(entry_json(back.value())), text);
    EXPECT_EQ(back.value().what.index(), what.index());
    EXPECT_EQ(back.value().at, entry.at);
    EXPECT_EQ(back.value().mends, entry.mends);
  }
}

TEST(EventJson, NothingIsLostOnTheWay) {
  const auto back = entry_from_text(json_text(entry_json(entry_of(one_of_each()[2]))), "e").value();
  const auto& reading = std::get<gyle::Reading>(back.what);
  EXPECT_EQ(reading.sight, gyle::Sight::gravity);
  EXPECT_EQ(reading.stage, gyle::Stage::before_boil);
  EXPECT_EQ(reading.value, 1.0456);
  EXPECT_EQ(reading.deviation, 0.0005);
  EXPECT_EQ(reading.at_celsius, 21.5);
  EXPECT_EQ(reading.of, "kettle");
  const auto started = entry_from_text(json_text(entry_json(entry_of(one_of_each()[0]))), "e").value();
  EXPECT_EQ(std::get<gyle::Started>(started.what).recipe, std::get<gyle::Started>(one_of_each()[0]).recipe);
}

RC_GTEST_PROP(EventJson, EveryNumberComesBackExactly, ()) {
  gyle::Reading reading;
  reading.sight = gyle::Sight::mass;
  reading.value =
      static_cast<double>(*rc::gen::inRange(0, 1'000'000)) / static_cast<double>(*rc::gen::inRange(11, 999));
  const auto back = entry_from_text(json_text(entry_json(entry_of(reading))), "e");
  RC_ASSERT(static_cast<bool>(back));
  RC_ASSERT(std::get<gyle::Reading>(back.value().what).value == reading.value);
}

std::string field_refused(const std::string& text) {
  const auto read = entry_from_text(text, "e.json");
  if (read) return "accepted";
  EXPECT_FALSE(read.problems().front().what.empty() || read.problems().front().remedy.empty());
  return read.problems().front().field;
}

std::string reading_with(const std::string& body) {
  return R"({"version":1,"key":"k","at":"2026-11-25T10:00:00Z","kind":"reading","body":{)" + body + "}}";
}

TEST(EventJson, ProblemsNameTheField) {
  EXPECT_EQ(field_refused(reading_with(R"("sight":"gravity","stage":"boil","value":1.05)")), "accepted");
  EXPECT_EQ(field_refused(reading_with(R"("sight":"gravity","stage":"boil","value":1050)")), "body.value");
  EXPECT_EQ(field_refused(reading_with(R"("sight":"gravity","stage":"boil","value":"1.05")")), "body.value");
  EXPECT_EQ(field_refused(reading_with(R"("sight":"gravity","stage":"boil")")), "body.value");
  EXPECT_EQ(field_refused(reading_with(R"("sight":"smell","stage":"boil","value":1)")), "body.sight");
  EXPECT_EQ(field_refused(reading_with(R"("sight":"gravity","stage":"boil","value":1.05,"unit":"°Bx")")), "body.unit");
  EXPECT_EQ(field_refused(reading_with(R"("sight":"gravity","stage":"boil","value":1.05,"valeu":2)")), "body.valeu");
  EXPECT_EQ(field_refused(R"({"version":9,"key":"k","at":"2026-11-25T10:00:00Z","kind":"note","body":{"text":"x"}})"),
            "version");
  EXPECT_EQ(field_refused(R"({"version":1,"key":"k","at":"yesterday","kind":"note","body":{"text":"x"}})"), "at");
  EXPECT_EQ(
      field_refused(
          R"({"version":1,"key":"k","at":"2026-11-25T10:00:00Z","kind":"started","body":{"name":"x","recipe":{"amounts":[{"what":"a","into":"grist","kg":1},{"what":"b","into":"pot","kg":1}],"rest_temperature_c":66}}})"),
      "body.recipe.amounts[1].into");
  for (const char* text :
       {"", "{", "[]", "null", "3", "{\"a\":1,\"a\":2}", "{\"a\":1e999}", "\xFF", "{\"version\":{}}"})
    EXPECT_NE(field_refused(text), "accepted") << text;
  EXPECT_FALSE(entry_from_text(std::string(200'000, '['), "e"));
}

TEST(EventJson, ABreakOfTheGrammarHasItsLine) {
  const auto read = entry_from_text("{\n  \"version\": 1,\n  \"key\": oops\n}", "e.json");
  ASSERT_FALSE(read);
  EXPECT_EQ(read.problems().front().place.line, 3);
}

TEST(InstantText, ReadsWhatItWrites) {
  EXPECT_EQ(instant_text(entry_of(gyle::Note{"x"}).at), "2026-11-25T13:18:14.123Z");
  EXPECT_EQ(instant_of("2026-11-25T13:18:14.123Z"), entry_of(gyle::Note{"x"}).at);
  EXPECT_EQ(instant_of("2026-11-25T14:18:14.1239+01:00"), entry_of(gyle::Note{"x"}).at);
  EXPECT_EQ(instant_of("2024-02-29T00:00Z"), Instant(std::chrono::sys_days(std::chrono::year(2024) / 2 / 29)));
  for (const char* wrong :
       {"", "2026-11-25", "2026-11-25T13:18", "2026-02-29T00:00Z", "2026-11-25T24:00Z", "2026-11-25T13:60Z",
        "2026-11-25T13:18:14.Z", "2026-11-25T13:18:14ZZ", "1969-12-31T23:59Z", "2026-11-25 13:18Z", "20261125T1318Z"})
    EXPECT_FALSE(instant_of(wrong)) << wrong;
  EXPECT_FALSE(day_of("2026-13-01"));
  EXPECT_EQ(day_text(*day_of("2026-11-05")), "2026-11-05");
}

TEST(NameInBrief, IsReadWithoutTheRest) {
  EXPECT_EQ(name_in_brief("name = \"Round\"\n[want]\nno-such-key = 1\n"), "Round");
  EXPECT_EQ(name_in_brief("[want]\n"), "");
  EXPECT_EQ(name_in_brief("not toml at all ["), "");
}

}  // namespace
}  // namespace oddgrist::files
