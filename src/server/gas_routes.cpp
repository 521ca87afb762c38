// Gas forced into a keg: when to turn it down, and what a gauge says of it.
#include <algorithm>
#include <vector>

#include "files/gas_json.hpp"
#include "files/json_reader.hpp"
#include "gyle/gas_course.hpp"
#include "gyle/local_time.hpp"
#include "quantity/units.hpp"
#include "server/problem_details.hpp"
#include "server/routes.hpp"

namespace oddgrist::server {
namespace {

using files::JsonReader;

constexpr std::size_t most_readings = 200, longest_time = 40;

enum class By { rest, shaken, stone };
constexpr files::WordsFor<By, 3> by_words = {{{"rest", By::rest}, {"shaken", By::shaken}, {"stone", By::stone}}};

gyle::Instant time_at(JsonReader& reader, std::string_view key, gyle::Instant otherwise) {
  const std::string text = reader.text(key, longest_time, JsonReader::Blank::allowed);
  if (text.empty()) return otherwise;
  const auto at = gyle::parse_local_time(text);
  if (!at) reader.report(key, "it is no time", "Write the clock on your wall, such as 2026-11-25T18:30");
  return at.value_or(otherwise);
}

struct Question {
  gyle::GasPlan plan;
  gyle::Instant now;
  std::vector<gyle::GaugeReading> readings;
};

void read_readings(JsonReader& reader, Question& question, files::Problems& problems) {
  if (reader.take("readings") == nullptr) return;
  const auto& list = reader.list("readings", most_readings);
  for (std::size_t i = 0; i < list.size(); ++i) {
    JsonReader one(list[i], reader.field("readings") + "[" + std::to_string(i) + "]", files::Place{}, problems);
    gyle::GaugeReading reading;
    reading.at = time_at(one, "time", gyle::Instant{});
    if (!list[i].is_object() || !list[i].contains("time"))
      one.report("time", "it is not said when the gauge was read", "Send \"time\", such as 2026-11-25T18:30");
    reading.gauge_bar = one.number("gauge_bar", 0.0, 20.0, "bar from 0 to 20");
    reading.temperature_c = one.number_if_any("temperature_c", 0.0, 40.0, "degrees C from 0 to 40")
                                .value_or(question.plan.forcing.temperature_c);
    one.report_unknown_keys();
    question.readings.push_back(reading);
  }
  std::stable_sort(question.readings.begin(), question.readings.end(),
                   [](const auto& a, const auto& b) { return a.at < b.at; });
}

Question question_of(const Json& document, files::Problems& problems) {
  JsonReader reader(document, "", files::Place{}, problems);
  const auto number = [&](std::string_view key, double low, double high, std::string_view words, double otherwise) {
    return reader.number_if_any(key, low, high, words).value_or(otherwise);
  };
  Question question;
  process::Forcing& forcing = question.plan.forcing;
  question.now = time_at(reader, "now", gyle::local_now());
  question.plan.begun = time_at(reader, "began", question.now);
  if (question.plan.begun > question.now)
    reader.report("began", "the gas was put on later than now", "Check the time and the clock of this device");
  forcing.ambient_bar =
      science::standard_pressure_bar_icao(number("altitude_m", 0.0, 6000.0, "metres from 0 to 6000", 0.0));
  forcing.temperature_c = number("temperature_c", 0.0, 40.0, "degrees C from 0 to 40", 4.0);
  forcing.wanted_volumes = number("wanted_volumes", 0.2, 8.0, "volumes from 0.2 to 8", 2.5);
  forcing.start_volumes =
      number("start_volumes", 0.0, 8.0, "volumes from 0 to 8", science::carbonation_residual_volumes(20.0));
  forcing.high_gauge_bar = number("high_gauge_bar", 0.0, 10.0, "bar from 0 to 10", (40.0 * psi).in(bar));
  question.plan.keg_rating_bar = number("keg_rating_bar", 0.1, 50.0, "bar from 0.1 to 50",
                                        science::container_rating(science::Container::ball_lock_keg).working_gauge_bar);
  if (document.contains("by")) {
    const By by = reader.word("by", by_words);
    forcing.uptake = by == By::shaken  ? science::gas_uptake_shaken
                     : by == By::stone ? science::gas_uptake_stone
                                       : science::gas_uptake_at_rest;
  }
  read_readings(reader, question, problems);
  reader.report_unknown_keys();
  return question;
}

}  // namespace

Reply answer_gas(Service&, const Request& request) {
  if (request.content_type != "application/json") return bare_problem(415);
  const Json document = Json::parse(request.body, nullptr, false);
  if (!document.is_object()) {
    return bad_request("the body is no JSON object", "Send {\"wanted_volumes\": 2.5, \"temperature_c\": 4, ...}");
  }
  files::Problems problems;
  const Question question = question_of(document, problems);
  if (!problems.empty()) return problems_reply("gas", problems, Lines::hide);
  return json_reply(files::gas_json(question.plan, question.readings,
                                    gyle::gas_course(question.plan, question.readings, question.now)));
}

}  // namespace oddgrist::server
