#include "compose/last_steps.hpp"

#include <algorithm>

namespace oddgrist::compose {
namespace {

constexpr int most_passes = 6;
constexpr int most_kicks_taken = 3;
constexpr int most_looks_of_kicks = 5000;
// A move that the slopes expect to lose more than this is not tried.
double worth_a_look(double loss) { return 0.02 + 1e-3 * loss; }
// A move must gain this much: when demands are missed anyway, trifles are not worth the time.
double worth_a_move(double loss) { return loss < 10.0 ? 1e-6 : 1e-4 * loss; }

class Look {
 public:
  Look(const Unknowns& unknowns, const Demands& demands, const Judge& judge, const Linearisation& line,
       const Design& design)
      : unknowns_(unknowns), demands_(demands), judge_(judge), line_(line) {
    for (std::size_t v = 0; v < design.amount_kg.size(); ++v) {
      const bool water = unknowns_.variables[v].supply < 0;
      if (water) waters_.push_back(static_cast<int>(v));
      if (!water && design.amount_kg[v] > 1e-9) used_.push_back(static_cast<int>(v));
    }
  }

  // Downhill by single moves.
  void descend(Found& best) {
    bool better = true;
    for (int pass = 0; better && pass < most_passes; ++pass) {
      better = false;
      for (int steps : {16, -16, 4, -4, 1, -1}) {
        for (int v : used_) {
          while (take(best, v, steps, -1)) better = true;
        }
        for (int v : waters_) {
          while (take(best, v, steps, -1)) better = true;
          for (int other : waters_) {
            for (int more : {0, 1, -1}) {
              while (other != v && take(best, v, steps, other, more)) better = true;
            }
          }
        }
      }
    }
  }

  void kick(Found& best) {
    looks_ = 0;
    for (int taken = 0; taken < most_kicks_taken; ++taken) {
      Found better = best;
      for (int v : used_) {
        for (int steps : {1, -1, 2, -2}) {
          if (looks_ > most_looks_of_kicks) break;
          Design next = best.design;
          if (!move(next, v, steps, -1)) continue;
          Found found = judge_(next);
          descend(found);
          if (found.loss < better.loss) better = std::move(found);
        }
      }
      if (better.loss > best.loss - worth_a_move(best.loss)) return;
      best = std::move(better);
    }
  }

 private:
  // `against`: what gives that much, but for `more` steps of its own. False if there is too little of it.
  bool move(Design& design, int v, int steps, int against, int more = 0) const {
    const double change = steps * unknowns_.variables[v].step_kg;
    design.amount_kg[v] += change;
    if (against >= 0) design.amount_kg[against] += more * unknowns_.variables[against].step_kg - change;
    for (int each : {v, against}) {
      if (each < 0) continue;
      if (design.amount_kg[each] < -1e-9) return false;
      if (design.amount_kg[each] < 1e-9) design.amount_kg[each] = 0.0;
    }
    const int supply = unknowns_.variables[v].supply;
    return supply < 0 || least_is_kept(design, supply);
  }
  bool least_is_kept(const Design& design, int supply) const {
    double kg = 0.0;
    for (int v : unknowns_.variables_of_supply[supply]) kg += design.amount_kg[v];
    return kg < 1e-9 || kg >= demands_.least_kg[supply] - 1e-9;
  }
  [[nodiscard]] double expected(const Found& from, const Design& next, int v, int against) const {
    std::array<double, gauge_count> gauges = from.gauges;
    for (int each : {v, against}) {
      if (each < 0) continue;
      const double change = next.amount_kg[each] - from.design.amount_kg[each];
      for (int g = 0; g < gauge_count; ++g) gauges[g] += line_.per_kg[g][each] * change;
    }
    return loss_of(demands_, next, unknowns_, gauges);
  }
  bool take(Found& best, int v, int steps, int against, int more = 0) {
    Design next = best.design;
    if (!move(next, v, steps, against, more)) return false;
    if (expected(best, next, v, against) > best.loss + worth_a_look(best.loss)) return false;
    ++looks_;
    Found found = judge_(next);
    if (found.loss > best.loss - worth_a_move(best.loss)) return false;
    best = std::move(found);
    return true;
  }

  const Unknowns& unknowns_;
  const Demands& demands_;
  const Judge& judge_;
  const Linearisation& line_;
  std::vector<int> used_, waters_;
  int looks_ = 0;
};

}  // namespace

void look_around(Found& best, const Unknowns& unknowns, const Demands& demands, const Judge& judge,
                 const Linearisation& line, Kicks kicks) {
  Look look(unknowns, demands, judge, line, best.design);
  look.descend(best);
  if (kicks == Kicks::yes) look.kick(best);
}

}  // namespace oddgrist::compose
