#include "store/stock_moves.hpp"

#include <algorithm>
#include <map>
#include <optional>
#include <utility>

#include <fmt/format.h>

#include "store/log_table.hpp"

namespace oddgrist::store {
namespace {

// Key of the gyle's entry, ingredient.
using Move = std::pair<std::string, std::string>;

bool is_water(const std::string& what) { return what == "water" || what.starts_with("water:"); }

std::map<std::string, double> taken_by(const gyle::What& what) {
  std::map<std::string, double> taken;
  const auto take = [&](const compose::Recipe::Amount& amount, double sign) {
    if (!is_water(amount.what) && amount.kg != 0.0) taken[amount.what] += sign * amount.kg;
  };
  if (const auto* started = std::get_if<gyle::Started>(&what)) {
    for (const auto& amount : started->recipe.amounts) take(amount, 1.0);
    if (!started->recipe.yeast.empty() && started->recipe.yeast_kg > 0.0)
      taken[started->recipe.yeast] += started->recipe.yeast_kg;
  } else if (const auto* added = std::get_if<gyle::Added>(&what)) {
    take(added->amount, 1.0);
  } else if (const auto* missed = std::get_if<gyle::Missed>(&what)) {
    take(missed->amount, -1.0);
  }
  return taken;
}

std::map<Move, double> called_for(Connection& connection, const std::string& gyle_id) {
  std::map<Move, double> moves;
  for (const Read& read : in_force(read_stream(connection, "gyle/" + gyle_id, last_id_of(connection)))) {
    for (const auto& [ingredient, kg] : taken_by(std::get<gyle::What>(read.meaning)))
      moves.emplace(Move{read.entry.line.key, ingredient}, kg);
  }
  return moves;
}

// One thing used by the gyle: the first entry about it, and what became of that.
struct Taken {
  std::string key;
  std::string ingredient;
  std::optional<Used> now;  // none: struck out
  bool by_hand = false;     // the brewer has mended it
};

bool mended_by_hand(Connection& connection, const std::string& key) {
  Query query =
      connection.query("SELECT key FROM entry INDEXED BY entry_mending WHERE mends = ? AND mends <> '' AND stream = 1");
  query.with(key);
  while (query.next()) {
    if (!query.text(0).starts_with(own_key)) return true;
  }
  return false;
}

// Used entries of the gyle that the store wrote itself.
std::vector<Taken> taken_so_far(Connection& connection, const std::string& gyle_id) {
  std::vector<Logged> entries;
  {
    // Left to itself SQLite would rather walk through the whole larder, because that comes in the right order.
    Query query = connection.query(select_logged +
                                   "WHERE e.id IN (SELECT id FROM entry INDEXED BY used_entry WHERE stream = 1 AND "
                                   "kind = 'used' AND json_extract(body, '$.gyle') = ?) ORDER BY e.id");
    query.with(gyle_id);
    while (query.next()) entries.push_back(logged(query));
  }
  std::vector<Taken> all;
  for (const Logged& entry : entries) {
    if (!entry.line.key.starts_with(own_key)) continue;
    const Used used = std::get<Used>(std::get<StockWhat>(meaning_of(entry)));
    if (entry.line.mends.empty()) all.push_back(Taken{entry.line.key, used.ingredient, {}, false});
    const std::string& first = entry.line.mends.empty() ? entry.line.key : entry.line.mends;
    for (Taken& taken : all) {
      if (taken.key != first) continue;
      if (key_holds(connection, entry.line.key)) taken.now = used;
      taken.by_hand = taken.by_hand || mended_by_hand(connection, entry.line.key);
    }
  }
  return all;
}

}  // namespace

bool moves_stock(const gyle::What& what) {
  return std::holds_alternative<gyle::Started>(what) || std::holds_alternative<gyle::Added>(what) ||
         std::holds_alternative<gyle::Missed>(what);
}

std::vector<StockEntry> stock_moves(Connection& connection, const std::string& gyle_id, Instant at) {
  std::map<Move, double> wanted = called_for(connection, gyle_id);
  std::vector<StockEntry> moves;
  std::int64_t number = last_id_of(connection);
  const auto own = [&](std::string mends, StockWhat what) {
    moves.push_back(StockEntry{fmt::format("{}{}", own_key, ++number), at, std::move(mends), std::move(what)});
  };
  const auto of_ingredient = [&wanted](const std::string& ingredient) {
    return std::find_if(wanted.begin(), wanted.end(), [&](const auto& one) { return one.first.second == ingredient; });
  };
  std::vector<Taken> wrong;
  for (const Taken& taken : taken_so_far(connection, gyle_id)) {
    auto still = taken.now ? wanted.find(Move{taken.now->entry, taken.ingredient}) : wanted.end();
    if (taken.by_hand) {
      if (still == wanted.end()) still = of_ingredient(taken.ingredient);
      if (still != wanted.end()) wanted.erase(still);
    } else if (still != wanted.end() && still->second == taken.now->kg) {
      wanted.erase(still);
    } else {
      wrong.push_back(taken);
    }
  }
  // What is used instead takes the first entry's place, so that a count made in between stays the last word.
  for (const Taken& taken : wrong) {
    const auto instead = of_ingredient(taken.ingredient);
    if (instead != wanted.end()) {
      own(taken.key, Used{instead->first.second, instead->second, gyle_id, instead->first.first});
      wanted.erase(instead);
    } else if (taken.now) {
      own(taken.key, gyle::Struck{"the gyle's entry was mended"});
    }
  }
  for (const auto& [move, kg] : wanted) own("", Used{move.second, kg, gyle_id, move.first});
  return moves;
}

}  // namespace oddgrist::store
