// Copies of a whole store: taken while it is in use, and put in its place.
#include <SQLiteCpp/Backup.h>
#include <SQLiteCpp/Database.h>
#include <SQLiteCpp/Exception.h>
#include <unistd.h>

#include <cerrno>
#include <chrono>
#include <filesystem>
#include <thread>

#include <fmt/chrono.h>
#include <fmt/format.h>
#include <sqlite3.h>

#include "store/check.hpp"
#include "store/log_table.hpp"
#include "store/part_file.hpp"
#include "store/room.hpp"
#include "store/schema.hpp"

namespace oddgrist::store {
namespace {

namespace fs = std::filesystem;
using files::Trouble;

constexpr int pages_a_step = 256;  // 1 MiB
constexpr auto patience = std::chrono::seconds(5);

// All of `source` as it is at this moment, whatever others write meanwhile.
void copy_pages(Connection& source, Connection& copy, const std::string& path, const Progress& progress) {
  const Reading reading(source);
  SQLite::Backup backup(copy.database(), source.database());
  const auto deadline = std::chrono::steady_clock::now() + std::chrono::minutes(5);
  for (;;) {
    int step = SQLITE_OK;
    try {
      step = backup.executeStep(pages_a_step);
    } catch (const SQLite::Exception&) {
      rethrow_as_no_room(copy.database());
    }
    const int all = backup.getTotalPageCount();
    if (progress && !progress(all - backup.getRemainingPageCount(), all)) refuse_as_stopped(path);
    if (step == SQLITE_DONE) return;
    if (step != SQLITE_OK) {
      if (std::chrono::steady_clock::now() > deadline) {
        throw Refused(file_problem(path, "another program holds the store", "Wait until it is done and try again",
                                   Trouble::busy));
      }
      std::this_thread::sleep_for(std::chrono::milliseconds(10));
    }
  }
}

// Whole in one file, with nothing beside it.
void settle_in_one_file(Connection& copy) { copy.run("PRAGMA journal_mode = DELETE"); }

void refuse_if_unsound(const std::string& path, const CheckReport& report) {
  if (report.damage.empty()) return;
  throw Refused(file_problem(path, fmt::format("it is damaged: {}", report.damage.front()), "Use another backup",
                             Trouble::damaged));
}

// A store of this version or an older one.
Nature require_copy(const std::string& path, Connection& source) {
  const Nature nature = nature_of(source);
  if (nature == Nature::store || nature == Nature::older_store) return nature;
  throw Refused(file_problem(
      path, nature == Nature::newer_store ? "it was written by a newer oddgrist" : "this is no backup of a store",
      nature == Nature::newer_store ? "Use that oddgrist, or a newer one" : "Name another file", Trouble::bad_content));
}

std::string moment_text() {
  const auto now = std::chrono::floor<std::chrono::seconds>(std::chrono::system_clock::now());
  return fmt::format("{:%Y%m%dT%H%M%SZ}", fmt::gmtime(std::chrono::system_clock::to_time_t(now)));
}

// What is to be replaced gets a second name, under which it stays. Returns that.
std::string keep_beside(const std::string& path) {
  // If it is sound, its write-ahead log goes into it; if not, the two stay together.
  try {
    Connection(path, Access::write, std::chrono::milliseconds(200)).run("PRAGMA journal_mode = DELETE");
  } catch (const std::runtime_error&) {
  }
  const std::string stem = path + ".before-restore-" + moment_text();
  std::string kept = stem;
  for (int number = 2; fs::exists(kept); ++number) kept = fmt::format("{}-{}", stem, number);
  if (::link(path.c_str(), kept.c_str()) != 0 && ::rename(path.c_str(), kept.c_str()) != 0) refuse_writing(kept, errno);
  // Left where it is, the old log would be taken for one of the new file.
  if (fs::exists(path + "-wal") && ::rename((path + "-wal").c_str(), (kept + "-wal").c_str()) != 0)
    refuse_writing(kept + "-wal", errno);
  move_damage_mark(path, kept);
  ::unlink((path + "-shm").c_str());
  ::unlink((path + "-journal").c_str());
  return kept;
}

// Exists, is a file, and is not the very file it should be restored to.
void require_file(const std::string& backup, const std::string& path) {
  if (!fs::is_regular_file(backup))
    throw Refused(file_problem(backup, "there is no such file", "Check the name and the folder", Trouble::cannot_open));
  if (fs::exists(path) && fs::equivalent(backup, path))
    throw Refused(file_problem(backup, "this is the store itself", "Name a backup", Trouble::bad_content));
}

}  // namespace

Result<std::int64_t> Store::backup_to(const std::string& path, const Progress& progress) const {
  return guarded<std::int64_t>(path, Doing::writing, [&] {
    if (fs::exists(path)) refuse_writing(path, EEXIST);
    Connection source(room_->path, Access::read, room_->patience);
    PartFile part(path);
    std::int64_t entries = 0;
    {
      Connection copy(part.path(), Access::create, patience);
      copy.run("PRAGMA synchronous = OFF");  // it is synced once, when it is whole
      copy_pages(source, copy, path, progress);
      settle_in_one_file(copy);
      const CheckReport report = examine(copy, CheckLists::no, {});
      if (!report.damage.empty()) {
        mark_damaged(room_->path, report.damage.front());
        throw Refused(file_problem(room_->path, fmt::format("the store is damaged: {}", report.damage.front()),
                                   "Run oddgrist store check, and restore an older backup", Trouble::damaged));
      }
      entries = report.entries;
    }
    part.put_in_place();
    return entries;
  });
}

Result<Restored> Store::restore(const std::string& backup, const std::string& path, const Progress& progress) {
  const std::string real = real_path(path);
  Restored restored;
  // Said in terms of the backup until that is read, then of the place it goes to.
  std::unique_ptr<PartFile> part;
  const auto made = guarded<bool>(backup, Doing::reading, [&] {
    require_file(backup, real);
    make_folder_of(real);
    Connection source(backup, Access::read, patience);
    const Nature nature = require_copy(backup, source);
    const CheckReport report = examine(source, CheckLists::no, progress);
    refuse_if_unsound(backup, report);
    restored.entries = report.entries;
    part = std::make_unique<PartFile>(real);
    Connection copy(part->path(), Access::create, patience);
    copy.run("PRAGMA synchronous = OFF");
    copy_pages(source, copy, backup, {});
    if (nature == Nature::older_store) bring_up_to_date(copy);
    settle_in_one_file(copy);
    return true;
  });
  if (!made) return made.problems();
  return guarded<Restored>(real, Doing::writing, [&] {
    std::optional<files::Problem> problem;
    const auto alone = UseLock::take(real, UseLock::Share::alone, std::chrono::milliseconds(500), problem);
    if (problem) throw Refused(*problem);
    if (fs::exists(real)) restored.kept = keep_beside(real);
    part->replace();
    return restored;
  });
}

}  // namespace oddgrist::store
