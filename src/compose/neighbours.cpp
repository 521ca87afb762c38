#include "compose/neighbours.hpp"

#include <algorithm>
#include <cmath>

namespace oddgrist::compose {
namespace {

constexpr double times_more = 4.0;  // from one amount tried to the next

}  // namespace

std::vector<Found> with_one_more(const Found& found, const Unknowns& unknowns, const Demands& demands,
                                 const Judge& judge) {
  std::vector<Found> better;
  for (int s = 0; s < static_cast<int>(unknowns.supplies.size()); ++s) {
    if (is_used(found.design, unknowns, s)) continue;
    Found best = found;
    for (int v : unknowns.variables_of_supply[s]) {
      const double step_kg = unknowns.variables[v].step_kg;
      const double least_kg = std::ceil(std::max(demands.least_kg[s], step_kg) / step_kg - 1e-9) * step_kg;
      for (double kg = least_kg; kg <= demands.most_kg[s]; kg = std::round(times_more * kg / step_kg) * step_kg) {
        Design next = found.design;
        next.amount_kg[v] = kg;
        Found tried = judge(next);
        if (tried.loss < best.loss) best = std::move(tried);
      }
    }
    if (best.loss < found.loss) better.push_back(std::move(best));
  }
  std::stable_sort(better.begin(), better.end(), [](const Found& a, const Found& b) { return a.loss < b.loss; });
  return better;
}

std::vector<Design> with_one_fewer(const Design& design, const Unknowns& unknowns) {
  std::vector<Design> fewer;
  for (int s = 0; s < static_cast<int>(unknowns.supplies.size()); ++s) {
    if (!is_used(design, unknowns, s) || unknowns.supplies[s]->must) continue;
    fewer.push_back(design);
    for (int v : unknowns.variables_of_supply[s]) fewer.back().amount_kg[v] = 0.0;
  }
  return fewer;
}

}  // namespace oddgrist::compose
