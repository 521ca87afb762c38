#include "files/names.hpp"

namespace oddgrist::files {

std::string_view route_name(compose::Route route) {
  switch (route) {
    case compose::Route::mash: return "mash";
    case compose::Route::boil: return "boil";
    case compose::Route::flame_out: return "flame-out";
    case compose::Route::fermenter: return "fermenter";
    case compose::Route::infusion: return "infusion";
  }
  return "unknown";
}

std::string_view severity_name(compose::Severity severity) {
  switch (severity) {
    case compose::Severity::note: return "note";
    case compose::Severity::caution: return "caution";
    case compose::Severity::danger: return "danger";
    case compose::Severity::refuse: return "refuse";
  }
  return "unknown";
}

std::string_view outcome_name(compose::Outcome outcome) {
  switch (outcome) {
    case compose::Outcome::met: return "met";
    case compose::Outcome::nearest: return "nearest";
    case compose::Outcome::refused: return "refused";
  }
  return "unknown";
}

std::string_view kind_name(larder::IngredientKind kind) {
  switch (kind) {
    case larder::IngredientKind::malt: return "malt";
    case larder::IngredientKind::adjunct: return "adjunct";
    case larder::IngredientKind::sugar: return "sugar";
    case larder::IngredientKind::hop: return "hop";
    case larder::IngredientKind::yeast: return "yeast";
    case larder::IngredientKind::bacterium: return "bacterium";
    case larder::IngredientKind::salt: return "salt";
    case larder::IngredientKind::acid: return "acid";
    case larder::IngredientKind::fining: return "fining";
    case larder::IngredientKind::food: return "food";
  }
  return "unknown";
}

std::string_view preservative_name(larder::Preservative preservative) {
  switch (preservative) {
    case larder::Preservative::sorbate: return "sorbate";
    case larder::Preservative::benzoate: return "benzoate";
    case larder::Preservative::sulphite: return "sulphite";
    case larder::Preservative::natamycin: return "natamycin";
    case larder::Preservative::other: return "other";
  }
  return "unknown";
}

std::string_view finding_severity_name(larder::FindingSeverity severity) {
  switch (severity) {
    case larder::FindingSeverity::note: return "note";
    case larder::FindingSeverity::doubtful: return "doubtful";
    case larder::FindingSeverity::wrong: return "wrong";
  }
  return "unknown";
}

std::string_view hazard_severity_name(larder::HazardSeverity severity) {
  switch (severity) {
    case larder::HazardSeverity::caution: return "caution";
    case larder::HazardSeverity::danger: return "danger";
    case larder::HazardSeverity::refuse: return "refuse";
  }
  return "unknown";
}

}  // namespace oddgrist::files
