// What many gyles say of a kit: each figure as a distribution that sharpens with every gyle read, and widens again with time.
//
// A figure of one day is the kit's own figure and that day's scatter. Both are normal in the standard normal inputs of brewing.hpp. The
// scatter is as wide as a brief's doubts, which are those of an ordinary day on a kit one knows; both together are as wide as what can be
// expected of a kit nobody has brewed on. What a gyle says is its belief with the prior taken out again (information form);
// that is added to the joint belief about all figures of the kit, so that what two readings say only together stays together.
// A gyle that does not fit pulls with the weight of Student's t and makes the next one count for more.
#pragma once

#include <span>
#include <string>
#include <vector>

#include <Eigen/Core>

#include "gyle/condition.hpp"
#include "gyle/learn_cooling.hpp"

namespace oddgrist::gyle {

// So much of what is known is still known a gyle later, and after a gyle that did not fit. Own estimates.
inline constexpr double kept_a_gyle = 0.97;
inline constexpr double kept_when_surprised = 0.5;
// A gyle further from what was believed than this share of all gyles would be does not fit.
inline constexpr double surprise_beyond = 0.99;
inline constexpr double learn_freedom = 4.0;  // of Student's t
// A gyle tells a figure if it alone takes this much off its variance.
inline constexpr double tells_from = 0.05;
inline constexpr double z_of_90_percent =
    1.2815515655446004;  // of the standard normal distribution: the middle 80 % end here

struct KitFigure {
  Input reference;         // as doubtful as of a first gyle; z is counted in this
  double day_share = 0.0;  // of its variance: what comes anew each day; the rest is the kit's own
  std::string yeast;       // its name; empty: of the kit itself
  int gyles = 0;           // that told something of it
  int let_go = 0;          // how often a change of the kit made it start anew
};

struct KitKnowledge {
  std::string kit;
  std::vector<KitFigure> figures;
  Eigen::VectorXd mean;        // of the kit's own figures, z
  Eigen::MatrixXd covariance;  // likewise
  Cooling cooling;
  int gyles = 0;             // with readings
  std::vector<int> strange;  // numbers of those that did not fit, from 1
  process::Kit stated;       // of the gyle taken last
  bool surprised = false;    // by it
};

struct PastGyle {
  const compose::Brief* brief = nullptr;  // as stated, without anything learned
  const State* state = nullptr;
};

// Gyles in order of time.
[[nodiscard]] KitKnowledge learned_from(std::span<const PastGyle> gyles);
void learn(KitKnowledge& knowledge, const PastGyle& gyle);
// The kit as a brief states it now. A stated figure that moved to where the belief lies is no change; any other lets go of what was known.
void restate(KitKnowledge& knowledge, const process::Kit& kit);

// Of a coming day. Kit and yeast are as they are reckoned with: as if scale and jug were right.
struct LearnedFigure {
  std::string name, unit, yeast;
  double stated = 0.0, stated_low = 0.0, stated_high = 0.0;     // middle 80 %
  double learned = 0.0, learned_low = 0.0, learned_high = 0.0;  // likewise
  double narrower = 0.0;  // share of the stated width that is gone; below 0: it became wider
  int gyles = 0, let_go = 0;
  bool reckoned_with = true;  // false: of scale or jug; a brief takes the others so that these may count as right
};
[[nodiscard]] std::vector<LearnedFigure> figures_of(const KitKnowledge& knowledge);

// The brief with every figure that was told moved to where it was learned, and its doubt as narrow as that.
[[nodiscard]] compose::Brief with_learned(compose::Brief brief, KitKnowledge knowledge);

// A reading at an ordinary instrument's error, and how much it would take off the variance in the original gravity and the volume in the
// fermenter that not knowing the kit causes (mean of the two shares). The most useful first; those under a hundredth are left out.
struct UsefulReading {
  Sight sight = Sight::gravity;
  Stage stage = Stage::before_boil;
  double takes_off = 0.0;
};
[[nodiscard]] std::vector<UsefulReading> useful_readings(const compose::Brief& brief, const State& state,
                                                         const KitKnowledge& knowledge);

}  // namespace oddgrist::gyle
