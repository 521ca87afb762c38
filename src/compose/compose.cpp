#include <optional>

#include "compose/cautions.hpp"
#include "compose/clash.hpp"
#include "compose/design.hpp"
#include "compose/elastic.hpp"
#include "compose/poured.hpp"
#include "compose/proposal.hpp"
#include "compose/search.hpp"
#include "compose/yeast_choice.hpp"

namespace oddgrist::compose {
Answer compose(const Brief& brief) {
  Answer answer;
  answer.cautions = cautions_of_ingredients(brief);
  if (refuses(answer.cautions)) {
    answer.outcome = Outcome::refused;
    return answer;
  }
  const Unknowns unknowns = unknowns_of(brief);
  const Demands demands = demands_of(brief, unknowns);
  std::vector<const Supply*> yeasts = yeasts_of(brief);
  if (yeasts.empty()) yeasts.push_back(nullptr);
  std::optional<Found> best;
  Fermentation chosen;
  for (const Supply* yeast : yeasts) {
    Fermentation fermentation = ferment_with(brief, yeast);
    const double below = best ? best->loss : unlimited;
    Found found = search_thoroughly(brief, unknowns, demands, fermentation, below);
    if (!best || found.loss < best->loss) {
      best = std::move(found);
      chosen = fermentation;
    }
  }
  pitch_for_the_wort(brief, unknowns, demands, *best, chosen);
  answer.proposals.push_back(proposal_of(brief, unknowns, demands, *best, chosen));
  answer.cautions = cautions_of_proposal(brief, answer.proposals.front());
  if (refuses(answer.cautions)) {
    answer.proposals.clear();
    answer.outcome = Outcome::refused;
    return answer;
  }
  if (missed_scales(demands, *best, unknowns) >= met_within_scales) {
    answer.outcome = Outcome::nearest;
    answer.clashes = clashes_of(brief, unknowns, demands, chosen, best->design);
  }
  return answer;
}

}  // namespace oddgrist::compose
