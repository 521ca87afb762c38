// What is learned of a kit, in words.
#pragma once

#include <string>
#include <vector>

#include "gyle/learn.hpp"

namespace oddgrist::present {

struct KitStory {
  std::string name;
  std::vector<std::string> gyles, told, strange, left_out;
  std::vector<gyle::LearnedFigure> figures;
  std::vector<gyle::UsefulReading> useful;
};

// "2.31 L/h", "93 %"
[[nodiscard]] std::string figure_words(const std::string& unit, double value);
[[nodiscard]] std::string kit_text(const KitStory& story);
// What a recipe was reckoned with; none: as on a kit nobody has brewed on.
[[nodiscard]] std::string learned_text(const std::string& kit, const std::vector<gyle::LearnedFigure>& figures);

}  // namespace oddgrist::present
