#include "compose/elastic.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace oddgrist::compose {
namespace {

using larder::IngredientKind;

// Prices of a miss of one scale. The order is a judgement: a vessel or a stock is a fact, a parcel is a promise, a wish is a wish,
// custom is custom. Common practice, no source.
constexpr double fact_weight = 1000.0, must_weight = 400.0, limit_weight = 300.0, wish_weight = 100.0,
                 custom_weight = 30.0;

// Inside this outer share of a range (each side) lies the edge, which costs a little: kits vary, so aim for the middle half.
constexpr double edge_share = 0.5;

constexpr double open_and_left_points = 0.2;  // for all of it

constexpr double least_enzymes_wk = 100.0;      // of the blend; below it conversion is doubtful (from memory)
constexpr double thickest_mash_l_per_kg = 2.2;  // common practice, no source
constexpr double sparged_mash_low_l_per_kg = 2.5, sparged_mash_high_l_per_kg = 3.5;  // common practice, no source

double least_scale(Measure measure, double middle) {
  switch (measure) {
    case Measure::volume: return 0.02 * middle;
    case Measure::original_gravity:
    case Measure::final_gravity: return 0.002;
    case Measure::alcohol: return 0.2;
    case Measure::bitterness:
    case Measure::colour: return 2.0;
    case Measure::mash_ph: return 0.1;
    case Measure::calcium:
    case Measure::magnesium:
    case Measure::sodium:
    case Measure::chloride:
    case Measure::sulphate: return 10.0;
  }
  return 1.0;
}

bool in_grist(const Unknowns& unknowns, const Variable& variable) {
  return variable.supply >= 0 && unknowns.ports[variable.port].where == Port::Where::grist;
}

bool treats_water(const Supply& supply) {
  return supply.ingredient.kind == IngredientKind::salt || supply.ingredient.kind == IngredientKind::acid;
}

class Builder {
 public:
  Builder(const Brief& brief, const Unknowns& unknowns) : brief_(brief), unknowns_(unknowns) {}

  Demands build() {
    for (const Wish& wish : brief_.wishes) {
      if (wish.measure != Measure::volume) continue;
      volume_l_ = 0.5 * (wish.low + wish.high);
      most_volume_l_ = wish.high;
    }
    wishes();
    for (int s = 0; s < static_cast<int>(unknowns_.supplies.size()); ++s) supply(s);
    open_first();
    waters();
    vessels();
    counts();
    mash();
    costs();
    least_grist();
    demands_.rest_low_c = brief_.rest_low.in(celsius);
    demands_.rest_high_c = brief_.rest_high.in(celsius);
    return std::move(demands_);
  }

 private:
  int member(Member::Kind kind, int index, std::string words, double scale, double weight) {
    demands_.members.push_back({kind, index, std::move(words), scale, weight});
    return static_cast<int>(demands_.members.size()) - 1;
  }
  void demand(int member, Elastic elastic) {
    elastic.member = member;
    elastic.price = demands_.members[member].weight / demands_.members[member].scale;
    demands_.elastics.push_back(std::move(elastic));
  }
  std::vector<std::pair<int, double>> sum_of(int supply) const {
    std::vector<std::pair<int, double>> terms;
    for (int variable : unknowns_.variables_of_supply[supply]) terms.emplace_back(variable, 1.0);
    return terms;
  }

  void wishes() {
    for (std::size_t i = 0; i < brief_.wishes.size(); ++i) {
      const Wish& wish = brief_.wishes[i];
      const double half = 0.5 * (wish.high - wish.low);
      const double scale = std::max(half, least_scale(wish.measure, 0.5 * (wish.low + wish.high)));
      const std::string words =
          fmt::format("{} {} to {}", measure_name(wish.measure), measure_words(wish.measure, wish.low),
                      measure_words(wish.measure, wish.high));
      const int id = member(Member::Kind::wish, static_cast<int>(i), words, scale, wish_weight * wish.weight);
      Elastic elastic;
      elastic.gauge = static_cast<int>(wish.measure);
      elastic.low = wish.low;
      elastic.high = wish.high;
      demand(id, elastic);
      elastic.low += edge_share * half;
      elastic.high -= edge_share * half;
      elastic.price = 1.0 / scale;
      demands_.elastics.push_back(elastic);
    }
  }

  void supply(int s) {
    const Supply& supply = *unknowns_.supplies[s];
    const std::string& name = supply.ingredient.name;
    demands_.most_kg.push_back(ceiling_kg(supply));
    if (supply.must) {
      const Must& must = *supply.must;
      const double low = must.low.in(kilogram), high = must.high.in(kilogram);
      std::string words;
      switch (must.sense) {
        case Must::Sense::all: words = fmt::format("all {} of {}", mass_words(high), name); break;
        case Must::Sense::at_least: words = fmt::format("at least {} of {}", mass_words(low), name); break;
        case Must::Sense::at_most: words = fmt::format("at most {} of {}", mass_words(high), name); break;
        case Must::Sense::between:
          words = fmt::format("{} to {} of {}", mass_words(low), mass_words(high), name);
          break;
      }
      Elastic elastic;
      elastic.amounts = sum_of(s);
      elastic.low = low;
      elastic.high = high;
      demand(member(Member::Kind::must, s, words, std::max(0.02 * high, 1e-4), must_weight), elastic);
    }
    if (supply.amount) {
      Elastic elastic;
      elastic.amounts = sum_of(s);
      elastic.low = -1.0;
      elastic.high = supply.amount->in(kilogram);
      const std::string words = fmt::format("no more than {} of {}", mass_words(elastic.high), name);
      if (!supply.must || supply.must->high < *supply.amount || supply.must->sense == Must::Sense::at_least) {
        demand(member(Member::Kind::stock, s, words, std::max(0.05 * elastic.high, 1e-4), fact_weight), elastic);
      }
    }
  }

  void least_grist() {
    const bool is_wished = std::any_of(brief_.wishes.begin(), brief_.wishes.end(),
                                       [](const Wish& wish) { return wish.measure == Measure::mash_ph; });
    const bool is_there = std::any_of(unknowns_.variables.begin(), unknowns_.variables.end(),
                                      [&](const Variable& variable) { return in_grist(unknowns_, variable); });
    if (is_wished && is_there) demands_.least_grist_kg = 0.02 * volume_l_;
  }

  // Preferences: what is left of a bag that is already open costs a little, more than opening another one, less than the edge of a wish.
  void open_first() {
    for (int s = 0; s < static_cast<int>(unknowns_.supplies.size()); ++s) {
      const Supply& supply = *unknowns_.supplies[s];
      if (!supply.open || !supply.amount || !(supply.amount->in(kilogram) > 0.0)) continue;
      Elastic elastic;
      elastic.amounts = sum_of(s);
      elastic.low = supply.amount->in(kilogram);
      elastic.high = 1e9;
      elastic.price = open_and_left_points / elastic.low;
      demands_.elastics.push_back(elastic);
    }
  }

  void waters() {
    for (int w = 0; w < static_cast<int>(brief_.waters.size()); ++w) {
      const Water& water = brief_.waters[w];
      if (!water.amount) continue;
      Elastic elastic;
      for (int v = 0; v < static_cast<int>(unknowns_.variables.size()); ++v) {
        if (unknowns_.variables[v].water == w) elastic.amounts.emplace_back(v, 1.0);
      }
      elastic.low = -1.0;
      elastic.high = water.amount->in(litre);
      demand(member(Member::Kind::water, w, fmt::format("no more than {:.4g} L of {}", elastic.high, water.name),
                    0.05 * elastic.high + 1e-3, fact_weight),
             elastic);
    }
  }

  // The last of a bag may be used, however little it is, in whole steps.
  double least_kg(int s) const {
    const Supply& supply = *unknowns_.supplies[s];
    if (supply.must || treats_water(supply)) return 0.0;
    const double least = volume_l_ * (supply.ingredient.kind == IngredientKind::hop ? 2e-4 : 4e-3);
    if (!supply.amount || supply.amount->in(kilogram) >= least) return least;
    const double step_kg = unknowns_.variables[unknowns_.variables_of_supply[s].front()].step_kg;
    return std::floor(supply.amount->in(kilogram) / step_kg + 1e-9) * step_kg;
  }

  // What stands in the house is paid for; only what must be fetched comes in packets.
  static bool bought_in_packets(const Supply& supply) {
    return supply.packet && supply.packet->in(kilogram) > 0.0 && !supply.amount;
  }
  // Small beside any wish: money chooses between recipes that are equally good.
  double money_price(double cost_per_kg) const { return 0.2 * cost_per_kg / volume_l_; }

  double usual_kg(const Variable& variable) const {
    if (variable.supply < 0) return 0.5 * volume_l_;
    if (unknowns_.supplies[variable.supply]->ingredient.kind == IngredientKind::hop) return 3e-3 * volume_l_;
    if (treats_water(*unknowns_.supplies[variable.supply])) return 2e-4 * volume_l_;
    return (in_grist(unknowns_, variable) ? 0.25 : 0.03) * volume_l_;
  }

  double ceiling_kg(const Supply& supply) const {
    // What the stock allows is a demand of its own, which a clash may ask to be dropped. More of one thing than this is no beer:
    // common practice, no source.
    const double stocked = supply.amount ? supply.amount->in(kilogram) + 1e-3 : 0.0;
    return std::max(stocked, most_volume_l_ * sane_kg_per_l(supply.ingredient.kind));
  }

  static double sane_kg_per_l(IngredientKind kind) {
    switch (kind) {
      case IngredientKind::malt:
      case IngredientKind::adjunct: return 0.5;
      case IngredientKind::sugar: return 0.15;
      case IngredientKind::hop: return 0.015;
      case IngredientKind::food: return 0.05;
      default: return 0.005;
    }
  }

  void vessels() {
    const double room = brief_.kit.kettle.in(litre) * (1.0 - brief_.kit.kettle_headspace.in(ratio));
    const int id = member(Member::Kind::kettle, -1,
                          fmt::format("a kettle of {:.4g} L with {:.3g} % kept free", brief_.kit.kettle.in(litre),
                                      brief_.kit.kettle_headspace.in(percent)),
                          0.02 * room, fact_weight);
    Elastic elastic;
    elastic.low = -1.0;
    elastic.high = room;
    elastic.gauge = static_cast<int>(Gauge::boil_hot_l);
    demand(id, elastic);
    if (brief_.kit.mash_method == process::MashMethod::full_volume_bag) {  // a sparged mash stands in a tun of its own
      elastic.gauge = static_cast<int>(Gauge::mash_hot_l);
      demand(id, elastic);
    }
    const double fermenter = brief_.kit.fermenter.in(litre);
    if (fermenter > 0.0) {
      elastic.gauge = static_cast<int>(Gauge::volume_l);
      elastic.high = fermenter * 0.85;  // room for the head of yeast: common practice, no source
      demand(member(Member::Kind::fermenter, -1,
                    fmt::format("a fermenter of {:.4g} L with 15 % kept free for foam", fermenter), 0.02 * fermenter,
                    fact_weight),
             elastic);
    }
  }

  void counts() {
    Elastic malts, hops;
    for (int s = 0; s < static_cast<int>(unknowns_.supplies.size()); ++s) {
      const IngredientKind kind = unknowns_.supplies[s]->ingredient.kind;
      if (kind == IngredientKind::malt || kind == IngredientKind::adjunct) malts.uses.emplace_back(s, 1.0);
      if (kind == IngredientKind::hop) hops.uses.emplace_back(s, 1.0);
    }
    malts.high = brief_.most_malts;
    hops.high = brief_.most_hops;
    const auto words = [](int count, const char* one, const char* many) {
      return fmt::format("at most {} {}", count, count == 1 ? one : many);
    };
    if (static_cast<int>(malts.uses.size()) > brief_.most_malts) {
      demand(member(Member::Kind::most_malts, -1, words(brief_.most_malts, "malt or grain", "malts and grains"), 1.0,
                    limit_weight),
             malts);
    }
    if (static_cast<int>(hops.uses.size()) > brief_.most_hops) {
      demand(member(Member::Kind::most_hops, -1, words(brief_.most_hops, "hop", "hops"), 1.0, limit_weight), hops);
    }
  }

  void mash() {
    Elastic enzymes, thickness;
    const double typical_grist_kg = 0.2 * volume_l_;
    for (int v = 0; v < static_cast<int>(unknowns_.variables.size()); ++v) {
      const Variable& variable = unknowns_.variables[v];
      if (variable.supply < 0 && unknowns_.ports[variable.port].where == Port::Where::mash_liquor)
        thickness.amounts.emplace_back(v, 1.0);
      if (!in_grist(unknowns_, variable)) continue;
      const auto& malt = unknowns_.supplies[variable.supply]->ingredient.malt;
      const bool carries_starch =
          unknowns_.supplies[variable.supply]->ingredient.composition[larder::Component::starch] > 0.0;
      if (carries_starch) enzymes.amounts.emplace_back(v, (malt ? malt->diastatic_power_wk : 0.0) - least_enzymes_wk);
      thickness.amounts.emplace_back(v, -thickest_mash_l_per_kg);
      if (malt && malt->most_share_of_grist < 1.0) share(v, malt->most_share_of_grist, typical_grist_kg);
    }
    if (thickness.amounts.size() <= 1) return;
    enzymes.high = thickness.high = 1e9;
    demand(member(Member::Kind::enzymes, -1,
                  fmt::format("malt with enzymes enough to convert the grist (about {:.0f} WK)", least_enzymes_wk),
                  10.0 * typical_grist_kg, custom_weight),
           enzymes);
    demand(
        member(Member::Kind::thickness, -1, fmt::format("a mash no thicker than {:.1f} L/kg", thickest_mash_l_per_kg),
               0.1 * typical_grist_kg, custom_weight),
        thickness);
    if (brief_.kit.mash_method == process::MashMethod::sparged) sparged(thickness);
  }

  // Preferences, not demands: the sparge the kit keeps liquor for, else a mash between 2.5 and 3.5 L/kg.
  void sparged(const Elastic& thickness) {
    const double kept_l = brief_.kit.sparge.in(litre);
    if (kept_l > 0.0) {
      Elastic sparge;
      for (int v = 0; v < static_cast<int>(unknowns_.variables.size()); ++v) {
        if (unknowns_.ports[unknowns_.variables[v].port].where == Port::Where::sparge_liquor)
          sparge.amounts.emplace_back(v, 1.0);
      }
      sparge.low = 0.95 * kept_l;
      sparge.high = 1.05 * kept_l;
      sparge.price = 2.0 / volume_l_;
      demands_.elastics.push_back(sparge);
      return;
    }
    Elastic thick = thickness, thin = thickness;
    for (auto* preference : {&thick, &thin}) {
      const double ratio = preference == &thick ? sparged_mash_low_l_per_kg : sparged_mash_high_l_per_kg;
      for (auto& [variable, coefficient] : preference->amounts) {
        if (unknowns_.variables[variable].supply >= 0) coefficient = -ratio;
      }
      preference->member = -1;
      preference->price = 2.0 / volume_l_;
    }
    thick.low = 0.0, thick.high = 1e9;
    thin.low = -1e9, thin.high = 0.0;
    demands_.elastics.push_back(thick);
    demands_.elastics.push_back(thin);
  }

  void share(int v, double most, double typical_grist_kg) {
    const int s = unknowns_.variables[v].supply;
    Elastic elastic;
    elastic.amounts = {{v, 1.0}};
    elastic.gauge = static_cast<int>(Gauge::grist_kg);
    elastic.gauge_factor = -most;
    elastic.low = -1e9;
    demand(member(Member::Kind::share, s,
                  fmt::format("{} no more than {:.0f} % of the grist (usual practice)",
                              unknowns_.supplies[s]->ingredient.name, 100.0 * most),
                  0.02 * typical_grist_kg, custom_weight),
           elastic);
  }

  void costs() {
    demands_.amount_cost.assign(unknowns_.variables.size(), 0.0);
    for (int s = 0; s < static_cast<int>(unknowns_.supplies.size()); ++s) {
      const Supply& supply = *unknowns_.supplies[s];
      demands_.use_cost.push_back(unknowns_.is_given[s] ? 0.0 : treats_water(supply) ? 0.02 : 0.05);
      demands_.least_kg.push_back(least_kg(s));
      const auto& moments = unknowns_.variables_of_supply[s];
      if (moments.size() > 1) {
        const double all = supply.must && supply.must->sense == Must::Sense::all ? supply.must->high.in(kilogram) : 1.0;
        for (int v : moments)
          demands_.moments.push_back({v, 0.03, std::min(3e-4 * volume_l_, all / static_cast<double>(moments.size()))});
      }
      if (bought_in_packets(supply)) {
        const double packet_kg = supply.packet->in(kilogram);
        demands_.packets.push_back({s, packet_kg, 0.02 + money_price(supply.cost_per_kg) * packet_kg});
      }
      for (int v : unknowns_.variables_of_supply[s]) {
        double& cost = demands_.amount_cost[v];
        if (!bought_in_packets(supply)) cost += money_price(supply.cost_per_kg);
        if (supply.ingredient.kind == IngredientKind::hop && !supply.must) cost += 20.0 / volume_l_;
        // Restraint: where a range of an oddment is allowed and nothing else asks for more, the small end.
        if (supply.ingredient.kind == IngredientKind::food && supply.must)
          cost += 0.05 / std::max(1e-3, supply.must->high.in(kilogram));
      }
    }
    for (std::size_t v = 0; v < unknowns_.variables.size(); ++v) {
      demands_.usual_kg.push_back(usual_kg(unknowns_.variables[v]));
      const Variable& variable = unknowns_.variables[v];
      if (unknowns_.ports[variable.port].where == Port::Where::top_up) demands_.amount_cost[v] += 0.1 / volume_l_;
      if (variable.water > 0)
        demands_.amount_cost[v] += 0.02 / volume_l_;  // the first water is the one that costs nothing to fetch
    }
  }

  const Brief& brief_;
  const Unknowns& unknowns_;
  Demands demands_;
  double volume_l_ = 10.0;
  double most_volume_l_ = 10.0;
};

}  // namespace

Demands demands_of(const Brief& brief, const Unknowns& unknowns) { return Builder(brief, unknowns).build(); }

int packets_opened(const Packets& packets, const Design& design, const Unknowns& unknowns) {
  double kg = 0.0;
  for (int v : unknowns.variables_of_supply[packets.supply]) kg += design.amount_kg[v];
  return static_cast<int>(std::ceil(kg / packets.packet_kg - 1e-9));
}

bool is_used(const Design& design, const Unknowns& unknowns, int supply) {
  const auto& variables = unknowns.variables_of_supply[supply];
  return std::any_of(variables.begin(), variables.end(), [&](int v) { return design.amount_kg[v] > 1e-9; });
}

double value_of(const Elastic& elastic, const Design& design, const Unknowns& unknowns,
                const std::array<double, gauge_count>& gauges) {
  double value = elastic.gauge >= 0 ? elastic.gauge_factor * gauges[elastic.gauge] : 0.0;
  for (const auto& [variable, coefficient] : elastic.amounts) value += coefficient * design.amount_kg[variable];
  for (const auto& [supply, coefficient] : elastic.uses) value += is_used(design, unknowns, supply) ? coefficient : 0.0;
  return value;
}

double miss_of(const Elastic& elastic, const Design& design, const Unknowns& unknowns,
               const std::array<double, gauge_count>& gauges) {
  const double value = value_of(elastic, design, unknowns, gauges);
  return std::max({0.0, elastic.low - value, value - elastic.high});
}

double loss_of(const Demands& demands, const Design& design, const Unknowns& unknowns,
               const std::array<double, gauge_count>& gauges) {
  double loss = 0.0;
  for (const Elastic& elastic : demands.elastics) loss += elastic.price * miss_of(elastic, design, unknowns, gauges);
  for (std::size_t v = 0; v < design.amount_kg.size(); ++v) loss += demands.amount_cost[v] * design.amount_kg[v];
  for (std::size_t s = 0; s < demands.use_cost.size(); ++s) {
    if (is_used(design, unknowns, static_cast<int>(s))) loss += demands.use_cost[s];
  }
  for (const Moment& moment : demands.moments) loss += design.amount_kg[moment.variable] > 1e-9 ? moment.cost : 0.0;
  for (const Packets& packets : demands.packets) loss += packets.cost * packets_opened(packets, design, unknowns);
  return loss;
}

std::string measure_name(Measure measure) {
  switch (measure) {
    case Measure::volume: return "volume";
    case Measure::original_gravity: return "original gravity";
    case Measure::final_gravity: return "final gravity";
    case Measure::alcohol: return "alcohol";
    case Measure::bitterness: return "bitterness";
    case Measure::colour: return "colour";
    case Measure::mash_ph: return "mash pH";
    case Measure::calcium: return "calcium";
    case Measure::magnesium: return "magnesium";
    case Measure::sodium: return "sodium";
    case Measure::chloride: return "chloride";
    case Measure::sulphate: return "sulphate";
  }
  return "";
}

std::string measure_words(Measure measure, double value) {
  switch (measure) {
    case Measure::volume: return fmt::format("{:.4g} L", value);
    case Measure::original_gravity:
    case Measure::final_gravity: return fmt::format("{:.3f}", value);
    case Measure::alcohol: return fmt::format("{:.1f} % vol", value);
    case Measure::bitterness: return fmt::format("{:.0f} IBU", value);
    case Measure::colour: return fmt::format("{:.0f} EBC", value);
    case Measure::mash_ph: return fmt::format("{:.2f}", value);
    case Measure::calcium:
    case Measure::magnesium:
    case Measure::sodium:
    case Measure::chloride:
    case Measure::sulphate: return fmt::format("{:.0f} mg/L", value);
  }
  return "";
}

std::string mass_words(double kg) {
  return kg < 1.0 ? fmt::format("{:.4g} g", kg * 1000.0) : fmt::format("{:.4g} kg", kg);
}

}  // namespace oddgrist::compose
