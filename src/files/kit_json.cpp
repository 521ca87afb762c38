#include "files/kit_json.hpp"

#include <cmath>

#include <fmt/format.h>

#include "files/event_json.hpp"
#include "quantity/number.hpp"

namespace oddgrist::files {
namespace {

double shortened(double value) { return rounded_to_digits(value, 6); }
double share(double value) { return std::round(value * 1e4) / 1e4; }

Json range_json(double value, double low, double high) {
  return Json{{"value", shortened(value)}, {"low", shortened(low)}, {"high", shortened(high)}};
}

}  // namespace

Json learned_json(const std::vector<gyle::LearnedFigure>& figures) {
  Json list = Json::array();
  for (const gyle::LearnedFigure& each : figures) {
    Json json{{"figure", each.name}, {"unit", each.unit}};
    if (!each.yeast.empty()) json["yeast"] = each.yeast;
    json["stated"] = range_json(each.stated, each.stated_low, each.stated_high);
    json["learned"] = range_json(each.learned, each.learned_low, each.learned_high);
    json["narrower"] = share(each.narrower);
    json["gyles"] = each.gyles;
    json["let_go"] = each.let_go;
    list.push_back(std::move(json));
  }
  return list;
}

Json useful_json(const std::vector<gyle::UsefulReading>& useful) {
  Json list = Json::array();
  for (const gyle::UsefulReading& each : useful) {
    list.push_back(Json{
        {"sight", sight_word(each.sight)}, {"stage", stage_word(each.stage)}, {"takes_off", share(each.takes_off)}});
  }
  return list;
}

}  // namespace oddgrist::files
