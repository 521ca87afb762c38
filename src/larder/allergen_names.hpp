// The fourteen allergens of Regulation (EU) 1169/2011, Annex II, by the names data files use and by the words for
// people.
#pragma once

#include <array>
#include <optional>
#include <string_view>

#include "larder/ingredient.hpp"

namespace oddgrist::larder {

inline constexpr std::size_t allergen_count = 14;

inline constexpr std::array<std::string_view, allergen_count> allergen_names = {
    "gluten-cereal", "crustacean", "egg",     "fish",   "peanut",   "soya",  "milk",
    "tree-nut",      "celery",     "mustard", "sesame", "sulphite", "lupin", "mollusc"};

inline constexpr std::array<std::string_view, allergen_count> allergen_words = {"cereals containing gluten",
                                                                                "crustaceans",
                                                                                "egg",
                                                                                "fish",
                                                                                "peanut",
                                                                                "soya",
                                                                                "milk",
                                                                                "tree nuts",
                                                                                "celery",
                                                                                "mustard",
                                                                                "sesame",
                                                                                "sulphites",
                                                                                "lupin",
                                                                                "molluscs"};

constexpr std::string_view words_for(Allergen allergen) { return allergen_words[static_cast<std::size_t>(allergen)]; }

constexpr std::optional<Allergen> allergen_named(std::string_view name) {
  for (std::size_t i = 0; i < allergen_count; ++i)
    if (allergen_names[i] == name) return static_cast<Allergen>(i);
  return std::nullopt;
}

}  // namespace oddgrist::larder
