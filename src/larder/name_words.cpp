// From a name to the words that tell: spelling, number, language.
#include <algorithm>
#include <array>
#include <cctype>
#include <span>

#include "larder/name_index.hpp"
#include "larder/singular.hpp"

namespace oddgrist::larder {
namespace {

using Pair = std::pair<std::string_view, std::string_view>;

// UTF-8 letters of the European names in the catalogue, small and capital.
constexpr Pair letters[] = {
    {"ä", "ae"}, {"ö", "oe"}, {"ü", "ue"}, {"Ä", "ae"}, {"Ö", "oe"}, {"Ü", "ue"}, {"ß", "ss"}, {"é", "e"},
    {"è", "e"},  {"ê", "e"},  {"ë", "e"},  {"É", "e"},  {"á", "a"},  {"à", "a"},  {"â", "a"},  {"ã", "a"},
    {"å", "a"},  {"Å", "a"},  {"í", "i"},  {"î", "i"},  {"ï", "i"},  {"ó", "o"},  {"ô", "o"},  {"ø", "oe"},
    {"Ø", "oe"}, {"ú", "u"},  {"û", "u"},  {"ù", "u"},  {"ý", "y"},  {"ñ", "n"},  {"ç", "c"},  {"č", "c"},
    {"Č", "c"},  {"ć", "c"},  {"š", "s"},  {"Š", "s"},  {"ś", "s"},  {"ž", "z"},  {"Ž", "z"},  {"ż", "z"},
    {"ź", "z"},  {"ř", "r"},  {"ł", "l"},  {"Ł", "l"},  {"ń", "n"},  {"ě", "e"},  {"ę", "e"},  {"ą", "a"},
    {"ů", "u"},  {"œ", "oe"}, {"æ", "ae"}, {"’", ""},   {"‘", ""},   {"´", ""},   {"–", " "},  {"—", " "},
};

// Words that mean the same, in the form the catalogue's names have, in order of the alphabet; German heads of compounds stand
// in their own list.
constexpr Pair meanings[] = {
    {"alehefe", "ale yeast"},
    {"and", ""},
    {"barleymalt", "barley malt"},
    {"bio", ""},
    {"braumalz", "malt"},
    {"brewing", ""},
    {"buchweizen", "buckwheat"},
    {"caramel", "crystal"},
    {"caramelised", "crystal"},
    {"color", "colour"},
    {"cone", ""},
    {"corn", "maize"},
    {"dinkel", "spelt"},
    {"dry", "dried"},
    {"dunkel", "dark"},
    {"dunkle", "dark"},
    {"dunkler", "dark"},
    {"dunkles", "dark"},
    {"extrakt", "extract"},
    {"fiber", "fibre"},
    {"flake", "flaked"},
    {"flocke", "flaked"},
    {"flocken", "flaked"},
    {"frisch", "fresh"},
    {"frische", "fresh"},
    {"geraeuchert", "smoked"},
    {"geraeuchertes", "smoked"},
    {"geroestet", "roasted"},
    {"geroestete", "roasted"},
    {"geroesteter", "roasted"},
    {"geroestetes", "roasted"},
    {"gerste", "barley"},
    {"gersten", "barley"},
    {"getrocknet", "dried"},
    {"getrocknete", "dried"},
    {"hafer", "oat"},
    {"hefe", "yeast"},
    {"hell", "pale"},
    {"helle", "pale"},
    {"heller", "pale"},
    {"helles", "pale"},
    {"hirse", "millet"},
    {"honig", "honey"},
    {"hop", ""},
    {"hopfen", ""},
    {"karamel", "crystal"},
    {"karamell", "crystal"},
    {"light", "pale"},
    {"mais", "maize"},
    {"malted", "malt"},
    {"malts", "malt"},
    {"malz", "malt"},
    {"molass", "molasses"},
    {"muenchener", "munich"},
    {"muenchner", "munich"},
    {"natural", ""},
    {"of", ""},
    {"organic", ""},
    {"packet", ""},
    {"pellet", ""},
    {"pils", "pilsner"},
    {"pilsen", "pilsner"},
    {"pilsener", "pilsner"},
    {"puder", "powder"},
    {"pulver", "powder"},
    {"rauch", "smoked"},
    {"reis", "rice"},
    {"roast", "roasted"},
    {"roest", "roasted"},
    {"roggen", "rye"},
    {"rolled", "flaked"},
    {"sachet", ""},
    {"saeure", "acid"},
    {"schokoladen", "chocolate"},
    {"sirup", "syrup"},
    {"smoke", "smoked"},
    {"style", ""},
    {"sulfate", "sulphate"},
    {"sulfite", "sulphite"},
    {"the", ""},
    {"toast", "toasted"},
    {"torrified", "torrefied"},
    {"unmalted", "raw"},
    {"weissbier", "wheat beer"},
    {"weizen", "wheat"},
    {"wiener", "vienna"},
    {"yogurt", "yoghurt"},
    {"zucker", "sugar"},
};
static_assert(std::is_sorted(std::begin(meanings), std::end(meanings)));

// Heads of German compounds that are written as one word with what they are made of.
constexpr std::string_view heads[] = {"malz", "hefe",   "flocken", "sirup", "zucker",
                                      "mehl", "hopfen", "extrakt", "honig", "saeure"};

void push_words(std::string_view text, std::vector<std::string>& words) {
  while (!text.empty()) {
    const std::size_t gap = std::min(text.find(' '), text.size());
    if (gap > 0) words.emplace_back(text.substr(0, gap));
    text.remove_prefix(std::min(gap + 1, text.size()));
  }
}

std::string_view meaning_of(const std::string& word) {
  const auto* known = std::lower_bound(std::begin(meanings), std::end(meanings), word,
                                       [](const Pair& pair, const std::string& wanted) { return pair.first < wanted; });
  return known == std::end(meanings) || known->first != word ? std::string_view(word) : known->second;
}

void push_meaning(std::string word, std::vector<std::string>& words) {
  for (const std::string_view head : heads) {
    if (word.size() < head.size() + 3 || !word.ends_with(head)) continue;
    std::string front = word.substr(0, word.size() - head.size());
    if (meaning_of(front) == front && front.back() == 's') front.pop_back();
    push_words(meaning_of(front), words);
    push_words(meaning_of(std::string(head)), words);
    return;
  }
  word = singular(std::move(word));
  push_words(meaning_of(word), words);
}

}  // namespace

std::string folded_name(std::string_view name) {
  std::string folded;
  const auto gap = [&] {
    if (!folded.empty() && folded.back() != ' ') folded += ' ';
  };
  for (std::size_t i = 0; i < name.size(); ++i) {
    const auto byte = static_cast<unsigned char>(name[i]);
    if (byte < 0x80) {
      const bool inside_number = name[i] == '.' && i > 0 && i + 1 < name.size() &&
                                 std::isdigit(static_cast<unsigned char>(name[i - 1])) &&
                                 std::isdigit(static_cast<unsigned char>(name[i + 1]));
      if (std::isspace(byte) || std::string_view("-_,;:()[]/\"").find(name[i]) != std::string_view::npos) {
        gap();
      } else if (inside_number || (name[i] != '\'' && name[i] != '.' && name[i] != '`')) {
        folded += static_cast<char>(std::tolower(byte));
      }
      continue;
    }
    const auto* letter = std::find_if(std::begin(letters), std::end(letters),
                                      [&](const Pair& pair) { return name.substr(i).starts_with(pair.first); });
    if (letter == std::end(letters)) {
      folded += name[i];
    } else if (letter->second == " ") {
      gap();
      i += letter->first.size() - 1;
    } else {
      folded += letter->second;
      i += letter->first.size() - 1;
    }
  }
  if (!folded.empty() && folded.back() == ' ') folded.pop_back();
  return folded;
}

std::vector<std::string> telling_words(std::string_view name) {
  std::vector<std::string> plain, words;
  push_words(folded_name(name), plain);
  for (const std::string& word : plain) push_meaning(word, words);
  // How hops are pressed or packed is no part of their name.
  const bool of_hops = std::any_of(plain.begin(), plain.end(), [](const std::string& word) {
    return word == "hop" || word == "hops" || word == "hopfen";
  });
  if (of_hops) std::erase_if(words, [](const std::string& word) { return word == "leaf" || word == "whole"; });
  if (words.empty()) words = std::move(plain);
  std::sort(words.begin(), words.end());
  words.erase(std::unique(words.begin(), words.end()), words.end());
  return words;
}

}  // namespace oddgrist::larder
