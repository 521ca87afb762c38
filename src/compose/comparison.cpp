#include "compose/comparison.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "compose/cautions.hpp"
#include "compose/elastic.hpp"
#include "science/foam.hpp"

namespace oddgrist::compose {
namespace {

using larder::IngredientKind;

std::vector<std::string> only_in(const std::set<std::string>& one, const std::set<std::string>& other) {
  std::vector<std::string> only;
  std::set_difference(one.begin(), one.end(), other.begin(), other.end(), std::back_inserter(only));
  return only;
}

std::string direction_word(Axis axis, bool up) {
  switch (axis) {
    case Axis::strength: return up ? "stronger" : "lighter";
    case Axis::body: return up ? "fuller" : "drier";
    case Axis::colour: return up ? "darker" : "paler";
    case Axis::bitterness: return up ? "more bitter" : "softer";
    case Axis::oddment: return up ? "more of the oddment" : "less of the oddment";
  }
  return "";
}

// How far inside its range a wish is kept: 1 in the middle half, 0 at the edge, below 0 missed.
double room_of(const Wish& wish, double value) {
  const double half = std::max(0.5 * (wish.high - wish.low), 1e-12);
  return std::min(1.0, 2.0 * std::min(value - wish.low, wish.high - value) / half);
}

double value_of(const Proposal& proposal, Measure measure) {
  return gauges_of(proposal.forecast)[static_cast<int>(measure)];
}

class Comparison {
 public:
  Comparison(const Brief& brief, const Proposal& first, Alternative& other)
      : brief_(brief), first_(first), other_(other), beer_(other.proposal) {}

  void write() {
    wishes();
    money();
    work();
    leftovers();
    head();
    cautions();
  }

 private:
  // more: of something good.
  void say(bool gained, std::string words) { (gained ? other_.gains : other_.gives_up).push_back(std::move(words)); }

  void wishes() {
    for (const Wish& wish : brief_.wishes) {
      const double here = value_of(first_, wish.measure), there = value_of(beer_, wish.measure);
      const double gain = room_of(wish, there) - room_of(wish, here);
      if (std::abs(gain) < 0.3) continue;
      const std::string now = measure_words(wish.measure, there), before = measure_words(wish.measure, here);
      say(gain > 0.0, fmt::format("{} {} its range{}", measure_name(wish.measure),
                                  gain > 0.0 ? "further inside" : "nearer the edge of",
                                  now == before ? "" : fmt::format(" ({}, first {})", now, before)));
    }
  }

  void money() {
    const double here = cost_of(brief_, first_), there = cost_of(brief_, beer_);
    const double apart = there - here;
    if (std::abs(apart) < 0.01 * std::max(here, there) || std::abs(apart) < 0.005) return;
    say(apart < 0.0,
        fmt::format("{:.2f} {} ({:.2f} in all)", std::abs(apart), apart < 0.0 ? "cheaper" : "dearer", there));
  }

  static int weighings(const Proposal& proposal) { return static_cast<int>(proposal.additions.size()); }

  void work() {
    const int apart = weighings(beer_) - weighings(first_);
    if (apart != 0)
      say(apart < 0, fmt::format("{} {} weighing{}", std::abs(apart), apart < 0 ? "fewer" : "more",
                                 std::abs(apart) == 1 ? "" : "s"));
    const auto bought = [](const Proposal& proposal) {
      std::set<std::string> names;
      for (const Purchase& purchase : proposal.purchases) names.insert(purchase.ingredient);
      return names;
    };
    for (const std::string& name : only_in(bought(first_), bought(beer_))) say(true, name + " need not be bought");
    for (const std::string& name : only_in(bought(beer_), bought(first_))) say(false, name + " must be bought");
  }

  void head() {
    const auto here = science::head_verdict(first_.forecast.fat_mg_per_l);
    const auto there = science::head_verdict(beer_.forecast.fat_mg_per_l);
    if (here != there) say(there < here, std::string(science::head_words(there)));
  }

  // Given things and open bags that are used up further.
  void leftovers() {
    for (const auto* list : {&brief_.given, &brief_.have}) {
      for (const Supply& supply : *list) {
        if (!supply.amount || (list == &brief_.have && !supply.open)) continue;
        const auto used = [&](const Proposal& proposal) {
          double kg = 0.0;
          for (const Addition& addition : proposal.additions) {
            if (addition.ingredient_id == supply.ingredient.id) kg += addition.amount.in(kilogram);
          }
          return kg;
        };
        const double here = used(first_), there = used(beer_);
        if (std::abs(there - here) < 0.05 * supply.amount->in(kilogram)) continue;
        say(there > here,
            fmt::format("{} of the {} {} used up, first {}", mass_words(there), mass_words(supply.amount->in(kilogram)),
                        supply.ingredient.name, mass_words(here)));
      }
    }
  }

  // Allergens and hazards the first does not have are told again, whole. Numbers and the ingredient's name do not make a new one.
  void cautions() {
    const std::vector<Caution> known = cautions_of_proposal(brief_, first_);
    const auto key = [&](const Caution& caution) {
      std::string text = caution.text;
      for (const Addition& addition : beer_.additions) {
        if (text.starts_with(addition.ingredient + ": ")) text.erase(0, addition.ingredient.size());
      }
      for (const Addition& addition : first_.additions) {
        if (text.starts_with(addition.ingredient + ": ")) text.erase(0, addition.ingredient.size());
      }
      std::erase_if(text, [](char c) { return (c >= '0' && c <= '9') || c == '.'; });
      return text;
    };
    for (const Caution& caution : other_.cautions) {
      const bool new_here =
          std::none_of(known.begin(), known.end(), [&](const Caution& k) { return key(k) == key(caution); });
      if (new_here && caution.severity > Severity::note) say(false, caution.text);
    }
  }

  const Brief& brief_;
  const Proposal& first_;
  Alternative& other_;
  const Proposal& beer_;
};

}  // namespace

Group group_of(IngredientKind kind) {
  switch (kind) {
    case IngredientKind::malt:
    case IngredientKind::adjunct:
    case IngredientKind::sugar: return Group::fermentable;
    case IngredientKind::hop: return Group::hop;
    case IngredientKind::food: return Group::food;
    case IngredientKind::yeast: return Group::yeast;
    default: return Group::none;
  }
}

std::set<std::string> names_in(const Proposal& proposal, Group group) {
  std::set<std::string> names;
  for (const Addition& addition : proposal.additions) {
    if (group_of(addition.kind) == group) names.insert(addition.ingredient);
  }
  return names;
}

std::string what_differs(const Proposal& first, const std::vector<Trait>& its_traits, const Proposal& other,
                         const std::vector<Trait>& other_traits) {
  constexpr double worth_a_word = 0.4;  // steps
  std::vector<std::pair<double, std::string>> moved;
  for (const Trait& there : other_traits) {
    for (const Trait& here : its_traits) {
      const double apart = there.steps - here.steps;
      if (here.axis == there.axis && std::abs(apart) >= worth_a_word)
        moved.emplace_back(std::abs(apart), direction_word(there.axis, apart > 0.0));
    }
  }
  std::stable_sort(moved.begin(), moved.end(), [](const auto& a, const auto& b) { return a.first > b.first; });
  std::string words;
  const auto say = [&](const std::string& more) { words += (words.empty() ? "" : ", ") + more; };
  for (const auto& [steps, word] : moved) say(word);
  for (Group group : {Group::yeast, Group::fermentable, Group::hop, Group::food}) {
    const auto before = names_in(first, group), after = names_in(other, group);
    for (const std::string& name : only_in(after, before)) say("with " + name);
    for (const std::string& name : only_in(before, after)) {
      if (group != Group::yeast) say("without " + name);
    }
  }
  return words.empty() ? "other amounts of the same" : words;
}

void compare(const Brief& brief, const Proposal& first, Alternative& other) { Comparison(brief, first, other).write(); }

}  // namespace oddgrist::compose
