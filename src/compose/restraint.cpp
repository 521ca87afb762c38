#include "compose/restraint.hpp"

#include <algorithm>
#include <cmath>
#include <functional>

#include <boost/math/tools/toms748_solve.hpp>
#include <fmt/format.h>

#include "science/foam.hpp"
#include "science/senses.hpp"

namespace oddgrist::compose {
namespace {

using larder::Component;
using What = Carried::What;

constexpr double trace_mg_per_l = 0.5;
constexpr double hint_flavour_units = 0.5;  // where science::notice() goes from background to noticeable
constexpr double most_times = 50.0;         // nobody puts in fifty times as much

const Supply* supply_of(const Brief& brief, const std::string& id) {
  for (const auto* list : {&brief.given, &brief.have}) {
    for (const Supply& supply : *list) {
      if (supply.ingredient.id == id) return &supply;
    }
  }
  return nullptr;
}

// The mixture of the charge an addition was poured into; null if it is not there.
process::Mixture<double>* mixture_of(process::Charge<double>& charge, const Addition& addition) {
  switch (addition.route) {
    case Route::mash: return &charge.grist;
    case Route::flame_out: return &charge.flame_out;
    case Route::fermenter: return &charge.fermenter;
    case Route::infusion: return &charge.infused_food;
    case Route::boil: break;
  }
  for (auto& pour : charge.kettle) {
    if (std::abs(pour.minutes_before_end - addition.minutes_before_boil_end) < 1e-9) return &pour.mixture;
  }
  return nullptr;
}

struct Packaged {
  process::Mixture<double> beer;
  double litres = 0.0, abv_percent = 0.0, colour_ebc = 0.0;
};

enum class Luck { usual, least, most };  // how much steeping lets through

process::Steeping with_luck(process::Steeping steeping, Luck luck) {
  if (luck == Luck::usual) return steeping;
  const bool most = luck == Luck::most;
  const auto take = [](process::Estimated& figure, bool high) { figure.usual = high ? figure.high : figure.low; };
  take(steeping.dissolved_share, most);
  take(steeping.fat_afloat_share, most);
  take(steeping.fat_skimmed_share, !most);
  take(steeping.held_kg_per_kg, !most);
  return steeping;
}

// The proposal's day again, with one addition a number of times what it is.
class DayAgain {
 public:
  DayAgain(const Brief& brief, const Proposal& proposal) : brief_(brief), proposal_(proposal) {
    if (proposal.yeast.yeast) ferment_.yeast = *proposal.yeast.yeast;
    ferment_.temperature_c = brief.ferment_at.in(celsius);
  }

  [[nodiscard]] Packaged with(const Addition& addition, const Supply& supply, double times,
                              Luck luck = Luck::usual) const {
    process::Charge<double> charge = proposal_.charge;
    charge.steeping = with_luck(charge.steeping, luck);
    if (auto* mixture = mixture_of(charge, addition)) {
      add_to(*mixture, supply.ingredient.composition, (times - 1.0) * addition.amount.in(kilogram));
      for (double& mass : mixture->mass_kg) mass = std::max(mass, 0.0);  // rounding only
    }
    const auto plan = process::make_plan(brief_.kit, charge, ferment_, brief_.carbonation_volumes);
    const auto out = process::forecast(plan, process::Trace::on);
    return {out.trace.back().after, out.packaged_volume_l, out.abv_percent, out.colour_ebc};
  }

 private:
  const Brief& brief_;
  const Proposal& proposal_;
  process::Ferment ferment_;
};

double mass_mg(What what, const process::Mixture<double>& beer) {
  constexpr double salt_per_sodium = 58.443 / 22.990, salt_per_chloride = 58.443 / 35.453;  // IUPAC 2021
  switch (what) {
    case What::salt:
      return 1e6 * std::min(beer[Component::sodium] * salt_per_sodium, beer[Component::chloride] * salt_per_chloride);
    case What::acid: return 1e6 * beer[Component::organic_acid];
    case What::fat: return 1e6 * beer[Component::fat];
    case What::sugar: break;
  }
  double kg = 0.0;
  for (Component sugar : {Component::glucose, Component::fructose, Component::sucrose, Component::maltose,
                          Component::maltotriose, Component::lactose}) {
    kg += beer[sugar];
  }
  return 1e6 * kg;
}

// mg of it that the addition brings, for each litre of the beer with it.
double brought_mg_per_l(What what, const Packaged& with, const Packaged& without) {
  if (!(with.litres > 0.0)) return 0.0;
  return std::max(0.0, mass_mg(what, with.beer) - mass_mg(what, without.beer)) / with.litres;
}

struct Scale {
  double threshold_mg_per_l = 0.0;
  double hint_mg_per_l = 0.0;  // the most that is still a hint
  std::string source;
};

// Fruit acids are judged as citric acid, all sugar as sucrose: those two have a threshold in beer.
Scale scale_of(What what) {
  if (what == What::fat) {
    return {1.0, 5.0,
            "Wilde et al., J. Am. Soc. Brew. Chem. 61 (2003) 196-202; amounts from memory"};  // science::head_verdict()
  }
  const auto threshold = science::flavour_threshold(what == What::salt   ? "sodium chloride"
                                                    : what == What::acid ? "citric acid"
                                                                         : "sucrose");
  if (!threshold) return {};
  const double middle = std::sqrt(threshold->low_mg_per_l * threshold->high_mg_per_l);
  return {middle, hint_flavour_units * middle, std::string(threshold->source)};
}

Loudness loudness_of(What what, double mg_per_l, const Scale& scale) {
  if (what == What::fat) return static_cast<Loudness>(science::head_verdict(mg_per_l));
  return static_cast<Loudness>(science::notice(science::odour_activity(mg_per_l, scale.threshold_mg_per_l)));
}

// How many times the amount brings exactly so much; none if not even fifty times do.
std::optional<double> times_for(const std::function<double(double)>& mg_per_l_at, double mg_per_l) {
  const auto miss = [&](double times) { return mg_per_l_at(times) - mg_per_l; };
  if (miss(most_times) <= 0.0) return std::nullopt;
  std::uintmax_t rounds = 60;
  const auto found =
      boost::math::tools::toms748_solve(miss, 0.0, most_times, boost::math::tools::eps_tolerance<double>(30), rounds);
  return found.first;  // the lower end: never louder than a hint
}

// The beer with an addition and without it, for each luck.
struct Pair {
  Packaged with, without;
};
struct Pairs {
  Pair usual, least, most;
};

Pairs pairs_of(const DayAgain& day, const Addition& addition, const Supply& supply) {
  const auto pair = [&](Luck luck) {
    return Pair{day.with(addition, supply, 1.0, luck), day.with(addition, supply, 0.0, luck)};
  };
  return {pair(Luck::usual), pair(Luck::least), pair(Luck::most)};
}

std::optional<Carried> carried_of(What what, const DayAgain& day, const Addition& addition, const Supply& supply,
                                  const Pairs& pairs) {
  const auto brought = [&](const Pair& pair) { return brought_mg_per_l(what, pair.with, pair.without); };
  Carried carried;
  carried.what = what;
  carried.mg_per_l.value = brought(pairs.usual);
  if (carried.mg_per_l.value < trace_mg_per_l) return std::nullopt;
  const double least = brought(pairs.least), most = brought(pairs.most);
  carried.mg_per_l.low = std::min({carried.mg_per_l.value, least, most});
  carried.mg_per_l.high = std::max({carried.mg_per_l.value, least, most});
  const Scale scale = scale_of(what);
  carried.threshold_mg_per_l = scale.threshold_mg_per_l;
  carried.source = scale.source;
  carried.loudness = loudness_of(what, carried.mg_per_l.value, scale);
  const auto at = [&](double times) {
    return brought_mg_per_l(what, day.with(addition, supply, times), pairs.usual.without);
  };
  if (const auto times = times_for(at, scale.hint_mg_per_l)) carried.most_for_a_hint = *times * addition.amount;
  return carried;
}

Oddment oddment_of(const DayAgain& day, const Addition& addition, const Supply& supply) {
  Oddment oddment;
  oddment.ingredient = addition.ingredient;
  oddment.ingredient_id = addition.ingredient_id;
  oddment.route = addition.route;
  oddment.amount = addition.amount;
  const Pairs pairs = pairs_of(day, addition, supply);
  for (What what : {What::salt, What::acid, What::sugar, What::fat}) {
    const auto carried = carried_of(what, day, addition, supply, pairs);
    if (!carried) continue;
    oddment.carried.push_back(*carried);
    if (what == What::fat || !carried->most_for_a_hint) continue;
    if (!oddment.most_for_a_hint || *carried->most_for_a_hint < *oddment.most_for_a_hint) {
      oddment.most_for_a_hint = carried->most_for_a_hint;
    }
  }
  const Packaged &with = pairs.usual.with, &without = pairs.usual.without;
  if (with.litres > 0.0) {
    oddment.alcohol_g_per_l = 1000.0 * (with.beer[Component::ethanol] - without.beer[Component::ethanol]) / with.litres;
  }
  oddment.abv_rise_percent = with.abv_percent - without.abv_percent;
  oddment.colour_rise_ebc = with.colour_ebc - without.colour_ebc;
  oddment.volume_rise_l = with.litres - without.litres;
  return oddment;
}

// Two figures are all these are good for; no 1.8e+02.
std::string two_figures(double value) {
  return value < 100.0 ? fmt::format("{:.2g}", value) : fmt::format("{:.0f}", 10.0 * std::round(value / 10.0));
}

std::string fat_words(Loudness loudness) {
  return std::string(science::head_words(static_cast<science::HeadVerdict>(loudness)));
}

}  // namespace

std::string_view loudness_name(Loudness loudness) {
  switch (loudness) {
    case Loudness::below: return "below";
    case Loudness::hint: return "hint";
    case Loudness::plain: return "plain";
    case Loudness::loud: return "loud";
  }
  return "";
}

std::string_view carried_name(Carried::What what) {
  switch (what) {
    case What::salt: return "salt";
    case What::acid: return "acid";
    case What::sugar: return "sugar";
    case What::fat: return "fat";
  }
  return "";
}

std::vector<Oddment> oddments_of(const Brief& brief, const Proposal& proposal) {
  std::vector<Oddment> oddments;
  if (proposal.plan.steps.empty() || !(process::total_mass_kg(proposal.charge.mash_liquor) > 0.0)) return oddments;
  const DayAgain day(brief, proposal);
  for (const Addition& addition : proposal.additions) {
    const Supply* supply = supply_of(brief, addition.ingredient_id);
    if (addition.kind != larder::IngredientKind::food || supply == nullptr || !(addition.amount.in(kilogram) > 0.0))
      continue;
    oddments.push_back(oddment_of(day, addition, *supply));
  }
  return oddments;
}

std::string restraint_words(const Oddment& oddment) {
  if (oddment.carried.empty()) return {};
  std::string list;
  bool taste = false;
  for (const Carried& carried : oddment.carried) {
    const bool fat = carried.what == What::fat;
    taste = taste || !fat;
    const std::string how = fat                                   ? fat_words(carried.loudness)
                            : carried.loudness == Loudness::below ? "below notice"
                            : carried.loudness == Loudness::hint  ? "a hint"
                                                                  : std::string(loudness_name(carried.loudness));
    list += fmt::format("{}{} {} mg/L, {}", list.empty() ? "" : "; ", carried_name(carried.what),
                        two_figures(carried.mg_per_l.value), how);
  }
  std::string words = fmt::format("{} brings {}.", oddment.ingredient, list);
  // Far more than is used is of no interest.
  if (taste && oddment.most_for_a_hint && *oddment.most_for_a_hint < 3.0 * oddment.amount) {
    words += fmt::format(" Up to {:.0f} g of it stay a hint.", std::floor(oddment.most_for_a_hint->in(gram)));
  }
  return words + " Its aroma only a trial tells.";
}

}  // namespace oddgrist::compose
