// A brief that stays open while its wishes are being moved. A nudge keeps the ingredients and re-fits their amounts in a few
// milliseconds; settling composes again from the beginning.
#pragma once

#include <vector>

#include "compose/design.hpp"
#include "compose/elastic.hpp"
#include "compose/proposal.hpp"

namespace oddgrist::compose {

class Warm {
 public:
  explicit Warm(Brief brief);
  Warm(const Warm&) = delete;  // the unknowns point into the brief
  Warm& operator=(const Warm&) = delete;

  [[nodiscard]] const Brief& brief() const { return brief_; }
  [[nodiscard]] const Answer& answer() const { return answer_; }
  // False after a nudge: another choice of ingredients might serve better, and clashes are not sought.
  [[nodiscard]] bool settled() const { return settled_; }

  // The wishes of the brief with other ranges or weights. Wishes for other measures than before are settled at once.
  const Answer& nudge(std::vector<Wish> wishes);
  const Answer& settle();

 private:
  Brief brief_;
  Unknowns unknowns_;
  Fermentation fermentation_;
  Design design_;
  Answer answer_;
  bool settled_ = false;
};

}  // namespace oddgrist::compose
