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

// amounts <= most * used  and  amounts >= least * used
void link(LinearCore& core, std::vector<std::pair<int, double>> amounts, int use, double least, double most) {
  auto at_least = amounts;
  amounts.emplace_back(use, -most);
  core.add_row(-unlimited, 0.0, std::move(amounts));
  if (least <= 0.0) return;
  at_least.emplace_back(use, -least);
  core.add_row(0.0, unlimited, std::move(at_least));
}

}  // namespace

LinearCore CoreBuilder::build(const Linearisation& line, const Design& at, double radius) const {
  LinearCore core;
  amount_columns(core, at, radius);
  use_columns(core);
  for (const Elastic& elastic : demands_.elastics) elastic_row(core, elastic, line, at);
  return core;
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

LinearCore CoreBuilder::counts_only(LinearCore core) const {
  for (std::size_t c = 0; c <= rest_column(); ++c) core.columns[c].integer = false;
  return core;
}

LinearCore CoreBuilder::with_uses_of(LinearCore core, const std::vector<double>& value) const {
  const std::size_t uses = unknowns_.supplies.size() + demands_.moments.size() + demands_.packets.size();
  for (std::size_t c = rest_column() + 1; c <= rest_column() + uses; ++c) {
    core.columns[c].low = core.columns[c].high = std::round(value[c]);
  }
  return core;
}

void CoreBuilder::shut_out(LinearCore& core, const std::vector<double>& value) const {
  const std::size_t first = rest_column() + 1;
  const std::size_t last = first + unknowns_.supplies.size() + (weighable_ ? demands_.moments.size() : 0);
  std::vector<std::pair<int, double>> terms;
  double used = 0.0;
  for (std::size_t c = first; c < last; ++c) {
    const bool in = value[c] > 0.5;
    used += in ? 1.0 : 0.0;
    terms.emplace_back(static_cast<int>(c), in ? -1.0 : 1.0);
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
  CoreAnswer answer;
  const std::size_t first_elastic = first_elastic_row();
  for (std::size_t r = 0; r < core.rows.size(); ++r) {
    const LinearCore::Row& row = core.rows[r];
    const std::size_t slacks = r < first_elastic ? 0 : 2;
    double activity = 0.0;
    for (std::size_t t = 0; t + slacks < row.terms.size(); ++t)
      activity += row.terms[t].second * value[row.terms[t].first];
    const double below = std::max(0.0, row.low - activity), above = std::max(0.0, activity - row.high);
    if (slacks == 0) {
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

void CoreBuilder::amount_columns(LinearCore& core, const Design& at, double radius) const {
  for (std::size_t v = 0; v < unknowns_.variables.size(); ++v) {
    const Variable& variable = unknowns_.variables[v];
    const double now = at.amount_kg[v] / variable.step_kg;
    double low = 0.0, high = unlimited;
    if (variable.supply >= 0) high = std::ceil(demands_.most_kg[variable.supply] / variable.step_kg);
    if (std::isfinite(radius)) {
      const double move = radius * std::max(0.5 * now, demands_.usual_kg[v] / variable.step_kg);
      low = std::max(low, std::floor(now - move));
      high = std::min(high, std::ceil(now + move));
    }
    core.add_column(low, high, demands_.amount_cost[v] * variable.step_kg, weighable_);
  }
  core.add_column(0.0, std::floor((demands_.rest_high_c - demands_.rest_low_c) / rest_step_k + 1e-9), 0.0, weighable_);
}

void CoreBuilder::use_columns(LinearCore& core) const {
  for (std::size_t s = 0; s < unknowns_.supplies.size(); ++s) core.add_column(0.0, 1.0, demands_.use_cost[s], true);
  for (const Moment& moment : demands_.moments) core.add_column(0.0, 1.0, moment.cost, weighable_);
  for (std::size_t s = 0; s < unknowns_.supplies.size(); ++s) {
    std::vector<std::pair<int, double>> amounts;
    for (int v : unknowns_.variables_of_supply[s]) amounts.emplace_back(v, unknowns_.variables[v].step_kg);
    link(core, std::move(amounts), use_column(static_cast<int>(s)), demands_.least_kg[s], demands_.most_kg[s]);
  }
  for (std::size_t m = 0; m < demands_.moments.size(); ++m) {
    const Moment& moment = demands_.moments[m];
    const Variable& variable = unknowns_.variables[moment.variable];
    link(core, {{moment.variable, variable.step_kg}}, moment_column(m), moment.least_kg,
         demands_.most_kg[variable.supply]);
  }
  for (const Packets& packets : demands_.packets) {
    std::vector<std::pair<int, double>> terms;
    for (int v : unknowns_.variables_of_supply[packets.supply]) terms.emplace_back(v, unknowns_.variables[v].step_kg);
    terms.emplace_back(core.add_column(0.0, unlimited, packets.cost, true), -packets.packet_kg);
    core.add_row(-unlimited, 0.0, std::move(terms));
  }
}

void CoreBuilder::elastic_row(LinearCore& core, const Elastic& elastic, const Linearisation& line,
                              const Design& at) const {
  std::vector<std::pair<int, double>> terms;
  double constant = 0.0;
  if (elastic.gauge >= 0) {
    constant = line.value[elastic.gauge];
    for (std::size_t v = 0; v < unknowns_.variables.size(); ++v) {
      const double slope = line.per_kg[elastic.gauge][v];
      constant -= slope * at.amount_kg[v];
      terms.emplace_back(static_cast<int>(v), slope * unknowns_.variables[v].step_kg);
    }
    const double slope = line.per_kelvin_of_rest[elastic.gauge];
    constant += slope * (demands_.rest_low_c - at.rest_temperature_c);
    terms.emplace_back(static_cast<int>(rest_column()), slope * rest_step_k);
  }
  for (const auto& [variable, coefficient] : elastic.amounts) {
    terms.emplace_back(variable, coefficient * unknowns_.variables[variable].step_kg);
  }
  for (const auto& [supply, coefficient] : elastic.uses) terms.emplace_back(use_column(supply), coefficient);
  // In units of the price, so that a gravity and a litre weigh alike in the solver's tolerances.
  const double unit = elastic.price > 0.0 ? elastic.price : 1.0;
  for (auto& term : terms) term.second *= unit;
  const double slack_cost = elastic.price > 0.0 ? 1.0 : 0.0;
  terms.emplace_back(core.add_column(0.0, unlimited, slack_cost), 1.0);
  terms.emplace_back(core.add_column(0.0, unlimited, slack_cost), -1.0);
  const bool open_below = elastic.low<-1e8, open_above = elastic.high> 1e8;
  core.add_row(open_below ? -unlimited : (elastic.low - constant) * unit,
               open_above ? unlimited : (elastic.high - constant) * unit, std::move(terms));
}

std::size_t CoreBuilder::first_elastic_row() const {
  const auto rows = [](double least_kg) { return std::size_t(least_kg > 0.0 ? 2 : 1); };
  std::size_t count = demands_.packets.size();
  for (double least_kg : demands_.least_kg) count += rows(least_kg);
  for (const Moment& moment : demands_.moments) count += rows(moment.least_kg);
  return count;
}

}  // namespace oddgrist::compose
