#include "store/appending.hpp"

#include <fmt/format.h>

#include "store/log_table.hpp"
#include "store/stock_moves.hpp"

namespace oddgrist::store {
namespace {

constexpr std::size_t gyle_prefix = std::string_view("gyle/").size();

}  // namespace

void Appending::refuse(std::string field, std::string what, std::string remedy) const {
  throw Refused(files::Problem{files::Place{room_.path, 0, 0}, std::move(field), std::move(what), std::move(remedy)});
}

void Appending::add(const Understood& understood, const std::string& field) {
  const Line& line = understood.line;
  if (const auto there = find_key(connection_, line.key)) {
    if (there->line != line) {
      refuse(field + ".key", fmt::format("the key {} is already there with another content", line.key),
             "Give the new entry a key of its own; to correct the old one, name it in mends");
    }
    result_.ids.push_back(there->id);
    return;
  }
  check_rules(understood, field);
  result_.ids.push_back(write_through(connection_, room_.lists, understood));
  ++result_.written;
  const auto* what = std::get_if<gyle::What>(&understood.meaning);
  if (what != nullptr && (moves_stock(*what) || !line.mends.empty())) moved_[line.stream.substr(gyle_prefix)] = line.at;
}

Appended Appending::finish() {
  for (const auto& [gyle, at] : moved_) move_stock(gyle, at);
  return std::move(result_);
}

void Appending::check_rules(const Understood& understood, const std::string& field) {
  const Line& line = understood.line;
  if (line.key.starts_with(own_key)) {
    refuse(field + ".key", fmt::format("keys beginning with {} are the store's own", own_key), "Choose another key");
  }
  if (!line.mends.empty()) {
    const auto mended = find_key(connection_, line.mends);
    if (!mended || mended->line.stream != line.stream) {
      refuse(field + ".mends", fmt::format("there is no entry {} in {}", line.mends, line.stream),
             "Send the entry it mends first, or check the key");
    }
  }
  const auto* what = std::get_if<gyle::What>(&understood.meaning);
  if (what != nullptr) check_gyle_rules(line, *what, field);
}

void Appending::check_gyle_rules(const Line& line, const gyle::What& what, const std::string& field) {
  Query gyle = connection_.query("SELECT 1 FROM main.gyle WHERE id = ?");
  const bool there = gyle.with(line.stream.substr(gyle_prefix)).next();
  const bool starts = std::holds_alternative<gyle::Started>(what);
  if (!there && !starts)
    refuse(field, fmt::format("there is no {}", line.stream), "A gyle begins with a started entry");
  if (there && starts && line.mends.empty()) {
    refuse(field, fmt::format("{} has been started already", line.stream),
           "Choose another id; to correct how it was started, name its first entry in mends");
  }
}

bool Appending::ever_in(const std::string& ingredient) {
  Query query = connection_.query(
      "SELECT 1 FROM entry INDEXED BY stock_said WHERE stream = 1 AND kind <> 'used' AND json_extract(body, "
      "'$.ingredient') = ?");
  return query.with(ingredient).next();
}

void Appending::move_stock(const std::string& gyle, Instant at) {
  for (const StockEntry& move : stock_moves(connection_, gyle, at)) {
    write_through(connection_, room_.lists, Understood{line_of(move), move.what});
    const auto* used = std::get_if<Used>(&move.what);
    if (used == nullptr || used->kg <= 0.0) continue;
    const auto left = room_.lists.stock_line(used->ingredient);
    if (left && left->kg < 0.0)
      result_.shortfalls.push_back(Shortfall{used->ingredient, used->kg, left->kg, ever_in(used->ingredient)});
  }
}

}  // namespace oddgrist::store
