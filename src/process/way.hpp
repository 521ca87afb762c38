// The ways of brewing: where the extract comes from, and what is done with the wort. One table; files, JSON and sentences take their
// words from it.
#pragma once

#include <array>
#include <optional>
#include <string_view>

#include "larder/ingredient.hpp"

namespace oddgrist::process {

enum class Way { bag, sparge, extract, steep, part_mash, part_boil, diluted, no_boil, no_malt };
inline constexpr std::size_t way_count = 9;

// What is done with grain, if there is any.
enum class Mashing { none, steep, bag, sparge };

struct WayRow {
  Way way;
  std::string_view id;     // in files and JSON
  std::string_view words;  // for people
};

inline constexpr std::array<WayRow, way_count> ways = {{
    {Way::bag, "bag", "all grain, in a bag"},
    {Way::sparge, "sparge", "all grain, sparged"},
    {Way::extract, "extract", "malt extract"},
    {Way::steep, "steep", "extract with steeped grain"},
    {Way::part_mash, "part-mash", "malt extract with a part mash"},
    {Way::part_boil, "part-boil", "part boil, topped up in the fermenter"},
    {Way::diluted, "diluted", "strong wort, thinned in the fermenter"},
    {Way::no_boil, "no-boil", "no boil"},
    {Way::no_malt, "no-malt", "no malt"},
}};

[[nodiscard]] constexpr const WayRow& row_of(Way way) { return ways[static_cast<std::size_t>(way)]; }
[[nodiscard]] std::optional<Way> way_named(std::string_view id);

inline constexpr std::array<std::string_view, 4> mashing_ids = {"none", "steep", "bag", "sparge"};
[[nodiscard]] constexpr std::string_view id_of(Mashing mashing) {
  return mashing_ids[static_cast<std::size_t>(mashing)];
}

[[nodiscard]] bool is_malt_extract(const larder::Ingredient& ingredient);
[[nodiscard]] bool is_grain(const larder::Ingredient& ingredient);
// Grain that gives nothing without enzymes; what else there is can be steeped.
[[nodiscard]] bool needs_mash(const larder::Ingredient& ingredient);
// Whether this way has a place for it. No way stated: every way.
[[nodiscard]] bool takes(std::optional<Way> way, const larder::Ingredient& ingredient);

}  // namespace oddgrist::process
