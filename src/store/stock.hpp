// What is in the house, by weight. Like a gyle, stock is a log: what came in, what was used, what was counted, and mendings of these.
#pragma once

#include <chrono>
#include <optional>
#include <string>
#include <variant>

#include "files/instant_text.hpp"
#include "gyle/event.hpp"

namespace oddgrist::store {

using files::Day;
using gyle::Instant;

struct TookIn {
  std::string ingredient;  // id in the catalogue, or the brewer's own name for it
  double kg = 0.0;
  std::optional<Day> best_before;
  std::string remark;
};

// Starting a gyle, and adding to one, writes these by itself. `kg` below zero: it was put back.
struct Used {
  std::string ingredient;
  double kg = 0.0;
  std::string gyle;   // id of the gyle; empty: used for something else
  std::string entry;  // key of the gyle's entry that used it
};

// So much is there, whatever the log made of it.
struct Counted {
  std::string ingredient;
  double kg = 0.0;
};

struct Opened {
  std::string ingredient;
  Day on{};
};

struct BestBefore {
  std::string ingredient;
  Day day{};
};

using StockWhat = std::variant<TookIn, Used, Counted, Opened, BestBefore, gyle::Struck>;

struct StockEntry {
  std::string key;
  Instant at{};
  std::string mends;  // key of the stock entry this one takes the place of; empty: none
  StockWhat what;
};

// What the log comes to for one ingredient.
struct StockLine {
  std::string ingredient;
  double kg = 0.0;  // below zero: more was used than was ever taken in
  std::optional<Day> opened_on;
  std::optional<Day> best_before;  // the earliest of what may still be there
  Instant changed_at{};
  friend bool operator==(const StockLine&, const StockLine&) = default;
};

// Starting a gyle never fails for want of stock: the brewer stands there with the malt. But the log asks.
struct Shortfall {
  std::string ingredient;
  double used_kg = 0.0;
  double left_kg = 0.0;  // below zero
  bool ever_in = false;  // false: nobody ever wrote down that it came in, so perhaps it is not kept there at all
};

// One entry more. Entries count in the order in which they were written down, not by their clocks.
void fold_stock(StockLine& line, const StockWhat& what, Instant at);
// Empty for Struck.
const std::string& ingredient_of(const StockWhat& what);

}  // namespace oddgrist::store
