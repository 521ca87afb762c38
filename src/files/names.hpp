// The words that stand for enumerated values in JSON. A reader may rely on them: they change only with the schema.
#pragma once

#include <string_view>

#include "compose/proposal.hpp"
#include "larder/hazards.hpp"
#include "larder/packet.hpp"

namespace oddgrist::files {

std::string_view route_name(compose::Route route);
std::string_view severity_name(compose::Severity severity);
std::string_view outcome_name(compose::Outcome outcome);
std::string_view kind_name(larder::IngredientKind kind);
std::string_view preservative_name(larder::Preservative preservative);
std::string_view finding_severity_name(larder::FindingSeverity severity);
std::string_view hazard_severity_name(larder::HazardSeverity severity);

}  // namespace oddgrist::files
