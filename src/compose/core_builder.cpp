#include "compose/core_builder.hpp"

#include <algorithm>
#include <cmath>

namespace oddgrist::compose {
namespace {

void share_out(const std::vector<int>& variables, std::vector<double>& value) {
  double total = 0.0, floors = 0.0;
  std::vector<std::pair<double, int>> remainders;
  for (int v : variables) {
    total += value[v];
    const double floor = std::floor(value[v] + 1e-9);
    if (value[v] > 1e-6) remainders.emplace_back(value[v] - floor, v);
    value[v] = floor;
    floors += floor;
  }
  std::stable_sort(remainders.begin(), remainders.end(),
                   [](const auto& a, const auto& b) { return a.first > b.first; });
  double left = std::round(total) - floors;
  for (const auto& [remainder, v] : remainders) {
    if (left < 0.5) break;
    value[v] += 1.0;
    left -= 1.0;
  }
}

}  // namespace

CoreBuilder::CoreBuilder(const Unknowns& unknowns, const Demands& demands, Exactness exactness)
    : unknowns_(unknowns),
      demands_(demands),
      weighable_(exactness == Exactness::weighable),
      moments_of_supply_(unknowns.supplies.size()),
      least_kg_(demands.least_kg) {
  for (std::size_t m = 0; m < demands.moments.size(); ++m)
    moments_of_supply_[unknowns.variables[demands.moments[m].variable].supply].push_back(static_cast<int>(m));
  for (std::size_t s = 0; s < least_kg_.size(); ++s) {
    double least_at_once = moments_of_supply_[s].empty() ? 0.0 : unlimited;
    for (int m : moments_of_supply_[s]) least_at_once = std::min(least_at_once, demands.moments[m].least_kg);
    least_kg_[s] = std::max(least_kg_[s], least_at_once);
  }
}

LinearCore CoreBuilder::build(const Linearisation& line, const Design& at, double radius, Whole whole) const {
  LinearCore core;
  const std::vector<double> ceiling = ceilings_kg(line);
  amount_columns(core, at, radius, ceiling, weighable_ && whole == Whole::steps);
  use_columns(core, ceiling, whole);
  grist_row(core);
  gauge_rows(core, line, at);
  for (const Elastic& elastic : demands_.elastics) {
    if (whole == Whole::steps || !is_only_a_ceiling(elastic)) elastic_row(core, elastic, gauge_column(0), nullptr);
  }
  if (whole != Whole::steps) count_rows(core);
  return core;
}

LinearCore CoreBuilder::build_flat(const Linearisation& line, const Design& at, double radius,
                                   const std::vector<double>& extra_per_kg) const {
  LinearCore core;
  const std::vector<double> ceiling = ceilings_kg(line);
  amount_columns(core, at, radius, ceiling, false);
  std::vector<double> used_per_kg;
  for (std::size_t v = 0; v < unknowns_.variables.size(); ++v) {
    core.columns[v].cost += extra_per_kg[v] * unknowns_.variables[v].step_kg;
    used_per_kg.push_back(1.0 / std::max(ceiling[v], 1e-6));
  }
  grist_row(core);
  gauge_rows(core, line, at);
  for (const Elastic& elastic : demands_.elastics) {
    if (!is_only_a_ceiling(elastic)) elastic_row(core, elastic, static_cast<int>(rest_column()) + 1, &used_per_kg);
  }
  return core;
}

// The stock of something that goes in at one moment and need not go in at all: ceilings_kg has said it.
bool CoreBuilder::is_only_a_ceiling(const Elastic& elastic) const {
  if (elastic.member < 0) return false;
  const Member& member = demands_.members[elastic.member];
  return member.kind == Member::Kind::stock && member.weight > 1.0 && !unknowns_.supplies[member.index]->must &&
         unknowns_.variables_of_supply[member.index].size() == 1;
}

Design CoreBuilder::design_from(const std::vector<double>& value) const {
  Design design;
  for (std::size_t v = 0; v < unknowns_.variables.size(); ++v) {
    design.amount_kg.push_back(std::max(0.0, value[v]) * unknowns_.variables[v].step_kg);
  }
  design.rest_temperature_c = demands_.rest_low_c + value[rest_column()] * rest_step_k;
  return design;
}

void CoreBuilder::keep_ingredients(LinearCore& core, const Design& design) const {
  const auto fix = [&](int column, bool used) {
    core.columns[column].low = core.columns[column].high = used ? 1.0 : 0.0;
  };
  for (std::size_t s = 0; s < unknowns_.supplies.size(); ++s) {
    fix(use_column(static_cast<int>(s)), is_used(design, unknowns_, static_cast<int>(s)));
  }
  for (std::size_t m = 0; m < demands_.moments.size(); ++m) {
    fix(moment_column(m), design.amount_kg[demands_.moments[m].variable] > 1e-9);
  }
}

std::vector<double> CoreBuilder::uses_of(const Design& design) const {
  std::vector<double> value(gauge_column(0), 0.0);
  for (std::size_t s = 0; s < unknowns_.supplies.size(); ++s)
    value[use_column(static_cast<int>(s))] = is_used(design, unknowns_, static_cast<int>(s)) ? 1.0 : 0.0;
  for (std::size_t p = 0; p < demands_.packets.size(); ++p)
    value[moment_column(demands_.moments.size() + p)] = packets_opened(demands_.packets[p], design, unknowns_);
  return value;
}

LinearCore CoreBuilder::with_uses_of(LinearCore core, const std::vector<double>& value) const {
  const auto fix = [&](int column) {
    core.columns[column].low = core.columns[column].high = std::round(value[column]);
  };
  for (std::size_t s = 0; s < unknowns_.supplies.size(); ++s) fix(use_column(static_cast<int>(s)));
  for (std::size_t p = 0; p < demands_.packets.size(); ++p) fix(moment_column(demands_.moments.size() + p));
  return core;
}

void CoreBuilder::shut_out(LinearCore& core, const std::vector<double>& value) const {
  std::vector<std::pair<int, double>> terms;
  double used = 0.0;
  for (std::size_t s = 0; s < unknowns_.supplies.size(); ++s) {
    const int column = use_column(static_cast<int>(s));
    if (unknowns_.supplies[s]->must) continue;  // free to call used or not
    const bool in = value[column] > 0.5;
    used += in ? 1.0 : 0.0;
    terms.emplace_back(column, in ? -1.0 : 1.0);
  }
  core.add_row(1.0 - used, unlimited, std::move(terms));
}

CoreAnswer CoreBuilder::rounded(const LinearCore& core, std::vector<double> value) const {
  for (std::size_t c = 0; c <= rest_column(); ++c) {
    if (c == rest_column() || unknowns_.variables[c].supply < 0) value[c] = std::round(value[c]);
  }
  for (const auto& variables : unknowns_.variables_of_supply) share_out(variables, value);
  for (std::size_t c = 0; c <= rest_column(); ++c) {
    value[c] = std::clamp(value[c], core.columns[c].low, core.columns[c].high);
  }
  for (std::size_t m = 0; m < demands_.moments.size(); ++m)
    value[moment_column(m)] = value[demands_.moments[m].variable] > 0.5 ? 1.0 : 0.0;
  CoreAnswer answer;
  const std::size_t first_gauge = first_gauge_row(), first_elastic = first_elastic_row();
  for (std::size_t r = 0; r < core.rows.size(); ++r) {
    const LinearCore::Row& row = core.rows[r];
    const std::size_t slacks = r < first_gauge ? 0 : r < first_elastic ? 1 : 2;
    double activity = 0.0;
    for (std::size_t t = 0; t + slacks < row.terms.size(); ++t)
      activity += row.terms[t].second * value[row.terms[t].first];
    const double below = std::max(0.0, row.low - activity), above = std::max(0.0, activity - row.high);
    if (slacks == 1) {
      value[row.terms.back().first] = activity - row.low;
    } else if (slacks == 0) {
      if (below > 1e-9 || above > 1e-9) return answer;
    } else {
      value[row.terms[row.terms.size() - 2].first] = below;
      value[row.terms[row.terms.size() - 1].first] = above;
    }
  }
  answer.objective = 0.0;
  for (std::size_t c = 0; c < core.columns.size(); ++c) answer.objective += core.columns[c].cost * value[c];
  answer.status = CoreAnswer::Status::stopped;
  answer.value = std::move(value);
  return answer;
}

std::vector<double> CoreBuilder::ceilings_kg(const Linearisation& line) const {
  constexpr double generous = 1.5;
  std::vector<double> ceiling;
  for (const Variable& variable : unknowns_.variables)
    ceiling.push_back(variable.supply < 0 ? unlimited : demands_.most_kg[variable.supply]);
  for (const Elastic& elastic : demands_.elastics) {
    if (elastic.member < 0 || demands_.members[elastic.member].weight <= 1.0) continue;
    const Member& member = demands_.members[elastic.member];
    if (member.kind == Member::Kind::stock) {
      for (int v : unknowns_.variables_of_supply[member.index]) ceiling[v] = std::min(ceiling[v], elastic.high);
    }
    if (member.kind != Member::Kind::wish || elastic.gauge == static_cast<int>(Gauge::mash_ph) ||
        elastic.gauge == static_cast<int>(Gauge::volume_l)) {
      continue;
    }
    const bool is_gravity = elastic.gauge == static_cast<int>(Gauge::original_gravity) ||
                            elastic.gauge == static_cast<int>(Gauge::final_gravity);
    const double room = generous * (elastic.high + member.scale - (is_gravity ? 1.0 : 0.0));
    for (std::size_t v = 0; v < ceiling.size(); ++v) {
      const int supply = unknowns_.variables[v].supply;
      const double slope = line.per_kg[elastic.gauge][v];
      if (supply < 0 || unknowns_.supplies[supply]->must || slope <= 0.0) continue;
      ceiling[v] = std::min(ceiling[v], std::max(room / slope, unknowns_.variables[v].step_kg));
    }
  }
  for (std::size_t v = 0; v < ceiling.size(); ++v) {
    const int supply = unknowns_.variables[v].supply;
    if (supply >= 0) ceiling[v] = std::max(ceiling[v], 1.01 * demands_.least_kg[supply]);
  }
  return ceiling;
}

void CoreBuilder::amount_columns(LinearCore& core, const Design& at, double radius, const std::vector<double>& ceiling,
                                 bool whole) const {
  for (std::size_t v = 0; v < unknowns_.variables.size(); ++v) {
    const Variable& variable = unknowns_.variables[v];
    const double now = at.amount_kg[v] / variable.step_kg;
    double low = 0.0, high = std::max(std::ceil(ceiling[v] / variable.step_kg), now);
    if (std::isfinite(radius)) {
      const double move = radius * std::max(0.5 * now, demands_.usual_kg[v] / variable.step_kg);
      low = std::max(low, std::floor(now - move));
      high = std::min(high, std::ceil(now + move));
    }
    core.add_column(low, high, demands_.amount_cost[v] * variable.step_kg, whole);
  }
  core.add_column(0.0, std::floor((demands_.rest_high_c - demands_.rest_low_c) / rest_step_k + 1e-9), 0.0, whole);
}

void CoreBuilder::use_columns(LinearCore& core, const std::vector<double>& ceiling, Whole whole) const {
  for (std::size_t s = 0; s < unknowns_.supplies.size(); ++s) core.add_column(0.0, 1.0, demands_.use_cost[s], true);
  const bool whole_moments = weighable_ && whole != Whole::uses;
  for (const Moment& moment : demands_.moments) core.add_column(0.0, 1.0, moment.cost, whole_moments);
  // What a column may hold, so that "used" is never asked for more than its due.
  std::vector<double> most_kg;
  for (std::size_t v = 0; v < ceiling.size(); ++v)
    most_kg.push_back(std::min(ceiling[v], core.columns[v].high * unknowns_.variables[v].step_kg));
  for (std::size_t s = 0; s < unknowns_.supplies.size(); ++s) {
    const auto& variables = unknowns_.variables_of_supply[s];
    std::vector<std::pair<int, double>> amounts;
    for (int v : variables) {
      const double step = unknowns_.variables[v].step_kg;
      amounts.emplace_back(v, step);
      core.add_row(-unlimited, 0.0, {{v, step}, {use_column(static_cast<int>(s)), -most_kg[v]}});
    }
    if (least_kg_[s] > 0.0) {
      amounts.emplace_back(use_column(static_cast<int>(s)), -least_kg_[s]);
      core.add_row(0.0, unlimited, std::move(amounts));
    }
  }
  if (whole == Whole::uses)
    moment_rows_in_one(core, most_kg);
  else
    moment_rows(core, most_kg);
  packet_rows(core);
}

void CoreBuilder::moment_rows(LinearCore& core, const std::vector<double>& most_kg) const {
  for (std::size_t s = 0; s < unknowns_.supplies.size(); ++s) {
    if (moments_of_supply_[s].empty()) continue;  // else what is used is used at some moment
    std::vector<std::pair<int, double>> terms;
    for (int m : moments_of_supply_[s]) terms.emplace_back(moment_column(m), 1.0);
    terms.emplace_back(use_column(static_cast<int>(s)), -1.0);
    core.add_row(0.0, unlimited, std::move(terms));
  }
  for (std::size_t m = 0; m < demands_.moments.size(); ++m) {
    const Moment& moment = demands_.moments[m];
    const double step = unknowns_.variables[moment.variable].step_kg;
    core.add_row(-unlimited, 0.0, {{moment.variable, step}, {moment_column(m), -most_kg[moment.variable]}});
    if (moment.least_kg > 0.0)
      core.add_row(0.0, unlimited, {{moment.variable, step}, {moment_column(m), -moment.least_kg}});
  }
}

// Moments that need not be whole are each as much used as their amount is of its most, so that their sum is all that counts: no less
// than the ingredient's own use, and no less than those shares.
void CoreBuilder::moment_rows_in_one(LinearCore& core, const std::vector<double>& most_kg) const {
  for (std::size_t s = 0; s < unknowns_.supplies.size(); ++s) {
    if (moments_of_supply_[s].empty()) continue;
    const int all = moment_column(moments_of_supply_[s].front());
    core.columns[all].high = static_cast<double>(moments_of_supply_[s].size());
    core.add_row(0.0, unlimited, {{all, 1.0}, {use_column(static_cast<int>(s)), -1.0}});
    std::vector<std::pair<int, double>> shares;
    for (int m : moments_of_supply_[s]) {
      const int v = demands_.moments[m].variable;
      if (most_kg[v] > 0.0) shares.emplace_back(v, -unknowns_.variables[v].step_kg / most_kg[v]);
      core.columns[all].cost = std::min(core.columns[all].cost, demands_.moments[m].cost);
    }
    shares.emplace_back(all, 1.0);
    core.add_row(0.0, unlimited, std::move(shares));
  }
}

// This says nothing new but is good to branch on: a fifth here and a fifth there is no hop at all, or one.
void CoreBuilder::count_rows(LinearCore& core) const {
  std::vector<std::pair<int, double>> grist, hops;
  for (std::size_t s = 0; s < unknowns_.supplies.size(); ++s) {
    const auto& variables = unknowns_.variables_of_supply[s];
    const bool in_grist = std::any_of(variables.begin(), variables.end(), [&](int v) {
      return unknowns_.ports[unknowns_.variables[v].port].where == Port::Where::grist;
    });
    if (in_grist) grist.emplace_back(use_column(static_cast<int>(s)), 1.0);
    if (unknowns_.supplies[s]->ingredient.kind == larder::IngredientKind::hop)
      hops.emplace_back(use_column(static_cast<int>(s)), 1.0);
  }
  for (auto* terms : {&grist, &hops}) {
    if (terms->size() < 3) continue;
    const int count = core.add_column(0.0, static_cast<double>(terms->size()), 0.0, true);
    core.columns[count].counts = true;
    terms->emplace_back(count, -1.0);
    core.add_row(0.0, 0.0, std::move(*terms));
  }
}

void CoreBuilder::packet_rows(LinearCore& core) const {
  for (const Packets& packets : demands_.packets) {
    std::vector<std::pair<int, double>> terms;
    for (int v : unknowns_.variables_of_supply[packets.supply]) terms.emplace_back(v, unknowns_.variables[v].step_kg);
    terms.emplace_back(core.add_column(0.0, unlimited, packets.cost, true), -packets.packet_kg);
    core.add_row(-unlimited, 0.0, std::move(terms));
  }
}

void CoreBuilder::grist_row(LinearCore& core) const {
  if (!(demands_.least_grist_kg > 0.0)) return;
  std::vector<std::pair<int, double>> terms;
  for (std::size_t v = 0; v < unknowns_.variables.size(); ++v) {
    const Variable& variable = unknowns_.variables[v];
    if (variable.supply >= 0 && unknowns_.ports[variable.port].where == Port::Where::grist)
      terms.emplace_back(static_cast<int>(v), variable.step_kg);
  }
  core.add_row(demands_.least_grist_kg, unlimited, std::move(terms));
}

// A gauge's column counts in these, so that a gravity and a litre weigh alike in the solver's tolerances.
constexpr std::array<double, gauge_count> gauge_unit = {1.0,  1e-3, 1e-3, 0.1,  1.0, 1.0, 0.05, 10.0,
                                                        10.0, 10.0, 10.0, 10.0, 1.0, 1.0, 1.0};

// gauge = its value here + slopes * changes, one free column each.
void CoreBuilder::gauge_rows(LinearCore& core, const Linearisation& line, const Design& at) const {
  for (int g = 0; g < gauge_count; ++g) {
    std::vector<std::pair<int, double>> terms;
    double constant = line.value[g];
    for (std::size_t v = 0; v < unknowns_.variables.size(); ++v) {
      const double slope = line.per_kg[g][v];
      if (slope == 0.0) continue;
      constant -= slope * at.amount_kg[v];
      terms.emplace_back(static_cast<int>(v), slope * unknowns_.variables[v].step_kg / gauge_unit[g]);
    }
    const double slope = line.per_kelvin_of_rest[g];
    constant += slope * (demands_.rest_low_c - at.rest_temperature_c);
    terms.emplace_back(static_cast<int>(rest_column()), slope * rest_step_k / gauge_unit[g]);
    terms.emplace_back(core.add_column(-unlimited, unlimited), -1.0);
    core.add_row(-constant / gauge_unit[g], -constant / gauge_unit[g], std::move(terms));
  }
}

// `used_per_kg`: what a kilogram counts as used where there are no columns of use; null: there are.
void CoreBuilder::elastic_row(LinearCore& core, const Elastic& elastic, int first_gauge_column,
                              const std::vector<double>* used_per_kg) const {
  std::vector<std::pair<int, double>> terms;
  if (elastic.gauge >= 0)
    terms.emplace_back(first_gauge_column + elastic.gauge, elastic.gauge_factor * gauge_unit[elastic.gauge]);
  for (const auto& [variable, coefficient] : elastic.amounts) {
    terms.emplace_back(variable, coefficient * unknowns_.variables[variable].step_kg);
  }
  for (const auto& [supply, coefficient] : elastic.uses) {
    if (used_per_kg == nullptr) {
      terms.emplace_back(use_column(supply), coefficient);
      continue;
    }
    for (int v : unknowns_.variables_of_supply[supply])
      terms.emplace_back(v, coefficient * (*used_per_kg)[v] * unknowns_.variables[v].step_kg);
  }
  // In units of the price, so that a gravity and a litre weigh alike in the solver's tolerances.
  const double unit = elastic.price > 0.0 ? elastic.price : 1.0;
  for (auto& term : terms) term.second *= unit;
  const double slack_cost = elastic.price > 0.0 ? 1.0 : 0.0;
  terms.emplace_back(core.add_column(0.0, unlimited, slack_cost), 1.0);
  terms.emplace_back(core.add_column(0.0, unlimited, slack_cost), -1.0);
  const bool open_below = elastic.low<-1e8, open_above = elastic.high> 1e8;
  core.add_row(open_below ? -unlimited : elastic.low * unit, open_above ? unlimited : elastic.high * unit,
               std::move(terms));
}

std::size_t CoreBuilder::first_gauge_row() const {
  std::size_t count = demands_.packets.size() + (demands_.least_grist_kg > 0.0 ? 1 : 0);
  for (const Variable& variable : unknowns_.variables) count += variable.supply >= 0 ? 1 : 0;
  for (double least_kg : least_kg_) count += least_kg > 0.0 ? 1 : 0;
  for (const Moment& moment : demands_.moments) count += moment.least_kg > 0.0 ? 2 : 1;
  for (const auto& moments : moments_of_supply_) count += moments.empty() ? 0 : 1;
  return count;
}

}  // namespace oddgrist::compose
