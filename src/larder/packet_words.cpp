// Allergens and preservatives in a declared ingredient list.
#include <algorithm>
#include <array>
#include <cctype>

#include "larder/packet.hpp"
#include "larder/packet_figures.hpp"
#include "larder/phrases.hpp"

namespace oddgrist::larder {
namespace {

struct AllergenWord {
  std::string_view phrase;
  std::optional<Allergen> eu;
  std::optional<UsAllergen> us;
};

using A = Allergen;
using U = UsAllergen;

// Longer phrases first: a phrase hides shorter ones inside it, so "almond milk" is a nut and not milk. Rows without
// allergens only hide. Tree nuts after Annex II, point 8; pine nut only on the US side. Chestnut and coconut are on
// neither list any more (from memory).
constexpr AllergenWord allergen_table[] = {
    {"almond milk", A::tree_nut, U::tree_nut},
    {"hazelnut milk", A::tree_nut, U::tree_nut},
    {"cashew milk", A::tree_nut, U::tree_nut},
    {"oat milk", A::gluten_cereal, {}},
    {"oat drink", A::gluten_cereal, {}},
    {"soya milk", A::soya, U::soya},
    {"soy milk", A::soya, U::soya},
    {"coconut milk", {}, {}},
    {"rice milk", {}, {}},
    {"coconut cream", {}, {}},
    {"creamed coconut", {}, {}},
    {"cream of tartar", {}, {}},
    {"cocoa butter", {}, {}},
    {"shea butter", {}, {}},
    {"peanut butter", A::peanut, U::peanut},
    {"almond butter", A::tree_nut, U::tree_nut},
    {"hazelnut butter", A::tree_nut, U::tree_nut},
    {"cashew butter", A::tree_nut, U::tree_nut},
    {"nut butter", A::tree_nut, U::tree_nut},
    {"apple butter", {}, {}},
    {"butter bean", {}, {}},
    {"milk thistle", {}, {}},
    {"water chestnut", {}, {}},
    {"sweet chestnut", {}, {}},
    {"tiger nut", {}, {}},
    {"pine nut", {}, U::tree_nut},
    {"brazil nut", A::tree_nut, U::tree_nut},
    {"macadamia nut", A::tree_nut, U::tree_nut},
    {"queensland nut", A::tree_nut, U::tree_nut},
    {"cola nut", {}, {}},
    {"kola nut", {}, {}},
    {"ground nut", A::peanut, U::peanut},
    {"monkey nut", A::peanut, U::peanut},
    {"celery seed", A::celery, {}},
    {"celeriac", A::celery, {}},
    {"oyster mushroom", {}, {}},
    {"egg plant", {}, {}},
    {"malt vinegar", A::gluten_cereal, {}},
    {"wheat", A::gluten_cereal, U::wheat},
    {"spelt", A::gluten_cereal, U::wheat},
    {"kamut", A::gluten_cereal, U::wheat},
    {"khorasan", A::gluten_cereal, U::wheat},
    {"durum", A::gluten_cereal, U::wheat},
    {"semolina", A::gluten_cereal, U::wheat},
    {"emmer", A::gluten_cereal, U::wheat},
    {"einkorn", A::gluten_cereal, U::wheat},
    {"bulgur", A::gluten_cereal, U::wheat},
    {"couscous", A::gluten_cereal, U::wheat},
    {"triticale", A::gluten_cereal, U::wheat},
    {"seitan", A::gluten_cereal, U::wheat},
    {"rusk", A::gluten_cereal, U::wheat},
    {"breadcrumb", A::gluten_cereal, U::wheat},
    {"gluten", A::gluten_cereal, {}},
    {"rye", A::gluten_cereal, {}},
    {"barley", A::gluten_cereal, {}},
    {"malt", A::gluten_cereal, {}},
    {"malt extract", A::gluten_cereal, {}},
    {"oat", A::gluten_cereal, {}},
    {"oatmeal", A::gluten_cereal, {}},
    {"crab", A::crustacean, U::crustacean},
    {"lobster", A::crustacean, U::crustacean},
    {"prawn", A::crustacean, U::crustacean},
    {"shrimp", A::crustacean, U::crustacean},
    {"crayfish", A::crustacean, U::crustacean},
    {"crustacean", A::crustacean, U::crustacean},
    {"langoustine", A::crustacean, U::crustacean},
    {"krill", A::crustacean, U::crustacean},
    {"egg", A::egg, U::egg},
    {"albumen", A::egg, U::egg},
    {"ovalbumin", A::egg, U::egg},
    {"lysozyme", A::egg, U::egg},
    {"mayonnaise", A::egg, U::egg},
    {"fish", A::fish, U::fish},
    {"isinglass", A::fish, U::fish},
    {"anchovy", A::fish, U::fish},
    {"cod", A::fish, U::fish},
    {"salmon", A::fish, U::fish},
    {"tuna", A::fish, U::fish},
    {"herring", A::fish, U::fish},
    {"mackerel", A::fish, U::fish},
    {"sardine", A::fish, U::fish},
    {"haddock", A::fish, U::fish},
    {"bonito", A::fish, U::fish},
    {"peanut", A::peanut, U::peanut},
    {"groundnut", A::peanut, U::peanut},
    {"arachis", A::peanut, U::peanut},
    {"soya", A::soya, U::soya},
    {"soy", A::soya, U::soya},
    {"soybean", A::soya, U::soya},
    {"soyabean", A::soya, U::soya},
    {"tofu", A::soya, U::soya},
    {"edamame", A::soya, U::soya},
    {"miso", A::soya, U::soya},
    {"tempeh", A::soya, U::soya},
    {"milk", A::milk, U::milk},
    {"butter", A::milk, U::milk},
    {"buttermilk", A::milk, U::milk},
    {"butterfat", A::milk, U::milk},
    {"cream", A::milk, U::milk},
    {"cheese", A::milk, U::milk},
    {"whey", A::milk, U::milk},
    {"casein", A::milk, U::milk},
    {"caseinate", A::milk, U::milk},
    {"lactose", A::milk, U::milk},
    {"yoghurt", A::milk, U::milk},
    {"yogurt", A::milk, U::milk},
    {"ghee", A::milk, U::milk},
    {"curd", A::milk, U::milk},
    {"dairy", A::milk, U::milk},
    {"lactalbumin", A::milk, U::milk},
    {"kefir", A::milk, U::milk},
    {"hazelnut", A::tree_nut, U::tree_nut},
    {"almond", A::tree_nut, U::tree_nut},
    {"walnut", A::tree_nut, U::tree_nut},
    {"cashew", A::tree_nut, U::tree_nut},
    {"pecan", A::tree_nut, U::tree_nut},
    {"pistachio", A::tree_nut, U::tree_nut},
    {"macadamia", A::tree_nut, U::tree_nut},
    {"marzipan", A::tree_nut, U::tree_nut},
    {"praline", A::tree_nut, U::tree_nut},
    {"gianduja", A::tree_nut, U::tree_nut},
    {"nougat", A::tree_nut, U::tree_nut},
    {"filbert", A::tree_nut, U::tree_nut},
    {"nut", A::tree_nut, U::tree_nut},
    {"celery", A::celery, {}},
    {"mustard", A::mustard, {}},
    {"sesame", A::sesame, U::sesame},
    {"tahini", A::sesame, U::sesame},
    {"halva", A::sesame, U::sesame},
    {"benne", A::sesame, U::sesame},
    {"sulphite", A::sulphite, {}},
    {"sulfite", A::sulphite, {}},
    {"sulphur dioxide", A::sulphite, {}},
    {"sulfur dioxide", A::sulphite, {}},
    {"metabisulphite", A::sulphite, {}},
    {"metabisulfite", A::sulphite, {}},
    {"bisulphite", A::sulphite, {}},
    {"bisulfite", A::sulphite, {}},
    {"lupin", A::lupin, {}},
    {"lupine", A::lupin, {}},
    {"mollusc", A::mollusc, {}},
    {"mollusk", A::mollusc, {}},
    {"mussel", A::mollusc, {}},
    {"oyster", A::mollusc, {}},
    {"clam", A::mollusc, {}},
    {"squid", A::mollusc, {}},
    {"octopus", A::mollusc, {}},
    {"cuttlefish", A::mollusc, {}},
    {"snail", A::mollusc, {}},
    {"scallop", A::mollusc, {}},
};

template <class Kind>
void add_once(std::vector<Kind>& list, Kind kind) {
  if (std::find(list.begin(), list.end(), kind) == list.end()) list.push_back(kind);
}

struct Found {
  std::vector<Allergen> eu;
  std::vector<UsAllergen> us;
};

Found allergens_of(const Words& text) {
  struct Place {
    PhrasePlace at;
    const AllergenWord* word;
  };
  static const std::vector<Words> phrases = [] {
    std::vector<Words> result;
    for (const AllergenWord& row : allergen_table) result.push_back(words_of(row.phrase));
    return result;
  }();
  std::vector<Place> places;
  for (std::size_t i = 0; i < phrases.size(); ++i)
    for (const PhrasePlace& at : places_of(phrases[i], text)) places.push_back({at, &allergen_table[i]});
  Found found;
  for (const Place& place : places) {
    const bool hidden = std::any_of(places.begin(), places.end(), [&](const Place& other) {
      return other.at.end - other.at.begin > place.at.end - place.at.begin && other.at.begin <= place.at.begin &&
             place.at.end <= other.at.end;
    });
    if (hidden) continue;
    if (place.word->eu) add_once(found.eu, *place.word->eu);
    if (place.word->us) add_once(found.us, *place.word->us);
  }
  std::sort(found.eu.begin(), found.eu.end());
  std::sort(found.us.begin(), found.us.end());
  return found;
}

// The number in "E220", "E 220", "e-220", "INS 220"; 0 if the word at `place` starts none.
int additive_number(const Words& words, std::size_t place) {
  const std::string& word = words[place];
  std::string digits;
  if (word.size() >= 4 && word[0] == 'e' && std::isdigit(static_cast<unsigned char>(word[1])))
    digits = word.substr(1);
  else if ((word == "e" || word == "ins") && place + 1 < words.size())
    digits = words[place + 1];
  if (digits.size() < 3 ||
      !std::all_of(digits.begin(), digits.begin() + 3, [](unsigned char letter) { return std::isdigit(letter); }))
    return 0;
  return std::stoi(digits.substr(0, 3));
}

std::optional<Preservative> preservative_numbered(int number) {
  if (number >= 200 && number <= 203) return Preservative::sorbate;
  if (number >= 210 && number <= 219) return Preservative::benzoate;
  if (number >= 220 && number <= 228) return Preservative::sulphite;
  if (number == 235) return Preservative::natamycin;
  if (number == 234 || (number >= 280 && number <= 285) || number == 249 || number == 250 || number == 251 ||
      number == 252 || number == 243)
    return Preservative::other;
  return std::nullopt;
}

constexpr std::pair<std::string_view, Preservative> preservative_words[] = {
    {"sorbate", Preservative::sorbate},
    {"sorbic acid", Preservative::sorbate},
    {"benzoate", Preservative::benzoate},
    {"benzoic acid", Preservative::benzoate},
    {"sulphite", Preservative::sulphite},
    {"sulfite", Preservative::sulphite},
    {"sulphur dioxide", Preservative::sulphite},
    {"sulfur dioxide", Preservative::sulphite},
    {"metabisulphite", Preservative::sulphite},
    {"metabisulfite", Preservative::sulphite},
    {"bisulphite", Preservative::sulphite},
    {"bisulfite", Preservative::sulphite},
    {"natamycin", Preservative::natamycin},
    {"nisin", Preservative::other},
    {"propionate", Preservative::other},
    {"propionic acid", Preservative::other},
    {"paraben", Preservative::benzoate},
    {"nitrite", Preservative::other},
    {"nitrate", Preservative::other},
};

bool mentions(const Words& text, std::string_view phrase) { return !places_of(words_of(phrase), text).empty(); }

}  // namespace

// A trace statement runs to the next full stop.
DeclaredList split_traces(std::string_view list) {
  static constexpr std::array<std::string_view, 9> openings = {
      "may contain", "may also contain",  "traces of",   "trace of",      "produced in a",
      "made in a",   "manufactured in a", "packed in a", "processed in a"};
  std::string lower(list);
  std::transform(lower.begin(), lower.end(), lower.begin(),
                 [](unsigned char letter) { return static_cast<char>(std::tolower(letter)); });
  DeclaredList parts;
  std::size_t here = 0;
  while (here < list.size()) {
    std::size_t opening = std::string::npos;
    for (const std::string_view words : openings) opening = std::min(opening, lower.find(words, here));
    parts.contains += list.substr(here, opening == std::string::npos ? std::string::npos : opening - here);
    if (opening == std::string::npos) break;
    std::size_t stop = lower.find_first_of(".\n", opening);
    if (stop == std::string::npos) stop = list.size();
    parts.traces += std::string(list.substr(opening, stop - opening)) + ". ";
    here = stop;
  }
  return parts;
}

AllergenReading allergens_in(std::string_view declared_list) {
  const auto& [contains, traces] = split_traces(declared_list);
  const Found in_it = allergens_of(words_of(contains)), perhaps = allergens_of(words_of(traces));
  AllergenReading reading{in_it.eu, {}, in_it.us};
  const Words words = words_of(contains);
  for (std::size_t i = 0; i < words.size(); ++i)  // sulphites are often declared by number only
    if (preservative_numbered(additive_number(words, i)) == Preservative::sulphite)
      add_once(reading.contains, Allergen::sulphite);
  std::sort(reading.contains.begin(), reading.contains.end());
  for (const Allergen allergen : perhaps.eu)
    if (std::find(reading.contains.begin(), reading.contains.end(), allergen) == reading.contains.end())
      reading.may_contain.push_back(allergen);
  return reading;
}

// Usual upper levels, mg/kg or mg/L, from Regulation (EC) 1333/2008, Annex II (from memory): drinks sorbate 300,
// benzoate 150, sulphite 200 (wine); spreads, jams and pastes sorbate 1000, benzoate 500, sulphite 100; dried fruit
// sulphite 2000.
PreservativeReading preservatives_in(std::string_view declared_list, bool is_drink) {
  const Words words = words_of(declared_list);
  PreservativeReading reading;
  for (std::size_t i = 0; i < words.size(); ++i) {
    const int number = additive_number(words, i);
    if (const auto kind = preservative_numbered(number)) add_once(reading.kinds, *kind);
    if (number == 242) reading.dimethyl_dicarbonate = true;
  }
  for (const auto& [phrase, kind] : preservative_words)
    if (mentions(words, phrase)) add_once(reading.kinds, kind);
  if (mentions(words, "dimethyl dicarbonate")) reading.dimethyl_dicarbonate = true;
  const bool dried_fruit = mentions(words, "dried") || mentions(words, "raisin") || mentions(words, "sultana");
  for (const Preservative kind : reading.kinds) {
    if (kind == Preservative::sorbate) reading.sorbate_mg_per_kg = is_drink ? 300.0 : 1000.0;
    if (kind == Preservative::benzoate) reading.benzoate_mg_per_kg = is_drink ? 150.0 : 500.0;
    if (kind == Preservative::sulphite) reading.sulphite_mg_per_kg = is_drink ? 200.0 : dried_fruit ? 2000.0 : 100.0;
  }
  std::sort(reading.kinds.begin(), reading.kinds.end());
  return reading;
}

}  // namespace oddgrist::larder
