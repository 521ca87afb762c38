#include "store/lists.hpp"

#include <algorithm>
#include <set>

#include <fmt/format.h>

#include "files/event_json.hpp"
#include "gyle/state.hpp"
#include "larder/catalogue.hpp"
#include "store/log_table.hpp"
#include "store/schema.hpp"

namespace oddgrist::store {
namespace {

constexpr std::int64_t progress_step = 5000;

std::int64_t milliseconds_of(Instant at) { return at.time_since_epoch().count(); }
Instant instant_at(std::int64_t milliseconds) { return Instant(std::chrono::milliseconds(milliseconds)); }

void with_day(Query& query, const std::optional<Day>& day) {
  if (day)
    query.with(files::day_text(*day));
  else
    query.with_nothing();
}

void take_start(GyleLine& line, const gyle::Started& started, Instant at) {
  line.name = started.name;
  line.brief = files::name_in_brief(started.brief_text);
  line.kit = started.kit;
  line.started_at = at;
}

}  // namespace

// SQL is written with "@" before the name of a list's table.
std::string Lists::at(std::string_view sql) const {
  std::string text;
  for (const char letter : sql) {
    if (letter == '@')
      text += where_ + '.';
    else
      text += letter;
  }
  return text;
}

void Lists::add(std::int64_t id, const Line& line, const Meaning& meaning) {
  const StreamName stream = stream_name(line.stream).value_or(StreamName{});
  switch (stream.sort) {
    case StreamSort::gyle: add_gyle(id, line, stream.rest, std::get<gyle::What>(meaning)); break;
    case StreamSort::larder: add_stock(id, line, std::get<StockWhat>(meaning)); break;
    case StreamSort::kit: reread_kit(id, line.stream, stream.rest); break;
    case StreamSort::brief: reread_brief(id, line.stream, stream.rest); break;
    case StreamSort::round: break;
  }
  if (where_ != "main") return;
  const std::string words = searchable_text(meaning);
  if (!words.empty()) connection_.query("INSERT INTO main.words(rowid, text) VALUES (?, ?)").with(id).with(words).run();
}

bool Lists::rebuild(const Progress& progress) {
  for (const char* table : {"gyle", "stock", "kit", "brief"})
    connection_.run(at(fmt::format("DELETE FROM @{}", table)));
  if (where_ == "main") connection_.run("DELETE FROM main.words");
  const std::int64_t all = last_id_of(connection_);
  for (std::int64_t id = 0; id < all;) {
    if (progress && !progress(id, all)) return false;
    // A page at a time: adding reads the log itself.
    std::vector<Logged> page;
    {
      Query query = connection_.query(select_logged + "WHERE e.id > ? ORDER BY e.id LIMIT ?");
      query.with(id).with(progress_step);
      while (query.next()) page.push_back(logged(query));
    }
    if (page.empty()) break;
    for (const Logged& entry : page) add(entry.id, entry.line, meaning_of(entry));
    id = page.back().id;
  }
  return !progress || progress(all, all);
}

// ---- gyles

GyleLine gyle_line_of(const Query& query) {
  return GyleLine{query.text(0),
                  query.text(1),
                  query.text(2),
                  query.text(3),
                  files::stage_of(query.text(4)).value_or(gyle::Stage::planned),
                  instant_at(query.integer(5)),
                  instant_at(query.integer(6)),
                  query.integer(7),
                  query.integer(8)};
}

void Lists::write_gyle(const GyleLine& line) {
  connection_
      .query(at("INSERT OR REPLACE INTO @gyle(id, name, brief, kit, stage, started_at, changed_at, entries, "
                "last_entry, folded) "
                "VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"))
      .with(line.id)
      .with(line.name)
      .with(line.brief)
      .with(line.kit)
      .with(files::stage_word(line.stage))
      .with(milliseconds_of(line.started_at))
      .with(milliseconds_of(line.changed_at))
      .with(line.entries)
      .with(line.last_entry)
      .with(larder::folded_name(fmt::format("{} {} {} {}", line.name, line.brief, line.kit, line.id)))
      .run();
}

void Lists::add_gyle(std::int64_t id, const Line& line, const std::string& gyle, const gyle::What& what) {
  const auto* started = std::get_if<gyle::Started>(&what);
  if (!line.mends.empty()) {
    reread_gyle(id, gyle);
  } else if (started != nullptr) {
    GyleLine begun{gyle, {}, {}, {}, gyle::Stage::planned, {}, line.at, 1, id};
    take_start(begun, *started, line.at);
    write_gyle(begun);
  } else {
    const auto* reached = std::get_if<gyle::Reached>(&what);
    Query query =
        connection_.query(at("UPDATE @gyle SET stage = coalesce(?, stage), changed_at = ?, entries = entries + 1, "
                             "last_entry = ? WHERE id = ?"));
    if (reached != nullptr)
      query.with(files::stage_word(reached->stage));
    else
      query.with_nothing();
    query.with(milliseconds_of(line.at)).with(id).with(gyle).run();
  }
}

void Lists::reread_gyle(std::int64_t id, const std::string& gyle) {
  GyleLine line;
  line.id = gyle;
  std::vector<gyle::Entry> entries;
  for (Read& read : read_stream(connection_, "gyle/" + gyle, id)) {
    ++line.entries;
    line.last_entry = read.entry.id;
    line.changed_at = read.entry.line.at;
    entries.push_back(gyle::Entry{read.entry.line.key, read.entry.line.at, read.entry.line.mends,
                                  std::move(std::get<gyle::What>(read.meaning))});
  }
  // Struck out or not, a gyle without a name could not be found any more.
  if (const auto* started = gyle::started_of(entries)) take_start(line, *started, entries.front().at);
  for (const gyle::Entry& entry : gyle::holding(entries, nullptr)) {
    if (const auto* started = std::get_if<gyle::Started>(&entry.what)) take_start(line, *started, entry.at);
    if (const auto* reached = std::get_if<gyle::Reached>(&entry.what)) line.stage = reached->stage;
  }
  write_gyle(line);
}

// ---- stock

StockLine stock_line_of(const Query& query) {
  StockLine line{query.text(0), query.real(1), {}, {}, instant_at(query.integer(4))};
  if (!query.nothing(2)) line.opened_on = files::day_of(query.text(2));
  if (!query.nothing(3)) line.best_before = files::day_of(query.text(3));
  return line;
}

std::optional<StockLine> Lists::stock_line(const std::string& ingredient) {
  Query query = connection_.query(at(fmt::format("SELECT {} FROM @stock WHERE ingredient = ?", stock_columns)));
  query.with(ingredient);
  if (!query.next()) return std::nullopt;
  return stock_line_of(query);
}

void Lists::write_stock(const StockLine& line) {
  Query query = connection_.query(
      at("INSERT OR REPLACE INTO @stock(ingredient, kg, opened_on, best_before, changed_at) VALUES (?, ?, ?, ?, ?)"));
  query.with(line.ingredient).with(line.kg);
  with_day(query, line.opened_on);
  with_day(query, line.best_before);
  query.with(milliseconds_of(line.changed_at)).run();
}

void Lists::add_stock(std::int64_t id, const Line& line, const StockWhat& what) {
  if (line.mends.empty()) {
    StockLine changed = stock_line(ingredient_of(what)).value_or(StockLine{ingredient_of(what), 0.0, {}, {}, {}});
    fold_stock(changed, what, line.at);
    write_stock(changed);
    return;
  }
  // Mending an entry touches its ingredient, and that of whatever it had mended itself.
  std::set<std::string> touched = {ingredient_of(what)};
  for (std::string key = line.mends; !key.empty();) {
    const auto mended = find_key(connection_, key);
    if (!mended) break;
    touched.insert(ingredient_of(std::get<StockWhat>(meaning_of(*mended))));
    key = mended->line.mends;
  }
  touched.erase("");
  for (const std::string& ingredient : touched) reread_stock(id, ingredient);
}

void Lists::reread_stock(std::int64_t id, const std::string& ingredient) {
  StockLine line{ingredient, 0.0, {}, {}, {}};
  bool any = false;
  for (const Read& read : stock_in_force(connection_, ingredient, id)) {
    fold_stock(line, std::get<StockWhat>(read.meaning), read.entry.line.at);
    any = true;
  }
  if (any)
    write_stock(line);
  else
    connection_.query(at("DELETE FROM @stock WHERE ingredient = ?")).with(ingredient).run();
}

// ---- kits and briefs: few entries, read anew each time

void Lists::reread_kit(std::int64_t id, const std::string& stream, const std::string& name) {
  connection_.query(at("DELETE FROM @kit WHERE name = ?")).with(name).run();
  const Logged* stated = nullptr;
  const std::vector<Read> entries = in_force(read_stream(connection_, stream, id));
  for (const Read& read : entries) {
    if (std::holds_alternative<process::Kit>(std::get<KitWhat>(read.meaning))) stated = &read.entry;
  }
  if (stated == nullptr) return;
  connection_.query(at("INSERT INTO @kit(name, entry, stated_at) VALUES (?, ?, ?)"))
      .with(name)
      .with(stated->id)
      .with(milliseconds_of(stated->line.at))
      .run();
}

void Lists::reread_brief(std::int64_t id, const std::string& stream, const std::string& name) {
  connection_.query(at("DELETE FROM @brief WHERE id = ?")).with(name).run();
  std::string title;
  Instant changed{};
  bool any = false;
  for (const Read& read : in_force(read_stream(connection_, stream, id))) {
    changed = std::max(changed, read.entry.line.at);
    const auto* brief = std::get_if<KeptBrief>(&std::get<BriefWhat>(read.meaning));
    if (brief == nullptr) continue;
    title = brief->name;
    any = true;
  }
  if (!any) return;
  connection_.query(at("INSERT INTO @brief(id, name, changed_at) VALUES (?, ?, ?)"))
      .with(name)
      .with(title)
      .with(milliseconds_of(changed))
      .run();
}

// ---- comparison

namespace {

// Words are compared with the log one by one: a second index of them would take as much room again.
std::int64_t stale_words(Connection& connection) {
  std::int64_t wrong = 0, seen = 0;
  Query query = connection.query(select_logged + "WHERE e.kind NOT IN ('reading', 'used', 'reached') ORDER BY e.id");
  while (query.next()) {
    const Logged entry = logged(query);
    const std::string words = searchable_text(meaning_of(entry));
    Query kept = connection.query("SELECT text FROM main.words WHERE rowid = ?");
    kept.with(entry.id);
    const std::string there = kept.next() ? kept.text(0) : std::string();
    if (there != words) ++wrong;
    if (!words.empty()) ++seen;
  }
  const std::int64_t all = connection.integer("SELECT count(*) FROM main.words");
  return wrong + (all > seen ? all - seen : 0);
}

}  // namespace

std::vector<std::string> stale_lists(Connection& connection, const Progress& progress, bool& stopped) {
  std::vector<std::string> stale;
  for (const char* table : {"gyle", "stock", "kit", "brief"})
    connection.run(fmt::format("DROP TABLE IF EXISTS temp.{}", table));
  connection.run(list_tables("temp"));
  stopped = !Lists(connection, "temp").rebuild(progress);
  for (const char* table : {"gyle", "stock", "kit", "brief"}) {
    if (!stopped) {
      const std::int64_t differ = connection.integer(
          fmt::format("SELECT (SELECT count(*) FROM (SELECT * FROM main.{0} EXCEPT SELECT * FROM temp.{0})) + "
                      "(SELECT count(*) FROM (SELECT * FROM temp.{0} EXCEPT SELECT * FROM main.{0}))",
                      table));
      if (differ > 0) stale.push_back(fmt::format("the list \"{}\" and the log differ in {} rows", table, differ));
    }
    connection.run(fmt::format("DROP TABLE temp.{}", table));
  }
  if (stopped) return stale;
  const std::int64_t words = stale_words(connection);
  if (words > 0) stale.push_back(fmt::format("the list \"words\" and the log differ in {} rows", words));
  return stale;
}

}  // namespace oddgrist::store
