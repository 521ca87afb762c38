#include "round/parcel_check.hpp"

#include <algorithm>
#include <tuple>

#include <fmt/format.h>

namespace oddgrist::round {
namespace {

using compose::Measure;
using compose::Must;
using compose::Supply;
using compose::Wish;

// What most people would still call a beer and drink with pleasure (common practice, no source).
constexpr double alcohol_low_percent = 3.5, alcohol_high_percent = 8.0;
constexpr double bitterness_low_ibu = 8.0, bitterness_high_ibu = 60.0;
constexpr double final_gravity_low_sg = 1.002, final_gravity_high_sg = 1.025;
// Of the kettle, into the fermenter: less is not worth the day, more boils over (common practice, no source).
constexpr double volume_low_of_kettle = 0.3, volume_high_of_kettle = 0.75;
constexpr double most_of_fermenter = 0.85;

// Alike but for the name. The binding no longer compiles when a kit gains a figure: then it belongs here too.
auto figures_of(const process::Kit& kit) {
  const auto& [name, a, b, c, d, e, f, g, h, i, j, k, l, m, n, o, p, q, r, s] = kit;
  return std::make_tuple(a, b, c, d, e, f, g, h, i, j, k, l, m, n, o, p, q, r, s);
}

bool same_supplies(const std::vector<Supply>& a, const std::vector<Supply>& b) {
  return std::equal(a.begin(), a.end(), b.begin(), b.end(), [](const Supply& x, const Supply& y) {
    return x.place.line == y.place.line && x.ingredient.id == y.ingredient.id;
  });
}

bool shuns(const Member& member, const larder::Ingredient& ingredient) {
  return std::any_of(ingredient.allergens.begin(), ingredient.allergens.end(), [&](larder::Allergen allergen) {
    return std::find(member.cannot_handle.begin(), member.cannot_handle.end(), allergen) != member.cannot_handle.end();
  });
}

// Which entries of the pantries they leave alone. Allergens change nothing else of what compose() is asked.
std::vector<bool> left_alone(const Round& round, const Member& member) {
  std::vector<bool> shunned;
  for (const auto* pantry : {&member.pantry, &round.pantry}) {
    for (const Supply& supply : *pantry) shunned.push_back(shuns(member, supply.ingredient));
  }
  return shunned;
}

// One ingredient is one entry of a brief: what the pantry has of it comes on top of what the parcel asks to be used.
void add_to_given(Supply& given, const Supply& in_pantry) {
  if (!given.must || given.must->sense == Must::Sense::at_most || given.must->sense == Must::Sense::between) return;
  const Mass more = in_pantry.amount.value_or(100.0 * kilogram);  // none stated: as much as wanted can be bought
  const Mass whole = given.amount.value_or(0.0 * kilogram) + more;
  given.amount = whole;
  given.must = Must{Must::Sense::at_least, given.must->low, whole};
}

void add_pantry(compose::Brief& brief, const std::vector<Supply>& pantry, const Member& brewer) {
  for (const Supply& supply : pantry) {
    if (shuns(brewer, supply.ingredient)) continue;
    const auto same = [&](const Supply& other) { return other.ingredient.id == supply.ingredient.id; };
    const auto given = std::find_if(brief.given.begin(), brief.given.end(), same);
    if (given != brief.given.end()) {
      add_to_given(*given, supply);
    } else if (std::none_of(brief.have.begin(), brief.have.end(), same)) {
      brief.have.push_back(supply);
    }
  }
}

std::size_t kinds_in(const std::vector<Supply>& parcel, larder::IngredientKind kind) {
  return static_cast<std::size_t>(std::count_if(parcel.begin(), parcel.end(),
                                                [&](const Supply& supply) { return supply.ingredient.kind == kind; }));
}

std::vector<std::string> reasons_of(const compose::Answer& answer) {
  std::vector<std::string> reasons;
  for (const compose::Clash& clash : answer.clashes) {
    std::string wishes;
    for (const std::string& wish : clash.wishes) wishes += (wishes.empty() ? "" : ", ") + wish;
    reasons.push_back(clash.least_change.empty() ? wishes : fmt::format("{} ({})", wishes, clash.least_change));
  }
  return reasons;
}

// The nearest beer misses a wish by so much that it is none: by more than this share of the wish's limit, gravity by more than 0.007
// (common practice, no source).
constexpr double far_share = 0.15, far_gravity = 0.007;

bool far_from(const Wish& wish, double value) {
  const bool gravity = wish.measure == Measure::final_gravity;
  const double below = gravity ? far_gravity : far_share * wish.low,
               above = gravity ? far_gravity : far_share * wish.high;
  return value < wish.low - below || value > wish.high + above;
}

double found_value(const Finding& finding, Measure measure) {
  switch (measure) {
    case Measure::volume: return finding.volume_l;
    case Measure::alcohol: return finding.abv_percent;
    case Measure::bitterness: return finding.bitterness_ibu;
    default: return finding.final_gravity_sg;
  }
}

Finding finding_of(const compose::Answer& answer, const compose::Brief& brief) {
  Finding finding;
  if (answer.outcome == compose::Outcome::refused || answer.proposals.empty()) {
    finding.verdict = Verdict::refused;
    for (const compose::Caution& caution : answer.cautions) {
      if (caution.severity == compose::Severity::refuse) finding.reasons.push_back(caution.text);
    }
    return finding;
  }
  const compose::Proposal& proposal = answer.proposals.front();
  finding.volume_l = proposal.fermenter_volume_l.value;
  finding.abv_percent = proposal.abv_percent.value;
  finding.bitterness_ibu = proposal.bitterness_ibu.value;
  finding.final_gravity_sg = proposal.final_gravity_sg.value;
  if (answer.outcome == compose::Outcome::met) return finding;
  finding.reasons = reasons_of(answer);
  const auto& forecast = proposal.forecast;
  const bool far = std::any_of(brief.wishes.begin(), brief.wishes.end(),
                               [&](const Wish& wish) { return far_from(wish, found_value(finding, wish.measure)); });
  finding.verdict = far || !forecast.impossible.empty() ? Verdict::beyond_kit : Verdict::nearly;
  finding.reasons.insert(finding.reasons.end(), forecast.impossible.begin(), forecast.impossible.end());
  if (finding.reasons.empty()) finding.reasons.push_back("the nearest recipe misses a wish by a little");
  return finding;
}

}  // namespace

std::vector<Household> households_of(const Round& round) {
  std::vector<Household> households;
  for (std::size_t m = 0; m < round.members.size(); ++m) {
    const Member& member = round.members[m];
    const auto alike = [&](const Household& household) {
      const Member& other = round.members[household.members.front()];
      return figures_of(round.kits[other.kit]) == figures_of(round.kits[member.kit]) &&
             left_alone(round, other) == left_alone(round, member) && same_supplies(other.pantry, member.pantry);
    };
    const auto home = std::find_if(households.begin(), households.end(), alike);
    if (home == households.end()) {
      households.push_back(Household{{m}});
    } else {
      home->members.push_back(m);
    }
  }
  return households;
}

compose::Brief brief_for(const Round& round, std::size_t giver, std::size_t brewer) {
  const Member& host = round.members[brewer];
  compose::Brief brief;
  brief.name = fmt::format("parcel of {}", round.members[giver].name);
  brief.file = round.file;
  brief.kit = round.kits[host.kit];
  brief.given = round.members[giver].parcel;
  add_pantry(brief, host.pantry, host);
  add_pantry(brief, round.pantry, host);
  brief.waters = round.waters;
  // What the giver packed is no fault of the brewer's: it does not use up the room for malts and hops of the brewer's own.
  const auto& parcel = brief.given;
  brief.most_malts = 4 + static_cast<int>(kinds_in(parcel, larder::IngredientKind::malt) +
                                          kinds_in(parcel, larder::IngredientKind::adjunct));
  brief.most_hops = 2 + static_cast<int>(kinds_in(parcel, larder::IngredientKind::hop));
  const double kettle_l = brief.kit.kettle.in(litre);
  double most_l = volume_high_of_kettle * kettle_l;
  if (brief.kit.fermenter > 0.0 * litre) most_l = std::min(most_l, most_of_fermenter * brief.kit.fermenter.in(litre));
  const auto wish = [&](Measure measure, double low, double high) {
    brief.wishes.push_back(Wish{measure, low, high, 1.0, round.members[giver].place});
  };
  wish(Measure::volume, std::min(volume_low_of_kettle * kettle_l, 0.8 * most_l), most_l);
  wish(Measure::alcohol, alcohol_low_percent, alcohol_high_percent);
  wish(Measure::bitterness, bitterness_low_ibu, bitterness_high_ibu);
  wish(Measure::final_gravity, final_gravity_low_sg, final_gravity_high_sg);
  return brief;
}

ParcelReport check_parcels(const Round& round, const Progress& progress) {
  ParcelReport report;
  report.households = households_of(round);
  report.household_of.assign(round.members.size(), 0);
  report.finding.assign(round.members.size(), std::vector<std::optional<Finding>>(report.households.size()));
  std::vector<std::pair<std::size_t, std::size_t>> tasks;
  for (std::size_t h = 0; h < report.households.size(); ++h) {
    const auto& living = report.households[h].members;
    for (std::size_t member : living) report.household_of[member] = h;
    for (std::size_t giver = 0; giver < round.members.size(); ++giver) {
      if (living.size() > 1 || living.front() != giver) tasks.emplace_back(giver, h);
    }
  }
  for (std::size_t done = 0; done < tasks.size(); ++done) {
    if (progress) progress(done, tasks.size());
    const auto& task = tasks[done];
    const compose::Brief brief = brief_for(round, task.first, report.households[task.second].members.front());
    report.finding[task.first][task.second] = finding_of(compose::compose(brief), brief);
  }
  if (progress) progress(tasks.size(), tasks.size());
  return report;
}

}  // namespace oddgrist::round
