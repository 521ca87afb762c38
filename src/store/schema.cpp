#include "store/schema.hpp"

#include <array>

#include <fmt/format.h>

#include "store/lists.hpp"

namespace oddgrist::store {
namespace {

// The larder's stream is always number 1, because an index has to name it.
constexpr const char* log_tables = R"sql(
CREATE TABLE stream(
  id INTEGER PRIMARY KEY,
  name TEXT NOT NULL UNIQUE
) STRICT;
INSERT INTO stream(id, name) VALUES (1, 'larder');

CREATE TABLE entry(
  id INTEGER PRIMARY KEY,
  stream INTEGER NOT NULL REFERENCES stream(id),
  key TEXT NOT NULL UNIQUE,
  kind TEXT NOT NULL,
  version INTEGER NOT NULL,
  at INTEGER NOT NULL,
  mends TEXT NOT NULL,
  body TEXT NOT NULL,
  sum INTEGER NOT NULL
) STRICT;
CREATE INDEX entry_of_stream ON entry(stream, id);
CREATE INDEX entry_mending ON entry(mends) WHERE mends <> '';
CREATE INDEX stock_entry ON entry(json_extract(body, '$.ingredient')) WHERE stream = 1;
CREATE INDEX stock_said ON entry(json_extract(body, '$.ingredient')) WHERE stream = 1 AND kind <> 'used';
CREATE INDEX used_entry ON entry(json_extract(body, '$.gyle')) WHERE stream = 1 AND kind = 'used';

CREATE TRIGGER entry_is_never_changed BEFORE UPDATE ON entry
BEGIN SELECT RAISE(ABORT, 'an entry is never changed'); END;
CREATE TRIGGER entry_is_never_removed BEFORE DELETE ON entry
BEGIN SELECT RAISE(ABORT, 'an entry is never removed'); END;
CREATE TRIGGER stream_is_never_changed BEFORE UPDATE ON stream
BEGIN SELECT RAISE(ABORT, 'a stream is never changed'); END;
CREATE TRIGGER stream_is_never_removed BEFORE DELETE ON stream
BEGIN SELECT RAISE(ABORT, 'a stream is never removed'); END;
)sql";

// Version 1: the log and the lists made from it.
void step_1(Connection& connection) {
  connection.run(log_tables);
  connection.run(list_tables("main"));
  connection.run("CREATE INDEX gyle_by_change ON gyle(last_entry)");
}

// Version 2: words can be searched for.
void step_2(Connection& connection) {
  connection.run("CREATE VIRTUAL TABLE words USING fts5(text, tokenize = 'unicode61 remove_diacritics 2')");
}

constexpr std::array steps = {step_1, step_2};
static_assert(steps.size() == schema_version);

}  // namespace

std::string list_tables(const std::string& where) {
  const std::string create = "CREATE TABLE " + where + ".";
  return create +
         "gyle(id TEXT PRIMARY KEY, name TEXT NOT NULL, brief TEXT NOT NULL, kit TEXT NOT NULL, stage TEXT NOT NULL, "
         "started_at INTEGER NOT NULL, changed_at INTEGER NOT NULL, entries INTEGER NOT NULL, last_entry INTEGER NOT "
         "NULL, "
         "folded TEXT NOT NULL) STRICT, WITHOUT ROWID;" +
         create +
         "stock(ingredient TEXT PRIMARY KEY, kg REAL NOT NULL, opened_on TEXT, best_before TEXT, changed_at INTEGER "
         "NOT NULL) "
         "STRICT, WITHOUT ROWID;" +
         create +
         "kit(name TEXT PRIMARY KEY, entry INTEGER NOT NULL, stated_at INTEGER NOT NULL) STRICT, WITHOUT ROWID;" +
         create + "brief(id TEXT PRIMARY KEY, name TEXT NOT NULL, changed_at INTEGER NOT NULL) STRICT, WITHOUT ROWID;";
}

Nature nature_of(Connection& connection) {
  const std::int64_t application = connection.integer("PRAGMA application_id");
  const std::int64_t version = connection.integer("PRAGMA user_version");
  if (application == application_id) {
    if (version > schema_version) return Nature::newer_store;
    if (version == schema_version) return Nature::store;
    return version > 0 ? Nature::older_store : Nature::foreign;
  }
  const bool empty = connection.integer("SELECT count(*) FROM sqlite_master") == 0;
  return application == 0 && version == 0 && empty ? Nature::blank : Nature::foreign;
}

void bring_up_to_date(Connection& connection, int stop_at) {
  Writing writing(connection);
  // Another program may have done it while this one waited.
  const std::int64_t from = connection.integer("PRAGMA user_version");
  for (std::int64_t version = from; version < stop_at; ++version) steps[static_cast<std::size_t>(version)](connection);
  if (from < stop_at) {
    connection.run(fmt::format("PRAGMA application_id = {}; PRAGMA user_version = {}", application_id, stop_at));
    if (from > 0) Lists(connection, "main").rebuild();
  }
  writing.commit();
}

}  // namespace oddgrist::store
