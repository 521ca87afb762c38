// The loss taken apart, so that words can be put to it. Its sum is loss_of().
#pragma once

#include <string>
#include <vector>

#include "compose/elastic.hpp"

namespace oddgrist::compose {

struct LossTerm {
  enum class Kind { demand, edge, handling, money, use, packet };
  Kind kind = Kind::demand;
  int index = -1;  // elastic, variable or supply
  double points = 0.0;
};

// Always the same terms in the same order for the same demands.
[[nodiscard]] std::vector<LossTerm> loss_terms(const Demands& demands, const Design& design, const Unknowns& unknowns,
                                               const std::array<double, gauge_count>& gauges);

// The demand, or the range at whose edge it stands, in the brief's words.
[[nodiscard]] std::string term_words(const Demands& demands, const Unknowns& unknowns, const LossTerm& term);

}  // namespace oddgrist::compose
