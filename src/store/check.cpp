#include "store/check.hpp"

#include <SQLiteCpp/Exception.h>

#include <filesystem>

#include <fmt/format.h>

#include "store/log_table.hpp"
#include "store/room.hpp"
#include "store/schema.hpp"

namespace oddgrist::store {
namespace {

constexpr std::int64_t progress_step = 2000;
constexpr std::size_t most_words = 50;  // a damaged disk has thousands of things to say, all the same

void note(CheckReport& report, std::string words) {
  if (report.damage.size() < most_words) report.damage.push_back(std::move(words));
}

void check_pages(Connection& connection, CheckReport& report) {
  {
    Query query = connection.query("PRAGMA integrity_check(20)");
    while (query.next()) {
      if (query.text(0) != "ok") note(report, query.text(0));
    }
  }
  Query foreign = connection.query("PRAGMA foreign_key_check");
  if (foreign.next()) note(report, "an entry belongs to a stream that is not there");
  const std::int64_t guards = connection.integer(
      "SELECT count(*) FROM sqlite_master WHERE type = 'trigger' AND name IN ('entry_is_never_changed', "
      "'entry_is_never_removed', 'stream_is_never_changed', 'stream_is_never_removed')");
  if (guards != 4) note(report, "the rules that keep entries from being changed are gone");
}

// Ids without a gap, checksums, bodies, and what is mended.
void check_entries(Connection& connection, CheckReport& report, const Progress& progress) {
  const std::int64_t all = last_id_of(connection);
  std::int64_t expected = 1;
  Query query = connection.query(
      "SELECT " + logged_columns +
      ", e.mends = '' OR EXISTS (SELECT 1 FROM entry m WHERE m.key = e.mends AND m.stream = e.stream AND m.id < e.id) "
      "FROM entry e LEFT JOIN stream s ON s.id = e.stream ORDER BY e.id");
  while (query.next()) {
    const auto [entry, sound] = as_it_stands(query);
    if (entry.id % progress_step == 0 && progress && !progress(entry.id, 2 * all)) refuse_as_stopped("");
    if (entry.id != expected) note(report, fmt::format("entries {} to {} are gone", expected, entry.id - 1));
    expected = entry.id + 1;
    ++report.entries;
    if (!sound) {
      note(report, damaged_entry_words(entry));
      continue;
    }
    if (query.integer(9) == 0)
      note(report, fmt::format("entry {} mends {}, which is not there", entry.id, entry.line.mends));
    auto understood = understand(entry.line, files::Place{fmt::format("entry {}", entry.id), 0, 0});
    if (!understood)
      note(report, fmt::format("entry {} does not read: {}", entry.id, understood.problems().front().what));
  }
}

}  // namespace

void refuse_as_stopped(const std::string& path) {
  throw Refused(files::Problem{files::Place{path, 0, 0}, "stopped", "it was stopped before it was done",
                               "Nothing of it stays; start it again", files::Trouble::cannot_write});
}

CheckReport examine(Connection& connection, CheckLists lists, const Progress& progress) {
  CheckReport report;
  const Reading reading(connection);
  try {
    check_pages(connection, report);
    check_entries(connection, report, progress);
    if (lists == CheckLists::no || !report.damage.empty()) return report;
    report.gyles = connection.integer("SELECT count(*) FROM main.gyle");
    bool stopped = false;
    const std::int64_t all = report.entries;
    const Progress second_half = [&](std::int64_t done, std::int64_t) {
      return !progress || progress(all + done, 2 * all);
    };
    report.stale = stale_lists(connection, second_half, stopped);
    if (stopped) refuse_as_stopped("");
  } catch (const SQLite::Exception& error) {
    note(report, fmt::format("reading breaks off: {}", error.what()));
  }
  return report;
}

Result<CheckReport> Store::check(const Progress& progress) const {
  return in_room<CheckReport>(*room_, Doing::reading, [&] {
    CheckReport report = examine(*room_->connection, CheckLists::yes, progress);
    for (const char* end : {"", "-wal"}) {
      std::error_code none;
      const auto bytes = std::filesystem::file_size(room_->path + end, none);
      if (!none) report.bytes += static_cast<std::int64_t>(bytes);
    }
    if (report.damage.empty())
      unmark_damaged(room_->path);
    else
      mark_damaged(room_->path, report.damage.front());
    return report;
  });
}

}  // namespace oddgrist::store
