// What is made from the log, so that a list need not read all of it: gyles, stock, kits, briefs, words. Written in the same transaction as
// the entry, and made anew from the log whenever asked. Internal to src/store.
#pragma once

#include <string>
#include <vector>

#include "store/connection.hpp"
#include "store/log.hpp"
#include "store/stock.hpp"
#include "store/store.hpp"

namespace oddgrist::store {

class Lists {
 public:
  // `where`: "main", or "temp" for tables made for a comparison, which have no words.
  Lists(Connection& connection, std::string where) : connection_(connection), where_(std::move(where)) {}

  // The entry is in the log already, and no later one has been added to these lists.
  void add(std::int64_t id, const Line& line, const Meaning& meaning);
  // From nothing. False: `progress` said stop.
  bool rebuild(const Progress& progress = {});

  std::optional<StockLine> stock_line(const std::string& ingredient);

 private:
  void add_gyle(std::int64_t id, const Line& line, const std::string& gyle, const gyle::What& what);
  void reread_gyle(std::int64_t id, const std::string& gyle);
  void write_gyle(const GyleLine& line);
  void add_stock(std::int64_t id, const Line& line, const StockWhat& what);
  void reread_stock(std::int64_t id, const std::string& ingredient);
  void write_stock(const StockLine& line);
  void reread_kit(std::int64_t id, const std::string& stream, const std::string& name);
  void reread_brief(std::int64_t id, const std::string& stream, const std::string& name);
  [[nodiscard]] std::string at(std::string_view sql) const;

  Connection& connection_;
  std::string where_;
};

// In which lists the file says otherwise than its log; sentences without full stop. Needs an open Reading or Writing.
std::vector<std::string> stale_lists(Connection& connection, const Progress& progress, bool& stopped);

StockLine stock_line_of(const Query& query);
GyleLine gyle_line_of(const Query& query);
inline constexpr const char* gyle_columns = "id, name, brief, kit, stage, started_at, changed_at, entries, last_entry";
inline constexpr const char* stock_columns = "ingredient, kg, opened_on, best_before, changed_at";

}  // namespace oddgrist::store
