#include "larder/name_index.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>

namespace oddgrist::larder {
namespace {

constexpr std::size_t none = static_cast<std::size_t>(-1);  // several entries have it

// How many wrong letters a word of this length may have and still be meant.
std::size_t slips_allowed(std::size_t length) { return length < 4 ? 0 : length < 8 ? 1 : 2; }

// What is wanted and not there counts at least this share of what the rarest word counts.
constexpr double missing_share = 0.75;
// What the name says beyond what was asked for counts so much if the words are spelt right, and so much if not.
constexpr double beyond_share = 0.15, beyond_share_misspelt = 0.6;
constexpr double near_enough = 0.58;

// From 0, another word, to 1, the same word.
double likeness(std::string_view asked, std::string_view known) {
  if (asked == known) return 1.0;
  const std::size_t shorter = std::min(asked.size(), known.size()), longer = std::max(asked.size(), known.size());
  const std::size_t allowed = slips_allowed(shorter);
  const bool same_start = !asked.empty() && !known.empty() && asked.front() == known.front();
  if (allowed > 0 && longer - shorter <= allowed && (same_start || shorter > 5)) {
    const std::size_t slips = letters_apart(asked, known, allowed);
    if (slips <= allowed) return 1.0 - 1.5 * static_cast<double>(slips) / static_cast<double>(longer);
  }
  const bool begins = shorter >= 4 && (asked.starts_with(known) || known.starts_with(asked));
  return begins && 3 * shorter >= 2 * longer ? 0.75 : 0.0;
}

std::string joined(const std::vector<std::string>& words, std::string_view gap) {
  std::string text;
  for (const std::string& word : words) {
    if (!text.empty()) text += gap;
    text += word;
  }
  return text;
}

std::string without_gaps(std::string text) {
  std::erase(text, ' ');
  return text;
}

void keep_if_one(std::unordered_map<std::string, std::size_t>& map, const std::string& key, std::size_t entry) {
  const auto [place, is_new] = map.emplace(key, entry);
  if (!is_new && place->second != entry) place->second = none;
}

std::optional<std::size_t> one_of(const std::unordered_map<std::string, std::size_t>& map, const std::string& key) {
  const auto found = map.find(key);
  if (key.empty() || found == map.end() || found->second == none) return std::nullopt;
  return found->second;
}

}  // namespace

struct NameIndex::Words {
  struct Name {
    std::vector<std::size_t> words;  // numbers of `vocabulary`
    std::size_t entry = 0;
    double weight = 0.0;
  };
  std::unordered_map<std::string, std::size_t> by_words, by_letters;
  std::map<std::string, std::size_t, std::less<>> numbers;
  std::vector<std::string> vocabulary;
  std::vector<double> weight;                     // of each word: rare words tell more
  std::vector<std::vector<std::size_t>> entries;  // that have the word, each once, in order
  std::vector<Name> names;
  double most_weight = 1.0;
};

NameIndex::NameIndex() : once_(std::make_unique<std::once_flag>()) {}
NameIndex::~NameIndex() = default;
NameIndex::NameIndex(NameIndex&&) noexcept = default;
NameIndex& NameIndex::operator=(NameIndex&&) noexcept = default;

std::optional<std::size_t> NameIndex::add(std::string_view name, std::size_t entry) {
  const auto [place, is_new] = by_name_.emplace(folded_name(name), entry);
  if (is_new) names_.emplace_back(name, entry);
  if (place->second == entry) return std::nullopt;
  return place->second;
}

const NameIndex::Words& NameIndex::words() const {
  std::call_once(*once_, [this] {
    auto made = std::make_unique<Words>();
    for (const auto& [name, entry] : names_) {
      const std::vector<std::string> telling = telling_words(name);
      keep_if_one(made->by_words, joined(telling, " "), entry);
      keep_if_one(made->by_letters, without_gaps(folded_name(name)), entry);
      Words::Name known{{}, entry, 0.0};
      for (const std::string& word : telling) {
        const auto [place, is_new] = made->numbers.emplace(word, made->vocabulary.size());
        if (is_new) {
          made->vocabulary.push_back(word);
          made->entries.emplace_back();
        }
        known.words.push_back(place->second);
        std::vector<std::size_t>& entries = made->entries[place->second];
        if (entries.empty() || entries.back() != entry) entries.push_back(entry);
      }
      made->names.push_back(std::move(known));
    }
    const double count = static_cast<double>(names_.empty() ? 1 : names_.back().second + 1);
    for (const std::vector<std::size_t>& entries : made->entries)
      made->weight.push_back(std::log(1.0 + count / static_cast<double>(entries.size())));
    made->most_weight = std::log(1.0 + count);
    for (Words::Name& name : made->names)
      for (const std::size_t word : name.words) name.weight += made->weight[word];
    made_ = std::move(made);
  });
  return *made_;
}

std::optional<std::size_t> NameIndex::find(std::string_view asked) const {
  const std::string folded = folded_name(asked);
  if (folded.empty()) return std::nullopt;
  if (const auto exact = by_name_.find(folded); exact != by_name_.end()) return exact->second;
  if (const auto same_words = one_of(words().by_words, joined(telling_words(asked), " "))) return same_words;
  return one_of(words().by_letters, without_gaps(folded));
}

std::vector<std::size_t> NameIndex::nearest(std::string_view asked, std::size_t count) const {
  const Words& known = words();
  const std::vector<std::string> telling = telling_words(asked.substr(0, 200));
  const std::string letters = without_gaps(folded_name(asked.substr(0, 200)));
  std::vector<std::vector<double>> alike(telling.size(), std::vector<double>(known.vocabulary.size(), 0.0));
  for (std::size_t a = 0; a < telling.size(); ++a)
    for (std::size_t w = 0; w < known.vocabulary.size(); ++w) alike[a][w] = likeness(telling[a], known.vocabulary[w]);
  std::map<std::size_t, double> score_of;
  for (const Words::Name& name : known.names) {
    double shared = 0.0, asked_total = 0.0, matched = 0.0, least_alike = 1.0;
    for (std::size_t a = 0; a < telling.size(); ++a) {
      double best = 0.0, weight = 0.0;
      for (const std::size_t word : name.words) {
        if (alike[a][word] <= best) continue;
        best = alike[a][word];
        weight = known.weight[word];
      }
      if (best > 0.0) least_alike = std::min(least_alike, best);
      if (best == 0.0 && telling[a].size() > 1) weight = missing_share * known.most_weight;
      shared += best * weight;
      if (best > 0.0) matched += weight;
      asked_total += weight;
    }
    const double beyond = std::max(0.0, name.weight - matched);
    const double share = least_alike == 1.0 ? beyond_share : beyond_share_misspelt;
    const double score = asked_total > 0.0 ? shared / (asked_total + share * beyond) : 0.0;
    if (score >= near_enough) score_of[name.entry] = std::max(score_of[name.entry], score);
  }
  // Words written together, or apart.
  for (std::size_t n = 0; n < names_.size() && letters.size() >= 6; ++n) {
    const std::string whole = without_gaps(folded_name(names_[n].first));
    const std::size_t allowed = letters.size() / 6;
    if (std::max(whole.size(), letters.size()) - std::min(whole.size(), letters.size()) > allowed) continue;
    const std::size_t slips = letters_apart(letters, whole, allowed);
    if (slips > allowed) continue;
    const double score = 1.0 - 1.5 * static_cast<double>(slips) / static_cast<double>(letters.size());
    score_of[names_[n].second] = std::max(score_of[names_[n].second], score);
  }
  std::vector<std::pair<double, std::size_t>> order;
  for (const auto& [entry, score] : score_of) order.emplace_back(score, entry);
  std::stable_sort(order.begin(), order.end(), [](const auto& a, const auto& b) { return a.first > b.first; });
  std::vector<std::size_t> found;
  for (const auto& [score, entry] : order) {
    const bool far_behind = score < 0.7 * order.front().first;
    if (found.size() < count && !far_behind) found.push_back(entry);
  }
  return found;
}

std::size_t letters_apart(std::string_view one, std::string_view other, std::size_t most) {
  std::vector<std::size_t> before, above(other.size() + 1), row(other.size() + 1);
  std::iota(above.begin(), above.end(), std::size_t{0});
  for (std::size_t i = 1; i <= one.size(); ++i) {
    row[0] = i;
    std::size_t least = i;
    for (std::size_t j = 1; j <= other.size(); ++j) {
      row[j] = std::min({above[j] + 1, row[j - 1] + 1, above[j - 1] + (one[i - 1] == other[j - 1] ? 0u : 1u)});
      const bool swapped = i > 1 && j > 1 && one[i - 1] == other[j - 2] && one[i - 2] == other[j - 1];
      if (swapped) row[j] = std::min(row[j], before[j - 2] + 1);
      least = std::min(least, row[j]);
    }
    if (least > most) return most + 1;
    before = std::exchange(above, row);
  }
  return std::min(above[other.size()], most + 1);
}

}  // namespace oddgrist::larder
