// What a packet means, as JSON: docs/schema/packet.schema.json.
#pragma once

#include <vector>

#include "files/answer_json.hpp"
#include "files/item_section.hpp"
#include "larder/hazards.hpp"

namespace oddgrist::files {

Json hazards_json(const std::vector<larder::Hazard>& hazards);

Json packets_json(const std::vector<Item>& items);

}  // namespace oddgrist::files
