#include "server/hazard_json.hpp"

#include "files/names.hpp"
#include "larder/hazards.hpp"

namespace oddgrist::server {

files::Json hazards_json(const larder::Ingredient& ingredient) {
  files::Json list = files::Json::array();
  for (const larder::Hazard& hazard : larder::hazards_in(ingredient)) {
    list.push_back(files::Json{{"severity", files::hazard_severity_name(hazard.severity)},
                               {"text", hazard.text},
                               {"instead", hazard.instead},
                               {"source", hazard.source}});
  }
  return list;
}

}  // namespace oddgrist::server
