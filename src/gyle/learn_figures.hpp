// Inside src/gyle/learn: the figures a kit is known by, and what is believed of them.
#pragma once

#include <string>
#include <vector>

#include "gyle/learn.hpp"

namespace oddgrist::gyle::learning {

using Eigen::Index;

inline Index size_of(const KitKnowledge& knowledge) { return static_cast<Index>(knowledge.figures.size()); }
inline KitFigure& figure(KitKnowledge& knowledge, Index k) { return knowledge.figures[static_cast<std::size_t>(k)]; }
inline const KitFigure& figure(const KitKnowledge& knowledge, Index k) {
  return knowledge.figures[static_cast<std::size_t>(k)];
}
inline double own_variance(const KitFigure& of) { return 1.0 - of.day_share; }

[[nodiscard]] bool is_learned(compose::Topic topic);
// What the amounts are measured with. Off by what it is, it is as good as right for a brewer whose kit is reckoned to go with it.
[[nodiscard]] bool is_measure(compose::Topic topic);
// -1: there is none of this name.
[[nodiscard]] Index place_of(const KitKnowledge& knowledge, const std::string& name);
// Of the figure on a coming day, z.
[[nodiscard]] double day_deviation(const KitKnowledge& knowledge, Index k);

// A figure nothing is known of yet.
[[nodiscard]] KitFigure figure_for(const compose::Doubt& stated);
[[nodiscard]] std::vector<KitFigure> figures_for(const process::Kit& kit);
void add_figure(KitKnowledge& knowledge, const KitFigure& added);
void let_go(KitKnowledge& knowledge, Index k);
// The figure as it is stated now.
void refer_to(KitKnowledge& knowledge, Index k, const KitFigure& stated);

// The brief with the kit's figures as doubtful as those of a kit nobody has brewed on.
[[nodiscard]] compose::Brief on_a_new_kit(compose::Brief brief);

}  // namespace oddgrist::gyle::learning
