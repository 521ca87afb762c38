// The words that data files and JSON have for the classes, uses and grades of an ingredient.
#pragma once

#include <array>
#include <optional>
#include <string_view>
#include <utility>

#include "larder/ingredient.hpp"

namespace oddgrist::larder {

template <class Enum>
using Word = std::pair<std::string_view, Enum>;

inline constexpr std::array<Word<IngredientClass>, 25> class_words = {{
    {"none", IngredientClass::none},
    {"base", IngredientClass::base},
    {"toasted", IngredientClass::toasted},
    {"crystal", IngredientClass::crystal},
    {"roasted", IngredientClass::roasted},
    {"acidulated", IngredientClass::acidulated},
    {"smoked", IngredientClass::smoked},
    {"raw", IngredientClass::raw},
    {"flaked", IngredientClass::flaked},
    {"torrefied", IngredientClass::torrefied},
    {"husk", IngredientClass::husk},
    {"plain-sugar", IngredientClass::plain_sugar},
    {"syrup", IngredientClass::syrup},
    {"honey", IngredientClass::honey},
    {"malt-extract", IngredientClass::malt_extract},
    {"unfermentable", IngredientClass::unfermentable},
    {"ale-yeast", IngredientClass::ale_yeast},
    {"lager-yeast", IngredientClass::lager_yeast},
    {"wine-yeast", IngredientClass::wine_yeast},
    {"bread-yeast", IngredientClass::bread_yeast},
    {"wild-yeast", IngredientClass::wild_yeast},
    {"lactic-bacterium", IngredientClass::lactic_bacterium},
    {"enzyme", IngredientClass::enzyme},
    {"nutrient", IngredientClass::nutrient},
    {"clarifier", IngredientClass::clarifier},
}};

inline constexpr std::array<Word<HopUse>, 4> hop_use_words = {
    {{"unknown", HopUse::unknown}, {"bittering", HopUse::bittering}, {"aroma", HopUse::aroma}, {"both", HopUse::both}}};

inline constexpr std::array<Word<Keeping>, 4> keeping_words = {
    {{"unknown", Keeping::unknown}, {"poor", Keeping::poor}, {"fair", Keeping::fair}, {"good", Keeping::good}}};

inline constexpr std::array<Word<Flocculation>, 4> flocculation_words = {{{"unknown", Flocculation::unknown},
                                                                          {"low", Flocculation::low},
                                                                          {"medium", Flocculation::medium},
                                                                          {"high", Flocculation::high}}};

inline constexpr std::array<Word<EnzymeTarget>, 6> enzyme_words = {{{"starch", EnzymeTarget::starch},
                                                                    {"dextrin", EnzymeTarget::dextrin},
                                                                    {"pectin", EnzymeTarget::pectin},
                                                                    {"lactose", EnzymeTarget::lactose},
                                                                    {"protein", EnzymeTarget::protein},
                                                                    {"glucan", EnzymeTarget::glucan}}};

template <class Enum, std::size_t count>
constexpr std::string_view word_for(const std::array<Word<Enum>, count>& words, Enum value) {
  for (const auto& [word, known] : words)
    if (known == value) return word;
  return words.front().first;
}

template <class Enum, std::size_t count>
constexpr std::optional<Enum> named(const std::array<Word<Enum>, count>& words, std::string_view name) {
  for (const auto& [word, known] : words)
    if (word == name) return known;
  return std::nullopt;
}

}  // namespace oddgrist::larder
