#include "larder/word_patterns.hpp"

#include <algorithm>
#include <array>
#include <set>

#include <fmt/format.h>

namespace oddgrist::larder {
namespace {

using Find = std::vector<std::size_t>;

constexpr std::size_t most_words_between = 2;

template <std::size_t N>
bool one_of(const std::array<std::string_view, N>& list, std::string_view word) {
  return std::find(list.begin(), list.end(), word) != list.end();
}

// Folded, as plain_text gives them.
constexpr std::array<std::string_view, 14> denying = {"no",   "without", "non",   "not",   "never",   "ohn",  "ohne",
                                                      "kein", "keine",   "nicht", "minus", "lacking", "sans", "sin"};
constexpr std::array<std::string_view, 6> little_words = {"any", "aded", "all", "zusatz", "von", "the"};
// What may stand beside the words of a pattern in another part of a name without making it another thing: "beans, large, dried".
constexpr std::array<std::string_view, 53> describing = {
    "in",    "the",    "of",     "from",     "a",      "an",     "very",     "stil",   "slightly", "some", "red",
    "white", "black",  "brown",  "large",    "smal",   "fresh",  "frozen",   "whole",  "organic",  "bio",  "raw",
    "dry",   "dried",  "ground", "crushed",  "choped", "powder", "powdered", "gone",   "my",       "our",  "own",
    "home",  "im",     "aus",    "der",      "die",    "das",    "vom",      "frisch", "rot",      "roh",  "getrocknet",
    "green", "unripe", "wild",   "uncooked", "biter",  "old",    "garden",   "localy", "rohe"};
// A state in front of a comma, "raw, freshly picked elderberries".
constexpr std::array<std::string_view, 12> states = {"raw",  "dry", "dried", "uncooked", "unripe",  "green",
                                                     "wild", "roh", "rohe",  "biter",    "unknown", "home"};

bool same_part(const PlainText& text, std::size_t a, std::size_t b) {
  return a < text.size() && b < text.size() && text[a].part == text[b].part;
}

bool denied_before(const PlainText& text, std::size_t first) {
  std::size_t at = first;  // past little words
  while (at > 0 && same_part(text, at - 1, first) && one_of(little_words, text[at - 1].text)) --at;
  if (at == 0 || !same_part(text, at - 1, first)) return false;
  const std::string& before = text[at - 1].text;
  if (one_of(denying, before)) return true;
  const bool from = before == "from" || before == "of";
  return from && at >= 2 && same_part(text, at - 2, first) && text[at - 2].text == "free";
}

// "nut-free", but not "nuts free of charge".
bool denied_after(const PlainText& text, std::size_t place) {
  const std::size_t after = place + 1;
  if (!same_part(text, after, place) || (text[after].text != "free" && text[after].text != "frei")) return false;
  return !same_part(text, after + 1, after) || (text[after + 1].text != "of" && text[after + 1].text != "from");
}

// "koffeinfrei"
bool denies_itself(std::string_view word) {
  return word.size() > 6 && (word.ends_with("frei") || word.ends_with("freie") || word.ends_with("freier"));
}

bool denied(const PlainText& text, const Find& find) {
  return std::any_of(find.begin(), find.end(), [&](std::size_t place) {
    return denies_itself(text[place].text) || denied_after(text, place) || denied_before(text, place);
  });
}

// The words of `part` that are not in the find and do more than describe.
std::size_t strangers(const PlainText& text, const Find& find, std::size_t part) {
  std::size_t count = 0;
  for (std::size_t i = 0; i < text.size(); ++i)
    if (text[i].part == part && !std::binary_search(find.begin(), find.end(), i) && !one_of(describing, text[i].text))
      ++count;
  return count;
}

// Do the words belong together? In one part: not far apart. Over several: the later parts say nothing else ("kernels, apricot").
bool coherent(const PlainText& text, const Find& find) {
  for (std::size_t i = 1; i < find.size(); ++i)
    if (same_part(text, find[i - 1], find[i]) && find[i] - find[i - 1] > most_words_between + 1) return false;
  const std::size_t first_part = text[find.front()].part;
  std::set<std::size_t> later;
  bool only_states_first = true;
  for (const std::size_t place : find) {
    if (text[place].part != first_part) later.insert(text[place].part);
    if (text[place].part == first_part && !one_of(states, text[place].text)) only_states_first = false;
  }
  if (later.empty()) return true;
  if (text[find.front()].clause != text[find.back()].clause) return false;
  if (only_states_first && strangers(text, find, first_part) == 0 && later.size() == 1) return true;
  return std::all_of(later.begin(), later.end(), [&](std::size_t part) { return strangers(text, find, part) == 0; });
}

}  // namespace

bool WordPattern::Term::fits(std::string_view word) const {
  if (open_front && open_back) return word.find(text) != std::string_view::npos;
  if (open_front) return word.ends_with(text);
  if (open_back) return word.starts_with(text);
  return word == text;
}

WordPattern::WordPattern(std::string_view written) {
  for (std::size_t at = 0; at < written.size();) {
    const std::size_t gap = std::min(written.find(' ', at), written.size());
    std::vector<Term> slot;
    for (std::string_view rest = written.substr(at, gap - at); !rest.empty();) {
      const std::size_t end = std::min(rest.find('/'), rest.size());
      std::string_view word = rest.substr(0, end);
      Term term;
      term.open_front = word.starts_with('~');
      if (term.open_front) word.remove_prefix(1);
      term.open_back = word.ends_with('~');
      if (term.open_back) word.remove_suffix(1);
      term.text = folded_word(word);
      if (!term.text.empty()) slot.push_back(std::move(term));
      rest.remove_prefix(std::min(end + 1, rest.size()));
    }
    if (!slot.empty()) slots_.push_back(std::move(slot));
    at = gap + 1;
  }
}

std::vector<std::string> WordPattern::examples() const {
  std::vector<std::string> texts = {""};
  for (const std::vector<Term>& slot : slots_) {
    std::vector<std::string> longer;
    for (const std::string& text : texts)
      for (const Term& term : slot) longer.push_back(text.empty() ? term.text : text + ' ' + term.text);
    texts = std::move(longer);
  }
  return texts;
}

struct WordPattern::Search {
  const std::vector<std::vector<Term>>& slots;
  const PlainText& text;
  std::vector<Find> found;
  Find chosen;

  bool free(std::size_t place) const { return std::find(chosen.begin(), chosen.end(), place) == chosen.end(); }

  static bool any_fits(const std::vector<Term>& slot, std::string_view word) {
    return std::any_of(slot.begin(), slot.end(), [&](const Term& term) { return term.fits(word); });
  }

  // Both slots in one word: "elderleaf".
  static bool both_fit(const std::vector<Term>& one, const std::vector<Term>& other, std::string_view word) {
    for (const Term& a : one)
      for (const Term& b : other)
        if (!a.open_back && !b.open_front && Term{a.text + b.text, a.open_front, b.open_back}.fits(word)) return true;
    return false;
  }

  void take(std::size_t slot, std::initializer_list<std::size_t> places, std::size_t slots_filled) {
    chosen.insert(chosen.end(), places);
    from(slot + slots_filled);
    chosen.resize(chosen.size() - places.size());
  }

  void from(std::size_t slot) {
    if (slot == slots.size()) {
      Find find = chosen;
      std::sort(find.begin(), find.end());
      if (std::find(found.begin(), found.end(), find) == found.end()) found.push_back(std::move(find));
      return;
    }
    for (std::size_t i = 0; i < text.size(); ++i) {
      if (!free(i)) continue;
      if (any_fits(slots[slot], text[i].text)) take(slot, {i}, 1);
      if (slot + 1 < slots.size() && both_fit(slots[slot], slots[slot + 1], text[i].text)) take(slot, {i}, 2);
      if (same_part(text, i, i + 1) && free(i + 1) && any_fits(slots[slot], text[i].text + text[i + 1].text))
        take(slot, {i, i + 1}, 1);
    }
  }
};

std::vector<std::vector<std::size_t>> WordPattern::finds(const PlainText& text) const {
  if (slots_.empty()) return {};
  Search search{slots_, text, {}, {}};
  search.from(0);
  std::vector<Find> kept;
  for (Find& find : search.found)
    if (coherent(text, find) && !denied(text, find)) kept.push_back(std::move(find));
  return kept;
}

void PatternIndex::add(const WordPattern& pattern, std::size_t number) {
  if (pattern.slots().empty()) return;
  const auto enter = [&](const WordPattern::Term& term) {
    if (term.open_front || term.open_back) {
      open_.emplace_back(term, number);
    } else {
      by_word_[term.text].push_back(number);
    }
  };
  for (const WordPattern::Term& term : pattern.slots().front()) {
    enter(term);
    if (pattern.slots().size() < 2) continue;
    for (const WordPattern::Term& next : pattern.slots()[1])
      enter({term.text + next.text, term.open_front, next.open_back});
  }
}

std::vector<std::size_t> PatternIndex::possible_in(const PlainText& text) const {
  std::set<std::size_t> numbers;
  const auto look_up = [&](const std::string& word) {
    if (const auto exact = by_word_.find(word); exact != by_word_.end())
      numbers.insert(exact->second.begin(), exact->second.end());
    for (const auto& [term, number] : open_)
      if (term.fits(word)) numbers.insert(number);
  };
  for (std::size_t i = 0; i < text.size(); ++i) {
    look_up(text[i].text);
    if (same_part(text, i, i + 1)) look_up(text[i].text + text[i + 1].text);
  }
  return {numbers.begin(), numbers.end()};
}

}  // namespace oddgrist::larder
