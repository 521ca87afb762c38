#include "larder/plain_words.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <cstdlib>
#include <memory>
#include <utility>

#include <utf8proc.h>

#include "larder/singular.hpp"

namespace oddgrist::larder {
namespace {

using Replacement = std::pair<std::string_view, std::string_view>;

// After decomposition these are left of the letters of Western Europe.
constexpr std::array<Replacement, 6> letters = {
    {{"æ", "ae"}, {"œ", "oe"}, {"ø", "o"}, {"ł", "l"}, {"đ", "d"}, {"ð", "d"}}};
// An umlaut may be written out, and British and American spelling differ. Both sides of a comparison pass here, so that an odd form does
// no harm.
constexpr std::array<Replacement, 14> spellings = {{{"ae", "a"},
                                                    {"oe", "o"},
                                                    {"ue", "u"},
                                                    {"sulph", "sulf"},
                                                    {"mould", "mold"},
                                                    {"colour", "color"},
                                                    {"flavour", "flavor"},
                                                    {"liquorice", "licorice"},
                                                    {"chily", "chili"},
                                                    {"chile", "chili"},
                                                    {"fibre", "fiber"},
                                                    {"fertilis", "fertiliz"},
                                                    {"sanitis", "sanitiz"},
                                                    {"pasteuris", "pasteuriz"}}};
constexpr std::array<std::string_view, 5> joining = {"and", "und", "or", "oder", "plus"};
constexpr std::array<std::string_view, 3> adding = {"with", "mit", "containing"};
// A stop after these shortens a word and ends nothing.
constexpr std::array<std::string_view, 7> shortened = {"var", "ssp", "subsp", "spp", "sp", "cv", "st"};

template <std::size_t N>
void replace_all(std::string& text, const std::array<Replacement, N>& replacements) {
  for (const auto& [from, to] : replacements)
    for (std::size_t at = text.find(from); at != std::string::npos; at = text.find(from, at))
      text.replace(at, from.size(), to);
}

std::string without_case_and_accents(std::string_view text) {
  utf8proc_uint8_t* mapped = nullptr;
  const auto options = static_cast<utf8proc_option_t>(UTF8PROC_DECOMPOSE | UTF8PROC_COMPAT | UTF8PROC_STRIPMARK |
                                                      UTF8PROC_CASEFOLD | UTF8PROC_IGNORE);
  const utf8proc_ssize_t size = utf8proc_map(reinterpret_cast<const utf8proc_uint8_t*>(text.data()),
                                             static_cast<utf8proc_ssize_t>(text.size()), &mapped, options);
  const std::unique_ptr<utf8proc_uint8_t, decltype(&std::free)> owner(mapped, &std::free);
  std::string folded;
  if (size >= 0 && mapped != nullptr) {
    folded.assign(reinterpret_cast<const char*>(mapped), static_cast<std::size_t>(size));
  } else {
    for (const char letter : text) folded += static_cast<char>(std::tolower(static_cast<unsigned char>(letter)));
  }
  replace_all(folded, letters);
  return folded;
}

bool all_digits(std::string_view word) {
  return std::all_of(word.begin(), word.end(), [](unsigned char letter) { return std::isdigit(letter) != 0; });
}

// Three or four digits, and perhaps a letter.
bool additive_number(std::string_view word) {
  if (word.size() > 3 && std::isalpha(static_cast<unsigned char>(word.back())) != 0) word.remove_suffix(1);
  return (word.size() == 3 || word.size() == 4) && all_digits(word);
}

// Takes the folded text apart, letter by letter.
class Splitter {
 public:
  explicit Splitter(std::string_view text) : text_(text) {}

  PlainText words() {
    for (at_ = 0; at_ < text_.size(); ++at_) take(text_[at_]);
    finish_word();
    return std::move(words_);
  }

 private:
  void take(char letter) {
    const auto byte = static_cast<unsigned char>(letter);
    if (apostrophe()) return;
    if (std::isalnum(byte) != 0 || byte >= 0x80) {
      word_ += letter;
      return;
    }
    const bool inside_number = (letter == '.' || letter == ',') && all_digits(word_) && !word_.empty() &&
                               at_ + 1 < text_.size() && std::isdigit(static_cast<unsigned char>(text_[at_ + 1])) != 0;
    const bool short_word =
        letter == '.' && (word_.size() == 1 || std::find(shortened.begin(), shortened.end(), word_) != shortened.end());
    finish_word();
    constexpr std::string_view dividers = ",;.:()[]{}/\n+&|";
    if (dividers.find(letter) != std::string_view::npos && !inside_number && !short_word) divide();
  }

  // ' and the typographic one, which is three bytes.
  bool apostrophe() {
    if (text_[at_] == '\'' || text_[at_] == '`') return true;
    if (text_.substr(at_, 3) != "\u2019" && text_.substr(at_, 3) != "\u2018") return false;
    at_ += 2;
    return true;
  }

  void divide() { part_ += words_.empty() || words_.back().part < part_ ? 0 : 1; }

  void finish_word() {
    if (word_.empty()) return;
    std::string shown = singular(std::exchange(word_, {}));
    std::string word = folded_word(shown);
    if (std::find(joining.begin(), joining.end(), word) != joining.end()) return divide();
    if (std::find(adding.begin(), adding.end(), word) != adding.end()) {
      ++clause_;
      return divide();
    }
    const bool numbered = additive_number(word) && !words_.empty() && words_.back().part == part_ &&
                          (words_.back().text == "e" || words_.back().text == "ins");
    if (numbered) {
      words_.back().text = words_.back().shown = "e" + word;
    } else {
      words_.push_back({std::move(word), std::move(shown), part_, clause_});
    }
  }

  std::string_view text_;
  std::size_t at_ = 0;
  std::string word_;
  std::size_t part_ = 0, clause_ = 0;
  PlainText words_;
};

}  // namespace

// "lilly", "fox-glovve": the commonest slip of the pen.
std::string without_double_consonants(std::string_view word) {
  if (word.size() < 5) return std::string(word);
  std::string single;
  for (const char letter : word)
    if (single.empty() || letter != single.back() ||
        std::string_view("aeious0123456789").find(letter) != std::string_view::npos)
      single += letter;
  return single;
}

std::string folded_word(std::string_view word) {
  std::string folded = without_double_consonants(singular(without_case_and_accents(word)));
  replace_all(folded, spellings);
  return folded;
}

PlainText plain_text(std::string_view text) { return Splitter(without_case_and_accents(text)).words(); }

}  // namespace oddgrist::larder
