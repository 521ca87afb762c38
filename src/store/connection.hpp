// SQLite as the rest of the room sees it: statements that are prepared once, and errors as problems. Internal to src/store.
#pragma once

#include <chrono>
#include <cstdint>
#include <exception>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <string_view>

#include "files/problem.hpp"

namespace SQLite {  // NOLINT(readability-identifier-naming): the library's own
class Database;
class Statement;
}  // namespace SQLite

namespace oddgrist::store {

// Thrown and caught inside the room only (`guarded`).
class Refused : public std::exception {
 public:
  explicit Refused(files::Problem problem) : problems_{std::move(problem)} {}
  explicit Refused(files::Problems problems) : problems_(std::move(problems)) {}
  [[nodiscard]] const files::Problems& problems() const { return problems_; }

 private:
  files::Problems problems_;
};

// SQLite's "disk I/O error" or "cannot open" where the system said that there is no room left. Thrown and caught inside the room only.
class NoRoom : public std::exception {};
// In place of the SQLite exception that is being handled, if that is what it was; otherwise that one goes on.
[[noreturn]] void rethrow_as_no_room(SQLite::Database& database);

// One use of a prepared statement; when it ends, so does the read of the file behind it.
class Query {
 public:
  Query(SQLite::Database& database, SQLite::Statement& statement) : database_(database), statement_(statement) {}
  ~Query();
  Query(const Query&) = delete;
  Query& operator=(const Query&) = delete;

  // The parameters, from the first on.
  Query& with(std::int64_t value);
  Query& with(double value);
  Query& with(std::string_view value);
  Query& with_nothing();
  // The next row, if there is one.
  bool next();
  // Runs a statement that gives no rows.
  void run();

  [[nodiscard]] std::int64_t integer(int column) const;
  [[nodiscard]] double real(int column) const;
  [[nodiscard]] std::string text(int column) const;
  [[nodiscard]] bool nothing(int column) const;

 private:
  SQLite::Database& database_;
  SQLite::Statement& statement_;
  int bound_ = 0;
};

enum class Access { read, write, create };

class Connection {
 public:
  // Opens the file as it is; no pragma has been set.
  Connection(const std::string& path, Access access, std::chrono::milliseconds patience);
  ~Connection();
  Connection(const Connection&) = delete;
  Connection& operator=(const Connection&) = delete;

  // No other use of the same text may be going on.
  Query query(const std::string& sql);
  // Several statements, rows thrown away.
  void run(const std::string& sql);
  std::int64_t integer(const std::string& sql);
  std::string text(const std::string& sql);
  [[nodiscard]] SQLite::Database& database() { return *database_; }

 private:
  std::unique_ptr<SQLite::Database> database_;
  std::map<std::string, std::unique_ptr<SQLite::Statement>, std::less<>> statements_;
};

// Begun for writing at once, so that nobody else can come between looking and writing; undone unless committed.
class Writing {
 public:
  explicit Writing(Connection& connection);
  ~Writing();
  Writing(const Writing&) = delete;
  Writing& operator=(const Writing&) = delete;
  void commit();

 private:
  Connection& connection_;
  bool open_ = true;
};

// The file as it was at one moment, however long the reading takes.
class Reading {
 public:
  explicit Reading(Connection& connection);
  ~Reading();
  Reading(const Reading&) = delete;
  Reading& operator=(const Reading&) = delete;

 private:
  Connection& connection_;
};

// An entry, or the file, is not what was written.
files::Problem damage_problem(const std::string& path, std::string what);

// Which way the file was being used when something went wrong; the same fault calls for other words.
enum class Doing { reading, writing };

// The problem behind the exception that is being handled; exceptions that are no fault of a file go on.
files::Problems problems_of_current_exception(const std::string& path, Doing doing);

template <class T, class Work>
files::Result<T> guarded(const std::string& path, Doing doing, Work&& work) {
  try {
    return files::Result<T>(work());
  } catch (...) {
    return problems_of_current_exception(path, doing);
  }
}

}  // namespace oddgrist::store
