#include "store/stock.hpp"

#include <algorithm>
#include <cmath>

namespace oddgrist::store {
namespace {

// Sums of tenths leave crumbs; nobody weighs a microgram.
constexpr double crumb_kg = 1e-9;

void settle(StockLine& line, double kg) {
  line.kg = std::abs(kg) < crumb_kg ? 0.0 : kg;
  if (line.kg > 0.0) return;
  line.opened_on.reset();
  line.best_before.reset();
}

void add(StockLine& line, const TookIn& took) {
  settle(line, line.kg + took.kg);
  if (took.best_before)
    line.best_before = line.best_before ? std::min(*line.best_before, *took.best_before) : *took.best_before;
}
void add(StockLine& line, const Used& used) { settle(line, line.kg - used.kg); }
void add(StockLine& line, const Counted& counted) { settle(line, counted.kg); }
void add(StockLine& line, const Opened& opened) { line.opened_on = opened.on; }
void add(StockLine& line, const BestBefore& best) { line.best_before = best.day; }
void add(StockLine&, const gyle::Struck&) {}

}  // namespace

void fold_stock(StockLine& line, const StockWhat& what, Instant at) {
  std::visit([&](const auto& one) { add(line, one); }, what);
  line.changed_at = at;
}

const std::string& ingredient_of(const StockWhat& what) {
  static const std::string none;
  return std::visit(
      [](const auto& one) -> const std::string& {
        if constexpr (requires { one.ingredient; })
          return one.ingredient;
        else
          return none;
      },
      what);
}

}  // namespace oddgrist::store
