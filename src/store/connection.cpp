#include "store/connection.hpp"

#include <SQLiteCpp/Database.h>
#include <SQLiteCpp/Statement.h>
#include <sqlite3.h>
#include <sys/stat.h>

#include <cerrno>
#include <system_error>

#include <fmt/format.h>

namespace oddgrist::store {
namespace {

using files::Problem;
using files::Trouble;

int flags_for(Access access) {
  switch (access) {
    case Access::read: return SQLite::OPEN_READONLY;
    case Access::write: return SQLite::OPEN_READWRITE;
    case Access::create: return SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE;
  }
  return SQLite::OPEN_READONLY;
}

std::string as_uri(const std::string& path) {
  std::string uri = "file:";
  for (const char letter : path) {
    const bool plain = (letter >= 'a' && letter <= 'z') || (letter >= 'A' && letter <= 'Z') ||
                       (letter >= '0' && letter <= '9') || letter == '/' || letter == '-' || letter == '_' ||
                       letter == '.';
    uri += plain ? std::string(1, letter) : fmt::format("%{:02X}", static_cast<unsigned char>(letter));
  }
  return uri + "?immutable=1";
}

// A file whose last writer closed it tidily has no write-ahead log, so all of it is in the one file.
bool is_closed(const std::string& path) {
  struct stat wal {};
  return ::stat((path + "-wal").c_str(), &wal) != 0 || wal.st_size == 0;
}

std::unique_ptr<SQLite::Database> opened(const std::string& path, Access access, std::chrono::milliseconds patience) {
  const int wait_ms = static_cast<int>(patience.count());
  const std::string absolute = path.starts_with('/') ? path : "./" + path;  // ":memory:" is a name like any other here
  auto database = std::make_unique<SQLite::Database>(absolute, flags_for(access), wait_ms);
  if (access != Access::read) return database;
  try {
    SQLite::Statement(*database, "SELECT count(*) FROM sqlite_master").executeStep();
  } catch (const SQLite::Exception& error) {
    // On a read-only disk SQLite cannot make the file through which several programs share a write-ahead log. If there is no such log,
    // none is needed: on a disk nobody can write to, nobody writes.
    if (error.getErrorCode() != SQLITE_CANTOPEN && error.getErrorCode() != SQLITE_READONLY) throw;
    if (!is_closed(path)) throw;
    return std::make_unique<SQLite::Database>(as_uri(absolute), SQLite::OPEN_READONLY | SQLite::OPEN_URI, wait_ms);
  }
  return database;
}

Problem whole_file(const std::string& path, std::string what, std::string remedy, Trouble trouble) {
  return Problem{files::Place{path, 0, 0}, "", std::move(what), std::move(remedy), trouble};
}

constexpr const char* kept = "What was acknowledged before is safe";

Problem no_room(const std::string& path) {
  return whole_file(path, "the disk is full; nothing of this was written",
                    fmt::format("Make room and try again. {}", kept), Trouble::full);
}

Problem problem_of(const std::string& path, Doing doing, const SQLite::Exception& error) {
  const Trouble trouble = doing == Doing::writing ? Trouble::cannot_write : Trouble::cannot_open;
  switch (error.getErrorCode()) {
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
      return whole_file(path, "another program holds the store",
                        "Wait until it is done, or end it, and try again; nothing was written", Trouble::busy);
    case SQLITE_FULL: return no_room(path);
    case SQLITE_READONLY:
      return whole_file(path, "the store may not be written to",
                        "Check the permissions of the file and its folder, and whether the disk is read-only", trouble);
    case SQLITE_PERM:
    case SQLITE_CANTOPEN:
      return whole_file(path, "cannot open the store",
                        "Check that the file is there, that you may read it, and that its folder may be written to",
                        trouble);
    case SQLITE_IOERR:
      return whole_file(path,
                        fmt::format("the disk failed while {} ({})", doing == Doing::writing ? "writing" : "reading",
                                    sqlite3_errstr(error.getExtendedErrorCode())),
                        fmt::format("Check the room left on the disk and its health, then try again. {}", kept),
                        trouble);
    case SQLITE_CORRUPT: return damage_problem(path, "the file is damaged");
    case SQLITE_NOTADB:
      return whole_file(path, "this file is no store, or its beginning is damaged",
                        "Check the name; if it is right, restore the last backup: oddgrist store restore BACKUP",
                        Trouble::damaged);
    default:
      return whole_file(path, fmt::format("the store does not work: {}", error.what()),
                        "Run oddgrist store check, and report this if it finds nothing", trouble);
  }
}

}  // namespace

files::Problem damage_problem(const std::string& path, std::string what) {
  return whole_file(path, std::move(what),
                    "Keep a copy of the file, then restore the last backup: oddgrist store restore BACKUP",
                    Trouble::damaged);
}

namespace {

// What the system said last of this file.
int last_error(sqlite3_file* file) {
  int error = 0;
  if (file != nullptr && file->pMethods != nullptr) file->pMethods->xFileControl(file, SQLITE_FCNTL_LAST_ERRNO, &error);
  return error;
}

// SQLite's own note of the system's error is that of the last call, which may by then have been another one: its files are asked too.
bool system_has_no_room(sqlite3* raw) {
  const auto full = [](int error) { return files::trouble_of_error(error, Trouble::cannot_open) == Trouble::full; };
  if (full(sqlite3_system_errno(raw))) return true;
  for (const int which : {SQLITE_FCNTL_FILE_POINTER, SQLITE_FCNTL_JOURNAL_POINTER}) {
    sqlite3_file* file = nullptr;
    if (sqlite3_file_control(raw, "main", which, static_cast<void*>(&file)) == SQLITE_OK && full(last_error(file)))
      return true;
  }
  return false;
}

}  // namespace

void rethrow_as_no_room(SQLite::Database& database) {
  try {
    throw;
  } catch (const SQLite::Exception& error) {
    const int code = error.getErrorCode();
    if ((code == SQLITE_IOERR || code == SQLITE_CANTOPEN) && system_has_no_room(database.getHandle())) throw NoRoom();
    throw;
  }
}

Query::~Query() {
  statement_.tryReset();
  try {
    statement_.clearBindings();
  } catch (const SQLite::Exception&) {
    // Then the next use binds over them.
  }
}

Query& Query::with(std::int64_t value) {
  statement_.bind(++bound_, value);
  return *this;
}
Query& Query::with(double value) {
  statement_.bind(++bound_, value);
  return *this;
}
Query& Query::with(std::string_view value) {
  statement_.bind(++bound_, std::string(value));
  return *this;
}
Query& Query::with_nothing() {
  statement_.bind(++bound_);
  return *this;
}
bool Query::next() {
  try {
    return statement_.executeStep();
  } catch (const SQLite::Exception&) {
    rethrow_as_no_room(database_);
  }
}
void Query::run() {
  try {
    statement_.exec();
  } catch (const SQLite::Exception&) {
    rethrow_as_no_room(database_);
  }
}
std::int64_t Query::integer(int column) const { return statement_.getColumn(column).getInt64(); }
double Query::real(int column) const { return statement_.getColumn(column).getDouble(); }
std::string Query::text(int column) const { return statement_.getColumn(column).getString(); }
bool Query::nothing(int column) const { return statement_.getColumn(column).isNull(); }

Connection::Connection(const std::string& path, Access access, std::chrono::milliseconds patience)
    : database_(opened(path, access, patience)) {}

Connection::~Connection() = default;  // statements first, as they were declared last

Query Connection::query(const std::string& sql) {
  auto& statement = statements_[sql];
  if (!statement) statement = std::make_unique<SQLite::Statement>(*database_, sql);
  return Query(*database_, *statement);
}

void Connection::run(const std::string& sql) {
  try {
    database_->exec(sql);
  } catch (const SQLite::Exception&) {
    rethrow_as_no_room(*database_);
  }
}
std::int64_t Connection::integer(const std::string& sql) {
  try {
    return database_->execAndGet(sql).getInt64();
  } catch (const SQLite::Exception&) {
    rethrow_as_no_room(*database_);
  }
}
std::string Connection::text(const std::string& sql) {
  try {
    return database_->execAndGet(sql).getString();
  } catch (const SQLite::Exception&) {
    rethrow_as_no_room(*database_);
  }
}

Writing::Writing(Connection& connection) : connection_(connection) { connection_.run("BEGIN IMMEDIATE"); }
Writing::~Writing() {
  // After a full disk SQLite may have undone it already; either way nothing of it stays.
  if (open_) connection_.database().tryExec("ROLLBACK");
}
void Writing::commit() {
  connection_.run("COMMIT");
  open_ = false;
}

Reading::Reading(Connection& connection) : connection_(connection) {
  connection_.run("BEGIN");
  connection_.integer("SELECT count(*) FROM sqlite_master");
}
Reading::~Reading() { connection_.database().tryExec("COMMIT"); }

files::Problems problems_of_current_exception(const std::string& path, Doing doing) {
  try {
    throw;
  } catch (const Refused& refused) {
    files::Problems problems = refused.problems();
    for (Problem& problem : problems) {
      if (problem.place.file.empty() && problem.trouble == Trouble::damaged) problem.place.file = path;
    }
    return problems;
  } catch (const NoRoom&) {
    return {no_room(path)};
  } catch (const SQLite::Exception& error) {
    if (error.getErrorCode() == SQLITE_NOMEM) throw std::bad_alloc();
    return {problem_of(path, doing, error)};
  } catch (const std::system_error& error) {
    return {whole_file(path, "cannot use the folder: " + error.code().message(), "Check the name and the permissions",
                       files::trouble_of_error(error.code().value(), doing == Doing::writing ? Trouble::cannot_write
                                                                                             : Trouble::cannot_open))};
  }
}

}  // namespace oddgrist::store
