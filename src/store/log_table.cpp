#include "store/log_table.hpp"

#include <algorithm>
#include <map>
#include <utility>

#include <boost/crc.hpp>
#include <fmt/format.h>

namespace oddgrist::store {
namespace {

std::vector<Read> read_rows(Query& query) {
  std::vector<Read> entries;
  while (query.next()) {
    Logged entry = logged(query);
    Meaning meaning = meaning_of(entry);
    entries.push_back(Read{std::move(entry), std::move(meaning)});
  }
  return entries;
}

bool is_strike(std::string_view kind) { return kind == "struck"; }

std::vector<std::string> texts(Connection& connection, const std::string& sql, const std::string& key) {
  std::vector<std::string> found;
  Query query = connection.query(sql);
  query.with(key);
  while (query.next()) found.push_back(query.text(0));
  return found;
}

}  // namespace

const std::string logged_columns = "e.id, s.name, e.key, e.kind, e.version, e.at, e.mends, e.body, e.sum";
const std::string select_logged = "SELECT " + logged_columns + " FROM entry e JOIN stream s ON s.id = e.stream ";

AsItStands as_it_stands(const Query& query) {
  AsItStands read;
  read.entry = Logged{query.integer(0),
                      Line{query.text(1), query.text(2), query.text(3), static_cast<int>(query.integer(4)),
                           Instant(std::chrono::milliseconds(query.integer(5))), query.text(6), query.text(7)}};
  read.sound = query.integer(8) == sum_of(read.entry);
  return read;
}

Logged logged(const Query& query) {
  AsItStands read = as_it_stands(query);
  if (!read.sound) throw Refused(damage_problem("", damaged_entry_words(read.entry)));
  return std::move(read.entry);
}

std::string damaged_entry_words(const Logged& entry) {
  return fmt::format("entry {} ({}) is not what was written", entry.id, entry.line.key);
}

std::int64_t sum_of(const Logged& entry) {
  const Line& line = entry.line;
  boost::crc_32_type crc;
  const auto take = [&crc](std::string_view text) {
    crc.process_bytes(text.data(), text.size());
    crc.process_byte('\0');
  };
  take(fmt::format("{} {} {}", entry.id, line.version, line.at.time_since_epoch().count()));
  for (const std::string* text : {&line.stream, &line.key, &line.kind, &line.mends, &line.body}) take(*text);
  return static_cast<std::int64_t>(crc.checksum());
}

std::int64_t last_id_of(Connection& connection) {
  Query last = connection.query("SELECT coalesce(max(id), 0) FROM entry");
  last.next();
  return last.integer(0);
}

std::int64_t write_line(Connection& connection, const Line& line) {
  connection.query("INSERT OR IGNORE INTO stream(name) VALUES (?)").with(line.stream).run();
  const Logged entry{last_id_of(connection) + 1, line};
  connection
      .query(
          "INSERT INTO entry(id, stream, key, kind, version, at, mends, body, sum) "
          "VALUES (?, (SELECT id FROM stream WHERE name = ?), ?, ?, ?, ?, ?, ?, ?)")
      .with(entry.id)
      .with(line.stream)
      .with(line.key)
      .with(line.kind)
      .with(std::int64_t{line.version})
      .with(std::int64_t{line.at.time_since_epoch().count()})
      .with(line.mends)
      .with(line.body)
      .with(sum_of(entry))
      .run();
  return entry.id;
}

std::optional<Logged> find_key(Connection& connection, std::string_view key) {
  Query found = connection.query(select_logged + "WHERE e.key = ?");
  found.with(key);
  if (!found.next()) return std::nullopt;
  return logged(found);
}

bool key_holds(Connection& connection, const std::string& key) {
  // From the entry at the bottom of it all, everything that mends, in the order of writing.
  std::string root = key;
  for (;;) {
    const auto below = texts(connection, "SELECT mends FROM entry WHERE key = ?", root);
    if (below.empty() || below.front().empty()) break;
    root = below.front();
  }
  std::map<std::int64_t, Mending> all;
  for (std::vector<std::string> open = {root}; !open.empty();) {
    const std::string one = open.back();
    open.pop_back();
    if (const auto entry = find_key(connection, one))
      all.emplace(entry->id, Mending{one, entry->line.mends, is_strike(entry->line.kind)});
    for (std::string& mender : texts(connection, "SELECT key FROM entry WHERE mends = ? AND mends <> ''", one))
      open.push_back(std::move(mender));
  }
  std::vector<Mending> entries;
  entries.reserve(all.size());
  for (auto& [id, mending] : all) entries.push_back(std::move(mending));
  const std::vector<std::size_t> holding = in_force(entries);
  return std::any_of(holding.begin(), holding.end(), [&](std::size_t i) { return entries[i].key == key; });
}

std::vector<Read> read_stream(Connection& connection, std::string_view stream, std::int64_t last) {
  Query query = connection.query(select_logged + "WHERE s.name = ? AND e.id <= ? ORDER BY e.id");
  query.with(stream).with(last);
  return read_rows(query);
}

std::vector<Read> in_force(std::vector<Read> entries) {
  std::vector<Mending> mendings;
  mendings.reserve(entries.size());
  for (const Read& read : entries)
    mendings.push_back(Mending{read.entry.line.key, read.entry.line.mends, is_strike(read.entry.line.kind)});
  std::vector<Read> holding;
  for (const std::size_t i : in_force(mendings)) holding.push_back(std::move(entries[i]));
  return holding;
}

std::vector<Read> stock_in_force(Connection& connection, const std::string& ingredient, std::int64_t last) {
  // Whatever mends or is mended is read too: it decides what holds.
  Query query = connection.query(select_logged +
                                 "WHERE e.id IN (SELECT id FROM entry INDEXED BY stock_entry WHERE stream = 1 AND "
                                 "json_extract(body, '$.ingredient') = ? "
                                 "UNION SELECT id FROM entry INDEXED BY entry_mending WHERE stream = 1 AND mends <> '' "
                                 "UNION SELECT b.id FROM entry a INDEXED BY entry_mending JOIN entry b ON b.key = "
                                 "a.mends WHERE a.stream = 1 AND a.mends <> '') AND e.id "
                                 "<= ? ORDER BY e.id");
  query.with(ingredient).with(last);
  std::vector<Read> entries = in_force(read_rows(query));
  std::erase_if(entries,
                [&](const Read& read) { return ingredient_of(std::get<StockWhat>(read.meaning)) != ingredient; });
  return entries;
}

Meaning meaning_of(const Logged& entry) {
  auto understood = understand(entry.line, files::Place{fmt::format("entry {}", entry.id), 0, 0});
  if (!understood) {
    files::Problems problems = understood.problems();
    for (files::Problem& problem : problems) {
      problem.remedy = "It was sound when it was written: run oddgrist store check";
      problem.trouble = files::Trouble::damaged;
    }
    throw Refused(std::move(problems));
  }
  return std::move(understood.value().meaning);
}

}  // namespace oddgrist::store
