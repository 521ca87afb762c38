// Allergens and preservatives in a declared ingredient list.
#include <algorithm>
#include <array>
#include <cctype>

#include "larder/allergen_table.hpp"
#include "larder/packet.hpp"
#include "larder/packet_figures.hpp"
#include "larder/phrases.hpp"

namespace oddgrist::larder {
namespace {

using allergen_rows::allergen_table;

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
  static constexpr std::array<std::string_view, 11> openings = {
      "kann spuren",   "spuren von", "may contain",       "may also contain", "traces of",     "trace of",
      "produced in a", "made in a",  "manufactured in a", "packed in a",      "processed in a"};
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
