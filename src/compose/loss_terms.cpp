#include "compose/loss_terms.hpp"

namespace oddgrist::compose {

std::vector<LossTerm> loss_terms(const Demands& demands, const Design& design, const Unknowns& unknowns,
                                 const std::array<double, gauge_count>& gauges) {
  using Kind = LossTerm::Kind;
  std::vector<LossTerm> terms;
  for (std::size_t e = 0; e < demands.elastics.size(); ++e) {
    const Elastic& elastic = demands.elastics[e];
    const Kind kind = elastic.member >= 0 ? Kind::demand : elastic.gauge >= 0 ? Kind::edge : Kind::handling;
    terms.push_back({kind, static_cast<int>(e), elastic.price * miss_of(elastic, design, unknowns, gauges)});
  }
  for (std::size_t v = 0; v < design.amount_kg.size(); ++v)
    terms.push_back({Kind::money, static_cast<int>(v), demands.amount_cost[v] * design.amount_kg[v]});
  for (std::size_t s = 0; s < demands.use_cost.size(); ++s) {
    const bool used = is_used(design, unknowns, static_cast<int>(s));
    terms.push_back({Kind::use, static_cast<int>(s), used ? demands.use_cost[s] : 0.0});
  }
  for (const Moment& moment : demands.moments) {
    terms.push_back({Kind::use, unknowns.variables[moment.variable].supply,
                     design.amount_kg[moment.variable] > 1e-9 ? moment.cost : 0.0});
  }
  for (const Packets& packets : demands.packets)
    terms.push_back({Kind::packet, packets.supply, packets.cost * packets_opened(packets, design, unknowns)});
  return terms;
}

std::string term_words(const Demands& demands, const Unknowns& unknowns, const LossTerm& term) {
  switch (term.kind) {
    case LossTerm::Kind::demand: return demands.members[demands.elastics[term.index].member].words;
    case LossTerm::Kind::edge: return measure_name(static_cast<Measure>(demands.elastics[term.index].gauge));
    case LossTerm::Kind::handling: {
      const auto& amounts = demands.elastics[term.index].amounts;
      const int supply = amounts.size() == 1 ? unknowns.variables[amounts.front().first].supply : -1;
      return supply >= 0 ? "what is left of the open " + unknowns.supplies[supply]->ingredient.name
                         : "the water on the grain";
    }
    case LossTerm::Kind::money: {
      const int supply = unknowns.variables[term.index].supply;
      return supply < 0 ? "water" : unknowns.supplies[supply]->ingredient.name;
    }
    case LossTerm::Kind::use:
    case LossTerm::Kind::packet: return unknowns.supplies[term.index]->ingredient.name;
  }
  return {};
}

}  // namespace oddgrist::compose
