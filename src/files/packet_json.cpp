#include "files/packet_json.hpp"

#include "files/ingredient_json.hpp"
#include "files/names.hpp"
#include "larder/allergen_names.hpp"

namespace oddgrist::files {
namespace {

Json energy_json(const std::optional<double>& printed, const larder::EnergyCheck& check) {
  Json entry{{"printed", printed ? Json(*printed) : Json(nullptr)}, {"checked", check.done}};
  if (!check.done) return entry;
  entry["computed"] = check.computed;
  entry["low"] = check.low;
  entry["high"] = check.high;
  return entry;
}

Json findings_json(const std::vector<larder::Finding>& findings) {
  Json list = Json::array();
  for (const larder::Finding& finding : findings) {
    Json entry{{"severity", finding_severity_name(finding.severity)},
               {"figure", finding.figure},
               {"message", finding.message}};
    if (finding.intended) entry["intended"] = *finding.intended;
    list.push_back(std::move(entry));
  }
  return list;
}

Json allergens_json(const std::vector<larder::Allergen>& allergens) {
  Json list = Json::array();
  for (const larder::Allergen allergen : allergens)
    list.push_back(larder::allergen_names[static_cast<std::size_t>(allergen)]);
  return list;
}

}  // namespace

Json hazards_json(const std::vector<larder::Hazard>& hazards) {
  Json list = Json::array();
  for (const larder::Hazard& hazard : hazards) {
    list.push_back(Json{{"id", hazard.id},
                        {"severity", hazard_severity_name(hazard.severity)},
                        {"found", hazard.found},
                        {"text", hazard.text},
                        {"instead", hazard.instead},
                        {"source", hazard.source}});
  }
  return list;
}

Json packets_json(const std::vector<Item>& items) {
  Json list = Json::array();
  for (const Item& item : items) {
    const larder::PacketReading& reading = item.reading;
    list.push_back(Json{{"name", item.name},
                        {"sound", reading.sound()},
                        {"ingredient", ingredient_json(reading.ingredient)},
                        {"energy_kj", energy_json(item.label.energy_kj, reading.kj)},
                        {"energy_kcal", energy_json(item.label.energy_kcal, reading.kcal)},
                        {"findings", findings_json(reading.findings)},
                        {"contains", allergens_json(reading.allergens.contains)},
                        {"may_contain", allergens_json(reading.allergens.may_contain)},
                        {"hazards", hazards_json(larder::hazards_in(reading.ingredient))}});
  }
  return Json{{"packets", std::move(list)}, {"notice", larder::hazard_notice}};
}

}  // namespace oddgrist::files
