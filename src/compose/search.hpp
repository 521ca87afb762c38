// The inversion: choose the design whose true forecast misses the demands least. Sequential linear programming on the forward
// model's own derivatives, then mixed-integer solves for counts and weighable steps, re-linearised until the true forecast agrees.
#pragma once

#include <functional>

#include "compose/design.hpp"
#include "compose/elastic.hpp"
#include "compose/linear_core.hpp"

namespace oddgrist::compose {

struct Found {
  Design design;
  std::array<double, gauge_count> gauges{};
  double loss = 0.0;
  double bound = 0.0;  // of the final linear core, counts and steps included
  int linearisations = 0;
  std::vector<double> elastic_price;  // what one unit more room on each elastic is worth, ingredients kept as chosen
  [[nodiscard]] double gap() const;
};

// A design by its true forecast.
[[nodiscard]] Found judged(const Brief& brief, const Unknowns& unknowns, const Demands& demands,
                           const Fermentation& fermentation, const Design& design);
using Judge = std::function<Found(const Design&)>;

inline constexpr double loss_of_a_miss = 10.0;  // points: more, and some demand is missed

// weighable: amounts come in steps of a scale, as a recipe needs them. counted: only the numbers of malts and hops are whole, which
// is enough to ask by how much demands are missed, and much faster. asked: only whether they can stand together; given up where the
// relaxation, which may use a thing in part, sees no way.
enum class Exactness { weighable, counted, asked };
inline constexpr double met_within_points = 1.0;  // the least weight of a demand, at met_within_scales of clash.hpp

// Nothing but the demands counts: no preference, no money, no handiness.
[[nodiscard]] Demands demands_alone(Demands demands);

// Begins at `start` if there is one, else at a plain guess. One descent: what it finds may be a local optimum. Gives up, with a loss above
// it, where nothing promises to lose less than `below`.
[[nodiscard]] Found search(const Brief& brief, const Unknowns& unknowns, const Demands& demands,
                           const Fermentation& fermentation, Exactness exactness = Exactness::weighable,
                           const Design* start = nullptr, double below = unlimited);

// The search, and where demands are missed once more from recipes that would be right if one missed demand did not matter.
[[nodiscard]] Found search_thoroughly(const Brief& brief, const Unknowns& unknowns, const Demands& demands,
                                      const Fermentation& fermentation, double below = unlimited);

// Which supplies a search would go on with after the relaxation; all of them if they are few.
[[nodiscard]] std::vector<bool> shortlist_for(const Brief& brief, const Unknowns& unknowns, const Demands& demands,
                                              const Fermentation& fermentation, const Design& start);

// With the ingredients of a design kept: what a little more room on each elastic would gain.
[[nodiscard]] std::vector<double> elastic_prices(const Brief& brief, const Unknowns& unknowns, const Demands& demands,
                                                 const Fermentation& fermentation, const Design& design);

// Keeps the ingredients of a design and lets only amounts move: a few linear solves, for when a wish has moved a little.
[[nodiscard]] Found refit(const Brief& brief, const Unknowns& unknowns, const Demands& demands,
                          const Fermentation& fermentation, Exactness exactness, const Design& design);

// The part of the loss that comes from missing demands (not preferences or costs), in scales: 0 when everything is met.
double missed_scales(const Demands& demands, const Found& found, const Unknowns& unknowns);

}  // namespace oddgrist::compose
