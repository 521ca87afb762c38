#include "present/allergens.hpp"

#include <algorithm>
#include <set>

#include "larder/allergen_names.hpp"

namespace oddgrist::present {
std::string allergen_words(const compose::Brief& brief, const compose::Proposal& proposal) {
  std::set<larder::Allergen> found(proposal.yeast.allergens.begin(), proposal.yeast.allergens.end());
  const auto used = [&](const std::string& id) {
    return std::any_of(proposal.additions.begin(), proposal.additions.end(),
                       [&](const compose::Addition& addition) { return addition.ingredient_id == id; });
  };
  for (const auto* supplies : {&brief.given, &brief.have}) {
    for (const compose::Supply& supply : *supplies) {
      if (used(supply.ingredient.id))
        found.insert(supply.ingredient.allergens.begin(), supply.ingredient.allergens.end());
    }
  }
  std::string text;
  for (const larder::Allergen allergen : found)
    text += (text.empty() ? "" : ", ") + std::string(larder::words_for(allergen));
  return text;
}

}  // namespace oddgrist::present
