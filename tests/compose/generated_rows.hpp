// The ordinary ingredients that generated briefs draw from: a list of its own, so that a seed means the same brief however the catalogue grows.
#pragma once

#include <span>
#include <string_view>

#include "larder/ingredient.hpp"

namespace oddgrist::compose::generated {

inline constexpr std::string_view adjunct_ids[] = {"flaked-barley", "flaked-maize",  "flaked-rice",     "flaked-wheat",
                                                   "flaked-rye",    "flaked-oats",   "torrefied-wheat", "raw-wheat",
                                                   "raw-barley",    "roasted-barley"};
inline constexpr std::string_view food_ids[] = {"quince-jelly",
                                                "salted-lemon-paste",
                                                "hazelnut-paste",
                                                "honey-hazelnut-paste",
                                                "peanut-butter",
                                                "almond-paste",
                                                "sesame-paste",
                                                "dark-chocolate",
                                                "milk-chocolate",
                                                "cocoa-powder",
                                                "cocoa-nibs",
                                                "raisins",
                                                "dates",
                                                "dried-apricots",
                                                "banana",
                                                "raspberry",
                                                "strawberry",
                                                "blackberry",
                                                "sour-cherries",
                                                "plums",
                                                "apple",
                                                "apple-juice",
                                                "pear-juice",
                                                "grape-juice",
                                                "orange-marmalade",
                                                "berry-jam",
                                                "pumpkin",
                                                "chestnuts",
                                                "stale-bread",
                                                "cooked-potato",
                                                "coffee-beans",
                                                "black-tea",
                                                "vanilla-pod",
                                                "ceylon-cinnamon",
                                                "cassia-cinnamon",
                                                "coriander-seed",
                                                "orange-peel-dried",
                                                "ginger-root",
                                                "juniper-berries",
                                                "elderflowers",
                                                "chilli-dried",
                                                "coconut-flakes",
                                                "oak-chips",
                                                "skimmed-milk-powder"};
inline constexpr std::string_view hop_ids[] = {"home-dried-hops",
                                               "fuggle",
                                               "golding",
                                               "whitbread-golding",
                                               "progress",
                                               "saaz",
                                               "hallertauer-mittelfrueh",
                                               "tettnanger",
                                               "spalter",
                                               "hersbrucker",
                                               "perle",
                                               "northern-brewer",
                                               "brewers-gold",
                                               "bramling-cross",
                                               "challenger",
                                               "target",
                                               "northdown",
                                               "first-gold",
                                               "magnum",
                                               "cascade",
                                               "centennial",
                                               "chinook",
                                               "willamette",
                                               "cluster",
                                               "styrian-golding"};
inline constexpr std::string_view malt_ids[] = {"pale-ale-malt",
                                                "pilsner-malt",
                                                "mild-ale-malt",
                                                "vienna-malt",
                                                "munich-malt-light",
                                                "munich-malt-dark",
                                                "wheat-malt",
                                                "dark-wheat-malt",
                                                "smoked-wheat-malt",
                                                "smoked-barley-malt",
                                                "peat-smoked-malt",
                                                "rye-malt",
                                                "oat-malt",
                                                "spelt-malt",
                                                "acidulated-malt",
                                                "melanoidin-malt",
                                                "biscuit-malt",
                                                "amber-malt",
                                                "brown-malt",
                                                "dextrin-malt",
                                                "crystal-malt-pale",
                                                "crystal-malt-medium",
                                                "crystal-malt-dark",
                                                "crystal-rye-malt",
                                                "pale-chocolate-malt",
                                                "chocolate-malt",
                                                "black-malt",
                                                "chocolate-wheat-malt"};
inline constexpr std::string_view sugar_ids[] = {"white-sugar",
                                                 "glucose-monohydrate",
                                                 "fructose",
                                                 "light-brown-sugar",
                                                 "muscovado-sugar",
                                                 "invert-syrup",
                                                 "dark-invert-syrup",
                                                 "light-treacle-syrup",
                                                 "black-treacle",
                                                 "honey",
                                                 "maple-syrup",
                                                 "agave-syrup",
                                                 "lactose",
                                                 "maltodextrin",
                                                 "glucose-syrup",
                                                 "dried-malt-extract-pale",
                                                 "dried-malt-extract-amber",
                                                 "dried-malt-extract-dark",
                                                 "liquid-malt-extract-pale",
                                                 "liquid-malt-extract-amber",
                                                 "liquid-malt-extract-dark"};

inline std::span<const std::string_view> ids_of(larder::IngredientKind kind) {
  switch (kind) {
    case larder::IngredientKind::malt: return malt_ids;
    case larder::IngredientKind::adjunct: return adjunct_ids;
    case larder::IngredientKind::sugar: return sugar_ids;
    case larder::IngredientKind::hop: return hop_ids;
    case larder::IngredientKind::food: return food_ids;
    default: return {};
  }
}

}  // namespace oddgrist::compose::generated
